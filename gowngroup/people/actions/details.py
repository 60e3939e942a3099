"""Setting a row's fields from plain values, noting which of them changed."""

from dataclasses import fields
from typing import TYPE_CHECKING

from django.db import models

if TYPE_CHECKING:
    from _typeshed import DataclassInstance


def apply(
    row: models.Model, details: "DataclassInstance", *, leave_out: frozenset[str] = frozenset()
) -> dict[str, object]:
    """Set the row's fields of the same names; gives each changed field with what it was before."""
    before = {}
    for field in fields(details):
        if field.name in leave_out:
            continue
        old, new = getattr(row, field.name), getattr(details, field.name)
        if old != new:
            before[field.name] = old
            setattr(row, field.name, new)
    return before
