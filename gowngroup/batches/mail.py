"""Letters about kits, in plain text and as a page, sent once the change they speak of is safe."""

import logging
from collections.abc import Callable, Iterable, Mapping
from functools import partial
from smtplib import SMTPException

from django.conf import settings
from django.core.mail import EmailMultiAlternatives
from django.db import transaction
from django.template.loader import render_to_string
from django.urls import reverse

from gowngroup.people.models import Person
from gowngroup.people.queries import reader_for, the_group
from gowngroup.records.reader import reading_as

logger = logging.getLogger(__name__)


def page_address(name: str, *values: object) -> str:
    """The whole address of a page, for letters."""
    return settings.SITE_ADDRESS.rstrip("/") + reverse(name, args=values)


def send_later(
    person: Person,
    *,
    subject: Callable[[], str],
    template: str,
    context: Mapping[str, object],
    stop_url: str = "",
) -> None:
    """Send a person a letter, subject and all written as she reads, once the transaction has ended well."""
    with reading_as(reader_for(person)):
        values = {**context, "person": person, "group": the_group(), "stop_url": stop_url}
        letter = EmailMultiAlternatives(
            subject=f"{subject()} – {the_group().name}",
            body=render_to_string(f"batches/mail/{template}.txt", values),
            to=[person.email],
            headers={"List-Unsubscribe": f"<{stop_url}>"} if stop_url else None,
        )
        letter.attach_alternative(render_to_string(f"batches/mail/{template}.html", values), "text/html")
    transaction.on_commit(partial(_send, letter))


def send_to_all(
    people: Iterable[Person], *, subject: Callable[[], str], template: str, context: Mapping[str, object]
) -> None:
    """Send the same letter to several people, each written as she reads."""
    for person in people:
        if person.email:
            send_later(person, subject=subject, template=template, context=context)


def _send(letter: EmailMultiAlternatives) -> None:
    try:
        letter.send()
    except (OSError, SMTPException):
        logger.warning("a letter about a kit could not be sent")
