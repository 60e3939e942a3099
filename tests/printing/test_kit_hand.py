"""For whom a kit sheet is written, and with which hand its chart is sewn: read back stitch by stitch."""

import re
from collections.abc import Iterator
from decimal import Decimal
from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest
from django.urls import reverse

from gowngroup.batches.models import Kit
from gowngroup.catalog.models import ChartRow as ChartRowModel
from gowngroup.people.models import Person
from gowngroup.planning.smocking import ChartRow
from gowngroup.printing.planner import KitSheet, kit_sheet
from gowngroup.records.reader import Reader, reading_as
from tests.planning.smocking_simulator import Cloth, Smocker
from tests.printing.conftest import MAKE_KIT, SIGN_IN

Place = tuple[int, float]  # pleat from the left, pleated row
Drawn = set[tuple[frozenset[Place], str]]
SVG = "{http://www.w3.org/2000/svg}"
PLEATS = 74


def smocker_of(row: ChartRow) -> Smocker:
    """A smocker who has worked a row and shares no code with the planner."""
    kind = "wave" if row.stitch == "trellis" else row.stitch
    cloth = Cloth(pleats=PLEATS, pitch_mm=Decimal(2), bite_mm=Decimal(1), step_rise_mm=Decimal(3))
    return Smocker(
        cloth=cloth,
        steps=row.steps,
        usable_mm=Decimal(400),
        kind=kind,
        start=row.start,
        is_centre_high=row.centre_at == "top" or row.first_thread == "above",
    ).work_row()


def walked(row: ChartRow, *, is_left_handed: bool) -> Drawn:
    """The stitches of a row as that smocker makes them."""
    smocker = smocker_of(row)
    side = -1 if is_left_handed else 1
    rise = float(row.rise_spaces) / max(row.steps, 1)

    def place(at: int, height: int) -> Place:
        from_centre = at * side
        return PLEATS // 2 + from_centre - (from_centre > 0), float(row.bottom_row) - height * rise

    return {
        (frozenset({place(s.from_place, s.from_height), place(s.to_place, s.to_height)}), s.thread)
        for s in smocker.stitches
    }


def drawn(svg: ET.Element, *, role: str) -> Iterator[tuple[Place, Place, float]]:
    """Each stitch of a floss in an SVG as the pleats and rows it runs between, and how wide its line is."""
    pleats = [float(x) for x in re.findall(r"M(\S+) ", _path(svg, "pleat").get("d", ""))]
    marks = [t for t in svg.iter(f"{SVG}text") if t.get("dy")]
    rows = {int(mark.text or 0): float(mark.get("y", 0)) for mark in marks}
    space = rows[2] - rows[1]
    for path in svg.iter(f"{SVG}path"):
        if path.get("class") == f"stitch floss-{role}":
            for run in path.get("d", "").split("M")[1:]:
                points = [tuple(map(float, point.split())) for point in run.split("L")]
                places = [(_nearest(pleats, x), _nearest_step(1 + (y - rows[1]) / space)) for x, y in points]
                for one, other in pairwise(places):
                    yield one, other, float(path.get("stroke-width", 0))


def _path(svg: ET.Element, name: str) -> ET.Element:
    return next(path for path in svg.iter(f"{SVG}path") if path.get("class") == name)


def _nearest(pleats: list[float], x: float) -> int:
    at = min(range(len(pleats)), key=lambda index: abs(pleats[index] - x))
    assert abs(pleats[at] - x) < 0.02
    return at


def _nearest_step(row: float) -> float:
    """A height to the sixth of a row space: threads are drawn a little above or below it."""
    return round(row * 6) / 6


def strip_of(page: str) -> ET.Element:
    """The drawing of the whole chart on a sheet, where there is more than one chart the last."""
    found = re.findall(r'<svg [^>]*class="chart-drawing".*?</svg>', page, re.DOTALL)
    return ET.fromstring(found[-1])  # noqa: S314 - our own page


