"""What volunteers see: the kits waiting, their own kits, a kit's page."""

import re
from collections.abc import Callable
from datetime import date, datetime

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.batches.actions import claim_kit, give_back, return_gowns
from gowngroup.batches.models import Claim, Kit
from gowngroup.catalog.models import ChartRow, RectanglePiece
from gowngroup.people.models import Group, Person
from gowngroup.records.codes import spaced
from tests.factories import (
    ChartFactory,
    ChartRowFactory,
    DesignRevisionFactory,
    DesignSizeFactory,
    KitFactory,
    KitLineFactory,
    LayFactory,
    LotFactory,
    MaterialFactory,
    SizeFactory,
)
from tests.snapshots import store_snapshot

pytestmark = pytest.mark.django_db

SignIn = Callable[[Person], Client]
WAITING, MINE = "/batches/waiting/", "/batches/my-kits/"


def text_of(client: Client, url: str) -> str:
    return client.get(url).content.decode()


def claim_url(kit: Kit) -> str:
    return reverse("batches:kit_claim", args=[kit.code])


def test_a_card_says_what_she_needs_to_choose(volunteer: Person, sign_in: SignIn) -> None:
    """A waiting kit shows length, shade, stitches, difficulty, hours, place and due day."""
    Group.objects.update(pick_up_place="Village hall, blue cupboard")
    chart = ChartFactory()
    for stitch in (ChartRow.Stitch.CABLE, ChartRow.Stitch.WAVE, ChartRow.Stitch.CABLE):
        ChartRowFactory(chart=chart, stitch=stitch)
    KitFactory(
        state=Kit.State.WAITING,
        design_revision=DesignRevisionFactory(chart=chart, difficulty=2),
        lay=LayFactory(lot=LotFactory(material=MaterialFactory(shade="straw", swatch="#e8d9a0"))),
        minutes_low=243,
        minutes_high=391,
    )
    text = text_of(sign_in(volunteer), WAITING)
    for words in (
        "1 kit is waiting",
        "for a baby up to 46\u00a0cm long",
        "straw",
        'fill="#e8d9a0"',
        "cable, wave",
        "some practice",
        "4\u00a0h to 6\u00a0h 30\u00a0min",
        "Village hall, blue cupboard",
        "from start to finish",
        "I'll sew this",
    ):
        assert words in text, words


def test_claiming_on_the_page(waiting_kit: Kit, volunteer: Person, sign_in: SignIn) -> None:
    """One tap takes the kit home and shows it among her own, with the due day written out."""
    response = sign_in(volunteer).post(claim_url(waiting_kit), follow=True)
    claim = Claim.objects.get()
    assert response.redirect_chain == [(MINE, 302)]
    assert f"It is due on {claim.due_on.day} {claim.due_on:%B %Y}." in response.content.decode()
    assert claim.person == volunteer


def test_only_waiting_kits_are_shown(group: Group, volunteer: Person, sign_in: SignIn) -> None:
    """Kits in any other state are not among those waiting."""
    for state in Kit.State:
        KitFactory(state=state, holder=volunteer if state == Kit.State.CLAIMED else None)
    assert "1 kit is waiting" in text_of(sign_in(volunteer), WAITING)


def test_memorial_kits_only_for_those_who_agreed(volunteer: Person, sign_in: SignIn) -> None:
    """Without agreement a memorial kit is neither shown nor counted; with it, it is named gently."""
    KitFactory(state=Kit.State.WAITING, purpose="memorial")
    client = sign_in(volunteer)
    assert "No kits are waiting just now" in text_of(client, WAITING)
    Person.objects.update(has_agreed_to_memorial=True)
    text = text_of(client, WAITING)
    assert "For babies who die, before or soon after birth." in text
    assert "emorial" not in text


