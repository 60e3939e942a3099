"""Designs and their revisions: what may be said of a gown, and what is kept once it was used."""

from datetime import datetime
from typing import Any

import pytest

from gowngroup.catalog.actions import (
    DesignMovedOn,
    DesignNameTaken,
    ImpossibleDesign,
    ImpossibleNeed,
    ImpossiblePiece,
    NeedEntry,
    PieceEntry,
    RevisionDetails,
    SizeEntry,
    UnsafeClosure,
    add_design,
    change_design,
    change_revision,
    mark_revision_used,
    set_design_sizes,
    set_needs,
    set_pieces,
)
from gowngroup.catalog.models import Design, DesignRevision, RectanglePiece, Size
from gowngroup.catalog.queries import newest_revision, revisions_for, revisions_in_use
from gowngroup.people.models import Person
from gowngroup.records.queries import trail_of

pytestmark = pytest.mark.django_db
GOOD_PIECE: dict[str, Any] = {"name": "front", "piece_count": 1, "width_um": 300_000, "length_um": 300_000}


def test_a_design_starts_with_its_first_revision(coordinator: Person, at: datetime) -> None:
    """A new design has revision 1 with its details, and its name is taken once."""
    details = RevisionDetails(order_of_work=("Cut.", "Sew."), difficulty=2)
    revision = add_design(name=" Plain ", kind="rectangles", details=details, by=coordinator, at=at)
    assert (str(revision), revision.order_of_work) == ("Plain 1", ["Cut.", "Sew."])
    with pytest.raises(DesignNameTaken):
        add_design(name="plain", kind="rectangles", details=details, by=coordinator, at=at)


def test_putting_a_design_by_takes_it_out_of_planning(
    started: Design, size_1500: Size, coordinator: Person, at: datetime
) -> None:
    """A design put by is no longer among those being made, and cannot take another's name."""
    yoke = Design.objects.get(name__startswith="Yoke")
    assert [row.design for row in revisions_for(size=size_1500, purpose="worn")] == [yoke]
    change_design(design=yoke, name="Old yoke", is_active=False, by=coordinator, at=at)
    assert revisions_for(size=size_1500, purpose="worn") == []
    assert len(revisions_in_use()) == 2
    with pytest.raises(DesignNameTaken):
        change_design(design=yoke, name=started.name, is_active=True, by=coordinator, at=at)


def test_a_used_revision_stays_and_is_copied_whole(
    boxes: DesignRevision, size_1500: Size, coordinator: Person, at: datetime
) -> None:
    """Changing the pieces of a used revision leaves it as it was and makes the next one, trims and all."""
    mark_revision_used(revision=boxes, by=coordinator, at=at)
    old_row = boxes.sizes.get(size=size_1500)
    pieces_before = list(old_row.pieces.values_list("name", "width_um"))
    new_row = set_pieces(
        design_size=old_row,
        pieces=[PieceEntry(**{**GOOD_PIECE, "width_um": 600_000, "part": "smocked panel"})],
        by=coordinator,
        at=at,
    )
    copy = newest_revision(boxes.design)
    assert (copy.number, new_row.revision, copy.is_frozen()) == (2, copy, False)
    assert list(old_row.pieces.values_list("name", "width_um")) == pieces_before
    assert [need.lengths.count() for need in copy.needs.order_by("pk")] == [2, 0]
    assert copy.sizes.get(size__upper_mass_g=2500).pieces.count() == len(pieces_before)


def test_an_old_revision_cannot_be_changed(yoke: DesignRevision, coordinator: Person, at: datetime) -> None:
    """A form opened before somebody else made the next revision is told so."""
    mark_revision_used(revision=yoke, by=coordinator, at=at)
    change_revision(revision=yoke, details=RevisionDetails(chart=yoke.chart), by=coordinator, at=at)
    with pytest.raises(DesignMovedOn):
        change_revision(revision=yoke, details=RevisionDetails(), by=coordinator, at=at)


def test_a_revision_is_used_once(yoke: DesignRevision, coordinator: Person, at: datetime) -> None:
    """Using a revision again changes nothing and leaves no second line in the trail."""
    for _ in range(2):
        mark_revision_used(revision=yoke, by=coordinator, at=at)
    assert [line.did for line in trail_of(yoke)].count("mark_revision_used") == 1
    assert yoke.used_at == at


@pytest.mark.parametrize(
    ("details", "field"),
    [
        ({"is_for_worn": False, "is_for_memorial": False}, "is_for_worn"),
        ({"cloth_mass_min_g_per_m2": 200}, "cloth_mass_max_g_per_m2"),
    ],
)
def test_contradictions_are_refused(
    details: dict[str, Any], field: str, yoke: DesignRevision, coordinator: Person, at: datetime
) -> None:
    """A design for nobody, or a cloth range that runs downward, is refused at its field."""
    with pytest.raises(ImpossibleDesign) as refusal:
        change_revision(revision=yoke, details=RevisionDetails(**details), by=coordinator, at=at)
    assert refusal.value.field == field


