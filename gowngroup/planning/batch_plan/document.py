"""A plan as plain data for storage, and back; what was stored is read again, never planned again."""

from collections.abc import Mapping

from gowngroup.planning.batch_plan.plan import FORMAT_VERSION, BatchPlan
from gowngroup.planning.plain_data import Json, plain, value_of


class UnknownPlanFormat(Exception):
    """A stored plan that this version cannot read."""

    def __init__(self, format_version: object) -> None:
        super().__init__(
            f"this plan is stored in format {format_version}; this version reads {FORMAT_VERSION}"
        )
        self.format_version = format_version


def to_document(plan: BatchPlan) -> dict[str, Json]:
    """The plan as JSON data: dictionaries, lists, strings, numbers and None; lengths in mm."""
    return dict(plain(plan))


def from_document(document: Mapping[str, Json]) -> BatchPlan:
    """The plan that was stored; raises UnknownPlanFormat, and KeyError or TypeError where the data are damaged."""
    version = document.get("format_version")
    if version != FORMAT_VERSION:
        raise UnknownPlanFormat(version)
    return value_of(BatchPlan, document)
