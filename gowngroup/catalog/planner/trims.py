"""Lace, ribbon and other trims of a gown, as unjoined lengths."""

from collections.abc import Iterable, Iterator
from typing import cast

from django.utils.translation import gettext as _

from gowngroup.catalog.models import MaterialKind, Need, NeedLength, Size
from gowngroup.catalog.planner.cut import Cut
from gowngroup.catalog.planner.rows import UM_PER_MM
from gowngroup.catalog.planner.values import PlannerSettings, TrimNeed
from gowngroup.planning.trims import TrimKind, TrimRules, threaded_ribbon_mm, trim_length_mm


def trims_of(
    needs: Iterable[Need], size: Size, cut: Cut, settings: PlannerSettings
) -> tuple[tuple[TrimNeed, ...], tuple[str, ...]]:
    """The trims of one gown, and a sentence for each whose length is not known in this size."""
    trims: list[TrimNeed] = []
    faults = []
    for need in needs:
        if need.kind == MaterialKind.NOTION:
            continue
        edge = _edge(need, size, cut)
        if edge is None:
            faults.append(_("No length is known for this size: %(place)s.") % {"place": need.place})
        else:
            trims += _trims(need, *edge, settings=settings)
    return tuple(trims), tuple(faults)


def _edge(need: Need, size: Size, cut: Cut) -> tuple[float, int] | None:
    """Length of the edge in mm and how often the gown has it; a typed length comes before the draft's."""
    typed: NeedLength | None = next((row for row in need.lengths.all() if row.size_id == size.pk), None)
    if typed is not None:
        return typed.length_um / UM_PER_MM, need.piece_count
    return cut.edges_mm.get(need.edge)


def _trims(need: Need, edge_mm: float, count: int, *, settings: PlannerSettings) -> Iterator[TrimNeed]:
    """The trim itself, and the ribbon drawn through it."""
    ratio, end_mm = need.gather_percent / 100, need.end_allowance_um / UM_PER_MM
    length_mm = trim_length_mm(
        _planning_kind(need.kind), edge_mm, gather_ratio=ratio, end_mm=end_mm, name=need.place
    )
    has_batiste = need.kind == MaterialKind.ENTREDEUX
    yield TrimNeed(
        kind=need.kind,
        place=need.place,
        length_mm=length_mm,
        count=count,
        width_mm=None if need.width_um is None else need.width_um / UM_PER_MM,
        batiste_mm=settings.figures["draft_seam_allowance_mm"] if has_batiste else None,
        edge_mm=edge_mm,
        ratio=ratio,
        end_mm=end_mm,
    )
    if need.is_threaded:
        rules = TrimRules.from_figures(settings.figures)
        yield TrimNeed(
            kind=MaterialKind.RIBBON,
            place=need.place,
            length_mm=threaded_ribbon_mm(length_mm, rules=rules),
            count=count,
            is_drawn_through=True,
            edge_mm=length_mm,
            ratio=rules.beading_ribbon_ratio,
        )


def _planning_kind(kind: str) -> TrimKind:
    return "edging" if kind == MaterialKind.TRIM else cast(TrimKind, kind)