@pytest.mark.parametrize(
    ("stage", "sentence"),
    [
        ("pleat", "Pleat 2 gowns. Somebody else smocks them next."),
        ("smock", "Smock 2 gowns, which are pleated already. Somebody else makes them up."),
        ("make up", "Make up 2 gowns, which are smocked already."),
    ],
)
def test_one_stage_is_a_whole_sentence(
    group: Group, volunteer: Person, sign_in: SignIn, stage: str, sentence: str
) -> None:
    """A kit of one stage says what there is to do, and who does the rest; whoever makes it up finds no floss in the bag."""
    kit = KitFactory(state=Kit.State.WAITING, stage=stage, is_pleated=stage != "pleat", gown_count=2)
    KitLineFactory(kit=kit, kind="floss")
    page = text_of(sign_in(volunteer), WAITING)
    assert sentence in page
    assert (", floss" in page) == (stage != "make up")


def test_filters(group: Group, volunteer: Person, sign_in: SignIn) -> None:
    """The list is narrowed by length and by how difficult it may be; what cannot be is ignored."""
    small = SizeFactory(lower_mass_g=500, upper_mass_g=750, body_length_um=330_000)
    KitFactory(state=Kit.State.WAITING, size=small)
    hard = KitFactory(state=Kit.State.WAITING, design_revision=DesignRevisionFactory(difficulty=3))
    client = sign_in(volunteer)
    assert "up to 33\u00a0cm long" not in text_of(client, f"{WAITING}?size={hard.size_id}")
    assert "up to 33\u00a0cm long" in text_of(client, f"{WAITING}?size={small.pk}")
    easy = text_of(client, f"{WAITING}?difficulty=1")
    assert "up to 33\u00a0cm long" in easy
    assert hard.code[:3] + "-" + hard.code[3:] not in easy
    none = text_of(client, f"{WAITING}?size={hard.size_id}&difficulty=2")
    assert "None of the kits waiting is like that. Choose fewer things above" in none
    assert '<details class="narrow" open>' in none
    assert "0 kits are as you chose" in none
    assert '<details class="narrow">' in text_of(client, WAITING)
    for odd in ("size=x", "difficulty=9", "page=x", f"size={10**30}", "size=%D9%A1"):
        assert client.get(f"{WAITING}?{odd}").status_code == 200


def test_at_the_limit_there_is_no_button(held_kit: Kit, volunteer: Person, sign_in: SignIn) -> None:
    """Who has as many kits as allowed may look, is told why, and is refused by a late form."""
    Group.objects.update(claim_limit_count=1)
    other = KitFactory(state=Kit.State.WAITING)
    client = sign_in(volunteer)
    text = text_of(client, WAITING)
    assert "as many as one person may have at once" in text
    assert claim_url(other) not in text
    from_the_letter = text_of(client, reverse("batches:kit_page", args=[other.code]))
    assert "as many as one person may have at once" in from_the_letter
    assert claim_url(other) not in from_the_letter
    response = client.post(claim_url(other))
    assert response.status_code == 409
    assert "One person may have 1 kit at once" in response.content.decode()


@pytest.mark.parametrize(
    ("state", "words"),
    [
        ("claimed", "Somebody else has just taken this kit."),
        ("returned", "It has been sewn and has come back."),
        ("lost", "It is not to be sewn just now."),
        ("written off", "It is not to be sewn just now."),
    ],
)
def test_a_kit_once_shown_answers_409(
    group: Group, volunteer: Person, colleague: Person, sign_in: SignIn, state: str, words: str
) -> None:
    """A late form for a kit she could see waiting is answered 409 and a sentence that is true of it."""
    kit = KitFactory(state=state, holder=colleague if state == "claimed" else None)
    response = sign_in(volunteer).post(claim_url(kit))
    assert response.status_code == 409
    assert words in response.content.decode()
    page = sign_in(volunteer).get(reverse("batches:kit_page", args=[kit.code]))
    assert page.status_code == 409
    assert ("Somebody else has taken it." if state == "claimed" else words) in page.content.decode()


