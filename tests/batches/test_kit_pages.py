"""Pages of those who run the cupboard: the list of kits, handing out, late kits, ends of kits."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from gowngroup.batches.models import Claim, Kit
from gowngroup.people.models import Person
from tests.factories import KitFactory, KitLineFactory, PersonFactory

pytestmark = pytest.mark.django_db

SignIn = Callable[[Person], Client]
HAND_OUT = "/batches/kits/hand-out/"


def text_of(client: Client, url: str) -> str:
    return client.get(url).content.decode()


def test_the_list_is_searched_by_code_person_and_state(
    held_kit: Kit, volunteer: Person, inspector: Person, sign_in: SignIn
) -> None:
    """Kits are found by code as printed, holder, design and state."""
    other = KitFactory()
    client, url = sign_in(inspector), reverse("batches:kit_list")
    address = reverse("batches:kit_page", args=[held_kit.code])
    for query in (
        f"search={held_kit.code[:3]}-{held_kit.code[3:]}",
        f"search={volunteer.name}",
        "state=claimed",
    ):
        text = text_of(client, f"{url}?{query}")
        assert address in text
        assert reverse("batches:kit_page", args=[other.code]) not in text
    assert "No kit is like that." in text_of(client, f"{url}?search=zzz")
    assert client.get(f"{url}?state=nonsense&page=99").status_code == 200


def test_no_kits_yet(packer: Person, sign_in: SignIn) -> None:
    """Empty lists say what to do."""
    client = sign_in(packer)
    assert "There are no kits yet" in text_of(client, reverse("batches:kit_list"))
    assert "See the lays to cut" in text_of(client, reverse("batches:kits_to_pack"))
    assert "See the kits to pack" in text_of(client, reverse("batches:lay_list"))


def test_handing_out_by_code(waiting_kit: Kit, packer: Person, sign_in: SignIn) -> None:
    """A packer types the code as printed and chooses who takes the kit home."""
    neighbour = PersonFactory(name="Neighbour", email="", roles=["volunteer"])
    typed = f" {waiting_kit.code[:3]}-{waiting_kit.code[3:]} ".lower()
    response = sign_in(packer).post(HAND_OUT, {"code": typed, "person": neighbour.pk}, follow=True)
    assert "goes to Neighbour and is due on" in response.content.decode()
    assert Claim.objects.get().person == neighbour


def test_bad_hand_outs_come_back(
    waiting_kit: Kit, volunteer: Person, packer: Person, driver: Person, sign_in: SignIn
) -> None:
    """An unknown code, a missing or other person, a kit not offered: a sentence, and nothing changes."""
    client, packed = sign_in(packer), KitFactory(state=Kit.State.PACKED)
    tries = {
        ("K9999X", str(volunteer.pk)): (422, "No kit has this code"),
        (waiting_kit.code, ""): (422, "Choose who takes it home"),
        (waiting_kit.code, str(driver.pk)): (422, "Select a valid choice"),
        (packed.code, str(volunteer.pk)): (409, "Pack and offer it first"),
    }
    for (code, person), (status, sentence) in tries.items():
        response = client.post(HAND_OUT, {"code": code, "person": person})
        assert response.status_code == status
        assert sentence in response.content.decode()
        assert f"You typed “{code}”." in response.content.decode()  # the field itself waits for the next scan
    assert not Claim.objects.exists()


def test_a_taken_kit_is_not_handed_out(
    held_kit: Kit, colleague: Person, packer: Person, sign_in: SignIn
) -> None:
    """Handing out a kit that somebody has just taken is answered 409 beside the code."""
    response = sign_in(packer).post(HAND_OUT, {"code": held_kit.code, "person": colleague.pk})
    assert response.status_code == 409
    assert "Somebody else has just taken this kit." in response.content.decode()


def test_late_kits(held_kit: Kit, coordinator: Person, volunteer: Person, sign_in: SignIn) -> None:
    """The coordinator sees kits past their day with whom to ring, the longest first, memorial ones never."""
    today = timezone.now().date()
    Kit.objects.update(due_on=today - timedelta(days=2))
    on_time = KitFactory(state="claimed", holder=volunteer, due_on=today + timedelta(days=2))
    gentle = KitFactory(state="claimed", holder=volunteer, due_on=date(2026, 1, 1), purpose="memorial")
    text = text_of(sign_in(coordinator), reverse("batches:kits_overdue"))
    assert held_kit.code[3:] in text
    for kit in (on_time, gentle):
        assert reverse("batches:kit_page", args=[kit.code]) not in text
    assert "emorial" not in text


def test_no_late_kits(coordinator: Person, packer: Person, sign_in: SignIn) -> None:
    """An empty list of late kits says so, and is the coordinator's alone."""
    url = reverse("batches:kits_overdue")
    assert "No kit is past its day." in text_of(sign_in(coordinator), url)
    assert sign_in(packer).get(url).status_code == 403


