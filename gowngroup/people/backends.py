"""Sign-in is by a code sent to an e-mail address; this backend only loads who is signed in."""

from django.contrib.auth.backends import BaseBackend

from gowngroup.people.models import Person


class SignInCodeBackend(BaseBackend):
    """Load the signed-in person, unless she has left the group."""

    def get_user(self, user_id: int) -> Person | None:
        return Person.objects.filter(pk=user_id, is_active=True).first()
