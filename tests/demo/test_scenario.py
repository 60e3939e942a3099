"""The invented months hold something true for every page to show."""

from datetime import timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from django.core.mail import EmailMultiAlternatives
from django.db.models import Count, F
from django.test import override_settings
from django.utils import timezone

from gowngroup.batches.models import Batch, Claim, Kit, KitReturn, Letter, Plan, RowDone, Stage
from gowngroup.batches.planner.document import StoredPlan
from gowngroup.batches.queries import kits_out
from gowngroup.catalog.models import Design, MaterialKind, Size
from gowngroup.deliveries.models import DropOff
from gowngroup.demo.people import WITHOUT_EMAIL
from gowngroup.demo.post import CLOSED
from gowngroup.demo.shelf import CLOTH
from gowngroup.gowns.models import Gown, GownCheck
from gowngroup.gowns.queries import gowns_for
from gowngroup.home.audit import violations
from gowngroup.home.queries import month_rows, paused_wards
from gowngroup.people.actions.post import hand_over
from gowngroup.people.models import Person, Role, UnsentLetter
from gowngroup.people.outbox import letters
from gowngroup.people.queries import people_with
from gowngroup.records.models import TrailLine
from gowngroup.stock.models import LedgerLine, Lot, Material
from gowngroup.wards.models import RequestLine, Ward, WardRequest
from gowngroup.wards.queries import low_shelf_levels
from tests.demo.built import OUTBOX, TODAY

pytestmark = pytest.mark.usefixtures("demo")


def test_the_books_agree() -> None:
    """The audit of all rooms finds nothing."""
    assert violations() == []


def test_the_circle_is_as_large_as_told() -> None:
    """Thirty-four volunteers; some have no email address, and two share one."""
    sewing = people_with(Role.VOLUNTEER)
    assert sewing.count() == 34
    assert sewing.filter(email="").count() == len(WITHOUT_EMAIL)
    shared = sewing.exclude(email="").values("email").annotate(people=Count("pk")).filter(people=2)
    assert shared.count() == 1


@pytest.mark.parametrize("role", Role.values)
def test_every_role_is_held_by_somebody(role: str) -> None:
    """A visitor can be anybody of the cast."""
    assert people_with(role).exists()


def test_wards_designs_and_sizes_are_as_told() -> None:
    """Two wards of one hospital and one of another, three designs being made and two put by, ten sizes."""
    assert sorted(
        Ward.objects.values_list("hospital").annotate(Count("pk")).values_list("pk__count", flat=True)
    ) == [1, 2]
    assert [Design.objects.filter(is_active=is_made).count() for is_made in (True, False)] == [3, 2]
    assert Size.objects.count() == 10


def test_the_shelf_is_as_such_groups_own_it() -> None:
    """Some forty lots of cloth of odd widths and lengths, some unwashed, some flawed; cards and skeins part-used."""
    cloth = Lot.objects.filter(material__kind=MaterialKind.CLOTH)
    assert cloth.count() == len(CLOTH) >= 40
    assert set(cloth.values_list("state", flat=True)) == set(Lot.State.values)
    assert cloth.filter(width_um__lt=1_000_000).exists()
    assert cloth.filter(width_um__gt=1_400_000).exists()
    assert cloth.exclude(flaws=[]).exists()
    opened = Lot.objects.filter(material__kind__in=["floss", "lace", "ribbon"], package_amount=None)
    assert opened.filter(on_hand_amount__gt=0).count() > 10


@pytest.mark.parametrize("state", Batch.State.values)
def test_a_batch_is_at_every_stage(state: str) -> None:
    """Batches stand at every stage at once."""
    assert Batch.objects.filter(state=state).exists()


@pytest.mark.parametrize("state", Kit.State.values)
def test_a_kit_is_in_every_state(state: str) -> None:
    """From planned to back, lost and written off."""
    assert Kit.objects.filter(state=state).exists()


@pytest.mark.parametrize("state", Gown.State.values)
def test_a_gown_is_in_every_state(state: str) -> None:
    """From back to delivered, set aside and practice piece."""
    assert Gown.objects.filter(state=state).exists()


@pytest.mark.parametrize("outcome", GownCheck.Outcome.values)
def test_every_outcome_of_a_check_occurs(outcome: str) -> None:
    """Pass, mend, set aside and practice piece."""
    assert GownCheck.objects.filter(outcome=outcome).exists()


@pytest.mark.parametrize("state", DropOff.State.values)
def test_a_drop_off_is_in_every_state(state: str) -> None:
    """Being packed, on the way, received, brought back."""
    assert DropOff.objects.filter(state=state).exists()


def test_a_ward_found_a_difference() -> None:
    """One receipt says that less came than was written."""
    assert DropOff.objects.filter(state=DropOff.State.RECEIVED).exclude(differences=[]).count() == 1


def test_a_kit_came_back_in_two_goes() -> None:
    """Some of a kit's gowns came first, the rest later."""
    assert Kit.objects.annotate(times=Count("returns")).filter(times=2, state=Kit.State.RETURNED).exists()
    assert KitReturn.objects.exclude(duration_min=None).exists()


def test_kits_are_late() -> None:
    """Some kits of last month are past their day."""
    assert kits_out(today=TODAY).exists()


