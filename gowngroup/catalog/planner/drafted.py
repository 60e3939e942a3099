"""Gowns drafted from the baby's measures."""

from dataclasses import asdict, dataclass
from functools import lru_cache
from typing import cast

from gowngroup.catalog.models import Design, DesignSize
from gowngroup.catalog.planner.closing_words import draft_fault_sentences
from gowngroup.catalog.planner.closures import closure_of
from gowngroup.catalog.planner.cut import Cut
from gowngroup.catalog.planner.part_words import piece_label
from gowngroup.catalog.planner.rows import planning_chart, size_band
from gowngroup.catalog.planner.smocked import SmockedWidth
from gowngroup.catalog.planner.values import GownPiece, PlannerSettings
from gowngroup.planning import drafting
from gowngroup.planning.sizes import SizeBand
from gowngroup.planning.smocking import Chart


@dataclass(frozen=True, slots=True, kw_only=True)
class _Order:
    """All that a draft is made from; drafting and checking one takes a fifth of a second."""

    kind: drafting.DraftKind
    size: SizeBand
    rules: drafting.DraftRules
    purpose: drafting.Purpose
    take_up_mm: float
    row_space_mm: float
    closure: drafting.Closure
    overrides: tuple[tuple[str, float], ...]
    chart: Chart | None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Drafted:
    draft: drafting.Draft
    finished: drafting.FinishedMeasures
    edges: tuple[drafting.TrimEdge, ...]
    faults: tuple[drafting.Fault, ...]


def drafted_cut(design_size: DesignSize, purpose: str, settings: PlannerSettings) -> Cut:
    """The draft's pieces, smocked width, measures and edges, with a sentence for all that does not close.

    Raises drafting.CannotDraft where the size cannot be drafted at all.
    """
    drafted = _drafted(_order(design_size, purpose, settings))
    return Cut(
        pieces=tuple(
            GownPiece(name=piece_label(piece.name), part=piece.name, pattern=piece)
            for piece in drafted.draft.pieces
        ),
        width=_smocked_width(drafted.draft),
        measures_mm={
            name: value for name, value in drafted.finished.known.items() if name != "sleeve_hem_mm"
        },
        edges_mm={edge.name: (edge.length_mm, edge.count) for edge in drafted.edges},
        faults=draft_fault_sentences(drafted.faults),
        hems=_hems(drafted.draft),
    )


def _hems(draft: drafting.Draft) -> frozenset[tuple[str, str]]:
    """The edges that no seam joins to another."""
    joined = {(ref.piece, ref.edge) for seam in draft.seams for ref in (*seam.left, *seam.right)}
    edges = {(piece.name, edge.name) for piece in draft.pieces for edge in piece.edges}
    return frozenset(edges - joined)


def _smocked_width(draft: drafting.Draft) -> SmockedWidth | None:
    smocking = draft.smocking
    if smocking is None:
        return None
    return SmockedWidth(
        pleat_count=smocking.pleat_count,
        flat_mm=smocking.flat_mm,
        finished_mm=tuple(row.finished_mm for row in smocking.rows),
    )


def draft_of(design_size: DesignSize, purpose: str, settings: PlannerSettings) -> drafting.Draft:
    """The draft of a design in a size; raises drafting.CannotDraft."""
    return _drafted(_order(design_size, purpose, settings)).draft


def draft_measures(design_size: DesignSize, purpose: str, settings: PlannerSettings) -> dict[str, float]:
    """Every measure a size is drafted by, by name; raises drafting.CannotDraft."""
    return asdict(draft_of(design_size, purpose, settings).measures)


def _order(design_size: DesignSize, purpose: str, settings: PlannerSettings) -> _Order:
    band = size_band(design_size.size, settings)
    rules = drafting.DraftRules.from_figures(settings.figures)
    revision = design_size.revision
    return _Order(
        kind=cast(drafting.DraftKind, revision.design.kind),
        size=band,
        rules=rules,
        purpose=cast(drafting.Purpose, purpose),
        take_up_mm=settings.pleater.take_up_mm,
        row_space_mm=settings.pleater.row_space_mm,
        closure=closure_of(revision, band, rules),
        overrides=tuple(sorted((key, float(value)) for key, value in design_size.overrides.items())),
        chart=_panel_chart(design_size),
    )


def _panel_chart(design_size: DesignSize) -> Chart | None:
    """The chart where it has a say in the number of pleats, as in a panel."""
    revision = design_size.revision
    is_panel = revision.design.kind == Design.Kind.YOKE
    return planning_chart(revision.chart) if is_panel and revision.chart else None


@lru_cache(maxsize=256)
def _drafted(order: _Order) -> _Drafted:
    draft = drafting.draft_gown(
        order.kind,
        size=order.size,
        rules=order.rules,
        purpose=order.purpose,
        pleater_take_up_mm=order.take_up_mm,
        pleater_row_space_mm=order.row_space_mm,
        closure=order.closure,
        overrides=dict(order.overrides),
        chart=order.chart,
    )
    return _Drafted(
        draft=draft,
        finished=drafting.finished_measures(draft),
        edges=drafting.trim_edges(draft),
        faults=drafting.closing_faults(draft),
    )
