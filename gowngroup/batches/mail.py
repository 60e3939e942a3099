"""Letters about kits, in plain text and as a page, sent once the change they speak of is safe."""

from collections.abc import Callable, Mapping

from django.conf import settings
from django.core.mail import EmailMultiAlternatives
from django.template.loader import render_to_string
from django.urls import reverse

from gowngroup.people.models import Person
from gowngroup.people.queries import reader_for, the_group
from gowngroup.records.reader import reading_as


def page_address(name: str, *values: object) -> str:
    """The whole address of a page, for letters."""
    return settings.SITE_ADDRESS.rstrip("/") + reverse(name, args=values)


def written_letter(
    person: Person,
    *,
    subject: Callable[[], str],
    template: str,
    context: Mapping[str, object],
    stop_url: str = "",
) -> EmailMultiAlternatives:
    """A letter to a person, subject and all written as she reads."""
    with reading_as(reader_for(person)):
        values = {**context, "person": person, "group": the_group(), "stop_url": stop_url}
        letter = EmailMultiAlternatives(
            subject=f"{subject()} – {the_group().name}",
            body=render_to_string(f"batches/mail/{template}.txt", values),
            to=[person.email],
            headers={"List-Unsubscribe": f"<{stop_url}>"} if stop_url else None,
        )
        letter.attach_alternative(render_to_string(f"batches/mail/{template}.html", values), "text/html")
    return letter
