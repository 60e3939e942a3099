"""At the table: kits are handed out and taken back by scanning, and the list of a meeting is typed in at once."""

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta

import pytest
import time_machine
from django.test import Client
from django.urls import reverse

from gowngroup.batches.actions import KitMovedOn, claim_kit, say_finished, undo_hand_on
from gowngroup.batches.models import Claim, HandOver, Kit, KitReturn
from gowngroup.batches.queries import kit_violations
from gowngroup.gowns.actions import check_gown
from gowngroup.gowns.checklist import questions
from gowngroup.gowns.models import Gown
from gowngroup.people.models import Group, Person
from tests.factories import KitFactory

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person], Client]
OUT, BACK, ENTRY = "/batches/kits/hand-out/", "/gowns/back/table/", "/gowns/table/enter/"


@pytest.fixture(autouse=True)
def _at_the_meeting(at: datetime) -> object:
    with time_machine.travel(at, tick=False):
        yield


@pytest.fixture
def kit(group: object) -> Kit:
    return KitFactory(state=Kit.State.WAITING)


@pytest.fixture
def held(kit: Kit, volunteer: Person, at: datetime) -> Kit:
    return claim_kit(kit=kit, by=volunteer, at=at).kit


def scan(client: Client, url: str, code: str, **more: object) -> tuple[int, str]:
    answer = client.post(url, {"code": code, **more})
    return answer.status_code, answer.content.decode()


def test_one_scan_hands_a_kit_out(kit: Kit, volunteer: Person, packer: Person, sign_in: SignIn) -> None:
    """The address in the square is scanned and the kit is hers; she stays chosen and the field has the focus."""
    status, page = scan(
        sign_in(packer), OUT, f"https://x.example/batches/kits/{kit.code}/", person=volunteer.pk
    )
    assert status == 200
    assert ">Done</p>" in page
    assert 'data-beep="done"' in page
    assert f'value="{volunteer.pk}" selected' in page
    assert "autofocus" in page.split('name="code"')[1].split(">")[0]
    assert Claim.objects.get().person == volunteer


def test_the_big_word_says_why_not(
    kit: Kit, held: Kit, volunteer: Person, colleague: Person, packer: Person, sign_in: SignIn
) -> None:
    """Taken, unknown, enough at home, not offered: a big word, a low beep, and what was typed."""
    client = sign_in(packer)
    assert _says(scan(client, OUT, held.code, person=colleague.pk), "Already taken") == (409, True)
    unknown = scan(client, OUT, "knone9", person=colleague.pk)
    assert _says(unknown, "Unknown code") == (422, True)
    assert "knone9" in unknown[1]
    assert 'data-beep="wrong"' in unknown[1]
    Group.objects.update(claim_limit_count=1)
    other = KitFactory(state=Kit.State.WAITING)
    assert _says(scan(client, OUT, other.code, person=volunteer.pk), "Enough at home") == (409, True)
    assert _says(scan(client, OUT, KitFactory().code, person=colleague.pk), "Not offered yet") == (409, True)
    assert _says(scan(client, OUT, other.code), "Not done") == (422, True)
    Kit.objects.filter(pk=other.pk).update(kept_for=volunteer)
    assert _says(scan(client, OUT, other.code, person=colleague.pk), "Kept for somebody") == (409, True)


def _says(answer: tuple[int, str], word: str) -> tuple[int, bool]:
    return answer[0], f">{word}</p>" in answer[1]


def test_handing_out_can_be_undone(
    kit: Kit, volunteer: Person, colleague: Person, packer: Person, sign_in: SignIn
) -> None:
    """The last hand-over is undone with one button; a second press changes nothing and says how things stand."""
    client = sign_in(packer)
    scan(client, OUT, kit.code, person=volunteer.pk)
    undo = reverse("batches:kit_hand_out_undo", args=[Claim.objects.get().pk])
    assert undo in client.get(OUT).content.decode()
    assert client.post(undo)["Location"] == f"{OUT}?person={volunteer.pk}"
    kit.refresh_from_db()
    assert kit.state == Kit.State.WAITING
    assert "is waiting again already" in client.post(undo, follow=True).content.decode()
    scan(client, OUT, kit.code, person=colleague.pk)
    assert "handed out anew" in client.post(undo, follow=True).content.decode()
    assert Kit.objects.get().holder == colleague
    scan(client, BACK, kit.code, is_counted="on")
    assert "has come back since then" in client.post(undo, follow=True).content.decode()
    Kit.objects.update(state=Kit.State.WRITTEN_OFF)
    assert "what became of it" in client.post(undo, follow=True).content.decode()


def test_what_was_handed_out_long_ago_is_no_slip(
    held: Kit, volunteer: Person, packer: Person, sign_in: SignIn, at: datetime
) -> None:
    """The day after, the button leads to the kit's page; what another has handed out is as if it never were."""
    claim = Claim.objects.get()
    undo = reverse("batches:kit_hand_out_undo", args=[claim.pk])
    assert sign_in(packer).post(undo).status_code == 404
    Claim.objects.update(claimed_by=packer, claimed_at=at - timedelta(days=1))
    answer = sign_in(packer).post(undo, follow=True)
    assert "too long ago to undo" in answer.content.decode()
    assert Kit.objects.get().holder == volunteer


