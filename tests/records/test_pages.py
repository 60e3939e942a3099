"""How pages word values and refusals."""

from decimal import Decimal

import pytest
from django import forms
from django.contrib.auth.models import AnonymousUser
from django.template import Context, Template
from django.test import RequestFactory

from gowngroup.records.errors import NotNow, Refusal, Short, Taken
from gowngroup.records.fields import ActionForm
from gowngroup.records.pages import attempt, posted_key, refused, status_of
from gowngroup.records.reader import Reader, reading_as


def shown(template: str, reader: Reader | None = None, **values: object) -> str:
    """A piece of a page as this reader sees it."""
    with reading_as(reader or Reader()):
        return Template("{% load gown %}" + template).render(Context(values))


@pytest.mark.parametrize(
    ("template", "unit", "value", "text"),
    [
        ("{{ x|short_length }}", "cm", 125_000, "12.5\u00a0cm"),
        ("{{ x|short_length }}", "in", 104_775, "4\u00a01/8\u00a0in"),
        ("{{ x|short_length }}", "cm", None, ""),
        ("{{ x|long_length }}", "cm", 1_500_000, "1.5\u00a0m"),
        ("{{ x|long_length }}", "in", 914_400, "1\u00a0yd"),
        ("{{ x|long_length }}", "in", None, ""),
        ("{{ x|mm_length }}", "cm", 125.0, "12.5\u00a0cm"),
        ("{{ x|mm_length }}", "cm", None, ""),
        ("{{ x|hours }}", "cm", 200, "3\u00a0h 20\u00a0min"),
        ("{{ x|hours }}", "cm", 120, "2\u00a0h"),
        ("{{ x|hours }}", "cm", 0, "0\u00a0min"),
        ("{{ x|hours }}", "cm", None, ""),
        ("{{ x|spaced }}", "cm", "K7KMAX", "K7K-MAX"),
    ],
)
def test_values_are_worded_for_the_reader(template: str, unit: str, value: object, text: str) -> None:
    """Lengths, hours, codes and figures are written as the reader reads them; no line ends between a number and its unit."""
    assert shown(template, Reader(length_unit=unit), x=value) == text


def test_each_form_has_a_key_of_its_own() -> None:
    """Two forms never carry the same key, and a form that comes back keeps its own."""
    assert shown("{% request_key %}") != shown("{% request_key %}")
    fresh = ActionForm()
    assert fresh["request_key"].value() != ActionForm()["request_key"].value()
    assert ActionForm({"request_key": "kept"})["request_key"].value() == "kept"


def test_key_is_taken_without_null_bytes() -> None:
    """A forged key can neither be longer than its column nor hold what a database cannot store."""
    request = RequestFactory().post("/", {"request_key": "a\0b" * 60})
    assert posted_key(request) == ("ab" * 60)[:64]


class SizeForm(forms.Form):
    """A form of the tests."""

    size = forms.CharField()


@pytest.mark.parametrize(
    ("refusal", "status", "field"),
    [
        (Refusal("Too long.", field="size"), 422, "size"),
        (Taken("Gone."), 409, "__all__"),
        (Short("None left.", field="unknown"), 409, "__all__"),
        (NotNow("Later.", retry_after_s=60), 503, "__all__"),
    ],
)
def test_refusal_goes_onto_its_field(refusal: Refusal, status: int, field: str) -> None:
    """A refused action puts its sentence onto the field it names, or onto the form, and sets the status."""

    def refuse() -> Decimal:
        raise refusal

    form = SizeForm({"size": "5"})
    assert form.is_valid()
    assert attempt(form, refuse) is None
    assert status_of(form) == status
    assert dict(form.errors) == {field: [refusal.message]}


def test_form_without_fault_answers_200() -> None:
    """A fresh or faultless form answers 200, one with a fault 422."""
    assert [status_of(form) for form in (SizeForm(), SizeForm({"size": "5"}), SizeForm({}))] == [
        200,
        200,
        422,
    ]


@pytest.mark.django_db
def test_refused_button_gets_a_page_of_its_own() -> None:
    """A refused button answers with its sentence, the way back and, where it helps, when to try again."""
    request = RequestFactory().get("/")
    request.user = AnonymousUser()
    answer = refused(request, NotNow("Please wait.", retry_after_s=60), back="/there/")
    page = answer.content.decode()
    assert (answer.status_code, answer["Retry-After"]) == (503, "60")
    assert [part in page for part in ("Please wait.", 'href="/there/"')] == [True, True]
