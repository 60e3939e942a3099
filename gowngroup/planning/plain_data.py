"""Planning values as plain data for storage, and back."""

from collections.abc import Mapping
from dataclasses import MISSING, fields, is_dataclass
from fractions import Fraction
from functools import cache
from types import NoneType, UnionType
from typing import Any, TypeVar, Union, cast, get_args, get_origin, get_type_hints

# Stored data are whatever JSON holds; their shape is given by the value's own type and checked on reading.
Json = Any
Value = TypeVar("Value")


def plain(value: object) -> Json:
    """A value as dictionaries by field, lists, strings, numbers and None; a fraction as `3/2`."""
    if is_dataclass(value):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, tuple | list):
        return [plain(each) for each in value]
    return str(value) if isinstance(value, Fraction) else value


def value_of(kind: type[Value], data: Json) -> Value:
    """The value of a type that the data stand for; raises KeyError or TypeError where they are damaged."""
    return cast(Value, _read(kind, data))


@cache
def _hints(kind: type) -> dict[str, Any]:
    return get_type_hints(kind)


def _read(kind: Any, data: Json) -> Any:
    origin = get_origin(kind)
    if origin is tuple:
        return _read_tuple(get_args(kind), data)
    if origin in (Union, UnionType):
        return _read_either(get_args(kind), data)
    if is_dataclass(kind) and isinstance(kind, type):
        return kind(
            **{
                name: _read(hint, data[name])
                for name, hint in _hints(kind).items()
                if not _is_left_out(kind, name, data)
            }
        )
    return _read_fraction(data) if kind is Fraction else _read_scalar(kind, data)


def _is_left_out(kind: Any, name: str, data: Json) -> bool:
    """Is it a field that came later, with a default, so that data stored before do not name it?"""
    return name not in data and kind.__dataclass_fields__[name].default is not MISSING


def _read_tuple(kinds: tuple[Any, ...], data: Json) -> tuple[Any, ...]:
    if not isinstance(data, list):
        raise TypeError(f"a list was expected, not {data!r}")
    if kinds[-1] is Ellipsis:
        return tuple(_read(kinds[0], each) for each in data)
    if len(kinds) != len(data):
        raise TypeError(f"{len(kinds)} entries were expected, not {data!r}")
    return tuple(_read(kind, each) for kind, each in zip(kinds, data, strict=True))


def _read_either(kinds: tuple[Any, ...], data: Json) -> Any:
    if data is None and NoneType in kinds:
        return None
    others = [kind for kind in kinds if kind is not NoneType]
    return _read(others[0], data) if len(others) == 1 else data


def _read_fraction(data: Json) -> Fraction:
    try:
        return Fraction(data)
    except (ValueError, ZeroDivisionError) as error:
        raise TypeError(f"{data!r} is no fraction") from error


_SCALARS: Mapping[Any, tuple[type, ...]] = {float: (int, float), int: (int,), str: (str,), bool: (bool,)}


def _read_scalar(kind: Any, data: Json) -> Any:
    """A number, word or truth value; a word of a fixed list must stand in the list."""
    choices = get_args(kind)
    is_known = data in choices if choices else isinstance(data, _SCALARS[kind])
    if not is_known:
        raise TypeError(f"{data!r} does not belong here")
    return data
