"""Pieces the group draws itself, by their corners."""

from collections.abc import Callable
from datetime import datetime
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.catalog.actions import (
    ImpossiblePiece,
    OutlineEntry,
    RevisionDetails,
    SizeEntry,
    add_design,
    change_revision,
    mark_revision_used,
    set_design_sizes,
    set_outlines,
)
from gowngroup.catalog.models import DesignRevision, DesignSize, OutlinePiece, Size
from gowngroup.catalog.planner import gown_need
from gowngroup.catalog.queries import newest_revision
from gowngroup.people.models import Person
from gowngroup.planning.geometry import signed_area_mm2

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person], Client]
CM = 10_000
# A trapezium 20 cm wide above, 30 below, 40 long; in micrometres, every edge straight.
FRONT: tuple[tuple[int, int, int], ...] = (
    (5 * CM, 0, 0),
    (25 * CM, 0, 0),
    (30 * CM, 40 * CM, 0),
    (0, 40 * CM, 0),
)
TYPED = "5 0\n25 0\n30 40\n0 40"


@pytest.fixture
def row(started: object, size_1500: Size, coordinator: Person, at: datetime) -> DesignSize:
    """A design of the group's own, made in one size, still without pieces."""
    revision = add_design(name="Our own", kind="outlines", details=RevisionDetails(), by=coordinator, at=at)
    set_design_sizes(revision=revision, entries=[SizeEntry(size=size_1500)], by=coordinator, at=at)
    return revision.sizes.select_related("revision__design").get()


@pytest.fixture
def browser(coordinator: Person, sign_in: SignIn) -> Client:
    return sign_in(coordinator)


@pytest.fixture
def address(row: DesignSize) -> str:
    return reverse("catalog:design_outlines", args=[row.revision.design_id, row.size_id])


def sent(**changes: str) -> dict[str, str]:
    """One piece as a browser sends it."""
    piece = {
        "name": "front",
        "part": "front",
        "piece_count": "1",
        "corners_um": TYPED,
        "allowance_um": "0",
        "grain_deg": "0",
        "may_turn": "on",
        **changes,
    }
    management = {"form-TOTAL_FORMS": "1", "form-INITIAL_FORMS": "0"}
    return management | {f"form-0-{name}": value for name, value in piece.items()}


def drawn(row: DesignSize, *, by: Person, at: datetime, **changes: Any) -> DesignSize:
    """The front, set as the group's own piece."""
    entry = OutlineEntry(**{"name": "front", "piece_count": 1, "corners_um": FRONT, **changes})
    return set_outlines(design_size=row, outlines=[entry], by=by, at=at)


@pytest.mark.parametrize(
    ("changes", "size_mm", "area_cm2"),
    [
        ({}, (300, 400), 1000),
        ({"piece_count": 2, "is_pair": True}, (300, 400), 1000),
        ({"allowance_um": CM}, (322.7, 420), None),
        ({"grain_deg": 90}, (400, 300), 1000),
        ({"is_on_fold": True, "corners_um": ((0, 0, 0), (10 * CM, 0, 0), (15 * CM, 40 * CM, 0), (0, 40 * CM, 0))}, (300, 400), 1000),
    ],
)  # fmt: skip
def test_an_outline_is_cut_as_it_was_drawn(
    changes: dict[str, Any],
    size_mm: tuple[float, float],
    area_cm2: int | None,
    row: DesignSize,
    coordinator: Person,
    at: datetime,
) -> None:
    """A piece is cut to its corners; allowance, grain and the fold do what they say (areas by hand)."""
    kept = drawn(row, by=coordinator, at=at, **changes)
    need = gown_need(revision=kept.revision, size=kept.size)
    (piece,) = need.pieces
    assert need.faults == ()
    assert (piece.width_mm, piece.length_mm) == pytest.approx(size_mm, abs=0.1)
    if area_cm2 is not None:
        assert abs(signed_area_mm2(piece.outline)) == pytest.approx(area_cm2 * 100, rel=1e-6)


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"corners_um": (FRONT[0], FRONT[2], FRONT[1], FRONT[3])}, "crosses itself"),
        ({"corners_um": (FRONT[0], FRONT[1], FRONT[1], FRONT[2])}, "line 2"),
        ({"corners_um": ((0, 0, 0), (CM, CM, 0), (9 * CM, 9 * CM, 0))}, "front"),
        ({"corners_um": FRONT, "is_on_fold": True}, "on the fold"),
        ({"piece_count": 0}, "between 1 and 20"),
        ({"piece_count": 30}, "between 1 and 20"),
        ({"piece_count": 1, "is_pair": True}, "pairs"),
    ],
)
def test_what_cannot_be_cut_is_refused_whole(
    changes: dict[str, Any], sentence: str, row: DesignSize, coordinator: Person, at: datetime
) -> None:
    """A bow-tie, a corner entered twice, no area, no straight fold or no number: told by name, the old pieces stay."""
    drawn(row, by=coordinator, at=at)
    with pytest.raises(ImpossiblePiece, match=sentence):
        drawn(row, by=coordinator, at=at, **changes)
    assert list(OutlinePiece.objects.values_list("piece_count", "corners_um")) == [
        (1, [list(corner) for corner in FRONT])
    ]