@pytest.mark.parametrize(
    ("state", "purpose"),
    [
        ("planned", "worn"),
        ("cut", "worn"),
        ("packed", "worn"),
        ("waiting", "memorial"),
        ("claimed", "memorial"),
    ],
)
def test_a_kit_never_shown_answers_404(
    *, group: Group, volunteer: Person, colleague: Person, sign_in: SignIn, state: str, purpose: str
) -> None:
    """A kit she was never shown does not exist for her: the answer is that of a code nobody has."""
    holder = colleague if state == "claimed" else None
    kit = KitFactory(state=state, purpose=purpose, holder=holder)
    client = sign_in(volunteer)
    answers = [client.post(claim_url(kit)), client.post("/batches/kits/KNONE/claim/")]
    assert [answer.status_code for answer in answers] == [404, 404]
    ours, nobodys = (re.sub(rb'x-csrftoken": "\w+|value="\w+', b"", answer.content) for answer in answers)
    assert ours == nobodys
    assert client.get(reverse("batches:kit_page", args=[kit.code])).status_code == 404


def test_my_kits_say_what_next(held_kit: Kit, volunteer: Person, sign_in: SignIn) -> None:
    """Her kit shows its due day; a day that has passed is worded kindly."""
    Kit.objects.update(due_on=date(2026, 4, 7))
    text = text_of(sign_in(volunteer), MINE)
    assert "due on <strong>7 April 2026</strong>" in text
    assert "There is no harm in it" in text
    assert reverse("batches:kit_give_back", args=[held_kit.code]) in text


def test_nobody_is_chased_for_a_memorial_kit(volunteer: Person, sign_in: SignIn) -> None:
    """A memorial kit has no day on its holder's pages, and says nothing of being late."""
    volunteer.has_agreed_to_memorial = True
    volunteer.save()
    kit, client = KitFactory(state=Kit.State.WAITING, purpose="memorial"), sign_in(volunteer)
    path = reverse("batches:kit_page", args=[kit.code])
    assert "is due on" not in text_of(client, path)
    client.post(claim_url(kit))
    Kit.objects.update(due_on=date(2026, 4, 7))
    mine = text_of(client, MINE)
    assert "The kit is yours. Sew it in your own time." in mine
    for text in (mine, text_of(client, path)):
        assert not {word for word in ("day has passed", "due on") if word in text}


def test_no_kit_at_home(volunteer: Person, sign_in: SignIn) -> None:
    """An empty page leads to the kits waiting."""
    assert "You have no kit at home." in text_of(sign_in(volunteer), MINE)


def test_what_she_has_sewn_stays_listed(
    held_kit: Kit, volunteer: Person, inspector: Person, at: datetime, sign_in: SignIn
) -> None:
    """A kit that came back stands under what she has sewn and its page stays open to her."""
    return_gowns(kit=held_kit, gown_count=1, by=inspector, at=at)
    client = sign_in(volunteer)
    assert "What you have sewn" in text_of(client, MINE)
    assert client.get(reverse("batches:kit_page", args=[held_kit.code])).status_code == 200


def test_giving_back_on_the_page(
    held_kit: Kit, volunteer: Person, colleague: Person, packer: Person, sign_in: SignIn
) -> None:
    """She is asked once, so that no slip gives a kit away; a second press is told, a stranger's is a 404."""
    url = reverse("batches:kit_give_back", args=[held_kit.code])
    assert (sign_in(colleague).get(url).status_code, sign_in(colleague).post(url).status_code) == (404, 404)
    client = sign_in(volunteer)
    asked = text_of(client, url)
    assert client.head(url).status_code == 200  # as programs look that follow every link
    assert asked.index("Yes, I give it back") < asked.index("No, I keep it")
    assert Kit.objects.get().state == Kit.State.CLAIMED
    assert f"Does {volunteer.name} give it back?" in text_of(sign_in(packer), url)
    assert client.post(url).headers["Location"] == MINE
    assert client.post(url).status_code == 409
    assert "given back or brought in already" in client.get(url, follow=True).content.decode()
    assert Kit.objects.get().state == Kit.State.WAITING


def test_the_page_of_a_kit_by_its_printed_code(held_kit: Kit, volunteer: Person, sign_in: SignIn) -> None:
    """The code is read as printed, in small letters or with its dash."""
    printed = f"{held_kit.code[:3]}-{held_kit.code[3:]}".lower()
    assert "What is in the kit" not in text_of(sign_in(volunteer), f"/batches/kits/{printed}/")
    assert sign_in(volunteer).get(f"/batches/kits/{printed}/").status_code == 200


