"""Background work of the people room."""

from django.utils import timezone
from django_tasks import task

from gowngroup.people.actions.unsent import send_due_letters


@task()
def send_letters_again() -> None:
    """Try the letters again that a mail server could not take, each when its time has come."""
    send_due_letters(at=timezone.now())
