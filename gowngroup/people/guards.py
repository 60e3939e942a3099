"""Who may open a page: stranger to sign-in, wrong role 403, wrong verb 405."""

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec, cast
from urllib.parse import urlsplit

from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, HttpResponseNotAllowed

from gowngroup.people.models import Person, Role
from gowngroup.people.queries import has_role

P = ParamSpec("P")
View = Callable[Concatenate[HttpRequest, P], HttpResponse]

EVERYONE = tuple(role.value for role in Role)
VISITOR = ("visitor",)


def page(*roles: str, methods: tuple[str, ...] = ("GET", "POST")) -> Callable[[View[P]], View[P]]:
    """Let only these roles open a view, by these verbs; `visitor` opens it to all."""

    def guard(view: View[P]) -> View[P]:
        @wraps(view)
        def guarded(request: HttpRequest, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
            refusal = _refusal(request, roles, methods)
            if request.method == "HEAD":
                # A look without the page: no view need think of it, and none takes it for a form that was sent.
                request.method = "GET"
            return refusal if refusal is not None else view(request, *args, **kwargs)

        guarded.roles = roles  # type: ignore[attr-defined]
        guarded.methods = methods  # type: ignore[attr-defined]
        return cast("View[P]", guarded)

    return guard


def _refusal(request: HttpRequest, roles: tuple[str, ...], methods: tuple[str, ...]) -> HttpResponse | None:
    if roles != VISITOR:
        if not request.user.is_authenticated:
            return redirect_to_login(_back_to(request, methods))
        if not has_role(request.user, *roles):
            raise PermissionDenied
    verb = "GET" if request.method == "HEAD" else request.method
    return None if verb in methods else HttpResponseNotAllowed(methods)


def _back_to(request: HttpRequest, methods: tuple[str, ...]) -> str:
    """Where to go on after signing in: the page, or the one whose button was pressed, which cannot be pressed by a visit."""
    if request.method in ("GET", "HEAD") or "GET" in methods:
        return request.get_full_path()
    came_from = urlsplit(request.headers.get("Referer", ""))
    is_ours = came_from.netloc == request.get_host() and came_from.path.startswith("/")
    return came_from.path if is_ours else "/"


def person_of(request: HttpRequest) -> Person:
    """The signed-in person of a guarded page."""
    if not isinstance(request.user, Person):
        raise PermissionDenied
    return request.user
