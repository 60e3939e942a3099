"""Charts of the year's numbers as drawings of black lines: filled, hatched and empty bars, every length in mm."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from gowngroup.printing.planner.pattern.words import LARGE_MM, USUAL_MM, text_width_mm
from gowngroup.records.reader import current_reader
from gowngroup.records.written import written_number

WIDTH_MM = 180.0
PLOT_HEIGHT_MM = 52.0
HATCH_MM = 1.3
LINE_MM = 0.3
GAP_SHARE = 0.25
FILLS = ("empty", "hatched", "black")
MOST_TICKS = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """Numbers of one kind, one for each label, with the words for them where they are more than the number."""

    name: str
    values: tuple[float, ...]
    words: tuple[str, ...] = ()

    def said(self, place: int) -> str:
        return self.words[place] if self.words else written_number(f"{self.values[place]:.10g}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One number: its rectangle from the upper left corner."""

    x: float
    y: float
    width: float
    height: float
    fill: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """A line of words and where it is anchored."""

    x: float
    y: float
    text: str
    anchor: str = "start"


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """A drawing with a title, a sentence that says what it shows, and the bars' numbers per mm to read it back."""

    title: str
    description: str
    width_mm: float
    height_mm: float
    type_mm: float
    bars: tuple[Bar, ...]
    hatching: str
    axis: str
    grid: str
    texts: tuple[Text, ...]
    mm_per_unit: float


def type_size_mm() -> float:
    """Letters in charts are as large as on the sheet around them."""
    return LARGE_MM if current_reader().has_large_print else USUAL_MM


