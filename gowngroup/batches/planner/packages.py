"""How each chosen material is sold, and what it shrinks before it is cut."""

from collections.abc import Iterable, Iterator, Mapping

from gowngroup.batches.planner.shelf import UM_PER_MM
from gowngroup.batches.planner.shrinkage import shrink_share
from gowngroup.planning.batch_plan import Package
from gowngroup.stock.models import Material


def packages(materials: Iterable[Material], figures: Mapping[str, float]) -> Iterator[Package]:
    """The package of each material; lace, ribbon and other trims are shrunk first, by what their fibre usually does."""
    for material in materials:
        amount = material.package_amount
        yield Package(
            material_key=str(material.pk),
            length_mm=amount / UM_PER_MM if amount and not material.is_counted else None,
            count=amount if amount and material.is_counted else None,
            shrink_share=shrink_share(material, figures),
        )
