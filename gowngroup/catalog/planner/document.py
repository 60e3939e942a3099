"""What a gown needs as plain data for storage, and back; what was stored is never worked out again."""

from collections.abc import Mapping
from dataclasses import fields, replace

from gowngroup.catalog.planner.values import GownNeed
from gowngroup.planning.plain_data import Json, plain, value_of
from gowngroup.planning.smocking import compiled_from_document, compiled_to_document


def need_to_document(need: GownNeed) -> dict[str, Json]:
    """Everything one gown needs as JSON data, lengths in mm."""
    known = {each.name: plain(getattr(need, each.name)) for each in fields(need) if each.name != "smocking"}
    return {**known, "smocking": compiled_to_document(need.smocking) if need.smocking else None}


def need_from_document(document: Mapping[str, Json]) -> GownNeed:
    """The need that was stored; raises KeyError, TypeError or ValueError where the data are damaged."""
    need = value_of(GownNeed, {**document, "smocking": None})
    if document["smocking"] is None or need.pleating is None:
        return need
    row_space_mm = need.pleating.row_space_mm
    return replace(need, smocking=compiled_from_document(document["smocking"], row_space_mm=row_space_mm))
