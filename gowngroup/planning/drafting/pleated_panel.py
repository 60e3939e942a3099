"""The smocked front panel of a yoke gown: pleats, rows, and flat cloth drawn in to its finished width."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from gowngroup.planning.drafting.refusals import CannotDraft
from gowngroup.planning.drafting.rules import DraftRules
from gowngroup.planning.drafting.strip import SmockedRow
from gowngroup.planning.smocking import Chart, suits_all_rows


@dataclass(frozen=True, slots=True, kw_only=True)
class SmockedPanel:
    """A panel pleated right across; all rows finish alike, `flat_mm` counts the pleats unpicked at both ends."""

    take_up_mm: float
    row_space_mm: float
    pleat_count: int
    spare_pleat_count: int
    flat_mm: float
    finished_mm: float
    pitch_mm: float
    cloth_ratio: float
    rows: tuple[SmockedRow, ...]

    @property
    def taken_up_mm(self) -> float:
        """Cloth that goes into the pleats between the yoke's two ends."""
        return self.pleat_count * self.take_up_mm - self.finished_mm


def panel_pleat_count(
    *, finished_mm: float, take_up_mm: float, rules: DraftRules, chart: Chart | None = None
) -> int:
    """Pleats for a finished width: of the counts that fit waves and trellises the one nearest the cloth ratio aimed at.

    Where none keeps within the cloth ratios allowed, the even count nearest the aim that suits every row of the
    chart, or any even count where there is no chart. Raises CannotDraft. Source: own block, derived.
    """
    least = math.ceil(rules.panel_ratio_least * finished_mm / take_up_mm)
    most = math.floor(rules.panel_ratio_most * finished_mm / take_up_mm)
    aim = rules.panel_ratio_aim * finished_mm / take_up_mm
    allowed = range(max(least, 2), most + 1)
    step, remainder = round(rules.pleat_step), round(rules.pleat_remainder)
    fitting = [count for count in allowed if (count - remainder) % step == 0 and count % 2 == 0]
    found = _nearest(fitting, aim) or _nearest(_even_and_suiting(allowed, chart), aim)
    if found is None:
        raise CannotDraft("no_pleats_fit", least=least, most=most)
    return found


def _even_and_suiting(counts: Iterable[int], chart: Chart | None) -> list[int]:
    return [count for count in counts if count % 2 == 0 and (chart is None or suits_all_rows(chart, count))]


def _nearest(counts: list[int], aim: float) -> int | None:
    return min(counts, key=lambda count: abs(count - aim), default=None)


def smocked_panel(
    *,
    finished_mm: float,
    pleat_count: int,
    row_depths_mm: tuple[float, ...],
    take_up_mm: float,
    row_space_mm: float,
    rules: DraftRules,
) -> SmockedPanel:
    """The panel for a pleat count; raises CannotDraft where the count is odd or the pleats too loose or too tight."""
    cloth_ratio = pleat_count * take_up_mm / finished_mm
    if pleat_count % 2:
        raise CannotDraft("uneven_pleats", pleat_count=pleat_count)
    if not rules.panel_ratio_least <= cloth_ratio <= rules.panel_ratio_most:
        raise CannotDraft(
            "cloth_ratio",
            cloth_ratio=cloth_ratio,
            least=rules.panel_ratio_least,
            most=rules.panel_ratio_most,
        )
    pitch_mm, spare = finished_mm / pleat_count, round(rules.spare_pleats)
    return SmockedPanel(
        take_up_mm=take_up_mm,
        row_space_mm=row_space_mm,
        pleat_count=pleat_count,
        spare_pleat_count=spare,
        flat_mm=(pleat_count + 2 * spare) * take_up_mm,
        finished_mm=finished_mm,
        pitch_mm=pitch_mm,
        cloth_ratio=cloth_ratio,
        rows=tuple(
            SmockedRow(
                number=number,
                depth_mm=depth_mm,
                finished_mm=finished_mm,
                pitch_mm=pitch_mm,
                cloth_ratio=cloth_ratio,
            )
            for number, depth_mm in enumerate(row_depths_mm, start=1)
        ),
    )
