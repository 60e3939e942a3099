"""Why so much lace, floss, sewing thread and bias is taken."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.batches.planner.document import UNREADABLE, StoredPlan
from gowngroup.batches.planner.packing import place_of
from gowngroup.batches.planner.why.values import (
    Values,
    Why,
    design_key,
    figure_values,
    gowns_made,
    size_words,
)
from gowngroup.batches.planner.words import exact_mm_words, mm_words, wash_first_sentence
from gowngroup.catalog.planner import FlossNeed, TrimNeed, floss_step_label, floss_steps_of
from gowngroup.planning.batch_plan.plan import FlossShadePlan, ThreadPlan, TrimMaterialPlan
from gowngroup.planning.floss import Step
from gowngroup.planning.plain_data import value_of
from gowngroup.planning.smocking import PleaterProfile
from gowngroup.planning.thread import SeamThread, StitchClass
from gowngroup.records.codes import spaced
from gowngroup.records.reader import current_reader
from gowngroup.records.written import written_number


def trim_whys(stored: StoredPlan) -> Iterator[Why]:
    """Each lace or ribbon: what is sewn on, and how it is cut from the cards."""
    for material in stored.plan.trims:
        supplies = dict.fromkeys(cut.supply_key for cut in material.cuts)
        cut_mm = sum(cut.length_mm for cut in material.cuts)
        total_mm = cut_mm + sum(piece.length_mm for piece in material.unplaced)
        yield Why(
            title=stored.material_name(material.material_key),
            result=mm_words(total_mm),
            words=_(
                "Every edge gets one unjoined length: the edge as finished × how fully it is gathered + what is turned "
                "in at each end, rounded up to a whole millimetre. Entredeux, insertion and beading are set in flat, their ends caught in the seams; ribbon "
                "drawn through beading takes its length × what going in and out takes. The lengths are cut so that the fewest new cards are opened, then the "
                "fewest cards and remnants cut, and then the least is left that is too short for any of these edges."
            ),
            values=(*_trim_values(stored, material), *_wash_values(stored, supplies), _cutting(material)),
            lots=tuple(stored.lot(key) for key in dict.fromkeys(key.partition(".")[0] for key in supplies)),
        )


def _trim_values(stored: StoredPlan, material: TrimMaterialPlan) -> Values:
    sums = _trim_sums(stored, material)
    counts: Counter[tuple[str, float]] = Counter()
    cuts = [(cut.piece_key, cut.length_mm) for cut in material.cuts]
    for key, length_mm in (*cuts, *((piece.key, piece.length_mm) for piece in material.unplaced)):
        counts[place_of(key)[1], round(length_mm, 1)] += 1
    return tuple(
        (place, f"{count} × {exact_mm_words(length_mm)}{sums.get((place, length_mm), '')}")
        for (place, length_mm), count in sorted(counts.items())
    )


def _trim_sums(stored: StoredPlan, material: TrimMaterialPlan) -> dict[tuple[str, float], str]:
    """The sum each length comes from, by its place; none in plans stored before it was kept."""
    kind = stored.document["materials"].get(material.material_key, {}).get("kind")
    return {
        (trim.place, trim.table_mm): f" ({_trim_sum(trim)})"
        for need in stored.needs.values()
        for trim in need.trims
        if trim.kind == kind and trim.edge_mm is not None
    }


def _trim_sum(trim: TrimNeed) -> str:
    """`18.2 cm × 1.5 + 2 × 1 cm`: the edge, how fully it is gathered, and both ends."""
    edge = f"{_edge_words(trim.edge_mm or 0.0)} × {written_number(f'{trim.ratio:g}')}"
    return f"{edge} + 2 × {exact_mm_words(trim.end_mm)}" if trim.end_mm else edge


def _edge_words(edge_mm: float) -> str:
    """An edge as closely as its sum needs it, in tenths of a millimetre where the reader measures in centimetres."""
    if current_reader().length_unit == "in":
        return exact_mm_words(edge_mm)
    return written_number(f"{round(edge_mm / 10, 2):g} cm")


def _wash_values(stored: StoredPlan, supplies: Iterable[str]) -> Iterator[tuple[str, str]]:
    """What has still to be washed, with the shrinkage it is planned with."""
    told = {lot["code"]: wash_first_sentence(lot) for lot in map(stored.lot, supplies)}
    for code, sentence in told.items():
        if sentence:
            yield _("lot %(lot)s") % {"lot": spaced(code)}, sentence


def _cutting(material: TrimMaterialPlan) -> tuple[str, str]:
    """Whether a better cutting may exist, or in which order kits are served where there is not enough."""
    if material.unplaced and not material.is_proven:
        told = _(
            "not enough for all: kits get all their lengths in the order of their numbers, those for babies who die "
            "first; then whatever single lengths still fit are cut"
        )
    else:
        told = _("proven: no cutting is better") if material.is_proven else _("not proven")
    return _("the cutting"), told


def floss_whys(stored: StoredPlan) -> Iterator[Why]:
    """Each shade over the batch, then how the rows of each gown come to their needlefuls."""
    for shade in stored.plan.floss:
        yield _shade_why(stored, shade)
    for key, need in stored.needs.items():
        try:
            rows = floss_steps_of(need, figure_values(stored), _pleater(stored))
        except UNREADABLE:
            continue  # stored before each of its settings was
        for row in rows:
            yield Why(
                title=_("%(gown)s: row %(row)s")
                % {"gown": size_words(stored.designs[key]), "row": row.row.name},
                result=_needlefuls(row.steps),
                words=_("The geometry of the stitches as they lie in the blocked pleats, step by step."),
                values=tuple((floss_step_label(step), _step_words(step)) for step in row.steps),
            )


def _shade_why(stored: StoredPlan, shade: FlossShadePlan) -> Why:
    return Why(
        title=stored.material_name(shade.material_key),
        result=_cuts(shade.cuts),
        words=_(
            "Needlefuls of all rows in this floss, by what one cut yields, rounded up for each gown; times the gowns of "
            "each kit, and the spare cuts of each kit. Part-used skeins are wound first."
        ),
        values=(*_need_values(stored, shade.material_key), *_take_values(stored, shade)),
        lots=tuple(stored.lot(key) for key in dict.fromkeys(lot_key for lot_key, *_rest in _taken(shade))),
    )


def _need_values(stored: StoredPlan, material_key: str) -> Iterator[tuple[str, str]]:
    """What the gowns of each design and size take of a shade, and the spare cuts of their kits."""
    chosen = {
        (choice["revision_id"], choice["part"]): str(choice["material_id"])
        for choice in stored.document["choices"]
        if choice["kind"] == "floss"
    }
    kits = Counter(design_key(stored.kits[kit.key]) for kit in stored.plan.kits if kit.lot_key is not None)
    for key, gowns in gowns_made(stored).items():
        for need in stored.needs[key].floss:
            found = chosen.get((key[0], need.role), f"none|{key[0]}|floss|{need.role}")
            if found == material_key:
                yield size_words(stored.designs[key]), _need_words(need, gowns=gowns, kits=kits[key])


def _need_words(need: FlossNeed, *, gowns: int, kits: int) -> str:
    """`4 × 3 cuts, spare 2 × 1 cut`."""
    told = f"{gowns} × {_cuts(need.cuts)}"
    if not need.spare_cuts:
        return told
    return _("%(cuts)s, and spare %(spare)s") % {"cuts": told, "spare": f"{kits} × {_cuts(need.spare_cuts)}"}


def _take_values(stored: StoredPlan, shade: FlossShadePlan) -> Iterator[tuple[str, str]]:
    """How many cuts come from which lot, skeins that give alike told together."""
    for (lot_key, cuts, left_mm), count in Counter(_taken(shade)).items():
        words = _("%(cuts)s, %(left)s stay") % {"cuts": _cuts(cuts), "left": mm_words(left_mm)}
        yield spaced(stored.lot(lot_key)["code"]), words if count == 1 else f"{count} × ({words})"
    if shade.short_cuts:
        yield _("beyond what is on the shelf"), _cuts(shade.short_cuts)


def _taken(shade: FlossShadePlan) -> Iterator[tuple[str, int, float]]:
    for take in shade.takes:
        yield take.key.partition(".")[0], take.cuts, take.left_mm


def _cuts(count: int) -> str:
    return ngettext("%(count)d cut", "%(count)d cuts", count) % {"count": count}


def _pleater(stored: StoredPlan) -> PleaterProfile:
    return value_of(PleaterProfile, stored.document["settings"]["pleater"])


def _needlefuls(steps: Sequence[Step]) -> str:
    count = next(round(step.value) for step in steps if step.name == "row_needlefuls")
    return ngettext("%(count)d needleful", "%(count)d needlefuls", count) % {"count": count}


def _step_words(step: Step) -> str:
    value = _step_value(step)
    return f"{written_number(step.formula)} = {value}" if step.formula else value


def _step_value(step: Step) -> str:
    if step.unit == "mm":
        return written_number(f"{round(step.value, 2):g} mm")
    return written_number(f"{step.value:.4g}")


def thread_whys(stored: StoredPlan) -> Iterator[Why]:
    """Sewing thread: each gown's seams, over the batch."""
    gowns = gowns_made(stored)
    per_gown = tuple(
        (
            size_words(stored.designs[key]),
            f"{count} × {mm_words(stored.needs[key].sewing_thread_mm)}",
        )
        for key, count in gowns.items()
    )
    yield from _seam_whys(stored)
    for thread in stored.plan.thread:
        yield Why(
            title=stored.material_name(thread.material_key),
            result=mm_words(thread.needed_mm),
            words=_(
                "Length of every seam × the thread one length of it takes, by its stitch class of ISO 4915 + what is "
                "lost in ends, breaks and repairs; times the gowns. A French seam is sewn twice, an overedge joins and "
                "neatens both edges in one pass."
            ),
            values=(
                *per_gown,
                *_class_values(thread),
                (_("on the shelf"), mm_words(thread.on_hand_mm)),
                (_("left over"), mm_words(thread.left_mm)),
            ),
        )


