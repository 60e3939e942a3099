"""Signing in is by code, link or letter; these backends only load who is signed in, and with which rights."""

from django.contrib.auth.backends import BaseBackend

from gowngroup.people.models import Person
from gowngroup.people.queries import as_volunteer


class SignInCodeBackend(BaseBackend):
    """Load the signed-in person, unless she has left the group."""

    def get_user(self, user_id: int) -> Person | None:
        return Person.objects.filter(pk=user_id, is_active=True).first()


class SignInLetterBackend(SignInCodeBackend):
    """Load who signed in with a printed letter: whatever else she does in the group, as somebody who sews."""

    def get_user(self, user_id: int) -> Person | None:
        person = super().get_user(user_id)
        return None if person is None else as_volunteer(person)
