"""Why so much cloth is measured off, and why each kit is cut from its lot."""

from collections.abc import Callable, Iterator, Mapping

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.batches.models import Batch
from gowngroup.batches.planner.document import StoredPlan
from gowngroup.batches.planner.shopping import kit_runs
from gowngroup.batches.planner.why.values import Values, Why, area_words, percent_words, size_words
from gowngroup.batches.planner.words import exact_mm_words, unmade_sentence
from gowngroup.planning.allocation import LotCut
from gowngroup.planning.lay.values import least_length_mm, pieces_area_mm2
from gowngroup.records.codes import spaced

LEAST_SHARE = 0.0005

ENGINES: Mapping[str, Callable[[], str]] = {
    "rows": lambda: _("pieces in rows across the cloth"),
    "sequence": lambda: _("pieces put down one after another, in the best order found"),
    "nested": lambda: _("curved edges fitted into each other"),
    "kit by kit": lambda: _("kit after kit"),
    "folded": lambda: _("pieces in pairs on the folded cloth, then those without a twin on the open cloth"),
}


def cloth_whys(stored: StoredPlan) -> Iterator[Why]:
    """How the cloth is cut, each lay's length, and how good the sharing out of the kits is."""
    if stored.plan.cuts:
        yield _way_why(stored.cutting_way)
    for number, cut in enumerate(stored.plan.cuts, start=1):
        yield _lay_why(stored, cut, number)
        yield _left_why(stored, cut, number)
    if stored.plan.proven_gap_share is not None:
        yield _proof(stored.plan.proven_gap_share, stored.plan.least_lot_count)


def _way_why(way: str) -> Why:
    result, words = WAYS[way]()
    return Why(title=_("How the cloth is cut"), result=result, words=words)


WAYS: Mapping[str, Callable[[], tuple[str, str]]] = {
    Batch.CuttingWay.TOGETHER: lambda: (
        _("all kits of a lot together"),
        _(
            "The pieces of all kits of a lot lie among each other, which takes the least cloth. Where kit by kit is "
            "chosen for a batch, each kit lies on a stretch of its own, which is easier to pack."
        ),
    ),
    Batch.CuttingWay.KIT_BY_KIT: lambda: (
        _("kit by kit"),
        _(
            "This was chosen for the batch. The pieces of each kit lie side by side on a stretch of cloth of their "
            "own, no other kit between them; curved edges are fitted only into those of the same kit. It takes more "
            "cloth than cutting all kits of a lot together, and the kits are easier to pack."
        ),
    ),
    Batch.CuttingWay.FOLDED: lambda: (
        _("folded in half lengthwise"),
        _(
            "This was chosen for the batch. Selvedge lies on selvedge, and of two pieces that are each other’s "
            "mirror image one is laid: both layers are cut at once. Pieces without a twin, or wider than half the "
            "cloth, come last, on the open cloth. It takes somewhat more cloth and less cutting."
        ),
    ),
}


def _lay_why(stored: StoredPlan, cut: LotCut, number: int) -> Why:
    engine = ENGINES.get(cut.lay.engine, lambda: cut.lay.engine)()
    return Why(
        title=_("Lay %(number)d: length to measure off") % {"number": number},
        result=exact_mm_words(cut.lay.length_mm),
        words=_(
            "The pieces of all its kits are laid on the cloth between the selvedges, grain along the length. The lay "
            "ends where the last piece ends, rounded up to whole steps one can measure at the table, and is never "
            "longer than the cloth. Every lay is checked for overlaps and edges by a second program."
        ),
        values=(
            *_width_values(stored, cut),
            (_("laid out as"), engine),
            (_("space between pieces"), exact_mm_words(cut.strip.gap_mm)),
            (_("rounded up to steps of"), exact_mm_words(cut.strip.length_step_mm)),
            *_use_values(cut),
        ),
        lots=(stored.lot(cut.lot_key),),
    )


def _width_values(stored: StoredPlan, cut: LotCut) -> Values:
    lot = stored.lot(cut.lot_key)
    is_shrunk = cut.before_cutting != "wash and measure"
    shrinkage = _("none to come: it has been washed") if is_shrunk else _shrinkage(lot)
    return (
        (_("width of the lot"), exact_mm_words((lot["width_um"] or 0) / 1000)),
        (_("selvedge on each side"), exact_mm_words(lot["selvedge_um"] / 1000)),
        (_("shrinkage"), shrinkage),
        (_("width that can be used"), exact_mm_words(cut.strip.usable_width_mm)),
        (_("length that was free"), exact_mm_words(cut.strip.length_mm)),
    )


