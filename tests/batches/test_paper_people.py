"""Those who work on paper: the coordinator finds them a kit while they are on the telephone, and rings when one suits."""

import re
from collections.abc import Callable
from datetime import datetime, timedelta

import pytest
import time_machine
from django.core import mail
from django.test import Client
from django.urls import reverse

from gowngroup.batches.actions import (
    KitArrangement,
    WishDetails,
    arrange_kit,
    ask_to_be_told,
    claim_kit,
    give_back,
    remind_sewers,
    say_finished,
    tell_those_waiting,
)
from gowngroup.batches.models import Call, Kit, KitWish, Letter, Stage
from gowngroup.people.models import Group, Person
from tests.factories import DesignRevisionFactory, KitFactory, PersonFactory

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person], Client]
DAY = timedelta(days=1)
TO_RING = "/batches/waiting/to-ring/"
NAMED = re.compile(r'name="letter" value="(\d+)"')


@pytest.fixture
def on_paper(group: Group) -> Person:
    """Somebody who sews and has neither email nor computer."""
    return PersonFactory(name="Olwen Pritchard", roles=["volunteer"], email="", telephone="01632 960333")


@pytest.fixture
def office(coordinator: Person, sign_in: SignIn) -> Client:
    """The coordinator's browser."""
    return sign_in(coordinator)


def page(client: Client, path: str, at: datetime) -> str:
    with time_machine.travel(at, tick=False):
        return client.get(path).content.decode()


def kit_for(person: Person) -> str:
    return reverse("batches:kit_for", args=[person.pk])


def test_who_rings_for_a_kit_gets_one_by_one_button(
    waiting_kit: Kit, on_paper: Person, office: Client
) -> None:
    """From her own page to what suits her; one button hands it out in her name."""
    assert kit_for(on_paper) in office.get(reverse("people:person_page", args=[on_paper.pk])).content.decode()
    text = office.get(kit_for(on_paper)).content.decode()
    assert "for a baby up to 46\u00a0cm long" in text
    assert f'name="code" value="{waiting_kit.code}"' in text
    answer = office.post(
        reverse("batches:kit_hand_out"),
        {"code": waiting_kit.code, "person": on_paper.pk, "request_key": "by-telephone"},
    )
    assert "Done" in answer.content.decode()
    assert Kit.objects.get(pk=waiting_kit.pk).holder == on_paper


def test_only_what_she_may_take_is_read_out(on_paper: Person, office: Client) -> None:
    """What suits comes first, the rest on asking; gowns for babies who die only where she has said yes."""
    Person.objects.filter(pk=on_paper.pk).update(practice=1)
    easy, hard = (
        KitFactory(state=Kit.State.WAITING, design_revision=DesignRevisionFactory(difficulty=level))
        for level in (1, 3)
    )
    gentle = KitFactory(
        state=Kit.State.WAITING, purpose="memorial", design_revision=DesignRevisionFactory(difficulty=1)
    )

    def shown(path: str) -> list[Kit]:
        return list(office.get(path).context["page_obj"])

    assert shown(kit_for(on_paper)) == [easy]
    assert shown(f"{kit_for(on_paper)}?all=yes") == [easy, hard]
    Person.objects.filter(pk=on_paper.pk).update(has_agreed_to_memorial=True)
    assert shown(kit_for(on_paper)) == [easy, gentle]
    assert "memorial" not in office.get(kit_for(on_paper)).content.decode()


def test_who_has_enough_at_home_is_read_nothing_to_take(
    waiting_kit: Kit, on_paper: Person, office: Client, at: datetime
) -> None:
    """The coordinator sees that she has as many kits as allowed, or is away, before she offers another."""
    Group.objects.update(claim_limit_count=1)
    Person.objects.filter(pk=on_paper.pk).update(away_until=at.date())
    claim_kit(kit=KitFactory(state=Kit.State.WAITING), by=on_paper, at=at)
    text = page(office, kit_for(on_paper), at)
    assert "She has 1 kit at home, which is as many as one person may have at once." in text
    assert "She is away until 10 March 2026." in text
    assert f'name="code" value="{waiting_kit.code}"' not in text


