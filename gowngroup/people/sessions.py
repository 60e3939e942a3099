"""Beginning a signed-in session: a fresh key, as long as the person chose."""

from django.contrib.auth import login
from django.http import HttpRequest
from django.urls import reverse
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme

from gowngroup.people.actions import note_sign_in
from gowngroup.people.models import Person

REMEMBER_DAYS = 90
UNTIL_BROWSER_CLOSES = 0
BACKENDS = {
    "letter": "gowngroup.people.backends.SignInLetterBackend",
}
USUAL_BACKEND = "gowngroup.people.backends.SignInCodeBackend"


def begin_session(request: HttpRequest, person: Person, *, way: str, is_remembered: bool = False) -> None:
    """Sign a person in under a new session key; nothing of an earlier session is kept."""
    request.session.flush()
    login(request, person, backend=BACKENDS.get(way, USUAL_BACKEND))
    request.session.set_expiry(REMEMBER_DAYS * 24 * 3600 if is_remembered else UNTIL_BROWSER_CLOSES)
    note_sign_in(person=person, way=way, at=timezone.now())


def safe_next(request: HttpRequest) -> str:
    """Where to go after signing in: a page of this site, or the first page."""
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    if wanted.startswith("/") and url_has_allowed_host_and_scheme(wanted, allowed_hosts=None):
        return wanted
    return reverse("home:home")
