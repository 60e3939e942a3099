"""Links that sign one person in once, made by the operator at the machine where no letter can be sent."""

import secrets
from datetime import datetime, timedelta

from django.utils.translation import gettext as _

from gowngroup.people.models import Person, SignInLink
from gowngroup.people.queries import hash_of_link
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Taken

LINK_VALID_FOR = timedelta(hours=1)
LINK_BYTES = 32


class LinkSpent(Taken):
    """The link has been used, taken back, or is too old."""


@action
def make_sign_in_link(*, person: Person, at: datetime) -> str:
    """Make a link's secret for a person; it is told once and kept only as a hash."""
    token = secrets.token_urlsafe(LINK_BYTES)
    link = SignInLink.objects.create(
        person=person, token_hash=hash_of_link(token), made_at=at, expires_at=at + LINK_VALID_FOR
    )
    record(by=None, at=at, did="make_sign_in_link", subject=link)
    return token


@action
def use_sign_in_link(*, link: SignInLink, at: datetime) -> Person:
    """Use a link up, which works once, and give the person it is for."""
    # Columns of its own row only: with a join PostgreSQL does not look again after waiting for another user.
    mine = SignInLink.objects.filter(pk=link.pk, used_at=None, taken_back_at=None, expires_at__gt=at)
    if not mine.update(used_at=at):
        raise LinkSpent(_("This link can no longer be used."))
    record(by=link.person, at=at, did="use_sign_in_link", subject=link)
    return link.person


@action
def take_back_sign_in_links(*, person: Person, by: Person, at: datetime, request_key: str = "") -> Person:
    """Make every open link of a person worthless."""
    theirs = SignInLink.objects.filter(person=person, used_at=None, taken_back_at=None)
    if theirs.update(taken_back_at=at):
        record(by=by, at=at, did="take_back_sign_in_links", subject=person)
    return person
