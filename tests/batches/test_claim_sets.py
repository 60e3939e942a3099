"""Matched sets go out and come back as one; kits that are sewn stage by stage go from hand to hand."""

from collections.abc import Callable
from datetime import date, datetime

import pytest
from django.core import mail
from django.test import Client
from django.urls import reverse

from gowngroup.batches.actions import (
    CannotBeKept,
    KeptForSomebody,
    KitArrangement,
    KitMovedOn,
    KitNotHeld,
    NotHers,
    NotOffered,
    StageUnsuitable,
    arrange_kit,
    claim_for,
    claim_kit,
    extend_due,
    give_back,
    hand_on,
    undo_claim,
)
from gowngroup.batches.models import Claim, HandOver, Kit, MatchedSet
from gowngroup.batches.planner.next_step import handed_on
from gowngroup.batches.queries import bundle_count, kit_violations, waiting_kits
from gowngroup.people.models import Group, Person
from gowngroup.planning.hours import HoursRules
from gowngroup.records.queries import figures_in_force
from tests.factories import ChartFactory, DesignRevisionFactory, KitFactory, PersonFactory

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person], Client]


@pytest.fixture
def twins(group: Group) -> list[Kit]:
    """Two kits of one matched set, both waiting."""
    matched = MatchedSet.objects.create()
    return [KitFactory(state=Kit.State.WAITING, matched_set=matched) for _each in range(2)]


@pytest.fixture
def smocked(group: Group) -> Kit:
    """A packed kit of a gown with smocking."""
    return KitFactory(state=Kit.State.PACKED, design_revision=DesignRevisionFactory(chart=ChartFactory()))


def states(kits: list[Kit]) -> set[str]:
    return set(Kit.objects.filter(pk__in=[kit.pk for kit in kits]).values_list("state", flat=True))


def test_a_set_is_claimed_and_given_back_as_one(twins: list[Kit], volunteer: Person, at: datetime) -> None:
    """Taking one kit of a set takes all of it, giving one back gives all of it back; it counts as one."""
    Group.objects.update(claim_limit_count=1)
    claim = claim_kit(kit=twins[1], by=volunteer, at=at)
    assert (claim.kit, states(twins), bundle_count(volunteer)) == (twins[1], {"claimed"}, 1)
    extend_due(kit=claim.kit, due_on=date(2026, 5, 1), by=volunteer, at=at)
    assert set(Claim.objects.values_list("due_on", flat=True)) == {date(2026, 5, 1)}
    give_back(kit=Kit.objects.get(pk=twins[0].pk), by=volunteer, at=at)
    assert states(twins) == {"waiting"}
    assert kit_violations() == []


def test_a_set_is_one_card(twins: list[Kit], volunteer: Person, sign_in: SignIn) -> None:
    """A set stands once among the kits waiting, names its fellow and its hours in all, and both kits' codes open their page."""
    Kit.objects.update(minutes_low=240, minutes_high=390)
    page = sign_in(volunteer).get(reverse("batches:kits_waiting")).content.decode()
    assert "1 kit is waiting" in page
    assert "A matched set, cut from one cloth" in page
    assert "The whole set usually takes 8\u00a0h to 13\u00a0h." in page
    assert page.count(reverse("batches:kit_claim", args=[twins[0].code])) == 1
    for kit in twins:
        answer = sign_in(volunteer).get(reverse("batches:kit_page", args=[kit.code]))
        assert "I&#x27;ll sew these" in answer.content.decode() or "I'll sew these" in answer.content.decode()


def test_a_set_is_not_offered_in_part(
    twins: list[Kit], volunteer: Person, packer: Person, at: datetime
) -> None:
    """While one kit of a set is not offered, the other is neither shown nor handed out."""
    Kit.objects.filter(pk=twins[0].pk).update(state=Kit.State.PACKED, offered_at=None)
    assert not waiting_kits(volunteer).exists()
    with pytest.raises(NotOffered, match="Offer the other kits of the set first"):
        claim_for(kit=twins[1], person=volunteer, by=packer, at=at)