def _shrinkage(lot: Mapping[str, object]) -> str:
    shares = [lot.get("shrink_length_permille"), lot.get("shrink_width_permille")]
    along, across = (percent_words(int(str(share or 0)) / 1000) for share in shares)
    return _("%(along)s along, %(across)s across") % {"along": along, "across": across}


def _use_values(cut: LotCut) -> Values:
    """How much of the cloth ends up in pieces, and how short the lay could be at the very least."""
    area_mm2 = pieces_area_mm2(cut.pieces)
    least_mm = least_length_mm(cut.pieces, cut.strip.usable_width_mm)
    beyond = (cut.lay.length_mm - least_mm) / cut.lay.length_mm if cut.lay.length_mm else 0.0
    return (
        (_("all pieces together"), area_words(area_mm2)),
        (_("the lay's cloth, width × length"), area_words(cut.strip.usable_width_mm * cut.lay.length_mm)),
        (_("share that ends up in gowns"), percent_words(cut.lay.used_share)),
        (_("no lay of these pieces is shorter than their area ÷ width"), exact_mm_words(least_mm)),
        (_("so at most this much of it could still be saved"), percent_words(beyond)),
    )


def _left_why(stored: StoredPlan, cut: LotCut, number: int) -> Why:
    useful = _("long enough to keep") if cut.is_left_useful else _("too short for a kit")
    return Why(
        title=_("Lay %(number)d: left over") % {"number": number},
        result=exact_mm_words(cut.left_mm),
        words=_(
            "Length that was free − length to measure off. It counts as useful from the shortest left-over worth keeping."
        ),
        values=((_("judged"), useful),),
        lots=(stored.lot(cut.lot_key),),
    )


def _proof(gap_share: float, least_lot_count: int | None) -> Why:
    values: Values = ()
    if least_lot_count is not None:
        values = ((_("fewest lots any sharing out can do with"), str(least_lot_count)),)
    return Why(
        title=_("How good the sharing out is"),
        result=_("no other way is better")
        if gap_share < LEAST_SHARE
        else _("another way is at most %(share)s better") % {"share": percent_words(gap_share)},
        words=_(
            "All ways of giving the kits to lots were compared by integer programming, each lot counted as full as a "
            "trial lay leads one to expect, or as full as it is here where that is more: most gowns first, then fewest "
            "lots opened, then least cloth used up. No other way makes more gowns by more than this share, nor uses up "
            "less cloth by more than it with as many gowns from as few lots."
        ),
        values=values,
    )


def kit_whys(stored: StoredPlan) -> Iterator[Why]:
    """Which kits are cut from which lot and why, and those that cannot be made."""
    for cut in stored.plan.cuts:
        designs = {size_words(stored.design_of(key)): None for key in sorted(cut.kit_keys, key=int)}
        yield Why(
            title=ngettext(
                "Kit %(kits)s: cut from this lot", "Kits %(kits)s: cut from this lot", len(cut.kit_keys)
            )
            % {"kits": kit_runs(cut.kit_keys)},
            result=spaced(stored.lot(cut.lot_key)["code"]),
            words=_(
                "A kit is cut whole from one lot, gowns of a matched set from the same. Of the lots whose fibre, weight, "
                "shade and washing suit the design and the ward, those are taken with which the fewest are opened and "
                "the least is wasted. Kits for babies who die are served first."
            ),
            values=((_("gowns"), "; ".join(designs)),),
            lots=(stored.lot(cut.lot_key),),
        )
    for move in stored.plan.moves:
        yield Why(
            title=ngettext("Kit %(kits)s: moved to", "Kits %(kits)s: moved to", len(move.kit_keys))
            % {"kits": kit_runs(move.kit_keys)},
            result=spaced(stored.lot(move.to_lot_key)["code"]),
            words=ngettext(
                "The lay of the lot it was first meant for, %(lot)s, came out longer than the cloth.",
                "The lay of the lot they were first meant for, %(lot)s, came out longer than the cloth.",
                len(move.kit_keys),
            )
            % {"lot": spaced(stored.lot(move.from_lot_key)["code"])},
            lots=(stored.lot(move.from_lot_key), stored.lot(move.to_lot_key)),
        )
    for each in stored.plan.unmade:
        yield Why(
            title=_("Kit %(kit)s") % {"kit": each.kit_key},
            result=_("cannot be made"),
            words=unmade_sentence(each.reason, stored),
            values=((_("gowns"), size_words(stored.design_of(each.kit_key))),),
        )
