"""Pages go out compressed, and tell nobody by their length what they hold."""

import gzip
from collections.abc import Callable

from django.http import HttpResponse
from django.test import Client, RequestFactory

from gowngroup.people.models import Person
from gowngroup.records.middleware import CompressText

TEXT = b"<p>" + b"a gown, " * 200


def sent(content_type: str) -> HttpResponse:
    request = RequestFactory().get("/", headers={"accept-encoding": "gzip"})
    answer = CompressText(lambda _request: HttpResponse(TEXT, content_type=content_type))(request)
    assert isinstance(answer, HttpResponse)
    return answer


def test_text_is_compressed() -> None:
    """Pages and drawings are squeezed, and are the same when unpacked."""
    for content_type in ("text/html; charset=utf-8", "image/svg+xml"):
        answer = sent(content_type)
        assert answer["Content-Encoding"] == "gzip"
        assert gzip.decompress(answer.content) == TEXT
        assert len(answer.content) < len(TEXT) / 2


def test_what_is_packed_already_goes_as_it_is() -> None:
    """A PDF and a spreadsheet are sent byte for byte."""
    for content_type in ("application/pdf", "application/zip"):
        assert sent(content_type).content == TEXT
        assert not sent(content_type).has_header("Content-Encoding")


def test_lengths_say_nothing() -> None:
    """The same page has another length each time (against the attack called BREACH, CVE-2013-3587)."""
    assert len({len(sent("text/html").content) for _time in range(30)}) > 5


def test_pages_are_compressed(coordinator: Person, sign_in: Callable[[Person], Client]) -> None:
    """A page of the site comes compressed to a browser that asks for it, and plain to one that does not."""
    client = sign_in(coordinator)
    packed = client.get("/", headers={"accept-encoding": "gzip"})
    assert b"<h1" in gzip.decompress(packed.content)
    assert b"<h1" in client.get("/").content
