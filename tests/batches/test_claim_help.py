"""From home: it is finished, help is wanted, a part is missing, please post it; and who answers."""

import re
from collections.abc import Callable
from datetime import datetime

import pytest
from django.core import mail
from django.test import Client
from django.urls import reverse

from gowngroup.batches.actions import (
    AnsweredAlready,
    NotHers,
    NothingSaid,
    answer_call,
    ask_for_help,
    claim_kit,
    give_back,
    lose_kit,
    name_helpers,
    report_part,
    write_off_kit,
)
from gowngroup.batches.models import Call, Finish, Kit
from gowngroup.batches.templatetags.kits import asks
from gowngroup.people.models import Person
from gowngroup.records.codes import spaced
from gowngroup.stock.actions import issue_free, receive_lot
from gowngroup.stock.models import LedgerLine, Lot
from tests.factories import KitFactory, KitLineFactory, MaterialFactory

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person], Client]
MINE = "/batches/my-kits/"


@pytest.fixture(autouse=True)
def _letters_go_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """What waits for the end of the transaction is done at once."""
    monkeypatch.setattr("django.db.transaction.on_commit", lambda send: send())


def url(name: str, kit: Kit) -> str:
    return reverse(f"batches:{name}", args=[kit.code])


def text_of(client: Client, path: str) -> str:
    return client.get(path).content.decode()


def test_she_says_that_it_is_finished(held_kit: Kit, volunteer: Person, sign_in: SignIn) -> None:
    """Two taps from her kits: the form, and send; she may put it right, and the page says what comes next."""
    client = sign_in(volunteer)
    assert url("kit_finish", held_kit) in text_of(client, MINE)
    answer = client.post(
        url("kit_finish", held_kit),
        {"gown_count": "1", "are_needles_counted": "yes", "duration_min": "6,5", "remarks": "lovely"},
    )
    assert answer["Location"] == MINE
    finish = Finish.objects.get()
    assert (finish.duration_min, finish.are_needles_counted, finish.remarks) == (390, True, "lovely")
    assert "Bring it in with every needle" in text_of(client, MINE)
    assert 'value="6.5"' in text_of(client, url("kit_finish", held_kit))


@pytest.mark.parametrize(
    ("hours", "words"), [("0", "more than 0"), ("501", "at most 500"), ("six", "type a number")]
)
def test_unlikely_hours_are_asked_back(
    held_kit: Kit, volunteer: Person, sign_in: SignIn, hours: str, words: str
) -> None:
    """Hours nobody sews are asked back, and what was typed is kept."""
    sent = {"gown_count": "1", "are_needles_counted": "no", "duration_min": hours, "remarks": "kept words"}
    answer = sign_in(volunteer).post(url("kit_finish", held_kit), sent)
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert "kept words" in answer.content.decode()


def test_strangers_and_late_forms_change_nothing(
    held_kit: Kit, volunteer: Person, colleague: Person, sign_in: SignIn, at: datetime
) -> None:
    """Another one's kit is not there; a kit given back meanwhile is refused in a sentence."""
    for name in ("kit_finish", "kit_help", "kit_part", "kit_hand_on"):
        assert sign_in(colleague).get(url(name, held_kit)).status_code == 404
    stale = Kit.objects.get(pk=held_kit.pk)
    give_back(kit=held_kit, by=volunteer, at=at)
    with pytest.raises(NotHers):
        ask_for_help(kit=stale, words="", by=volunteer, at=at)


