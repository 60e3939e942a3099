"""What keeps the site safe besides each page's own guard; tests/house/asvs.md says which requirement each answers."""

import ast
import math
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from django.conf import settings
from django.contrib.auth import authenticate
from django.contrib.messages import INFO
from django.http import HttpResponse
from django.test import Client, RequestFactory, override_settings
from django.urls import reverse

from gowngroup.people.models import Group, Person
from gowngroup.records.messages import HostCookie

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person], Client]
ROOT = Path(settings.BASE_DIR)
YEAR_S = 365 * 24 * 3600
KEY_LETTERS, BITS = 36, 128  # Django draws session keys from small letters and digits

FORBIDDEN_CALLS = {"eval", "exec", "compile", "os.system", "os.popen", "hashlib.md5", "hashlib.sha1"}
FORBIDDEN_PARTS = {"pickle", "marshal", "shelve", "yaml", "xml", "lxml", "jwt"}
FORBIDDEN_NAMES = {"FileField", "ImageField", "mark_safe", "RawSQL"}
SUSPICIOUS = re.compile(
    r"eval|exec|compile|popen|os\.system|md5|sha1|pickle|marshal|shelve|yaml|xml|jwt|shell|FileField|ImageField|mark_safe|RawSQL"
)  # reading each word by word takes a second
FORBIDDEN_SCRIPT = re.compile(
    r"\beval\(|new Function|innerHTML|outerHTML|insertAdjacentHTML|document\.write|postMessage|WebSocket"
)


@pytest.mark.parametrize("address", ["/sign-in/", "/no-such-page/", "/%00"])
def test_https_is_asked_for_a_year(group: Group, address: str) -> None:
    """Each answer over https says so and bears the policy, also one that is refused at the door."""
    with override_settings(SECURE_HSTS_SECONDS=YEAR_S):
        answer = Client().get(address, secure=True)
    assert answer.headers["Strict-Transport-Security"].startswith(f"max-age={YEAR_S}")
    assert "default-src 'none'" in answer.headers["Content-Security-Policy"]
    assert answer.headers["X-Content-Type-Options"] == "nosniff"


def test_a_session_is_known_to_the_server_alone(volunteer: Person, sign_in: SignIn) -> None:
    """Its key has 128 bits and is a new one each time; a made-up one opens nothing, nor one that was signed out."""
    page, name = reverse("people:my_page"), settings.SESSION_COOKIE_NAME
    one, other, guesser = sign_in(volunteer), sign_in(volunteer), Client()
    key = one.cookies[name].value
    assert key != other.cookies[name].value
    assert len(key) * math.log2(KEY_LETTERS) >= BITS
    guesser.cookies[name] = "a" * len(key)
    assert guesser.get(page).status_code == 302
    guesser.cookies[name] = key
    assert guesser.get(page).status_code == 200
    one.post(reverse("people:sign_out"))
    guesser.cookies[name] = key
    assert guesser.get(page).status_code == 302


def test_nobody_is_there_before_the_group_is_started(db: None) -> None:
    """A new database holds no account that anybody could know of."""
    assert not Person.objects.exists()


def test_no_password_opens_anything(volunteer: Person) -> None:
    """People have none, and none is asked for or taken."""
    assert not volunteer.has_usable_password()
    assert authenticate(username=volunteer.email, password=volunteer.password) is None
    assert 'type="password"' not in Client().get(reverse("people:sign_in")).content.decode()


@pytest.mark.parametrize(
    "address",
    [
        "/.git/config",
        "/manage.py",
        "/var/gowngroup.sqlite3",
        "/static/../.git/config",
        "/static/%2e%2e/gowngroup/settings.py",
        "/static/..%2fmanage.py",
        "/static/",
    ],
)
def test_nothing_of_the_project_is_served(group: Group, address: str) -> None:
    """Neither its history nor its sources nor its data, nor a list of files."""
    assert Client().get(address).status_code == 404


def test_a_sentence_changed_on_the_way_is_not_shown(group: Group) -> None:
    """The cookie with the sentences for the next page is believed only as it was signed."""

    def shown(cookie: str) -> list[str]:
        request = RequestFactory().get("/")
        request.COOKIES[HostCookie.cookie_name] = cookie
        return [str(each.message) for each in HostCookie(request)]

    storage, response = HostCookie(RequestFactory().get("/")), HttpResponse()
    storage.add(INFO, "The ward has it.")
    storage.update(response)
    sent = response.cookies[HostCookie.cookie_name].value
    assert shown(sent) == ["The ward has it."]
    said, signature = sent.rsplit(":", 1)
    assert shown(f"{said}:{signature[::-1]}") == []
    assert shown(f"{said[::-1]}:{signature}") == []
    assert shown(said) == []


def dangers(source: str) -> Iterator[str]:
    """What turns what somebody typed into a program, believes files of strangers, or sums too weakly."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call):
            if ast.unparse(node.func) in FORBIDDEN_CALLS:
                yield ast.unparse(node.func)
            yield from (f"{word.arg}=True" for word in node.keywords if _is_shell(word))
        elif isinstance(node, ast.Import):
            yield from (each.name for each in node.names if each.name.split(".")[0] in FORBIDDEN_PARTS)
        elif isinstance(node, ast.ImportFrom):
            parts = {str(node.module).split(".")[0]} & FORBIDDEN_PARTS
            yield from sorted(parts | ({each.name for each in node.names} & FORBIDDEN_NAMES))
        elif isinstance(node, ast.Attribute) and node.attr in FORBIDDEN_NAMES:
            yield node.attr


def _is_shell(word: ast.keyword) -> bool:
    return word.arg == "shell" and not (isinstance(word.value, ast.Constant) and word.value.value is False)


def test_sources_hold_no_dangerous_call() -> None:
    """Nothing typed is ever run or written as it is, no file of a stranger is taken, no weak sum is used."""
    sources = sorted((ROOT / "gowngroup").rglob("*.py"))
    scripts = sorted((ROOT / "static" / "js").glob("*.js"))
    assert len(sources) > 300
    assert scripts
    texts = {path: path.read_text() for path in (*sources, *scripts)}
    found = {path: [*dangers(texts[path])] for path in sources if SUSPICIOUS.search(texts[path])}
    found |= {path: FORBIDDEN_SCRIPT.findall(texts[path]) for path in scripts}
    assert {path: each for path, each in found.items() if each} == {}


@pytest.mark.parametrize(
    "source",
    [
        "eval(typed)",
        "subprocess.run(typed, shell=True)",
        "import xml.sax",
        "from pickle import loads",
        "hashlib.md5(secret)",
        "models.FileField()",
        "from django.utils.safestring import mark_safe",
    ],
)
def test_a_dangerous_call_is_seen(source: str) -> None:
    """Negative control: the look above finds each kind."""
    assert SUSPICIOUS.search(source)
    assert [*dangers(source)]
