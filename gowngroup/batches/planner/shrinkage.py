"""What lace, ribbon and other trims lose when they are washed, as they are before they are cut."""

from collections.abc import Mapping

from gowngroup.catalog.models import TRIM_KINDS
from gowngroup.stock.models import Fibre, Lot, Material

SHRINKAGE = {
    Fibre.LINEN: "shrink_linen_share",
    Fibre.VISCOSE: "shrink_viscose_share",
    Fibre.POLYESTER: "shrink_polyester_share",
    Fibre.NYLON: "shrink_polyester_share",
}


def shrink_share(material: Material, figures: Mapping[str, float]) -> float:
    """The share of its length a trim is expected to lose, by its fibre; nothing where it is counted or no trim."""
    if material.kind not in TRIM_KINDS or material.is_counted:
        return 0.0
    return figures[SHRINKAGE.get(Fibre(material.fibre), "shrink_cotton_share")]


def share_to_come(lot: Lot, figures: Mapping[str, float]) -> float:
    """The share of its length a lot has still to lose: what its fibre usually does while it is as given, then nothing."""
    return shrink_share(lot.material, figures) if lot.state == Lot.State.AS_GIVEN else 0.0