def test_help_reaches_those_who_help(
    held_kit: Kit,
    volunteer: Person,
    colleague: Person,
    coordinator: Person,
    packer: Person,
    sign_in: SignIn,
    at: datetime,
) -> None:
    """The coordinator and the named helpers get a letter and a task; nobody else does, and she reads the answer."""
    name_helpers(people=[colleague], by=coordinator, at=at)
    assert (
        sign_in(volunteer).post(url("kit_help", held_kit), {"words": "Which row first?"}).status_code == 302
    )
    assert sorted(letter.to[0] for letter in mail.outbox) == sorted([colleague.email, coordinator.email])
    assert "Which row first?" not in str(mail.outbox[0].body)
    call = Call.objects.get()
    page = reverse("batches:call_page", args=[call.pk])
    assert "We have your message" in text_of(sign_in(volunteer), MINE)
    assert "Which row first?" in text_of(sign_in(colleague), page)
    assert [sign_in(who).get(page).status_code for who in (packer, volunteer)] == [404, 404]
    mail.outbox.clear()
    assert sign_in(colleague).post(page, {"answer": ""}).status_code == 422
    assert sign_in(colleague).post(page, {"answer": "From the top. I ring you."}).status_code == 302
    assert [letter.to for letter in mail.outbox] == [[volunteer.email]]
    assert "From the top" in text_of(sign_in(volunteer), MINE)
    with pytest.raises(AnsweredAlready):
        answer_call(call=call, answer="late", by=coordinator, at=at)


def test_helpers_are_named_on_a_page(
    volunteer: Person, colleague: Person, coordinator: Person, sign_in: SignIn
) -> None:
    """The coordinator ticks who helps; who is no longer ticked no longer does."""
    client, page = sign_in(coordinator), reverse("batches:helpers")
    client.post(page, {"people": [volunteer.pk, colleague.pk]})
    assert text_of(client, page).count(" checked") == 2
    client.post(page, {"people": [colleague.pk]})
    assert text_of(client, page).count(" checked") == 1


def test_a_missing_part_is_sent_off_the_shelf(
    held_kit: Kit, volunteer: Person, packer: Person, sign_in: SignIn, at: datetime
) -> None:
    """What is missing is chosen from the kit's list; the packer sends it and it is booked off its lot."""
    material = MaterialFactory(kind="floss")
    used_up = receive_lot(material=material, amount=1_000_000, by=packer, at=at)
    issue_free(lot=used_up, amount=1_000_000, by=packer, at=at)
    line = KitLineFactory(kit=held_kit, text="2 lengths of floss, sage", lot=used_up, amount=1_000_000)
    lot = receive_lot(material=material, amount=8_000_000, place="drawer F", by=packer, at=at)
    left_overs = [receive_lot(material=material, amount=231_000, by=packer, at=at) for _ in range(5)]
    client, packing = sign_in(volunteer), sign_in(packer)
    assert client.post(url("kit_part", held_kit), {"kind": "missing"}).status_code == 422
    assert client.post(url("kit_part", held_kit), {"kind": "missing", "line": line.pk}).status_code == 302
    assert [letter.to for letter in mail.outbox] == [[packer.email]]
    page = reverse("batches:call_page", args=[Call.objects.get().pk])
    assert "2 lengths of floss, sage" in text_of(packing, page)
    on_the_shelf = text_of(packing, page).partition("Free on the shelf")[2].partition("</dd>")[0]
    assert (spaced(lot.code) in on_the_shelf, "8 m, drawer F" in on_the_shelf) == (True, True)
    assert sum(spaced(each.code) in on_the_shelf for each in left_overs) == 4
    assert spaced(used_up.code) not in on_the_shelf
    assert packing.post(page, {"answer": "", "lot": "LNONE"}).status_code == 422
    assert "how much of it" in packing.post(page, {"answer": "sent", "lot": lot.code}).content.decode()
    short = packing.post(page, {"answer": "sent", "lot": lot.code, "length": "900"})
    assert short.status_code == 409
    assert f"Of lot {spaced(lot.code)} only 8 m are free, not 9 m." in short.content.decode()
    assert Lot.objects.get(pk=lot.pk).on_hand_amount == 8_000_000
    assert packing.post(page, {"answer": "In the post", "lot": lot.code, "length": "100"}).status_code == 302
    assert Lot.objects.get(pk=lot.pk).on_hand_amount == 7_000_000
    booked = LedgerLine.objects.get(kind="issue", lot=lot)
    assert (booked.reference, booked.reason) == (f"kit {held_kit.code}", "replacement")
    assert "In the post" in text_of(packing, reverse("batches:call_list"))
    assert "1 m" in text_of(packing, page)