@pytest.fixture
def smock_kit(make_kit: MAKE_KIT) -> Kit:
    """A kit to be smocked only, whose sheet shows the whole chart; two rows start at an edge, so no two hands agree."""
    ChartRowModel.objects.filter(position=2).update(start="left")
    ChartRowModel.objects.filter(position=3).update(start="right")
    return make_kit(stage="smock")


@pytest.mark.parametrize("hand", ["right", "left"])
def test_whole_chart_is_what_a_smocker_walks(
    smock_kit: Kit, packer: Person, sign_in: SIGN_IN, hand: str
) -> None:
    """Every stitch drawn on the sheet, its pleats, its rows and its thread side, is one of an independent walk."""
    page = sign_in(packer).get(reverse("printing:kit_sheet", args=[smock_kit.code]), {"hand": hand})
    svg = strip_of(page.content.decode())
    chart = kit_sheet(smock_kit).need.smocking
    assert chart is not None
    for row in chart.chart.rows:
        stitches = list(drawn(svg, role=row.floss_role))
        thick = max(width for _one, _other, width in stitches)
        found = {
            (frozenset({one, other}), "above" if width == thick else "below")
            for one, other, width in stitches
        }
        assert len(stitches) == len(found) == PLEATS - 1
        expected = walked(row, is_left_handed=hand == "left")
        assert _rounded(found) == _rounded(expected)


def _rounded(stitches: Drawn) -> Drawn:
    return {
        (frozenset((pleat, round(row, 3)) for pleat, row in places), thread) for places, thread in stitches
    }


def test_left_hand_comes_from_whoever_has_the_kit(
    make_kit: MAKE_KIT, volunteer: Person, packer: Person, sign_in: SIGN_IN
) -> None:
    """A packer prints large and left-handed for the holder who wants it so, on the packer's own paper."""
    volunteer.is_left_handed = volunteer.has_large_print = True
    volunteer.paper_size, packer.paper_size = "A4", "Letter"
    volunteer.save()
    packer.save()
    address = reverse("printing:kit_sheet", args=[make_kit(state="claimed", holder=volunteer).code])
    page = sign_in(packer).get(address).content.decode()
    assert 'class="large-print"' in page
    assert "print/letter.css" in page
    assert "Drawn for the left hand." in page
    assert "Chart for the right hand" in page
    assert "Drawn for the left hand." not in sign_in(packer).get(address, {"hand": "right"}).content.decode()


def sheet_for(kit: Kit, *, is_left_handed: bool) -> KitSheet:
    with reading_as(Reader(is_left_handed=is_left_handed)):
        sheet = kit_sheet(kit)
        assert sheet.chart_detail
        return sheet


def test_rows_from_one_edge_start_at_the_other(make_kit: MAKE_KIT) -> None:
    """What a right-hander starts at the left edge a left-hander starts at the right, in words and in the table."""
    ChartRowModel.objects.filter(position=1).update(start="left")
    kit = make_kit()
    right, left = (sheet_for(kit, is_left_handed=hand) for hand in (False, True))
    assert right.chart is not None
    assert left.chart is not None
    assert "No. 1 starts at the left edge." in right.chart.sentences
    assert "No. 1 starts at the right edge." in left.chart.sentences
    assert right.stitches[0].starts != left.stitches[0].starts
    assert right.chart.needs_strip


def test_more_is_shown_of_the_side_that_is_sewn_first(make_kit: MAKE_KIT) -> None:
    """The large detail shows 18 pleats to the right of the centre for the right hand, to the left for the left."""
    kit = make_kit()
    right, left = (sheet_for(kit, is_left_handed=hand).chart_detail for hand in (False, True))
    assert right is not None
    assert left is not None
    assert right.centre_x_mm is not None
    assert left.centre_x_mm is not None
    assert right.centre_x_mm < right.width_mm / 3
    assert left.centre_x_mm > left.width_mm / 3
    assert left.repeat is not None
    assert (right.pleats.count("M"), left.pleats.count("M"), left.repeat.pleat_count) == (27, 27, 8)
