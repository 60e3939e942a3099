"""Nonsense sent to every form of the site comes back with a summary that leads to each field it names."""

import re
from collections.abc import Callable
from html import unescape

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.people.models import Person, Role
from tests.demo.whole_site import DETAILS, LISTS, address_of, member, values_of

pytestmark = pytest.mark.usefixtures("demo")
FORM = re.compile(r'<form\b[^>]*method="post"[^>]*>.*?</form>', re.S)
FIELD = re.compile(r'<(?:input type="(?!hidden)[a-z]+"|select|textarea)[^>]* name="([^"]+)"')
KEPT = re.compile(r'<input type="hidden" name="([^"]+)" value="([^"]*)"')
SignIn = Callable[[Person], Client]
NONSENSE = "…x-1"
AT_THE_TABLE = ("batches:kit_hand_out", "gowns:table_back")  # these answer in big words beside the field


def nonsense_for(form: str) -> tuple[str, dict[str, str]]:
    """Where a form is sent, and nonsense for each of its fields."""
    action = re.search(r'^<form[^>]* action="([^"]*)"', form)
    kept = {name: unescape(value) for name, value in KEPT.findall(form) if name != "csrfmiddlewaretoken"}
    return unescape(action[1]) if action else "", kept | dict.fromkeys(FIELD.findall(form), NONSENSE)


def what_is_wrong(page: str) -> list[str]:
    """What a page that came back lacks to lead a reader to what she must put right."""
    there = set(re.findall(r'\bid="([^"]+)"', page))
    summary = re.search(r'class="error-summary" role="alert" tabindex="-1" autofocus>.*?</div>', page, re.S)
    if summary is None:
        return ["no summary"]
    named = re.findall(r'href="#([^"]+)"', summary[0])
    described = " ".join(re.findall(r'aria-describedby="([^"]+)"', page)).split()
    wrong = [f"no #{name}" for name in {*named, *described} - there]
    if "<title>Please look again" not in page:
        wrong.append("a title that does not say so")
    return wrong


def test_every_form_leads_to_what_is_wrong(sign_in: SignIn) -> None:
    """The summary takes the focus, links to fields that are there, and the title says that something is wrong."""
    client = sign_in(member(Role.COORDINATOR))
    client.raise_request_exception = False
    tried, wrong = 0, []
    for name in sorted({*LISTS, *DETAILS} - {*AT_THE_TABLE}):
        if "POST" not in (address_of(name).methods() or ()):
            continue
        address = reverse(name, kwargs=next(values_of(name)) if name in DETAILS else {})
        answer = client.get(address)
        if answer.status_code != 200 or not answer["Content-Type"].startswith("text/html"):
            continue
        for form in FORM.findall(answer.content.decode()):
            action, data = nonsense_for(form)
            if NONSENSE not in data.values():
                continue
            back = client.post(action or address, data)
            assert back.status_code < 500, name
            if back.status_code == 422:
                tried += 1
                wrong += [(name, each) for each in what_is_wrong(back.content.decode())]
    assert wrong == []
    assert tried > 40