def test_counted_things_are_sent_by_the_piece(
    held_kit: Kit, volunteer: Person, packer: Person, sign_in: SignIn, at: datetime
) -> None:
    """Of what is counted the pieces are asked for."""
    material = MaterialFactory(kind="notion", is_counted=True)
    lot = receive_lot(material=material, amount=10, by=packer, at=at)
    report_part(kit=held_kit, kind="spoilt", words="the fastening", by=volunteer, at=at)
    page = reverse("batches:call_page", args=[Call.objects.get().pk])
    sign_in(packer).post(page, {"answer": "", "lot": lot.code, "pieces": "2"})
    assert Lot.objects.get(pk=lot.pk).on_hand_amount == 8


def test_it_can_be_posted(group: object, volunteer: Person, packer: Person, sign_in: SignIn) -> None:
    """A kit that can be posted is taken and asked for by post in one tap; asking twice is one."""
    kit = KitFactory(state=Kit.State.WAITING, can_be_posted=True)
    client = sign_in(volunteer)
    assert "please post it" in text_of(client, reverse("batches:kits_waiting"))
    client.post(url("kit_claim", kit), {"post": "yes"})
    assert Call.objects.get().kind == Call.Kind.POST
    assert "We are posting it to you" in text_of(client, MINE)
    assert client.post(url("kit_post", kit)).status_code == 409
    assert "To be posted" in mail.outbox[0].subject
    page = reverse("batches:call_page", args=[Call.objects.get().pk])
    assert sign_in(packer).post(page, {"answer": "posted today"}).status_code == 302
    assert client.post(url("kit_post", kit)).status_code == 302


def test_what_she_no_longer_has_she_needs_no_help_with(
    held_kit: Kit, volunteer: Person, at: datetime
) -> None:
    """Giving a kit back ends calls for help; a missing part stays missing for the next one."""
    ask_for_help(kit=held_kit, words="", by=volunteer, at=at)
    report_part(kit=held_kit, kind="missing", words="lace", by=volunteer, at=at)
    give_back(kit=held_kit, by=volunteer, at=at)
    assert list(Call.objects.filter(answered_at=None).values_list("kind", flat=True)) == ["missing"]


@pytest.mark.parametrize(("act", "left"), [(lose_kit, ["missing"]), (write_off_kit, [])])
def test_nobody_is_called_for_a_kit_that_is_gone(
    act: Callable[..., Kit], left: list[str], held_kit: Kit, volunteer: Person, packer: Person, at: datetime
) -> None:
    """What is lost may still turn up and want its part; what is given up wants nothing."""
    ask_for_help(kit=held_kit, words="", by=volunteer, at=at)
    report_part(kit=held_kit, kind="missing", words="lace", by=volunteer, at=at)
    act(kit=held_kit, reason="left on the bus", by=packer, at=at)
    assert list(Call.objects.filter(answered_at=None).values_list("kind", flat=True)) == left