def ticks(most: float) -> tuple[float, ...]:
    """Round numbers from 0 to at least the largest, in steps of 1, 2 or 5 times a power of ten, whole ones first."""
    step = 1.0 if most >= 1 or most <= 0 else 10 ** -next(n for n in range(1, 10) if most * 10**n >= 1)
    while True:
        for factor in (1, 2, 5):
            count = -int(-most // (step * factor)) or 1
            if count <= MOST_TICKS:
                return tuple(round(step * factor * each, 9) for each in range(count + 1))
        step *= 10


def column_chart(*, title: str, description: str, labels: Sequence[str], series: Sequence[Series]) -> Chart:
    """Columns standing side by side above each label, with a scale of round numbers at the left."""
    type_mm = type_size_mm()
    scale = ticks(max((value for each in series for value in each.values), default=0))
    marks = [written_number(f"{tick:g}") for tick in scale]
    left = max(text_width_mm(mark, type_mm) for mark in marks) + 2
    key = _key(series, type_mm)
    top = key.height + type_mm
    floor = top + PLOT_HEIGHT_MM
    mm_per_unit = PLOT_HEIGHT_MM / scale[-1]
    room = (WIDTH_MM - left) / len(labels)
    width = room * (1 - GAP_SHARE) / len(series)
    bars = [
        Bar(
            x=left + room * (place + GAP_SHARE / 2) + width * number,
            y=floor - value * mm_per_unit,
            width=width,
            height=value * mm_per_unit,
            fill=_fill(number, series),
        )
        for number, each in enumerate(series)
        for place, value in enumerate(each.values)
        if value
    ]
    heights = [floor - tick * mm_per_unit for tick in scale]
    texts = [
        Text(x=left - 2, y=y + type_mm * 0.35, text=mark, anchor="end")
        for y, mark in zip(heights, marks, strict=True)
    ]
    under = [
        Text(x=left + room * (place + 0.5), y=floor + type_mm * 1.1, text=label, anchor="middle")
        for place, label in enumerate(labels)
    ]
    return Chart(
        title=title,
        description=description,
        width_mm=WIDTH_MM,
        height_mm=floor + type_mm * 1.5,
        type_mm=type_mm,
        bars=(*key.bars, *bars),
        hatching=_hatching((*key.bars, *bars)),
        axis=f"M{left:.2f} {top:.2f}V{floor:.2f}H{WIDTH_MM:.2f}",
        grid="".join(f"M{left:.2f} {y:.2f}H{WIDTH_MM:.2f}" for y in heights[1:]),
        texts=(*key.texts, *texts, *under),
        mm_per_unit=mm_per_unit,
    )


def row_chart(*, title: str, description: str, labels: Sequence[str], series: Sequence[Series]) -> Chart:
    """Bars lying below each label, one below the other, each with its number at the end."""
    type_mm = type_size_mm()
    places = range(len(labels))
    ends = max((text_width_mm(each.said(place), type_mm) for each in series for place in places), default=0)
    most = max((value for each in series for value in each.values), default=0)
    mm_per_unit = (WIDTH_MM - ends - 3) / ticks(most)[-1]
    key = _key(series, type_mm)
    thick = type_mm * 0.95
    pitch = type_mm * 1.95 + thick * len(series)
    bars, texts, axis = list(key.bars), list(key.texts), []
    for place, label in enumerate(labels):
        y = key.height + pitch * place + type_mm
        texts.append(Text(x=0, y=y, text=_cut(label, WIDTH_MM, type_mm)))
        y += type_mm * 0.35
        axis.append(f"M{LINE_MM:.2f} {y:.2f}v{thick * len(series):.2f}")
        for number, each in enumerate(series):
            length, y_bar = each.values[place] * mm_per_unit, y + thick * number
            if length:
                fill = _fill(number, series)
                bars.append(Bar(x=LINE_MM, y=y_bar, width=length, height=thick, fill=fill))
            texts.append(Text(x=LINE_MM + length + 1.5, y=y_bar + thick * 0.83, text=each.said(place)))
    return Chart(
        title=title,
        description=description,
        width_mm=WIDTH_MM,
        height_mm=key.height + pitch * len(labels),
        type_mm=type_mm,
        bars=tuple(bars),
        hatching=_hatching(bars),
        axis="".join(axis),
        grid="",
        texts=tuple(texts),
        mm_per_unit=mm_per_unit,
    )


def _fill(number: int, series: Sequence[Series]) -> str:
    return FILLS[number] if len(series) > 1 else "hatched"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Key:
    """What each filling means, above the drawing; nothing where there is but one kind of number."""

    bars: tuple[Bar, ...] = ()
    texts: tuple[Text, ...] = ()
    height: float = 0.0


def _key(series: Sequence[Series], type_mm: float) -> _Key:
    if len(series) < 2:
        return _Key()
    bars, texts, x, y = [], [], LINE_MM, LINE_MM
    for number, each in enumerate(series):
        width = text_width_mm(each.name, type_mm) + 16
        if x > 1 and x + width > WIDTH_MM:
            x, y = LINE_MM, y + type_mm * 1.4
        bars.append(Bar(x=x, y=y, width=8, height=type_mm * 0.95, fill=_fill(number, series)))
        texts.append(Text(x=x + 10, y=y + type_mm * 0.85, text=each.name))
        x += width
    return _Key(bars=tuple(bars), texts=tuple(texts), height=y + type_mm * 1.8)


def _cut(text: str, width_mm: float, type_mm: float) -> str:
    """As much of a name as fits; the table beside the chart has the whole."""
    while text_width_mm(text, type_mm) > width_mm:
        text = text.removesuffix("…")[:-1] + "…"
    return text


def _hatching(bars: Iterable[Bar]) -> str:
    """Slanting lines inside the hatched bars, each clipped to its bar."""
    return "".join(_slants(bar) for bar in bars if bar.fill == "hatched")


def _slants(bar: Bar) -> str:
    lines, start = [], HATCH_MM
    while start < bar.width + bar.height:
        right, left = min(start, bar.width), max(start - bar.height, 0)
        lines.append(
            f"M{bar.x + left:.2f} {bar.y + start - left:.2f}L{bar.x + right:.2f} {bar.y + start - right:.2f}"
        )
        start += HATCH_MM
    return "".join(lines)
