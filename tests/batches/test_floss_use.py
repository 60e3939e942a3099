"""What returned kits say of their floss, and the group's own figure that may come of it."""

from datetime import datetime, timedelta

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.batches.actions import FlossUnclear, KitsSayOtherwise, return_gowns, use_learned_floss
from gowngroup.batches.models import Kit, KitReturn, Plan
from gowngroup.batches.planner.floss_use import floss_reports, floss_use
from gowngroup.catalog.models import ChartRow
from gowngroup.people.models import Group, Person
from gowngroup.records.models import FigureChange
from gowngroup.records.queries import figures_in_force
from tests.factories import (
    ChartFactory,
    ChartRowFactory,
    DesignFactory,
    DesignRevisionFactory,
    DesignSizeFactory,
    KitFactory,
)
from tests.snapshots import store_snapshot

pytestmark = pytest.mark.django_db


@pytest.fixture
def smocked_kit(group: Group) -> Kit:
    """A claimed kit of a smocked panel of 74 pleats, six rows of wave, with its stored plan."""
    chart = ChartFactory()
    for position in range(1, 7):
        ChartRowFactory(
            chart=chart,
            position=position,
            stitch=ChartRow.Stitch.WAVE,
            step_count=1,
            rise_half_spaces=1,
            top_half_space=position - 1,
            floss_role="B",
        )
    revision = DesignRevisionFactory(chart=chart, design=DesignFactory(kind="rectangles"))
    kit = KitFactory(design_revision=revision, state=Kit.State.RETURNED, returned_count=1)
    row = DesignSizeFactory(revision=revision, size=kit.size, pleat_count=74, smocked_width_um=150_000)
    row.pieces.create(name="panel", part="smocked panel", piece_count=1, width_um=520_000, length_um=300_000)
    return store_snapshot(kit)


def say(kit: Kit, outcome: str, count: int | None, at: datetime) -> None:
    """The answer on floss when a kit came back."""
    KitReturn.objects.create(
        kit=kit, gown_count=1, floss_outcome=outcome, floss_cut_count=count, returned_at=at
    )


def say_so(kit: Kit, answers: list[tuple[str, int | None]], at: datetime) -> None:
    """So many kits like this one came back, each with its answer."""
    for outcome, count in answers:
        like = KitFactory(
            lay=kit.lay,
            design_revision=kit.design_revision,
            size=kit.size,
            state=Kit.State.RETURNED,
            returned_count=1,
        )
        say(like, outcome, count, at)


def test_a_report_has_what_was_wound(smocked_kit: Kit, at: datetime) -> None:
    """Six rows in twelve runs, six cuts and the spare one, as the stored plan says."""
    say(smocked_kit, "left", 2, at)
    (report,) = floss_reports()
    assert (len(report.runs), report.wound_cuts, report.spare_cuts) == (12, 7, 1)
    assert (report.outcome, report.cut_count) == ("left", 2)


def test_the_newest_answer_of_a_kit_counts(smocked_kit: Kit, at: datetime) -> None:
    """A kit that came back in two parts says one thing; parts that said nothing do not count."""
    say(smocked_kit, "short", 3, at)
    say(smocked_kit, "left", 1, at + timedelta(days=1))
    say(smocked_kit, "", None, at + timedelta(days=2))
    assert [report.outcome for report in floss_reports()] == ["left"]


def test_a_kit_still_out_and_a_plan_past_reading_say_nothing(smocked_kit: Kit, at: datetime) -> None:
    """Only kits wholly back count, and only with a plan that can be read."""
    say(smocked_kit, "short", 3, at)
    Plan.objects.update(document={"format_version": 99})
    assert floss_reports() == ()
    Kit.objects.update(returned_count=0, state=Kit.State.LOST)
    assert floss_reports() == ()


def test_few_answers_propose_nothing(smocked_kit: Kit, coordinator: Person, at: datetime) -> None:
    """With seven kits nothing is learned, and the figure cannot be set from them."""
    say_so(smocked_kit, [("short", 3)] * 7, at)
    assert floss_use().learned is None
    with pytest.raises(KitsSayOtherwise):
        use_learned_floss(shown="1.10", by=coordinator, at=at)


def test_eight_kits_that_ran_short_raise_the_figure(
    smocked_kit: Kit, coordinator: Person, at: datetime
) -> None:
    """Half rows of 351 and 343 mm fit 357 mm: who begins more cuts takes over 357/351 of the sum (derived)."""
    say_so(smocked_kit, [("short", 2)] * 8, at)
    use = floss_use()
    assert use.is_proposed
    assert use.value is not None
    assert 1.0 < use.value < 1.1
    change = use_learned_floss(shown=f"{use.value:.2f}", by=coordinator, at=at)
    assert figures_in_force()["floss_calibration"] == use.value
    assert "8 returned kits; 8 ran short" in change.source
    assert not floss_use().is_proposed


def test_kits_that_went_well_change_nothing(smocked_kit: Kit, at: datetime) -> None:
    """Who had just enough agrees with the figure in use."""
    say_so(smocked_kit, [("enough", None)] * 9, at)
    use = floss_use()
    assert use.learned is not None
    assert (use.value, use.is_proposed, use.more_percent) == (1.0, False, 0)


def test_what_was_shown_must_still_hold(smocked_kit: Kit, coordinator: Person, at: datetime) -> None:
    """A figure looked at before more kits came back is not set."""
    say_so(smocked_kit, [("short", 2)] * 8, at)
    with pytest.raises(KitsSayOtherwise):
        use_learned_floss(shown="1.49", by=coordinator, at=at)
    assert not FigureChange.objects.exists()


def test_the_page_says_how_far_we_are_and_sets_the_figure(
    smocked_kit: Kit, coordinator: Person, at: datetime, client: Client
) -> None:
    """First it counts the kits; from eight on it shows what they say, with one button to use it."""
    client.force_login(coordinator)
    say_so(smocked_kit, [("short", 2)], at)
    assert "1 kit has come back with a word" in client.get(reverse("batches:floss_use")).content.decode()
    say_so(smocked_kit, [("short", 2)] * 8, at)
    page = client.get(reverse("batches:floss_use")).content.decode()
    value = f"{floss_use().value:.2f}"
    assert f"Reckon with {value} from now on" in page
    answer = client.post(reverse("batches:floss_use_set"), {"value": value}, follow=True)
    assert "agrees with the figure in use" in answer.content.decode()
    assert client.post(reverse("batches:floss_use_set"), {"value": value}).status_code == 409


@pytest.mark.parametrize(("outcome", "count"), [("", 3), ("enough", 2), ("left", 0), ("short", 401)])
def test_a_count_without_its_answer_is_asked_back(
    outcome: str, count: int, held_kit: Kit, inspector: Person, at: datetime
) -> None:
    """Lengths were left or sent on; a number alone, or an unlikely one, says neither and nothing is kept."""
    with pytest.raises(FlossUnclear):
        return_gowns(
            kit=held_kit, gown_count=1, floss_outcome=outcome, floss_cut_count=count, by=inspector, at=at
        )
    assert not KitReturn.objects.exists()


def test_no_answer_is_needed(held_kit: Kit, inspector: Person, at: datetime) -> None:
    """Whoever says nothing about floss is asked nothing more."""
    row = return_gowns(kit=held_kit, gown_count=1, by=inspector, at=at)
    assert (row.floss_outcome, row.floss_cut_count) == ("", None)