def test_staff_speak_for_who_rings(held_kit: Kit, volunteer: Person, packer: Person, sign_in: SignIn) -> None:
    """All of it can be done by telephone; it is hers, not theirs who wrote it down."""
    client = sign_in(packer)
    assert "Volunteer has finished" in text_of(client, url("kit_page", held_kit))
    for page, words in (
        ("kit_finish", "Volunteer has finished|Are all her needles|Yes, she has counted them"),
        ("kit_help", "Volunteer asks for help or more time|What would she like help with|she will be rung"),
        ("kit_part", "Volunteer is sent what the shelf has, or is rung.|Note it for her"),
    ):
        text = text_of(client, url(page, held_kit))
        assert not [sentence for sentence in words.split("|") if sentence not in text]
        assert not re.search(r"\b(I|my)\b", text.partition("<h1>")[2].partition("</form>")[0])
    client.post(url("kit_help", held_kit), {"words": "rang at nine"})
    assert Call.objects.get().person == volunteer
    answer = client.post(url("kit_finish", held_kit), {"gown_count": "1", "are_needles_counted": "yes"})
    assert answer["Location"] == url("kit_page", held_kit)
    assert Finish.objects.get().claim.person == volunteer


def test_something_must_be_said(held_kit: Kit, volunteer: Person, at: datetime) -> None:
    """A part that is neither chosen nor described cannot be sent."""
    with pytest.raises(NothingSaid) as refusal:
        report_part(kit=held_kit, kind="missing", words=" ", by=volunteer, at=at)
    assert refusal.value.field == "words"


def test_changing_ones_mind_is_one_tap(volunteer: Person, sign_in: SignIn) -> None:
    """Who would rather not see gowns for babies who die any more says so on the page of the kits waiting."""
    KitFactory(state=Kit.State.WAITING, purpose="memorial")
    client = sign_in(volunteer)
    assert "Please do not show me these" not in text_of(client, reverse("batches:kits_waiting"))
    Person.objects.update(has_agreed_to_memorial=True)
    assert "Please do not show me these" in text_of(client, reverse("batches:kits_waiting"))
    client.post(reverse("batches:memorial_stop"))
    volunteer.refresh_from_db()
    assert not volunteer.has_agreed_to_memorial
    assert "babies who die" not in text_of(client, reverse("batches:kits_waiting"))


def test_the_next_step_is_one_sentence(
    held_kit: Kit, volunteer: Person, sign_in: SignIn, at: datetime
) -> None:
    """Each kit says what comes next: sew, the rest, hand on, in her own time."""
    client = sign_in(volunteer)
    Kit.objects.update(due_on=at.date().replace(year=2999))
    assert "Open the kit sheet and sew; it is due on 10 March" in text_of(client, MINE)
    Kit.objects.update(gown_count=3, returned_count=1)
    assert "Sew the 2 gowns that are still to come." in text_of(client, MINE)
    Kit.objects.update(returned_count=0, stage="pleat")
    assert "Pleat it, then say here" in text_of(client, MINE)
    Kit.objects.update(purpose="memorial")
    assert "in your own time" in text_of(client, MINE)


def test_what_else_suits_when_it_was_taken(
    held_kit: Kit, colleague: Person, volunteer: Person, sign_in: SignIn, at: datetime
) -> None:
    """Who was second reads how many wait, never who was first, and finds three others to take at once."""
    others = KitFactory.create_batch(5, state=Kit.State.WAITING)
    Person.objects.update(has_agreed_to_memorial=True)
    gentle = KitFactory(state=Kit.State.WAITING, purpose="memorial", offered_at=at.replace(month=1))
    answer = sign_in(colleague).post(url("kit_claim", held_kit))
    page = answer.content.decode()
    assert (answer.status_code, "There are 6 more waiting." in page) == (409, True)
    assert url("kit_claim", gentle) not in page
    assert volunteer.name not in page.replace(colleague.name, "")
    assert sum(url("kit_claim", kit) in page for kit in others) == 3
    claim_kit(kit=others[0], by=colleague, at=at)


def test_who_asks_for_what_is_a_whole_sentence() -> None:
    """On the list and the page of a call her name and what she asks read as one sentence."""
    told = [asks(Call(kind=kind, person=Person(name="Anna"))) for kind in Call.Kind.values]
    assert told == [
        "Anna would like help",
        "Anna lacks something",
        "Anna has something spoilt",
        "Anna asks to have it posted",
    ]
