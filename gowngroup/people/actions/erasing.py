"""Forgetting a person: everything that is hers alone goes, what the group made together keeps a neutral name.

A foreign key to a person says itself what becomes of its row: CASCADE, it is hers alone and is removed;
SET_NULL, it lets go of her; PROTECT, it is the group's history and stays, pointing at a person without a name.
"""

import uuid
from collections import Counter
from collections.abc import Iterable
from contextlib import suppress
from datetime import date, datetime
from functools import partial
from pathlib import Path

from django.conf import settings
from django.contrib.sessions.models import Session
from django.db import DatabaseError, IntegrityError, connection, models, transaction
from django.utils.translation import gettext as _

from gowngroup.people.actions.members import Erased, check_holds_nothing, keep_a_coordinator
from gowngroup.people.models import Person, Practice, ReminderWay
from gowngroup.people.outbox import forget_letters
from gowngroup.people.queries import unshared_words
from gowngroup.people.traces import Blotter, Trace, Words, neutral_name, traces
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Taken
from gowngroup.records.models import RequestKey
from gowngroup.records.triggers import append_only_tables, lifted

OPEN_DROP_OFFS = ("packing", "on the way")


class StillDrives(Taken):
    """Somebody expects her with gowns."""


@action
def erase_person(*, person: Person, by: Person | None, at: datetime, request_key: str = "") -> Person:
    """Forget a person for good; her gowns stay counted under a neutral name. It cannot be undone."""
    keep_a_coordinator(person)
    person = Person.objects.select_for_update().get(pk=person.pk)
    _check_may_go(person, by)
    own = Words(name=person.name, email=person.email, telephone=person.telephone)
    words, roles = unshared_words(own, but=person), sorted(person.role_rows.values_list("role", flat=True))
    _let_go_of(person)
    _empty(person, at, is_unseen=by is None or by.pk == person.pk)
    counts = _blot_out(words)
    record(by=by, at=at, did="erase_person", subject=person, changes={"roles": [roles, []], **counts})
    _forget_outside_the_database(words, person.pk)
    return person


@action
def erase_outsider(
    *, words: Words, subject: models.Model, by: Person | None, at: datetime, request_key: str = ""
) -> models.Model:
    """Forget somebody outside the group, a donor or a ward's contact: her name, address and number everywhere."""
    _empty_outsider(subject, words, at)
    words = unshared_words(words, but=None)
    counts = _blot_out(words)
    record(by=by, at=at, did="erase_outsider", subject=subject, changes=counts)
    _forget_outside_the_database(words, None)
    return subject


def _check_may_go(person: Person, by: Person | None) -> None:
    if person.erased_at:
        raise Erased(_("Her details have been erased already."))
    check_holds_nothing(person, by)
    if person.drop_offs.filter(state__in=OPEN_DROP_OFFS).exists():
        raise StillDrives(_("There is still a drop-off to drive. Please find another driver for it first."))


def _let_go_of(person: Person) -> None:
    """Do with the rows that point at her what their foreign keys say, as if she were deleted."""
    for relation in Person._meta.get_fields(include_hidden=True):
        if not isinstance(relation, models.ManyToOneRel) or relation.related_model is RequestKey:
            continue
        rows = relation.related_model._base_manager.filter(**{relation.field.name: person})
        if relation.on_delete is models.CASCADE:
            rows.delete()
        elif relation.on_delete is models.SET_NULL:
            rows.update(**{relation.field.name: None})


def _empty(person: Person, at: datetime, *, is_unseen: bool) -> None:
    """Leave of her row only the year she joined in, and that nobody has seen yet that she is gone."""
    kept = {
        "id": person.pk,
        "name": neutral_name(),
        "handle": uuid.uuid4(),
        "is_active": False,
        "joined_on": date(person.joined_on.year, 1, 1),
        "practice": Practice.EXPERIENCED,
        "reminded_by": ReminderWay.NONE,
        "erased_at": at,
        "unseen_leave_at": at if is_unseen else None,
    }
    empty = Person(**kept)
    empty.set_unusable_password()
    empty.save(force_update=True)
    person.refresh_from_db()


def _empty_outsider(subject: models.Model, words: Words, at: datetime) -> None:
    """Take her out of her own row, also what somebody of the group shares with her."""
    blotter, changes = Blotter(words), dict[str, object]()
    for field in subject._meta.local_fields:
        value = getattr(subject, field.name)
        if field.name == "erased_at":
            changes[field.name] = at
        elif isinstance(value, str):
            changes[field.name] = blotter.blot(value, is_sentence=True)
    type(subject)._default_manager.filter(pk=subject.pk).update(**changes)


def _blot_out(words: Words) -> dict[str, object]:
    """Take her out of every text of the database; gives how many cells of each table that were."""
    found = list(traces(words))
    counts: Counter[str] = Counter()
    never_changed = append_only_tables(connection)
    for model in dict.fromkeys(trace.model for trace in found):
        cells = [trace for trace in found if trace.model is model]
        if model._meta.db_table in never_changed:
            # The one thing ever changed in such a line: the words about a person, never a number.
            with lifted(connection, model._meta.db_table):
                _write(cells)
        else:
            _write(cells)
        counts[model._meta.label_lower] = len(cells)
    return dict(counts)


def _write(cells: Iterable[Trace]) -> None:
    for cell in cells:
        row = cell.model._base_manager.filter(pk=cell.pk)
        try:
            with transaction.atomic():
                row.update(**{cell.field: cell.blotted})
        except IntegrityError:  # another row reads just the same without her
            longest = getattr(cell.model._meta.get_field(cell.field), "max_length", None)
            row.update(**{cell.field: f"{cell.pk} {cell.blotted}"[:longest]})


def _forget_outside_the_database(words: Words, pk: int | None) -> None:
    for session in Session.objects.iterator():
        held = session.get_decoded()
        if pk is not None and held.get("_auth_user_id") == str(pk):
            session.delete()
    if settings.EMAIL_FILE_PATH:
        transaction.on_commit(partial(forget_letters, Path(settings.EMAIL_FILE_PATH), words))
    if connection.vendor == "sqlite":
        transaction.on_commit(_empty_the_log)


def _empty_the_log() -> None:
    """Write SQLite's log into its file, so that the old text lies nowhere; a busy database does it later itself."""
    with suppress(DatabaseError), connection.cursor() as cursor:
        cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