def _class_values(thread: ThreadPlan) -> Iterator[tuple[str, str]]:
    """What goes into each stitch class, and the sum that gives it."""
    for each in thread.by_class:
        yield THREAD_CLASSES[each.stitch_class](), mm_words(each.length_mm)


THREAD_CLASSES: Mapping[StitchClass, Callable[[], str]] = {
    "301": lambda: _("of this 301, lockstitch: 2 + 2 × thickness ÷ stitch length"),
    "304": lambda: _(
        "of this 304, zigzag: 2 × its slanting way ÷ stitch length + 2 × thickness ÷ stitch length"
    ),
    "401": lambda: _("of this 401, chainstitch: 4 + 2 × thickness ÷ stitch length"),
    "504": lambda: _("of this 504, overedge of three threads: 5 + 4 × (width + thickness) ÷ stitch length"),
    "514": lambda: _(
        "of this 514, overedge of four threads: 5 + (4 × width + 6 × thickness) ÷ stitch length"
    ),
    "516": lambda: _("of this 516, safety stitch: 401 and 504 side by side"),
}


def _seam_whys(stored: StoredPlan) -> Iterator[Why]:
    """Each gown's seams with their thread; none in plans stored before seams were told apart."""
    for key in gowns_made(stored):
        need = stored.needs[key]
        if need.seam_threads:
            yield Why(
                title=_("One gown: %(gown)s") % {"gown": size_words(stored.designs[key])},
                result=mm_words(need.sewing_thread_mm),
                words=_("Length of the seams × thread for each length of them, and what is lost added."),
                values=tuple(_seam_value(each) for each in need.seam_threads if each.length_mm),
            )


