"""Marks that two tiles share: an hourglass in the strip where they overlap, with the letter of the join."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from gowngroup.planning.geometry import Point
from gowngroup.planning.tiling import Box, Join, Line, Tile, is_clear
from gowngroup.printing.planner.pattern.drawing import box_line, path_data
from gowngroup.printing.planner.pattern.labels import Words, words_box
from gowngroup.printing.planner.pattern.laid import Laid

SHARES = (0.25, 0.75)  # where along a join its two marks stand
STEPS_MM = (0.0, 12.0, -12.0, 24.0, -24.0, 36.0, -36.0)  # and how far they may step aside for lines and words
HALF_HEIGHT_MM, HALF_WIDTH_MM = 3.0, 2.1
CLEAR_MM = 0.8


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """One mark: its waist on the sheet, the letter, and whether the letter stands below or beside it."""

    letter: str
    point: Point
    is_letter_below: bool

    def moved(self, x_mm: float, y_mm: float) -> "Mark":
        """The mark measured from another corner."""
        x, y = self.point
        return Mark(letter=self.letter, point=(x - x_mm, y - y_mm), is_letter_below=self.is_letter_below)

    @property
    def line(self) -> Line:
        """An hourglass whose waist is the point to lay on its like."""
        x, y = self.point
        left, right = x - HALF_WIDTH_MM, x + HALF_WIDTH_MM
        top, bottom = y - HALF_HEIGHT_MM, y + HALF_HEIGHT_MM
        return ((left, top), (right, top), (left, bottom), (right, bottom), (left, top))

    def words(self, type_mm: float) -> Words:
        """The letter, below the mark in an upright strip and beside it in a level one."""
        x, y = self.point
        if self.is_letter_below:
            return Words(text=self.letter, x_mm=x, y_mm=y + HALF_HEIGHT_MM + type_mm, is_centred=True)
        return Words(text=self.letter, x_mm=x + HALF_WIDTH_MM + CLEAR_MM, y_mm=y + 0.35 * type_mm)

    def boxes(self, type_mm: float) -> tuple[Box, Box]:
        """The room the mark and its letter take."""
        x, y = self.point
        half_x, half_y = HALF_WIDTH_MM + CLEAR_MM, HALF_HEIGHT_MM + CLEAR_MM
        return (x - half_x, y - half_y, x + half_x, y + half_y), words_box(self.words(type_mm), type_mm)


def marks_of(laid: Laid, words: Mapping[int, Sequence[Words]]) -> dict[str, tuple[Mark, ...]]:
    """Two marks for each join by its letter, clear of lines and words where that can be."""
    lines = laid.every_line
    taken = {number: _boxes(laid, number, found) for number, found in words.items()}
    return {
        join.letter: tuple(_marks(join, [*lines, *taken[join.first], *taken[join.second]], laid.type_mm))
        for join in laid.joins
    }


def _boxes(laid: Laid, number: int, words: Sequence[Words]) -> list[Line]:
    tile = next(each for each in laid.sheet.tiles if each.number == number)
    x_mm, y_mm, _, _ = laid.box(tile)
    found = (words_box(each, laid.type_mm) for each in words)
    return [box_line((left + x_mm, top + y_mm, right + x_mm, low + y_mm)) for left, top, right, low in found]


def _marks(join: Join, in_the_way: Sequence[Line], type_mm: float) -> Iterator[Mark]:
    left, top, right, bottom = join.strip
    is_upright = join.side == "right"
    for share in SHARES:
        tried = [
            Mark(
                letter=join.letter,
                point=((left + right) / 2, top + share * (bottom - top) + step)
                if is_upright
                else (left + share * (right - left) + step, (top + bottom) / 2),
                is_letter_below=is_upright,
            )
            for step in STEPS_MM
        ]
        clear = (mark for mark in tried if all(is_clear(box, in_the_way) for box in mark.boxes(type_mm)))
        yield next(clear, tried[0])


def marks_on(laid: Laid, tile: Tile, marks: Mapping[str, Sequence[Mark]]) -> tuple[Mark, ...]:
    """The marks a tile shows, measured from its own corner."""
    x_mm, y_mm, _, _ = laid.box(tile)
    letters = [join.letter for join in laid.joins if tile.number in (join.first, join.second)]
    return tuple(mark.moved(x_mm, y_mm) for letter in letters for mark in marks[letter])


def marks_path(marks: Sequence[Mark]) -> str:
    """Marks as path data."""
    return path_data(mark.line for mark in marks)
