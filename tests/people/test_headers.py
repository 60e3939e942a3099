"""What protects every page besides its headers (test_permissions.py): refused bytes, a refusal to start without a secret."""

import os
import secrets
import subprocess
import sys
from pathlib import Path

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse

from gowngroup.people.models import Person

pytestmark = pytest.mark.django_db
ROOT = Path(settings.BASE_DIR)


@pytest.mark.parametrize(
    "name", ["people:sign_in", "people:person_list", "people:my_page", "people:figure_list"]
)
def test_pages_hold_no_inline_style_or_script(name: str, coordinator: Person) -> None:
    """A page works under its own policy: no inline script, style or handler."""
    client = Client()
    if name != "people:sign_in":
        client.force_login(coordinator)
    page = client.get(reverse(name)).content.decode()
    assert not [bad for bad in ("<style", " style=", "<script>", " onclick=", "javascript:") if bad in page]


@pytest.mark.parametrize("address", ["/sign-in/?next=%00", "/%00", "/people/?words=a%00b"])
def test_null_bytes_in_an_address_are_refused(address: str, group: object) -> None:
    """An address with a NUL byte answers 400 on every database."""
    assert Client().get(address).status_code == 400


def test_null_bytes_in_a_form_are_refused(group: object) -> None:
    """A form with a NUL byte answers 400, and so does a cookie, before any database sees it."""
    plain = "application/x-www-form-urlencoded"
    assert Client().post("/sign-in/", "email=a%00b", content_type=plain).status_code == 400
    client = Client()
    client.cookies["session"] = "a\0b"
    assert client.get("/sign-in/").status_code == 400


def manage(*command: str, **environment: str) -> subprocess.CompletedProcess[str]:
    """Run one command as on a server, with nothing of the tests' environment."""
    clean = {name: value for name, value in os.environ.items() if name in ("PATH", "HOME", "SYSTEMROOT")}
    return subprocess.run(  # noqa: S603 - our own command
        [sys.executable, "manage.py", *command],
        cwd=ROOT, env={**clean, **environment}, capture_output=True, text=True, check=False, timeout=120,
    )  # fmt: skip


def test_a_deployment_is_safe(tmp_path: Path) -> None:
    """Outside the demonstration Django's deployment check finds nothing to warn of; cookies are for https and this host alone.

    The folder of its data need not be there before.
    """
    show = (
        "from django.conf import settings as s; from django.core.management import call_command as call;"
        "from django.db import connection; connection.ensure_connection();"
        "from gowngroup.people.views.sign_in import COOKIE;"
        "from gowngroup.records.messages import HostCookie;"
        "call('check', deploy=True, fail_level='WARNING');"
        "print(s.SESSION_COOKIE_NAME, s.CSRF_COOKIE_NAME, COOKIE, HostCookie.cookie_name, s.LANGUAGE_COOKIE_NAME, "
        "s.SESSION_COOKIE_SECURE, s.SECURE_HSTS_SECONDS)"
    )
    place = {"SECRET_KEY": secrets.token_urlsafe(60), "GOWNGROUP_VAR_DIR": str(tmp_path / "of" / "its own")}
    done = manage("shell", "--no-imports", "-c", show, **place)
    assert done.returncode == 0, done.stderr
    said = done.stdout.splitlines()[-1].split()
    assert said[:-2] == [f"__Host-{name}" for name in ("session", "csrf", "sign-in", "messages", "language")]
    assert said[-2:] == ["True", "31536000"]


@pytest.mark.parametrize("environment", [{}, {"SECRET_KEY": ""}])
def test_no_start_without_a_secret(environment: dict[str, str]) -> None:
    """Without SECRET_KEY outside the demonstration nothing starts, and one plain line says what to do."""
    done = manage("check", **environment)
    assert (done.returncode, done.stderr.count("\n")) == (1, 1)
    assert "set SECRET_KEY" in done.stderr