@pytest.mark.parametrize(
    ("details", "sentence"),
    [
        ({"closure": "ties"}, "How long is a finished tie"),
        ({"closure": "wrap", "tie_length_um": 100_000}, "has no ties"),
        ({"closure": "ties", "tie_length_um": 361_000}, "at most 36 cm"),
        (
            {"closure": "ties", "tie_length_um": 120_000},
            "500–750 g: The ties are longer than the baby’s neck is round: at most 11.3 cm",
        ),
    ],
)
def test_unsafe_ties_are_refused(
    details: dict[str, Any], sentence: str, yoke: DesignRevision, coordinator: Person, at: datetime
) -> None:
    """A tie is at most 36 cm (EN 14682, from memory) and never longer than the neck, 0.54 of the chest."""
    with pytest.raises(UnsafeClosure) as refusal:
        change_revision(revision=yoke, details=RevisionDetails(**details), by=coordinator, at=at)
    assert sentence in refusal.value.message.replace("'", "’")
    assert newest_revision(yoke.design).closure == "flat-fastening"


def test_short_ties_at_the_side_may_be_used(yoke: DesignRevision, coordinator: Person, at: datetime) -> None:
    """Ties shorter than 0.54 of the smallest chest (21 cm: 113 mm) pass; a smaller size then does not."""
    details = RevisionDetails(chart=yoke.chart, closure="ties", tie_length_um=110_000)
    kept = change_revision(revision=yoke, details=details, by=coordinator, at=at)
    small = SizeEntry(size=Size.objects.get(upper_mass_g=500))
    with pytest.raises(UnsafeClosure, match="250–500 g"):
        set_design_sizes(revision=kept, entries=[small], by=coordinator, at=at)


def test_sizes_that_stay_keep_their_pieces(
    boxes: DesignRevision, size_1500: Size, coordinator: Person, at: datetime
) -> None:
    """Taking sizes out leaves the others with their pieces; no size at all is refused."""
    entry = SizeEntry(size=size_1500, pleat_count=74, smocked_width_um=130_000)
    kept = set_design_sizes(revision=boxes, entries=[entry], by=coordinator, at=at)
    assert [(row.size, row.pieces.count()) for row in kept.sizes.all()] == [(size_1500, 5)]
    with pytest.raises(ImpossibleDesign):
        set_design_sizes(revision=boxes, entries=[], by=coordinator, at=at)


@pytest.mark.parametrize(
    ("pieces", "sentence"),
    [
        ([], "at least one piece"),
        ([{"width_um": 1_530_000}], "153 cm wide; usual cloth is at most 152 cm wide"),
        ([{"width_um": -300_000}], "not likely"),
        ([{"length_um": 0}], "not likely"),
        ([{"piece_count": 0}], "How many"),
        ([{}, {"name": "Front"}], "stands here twice"),
        ([{"part": "smocked panel", "width_um": 200_000}], "74 pleats take 50.8 cm"),
    ],
)
def test_impossible_pieces_are_refused_whole(
    pieces: list[dict[str, Any]],
    sentence: str,
    boxes: DesignRevision,
    size_1500: Size,
    coordinator: Person,
    at: datetime,
) -> None:
    """Wider than any usual cloth, nothing or less, doubled, too narrow for the pleats: refused, all kept as it was."""
    before = RectanglePiece.objects.count()
    with pytest.raises(ImpossiblePiece, match=sentence):
        set_pieces(
            design_size=boxes.sizes.get(size=size_1500),
            pieces=[PieceEntry(**{**GOOD_PIECE, **piece}) for piece in pieces],
            by=coordinator,
            at=at,
        )
    assert RectanglePiece.objects.count() == before


@pytest.mark.parametrize(
    ("need", "sentence"),
    [
        ({"kind": "ribbon", "edge": "neck"}, "may not run along the neck"),
        ({"edge": "sleeve"}, "no such edge to follow"),
        ({}, "needs an edge to follow or a length"),
        ({"edge": "hem", "gather_percent": 50}, "between 100"),
        ({"edge": "hem", "piece_count": 0}, "How many"),
        ({"lengths_um": {1: -5}}, "not likely"),
    ],
)
def test_impossible_trims_are_refused_whole(
    need: dict[str, Any], sentence: str, round_neck: DesignRevision, coordinator: Person, at: datetime
) -> None:
    """Ribbon at the neck, no length, no such edge or an odd number is refused, and the old trims stay."""
    entry = NeedEntry(**{"kind": "lace", "place": "front", **need})
    with pytest.raises(ImpossibleNeed, match=sentence):
        set_needs(revision=round_neck, needs=[entry], by=coordinator, at=at)
    assert round_neck.needs.count() == 2


def test_a_trim_stands_once(round_neck: DesignRevision, coordinator: Person, at: datetime) -> None:
    """The same trim at the same place twice is refused."""
    lace = NeedEntry(kind="lace", place="Hem", edge="hem")
    with pytest.raises(ImpossibleNeed, match="stands here twice"):
        set_needs(revision=round_neck, needs=[lace, lace], by=coordinator, at=at)


def test_rectangles_have_no_edges_to_follow(boxes: DesignRevision, coordinator: Person, at: datetime) -> None:
    """A design of rectangles takes typed lengths only."""
    with pytest.raises(ImpossibleNeed, match="no such edge"):
        set_needs(
            revision=boxes, needs=[NeedEntry(kind="lace", place="hem", edge="hem")], by=coordinator, at=at
        )