def test_what_is_left_of_a_set_can_be_taken(twins: list[Kit], volunteer: Person, at: datetime) -> None:
    """A set whose other kit was lost is taken alone."""
    Kit.objects.filter(pk=twins[0].pk).update(state=Kit.State.LOST)
    claim_kit(kit=twins[1], by=volunteer, at=at)
    assert states(twins) == {"lost", "claimed"}


def test_stages_go_from_hand_to_hand(
    smocked: Kit, volunteer: Person, colleague: Person, packer: Person, at: datetime
) -> None:
    """A kit offered to be pleated waits to be smocked, then to be made up, and it is kept who had it when."""
    Kit.objects.filter(pk=smocked.pk).update(state=Kit.State.WAITING, offered_at=at)
    arrange_kit(kit=smocked, arrangement=KitArrangement(stage="pleat"), by=packer, at=at)
    claim_kit(kit=smocked, by=volunteer, at=at)
    hand_on(kit=smocked, are_needles_counted=True, duration_min=30, by=volunteer, at=at)
    smocked.refresh_from_db()
    assert (smocked.state, smocked.stage, smocked.is_pleated, smocked.holder) == (
        "waiting",
        "smock",
        True,
        None,
    )
    claim_kit(kit=smocked, by=colleague, at=at)
    hand_on(kit=smocked, are_needles_counted=True, by=packer, at=at)
    smocked.refresh_from_db()
    assert smocked.stage == "make up"
    first, second = HandOver.objects.order_by("pk")
    assert (first.from_person, first.to_person, first.stage) == (volunteer, colleague, "pleat")
    assert (second.from_person, second.to_person, second.stage) == (colleague, None, "smock")
    assert Claim.objects.filter(end=Claim.End.HANDED_ON).count() == 2
    assert kit_violations() == []


def test_the_next_one_may_be_named(
    smocked: Kit,
    volunteer: Person,
    colleague: Person,
    sign_in: SignIn,
    at: datetime,
    django_capture_on_commit_callbacks: Callable[..., object],
) -> None:
    """A kit handed on to somebody is kept for her: she is written to, sees it first, and nobody else may take it."""
    Kit.objects.filter(pk=smocked.pk).update(state=Kit.State.WAITING, offered_at=at, stage="pleat")
    claim_kit(kit=smocked, by=volunteer, at=at)
    url = reverse("batches:kit_hand_on", args=[smocked.code])
    client = sign_in(volunteer)
    unknown = client.post(url, {"are_needles_counted": "yes", "to": "Nobody Known"})
    assert unknown.status_code == 422
    assert "We cannot tell who “Nobody Known” is." in unknown.content.decode()
    Person.objects.filter(pk=colleague.pk).update(name="Lotte Example")
    with django_capture_on_commit_callbacks(execute=True):  # type: ignore[attr-defined]
        answer = client.post(url, {"are_needles_counted": "yes", "to": " lotte "}, follow=True)
    assert "The kit is kept for lotte. Give it to her" in answer.content.decode()
    assert "Lotte Example" not in answer.content.decode()
    assert [letter.to for letter in mail.outbox] == [[colleague.email]]
    assert "A kit is kept for you" in mail.outbox[0].subject
    assert "Nobody else can take it" in str(mail.outbox[0].body)
    assert "quicker" not in str(mail.outbox[0].body)
    assert list(waiting_kits(colleague)) == [smocked]
    assert not waiting_kits(volunteer).exists()
    with pytest.raises(KeptForSomebody):
        claim_kit(kit=smocked, by=PersonFactory(roles=["volunteer"]), at=at)
    for page in ("home:home", "batches:kits_waiting"):
        assert "kept for you" in sign_in(colleague).get(reverse(page)).content.decode()
    claim_kit(kit=smocked, by=colleague, at=at)
    assert Kit.objects.get(pk=smocked.pk).kept_for is None


