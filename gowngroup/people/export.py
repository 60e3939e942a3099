"""Everything the group keeps about one person, as a zip of JSON, tables and a page to read."""

import csv
import io
import json
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.core.serializers.json import DjangoJSONEncoder
from django.db import models
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.text import capfirst, slugify
from django.utils.translation import gettext as _

from gowngroup.people.models import Person
from gowngroup.people.queries import the_group
from gowngroup.records.models import RequestKey, TrailLine
from gowngroup.records.written import known, written_date

NOT_HERS = frozenset({"id", "password", "handle", "erased_at", "document", "key", "about_ids"})
HASHED = "_hash"
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
Field = models.Field[Any, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Rows of one kind that have to do with her: as they are kept, and in words."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[object, ...], ...]
    words: tuple[tuple[str, ...], ...]


def tables_of(person: Person) -> list[Table]:
    """Her own row first, then every row of any room that points at her, and what the trail says of her."""
    return [table for table in _tables(person) if table.rows]


def _tables(person: Person) -> Iterator[Table]:
    fields = shown_fields(Person)
    yield Table(
        title=_("About you"),
        columns=(_("what"), _("kept")),
        rows=tuple((known(str(field.verbose_name)), _value(person, field)) for field in fields),
        words=tuple((known(str(field.verbose_name)), _in_words(person, field)) for field in fields),
    )
    seen: dict[type[models.Model], list[object]] = {}
    for relation in _relations():
        model, key = relation.related_model, relation.field.name
        rows = model._base_manager.filter(**{key: person}).exclude(pk__in=seen.get(model, []))
        seen[model] = [*seen.get(model, []), *rows.values_list("pk", flat=True)]
        yield _table(_title(model, relation.field), model, rows.order_by("pk"))
    for relation in hanging_on():
        rows = relation.related_model._base_manager.filter(**{f"{relation.field.name}__person": person})
        yield _table(capfirst(known(hanging_name(relation))), relation.related_model, rows.order_by("pk"))
    about = TrailLine.objects.filter(subject_type=Person._meta.label_lower, subject_id=person.pk)
    yield _table(_("Changes to what is kept about you"), TrailLine, about.exclude(by=person))


def _relations() -> Iterator[models.ManyToOneRel]:
    for relation in Person._meta.get_fields(include_hidden=True):
        if isinstance(relation, models.ManyToOneRel) and relation.related_model is not RequestKey:
            yield relation


def hanging_on() -> Iterator[models.ManyToOneRel]:
    """Rows that name no person themselves and go with one of hers: what she said of a kit she had, which rows she sewed."""
    for hers in _relations():
        if hers.field.name == "person":
            for relation in hers.related_model._meta.get_fields(include_hidden=True):
                if isinstance(relation, models.ManyToOneRel) and _goes_along(relation):
                    yield relation


def _goes_along(relation: models.ManyToOneRel) -> bool:
    names_somebody = any(field.related_model is Person for field in relation.related_model._meta.local_fields)
    return relation.on_delete is models.CASCADE and not names_somebody


def hanging_name(relation: models.ManyToOneRel) -> str:
    """What such rows are called, as those they hang on call them: `rows done`."""
    return str(relation.get_accessor_name()).replace("_", " ")


def told_models() -> set[type[models.Model]]:
    """Every kind of row an export may tell of for the person it names."""
    return {Person, TrailLine, *(relation.related_model for relation in _relations())}


def _title(model: type[models.Model], key: Field) -> str:
    if model is TrailLine:
        return _("What you did here")
    name = capfirst(known(str(model._meta.verbose_name_plural)))
    return name if key.name == "person" else f"{name} ({known(str(key.verbose_name))})"


def _table(title: str, model: type[models.Model], rows: models.QuerySet[Any]) -> Table:
    fields = shown_fields(model)
    related = [field.name for field in fields if isinstance(field, models.ForeignKey)]
    found = list(rows.select_related(*related) if related else rows)
    return Table(
        title=title,
        columns=tuple(known(str(field.verbose_name)) for field in fields),
        rows=tuple(tuple(_value(row, field) for field in fields) for row in found),
        words=tuple(tuple(_in_words(row, field) for field in fields) for row in found),
    )


def shown_fields(model: type[models.Model]) -> list[Field]:
    """The columns of a table that an export tells of."""
    return [
        field
        for field in model._meta.local_fields
        if field.name not in NOT_HERS
        and not field.name.endswith(HASHED)
        and not isinstance(field, models.BinaryField)
        and field.related_model is not Person  # the others' names are theirs
    ]


def _value(row: models.Model, field: Field) -> object:
    if isinstance(field, models.ForeignKey):
        return str(getattr(row, field.name) or "")
    return getattr(row, field.name)


def _in_words(row: models.Model, field: Field) -> str:
    value = _value(row, field)
    if value is None or value in ([], {}):
        return ""
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, datetime):
        return written_date(timezone.localtime(value), "j F Y, H:i")
    if isinstance(value, date):
        return written_date(value, "j F Y")
    if isinstance(value, dict | list):
        return json.dumps(value, ensure_ascii=False)
    return str(dict(field.flatchoices).get(value, value))


def export(person: Person, *, at: datetime) -> bytes:
    """The zip of everything kept about a person."""
    tables = tables_of(person)
    context = {"person": person, "group": the_group(), "tables": tables, "at": at}
    files = {
        "read-me.html": render_to_string("people/data_file.html", context),
        "data.json": json.dumps(
            _as_json(person, tables), cls=DjangoJSONEncoder, ensure_ascii=False, indent=1
        ),
    }
    for number, table in enumerate(tables, start=1):
        files[f"tables/{number:02}-{slugify(table.title)[:60]}.csv"] = _as_csv(table)
    return _zipped(files, at)


def _as_json(person: Person, tables: list[Table]) -> dict[str, object]:
    roles = list(person.role_rows.values_list("role", flat=True))
    about = [
        {"what": table.title, "rows": [dict(zip(table.columns, row, strict=True)) for row in table.rows]}
        for table in tables
    ]
    return {"name": person.name, "roles": roles, "kept": about}


def _as_csv(table: Table) -> str:
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(table.columns)
    writer.writerows([_cell(value) for value in row] for row in table.rows)
    return "\ufeff" + out.getvalue()  # so that spreadsheets read letters beyond ASCII rightly


def _cell(value: object) -> str:
    """A cell no spreadsheet takes for a formula."""
    text = "" if value is None else str(value)
    return f"'{text}" if text.startswith(FORMULA_STARTS) else text


def _zipped(files: dict[str, str], at: datetime) -> bytes:
    out, when = io.BytesIO(), timezone.localtime(at).timetuple()[:6]
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in files.items():
            archive.writestr(zipfile.ZipInfo(name, when), text.encode(), zipfile.ZIP_DEFLATED)
    return out.getvalue()