def test_one_scan_takes_a_kit_back(
    held: Kit, volunteer: Person, inspector: Person, sign_in: SignIn, at: datetime
) -> None:
    """With needles counted before, one scan books the gowns back, with what she has said herself."""
    said = {"gown_count": 1, "are_needles_counted": True, "duration_min": 390, "remarks": "fine"}
    say_finished(kit=held, by=volunteer, at=at, **said)  # type: ignore[arg-type] # as a form gives them
    client = sign_in(inspector)
    assert _says(scan(client, BACK, held.code), "Count first") == (422, True)
    assert _says(scan(client, BACK, held.code, is_counted="on"), "Done") == (200, True)
    back = KitReturn.objects.get()
    assert (back.duration_min, back.remarks, back.are_needles_counted) == (390, "fine", True)
    assert Gown.objects.count() == 1
    assert _says(scan(client, BACK, held.code, is_counted="on"), "Back already") == (409, True)
    assert _says(scan(client, BACK, "x", is_counted="on"), "Unknown code") == (422, True)
    assert _says(scan(client, BACK, ""), "Not done") == (422, True)
    assert _says(scan(client, BACK, KitFactory().code, is_counted="on"), "Not done") == (409, True)


def test_what_she_said_stands_in_the_long_form(
    held: Kit, volunteer: Person, inspector: Person, sign_in: SignIn, at: datetime
) -> None:
    """Whoever takes it back on the long page starts from what she has said."""
    say_finished(kit=held, gown_count=1, are_needles_counted=True, duration_min=390, by=volunteer, at=at)
    page = sign_in(inspector).get(reverse("gowns:kit_return", args=[held.code])).content.decode()
    assert 'value="6.5"' in page
    assert 'value="yes" required id="id_are_needles_counted_0" checked' in page or "checked" in page


def test_taking_back_can_be_undone(held: Kit, volunteer: Person, inspector: Person, sign_in: SignIn) -> None:
    """She has the kit again, its gowns and their codes are gone, the tick stays; a second press changes nothing."""
    client = sign_in(inspector)
    _status, page = scan(client, BACK, held.code, is_counted="on")
    undo = reverse("gowns:table_back_undo", args=[KitReturn.objects.get().pk]) + "?counted=yes"
    assert undo in page
    assert 'id="id_is_counted" checked' in client.post(undo, follow=True).content.decode()
    held.refresh_from_db()
    assert (held.state, held.holder, held.due_on) == (Kit.State.CLAIMED, volunteer, date(2026, 4, 7))
    assert not Gown.objects.exists()
    assert kit_violations() == []
    assert "nothing to undo here any more" in client.post(undo, follow=True).content.decode()
    scan(client, BACK, held.code, is_counted="on")
    assert Gown.objects.count() == 1


@pytest.mark.parametrize(("stage", "is_pleated"), [("pleat", False), ("smock", True)])
def test_a_stage_taken_back_can_be_undone(
    group: object,
    volunteer: Person,
    colleague: Person,
    inspector: Person,
    sign_in: SignIn,
    at: datetime,
    stage: str,
    is_pleated: bool,
) -> None:
    """She has the kit for the same stage again, as before it was scanned; once the next has it, nothing can be undone."""
    kit = claim_kit(
        kit=KitFactory(state=Kit.State.WAITING, stage=stage, is_pleated=is_pleated), by=volunteer, at=at
    ).kit
    before = _kept_of(kit)
    client = sign_in(inspector)
    scan(client, BACK, kit.code, is_counted="on")
    undo = reverse("gowns:table_stage_undo", args=[HandOver.objects.get().pk])
    assert undo in client.get(BACK).content.decode()
    assert "Undone: she has the kit again." in client.post(undo, follow=True).content.decode()
    assert _kept_of(kit) == before
    assert Claim.objects.get().ended_at is None
    assert kit_violations() == []
    assert "nothing to undo here any more" in client.post(undo, follow=True).content.decode()
    scan(client, BACK, kit.code, is_counted="on")
    hand_over = HandOver.objects.get()
    Person.objects.filter(pk=volunteer.pk).update(is_active=False)  # gone, or forgotten
    with pytest.raises(KitMovedOn):
        undo_hand_on(hand_over=hand_over, by=inspector, at=at)
    claim_kit(kit=Kit.objects.get(pk=kit.pk), by=colleague, at=at)
    client.post(reverse("gowns:table_stage_undo", args=[hand_over.pk]))
    assert Kit.objects.get(pk=kit.pk).holder == colleague
    with pytest.raises(KitMovedOn):
        undo_hand_on(hand_over=hand_over, by=inspector, at=at)


def _kept_of(kit: Kit) -> dict[str, object]:
    """What is kept of a kit but how long it takes, which is reckoned anew."""
    return {
        name: value
        for name, value in vars(Kit.objects.get(pk=kit.pk)).items()
        if not name.startswith(("_", "minutes"))
    }


