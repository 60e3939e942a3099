"""The kits of a batch as the planner takes them."""

from collections.abc import Mapping
from typing import cast

from gowngroup.batches.planner.materials import SEAMS
from gowngroup.catalog.models import DesignRevision, MaterialKind
from gowngroup.catalog.planner import GownNeed
from gowngroup.planning.allocation import ClothWishes
from gowngroup.planning.batch_plan import (
    BatchKit,
    FlossNeed,
    KitPiece,
    NotionNeed,
    ThreadNeed,
    TrimNeed,
)
from gowngroup.planning.hours import TimeRange, kit_time
from gowngroup.planning.mix import Purpose
from gowngroup.planning.thread import StitchClass

MaterialKeys = Mapping[tuple[str, str], str]


def batch_kit(
    *,
    key: str,
    revision: DesignRevision,
    need: GownNeed,
    gown_count: int = 1,
    wash_c: int = 0,
    materials: MaterialKeys | None = None,
    set_key: str | None = None,
    avoided_shades: tuple[str, ...] = (),
) -> BatchKit:
    """A kit with what one of its gowns needs; `materials` names the chosen material of each kind and part."""
    keys = materials or {}
    return BatchKit(
        key=key,
        design_key=str(revision.pk),
        size_name=str(need.size_id),
        purpose=cast(Purpose, need.purpose),
        gown_count=gown_count,
        pieces=tuple(
            KitPiece(
                name=piece.name,
                outlines=piece.shapes,
                may_turn=piece.may_turn,
                is_matched=piece.is_matched,
            )
            for piece in need.pieces
        ),
        cloth=_wishes(revision, wash_c, keys.get((MaterialKind.CLOTH, "")), avoided_shades),
        minutes_per_gown=kit_minutes(need).usual_min,
        matched_set_key=set_key,
        trims=_trims(need, keys),
        floss=_floss(need, keys),
        thread=_thread(need, keys),
        notions=_notions(need, keys),
    )


def kit_minutes(need: GownNeed) -> TimeRange:
    """Minutes a volunteer usually spends on one such gown; kits come cut and not pleated."""
    return kit_time(need.stage_times, "whole", is_pleated=False)


def _wishes(
    revision: DesignRevision, wash_c: int, material_key: str | None, avoided_shades: tuple[str, ...]
) -> ClothWishes:
    return ClothWishes(
        kinds=(material_key,) if material_key else (),
        least_weight_gsm=revision.cloth_mass_min_g_per_m2,
        greatest_weight_gsm=revision.cloth_mass_max_g_per_m2,
        least_wash_c=wash_c,
        avoided_shades=avoided_shades,
    )


def _trims(need: GownNeed, keys: MaterialKeys) -> tuple[TrimNeed, ...]:
    return tuple(
        TrimNeed(
            material_key=keys[trim.kind, trim.place],
            place=trim.place,
            length_mm=trim.length_mm,
            count=trim.count,
        )
        for trim in need.trims
        if (trim.kind, trim.place) in keys
    )


def _floss(need: GownNeed, keys: MaterialKeys) -> tuple[FlossNeed, ...]:
    kind = MaterialKind.FLOSS.value
    return tuple(
        FlossNeed(material_key=keys[kind, floss.role], cuts=floss.cuts, spare_cuts=floss.spare_cuts)
        for floss in need.floss
        if (kind, floss.role) in keys
    )


def _thread(need: GownNeed, keys: MaterialKeys) -> tuple[ThreadNeed, ...]:
    key = keys.get((MaterialKind.THREAD, SEAMS))
    if key is None:
        return ()
    by_class: dict[StitchClass, float] = {}
    for each in need.seam_threads:
        stitch_class = each.seam.stitch_class
        by_class[stitch_class] = by_class.get(stitch_class, 0.0) + each.length_mm
    return tuple(
        ThreadNeed(material_key=key, stitch_class=stitch_class, length_mm=length_mm)
        for stitch_class, length_mm in by_class.items()
        if length_mm
    )


def _notions(need: GownNeed, keys: MaterialKeys) -> tuple[NotionNeed, ...]:
    kind = MaterialKind.NOTION.value
    return tuple(
        NotionNeed(material_key=keys[kind, notion.place], count=notion.count)
        for notion in need.notions
        if (kind, notion.place) in keys
    )