def _seam_value(each: SeamThread) -> tuple[str, str]:
    """`seams, 301`: `3.2 m × 2.80 → 10.3 m`."""
    sewn = {
        "length": mm_words(each.seam.length_mm),
        "ratio": written_number(f"{each.ratio:.2f}"),
        "thread": mm_words(each.length_mm),
    }
    label = f"{SEAM_NAMES[each.seam.name]()}, {each.seam.stitch_class}"
    return label, _("%(length)s × %(ratio)s, with waste %(thread)s") % sewn


SEAM_NAMES: Mapping[str, Callable[[], str]] = {
    "seams": lambda: _("seams"),
    "hems": lambda: _("hems and other single edges"),
    "trims": lambda: _("lace and other trims"),
}


def bias_whys(stored: StoredPlan) -> Iterator[Why]:
    """The square of each kit its bias is cut from."""
    for square in stored.plan.bias:
        yield Why(
            title=_("Kit %(kit)s: side of the square for bias") % {"kit": square.kit_key},
            result=exact_mm_words(square.side_mm),
            words=_(
                "A square cut on the bias in one strip gives its area ÷ the strip's width, less what the seams lose. So "
                "the side is the square root of length × width ÷ the share a square really gives."
            ),
            values=(
                (_("bias needed"), exact_mm_words(square.length_mm)),
                (_("its width"), exact_mm_words(square.width_mm)),
            ),
        )