def test_she_waits_for_a_kit_and_is_rung(
    waiting_kit: Kit, on_paper: Person, office: Client, at: datetime
) -> None:
    """Noted by the coordinator, she has her turn like everybody, stands on the list, and leaves it by one button."""
    assert "There is nobody to ring" in page(office, TO_RING, at)
    with time_machine.travel(at, tick=False):
        assert office.post(kit_for(on_paper), {"request_key": "wish"}).status_code == 302
    assert KitWish.objects.get().person == on_paper
    tell_those_waiting(at=at)
    tell_those_waiting(at=at)
    assert Letter.objects.get().is_by_mail is False
    text = page(office, TO_RING, at)
    assert on_paper.telephone in text
    assert f"?code={waiting_kit.code}&amp;person={on_paper.pk}" in text
    assert "1 person is to be rung." in page(office, "/", at)
    later = KitFactory(state=Kit.State.WAITING)
    arrange_kit(kit=later, arrangement=KitArrangement(kept_for=on_paper), by=on_paper, at=at)
    shown = {"request_key": "told", "letter": [*NAMED.findall(text), "²", "9" * 5000]}
    with time_machine.travel(at, tick=False):
        told = office.post(f"{TO_RING}{on_paper.pk}/", shown, follow=True).content.decode()
    assert "Noted: Olwen Pritchard knows." in told
    assert [code in told for code in (waiting_kit.code, later.code)] == [
        False,
        True,
    ]  # nobody has said that one yet
    told = page(office, TO_RING, at)
    with time_machine.travel(at, tick=False):
        office.post(f"{TO_RING}{on_paper.pk}/", {"request_key": "again", "letter": NAMED.findall(told)})
    assert "There is nobody to ring" in page(office, TO_RING, at)
    assert mail.outbox == []


def test_her_turn_keeps_a_kit_from_others_for_a_day(
    waiting_kit: Kit, on_paper: Person, colleague: Person, at: datetime
) -> None:
    """Who has waited longer is first, with or without email; the next is told a day later."""
    for person, days in ((on_paper, 9), (colleague, 3)):
        ask_to_be_told(details=WishDetails(), person=person, by=person, at=at - days * DAY)
    assert tell_those_waiting(at=at) == 0
    assert tell_those_waiting(at=at + 2 * DAY) == 1


def test_what_is_no_longer_so_is_not_rung_about(
    waiting_kit: Kit, on_paper: Person, colleague: Person, office: Client, at: datetime
) -> None:
    """A kit somebody has taken since leaves the list; so does everything once she waits no more."""
    ask_to_be_told(details=WishDetails(), person=on_paper, by=on_paper, at=at)
    tell_those_waiting(at=at)
    claim_kit(kit=waiting_kit, by=colleague, at=at)
    assert "There is nobody to ring" in page(office, TO_RING, at)
    give_back(kit=Kit.objects.get(pk=waiting_kit.pk), by=colleague, at=at)
    assert on_paper.name in page(office, TO_RING, at)
    office.post(f"{kit_for(on_paper)}stop/", {"request_key": "stop"})
    assert not KitWish.objects.exists()
    assert "There is nobody to ring" in page(office, TO_RING, at)


def test_a_kit_kept_for_her_is_rung_about(
    waiting_kit: Kit, on_paper: Person, packer: Person, office: Client, at: datetime
) -> None:
    """Who cannot be written to is rung when a kit is kept for her, and told what of it is to be done."""
    arrange_kit(kit=waiting_kit, arrangement=KitArrangement(kept_for=on_paper), by=packer, at=at)
    whole = page(office, TO_RING, at)
    assert "A kit is kept for her:" in whole
    Kit.objects.filter(pk=waiting_kit.pk).update(stage=Stage.PLEAT)
    pleat = page(office, TO_RING, at)
    assert [text.count("Somebody else smocks") for text in (whole, pleat)] == [0, 1]


