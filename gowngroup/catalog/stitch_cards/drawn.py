"""A card with its pictures drawn, ready for a page or for paper."""

from dataclasses import dataclass

from gowngroup.catalog.drawing import ChartDrawing, whole_chart
from gowngroup.catalog.drawing.stitch_pictures import ROOM_MM, StitchPicture, stitch_picture
from gowngroup.catalog.drawing.stitch_tools import ToolPicture
from gowngroup.catalog.stitch_cards.steps import Step
from gowngroup.catalog.stitch_cards.stitches import StitchCard
from gowngroup.planning.smocking import CompiledChart

ROW_MM, ROUND_MM = 7.0, 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnStep:
    """A step with what is drawn for it."""

    sentences: tuple[str, ...]
    label: str
    picture: StitchPicture | None
    tool: ToolPicture | None
    charts: tuple[ChartDrawing, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnCard:
    """A card ready to be shown; `showpiece` is the picture by which it is known in a list."""

    card: StitchCard
    steps: tuple[DrawnStep, ...]

    @property
    def showpiece(self) -> DrawnStep:
        """The last picture of stitches or of a tool."""
        return [step for step in self.steps if step.picture or step.tool][-1]


def drawn_card(card: StitchCard, *, letter_mm: float, room_mm: float = ROOM_MM) -> DrawnCard:
    """The card with pictures no wider than their room, the numbers in them so high."""
    return DrawnCard(card=card, steps=tuple(_drawn(step, letter_mm, room_mm) for step in card.steps))


def _drawn(step: Step, letter_mm: float, room_mm: float) -> DrawnStep:
    return DrawnStep(
        sentences=step.sentences,
        label=step.label,
        picture=stitch_picture(step.picture, letter_mm=letter_mm, room_mm=room_mm) if step.picture else None,
        tool=step.tool,
        charts=_chart(step.chart, letter_mm, room_mm) if step.chart else (),
    )


def _chart(chart: CompiledChart, letter_mm: float, room_mm: float) -> tuple[ChartDrawing, ...]:
    rows_mm = ROW_MM * max(chart.chart.row_count - 1, 1)
    return whole_chart(
        chart, width_mm=room_mm, height_mm=rows_mm + ROUND_MM * letter_mm / 3.9, letter_mm=letter_mm
    )
