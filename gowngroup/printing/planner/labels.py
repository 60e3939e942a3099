"""Which label stands where on which sheet."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from gowngroup.printing.label_sheets import INSIDE_MM, LabelSheet
from gowngroup.printing.letters import missing_sentence
from gowngroup.printing.planner.label_fit import Room, Setting, setting
from gowngroup.printing.planner.label_words import LabelWords
from gowngroup.printing.qr import LEAST_MODULE_MM, QUIET_MODULES, QrCode, qr_code
from gowngroup.records.errors import Refusal

QR_SHARE, MOST_QR_SHARE, MOST_QR_MM = 0.36, 0.5, 26.0
MOST_ARM_MM, TICK_MM = 10, 0.6


class LabelTooSmall(Refusal):
    """The words that must stand on a label do not fit on it."""


class LetterMissing(Refusal):
    """What must stand on a label has letters that none of our typefaces has."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """One label at its place on the sheet."""

    position: int
    words: LabelWords
    setting: Setting
    qr: QrCode | None

    @property
    def type_class(self) -> str:
        """The class of its size of type, in tenths of a point."""
        return f"pt-{round(self.setting.type_pt * 10)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelPage:
    """One sheet of labels."""

    number: int
    labels: tuple[Label, ...]


def label_pages(
    said: Sequence[LabelWords], *, sheet: LabelSheet, start: int = 1, copies: int = 1
) -> tuple[LabelPage, ...]:
    """The sheets that hold so many labels of each, the first sheet from a position on; refused where words do not fit."""
    set_up = [_label(words, sheet) for words in said]
    labels = [label for label in set_up for _copy in range(copies)]
    placed = [
        Label(
            position=(start - 1 + index) % sheet.label_count + 1,
            words=label.words,
            setting=label.setting,
            qr=label.qr,
        )
        for index, label in enumerate(labels)
    ]
    first = sheet.label_count - start + 1
    rest = range(first, len(placed), sheet.label_count)
    groups = [placed[:first], *(placed[at : at + sheet.label_count] for at in rest)]
    return tuple(LabelPage(number=number, labels=tuple(group)) for number, group in enumerate(groups, 1))


def _label(words: LabelWords, sheet: LabelSheet) -> Label:
    if sentence := missing_sentence(" ".join(text.text for text in words.texts)):
        raise LetterMissing(f"{words.name}: {sentence}", field="item")
    width_mm = sheet.label_width_mm - 2 * (sheet.tuck_mm + INSIDE_MM)
    height_mm = sheet.label_height_mm - 2 * INSIDE_MM
    ways: list[tuple[Setting, QrCode | None]] = []
    for qr in _codes(words, width_mm, height_mm):
        room = Room(width_mm=width_mm, height_mm=height_mm, qr_mm=qr.size_mm if qr else 0.0)
        if found := setting(words.texts, room):
            ways.append((found, qr if found.has_qr else None))
    if not ways:
        raise LabelTooSmall(
            _(
                "The words of %(name)s do not fit on labels this small. Please choose a sheet with larger labels."
            )
            % {"name": words.name},
            field="sheet",
        )
    best, code = max(ways, key=lambda way: (way[0].has_qr, not way[0].is_together))
    return Label(position=0, words=words, setting=best, qr=code)


def _codes(words: LabelWords, width_mm: float, height_mm: float) -> tuple[QrCode | None, ...]:
    """The code as large as suits the label, then as small as can be read; only None where it has no room."""
    if not words.address:
        return (None,)
    least = qr_code(words.address)
    if least.size_mm > min(height_mm, MOST_QR_SHARE * width_mm):
        return (None,)
    side_mm = max(least.size_mm, min(height_mm, QR_SHARE * width_mm, MOST_QR_MM))
    module_mm = max(side_mm / least.side_modules, LEAST_MODULE_MM)
    large = qr_code(words.address, symbol_mm=module_mm * (least.side_modules - 2 * QUIET_MODULES))
    return large, least


def cross_path(sheet: LabelSheet) -> str:
    """A cross in the middle of a label with a small line at every millimetre, as SVG path data in mm."""
    x, y = sheet.label_width_mm / 2, sheet.label_height_mm / 2
    arm_mm = int(min(MOST_ARM_MM, x, y))
    ticks = [at for at in range(-arm_mm, arm_mm + 1) if at]
    return "".join(
        (
            f"M{x - arm_mm:.3f} {y:.3f}h{2 * arm_mm}M{x:.3f} {y - arm_mm:.3f}v{2 * arm_mm}",
            *(f"M{x + at:.3f} {y - TICK_MM:.3f}v{2 * TICK_MM}" for at in ticks),
            *(f"M{x - TICK_MM:.3f} {y + at:.3f}h{2 * TICK_MM}" for at in ticks),
        )
    )
