"""Whether a lot of cloth suits a kit, and the flat strip it gives to cut from."""

from __future__ import annotations

from collections.abc import Sequence

from gowngroup.planning.allocation.values import ClothLot, ClothWishes, CuttingSettings, KitCloth
from gowngroup.planning.lay.values import SAME_MM, Flaw, LayPiece, Strip, outline_size_mm
from gowngroup.planning.reason import Reason, reason
from gowngroup.planning.shades import avoided_word

# A kit left without cloth is told about the lot that came furthest along these questions.
NEARNESS = (
    "other_lot",
    "kind",
    "fibre",
    "shade",
    "avoided_shade",
    "weight_unknown",
    "too_light",
    "too_heavy",
    "wash_too_low",
    "not_measured",
    "piece_too_wide",
    "piece_too_long",
)


def strip_of(lot: ClothLot, settings: CuttingSettings) -> Strip:
    """The cloth of a lot between its selvedges, smaller by the shrinkage still to come; lengths in mm."""
    still_shrinks = lot.state == "as given"
    across = 1 - lot.width_shrink_share * still_shrinks
    along = 1 - lot.length_shrink_share * still_shrinks
    return Strip(
        usable_width_mm=max(lot.width_mm * across - 2 * lot.selvedge_mm, 0.0),
        length_mm=lot.length_mm * along,
        gap_mm=settings.gap_mm,
        has_nap=lot.has_nap,
        flaws=tuple(Flaw(from_mm=each.from_mm * along, to_mm=each.to_mm * along) for each in lot.flaws),
        length_step_mm=settings.length_step_mm,
        repeat_mm=lot.repeat_mm * along,
    )


def good_length_mm(strip: Strip) -> float:
    """Length of the strip without its flawed stretches, overlapping flaws counted once."""
    good_mm = strip.length_mm
    end_mm = 0.0
    for flaw in sorted(strip.flaws, key=lambda each: each.from_mm):
        from_mm, to_mm = max(flaw.from_mm, end_mm), min(flaw.to_mm, strip.length_mm)
        good_mm -= max(to_mm - from_mm, 0.0)
        end_mm = max(end_mm, to_mm)
    return good_mm


def longest_good_mm(strip: Strip) -> float:
    """The longest stretch of the strip without a flaw, which is as long as a piece can be."""
    longest_mm, start_mm = 0.0, 0.0
    for flaw in sorted(strip.flaws, key=lambda each: each.from_mm):
        longest_mm = max(longest_mm, min(flaw.from_mm, strip.length_mm) - start_mm)
        start_mm = max(start_mm, flaw.to_mm)
    return max(longest_mm, strip.length_mm - start_mm)


def lot_refusal(kit: KitCloth, lot: ClothLot, settings: CuttingSettings) -> Reason | None:
    """Why this kit may not be cut from this lot; None when it may."""
    return (
        _elsewhere(kit, lot)
        or _wrong_cloth(kit.wishes, lot)
        or _wrong_weight(kit.wishes, lot)
        or _not_ready(kit.wishes, lot, settings)
        or _too_small(kit.pieces, strip_of(lot, settings))
    )


def _elsewhere(kit: KitCloth, lot: ClothLot) -> Reason | None:
    return reason("other_lot") if kit.lot_key not in (None, lot.key) else None


def _wrong_cloth(wishes: ClothWishes, lot: ClothLot) -> Reason | None:
    if wishes.kinds and lot.kind not in wishes.kinds:
        return reason("kind", wanted=", ".join(wishes.kinds), found=lot.kind)
    if wishes.fibres and lot.fibre not in wishes.fibres:
        return reason("fibre", wanted=", ".join(wishes.fibres), found=lot.fibre)
    if wishes.shade is not None and lot.shade != wishes.shade:
        return reason("shade", wanted=wishes.shade, found=lot.shade)
    if avoided_word(lot.shade, wishes.avoided_shades):
        return reason("avoided_shade", found=lot.shade)
    return None


def _wrong_weight(wishes: ClothWishes, lot: ClothLot) -> Reason | None:
    least_gsm, greatest_gsm = wishes.least_weight_gsm, wishes.greatest_weight_gsm
    if least_gsm is None and greatest_gsm is None:
        return None
    if lot.weight_gsm is None:
        return reason("weight_unknown", lot=lot.key)
    if least_gsm is not None and lot.weight_gsm < least_gsm:
        return reason("too_light", least_gsm=least_gsm, weight_gsm=lot.weight_gsm)
    if greatest_gsm is not None and lot.weight_gsm > greatest_gsm:
        return reason("too_heavy", greatest_gsm=greatest_gsm, weight_gsm=lot.weight_gsm)
    return None


def _not_ready(wishes: ClothWishes, lot: ClothLot, settings: CuttingSettings) -> Reason | None:
    if lot.highest_wash_c < wishes.least_wash_c:
        return reason("wash_too_low", least_wash_c=wishes.least_wash_c, highest_wash_c=lot.highest_wash_c)
    if lot.state != "measured" and not settings.may_foresee_washing:
        return reason("not_measured", lot=lot.key, state=lot.state)
    return None


def _too_small(pieces: Sequence[LayPiece], strip: Strip) -> Reason | None:
    available_mm = longest_good_mm(strip)
    for piece in pieces:
        width_mm, length_mm = outline_size_mm(piece.outline)
        if width_mm > strip.usable_width_mm + SAME_MM:
            return reason(
                "piece_too_wide", piece=piece.name, width_mm=width_mm, usable_width_mm=strip.usable_width_mm
            )
        if length_mm > available_mm + SAME_MM:
            return reason("piece_too_long", piece=piece.name, length_mm=length_mm, available_mm=available_mm)
    return None
