"""How each chosen material is sold, and what it shrinks before it is cut."""

from collections.abc import Iterable, Iterator, Mapping

from gowngroup.batches.planner.shelf import TRIM_KINDS, UM_PER_MM
from gowngroup.planning.batch_plan import Package
from gowngroup.stock.models import Fibre, Material

SHRINKAGE = {
    Fibre.LINEN: "shrink_linen_share",
    Fibre.VISCOSE: "shrink_viscose_share",
    Fibre.POLYESTER: "shrink_polyester_share",
    Fibre.NYLON: "shrink_polyester_share",
}


def packages(materials: Iterable[Material], figures: Mapping[str, float]) -> Iterator[Package]:
    """The package of each material; lace, ribbon and other trims are shrunk first, by what their fibre usually does."""
    for material in materials:
        amount = material.package_amount
        is_trim = material.kind in TRIM_KINDS and not material.is_counted
        shrinkage = SHRINKAGE.get(Fibre(material.fibre), "shrink_cotton_share")
        yield Package(
            material_key=str(material.pk),
            length_mm=amount / UM_PER_MM if amount and not material.is_counted else None,
            count=amount if amount and material.is_counted else None,
            shrink_share=figures[shrinkage] if is_trim else 0.0,
        )
