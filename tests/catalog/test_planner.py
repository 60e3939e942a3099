"""What one gown takes, from the rows of the catalog."""

from datetime import datetime

import pytest

from gowngroup.catalog.actions import add_pleater, change_size, use_pleater
from gowngroup.catalog.models import (
    DesignRevision,
    DesignSize,
    Need,
    PleaterProfile,
    RectanglePiece,
    Size,
)
from gowngroup.catalog.planner import GownNeed, draft_of, gown_need, planner_settings
from gowngroup.catalog.planner.smocked import SmockedWidth
from gowngroup.people.models import Person
from gowngroup.planning.geometry import is_simple_polygon
from gowngroup.records.actions import set_figure
from tests.factories import ChartFactory, ChartRowFactory

pytestmark = pytest.mark.django_db
ROUND_NECK_G, YOKE_G = [2000, 2500, 3500, 4500], [750, 1000, 1500, 2000, 2500, 3500, 4500]


def need_of(revision: DesignRevision, upper_mass_g: int, purpose: str = "worn") -> GownNeed:
    return gown_need(revision=revision, size=Size.objects.get(upper_mass_g=upper_mass_g), purpose=purpose)


@pytest.mark.parametrize("upper_mass_g", ROUND_NECK_G)
@pytest.mark.parametrize("purpose", ["worn", "memorial"])
def test_every_round_neck_the_group_makes_closes(
    upper_mass_g: int, purpose: str, round_neck: DesignRevision
) -> None:
    """Each size the round neck suits closes, with floss, lace, thread, time and cloth."""
    need = need_of(round_neck, upper_mass_g, purpose)
    assert need.faults == ()
    assert min(need.area_mm2, need.sewing_thread_mm, *(floss.cuts for floss in need.floss)) > 0
    assert {trim.place for trim in need.trims} == {"sleeve hems"}
    assert all(is_simple_polygon(shape) for piece in need.pieces for shape in piece.shapes)


@pytest.mark.parametrize("upper_mass_g", YOKE_G)
def test_every_yoke_gown_can_be_made(upper_mass_g: int, yoke: DesignRevision) -> None:
    """Each yoke gown has a panel wide enough for its pleats, and 2.9 to 4.1 lengths of cloth to one."""
    need = need_of(yoke, upper_mass_g)
    assert need.pleating is not None
    assert need.faults == ()
    assert 2.9 <= need.pleating.cloth_ratio <= 4.1


def test_the_worked_yoke_gown(yoke: DesignRevision) -> None:
    """1000–1500 g: 74 pleats, flat panel 50.8 cm, length 27 cm, hem about 103 cm (own worked example)."""
    need = need_of(yoke, 1500)
    assert need.pleating is not None
    assert (need.pleating.pleat_count, round(need.pleating.flat_mm)) == (74, 508)
    assert need.measure_mm("length_mm") == pytest.approx(270, abs=1)
    assert need.measure_mm("hem_sweep_mm") == pytest.approx(1030, abs=10)


def test_a_panel_has_as_many_rows_as_its_chart(yoke: DesignRevision) -> None:
    """A panel is pleated for the rows its chart reaches, and for those the group sets itself."""
    DesignSize.objects.filter(revision=yoke, size__upper_mass_g=2500).update(overrides={"row_count": 6.0})
    guides = [need_of(yoke, mass_g).pleating for mass_g in (750, 2500)]
    assert [guide.design_row_count if guide else 0 for guide in guides] == [5, 6]


def test_the_worked_round_neck(round_neck: DesignRevision) -> None:
    """Chest 28 cm: 122 pleats and a neck of 17.6 cm (own table of defaults)."""
    need = need_of(round_neck, 2000)
    assert need.pleating is not None
    assert need.pleating.pleat_count == 122
    assert need.measure_mm("neck_mm") == pytest.approx(176, abs=1)


@pytest.mark.parametrize("upper_mass_g", [150, 250, 500])
def test_wraps_have_pieces_and_no_smocking(upper_mass_g: int, wrap: DesignRevision) -> None:
    """The smallest sizes get a wrap: cloth and a flat bow, no floss, no chart, no pleats."""
    need = need_of(wrap, upper_mass_g)
    assert (need.faults, need.floss, need.pleating, need.stitch_count) == ((), (), None, 0)
    assert [(trim.kind, trim.length_mm) for trim in need.trims] == [("ribbon", 180.0)]


def test_memorial_gowns_are_longer(round_neck: DesignRevision) -> None:
    """A memorial gown is cut longer, from 0.75 to 0.85 of the body length."""
    length_mm = need_of(round_neck, 3500, "memorial").measure_mm("length_mm") or 0.0
    assert 0.75 <= length_mm / 510 <= 0.85


