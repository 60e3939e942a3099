"""Single wishes changed with one tap, from a page or a letter."""

from datetime import datetime

from gowngroup.people.models import Person, ReminderWay
from gowngroup.records.actions import action, record


@action
def stop_memorial(*, person: Person, by: Person, at: datetime, request_key: str = "") -> Person:
    """Show a person no more gowns for babies who die; she may say yes again on her page."""
    agreed = Person.objects.filter(pk=person.pk, has_agreed_to_memorial=True)
    if agreed.update(has_agreed_to_memorial=False):
        record(by=by, at=at, did="stop_memorial", subject=person, changes={"has_agreed_to_memorial": None})
    person.refresh_from_db(fields=["has_agreed_to_memorial"])
    return person


@action
def stop_reminders(*, person: Person, by: Person, at: datetime, request_key: str = "") -> Person:
    """Remind a person no more of the day her kit is due; she may ask for it again on her page."""
    reminded = Person.objects.filter(pk=person.pk).exclude(reminded_by=ReminderWay.NONE)
    if reminded.update(reminded_by=ReminderWay.NONE):
        record(by=by, at=at, did="stop_reminders", subject=person, changes={"reminded_by": None})
    person.refresh_from_db(fields=["reminded_by"])
    return person


@action
def choose_language(*, language: str, by: Person, at: datetime, request_key: str = "") -> Person:
    """Write pages, letters and sheets for a person in the language she has chosen with one tap."""
    others = Person.objects.filter(pk=by.pk).exclude(language=language)
    if others.update(language=language):
        record(by=by, at=at, did="choose_language", subject=by, changes={"language": None})
    by.refresh_from_db(fields=["language"])
    return by
