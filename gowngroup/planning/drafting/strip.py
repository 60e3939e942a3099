"""The strip of cloth that is pleated and smocked all round the neck."""

from dataclasses import dataclass

from gowngroup.planning.drafting.refusals import CannotDraft
from gowngroup.planning.drafting.rules import DraftRules


@dataclass(frozen=True, slots=True, kw_only=True)
class SmockedRow:
    """One row round the neck: depth below the neck seam, finished length, pleat pitch, flat cloth per finished."""

    number: int
    depth_mm: float
    finished_mm: float
    pitch_mm: float
    cloth_ratio: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SmockedStrip:
    """Front, backs and sleeves joined and pleated as one; `flat_mm` counts the pleats unpicked at both ends."""

    take_up_mm: float
    row_space_mm: float
    pleat_count: int
    front_pleat_count: int
    sleeve_pleat_count: int
    back_pleat_count: int
    spare_pleat_count: int
    flat_mm: float
    neck: SmockedRow
    rows: tuple[SmockedRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Yoke:
    """The cone the smocking is blocked to: neck seam, and a wider girth at a depth below it, in mm."""

    neck_mm: float
    shoulder_girth_mm: float
    shoulder_depth_mm: float

    def girth_mm(self, depth_mm: float) -> float:
        """Finished girth at a depth below the neck seam."""
        widening_mm = self.shoulder_girth_mm - self.neck_mm
        return self.neck_mm + widening_mm * depth_mm / self.shoulder_depth_mm


def fitting_pleat_count(*, neck_mm: float, last_row_mm: float, take_up_mm: float, rules: DraftRules) -> int:
    """Pleats for this finished neck and last row: the count that fits wave and trellis nearest the aim.

    Where that would crowd the neck, one step fewer, as long as the last row stays full enough.
    """
    aim = rules.cloth_ratio_aim * last_row_mm / take_up_mm
    steps = round((aim - rules.pleat_remainder) / rules.pleat_step)
    nearest = rules.pleat_remainder + rules.pleat_step * max(steps, 0)
    fewer = nearest - rules.pleat_step
    is_crowded = neck_mm < nearest * rules.least_pitch_mm
    if is_crowded and fewer * take_up_mm >= rules.cloth_ratio_least * last_row_mm:
        return int(fewer)
    return int(nearest)


def smocked_strip(
    *,
    yoke: Yoke,
    row_depths_mm: tuple[float, ...],
    pleat_count: int,
    take_up_mm: float,
    row_space_mm: float,
    rules: DraftRules,
) -> SmockedStrip:
    """The strip for a pleat count, its pleats shared out between the pieces; raises CannotDraft."""
    rows = tuple(
        _row(number, depth_mm, yoke.girth_mm(depth_mm), pleat_count=pleat_count, take_up_mm=take_up_mm)
        for number, depth_mm in enumerate((0.0, *row_depths_mm))
    )
    _refuse_bad_rows(rows[0], rows[-1], rules)
    front = 2 * round(rules.front_share * pleat_count / 2)
    sleeve = round(rules.sleeve_share * pleat_count)
    back = (pleat_count - front - 2 * sleeve) // 2
    if pleat_count % 2 or min(front, sleeve, back) < 2:
        raise CannotDraft(
            "uneven_pleats" if pleat_count % 2 else "too_few_pleats",
            pleat_count=pleat_count,
        )
    return SmockedStrip(
        take_up_mm=take_up_mm,
        row_space_mm=row_space_mm,
        pleat_count=pleat_count,
        front_pleat_count=front,
        sleeve_pleat_count=sleeve,
        back_pleat_count=back,
        spare_pleat_count=round(rules.spare_pleats),
        flat_mm=(pleat_count + 2 * round(rules.spare_pleats)) * take_up_mm,
        neck=rows[0],
        rows=rows[1:],
    )


def _row(
    number: int, depth_mm: float, finished_mm: float, *, pleat_count: int, take_up_mm: float
) -> SmockedRow:
    return SmockedRow(
        number=number,
        depth_mm=depth_mm,
        finished_mm=finished_mm,
        pitch_mm=finished_mm / pleat_count,
        cloth_ratio=pleat_count * take_up_mm / finished_mm,
    )


def _refuse_bad_rows(neck: SmockedRow, last: SmockedRow, rules: DraftRules) -> None:
    if neck.pitch_mm < rules.least_pitch_mm:
        raise CannotDraft("pleats_too_close", pitch_mm=neck.pitch_mm, least_pitch_mm=rules.least_pitch_mm)
    if not rules.cloth_ratio_least <= last.cloth_ratio <= rules.cloth_ratio_most:
        raise CannotDraft(
            "cloth_ratio",
            cloth_ratio=last.cloth_ratio,
            least=rules.cloth_ratio_least,
            most=rules.cloth_ratio_most,
        )