def test_giving_more_time(held_kit: Kit, packer: Person, sign_in: SignIn) -> None:
    """A new day is noted; a day that is past comes back with what was typed."""
    client, url = sign_in(packer), reverse("batches:kit_due", args=[held_kit.code])
    assert client.get(url).status_code == 200
    for typed, sentence in (("2020-01-01", "within a year"), ("soon", "Enter a valid date")):
        response = client.post(url, {"due_on": typed})
        assert response.status_code == 422
        assert sentence in response.content.decode()
        assert f'value="{typed}"' in response.content.decode()
    new = timezone.now().date() + timedelta(days=40)
    assert client.post(url, {"due_on": new.isoformat()}).status_code == 302
    assert Kit.objects.get().due_on == new


@pytest.mark.parametrize("end", ["lost", "written off"])
def test_ending_a_kit(held_kit: Kit, packer: Person, sign_in: SignIn, end: str) -> None:
    """A kit is lost or written off with a reason; without one the form comes back."""
    client, url = sign_in(packer), reverse("batches:kit_end", args=[held_kit.code])
    assert client.get(url).status_code == 200
    assert client.post(url, {"end": end, "reason": " "}).status_code == 422
    assert client.post(url, {"end": end, "reason": "Flood in the shed"}, follow=True).status_code == 200
    assert Kit.objects.get().state == end
    assert client.post(url, {"end": end, "reason": "again"}).status_code == 409


def test_a_kits_page_for_staff(held_kit: Kit, packer: Person, volunteer: Person, sign_in: SignIn) -> None:
    """Staff see who has a kit, what is in it and what can be done; a packer gives it back from there."""
    KitLineFactory(kit=held_kit, text="a reel of thread")
    client, url = sign_in(packer), reverse("batches:kit_page", args=[held_kit.code])
    text = text_of(client, url)
    for words in (volunteer.name, "a reel of thread", "Give more time", "Lost or written off"):
        assert words in text
    response = client.post(reverse("batches:kit_give_back", args=[held_kit.code]))
    assert response.headers["Location"] == url


@pytest.mark.parametrize("state", list(Kit.State))
def test_a_kits_page_in_every_state(
    group: object, coordinator: Person, volunteer: Person, sign_in: SignIn, state: str
) -> None:
    """The page of a kit opens whatever its state."""
    kit = KitFactory(state=state, holder=volunteer if state == "claimed" else None)
    assert sign_in(coordinator).get(reverse("batches:kit_page", args=[kit.code])).status_code == 200
    assert sign_in(coordinator).get(reverse("batches:kit_packing", args=[kit.code])).status_code == 200


def test_packers_pages_are_theirs(held_kit: Kit, volunteer: Person, client: Client, sign_in: SignIn) -> None:
    """Volunteers are refused on the pages of the cupboard, strangers are asked to sign in."""
    urls = [
        reverse(f"batches:{name}")
        for name in ("kit_list", "lay_list", "kits_to_pack", "kit_hand_out", "kits_overdue")
    ] + [reverse(f"batches:{name}", args=[held_kit.code]) for name in ("kit_packing", "kit_due", "kit_end")]
    own = sign_in(volunteer)
    assert {own.get(url).status_code for url in urls} == {403}
    assert {client.get(url).status_code for url in urls} == {302}
    buttons = [reverse(f"batches:{name}", args=[held_kit.code]) for name in ("kit_pack", "kit_offer")]
    assert {own.post(url).status_code for url in [*buttons, reverse("batches:kits_offer")]} == {403}