def test_each_piece_has_its_own_name(row: DesignSize, coordinator: Person, at: datetime) -> None:
    """Two pieces of one name, or no piece at all, are refused."""
    front = OutlineEntry(name="Front", piece_count=1, corners_um=FRONT)
    for outlines in ([front, front], []):
        with pytest.raises(ImpossiblePiece):
            set_outlines(design_size=row, outlines=outlines, by=coordinator, at=at)


def test_a_drawn_panel_too_narrow_for_its_pleats_is_refused_whole(
    row: DesignSize, yoke: DesignRevision, size_1500: Size, coordinator: Person, at: datetime
) -> None:
    """74 pleats and the spare ones take 80 × 6.35 = 508 mm of flat cloth (derived): 30 cm do not, and nothing is kept."""
    drawn(row, by=coordinator, at=at)
    smocked = change_revision(
        revision=row.revision, details=RevisionDetails(chart=yoke.chart), by=coordinator, at=at
    )
    entry = SizeEntry(size=size_1500, pleat_count=74, smocked_width_um=13 * CM)
    kept = set_design_sizes(revision=smocked, entries=[entry], by=coordinator, at=at).sizes.get()
    with pytest.raises(ImpossiblePiece, match=r"74 pleats take 50\.8 cm"):
        drawn(kept, by=coordinator, at=at, part="smocked panel")
    assert not OutlinePiece.objects.filter(part="smocked panel").exists()


def test_a_used_revision_keeps_its_outlines(row: DesignSize, coordinator: Person, at: datetime) -> None:
    """Drawing anew after a plan used the design makes the next revision, and copies keep their pieces."""
    drawn(row, by=coordinator, at=at)
    mark_revision_used(revision=row.revision, by=coordinator, at=at)
    kept = drawn(row, by=coordinator, at=at, piece_count=2)
    assert (row.outlines.get().piece_count, kept.outlines.get().piece_count) == (1, 2)
    assert newest_revision(row.revision.design) == kept.revision


def test_a_copy_takes_the_outlines_along(row: DesignSize, coordinator: Person, at: datetime) -> None:
    """A used design that is changed elsewhere is cut from the same outlines in its next revision."""
    drawn(row, by=coordinator, at=at, allowance_um=CM, is_pair=True, piece_count=2)
    mark_revision_used(revision=row.revision, by=coordinator, at=at)
    copy = change_revision(
        revision=row.revision, details=RevisionDetails(difficulty=3), by=coordinator, at=at
    )
    pieces = [gown_need(revision=each, size=row.size).pieces for each in (row.revision, copy)]
    assert copy.pk != row.revision.pk
    assert pieces[0]
    assert pieces[0] == pieces[1]