def test_what_is_kept_for_her_can_be_left_to_others(
    twins: list[Kit], volunteer: Person, colleague: Person, sign_in: SignIn
) -> None:
    """One button lets a kept kit go with its set, once; of another's kept kit nothing is changed."""
    Kit.objects.update(kept_for=volunteer)
    let_go = reverse("batches:kit_let_go", args=[twins[0].code])
    client = sign_in(volunteer)
    assert let_go in client.get(reverse("batches:kits_waiting")).content.decode()
    assert let_go in client.get(reverse("batches:kit_page", args=[twins[0].code])).content.decode()
    assert sign_in(colleague).post(let_go).status_code == 409
    assert Kit.objects.filter(kept_for=volunteer).count() == 2
    assert "waiting for somebody else now" in client.post(let_go, follow=True).content.decode()
    assert not Kit.objects.filter(kept_for__isnull=False).exists()
    assert client.post(let_go).status_code == 409
    assert let_go not in client.get(reverse("batches:kits_waiting")).content.decode()


def test_where_a_finished_stage_goes_is_said(volunteer: Person) -> None:
    """Into the next hands, to the group's place, or simply in."""
    group = Group(pick_up_place="Village hall")
    assert handed_on("", group=group).endswith("for its next pair of hands: Village hall.")
    assert handed_on("", group=Group()).endswith("bring it in, for its next pair of hands.")


def test_a_stage_given_back_is_nobodys(
    smocked: Kit, volunteer: Person, colleague: Person, packer: Person, at: datetime
) -> None:
    """Who gave a stage back unsewn does not stand in the hand-over; who takes it then does."""
    Kit.objects.filter(pk=smocked.pk).update(state=Kit.State.WAITING, offered_at=at, stage="pleat")
    claim_kit(kit=smocked, by=volunteer, at=at)
    hand_on(kit=smocked, are_needles_counted=True, by=volunteer, at=at)
    claim_kit(kit=smocked, by=colleague, at=at)
    give_back(kit=smocked, by=colleague, at=at)
    assert HandOver.objects.get().to_person is None
    claim_kit(kit=smocked, by=packer, at=at)
    assert HandOver.objects.get().to_person == packer


def test_a_slip_at_the_table_is_undone_as_if_it_had_not_been(
    twins: list[Kit], volunteer: Person, packer: Person, at: datetime
) -> None:
    """A kit that was kept for somebody is kept for her again; her own giving back leaves it to whoever would like it."""
    Kit.objects.filter(pk=twins[0].pk).update(kept_for=volunteer)
    undo_claim(claim=claim_for(kit=twins[0], person=volunteer, by=packer, at=at), by=packer, at=at)
    assert states(twins) == {"waiting"}
    assert list(Kit.objects.order_by("pk").values_list("kept_for", flat=True)) == [volunteer.pk, None]
    claim_kit(kit=twins[0], by=volunteer, at=at)
    give_back(kit=Kit.objects.get(pk=twins[0].pk), by=volunteer, at=at)
    assert not Kit.objects.filter(kept_for__isnull=False).exists()


def test_a_slip_undone_too_late_takes_nobodys_kit(
    held_kit: Kit, volunteer: Person, colleague: Person, packer: Person, at: datetime
) -> None:
    """Whoever has claimed the kit since keeps it: undone is the one claim, not whichever there is now."""
    slip = Claim.objects.get()
    give_back(kit=held_kit, by=volunteer, at=at)
    claim_kit(kit=Kit.objects.get(pk=held_kit.pk), by=colleague, at=at)
    with pytest.raises(KitNotHeld):
        undo_claim(claim=slip, by=packer, at=at)
    assert Kit.objects.get().holder == colleague


