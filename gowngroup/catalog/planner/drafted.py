"""A round-necked gown drafted from the baby's measures."""

from dataclasses import dataclass
from functools import lru_cache
from typing import cast

from django.utils.translation import gettext as _

from gowngroup.catalog.models import DesignSize
from gowngroup.catalog.planner.closures import closure_of
from gowngroup.catalog.planner.rectangles import Cut
from gowngroup.catalog.planner.rows import size_band
from gowngroup.catalog.planner.smocked import SmockedWidth
from gowngroup.catalog.planner.values import GownPiece, PlannerSettings
from gowngroup.planning import drafting
from gowngroup.planning.sizes import SizeBand


@dataclass(frozen=True, slots=True, kw_only=True)
class _Order:
    """All that a draft is made from; drafting and checking one takes a fifth of a second."""

    size: SizeBand
    rules: drafting.DraftRules
    purpose: drafting.Purpose
    take_up_mm: float
    row_space_mm: float
    closure: drafting.Closure
    overrides: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Drafted:
    draft: drafting.Draft
    finished: drafting.FinishedMeasures
    edges: tuple[drafting.TrimEdge, ...]
    fault_sentences: tuple[str, ...]


def drafted_cut(design_size: DesignSize, purpose: str, settings: PlannerSettings) -> Cut:
    """The draft's pieces, strip, measures and edges, with a sentence for all that does not close.

    Raises drafting.CannotDraft where the size cannot be drafted at all.
    """
    drafted = _drafted(_order(design_size, purpose, settings))
    strip = drafted.draft.strip
    return Cut(
        pieces=tuple(
            GownPiece(name=piece_label(piece.name), part=piece.name, pattern=piece)
            for piece in drafted.draft.pieces
        ),
        width=SmockedWidth(
            pleat_count=strip.pleat_count,
            flat_mm=strip.flat_mm,
            finished_mm=tuple(row.finished_mm for row in strip.rows),
        ),
        measures_mm=_measures_mm(drafted.finished),
        edges_mm={edge.name: (edge.length_mm, edge.count) for edge in drafted.edges},
        faults=drafted.fault_sentences,
    )


def draft_of(design_size: DesignSize, purpose: str, settings: PlannerSettings) -> drafting.Draft:
    """The draft of a design in a size; raises drafting.CannotDraft."""
    return _drafted(_order(design_size, purpose, settings)).draft


def _order(design_size: DesignSize, purpose: str, settings: PlannerSettings) -> _Order:
    band = size_band(design_size.size, settings)
    rules = drafting.DraftRules.from_figures(settings.figures)
    return _Order(
        size=band,
        rules=rules,
        purpose=cast(drafting.Purpose, purpose),
        take_up_mm=settings.pleater.take_up_mm,
        row_space_mm=settings.pleater.row_space_mm,
        closure=closure_of(design_size.revision, band, rules),
        overrides=tuple(sorted((key, float(value)) for key, value in design_size.overrides.items())),
    )


@lru_cache(maxsize=256)
def _drafted(order: _Order) -> _Drafted:
    draft = drafting.draft_round_neck(
        size=order.size,
        rules=order.rules,
        purpose=order.purpose,
        pleater_take_up_mm=order.take_up_mm,
        pleater_row_space_mm=order.row_space_mm,
        closure=order.closure,
        overrides=dict(order.overrides),
    )
    return _Drafted(
        draft=draft,
        finished=drafting.finished_measures(draft),
        edges=drafting.trim_edges(draft),
        fault_sentences=tuple(fault.sentence for fault in drafting.closing_faults(draft)),
    )


def piece_label(name: str) -> str:
    """A drafted piece's name for the reader."""
    labels = {
        "front": _("front"),
        "back": _("back"),
        "sleeve": _("sleeve"),
        "neck binding": _("neck binding, cut on the bias"),
    }
    return labels.get(name, name)


def _measures_mm(finished: drafting.FinishedMeasures) -> dict[str, float]:
    return {
        "neck_mm": finished.neck_mm,
        "chest_mm": finished.chest_mm,
        "length_mm": finished.length_mm,
        "sleeve_girth_mm": finished.sleeve_girth_mm,
        "sleeve_length_mm": finished.sleeve_length_mm,
        "hem_sweep_mm": finished.hem_sweep_mm,
    }