def test_what_is_being_checked_cannot_be_undone(
    held: Kit, inspector: Person, sign_in: SignIn, at: datetime
) -> None:
    """Once an inspector has looked at a gown, it stays back."""
    client = sign_in(inspector)
    scan(client, BACK, held.code, is_counted="on")
    gown = Gown.objects.get()
    answers = {question.key: True for question in questions(gown, "first")}
    check_gown(
        gown=gown,
        round="first",
        outcome="pass",
        is_free_of_metal=True,
        answers=answers,
        reason="",
        by=inspector,
        at=at,
    )
    undo = reverse("gowns:table_back_undo", args=[KitReturn.objects.get().pk])
    assert client.post(undo).status_code == 409
    assert Gown.objects.count() == 1


def test_only_the_last_return_is_undone(held: Kit, inspector: Person, sign_in: SignIn) -> None:
    """Of a kit that came back in two goes only the last can be undone; the first stays as it is."""
    Kit.objects.update(gown_count=2)
    client = sign_in(inspector)
    for _time in range(2):
        client.post(
            reverse("gowns:kit_return", args=[held.code]), {"gown_count": "1", "are_needles_counted": "yes"}
        )
    first, second = KitReturn.objects.order_by("pk")
    undo = [reverse("gowns:table_back_undo", args=[each.pk]) for each in (first, second)]
    assert client.post(undo[0]).status_code == 409
    assert client.post(undo[1]).status_code == 302
    held.refresh_from_db()
    assert (held.state, held.returned_count) == (Kit.State.CLAIMED, 1)
    assert client.post(undo[0]).status_code == 302
    assert kit_violations() == []


def test_a_stage_that_comes_back_waits_again(held: Kit, inspector: Person, sign_in: SignIn) -> None:
    """A pleated kit scanned back is no gown: it waits to be smocked."""
    Kit.objects.update(stage="pleat")
    status, page = scan(sign_in(inspector), BACK, held.code, is_counted="on")
    assert status == 200
    assert "waits for the next pair of hands" in page
    assert HandOver.objects.get().stage == "pleat"
    assert not Gown.objects.exists()


def entry(kit: Kit, **said: str) -> dict[str, str]:
    return {f"kit-{kit.pk}-{name}": value for name, value in said.items()}


def test_the_list_is_typed_in_at_once(
    held: Kit, volunteer: Person, colleague: Person, packer: Person, sign_in: SignIn, at: datetime
) -> None:
    """Gowns back, a new day and kits handed out are entered together."""
    longer = claim_kit(kit=KitFactory(state=Kit.State.WAITING), by=volunteer, at=at).kit
    free = KitFactory(state=Kit.State.WAITING)
    client = sign_in(packer)
    listed = client.get("/gowns/table/").content.decode()
    assert all(each.code[3:] in listed for each in (held, longer, free))
    sent = {
        **entry(held, back="1", needles="on", hours="5"),
        **entry(longer, due_on="2026-05-01"),
        "out-0-code": free.code,
        "out-0-person": str(colleague.pk),
        "request_key": "one-list",
    }
    assert client.get(ENTRY).status_code == 200
    assert client.post(ENTRY, sent)["Location"] == "/gowns/table/"
    assert Gown.objects.get().kit == held
    longer.refresh_from_db()
    free.refresh_from_db()
    assert (longer.due_on, free.holder) == (date(2026, 5, 1), colleague)


@pytest.mark.parametrize(
    ("wrong", "status", "words"),
    [
        ({"out-0-code": "KNONE9"}, 422, "No kit has this code"),
        ({"out-0-code": "KIT"}, 422, "both, or neither"),
        ({"kit-back": "7"}, 422, "at most 1 can come back now"),
        ({"kit-due_on": "2020-01-01"}, 422, "from today on"),
    ],
)
def test_nothing_of_a_wrong_list_is_entered(
    *,
    held: Kit,
    kit: Kit,
    volunteer: Person,
    packer: Person,
    sign_in: SignIn,
    at: datetime,
    wrong: dict[str, str],
    status: int,
    words: str,
) -> None:
    """One row that cannot be keeps the whole list out; what was typed stays on the page."""
    other = claim_kit(kit=KitFactory(state=Kit.State.WAITING), by=volunteer, at=at).kit
    free = KitFactory(state=Kit.State.WAITING)
    row = {
        name.replace("kit-", f"kit-{held.pk}-"): value.replace("KIT", free.code)
        for name, value in wrong.items()
    }
    answer = sign_in(packer).post(ENTRY, {**entry(other, back="1", hours="4.25"), **row})
    page = answer.content.decode()
    assert (answer.status_code, words in page, 'value="4.25"' in page) == (status, True, True)
    assert not Gown.objects.exists()


def test_the_meeting_is_a_day_long(held: Kit, inspector: Person, sign_in: SignIn) -> None:
    """What came back the day before is not offered to be undone."""
    client = sign_in(inspector)
    scan(client, BACK, held.code, is_counted="on")
    with time_machine.travel(datetime(2026, 3, 11, 9, 0, tzinfo=UTC), tick=False):
        assert "Came back last" not in client.get(BACK).content.decode()
