"""Sizes, charts, pleaters and the starting catalog: what may be written and what is refused."""

from collections.abc import Callable
from datetime import datetime

import pytest

from gowngroup.catalog.actions import (
    CatalogNotEmpty,
    ChartCannotBeWorked,
    ChartNameTaken,
    ImplausiblePleater,
    ImpossibleSize,
    PleaterNameTaken,
    RowEntry,
    SizesOverlap,
    add_chart,
    add_pleater,
    add_size,
    calibrate_pleater,
    change_chart,
    change_pleater,
    mark_revision_used,
    start_catalog,
    use_pleater,
)
from gowngroup.catalog.models import Chart, Design, DesignRevision, PleaterProfile, Size
from gowngroup.people.models import Person
from gowngroup.planning.sizes import DEFAULT_BANDS
from gowngroup.records.errors import Refusal
from gowngroup.records.queries import trail_of

pytestmark = pytest.mark.django_db
CABLE = RowEntry(stitch="cable")


@pytest.fixture
def new_size(coordinator: Person, at: datetime) -> Callable[..., Size]:
    """Adds a size of 1000 to 1500 g unless said otherwise."""

    def add(**changes: object) -> Size:
        values: dict[str, object] = {
            "lower_mass_g": 1000,
            "upper_mass_g": 1500,
            "body_length_um": 400_000,
            "chest_um": 260_000,
            "has_armholes": True,
            "source": "",
        }
        return add_size(**{**values, **changes}, by=coordinator, at=at)  # type: ignore[arg-type] # a table of bad input

    return add


def test_sizes_show_as_lengths_with_the_band_behind(new_size: Callable[..., Size]) -> None:
    """A size is told by its length; its band is for the group."""
    size = new_size()
    assert (size.length_cm, size.band) == (40, "1000–1500 g")
    assert [line.did for line in trail_of(size)] == ["add_size"]


@pytest.mark.parametrize(
    ("changes", "field", "sentence"),
    [
        ({"lower_mass_g": 1500}, "upper_mass_g", "run upward"),
        ({"upper_mass_g": 9000}, "upper_mass_g", "run upward"),
        ({"body_length_um": -400_000}, "body_length_um", "between 15 and 70"),
        ({"body_length_um": 0}, "body_length_um", "between 15 and 70"),
        # 40 cm are 15¾ in, typed as centimetres
        ({"body_length_um": 157_500}, "body_length_um", "another unit"),
        ({"chest_um": 102_000}, "chest_um", "another unit"),  # 26 cm are 10¼ in, typed as centimetres
        ({"chest_um": 600_000}, "chest_um", "between 10 and 50"),
        ({"chest_um": None}, "chest_um", "needs its chest"),
    ],
)
def test_impossible_sizes_are_refused_at_their_field(
    changes: dict[str, object], field: str, sentence: str, new_size: Callable[..., Size]
) -> None:
    """Negative, zero, far-off and missing measures, and inches typed as centimetres, are asked back, each in its words."""
    with pytest.raises(ImpossibleSize, match=sentence) as refusal:
        new_size(**changes)
    assert refusal.value.field == field
    assert not Size.objects.exists()


def test_bands_do_not_overlap(new_size: Callable[..., Size]) -> None:
    """Each weight belongs to one size only; bands may meet."""
    new_size()
    with pytest.raises(SizesOverlap):
        new_size(lower_mass_g=1400, upper_mass_g=2000, body_length_um=430_000, chest_um=280_000)
    assert new_size(lower_mass_g=1500, upper_mass_g=2000, body_length_um=430_000, chest_um=280_000).pk


def test_the_default_bands_pass_the_same_checks(started: Design) -> None:
    """The ten usual sizes stand as the planner has them, put in by the same actions as typed ones."""
    rows = [(size.upper_mass_g, size.body_length_um, size.chest_um) for size in Size.objects.all()]
    assert rows == [
        (
            band.upper_mass_g,
            round(band.body_length_mm * 1000),
            None if band.chest_mm is None else band.chest_mm * 1000,
        )
        for band in DEFAULT_BANDS
    ]


def test_the_catalog_starts_once(started: Design, coordinator: Person, at: datetime) -> None:
    """A catalog with sizes is not started again, and the first start left three designs and charts."""
    with pytest.raises(CatalogNotEmpty):
        start_catalog(by=coordinator, at=at)
    assert (Design.objects.count(), Chart.objects.count(), PleaterProfile.objects.count()) == (3, 3, 1)


def test_a_chart_has_its_rows_from_the_top(coordinator: Person, at: datetime) -> None:
    """Rows are numbered from the top, and a name is taken once."""
    wave = RowEntry(stitch="wave", step_count=1, rise_half_spaces=1, top_half_space=1)
    chart = add_chart(name="Hedge", note="", rows=[CABLE, wave], by=coordinator, at=at)
    assert [(row.position, row.stitch) for row in chart.rows.all()] == [(1, "cable"), (2, "wave")]
    with pytest.raises(ChartNameTaken):
        add_chart(name="hedge", note="", rows=[CABLE], by=coordinator, at=at)


