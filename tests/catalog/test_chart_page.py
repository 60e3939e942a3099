"""A chart looked at over any number of pleats, its refusals in words, and what the pleater changes."""

from dataclasses import replace
from datetime import datetime

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.catalog.actions import ChartCannotBeWorked, RowEntry, add_chart, calibrate_pleater
from gowngroup.catalog.models import Chart, DesignRevision, PleaterProfile, Size
from gowngroup.catalog.planner import (
    GownNeed,
    chart_over,
    fault_sentences,
    floss_step_label,
    floss_steps_of,
    gown_need,
    planner_settings,
    planning_chart,
    usual_width,
)
from gowngroup.people.models import Person
from gowngroup.planning.floss import FlossRules, cuts_reckoning, row_floss, skeins_reckoning
from gowngroup.planning.smocking import SmockingFault

pytestmark = pytest.mark.django_db

CABLE = RowEntry(stitch="cable")
UPPER = RowEntry(stitch="trellis", step_count=3, rise_half_spaces=2, floss_role="B")
LOWER = RowEntry(
    stitch="trellis",
    step_count=3,
    top_half_space=2,
    rise_half_spaces=2,
    centre_at="top",
    floss_role="B",
    meets_row_above=True,
)
WAVES = tuple(
    RowEntry(stitch="wave", step_count=1, top_half_space=2 * row, rise_half_spaces=1, floss_role="B")
    for row in range(1, 7)
)


@pytest.fixture
def diamonds(coordinator: Person, at: datetime) -> Chart:
    """A cable row over two trellises that meet."""
    return add_chart(name="Diamonds", note="", rows=[CABLE, UPPER, LOWER], by=coordinator, at=at)


@pytest.fixture
def waves(coordinator: Person, at: datetime) -> Chart:
    """Two cable rows and six of baby wave."""
    rows = [CABLE, *WAVES, RowEntry(stitch="cable", top_half_space=14)]
    return add_chart(name="Waves", note="", rows=rows, by=coordinator, at=at)


def shown(client: Client, person: Person, chart: Chart, **asked: int) -> str:
    client.force_login(person)
    return client.get(reverse("catalog:chart_page", args=[chart.pk]), asked).content.decode()


def test_a_chart_is_shown_over_a_number_that_suits(
    diamonds: Chart, volunteer: Person, client: Client
) -> None:
    """Without a number asked for the chart is drawn where every row uses all pleats."""
    page = shown(client, volunteer, diamonds)
    assert "Every row uses all 50 pleats." in page
    assert "chart-drawing" in page


def test_pleats_left_over_are_told_row_by_row(diamonds: Chart, volunteer: Person, client: Client) -> None:
    """Over 60 pleats a trellis of three steps leaves one at each side; the numbers that suit are offered."""
    page = shown(client, volunteer, diamonds, pleats=60)
    assert "Row 2 leaves 1 pleat at each side without stitches." in page
    assert "Look at 58 pleats" in page
    assert "Look at 66 pleats" in page


def test_a_number_that_cannot_be_worked_names_the_rows(
    diamonds: Chart, volunteer: Person, client: Client
) -> None:
    """Odd pleats have no valley in the middle: the rows are named and the nearest numbers offered."""
    page = shown(client, volunteer, diamonds, pleats=75)
    assert "Rows 1, 2, 3 are worked from a valley in the middle, so the pleats must be even: not 75." in page
    assert "The nearest numbers of pleats that suit every row are 74 and 82." in page
    assert "chart-drawing" not in page


def test_an_unlikely_number_is_asked_back(diamonds: Chart, volunteer: Person, client: Client) -> None:
    """Three pleats are asked back at their field, and the chart is shown as usual."""
    client.force_login(volunteer)
    answer = client.get(reverse("catalog:chart_page", args=[diamonds.pk]), {"pleats": 3})
    assert answer.status_code == 422
    assert "Every row uses all 50 pleats." in answer.content.decode()


