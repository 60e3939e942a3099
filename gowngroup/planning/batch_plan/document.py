"""A plan as plain data for storage, and back; what was stored is read again, never planned again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from types import NoneType, UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

from gowngroup.planning.batch_plan.plan import FORMAT_VERSION, BatchPlan

# Documents are whatever JSON holds; their shape is given by the plan's own types and checked on reading.
Json = Any


class UnknownPlanFormat(Exception):
    """A stored plan that this version cannot read."""

    def __init__(self, format_version: object) -> None:
        super().__init__(
            f"this plan is stored in format {format_version}; this version reads {FORMAT_VERSION}"
        )
        self.format_version = format_version


def to_document(plan: BatchPlan) -> dict[str, Json]:
    """The plan as JSON data: dictionaries, lists, strings, numbers and None; lengths in mm."""
    return {field.name: _plain(getattr(plan, field.name)) for field in fields(plan)}


def from_document(document: Mapping[str, Json]) -> BatchPlan:
    """The plan that was stored; raises UnknownPlanFormat, and KeyError or TypeError where the data are damaged."""
    version = document.get("format_version")
    if version != FORMAT_VERSION:
        raise UnknownPlanFormat(version)
    return BatchPlan(**{name: _read(hint, document[name]) for name, hint in _hints(BatchPlan).items()})


def _plain(value: object) -> Json:
    if is_dataclass(value):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, tuple):
        return [_plain(each) for each in value]
    return value


@cache
def _hints(kind: type) -> dict[str, Any]:
    return get_type_hints(kind)


def _read(kind: Any, data: Json) -> Any:
    """The value of this type that the data stand for."""
    origin = get_origin(kind)
    if origin is tuple:
        return _read_tuple(get_args(kind), data)
    if origin in (Union, UnionType):
        return _read_either(get_args(kind), data)
    if is_dataclass(kind) and isinstance(kind, type):
        return kind(**{name: _read(hint, data[name]) for name, hint in _hints(kind).items()})
    return _read_scalar(kind, data)


def _read_tuple(kinds: tuple[Any, ...], data: Json) -> tuple[Any, ...]:
    if not isinstance(data, list):
        raise TypeError(f"a list was expected, not {data!r}")
    if kinds[-1] is Ellipsis:
        return tuple(_read(kinds[0], each) for each in data)
    return tuple(_read(kind, each) for kind, each in zip(kinds, data, strict=True))


def _read_either(kinds: tuple[Any, ...], data: Json) -> Any:
    if data is None and NoneType in kinds:
        return None
    others = [kind for kind in kinds if kind is not NoneType]
    return _read(others[0], data) if len(others) == 1 else data


_SCALARS: Mapping[Any, tuple[type, ...]] = {float: (int, float), int: (int,), str: (str,), bool: (bool,)}


def _read_scalar(kind: Any, data: Json) -> Any:
    """A number, word or truth value; a word of a fixed list must stand in the list."""
    choices = get_args(kind)
    is_known = data in choices if choices else isinstance(data, _SCALARS[kind])
    if not is_known:
        raise TypeError(f"{data!r} does not belong here")
    return data