def test_an_urgent_request_can_be_served_from_the_shelf() -> None:
    """A ward needs gowns today, and a passed one that it may have lies there unpacked."""
    line = RequestLine.objects.get(request__is_urgent=True, request__state=WardRequest.State.OPEN)
    assert gowns_for(line.request.ward, size=line.size, purpose=line.purpose).count() >= line.gown_count


def test_a_ward_is_paused_and_a_shelf_is_low() -> None:
    """One ward takes nothing just now; agreed shelves lie below their level."""
    assert paused_wards(today=TODAY).count() == 1
    assert low_shelf_levels().exists()


def test_a_matched_set_has_its_kits_from_one_cloth() -> None:
    """The twins asked for this month are two kits of one lot."""
    twins = Kit.objects.filter(matched_set__isnull=False, batch__month=TODAY.replace(day=1))
    assert twins.count() == 2
    assert len(set(twins.values_list("outer_lot", flat=True))) == 1


def test_a_plan_says_what_to_buy() -> None:
    """The plan not yet committed is short of something; those committed were not."""
    plans = Plan.objects.all()
    is_short = {bool(StoredPlan.of(plan).plan.shortages) for plan in plans.filter(committed_at=None)}
    assert is_short == {True}
    assert not any(StoredPlan.of(plan).plan.shortages for plan in plans.exclude(committed_at=None))


def test_something_is_asked_that_nobody_makes_yet() -> None:
    """The month's table has a size of which gowns are short."""
    assert any(row.short for row in month_rows(month=TODAY.replace(day=1)))


def test_nothing_happens_after_the_first_of_the_month() -> None:
    """Whatever day the demo is opened, nothing in it lies in the future."""
    latest = TODAY.replace(day=1) + timedelta(days=1)
    for line in (TrailLine, LedgerLine):
        assert timezone.localdate(line.objects.order_by("-at")[0].at) < latest


def test_nobody_holds_more_kits_than_the_limit() -> None:
    """Two kits at once at most, and memorial ones only with those who said yes to them."""
    holders = Person.objects.annotate(held=Count("kits_held"))
    assert not holders.filter(held__gt=2).exists()
    wrong = Kit.objects.filter(purpose="memorial", holder__has_agreed_to_memorial=False)
    assert not wrong.exists()


def test_claims_were_made_by_and_for_people() -> None:
    """Who has no email address is helped by somebody else; everybody else claims herself."""
    helped = Claim.objects.exclude(claimed_by=F("person"))
    assert helped.exists()
    assert set(helped.values_list("person__email", flat=True)) == {""}
    assert Claim.objects.filter(end=Claim.End.GIVEN_BACK).exists()


def test_every_wrap_is_cut_with_two_squares() -> None:
    """The circle cuts two keepsake squares with each wrap, and the stored plans hold them."""
    needs = [need for plan in Plan.objects.all() for need in StoredPlan.of(plan).needs.values()]
    wraps = [need for need in needs if any(piece.part == "wrap" for piece in need.pieces)]
    squares = [[piece.count for piece in need.pieces if piece.is_companion] for need in wraps]
    assert wraps
    assert all(counts == [2] for counts in squares)


def test_fine_trims_are_planned_and_bought() -> None:
    """The circle's yoke gown has entredeux and beading with ribbon: they are cut for kits, and some are to be bought."""
    kinds = {str(each.pk): each.kind for each in Material.objects.all()}
    for plan in Plan.objects.all():
        stored = StoredPlan.of(plan).plan
        assert {"entredeux", "beading", "ribbon"} <= {kinds[trim.material_key] for trim in stored.trims}
    short = [
        {kinds[each.material_key] for each in StoredPlan.of(plan).plan.shortages}
        for plan in Plan.objects.filter(committed_at=None)
    ]
    assert all({"entredeux", "beading"} & each for each in short)


def test_people_have_said_what_they_like() -> None:
    """Stages, difficulty, a pleater, the left hand, a pause and another way of being reminded are all there to be seen."""
    people = Person.objects.filter(is_active=True)
    for wish in (
        {"has_pleater": True},
        {"is_left_handed": True},
        {"practice": 1},
        {"reminded_by": "telephone"},
    ):
        assert people.filter(**wish).exists(), wish
    assert people.exclude(stages_liked=[]).count() >= 4
    assert people.filter(away_until__gt=TODAY).exists()


def test_letters_have_gone_out() -> None:
    """Somebody was told of a kit that suits her, and only of such; somebody has sewn some rows of her chart."""
    told = Letter.objects.filter(kind=Letter.Kind.SUITS).select_related("person", "kit__design_revision")
    assert told
    for letter in told:
        assert letter.kit.stage in (letter.person.stages_liked or Stage.values)
        assert letter.kit.design_revision.difficulty <= letter.person.practice
    assert RowDone.objects.filter(claim__person__is_left_handed=True).count() == 3


def test_one_letter_could_not_be_sent() -> None:
    """A helper's address is closed, so that the page of such letters has one to show; it goes out once the address is right."""
    letter = UnsentLetter.objects.get()
    assert (letter.person.email, letter.kind, letter.reason) == (CLOSED, "call", "address")
    with TemporaryDirectory() as folder, override_settings(EMAIL_BACKEND=OUTBOX, EMAIL_FILE_PATH=folder):
        assert hand_over(EmailMultiAlternatives(to=[CLOSED])) == letter.reason
        assert hand_over(EmailMultiAlternatives(to=["moved@example.org"])) is None
        assert [each.to for each in letters(Path(folder), at_most=9)] == ["moved@example.org"]