@pytest.mark.parametrize(
    ("rows", "sentence"),
    [
        ([], "at least one row"),
        ([RowEntry(stitch="cable", step_count=2)], "level stitches have none"),
        ([RowEntry(stitch="wave", step_count=1)], "waves and trellises rise"),
        ([RowEntry(stitch="wave", rise_half_spaces=1)], "have steps between"),
        ([RowEntry(stitch="cable", strand_count=0)], "at least one strand"),
    ],
)
def test_rows_nobody_could_stitch_are_refused_whole(
    rows: list[RowEntry], sentence: str, coordinator: Person, at: datetime
) -> None:
    """A row that cannot be worked is named, and nothing of the chart is kept."""
    with pytest.raises(ChartCannotBeWorked, match=sentence):
        add_chart(name="Hedge", note="", rows=rows, by=coordinator, at=at)
    assert not Chart.objects.exists()


def test_an_unused_chart_changes_in_place(coordinator: Person, at: datetime) -> None:
    """A chart no gown has used keeps its number."""
    chart = add_chart(name="Hedge", note="", rows=[CABLE], by=coordinator, at=at)
    changed = change_chart(chart=chart, note="for beginners", rows=[CABLE, CABLE], by=coordinator, at=at)
    assert (changed.pk, changed.rows.count(), changed.note) == (chart.pk, 2, "for beginners")


def test_a_used_chart_stays_and_becomes_the_next_number(
    round_neck: DesignRevision, coordinator: Person, at: datetime
) -> None:
    """A chart a gown has used is never changed: the change is the next number of its name."""
    mark_revision_used(revision=round_neck, by=coordinator, at=at)
    chart = round_neck.chart
    assert chart is not None
    rows_before = list(chart.rows.values_list("stitch", "top_half_space"))
    changed = change_chart(chart=chart, note="", rows=[CABLE], by=coordinator, at=at)
    assert (changed.name, changed.number, str(changed)) == (chart.name, 2, f"{chart.name} (2)")
    assert list(chart.rows.values_list("stitch", "top_half_space")) == rows_before


def test_the_first_pleater_is_planned_with_until_another_is_chosen(coordinator: Person, at: datetime) -> None:
    """One pleater is in use at a time."""
    usual = {"take_up_um": 6350, "row_space_um": 9525, "needle_count": 24, "by": coordinator, "at": at}
    first = add_pleater(name="one", **usual)  # type: ignore[arg-type] # the same for both
    second = add_pleater(name="two", **usual)  # type: ignore[arg-type]
    assert (first.is_in_use, second.is_in_use) == (True, False)
    use_pleater(pleater=second, by=coordinator, at=at)
    assert [one.name for one in PleaterProfile.objects.filter(is_in_use=True)] == ["two"]
    with pytest.raises(PleaterNameTaken):
        add_pleater(name="TWO", **usual)  # type: ignore[arg-type]


def test_counting_pleats_calibrates_the_take_up(coordinator: Person, at: datetime) -> None:
    """Eighty pleats over 50 cm are 6.25 mm each."""
    pleater = add_pleater(
        name="one", take_up_um=6350, row_space_um=9525, needle_count=24, by=coordinator, at=at
    )
    done = calibrate_pleater(pleater=pleater, counted_pleats=80, over_um=500_000, by=coordinator, at=at)
    assert (done.take_up_um, done.calibrated_on) == (6250, at.date())


@pytest.mark.parametrize(
    ("take_up_um", "row_space_um", "field"),
    [(0, 9525, "take_up_um"), (-6350, 9525, "take_up_um"), (6350, 95_250, "row_space_um")],
)
def test_pleaters_nobody_has_are_refused(
    take_up_um: int, row_space_um: int, field: str, coordinator: Person, at: datetime
) -> None:
    """A pleat takes 4 to 12 mm and rows stand 8 to 12 mm apart."""
    pleater = add_pleater(
        name="one", take_up_um=6350, row_space_um=9525, needle_count=24, by=coordinator, at=at
    )
    with pytest.raises(ImplausiblePleater) as refusal:
        change_pleater(
            pleater=pleater,
            take_up_um=take_up_um,
            row_space_um=row_space_um,
            needle_count=24,
            by=coordinator,
            at=at,
        )
    assert refusal.value.field == field


@pytest.mark.parametrize("counted", [0, 5, 4000])
def test_impossible_counts_do_not_calibrate(counted: int, coordinator: Person, at: datetime) -> None:
    """No pleats, or a count no pleater gives, is asked back and changes nothing."""
    pleater = add_pleater(
        name="one", take_up_um=6350, row_space_um=9525, needle_count=24, by=coordinator, at=at
    )
    with pytest.raises(Refusal):
        calibrate_pleater(pleater=pleater, counted_pleats=counted, over_um=500_000, by=coordinator, at=at)
    pleater.refresh_from_db()
    assert pleater.take_up_um == 6350