def test_each_row_takes_floss_at_its_own_pitch(round_neck: DesignRevision) -> None:
    """Round a neck the lower of two equal cable rows takes more floss than the upper."""
    chart = ChartFactory()
    ChartRowFactory(chart=chart, position=1, top_half_space=0, floss_role="A")
    ChartRowFactory(chart=chart, position=2, top_half_space=8, floss_role="B")
    DesignRevision.objects.filter(pk=round_neck.pk).update(chart=chart)
    round_neck.refresh_from_db()
    upper, lower = need_of(round_neck, 2500).floss
    assert lower.length_mm > 1.2 * upper.length_mm


def test_a_design_without_its_chart_says_so(round_neck: DesignRevision, yoke: DesignRevision) -> None:
    """A smocked design without a chart cannot be made, and says which step is missing."""
    DesignRevision.objects.update(chart=None)
    for revision in (round_neck, yoke):
        revision.refresh_from_db()
        need = need_of(revision, 2500)
        assert ["no smocking chart" in fault for fault in need.faults] == [True]
        assert (need.can_be_made, need.floss) == (False, ())


def test_a_chart_deeper_than_the_smocked_rows_says_so(round_neck: DesignRevision) -> None:
    """A chart that needs more pleated rows than fit round the neck is refused with both numbers."""
    chart = ChartFactory()
    ChartRowFactory(chart=chart, position=1, top_half_space=14)
    DesignRevision.objects.filter(pk=round_neck.pk).update(chart=chart)
    round_neck.refresh_from_db()
    assert need_of(round_neck, 2500).faults == (
        "Row 1 reaches down to pleated row 8; this size has only 5. Choose a chart with fewer rows.",
    )


def test_odd_pleats_are_a_fault(boxes: DesignRevision) -> None:
    """An odd number of pleats has no centre valley; the even one is named."""
    DesignSize.objects.filter(revision=boxes).update(pleat_count=73)
    faults = need_of(boxes, 1500).faults
    assert "so the pleats must be even: not 73." in faults[0]
    assert faults[0].startswith("Rows 1, 2, 3, 4, 5")
    assert faults[1].startswith("The nearest number")


def test_pleats_without_stitches_are_a_note(boxes: DesignRevision) -> None:
    """Where a row leaves pleats at the sides unworked the gown can be made and the note says so."""
    DesignSize.objects.filter(revision=boxes).update(pleat_count=70)
    need = need_of(boxes, 1500)
    assert need.can_be_made
    assert any(note.endswith("pleats at each side without stitches.") for note in need.notes)


def test_a_panel_too_narrow_for_its_pleats_is_a_fault(boxes: DesignRevision) -> None:
    """Twenty inches typed as twenty centimetres do not hold 74 pleats."""
    RectanglePiece.objects.filter(part="smocked panel").update(width_um=200_000)
    assert need_of(boxes, 1500).faults == (
        "The front panel is 20 cm wide; 74 pleats take 50.8 cm of flat cloth.",
    )


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"pleat_count": None}, "needs its number of pleats"),
        ({"smocked_width_um": None}, "needs its number of pleats"),
    ],
)
def test_a_panel_without_pleats_is_a_fault(
    change: dict[str, object], sentence: str, boxes: DesignRevision
) -> None:
    """A smocked panel needs pleats and a finished width."""
    DesignSize.objects.filter(revision=boxes).update(**change)
    assert sentence in need_of(boxes, 1500).faults[0]


def test_pleats_without_a_panel_are_a_fault(boxes: DesignRevision) -> None:
    """Pleats need a piece that is the smocked panel."""
    RectanglePiece.objects.filter(part="smocked panel").update(part="front")
    assert need_of(boxes, 1500).faults == ("Say which piece is the smocked panel.",)


def test_missing_pieces_lengths_and_sizes_are_faults(boxes: DesignRevision, size_1500: Size) -> None:
    """No pieces, no length of a lace and a size not made are each said in a sentence."""
    Need.objects.get(revision=boxes, kind="lace").lengths.all().delete()
    RectanglePiece.objects.all().delete()
    faults = need_of(boxes, 1500).faults
    assert faults[0].startswith("No pieces have been entered")
    assert "No length is known for this size: sleeve hems." in faults
    assert need_of(boxes, 4500).faults == ("Box gown is not made in this size.",)


@pytest.mark.parametrize(("field", "purpose"), [("is_for_worn", "worn"), ("is_for_memorial", "memorial")])
def test_a_design_is_made_only_for_its_purposes(field: str, purpose: str, yoke: DesignRevision) -> None:
    """A design not meant for a purpose is not made for it."""
    DesignRevision.objects.filter(pk=yoke.pk).update(**{field: False})
    yoke.refresh_from_db()
    assert "is not made as a" in need_of(yoke, 1500, purpose).faults[0]