def test_the_page_shows_how_near_the_needlefuls_are(waves: Chart) -> None:
    """Wave rows, and cables, of 74 pleats at ratio 3 take twice the needlefuls at 20 % more floss (derived)."""
    settings = planner_settings()
    settings = replace(settings, figures={**settings.figures, "cloth_ratio_medium": 3.0})
    chart = planning_chart(waves)
    over = chart_over(chart, usual_width(chart, 74, settings), settings)
    assert over.doubled_rows == tuple("12345678")
    assert [(floss.role, floss.needlefuls, floss.cuts, floss.heavy_cuts) for floss in over.floss] == [
        ("A", 4, 2, 4),
        ("B", 12, 6, 12),
    ]


def test_a_chart_looks_as_in_a_size(round_neck: DesignRevision, volunteer: Person, client: Client) -> None:
    """Chosen as in a size of a design it has that size's pleats and width."""
    size = round_neck.sizes.get(size__upper_mass_g=2500)
    assert round_neck.chart is not None
    page = shown(client, volunteer, round_neck.chart, worked_in=size.pk)
    assert "146 pleats" in page


def test_a_size_that_cannot_be_drafted_says_why(
    round_neck: DesignRevision, diamonds: Chart, coordinator: Person, at: datetime, client: Client
) -> None:
    """A chart too deep for a size shows the size's own sentence in place of a drawing."""
    deep = add_chart(
        name="Deep", note="", rows=[RowEntry(stitch="cable", top_half_space=14)], by=coordinator, at=at
    )
    DesignRevision.objects.filter(pk=round_neck.pk).update(chart=deep)
    size = round_neck.sizes.get(size__upper_mass_g=2500)
    assert "Row 1 reaches down to pleated row 8" in shown(client, coordinator, deep, worked_in=size.pk)


def test_a_chart_without_rows_says_so(volunteer: Person, client: Client) -> None:
    """A chart that has lost its rows has nothing to draw."""
    assert "has no rows yet" in shown(client, volunteer, Chart.objects.create(name="Empty"))


@pytest.mark.parametrize(
    ("lower", "sentence"),
    [
        (
            {"top_half_space": 3},
            "Row 2 cannot meet the row above it: its top lies at row 2½, and the row above",
        ),
        ({"centre_at": "bottom"}, "give both as many steps between their turns, one a low"),
        ({"step_count": 4}, "give both as many steps between their turns"),
    ],
)
def test_rows_that_do_not_meet_are_refused(
    lower: dict[str, object], sentence: str, coordinator: Person, at: datetime
) -> None:
    """Rows that are to touch must have turns at one height and over the same pleats."""
    values = {name: getattr(LOWER, name) for name in LOWER.__slots__} | lower
    with pytest.raises(ChartCannotBeWorked, match=sentence):
        add_chart(name="Askew", note="", rows=[UPPER, RowEntry(**values)], by=coordinator, at=at)


def test_a_row_that_leaves_the_pleats_is_named(diamonds: Chart, coordinator: Person, at: datetime) -> None:
    """A step climbs one space at most, and no row reaches below the last row anybody pleats, 32 (common practice)."""
    for row, sentence in (
        (RowEntry(stitch="trellis", step_count=2, rise_half_spaces=5), "Row 2 rises 2½ spaces, which is too steep"),
        (
            RowEntry(stitch="trellis", step_count=4, top_half_space=60, rise_half_spaces=6),
            "Row 2 reaches row 34, outside the pleated rows: the last it may reach is 32.",
        ),
    ):  # fmt: skip
        with pytest.raises(ChartCannotBeWorked, match=sentence):
            add_chart(name="Steep", note="", rows=[CABLE, row], by=coordinator, at=at)