@pytest.mark.parametrize(
    ("arrangement", "words"),
    [
        (KitArrangement(stage="pleat", is_pleated=True), "only a pleated one can be smocked"),
        (KitArrangement(stage="smock"), "only a pleated one can be smocked"),
    ],
)
def test_a_stage_fits_what_is_done(
    smocked: Kit, packer: Person, at: datetime, arrangement: KitArrangement, words: str
) -> None:
    """What is pleated is not pleated again, and what is not cannot be smocked."""
    with pytest.raises(StageUnsuitable, match=words):
        arrange_kit(kit=smocked, arrangement=arrangement, by=packer, at=at)


def test_not_every_kit_has_stages(twins: list[Kit], waiting_kit: Kit, packer: Person, at: datetime) -> None:
    """A matched set is one pair of hands' work, and a gown without smocking is not pleated."""
    with pytest.raises(StageUnsuitable, match="one pair of hands"):
        arrange_kit(kit=twins[0], arrangement=KitArrangement(stage="pleat"), by=packer, at=at)
    with pytest.raises(StageUnsuitable, match="is not smocked"):
        arrange_kit(kit=waiting_kit, arrangement=KitArrangement(is_pleated=True), by=packer, at=at)


def test_a_kit_is_arranged_until_it_is_taken(held_kit: Kit, packer: Person, at: datetime) -> None:
    """How a kit goes out cannot change once it is out."""
    with pytest.raises(KitMovedOn, match="being sewn"):
        arrange_kit(kit=held_kit, arrangement=KitArrangement(place="shop"), by=packer, at=at)


def test_memorial_kits_are_kept_for_those_who_agreed(volunteer: Person, packer: Person, at: datetime) -> None:
    """Nobody is asked to sew one, or told that it is one, by keeping it for her; nor for who has left."""
    kit = KitFactory(state=Kit.State.PACKED, purpose="memorial")
    for person in (volunteer, PersonFactory(is_active=False)):
        with pytest.raises(CannotBeKept):
            arrange_kit(kit=kit, arrangement=KitArrangement(kept_for=person), by=packer, at=at)


def test_only_its_holder_hands_a_kit_on(
    held_kit: Kit, volunteer: Person, colleague: Person, at: datetime, sign_in: SignIn
) -> None:
    """A stranger cannot say that a stage is done; a whole gown is not handed on, and its page leads to the other."""
    with pytest.raises(NotHers):
        hand_on(kit=held_kit, are_needles_counted=True, by=colleague, at=at)
    with pytest.raises(StageUnsuitable, match="say that it is finished"):
        hand_on(kit=held_kit, are_needles_counted=True, by=volunteer, at=at)
    answer = sign_in(volunteer).get(reverse("batches:kit_hand_on", args=[held_kit.code]))
    assert answer["Location"] == reverse("batches:kit_finish", args=[held_kit.code])


def test_how_a_kit_goes_out_is_set_on_its_page(smocked: Kit, packer: Person, sign_in: SignIn) -> None:
    """Place, post, stage and whom it is kept for are chosen on one page; what cannot be is said."""
    client, url = sign_in(packer), reverse("batches:kit_arrange", args=[smocked.code])
    assert client.get(url).status_code == 200
    refused = client.post(url, {"stage": "make up", "place": "Library"})
    assert (refused.status_code, "Library" in refused.content.decode()) == (422, True)
    answer = client.post(
        url, {"stage": "smock", "is_pleated": "on", "place": "Library", "can_be_posted": "on"}
    )
    assert answer.status_code == 302
    smocked.refresh_from_db()
    assert (smocked.stage, smocked.is_pleated, smocked.place, smocked.can_be_posted) == (
        "smock",
        True,
        "Library",
        True,
    )


def test_hours_follow_the_stage(smocked: Kit, packer: Person, at: datetime) -> None:
    """The hours of a kit are those of its stage by its plan; a plan that does not say leaves none."""
    assert (
        HoursRules.from_figures(figures_in_force()).pleat_min == 18
    )  # handbook of the trade: 0.3 h, common practice
    arrange_kit(kit=smocked, arrangement=KitArrangement(stage="pleat"), by=packer, at=at)
    assert (smocked.minutes_low, smocked.minutes_high) == (0, 0)