@pytest.mark.parametrize("fields", [{"email": ""}, {"reminded_by": "telephone"}, {"reminded_by": "post"}])
def test_a_day_near_is_said_by_telephone(
    held_kit: Kit, volunteer: Person, office: Client, at: datetime, fields: dict[str, str]
) -> None:
    """Reminders of those who are not written to stand there before and on the day, once each, until they have finished."""
    Person.objects.filter(pk=volunteer.pk).update(**fields)
    Kit.objects.update(due_on=at.date() + DAY)
    assert (remind_sewers(at=at), remind_sewers(at=at + DAY)) == (0, 0)
    assert page(office, TO_RING, at + DAY).count("Her kit is due on Wednesday, 11 March.") == 1
    assert mail.outbox == []
    assert "There is nobody to ring" in page(office, TO_RING, at + 2 * DAY)  # then among those past their day
    say_finished(kit=held_kit, gown_count=1, are_needles_counted=True, by=volunteer, at=at)
    assert "There is nobody to ring" in page(office, TO_RING, at)


def test_nobody_is_rung_about_a_memorial_kit_nor_against_her_wish(
    volunteer: Person, office: Client, at: datetime
) -> None:
    """Neither for gowns for babies who die, nor who asked not to be reminded, nor after the day by this list."""
    Person.objects.filter(pk=volunteer.pk).update(has_agreed_to_memorial=True, reminded_by="telephone")
    volunteer.refresh_from_db()
    gentle = claim_kit(kit=KitFactory(state=Kit.State.WAITING, purpose="memorial"), by=volunteer, at=at).kit
    worn = claim_kit(kit=KitFactory(state=Kit.State.WAITING), by=volunteer, at=at).kit
    Kit.objects.filter(pk=gentle.pk).update(due_on=at.date())
    Kit.objects.filter(pk=worn.pk).update(due_on=at.date() - 6 * DAY)
    remind_sewers(at=at)
    Person.objects.filter(pk=volunteer.pk).update(reminded_by="none")
    Kit.objects.filter(pk=worn.pk).update(due_on=at.date())
    remind_sewers(at=at)
    assert not Letter.objects.exists()


def test_on_the_pages_too_she_is_told_that_we_ring(
    on_paper: Person, waiting_kit: Kit, sign_in: SignIn
) -> None:
    """Without an address, signed in by a printed letter, she may wait for a kit herself and reads that we ring."""
    client = sign_in(on_paper)
    assert "so the coordinator rings you" in client.get(reverse("batches:kit_wish")).content.decode()
    answer = client.post(reverse("batches:kit_wish"), {"request_key": "k"}, follow=True)
    assert "We will ring you when a kit that suits you is waiting." in answer.content.decode()


def test_the_post_is_asked_for_by_telephone(
    held_kit: Kit, volunteer: Person, packer: Person, sign_in: SignIn
) -> None:
    """A kit that can be posted is asked for by whoever takes the call; it is hers, and the answer says it is noted."""
    Kit.objects.update(can_be_posted=True)
    client = sign_in(packer)
    path = reverse("batches:kit_page", args=[held_kit.code])
    assert "Volunteer asks to have it posted" in client.get(path).content.decode()
    answer = client.post(reverse("batches:kit_post", args=[held_kit.code]), {"request_key": "p"}, follow=True)
    assert "Noted for Volunteer." in answer.content.decode()
    assert Call.objects.get().person == volunteer


@pytest.mark.parametrize("roles", [["driver"], ["inspector"]])
def test_a_kit_is_found_only_for_those_who_sew(office: Client, roles: list[str]) -> None:
    """Nobody else has such a page, nor who has left, and the page of such a person leads to none."""
    person = PersonFactory(roles=roles)
    assert office.get(kit_for(person)).status_code == 404
    assert kit_for(person) not in office.get(f"/people/{person.pk}/").content.decode()
    assert office.get(kit_for(PersonFactory(roles=["volunteer"], is_active=False))).status_code == 404
