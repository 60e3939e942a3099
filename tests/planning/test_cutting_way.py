"""Cloth cut kit by kit: each kit on a stretch of its own, in every plan and in the shop."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from gowngroup.planning.allocation import LotCut
from gowngroup.planning.batch_plan import BatchOrder, from_document, plan_batch, to_document
from gowngroup.planning.batch_plan.improve import improving_plans
from gowngroup.planning.lay import ClothLay, LayPiece, Strip, lay_rows
from gowngroup.planning.lay.check import lay_faults
from gowngroup.planning.lay.engines import QUICK_ENGINES, lay_sequence
from gowngroup.planning.lay.values import outline_size_mm
from tests.planning.test_batch_plan import full_order

KIT_BY_KIT = replace(full_order(), cutting_way="kit by kit")


def stretches(cut: LotCut) -> list[tuple[float, float]]:
    """From where to where along the cloth each kit's pieces lie, in the order in which they come."""
    pieces = {piece.key: piece for piece in cut.pieces}
    ends: dict[str, list[float]] = {}
    for place in cut.lay.placements:
        piece = pieces[place.piece_key]
        length_mm = outline_size_mm(piece.outline)[1]
        ends.setdefault(piece.kit_key, []).extend((place.y_mm, place.y_mm + length_mm))
    return sorted((min(each), max(each)) for each in ends.values())


def are_apart(cut: LotCut) -> bool:
    return all(before[1] <= after[0] + 1e-6 for before, after in pairwise(stretches(cut)))


def alike_kits(count: int) -> BatchOrder:
    """So many kits of the same gown."""
    first = replace(KIT_BY_KIT.kits[0], matched_set_key=None)
    kits = tuple(replace(first, key=f"K{number}") for number in range(count))
    return replace(KIT_BY_KIT, kits=kits)


def test_no_other_kit_lies_in_a_kits_stretch() -> None:
    """Cut kit by kit, each kit's pieces lie side by side on their own stretch in every plan on the way."""
    found = list(improving_plans(replace(KIT_BY_KIT, kits=KIT_BY_KIT.kits[:3]), nest=lay_sequence))
    cuts = [cut for each in found for cut in each.plan.cuts]
    assert max(len(cut.kit_keys) for cut in cuts) > 1
    assert all(are_apart(cut) and lay_faults(cut.lay, cut.pieces, cut.strip) == () for cut in cuts)


def test_numbered_kits_are_counted_up_along_the_cloth() -> None:
    """Kit 9 lies before kit 10, as one counts them."""
    kits = tuple(replace(each, key=key) for each, key in zip(alike_kits(2).kits, ("10", "9"), strict=True))
    (cut,) = plan_batch(replace(KIT_BY_KIT, kits=kits), engines=QUICK_ENGINES).cuts
    assert [place.piece_key.partition("/")[0] for place in cut.lay.placements][:: len(cut.pieces) - 1] == [
        "9",
        "10",
    ]


def test_cut_together_kits_lie_among_each_other() -> None:
    """Without the choice all kits of a lot are laid together, which takes less cloth."""
    together = plan_batch(full_order(), engines=QUICK_ENGINES)
    assert not all(are_apart(cut) for cut in together.cuts)


def test_plan_keeps_how_it_is_cut() -> None:
    """A stored plan says how its cloth is cut; one stored before there was a choice was cut together."""
    document = to_document(plan_batch(KIT_BY_KIT, engines=QUICK_ENGINES))
    assert from_document(document).cutting_way == "kit by kit"
    del document["cutting_way"]
    assert from_document(document).cutting_way == "together"


def test_kits_alike_are_laid_once() -> None:
    """Of kits alike one is laid, and the others lie just like it, each under its own name."""
    laid: list[str] = []

    def counting(pieces: Sequence[LayPiece], strip: Strip) -> ClothLay:
        laid.append(pieces[0].kit_key)
        return lay_rows(pieces, strip)

    made = plan_batch(alike_kits(3), engines=(counting,))
    assert set(laid) == {"K0"}
    assert sum(len(cut.kit_keys) for cut in made.cuts) == 3


def test_cloth_to_buy_is_enough_for_it() -> None:
    """The length to buy for kits without cloth holds them kit by kit too, so over all widths it is more than together."""
    buying = (replace(alike_kits(3), lots=(), cutting_way=way) for way in ("together", "kit by kit"))
    together, apart = (
        {
            width.width_mm: width.needed_mm
            for width in plan_batch(order, engines=QUICK_ENGINES).shortages[0].widths
        }
        for order in buying
    )
    assert sum(apart.values()) > sum(together.values())