def test_a_tall_trellis_is_too_deep_for_a_small_size(
    round_neck: DesignRevision, coordinator: Person, at: datetime
) -> None:
    """Round a neck of five rows a trellis from row 2 over 3½ spaces is refused by its row; over 3 spaces it is worked."""
    for half_spaces, faults in ((6, 0), (7, 1)):
        row = RowEntry(stitch="trellis", step_count=4, top_half_space=2, rise_half_spaces=half_spaces)
        name = f"Tall {half_spaces}"
        round_neck.chart = add_chart(name=name, note="", rows=[CABLE, row], by=coordinator, at=at)
        round_neck.save()
        need = gown_need(revision=round_neck, size=Size.objects.get(upper_mass_g=2500))
        assert len(need.faults) == faults
    assert need.faults[0].startswith("Row 2 reaches down to pleated row 5½; this size has only 5.")


def test_every_refusal_has_its_words() -> None:
    """No reason for which a chart is refused is left without a sentence."""
    reasons = SmockingFault.__annotations__["reason"].__args__
    faults = [
        SmockingFault(reason=reason, row_name=str(number), found=number + 0.25, needed=4)
        for number, reason in enumerate(reasons, start=1)
    ]
    assert len(fault_sentences(faults)) == len(reasons)


def test_calibrating_moves_cloth_guide_and_floss(
    round_neck: DesignRevision, coordinator: Person, at: datetime
) -> None:
    """A pleat of 6.25 rather than 6.35 mm: less flat cloth, a guide that says so, a shallower bite, less floss."""
    before = needed(round_neck)
    calibrate_pleater(
        pleater=PleaterProfile.objects.get(), counted_pleats=80, over_um=500_000, by=coordinator, at=at
    )
    after = needed(round_neck)
    assert before.pleating is not None
    assert after.pleating is not None
    assert (before.pleating.take_up_mm, after.pleating.take_up_mm) == (6.35, 6.25)
    assert after.pleating.flat_mm == pytest.approx(before.pleating.flat_mm * 6.25 / 6.35)
    assert widest(after) < widest(before)
    assert sum(floss.length_mm for floss in after.floss) < sum(floss.length_mm for floss in before.floss)


def needed(revision: DesignRevision) -> GownNeed:
    return gown_need(revision=revision, size=Size.objects.get(upper_mass_g=2500))


def widest(need: GownNeed) -> float:
    return max(piece.width_mm for piece in need.pieces)


def test_calibrating_says_what_changed(
    round_neck: DesignRevision, coordinator: Person, client: Client
) -> None:
    """The page says what the pleat took before and now."""
    client.force_login(coordinator)
    address = reverse("catalog:pleater_calibrate", args=[PleaterProfile.objects.get().pk])
    assert "6.35\N{NO-BREAK SPACE}mm of flat cloth per pleat" in client.get(address).content.decode()
    answer = client.post(address, {"counted_pleats": 80, "over_um": "50"}, follow=True)
    assert "6.25 mm of flat cloth per pleat, before 6.35 mm" in answer.content.decode()


def test_every_step_of_the_floss_has_a_label(round_neck: DesignRevision) -> None:
    """Each row of a gown is explained at its own pitch, and every step is labelled."""
    need, settings = needed(round_neck), planner_settings()
    rows = floss_steps_of(need, settings.figures, settings.pleater)
    pitches = [next(step.value for step in row.steps if step.name == "pitch") for row in rows]
    assert pitches == sorted(pitches)
    rules = FlossRules.from_figures(settings.figures)
    assert need.smocking is not None
    floss = row_floss(
        need.smocking.rows[0], pitch_mm=pitches[0], take_up_mm=settings.pleater.take_up_mm, rules=rules
    )
    steps = [step for row in rows for step in row.steps]
    assert all(
        map(floss_step_label, [*steps, *cuts_reckoning([floss], rules), *skeins_reckoning([1], rules)])
    )


def test_a_gown_without_smocking_has_no_floss_to_explain(wrap: DesignRevision) -> None:
    """A plain wrap has no rows and no floss."""
    settings = planner_settings()
    size = wrap.sizes.all()[0].size
    need = gown_need(revision=wrap, size=size, purpose=wrap.purposes()[0])
    assert floss_steps_of(need, settings.figures, settings.pleater) == ()
