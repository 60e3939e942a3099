"""Asking to join, from a page anybody may open, and the coordinator's answer.

Nothing is sent to an address a stranger typed before the coordinator has said yes, so that the page cannot be used to
send letters to others; whoever asks twice, or is with the group already, meets the same answer.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.conf import settings
from django.core.mail import EmailMultiAlternatives
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from gowngroup.people.actions.members import PersonDetails, add_person
from gowngroup.people.actions.unsent import send_on_commit
from gowngroup.people.addresses import address_hash, tidy_address
from gowngroup.people.models import Group, JoinRequest, Person, UnsentLetter
from gowngroup.people.queries import reader_for, the_group
from gowngroup.records.actions import action, record
from gowngroup.records.errors import NotNow, Refusal, Taken
from gowngroup.records.reader import reading_as

WINDOW = timedelta(hours=1)
MOST_IN_A_WINDOW = 10
MOST_OPEN = 60
FORGET_AFTER = timedelta(days=60)


class TooManyAsk(NotNow):
    """More people ask to join than any group is asked by: probably a machine."""

    status = 429


NO_WAY_TO_ANSWER = gettext_lazy("Please give an email address or a telephone number, so that we can answer.")


class NoWayToAnswer(Refusal):
    """Neither an address nor a telephone number was given."""


class AlreadyAnswered(Taken):
    """Another coordinator has answered this request."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JoinDetails:
    """What somebody who would like to join says of herself; nothing about health."""

    name: str
    email: str = ""
    telephone: str = ""
    note: str = ""


@action
def ask_to_join(*, details: JoinDetails, at: datetime) -> JoinRequest | None:
    """Keep what somebody asks, once for each address or number; None where it is being asked already."""
    if not details.email and not details.telephone:
        raise NoWayToAnswer(str(NO_WAY_TO_ANSWER), field="telephone")
    list(Group.objects.select_for_update().filter(pk=1))  # one at a time, so that the counts below hold
    forget_old_requests(at=at)
    # Asked first, so that on a busy day nobody is told by another answer who else has asked.
    is_many = JoinRequest.objects.filter(asked_at__gt=at - WINDOW).count() >= MOST_IN_A_WINDOW
    if is_many or JoinRequest.objects.count() >= MOST_OPEN:
        raise TooManyAsk(
            _("Many people have asked just now. Please try again in an hour, or ring us."),
            retry_after_s=int(WINDOW.total_seconds()),
        )
    contact = _contact_hash(details)
    if JoinRequest.objects.filter(contact_hash=contact).exists():
        return None
    row = JoinRequest.objects.create(
        name=" ".join(details.name.split()),
        email=tidy_address(details.email),
        telephone=" ".join(details.telephone.split()),
        note=" ".join(details.note.split()),
        contact_hash=contact,
        asked_at=at,
    )
    record(by=None, at=at, did="ask_to_join", subject=row)
    return row


def forget_old_requests(*, at: datetime) -> None:
    """Remove what strangers asked and nobody answered, as the page promised them."""
    JoinRequest.objects.filter(asked_at__lt=at - FORGET_AFTER).delete()


@action
def welcome(
    *, join_request: JoinRequest, details: PersonDetails, by: Person, at: datetime, request_key: str = ""
) -> Person:
    """Add somebody who asked to join, remove what she asked, and write to her how to sign in."""
    _take_off_the_list(join_request)
    person = add_person(details=details, by=by, at=at)
    if person.email:
        send_on_commit(_letter(person), person=person, kind=UnsentLetter.Kind.WELCOME, at=at)
    return person


@action
def say_no(*, join_request: JoinRequest, by: Person, at: datetime, request_key: str = "") -> None:
    """Remove what somebody asked; nothing of it is kept, and no letter is sent."""
    _take_off_the_list(join_request)
    record(by=by, at=at, did="say_no", subject=join_request)


def _take_off_the_list(join_request: JoinRequest) -> None:
    removed, _rows = JoinRequest.objects.filter(pk=join_request.pk).delete()
    if not removed:
        raise AlreadyAnswered(_("This request has been answered already."))


def _contact_hash(details: JoinDetails) -> str:
    digits = "".join(character for character in details.telephone if character.isdigit())
    return address_hash(details.email or digits)


def write_welcome_anew(unsent: UnsentLetter, at: datetime) -> EmailMultiAlternatives | None:
    """The letter of welcome once more, unless she has found her way in since."""
    return None if unsent.person.last_login else _letter(unsent.person)


def _letter(person: Person) -> EmailMultiAlternatives:
    address = f"{settings.SITE_ADDRESS.rstrip('/')}{reverse('people:sign_in')}"
    context = {"group": the_group(), "person": person, "address": address}
    with reading_as(reader_for(person)):
        letter = EmailMultiAlternatives(
            subject=_("Welcome – %(group)s") % {"group": the_group().name},
            body=render_to_string("people/mail/welcome.txt", context),
            to=[person.email],
        )
        letter.attach_alternative(render_to_string("people/mail/welcome.html", context), "text/html")
    return letter