def test_a_kit_taken_since_it_was_shown(
    held_kit: Kit, volunteer: Person, colleague: Person, at: datetime, sign_in: SignIn
) -> None:
    """Its page says that it waits no more, how many do and what else suits; never who has it, nor anything of it."""
    other = KitFactory(state=Kit.State.WAITING)
    answer = sign_in(colleague).get(reverse("batches:kit_page", args=[held_kit.code]))
    text = answer.content.decode()
    assert answer.status_code == 409
    assert "Somebody else has taken it. There is 1 more waiting." in text
    assert claim_url(other) in text
    assert volunteer.name not in text
    assert spaced(held_kit.code) not in text


def test_a_kit_never_offered_does_not_exist(group: Group, colleague: Person, sign_in: SignIn) -> None:
    """The page of a kit that was never among those waiting for her is a 404, and so is it to another role."""
    kit = KitFactory(state=Kit.State.PACKED)
    hidden = KitFactory(state=Kit.State.WAITING, purpose="memorial")
    for each in (kit, hidden):
        assert sign_in(colleague).get(reverse("batches:kit_page", args=[each.code])).status_code == 404


def test_an_earlier_holder_sees_no_more(
    held_kit: Kit, volunteer: Person, colleague: Person, at: datetime, sign_in: SignIn
) -> None:
    """Once given back and taken by somebody else, a kit is no longer shown to who had it."""
    give_back(kit=held_kit, by=volunteer, at=at)
    claim_kit(kit=held_kit, by=colleague, at=at)
    answer = sign_in(volunteer).get(reverse("batches:kit_page", args=[held_kit.code]))
    assert answer.status_code == 409
    assert "No other kits are waiting just now" in answer.content.decode()
    assert colleague.name not in answer.content.decode()


def test_a_scanned_kit_can_be_taken(waiting_kit: Kit, volunteer: Person, sign_in: SignIn) -> None:
    """The page of a waiting kit, opened by its QR code, offers it."""
    text = text_of(sign_in(volunteer), reverse("batches:kit_page", args=[waiting_kit.code]))
    assert claim_url(waiting_kit) in text
    assert "Taken today it is due on" in text


@pytest.mark.parametrize("url", [WAITING, MINE])
def test_pages_of_volunteers_are_theirs(driver: Person, client: Client, sign_in: SignIn, url: str) -> None:
    """Another role is refused, a stranger is asked to sign in."""
    assert sign_in(driver).get(url).status_code == 403
    assert client.get(url).status_code == 302


def test_get_claims_nothing(waiting_kit: Kit, volunteer: Person, sign_in: SignIn) -> None:
    """Only a sent form claims."""
    assert sign_in(volunteer).get(claim_url(waiting_kit)).status_code == 405


def test_a_card_draws_its_gown(volunteer: Person, sign_in: SignIn) -> None:
    """A kit whose plan holds its pieces is drawn from them; one without is shown in words alone."""
    wrap = DesignSizeFactory()
    RectanglePiece.objects.create(
        design_size=wrap, name="wrap", piece_count=1, width_um=600_000, length_um=400_000
    )
    store_snapshot(KitFactory(state=Kit.State.WAITING, design_revision=wrap.revision, size=wrap.size))
    KitFactory(state=Kit.State.WAITING)
    text = text_of(sign_in(volunteer), WAITING)
    assert text.count('class="kit-drawing"') == 1
    assert text.count("sew this") == 2


def test_long_lists_take_few_queries(
    volunteer: Person, sign_in: SignIn, django_assert_max_num_queries: Callable[..., object]
) -> None:
    """With its gowns drawn once, the page of kits waiting takes at most fifteen queries."""
    KitFactory.create_batch(30, state=Kit.State.WAITING)
    client = sign_in(volunteer)
    text_of(client, WAITING)
    with django_assert_max_num_queries(15):  # type: ignore[attr-defined]
        text = text_of(client, WAITING)
    assert "30 kits are waiting" in text
    assert "Page 1 of 3" in text