def test_corners_are_typed_a_line_each(address: str, row: DesignSize, browser: Client) -> None:
    """Corners in centimetres, decimals with point or comma, bows and empty lines, are kept to the micrometre."""
    typed = "5 0\n25,5 0 ½\n\n30.25; 40 -1\n0 40\n"
    assert browser.post(address, sent(corners_um=typed)).status_code == 302
    assert row.outlines.get().corners_um == [
        [50_000, 0, 0],
        [255_000, 0, 5_000],
        [302_500, 400_000, -10_000],
        [0, 400_000, 0],
    ]
    page = browser.get(address).content.decode()
    assert "25.5 0 0.5\n30.25 40 -1" in page.replace("\r", "")
    assert "pieces-drawing" in page
    design = reverse("catalog:design_page", args=[row.revision.design_id])
    for about, said in (
        (design, "yes, as entered"),
        (f"{design}sizes/{row.size_id}/", "Whether their seams meet is not looked at"),
    ):
        found = browser.get(about).content.decode()
        assert said in found
        assert "closes" not in found
        assert "Everything meets" not in found


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("5 0\n25 nought\n30 40", "Line 2, “25 nought”: type two numbers in cm"),
        ("5 0\n\n25\n30 40", "Line 3, “25”"),
        ("5 0 1 2\n25 0\n30 40", "Line 1,"),
        ("5 0\n25 0\n900 40", "Line 3, “900 40”: type two numbers in cm, such as 12.5 30, of at most 152"),
        ("5 0\n25 -3\n30 40", "Line 2,"),
        ("5 0\n25 0", "at least three corners"),
        ("5 0\n30 40\n25 0\n0 40", "crosses itself"),
    ],
)
def test_a_bad_line_comes_back_by_its_number(
    typed: str, sentence: str, address: str, row: DesignSize, browser: Client
) -> None:
    """A line that is no corner is named by its number and its words, and everything typed is kept."""
    page = browser.post(address, sent(corners_um=typed, name="my own front"))
    text = page.content.decode()
    assert page.status_code == 422
    assert sentence in text
    assert "my own front" in text
    assert not row.outlines.exists()


def test_outlines_are_drawn_before_they_are_kept(address: str, row: DesignSize, browser: Client) -> None:
    """Drawing first shows the piece and keeps nothing; one that crosses itself is told and not drawn."""
    page = browser.post(address, sent() | {"look": "on"})
    assert (page.status_code, "Drawn as typed" in page.content.decode()) == (200, True)
    crossed = browser.post(address, sent(corners_um="5 0\n30 40\n25 0\n0 40") | {"look": "on"})
    assert (crossed.status_code, "pieces-drawing" in crossed.content.decode()) == (422, False)
    assert not row.outlines.exists()


def test_inches_stay_exact_when_untouched(
    address: str, row: DesignSize, browser: Client, coordinator: Person, at: datetime
) -> None:
    """Corners shown rounded in inches stay what they were when their lines were not touched."""
    Person.objects.filter(pk=coordinator.pk).update(length_unit="in")
    drawn(row, by=coordinator, at=at)
    page = browser.get(address).content.decode()
    shown = page.partition("<textarea")[2].partition(">")[2].partition("</textarea>")[0].strip()
    assert shown.splitlines()[1] == "9.843 0"
    data = sent(corners_um=shown.replace("\n", "\r\n"), piece_count="2") | {"form-INITIAL_FORMS": "1"}
    browser.post(address, data)
    piece = row.outlines.get()
    assert (piece.piece_count, piece.corners_um) == (2, [list(corner) for corner in FRONT])


def test_only_own_outlines_have_this_page(
    row: DesignSize, boxes: Any, size_1500: Size, browser: Client
) -> None:
    """Designs of rectangles have no page for outlines, nor own outlines one for measures of a draft."""
    other = reverse("catalog:design_outlines", args=[boxes.design_id, size_1500.pk])
    assert browser.get(other).status_code == 404
    measures = reverse("catalog:design_measures", args=[row.revision.design_id, row.size_id])
    assert browser.get(measures).status_code == 404
