"""Sheets of labels: their geometry against published figures, and what is wrong with a sheet."""

from dataclasses import replace

import pytest

from gowngroup.planning.label_sheets import LABEL_SHEETS, LabelSheet, sheet_faults, tape_sheet

# LibreOffice's labels.xml (MPL data): width × height | pitch x, y | left, top, in mm; 1 in = 25.4 mm exactly.
PUBLISHED = {
    "a4-3x7": (3, 7, 63.50, 38.10, 66.04, 38.10, 7.20, 15.15),
    "a4-2x7": (2, 7, 99.06, 38.10, 101.60, 38.10, 4.67, 15.15),
    "a4-3x8": (3, 8, 64.00, 33.86, 66.54, 33.86, 6.46, 13.06),
    "a4-5x13": (5, 13, 38.10, 21.17, 40.64, 21.17, 4.67, 10.90),
    "letter-3x10": (3, 10, 66.68, 25.40, 69.85, 25.40, 4.78, 12.70),
    "letter-2x5": (2, 5, 101.60, 50.80, 106.36, 50.80, 3.96, 12.70),
    "letter-4x20": (4, 20, 44.45, 12.70, 52.40, 12.70, 7.14, 12.70),
}
SHEET = LABEL_SHEETS[0]


def test_every_published_sheet_is_there() -> None:
    """The generic sheets are those of LibreOffice's labels.xml, none more and none less."""
    assert [sheet.key for sheet in LABEL_SHEETS] == list(PUBLISHED)


@pytest.mark.parametrize("sheet", LABEL_SHEETS, ids=lambda sheet: sheet.key)
def test_geometry_is_as_published(sheet: LabelSheet) -> None:
    """Each sheet is laid out as in LibreOffice's labels.xml, to the hundredth of a millimetre."""
    size = (sheet.label_width_mm, sheet.label_height_mm)
    places = (sheet.pitch_x_mm, sheet.pitch_y_mm, sheet.left_mm, sheet.top_mm)
    assert (sheet.column_count, sheet.row_count, *size, *places) == PUBLISHED[sheet.key]


@pytest.mark.parametrize("sheet", LABEL_SHEETS, ids=lambda sheet: sheet.key)
def test_generic_sheets_have_no_fault(sheet: LabelSheet) -> None:
    """No label of a generic sheet leaves its paper (ISO 216 A4, ANSI Letter) or covers the next one."""
    assert sheet_faults(sheet) == ()


@pytest.mark.parametrize(
    ("change", "reason", "excess_mm"),
    [
        ({"left_mm": -0.5}, "left", 0.5),
        ({"top_mm": -1.0}, "upper", 1.0),
        ({"left_mm": 15.0}, "right", 0.58),
        ({"top_mm": 31.0}, "lower", 0.7),
        ({"pitch_x_mm": 63.0}, "beside", 0.5),
        ({"pitch_y_mm": 38.0}, "below", 0.1),
    ],
)
def test_what_is_wrong_with_a_sheet(change: dict[str, float], reason: str, excess_mm: float) -> None:
    """A label past an edge or over its neighbour is told, with by how much."""
    (fault,) = sheet_faults(replace(SHEET, **change))  # type: ignore[arg-type]
    assert fault.reason == reason
    assert fault.excess_mm == pytest.approx(excess_mm)


def test_one_label_covers_no_neighbour() -> None:
    """With one label on a sheet it does not matter where the next would be."""
    alone = replace(SHEET, column_count=1, row_count=1, pitch_x_mm=0.0, pitch_y_mm=0.0)
    assert sheet_faults(alone) == ()
    assert alone.label_count == 1


def test_moved_for_the_printer() -> None:
    """A printer that prints 1 mm too far left and up gets everything 1 mm to the right and down."""
    moved = SHEET.shifted(right_mm=1.0, down_mm=1.0)
    assert [(place.left_mm, place.top_mm) for place in moved.places][:2] == [(8.2, 16.15), (74.24, 16.15)]


@pytest.mark.parametrize("paper_size", ["A4", "Letter"])
def test_tape_lies_on_its_paper(paper_size: str) -> None:
    """Labels to cut out touch each other, stay a centimetre inside the paper and have room to tuck under."""
    tape = tape_sheet(paper_size)
    assert sheet_faults(tape) == ()
    assert (tape.pitch_x_mm, tape.pitch_y_mm) == (tape.label_width_mm, tape.label_height_mm)
    assert min(tape.left_mm, tape.top_mm) >= 10.0
    assert tape.tuck_mm > 0
    assert (tape.paper_width_mm, tape.paper_height_mm) == {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}[
        paper_size
    ]
