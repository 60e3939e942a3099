"""How the words of a label are broken into lines, and how large they can be set."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from gowngroup.printing.planner.pattern.words import POINT_MM, text_width_mm, wrapped

LINE_SHARE, CODE_SHARE = 1.12, 1.25
QR_GAP_MM = 1.0
LARGE_PT, READABLE_PT, SMALL_PT, LEAST_PT = 11.0, 8.0, 7.0, 6.0
STEP_PT = 0.5
JOINT = "\u00a0· "
PLAIN, BOLD, CODE = "plain", "bold", "code"


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelText:
    """One thing a label says; what is not needed is left out first where there is no room."""

    text: str
    look: str = PLAIN
    is_needed: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class SetText:
    """One thing a label says, in its lines."""

    lines: tuple[str, ...]
    look: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """How a label is set: size of type, whether there is room for its QR code, its words in lines."""

    type_pt: float
    has_qr: bool
    texts: tuple[SetText, ...]
    is_together: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """The room inside a label in mm, and the side of its QR code, 0 for none."""

    width_mm: float
    height_mm: float
    qr_mm: float = 0.0


def setting(texts: Sequence[LabelText], room: Room) -> Setting | None:
    """The largest setting with the code, in lines or else run together, without what may go where it must; else without the code."""
    said = [text for text in texts if text.text]
    for qr_mm in (room.qr_mm, 0.0) if room.qr_mm else (0.0,):
        for fewer in _fewer(said):
            if found := _largest(fewer, room, qr_mm, _sizes(LARGE_PT, READABLE_PT)):
                return found
        for fewer in _fewer(said):
            together = [LabelText(text=JOINT.join(text.text for text in fewer), look=BOLD)]
            sizes_pt = _sizes(READABLE_PT, SMALL_PT if qr_mm else LEAST_PT)
            if found := _largest(together, room, qr_mm, sizes_pt):
                return replace(found, is_together=True)
    return None


def _largest(
    said: Sequence[LabelText], room: Room, qr_mm: float, sizes_pt: Iterator[float]
) -> Setting | None:
    for type_pt in sizes_pt:
        lines = _set(said, room, qr_mm, type_pt)
        if lines is not None:
            return Setting(type_pt=type_pt, has_qr=qr_mm > 0, texts=lines)
    return None


def _fewer(texts: list[LabelText]) -> Iterator[list[LabelText]]:
    """All texts, then without the last of those not needed, and so on."""
    yield texts
    spare = [text for text in texts if not text.is_needed]
    while spare:
        texts = [text for text in texts if text is not spare[-1]]
        spare.pop()
        yield texts


def _sizes(largest_pt: float, least_pt: float) -> Iterator[float]:
    count = round((largest_pt - least_pt) / STEP_PT)
    return (largest_pt - STEP_PT * step for step in range(count + 1))


def _set(said: Sequence[LabelText], room: Room, qr_mm: float, type_pt: float) -> tuple[SetText, ...] | None:
    """The texts in lines, those beside the code narrower; None where they do not fit."""
    down_mm, made = 0.0, []
    for text in said:
        type_mm = type_pt * POINT_MM * (CODE_SHARE if text.look == CODE else 1.0)
        beside = down_mm < qr_mm
        width_mm = room.width_mm - (qr_mm + QR_GAP_MM if beside else 0.0)
        lines = wrapped(text.text, width_mm, type_mm)
        if any(text_width_mm(line, type_mm) > width_mm for line in lines):
            return None
        down_mm += len(lines) * type_mm * LINE_SHARE
        if down_mm > room.height_mm:
            return None
        made.append(SetText(lines=lines, look=text.look))
    return tuple(made)