def test_a_size_too_small_for_a_round_neck_is_refused(round_neck: DesignRevision, size_1500: Size) -> None:
    """Round necks to wear start at 1,500 g; a smaller size says so instead of being drafted."""
    DesignSize.objects.create(revision=round_neck, size=size_1500)
    assert "start at babies of 1500 g" in need_of(round_neck, 1500).faults[0]


def test_ties_and_ribbon_at_the_neck_are_faults(round_neck: DesignRevision) -> None:
    """Ribbon along the neck is a fault even where it got past the form (EN 14682)."""
    Need.objects.create(revision=round_neck, kind="ribbon", place="neck bow", edge="neck")
    assert any("may not run along the neck" in fault for fault in need_of(round_neck, 2500).faults)


def test_a_typed_length_comes_before_the_drafts(round_neck: DesignRevision) -> None:
    """Lace follows the draft's edge with its gathering and ends, unless a length was typed."""
    lace = Need.objects.get(revision=round_neck, kind="lace")
    Need.objects.filter(pk=lace.pk).update(gather_percent=200)
    drafted = need_of(round_neck, 2500).trims[0]
    lace.lengths.create(size=Size.objects.get(upper_mass_g=2500), length_um=100_000)
    typed = need_of(round_neck, 2500).trims[0]
    assert (typed.length_mm, typed.count) == (220.0, 1)
    assert (drafted.length_mm > 400, drafted.count) == (True, 2)


def test_the_groups_own_figures_and_pleater_count(
    boxes: DesignRevision, coordinator: Person, at: datetime
) -> None:
    """A calibration figure and another pleater change what a gown takes."""
    before = need_of(boxes, 1500)
    set_figure(key="floss_calibration", value=1.2, source="our own count", by=coordinator, at=at)
    wide = add_pleater(
        name="wide", take_up_um=7000, row_space_um=10_000, needle_count=16, by=coordinator, at=at
    )
    use_pleater(pleater=wide, by=coordinator, at=at)
    after = need_of(boxes, 1500)
    assert after.faults == ("The front panel is 50.8 cm wide; 74 pleats take 56 cm of flat cloth.",)
    assert planner_settings().pleater.row_space_mm == 10.0
    assert sum(f.length_mm for f in after.floss) > 1.2 * sum(f.length_mm for f in before.floss)


def test_without_a_pleater_the_usual_one_is_planned_with(db: None) -> None:
    """A group without a pleater of its own plans with 6.35 mm a pleat."""
    assert not PleaterProfile.objects.exists()
    assert planner_settings().pleater.take_up_mm == 6.35


def test_a_changed_size_is_drafted_anew(
    round_neck: DesignRevision, coordinator: Person, at: datetime
) -> None:
    """A draft follows the size's measures at once."""
    size = Size.objects.get(upper_mass_g=2500)
    before = draft_of(round_neck.sizes.get(size=size), "worn", planner_settings())
    change_size(
        size=size,
        body_length_um=480_000,
        chest_um=310_000,
        has_armholes=True,
        source="tried on",
        by=coordinator,
        at=at,
    )
    after = draft_of(round_neck.sizes.get(size=size), "worn", planner_settings())
    assert after.measures.length_mm > before.measures.length_mm


def test_own_measures_replace_the_drafts(round_neck: DesignRevision) -> None:
    """A length the group sets itself is drafted, and one no gown could have is refused in words."""
    row = round_neck.sizes.get(size__upper_mass_g=2500)
    DesignSize.objects.filter(pk=row.pk).update(overrides={"length_mm": 350.0})
    assert need_of(round_neck, 2500).measure_mm("length_mm") == pytest.approx(350, abs=1)
    DesignSize.objects.filter(pk=row.pk).update(overrides={"length_mm": 60.0})
    assert not need_of(round_neck, 2500).can_be_made


def test_a_heavy_hand_needs_at_least_as_many_cuts(yoke: DesignRevision) -> None:
    """Tension that takes a fifth more floss never needs fewer cuts."""
    for floss in need_of(yoke, 3500).floss:
        assert floss.heavy_cuts >= floss.cuts
    assert sum(f.heavy_cuts for f in need_of(yoke, 3500).floss) > sum(
        f.cuts for f in need_of(yoke, 3500).floss
    )


def test_pitch_between_rows_is_in_proportion() -> None:
    """Halfway between two pleated rows a pleat is halfway as wide; above the first and below the last it stays."""
    width = SmockedWidth(pleat_count=10, flat_mm=80.0, finished_mm=(100.0, 120.0, 130.0))
    pitches = [width.pitch_mm(row) for row in (0.5, 1.0, 1.5, 2.0, 2.75, 3.0, 9.0)]
    assert pitches == pytest.approx([10.0, 10.0, 11.0, 12.0, 12.75, 13.0, 13.0])
