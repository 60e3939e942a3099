"""Links that sign one person in once: the operator's where no letter can be sent, and in a printed letter."""

import secrets
from datetime import datetime, timedelta

from django.utils.translation import gettext as _

from gowngroup.people.models import Person, Role, SignInLink
from gowngroup.people.queries import has_role, hash_of_link
from gowngroup.records.actions import action, record
from gowngroup.records.codes import ALPHABET
from gowngroup.records.errors import Refusal, Taken

LINK_VALID_FOR = timedelta(hours=1)
LINK_BYTES = 32
LETTER_VALID_FOR = timedelta(days=7)
LETTER_LENGTH = 30  # of 22 characters: 133.8 bits, short enough to be typed where there is no camera
LETTER_GROUP_LENGTH = 5


class LinkSpent(Taken):
    """The link has been used, taken back, or is too old."""


class NoLetterForHer(Refusal):
    """A letter gives the rights of somebody who sews, and she does not, or is not with the group."""


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
def make_sign_in_letter(*, person: Person, by: Person, at: datetime, request_key: str = "") -> SignInLink:
    """Make the link of a printed letter; its secret is on this one row, now, and never again."""
    if not person.is_active or not has_role(person, Role.VOLUNTEER):
        raise NoLetterForHer(
            _(
                "Only somebody in the group who sews can sign in with a letter. Please look at her tasks first."
            )
        )
    token = "".join(secrets.choice(ALPHABET) for _position in range(LETTER_LENGTH))
    link = SignInLink.objects.create(
        person=person,
        kind=SignInLink.Kind.LETTER,
        token_hash=hash_of_link(token),
        made_at=at,
        made_by=by,
        expires_at=at + LETTER_VALID_FOR,
    )
    record(by=by, at=at, did="make_sign_in_letter", subject=link)
    link.secret = token
    return link


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
    """Make every open link and letter of a person worthless."""
    theirs = SignInLink.objects.filter(person=person, used_at=None, taken_back_at=None)
    if theirs.update(taken_back_at=at):
        record(by=by, at=at, did="take_back_sign_in_links", subject=person)
    return person
