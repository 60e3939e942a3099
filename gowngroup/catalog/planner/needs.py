"""Everything one gown needs, from its design revision, size and purpose."""

from collections.abc import Mapping
from dataclasses import replace

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from gowngroup.catalog.models import DesignRevision, DesignSize, MaterialKind, Need, Size
from gowngroup.catalog.planner.closures import closure_sentences, neck_sentences
from gowngroup.catalog.planner.companions import companions
from gowngroup.catalog.planner.cut import Cut
from gowngroup.catalog.planner.drafted import drafted_cut
from gowngroup.catalog.planner.own_pieces import own_cut
from gowngroup.catalog.planner.refusal_words import refusal_sentences
from gowngroup.catalog.planner.rows import planner_settings, planning_chart, size_band
from gowngroup.catalog.planner.seams import seam_threads_of
from gowngroup.catalog.planner.smocked import Smocked, smocked, smocking_faults
from gowngroup.catalog.planner.trims import trims_of
from gowngroup.catalog.planner.values import (
    GownNeed,
    GownPiece,
    Measure,
    NotionNeed,
    PlannerSettings,
    TrimNeed,
)
from gowngroup.planning.drafting import CannotDraft
from gowngroup.planning.hours import GownWork, HoursRules, StageTime, stage_times
from gowngroup.planning.smocking import Chart


def gown_need(
    *, revision: DesignRevision, size: Size, purpose: str = "worn", settings: PlannerSettings | None = None
) -> GownNeed:
    """What one gown takes; `faults` is empty when it can be made, else says in sentences why not.

    Read `planner_settings()` once and pass it where many needs are worked out.
    """
    settings = settings or planner_settings()
    design_size = revision.sizes.filter(size=size).select_related("size", "revision__design").first()
    if design_size is None:
        empty = GownNeed(revision_id=revision.pk, size_id=size.pk, purpose=purpose)
        return _refused(empty, _("%(design)s is not made in this size.") % {"design": revision.design})
    return need_of_size(design_size, purpose, settings)


def need_of_size(design_size: DesignSize, purpose: str, settings: PlannerSettings) -> GownNeed:
    """What one gown takes as a design size says, whether or not it is stored like that."""
    revision = design_size.revision
    empty = GownNeed(revision_id=revision.pk, size_id=design_size.size_id, purpose=purpose)
    if faults := _purpose_faults(revision, purpose):
        return _refused(empty, *faults)
    chart = planning_chart(revision.chart) if revision.chart else None
    try:
        cut = _cut(design_size, purpose, chart, settings)
    except CannotDraft as refusal:
        return _refused(empty, *refusal_sentences(refusal, design_size))
    return _need(design_size=design_size, purpose=purpose, chart=chart, cut=cut, settings=settings)


def closing_sentences(design_size: DesignSize, settings: PlannerSettings) -> tuple[str, ...]:
    """What keeps a size from being drafted and sewn as it is; where purposes differ, for which of them."""
    found = {
        purpose: _closing_sentences(design_size, purpose, settings)
        for purpose in design_size.revision.purposes()
    }
    told: dict[str, None] = {}
    for purpose, sentences in found.items():
        for sentence in sentences:
            is_shared = all(sentence in others for others in found.values())
            told[sentence if is_shared else f"{_PURPOSE_WORDS[purpose]}: {sentence}"] = None
    return tuple(told)


_PURPOSE_WORDS = {"worn": gettext_lazy("To wear"), "memorial": gettext_lazy("As a memorial gown")}


def _closing_sentences(design_size: DesignSize, purpose: str, settings: PlannerSettings) -> tuple[str, ...]:
    revision = design_size.revision
    chart = planning_chart(revision.chart) if revision.chart else None
    try:
        cut = _cut(design_size, purpose, chart, settings)
    except CannotDraft as refusal:
        return refusal_sentences(refusal, design_size)
    chart_faults = smocking_faults(chart, cut.width) if chart and cut.width else ()
    return (*cut.faults, *chart_faults, *_closing(design_size, cut, settings))


def _closing(design_size: DesignSize, cut: Cut, settings: PlannerSettings) -> tuple[str, ...]:
    return closure_sentences(
        design_size.revision,
        size_band(design_size.size, settings),
        settings,
        gown_length_mm=cut.measures_mm.get("length_mm"),
    )


def _refused(empty: GownNeed, *faults: str) -> GownNeed:
    return GownNeed(
        revision_id=empty.revision_id, size_id=empty.size_id, purpose=empty.purpose, faults=faults
    )


