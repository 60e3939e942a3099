"""What to look at before a plan is committed: materials chosen in a shade wards avoid, or of another width."""

from collections.abc import Iterator
from dataclasses import dataclass

from gowngroup.batches.planner.materials import is_of_width
from gowngroup.batches.planner.order import OrderKit, Prepared
from gowngroup.batches.planner.shelf import UM_PER_MM
from gowngroup.planning.reason import Reason, reason
from gowngroup.planning.shades import avoided_word


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """Something a coordinator should look at, and the kits it concerns."""

    reason: Reason
    kit_keys: tuple[str, ...]


def cautions_of(prepared: Prepared) -> tuple[Caution, ...]:
    """Everything to look at in an order, told once for all the kits it concerns."""
    found: dict[Reason, list[str]] = {}
    for each in prepared.kits:
        for told in (*_shade_cautions(each, prepared), *_width_cautions(each, prepared)):
            found.setdefault(told, []).append(each.kit.key)
    return tuple(Caution(reason=told, kit_keys=tuple(keys)) for told, keys in found.items())


def _shade_cautions(each: OrderKit, prepared: Prepared) -> Iterator[Reason]:
    """Trims, floss and thread are chosen for a whole design, so a shade a ward avoids is told, not refused."""
    kit = each.kit
    keys = [need.material_key for needs in (kit.trims, kit.floss, kit.thread) for need in needs]
    for key in dict.fromkeys(keys):
        if key not in prepared.materials:
            continue
        word = avoided_word(str(prepared.materials[key]), kit.cloth.avoided_shades)
        if word is not None:
            yield reason(
                "avoided_shade",
                material=str(prepared.materials[key]),
                design=str(each.line.design_revision.design),
                word=word,
            )


def _width_cautions(each: OrderKit, prepared: Prepared) -> Iterator[Reason]:
    """A trim set in between two edges makes the gown longer or shorter by the difference."""
    for trim, have in zip(each.need.trims, each.kit.trims, strict=True):
        material = prepared.materials.get(have.material_key)
        if (
            trim.width_mm is None
            or material is None
            or is_of_width(material, round(trim.width_mm * UM_PER_MM))
        ):
            continue
        told: dict[str, str | float] = {
            "material": str(material),
            "place": trim.place,
            "design": str(each.line.design_revision.design),
            "wanted_mm": trim.width_mm,
        }
        if material.shown_um is None:
            yield reason("width_unknown", **told)
        else:
            yield reason("other_width", **told, found_mm=material.shown_um / UM_PER_MM)