def _purpose_faults(revision: DesignRevision, purpose: str) -> tuple[str, ...]:
    if purpose == "worn" and not revision.is_for_worn:
        return (_("%(design)s is not made as a gown to wear.") % {"design": revision.design},)
    if purpose == "memorial" and not revision.is_for_memorial:
        return (_("%(design)s is not made as a memorial gown.") % {"design": revision.design},)
    return ()


def _cut(design_size: DesignSize, purpose: str, chart: Chart | None, settings: PlannerSettings) -> Cut:
    if design_size.revision.design.is_drafted():
        return drafted_cut(design_size, purpose, settings)
    return own_cut(design_size, chart, settings)


def _need(
    *, design_size: DesignSize, purpose: str, chart: Chart | None, cut: Cut, settings: PlannerSettings
) -> GownNeed:
    revision, size = design_size.revision, design_size.size
    needs = _needs_of(revision)
    trims, trim_faults = trims_of(needs, size, cut, settings)
    chart_faults = _chart_faults(chart, cut)
    work = smocked(chart, cut.width, settings) if chart and cut.width and not chart_faults else None
    extra, extra_faults = companions(revision, size, settings)
    pieces = (*(_matched(piece, revision) for piece in cut.pieces), *extra)
    closing = _closing(design_size, cut, settings)
    threads = seam_threads_of(revision, pieces, trims, hems=cut.hems, settings=settings)
    return GownNeed(
        revision_id=revision.pk,
        size_id=size.pk,
        purpose=purpose,
        pieces=pieces,
        trims=trims,
        notions=_notions(needs),
        floss=work.floss if work else (),
        sewing_thread_mm=sum(each.length_mm for each in threads),
        seam_threads=threads,
        stage_times=_times(work, trims, revision, settings),
        measures=_measures(cut.measures_mm),
        pleating=work.guide if work else None,
        smocking=work.compiled if work else None,
        faults=(*cut.faults, *chart_faults, *trim_faults, *extra_faults, *closing, *neck_sentences(needs)),
        notes=work.notes if work else (),
    )


def _needs_of(revision: DesignRevision) -> list[Need]:
    is_fetched = "needs" in getattr(revision, "_prefetched_objects_cache", {})
    return list(revision.needs.all() if is_fetched else revision.needs.prefetch_related("lengths"))


# Parts of the gown, under whichever name a kind of design cuts them.
_PARTS_TO_MATCH = {
    "front": "front",
    "front panel": "front",
    "smocked panel": "front",
    "back": "back",
    "sleeve": "sleeve",
    "yoke": "yoke",
    "front yoke": "yoke",
    "back yoke": "yoke",
}


def _matched(piece: GownPiece, revision: DesignRevision) -> GownPiece:
    return replace(piece, is_matched=_PARTS_TO_MATCH.get(piece.part) in revision.matched_parts)


def _chart_faults(chart: Chart | None, cut: Cut) -> tuple[str, ...]:
    if cut.width is None:
        return ()
    if chart is None:
        return (_("This design is smocked but has no smocking chart: choose one on the design’s page."),)
    return smocking_faults(chart, cut.width)


def _notions(needs: list[Need]) -> tuple[NotionNeed, ...]:
    return tuple(
        NotionNeed(place=need.place, count=need.piece_count)
        for need in needs
        if need.kind == MaterialKind.NOTION
    )


def _times(
    work: Smocked | None, trims: tuple[TrimNeed, ...], revision: DesignRevision, settings: PlannerSettings
) -> tuple[StageTime, ...]:
    gown_work = GownWork(
        stitch_count=work.compiled.move_count if work else 0,
        thread_starts=work.thread_starts if work else 0,
        lace_mm=sum(trim.length_mm * trim.count for trim in trims),
        is_cut_in_batch=True,
        companions=tuple(revision.companions),
    )
    return stage_times(gown_work, HoursRules.from_figures(settings.figures))


def _measures(measures_mm: Mapping[str, float]) -> tuple[Measure, ...]:
    labels = measure_labels()
    return tuple(
        Measure(key=key, label=labels[key], length_mm=measures_mm[key])
        for key in labels
        if key in measures_mm
    )


def measure_labels() -> dict[str, str]:
    """Finished measures by key, in the order they are read."""
    return {
        "neck_mm": _("neck, round"),
        "chest_mm": _("chest, round"),
        "length_mm": _("length from the neck"),
        "sleeve_girth_mm": _("sleeve, round"),
        "sleeve_length_mm": _("sleeve length"),
        "hem_sweep_mm": _("hem, round"),
        "smocked_width_mm": _("smocked width"),
        "width_mm": _("width, laid out flat"),
    }
