"""The inspector's pages: taking back, checking, mending, washing, the shelf."""

import re
from collections.abc import Callable
from datetime import datetime
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from gowngroup.batches.models import Kit, KitReturn
from gowngroup.gowns.actions import take_back
from gowngroup.gowns.checklist import questions
from gowngroup.gowns.models import Gown, GownCheck
from gowngroup.people.models import Person
from tests.factories import ChartFactory, DesignSizeFactory, KitFactory, LotFactory
from tests.gowns.conftest import Check

pytestmark = pytest.mark.django_db

SignIn = Callable[[Person], Client]


@pytest.fixture
def client(sign_in: SignIn, inspector: Person) -> Client:
    """The inspector's browser."""
    return sign_in(inspector)


def url(name: str, *args: object) -> str:
    return reverse(f"gowns:{name}", args=args)


def text(client: Client, address: str) -> str:
    return client.get(address).content.decode()


def checked(gown: Gown, round_: str = "first", **typed: Any) -> dict[str, Any]:
    """A check as the form sends it, everything in order unless said."""
    ticks = {question.key: "on" for question in questions(gown, round_)}
    return {
        "seen_state": gown.state,
        "round": round_,
        "is_free_of_metal": "yes",
        "outcome": "pass",
        "reason": "",
        **ticks,
        **typed,
    }


STAFF_PAGES = ["gown_list", "kit_returns", "shelf"]
INSPECTOR_PAGES = ["first_checks", "second_checks", "mending", "wash", "gown_add"]


@pytest.mark.parametrize("name", STAFF_PAGES + INSPECTOR_PAGES)
def test_who_may_open(name: str, client: Client, sign_in: SignIn, packer: Person, volunteer: Person) -> None:
    """The inspector opens all; the packer what is for both; volunteers none; strangers sign in."""
    assert client.get(url(name)).status_code == 200
    assert sign_in(packer).get(url(name)).status_code == (200 if name in STAFF_PAGES else 403)
    assert sign_in(volunteer).get(url(name)).status_code == 403
    assert Client().get(url(name)).status_code == 302


@pytest.mark.parametrize("name", ["gown_page", "gown_check", "gown_place"])
def test_an_unknown_gown_is_not_found(name: str, client: Client, gown: Gown) -> None:
    """A code no gown bears is not found; a code typed with its dash is."""
    assert client.get(url(name, f"{gown.code[:3]}-{gown.code[3:]}")).status_code == 200
    assert client.get(url(name, "G3333X")).status_code == 404


@pytest.mark.parametrize(
    "typed", ["{code}", " {front}-{back} ", "{lower}", "https://example.org/batches/kit/{code}/"]
)
def test_a_kit_code_is_typed_or_scanned(client: Client, kit: Kit, typed: str) -> None:
    """The code leads to its kit however it is typed, and as the address a scanner reads."""
    Kit.objects.filter(pk=kit.pk).update(code="K7DPY6")
    sent = typed.format(code="K7DPY6", front="K7D", back="PY6", lower="k7dpy6")
    answer = client.get(url("kit_returns"), {"code": sent})
    assert answer["Location"] == url("kit_return", "K7DPY6")


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [("K7DPY7", "There is a slip in"), ("", "required"), ("hello", "There is a slip in")],
)
def test_a_wrong_kit_code_gets_a_sentence(client: Client, typed: str, sentence: str) -> None:
    """A code with a slip, recognised by its check character, comes back as typed."""
    answer = client.get(url("kit_returns"), {"code": typed})
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert f'value="{typed}"' in answer.content.decode() or not typed


def test_an_unknown_kit_code_gets_a_sentence(client: Client, kit: Kit) -> None:
    """A sound code that no kit bears says so."""
    assert kit.code != "K7DPY6"
    page = client.get(url("kit_returns"), {"code": "K7DPY6"}).content.decode()
    assert "No kit bears the code K7DPY6" in page


def test_gowns_come_back_with_codes(client: Client, kit: Kit) -> None:
    """Two of three gowns come back with hours and remarks, and the next page shows their codes."""
    sent = {"gown_count": "2", "are_needles_counted": "yes", "duration_min": "6,5", "remarks": "lovely"}
    answer = client.post(url("kit_return", kit.code), sent)
    back = KitReturn.objects.get()
    assert (back.duration_min, back.remarks, back.person) == (390, "lovely", kit.holder)
    page = text(client, answer["Location"])
    for gown in Gown.objects.all():
        assert f"{gown.code[:3]}-{gown.code[3:]}" in page
    assert "Still to come back: 1 of 3" in text(client, url("kit_return", kit.code))


@pytest.mark.parametrize(
    ("typed", "label"),
    [
        ({"gown_count": "0"}, "Gowns that came back"),
        ({"gown_count": "-1"}, "Gowns that came back"),
        ({"gown_count": "4"}, "Gowns that came back"),
        ({"are_needles_counted": ""}, "Are all needles"),
        ({"duration_min": "-3"}, "Hours spent"),
        ({"duration_min": "9999"}, "Hours spent"),
    ],
)
def test_impossible_returns_are_asked_back(
    client: Client, kit: Kit, typed: dict[str, str], label: str
) -> None:
    """No gowns, too many, no word on needles, impossible hours: the field is named and nothing is saved."""
    sent = {"gown_count": "1", "are_needles_counted": "yes", "remarks": "lovely"} | typed
    answer = client.post(url("kit_return", kit.code), sent)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert f">{label}" in page
    assert "lovely" in page
    assert not Gown.objects.exists()


def test_floss_is_asked_only_of_smocked_kits(client: Client, kit: Kit) -> None:
    """Who sewed from a chart may say how the floss came out; a plain gown's page does not ask."""
    assert "The floss, only if" not in text(client, url("kit_return", kit.code))
    kit.design_revision.chart = ChartFactory()
    kit.design_revision.save()
    assert "The floss, only if" in text(client, url("kit_return", kit.code))
    sent = {"gown_count": "1", "are_needles_counted": "yes", "floss_outcome": "left", "floss_cut_count": "2"}
    answer = client.post(url("kit_return", kit.code), sent)
    back = KitReturn.objects.get()
    assert (back.floss_outcome, back.floss_cut_count) == ("left", 2)
    assert "whole lengths were left: 2" in text(client, answer["Location"])


def test_a_number_of_lengths_needs_its_answer(client: Client, kit: Kit) -> None:
    """Three lengths of floss, but neither left nor sent on: asked back at that question, nothing kept."""
    kit.design_revision.chart = ChartFactory()
    kit.design_revision.save()
    sent = {"gown_count": "1", "are_needles_counted": "yes", "floss_cut_count": "3"}
    answer = client.post(url("kit_return", kit.code), sent)
    assert answer.status_code == 422
    assert "whether these lengths of floss were left or were sent on" in answer.content.decode()
    assert not KitReturn.objects.exists()


def test_missing_needles_are_shown_at_the_check(client: Client, kit: Kit) -> None:
    """When needles are missing, every page of these gowns says so."""
    client.post(url("kit_return", kit.code), {"gown_count": "1", "are_needles_counted": "no"})
    gown = Gown.objects.get()
    assert "needles not all counted" in text(client, url("first_checks"))
    assert "Not every needle" in text(client, url("gown_check", gown.code))


def test_a_gown_goes_through_by_pages(client: Client, gown: Gown) -> None:
    """Check, wash, check: the gown is then on the shelf page under its size."""
    client.post(url("gown_check", gown.code), checked(gown))
    assert gown.code in text(client, url("wash")).replace("-", "")
    client.post(url("wash"), {"gowns": [gown.pk], "is_dry": "on", "is_steamed": "on"})
    gown.refresh_from_db()
    client.post(url("gown_check", gown.code), checked(gown, "second", place="box 4"))
    gown.refresh_from_db()
    assert (gown.state, gown.place) == (Gown.State.PASSED, "box 4")
    assert "box 4" in text(client, url("shelf"))
    assert "passed; it goes onto the shelf" in text(client, url("gown_page", gown.code))


def test_the_next_gown_follows(client: Client, kit: Kit, inspector: Person, at: datetime) -> None:
    """After a check the next gown of the queue opens by itself; after the last the queue."""
    take_back(kit=kit, gown_count=2, are_needles_counted=True, by=inspector, at=at)
    first, second = Gown.objects.order_by("pk")
    answer = client.post(url("gown_check", first.code), checked(first))
    assert answer["Location"] == url("gown_check", second.code)
    answer = client.post(url("gown_check", second.code), checked(second))
    assert answer["Location"] == url("first_checks")


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"measures": ""}, "It cannot pass while this is not in order"),
        ({"is_free_of_metal": "no"}, "passes only when magnet"),
        ({"is_free_of_metal": ""}, "Please choose one"),
        ({"outcome": "mend"}, "in a few words why"),
        ({"outcome": "burn"}, "not one of the available choices"),
    ],
)
def test_a_check_is_asked_back(client: Client, gown: Gown, typed: dict[str, str], sentence: str) -> None:
    """What is not in order or not answered comes back with its sentence, the other ticks kept."""
    answer = client.post(url("gown_check", gown.code), checked(gown, **typed))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert sentence in page
    assert re.search(r'name="seams"[^>]* checked', page)
    assert not GownCheck.objects.exists()


def test_a_late_check_says_where_the_gown_is(client: Client, gown: Gown, check: Check) -> None:
    """Who checks a gown that a colleague has checked meanwhile gets 409 and reads where it is."""
    late = checked(gown)
    check(gown, outcome="mend")
    answer = client.post(url("gown_check", gown.code), late)
    assert answer.status_code == 409
    assert "being mended" in answer.content.decode()


def test_the_same_check_sent_twice_counts_once(client: Client, gown: Gown) -> None:
    """A doubled click notes one check and is answered the same."""
    sent = checked(gown, outcome="mend", reason="hem", request_key="one")
    answers = [client.post(url("gown_check", gown.code), sent) for _ in range(2)]
    assert [answer.status_code for answer in answers] == [302, 302]
    assert GownCheck.objects.count() == 1


def test_tolerances_stand_beside_the_first_check(client: Client, gown: Gown, inspector: Person) -> None:
    """Neck 5, chest 10, length 10 and sleeves 5 mm (common practice, no source), in the reader's unit."""
    page = text(client, url("gown_check", gown.code))
    assert page.count("± 5 mm") == page.count("± 10 mm") == 2
    inspector.length_unit = "in"
    inspector.save()
    page = text(client, url("gown_check", gown.code))
    assert page.count("± 0.2 in") == page.count("± 0.4 in") == 2


def test_mending_leads_back_to_the_first_check(client: Client, gown: Gown, check: Check) -> None:
    """One press says a gown is mended; looking alone changes nothing."""
    check(gown, outcome="mend")
    assert client.get(url("gown_mended", gown.code)).status_code == 405
    client.post(url("gown_mended", gown.code))
    assert f"/gown/{gown.code}/check/" in text(client, url("first_checks"))
    assert client.post(url("gown_mended", gown.code)).status_code == 409


@pytest.mark.parametrize(
    ("sent", "sentence"),
    [
        ({}, "Please tick the gowns"),
        ({"gowns": True}, "bone dry"),
        ({"gowns": True, "is_dry": "on"}, "bone dry"),
    ],
)
def test_a_wash_is_asked_back(
    client: Client, gown: Gown, check: Check, sent: dict[str, Any], sentence: str
) -> None:
    """No gown ticked, or not dry and steamed: a sentence, and nothing is washed."""
    check(gown)
    typed = sent | ({"gowns": [gown.pk]} if "gowns" in sent else {})
    answer = client.post(url("wash"), typed)
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    gown.refresh_from_db()
    assert gown.state == Gown.State.TO_WASH


def test_a_late_wash_says_where_the_gown_is(client: Client, washed: Gown) -> None:
    """Who ticks a gown that a colleague has washed already gets 409 and a sentence."""
    answer = client.post(url("wash"), {"gowns": [washed.pk], "is_dry": "on", "is_steamed": "on"})
    assert answer.status_code == 409
    assert "washed, second check to do" in answer.content.decode()


def test_empty_tables_say_what_to_do(client: Client) -> None:
    """Every empty queue leads on to where there may be work."""
    for name, sentence in (
        ("gown_list", "No gown has come back yet"),
        ("first_checks", "No gown waits for its first check"),
        ("second_checks", "No gown waits for its second check"),
        ("mending", "Nothing is to be mended"),
        ("wash", "Nothing is to be washed"),
        ("shelf", "The shelf is empty"),
    ):
        assert sentence in text(client, url(name)), name


def test_gowns_are_found_by_code_kit_and_box(client: Client, passed: Gown) -> None:
    """A code with its dash, the kit's code, a box and a state find a gown; a wrong word says so."""
    assert passed.kit is not None
    front, back = passed.code[:3], passed.code[3:]
    for query in (f"search={front}-{back}", f"search={passed.kit.code}", "search=box", "state=passed"):
        assert url("gown_page", passed.code) in text(client, f"{url('gown_list')}?{query}"), query
    assert "No gown looks like this" in text(client, url("gown_list") + "?search=nowhere")


def test_the_shelf_is_narrowed_by_size(client: Client, passed: Gown) -> None:
    """A count of the shelf leads to its gowns and to no others."""
    page = text(client, f"{url('shelf')}?size={passed.size_id}&purpose=worn")
    assert url("gown_page", passed.code) in page
    assert url("gown_page", passed.code) not in text(client, f"{url('shelf')}?purpose=memorial")


def test_memorial_gowns_are_spoken_of_gently(client: Client, volunteer: Person) -> None:
    """Lists and counts of gowns for babies who die say so, and never the bare word; no label is offered."""
    kit = KitFactory(state=Kit.State.CLAIMED, holder=volunteer, purpose="memorial")
    answer = client.post(url("kit_return", kit.code), {"gown_count": "1", "are_needles_counted": "yes"})
    gown = Gown.objects.get()
    pages = [
        answer["Location"],
        url("gown_page", gown.code),
        url("gown_check", gown.code),
        url("first_checks"),
    ]
    for address in pages:
        page = text(client, address)
        assert "emorial" not in page, address
        assert "/print/" not in page, address
    assert "never on the gown" in text(client, pages[0])
    assert "on the bag only" in text(client, pages[2])


def test_a_gown_without_kit_comes_in(client: Client) -> None:
    """Old stock is entered with design, size, purpose and, if known, its lot."""
    made, lot = DesignSizeFactory(), LotFactory(code="OLD7")
    sent = {
        "design_revision": made.revision.pk,
        "size": made.size.pk,
        "purpose": "worn",
        "outer_lot": "old-7",
        "place": "box 1",
    }
    answer = client.post(url("gown_add"), sent)
    gown = Gown.objects.get()
    assert answer["Location"] == url("gown_page", gown.code)
    assert (gown.outer_lot, gown.kit, gown.place) == (lot, None, "box 1")


def test_an_unknown_lot_is_asked_back(client: Client) -> None:
    """A lot code nobody knows comes back at its field and nothing is saved."""
    made = DesignSizeFactory()
    sent = {"design_revision": made.revision.pk, "size": made.size.pk, "purpose": "worn", "outer_lot": "NIX"}
    answer = client.post(url("gown_add"), sent)
    assert "No lot bears the code NIX" in answer.content.decode()
    assert not Gown.objects.exists()


def test_a_gown_is_put_into_another_box(client: Client, gown: Gown) -> None:
    """Where a gown lies is changed on its own page."""
    client.post(url("gown_place", gown.code), {"place": "box 9"})
    assert "box 9" in text(client, url("gown_page", gown.code))


@pytest.mark.parametrize("name", ["gown_list", "first_checks", "wash", "shelf"])
def test_lists_take_as_many_queries_for_many_gowns(
    name: str,
    client: Client,
    gown: Gown,
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    """A list of twenty gowns in every state takes at most fifteen queries."""
    for number in range(20):
        for state in Gown.State:
            Gown.objects.create(
                code=f"G{number}{state.name[:6]}",
                state=state,
                kit=gown.kit,
                design_revision=gown.design_revision,
                size=gown.size,
                purpose="worn",
                received_at=gown.received_at,
                passed_at=gown.received_at,
            )
    with django_assert_max_num_queries(15):
        assert client.get(url(name)).status_code == 200


def test_what_to_mend_stands_in_the_list(client: Client, gown: Gown, check: Check) -> None:
    """Who mends reads why without opening each gown's page."""
    check(gown, outcome="mend", reason="left sleeve is open")
    assert "left sleeve is open" in text(client, url("mending"))


@pytest.mark.parametrize(
    "query", ["size=" + "9" * 30, "size=x", "purpose=x", "state=x", "search=" + "x" * 500, "page=-1"]
)
def test_lists_stand_any_address(client: Client, passed: Gown, query: str) -> None:
    """A filter or page nobody offered shows the list all the same."""
    for name in ("shelf", "gown_list", "first_checks"):
        assert client.get(f"{url(name)}?{query}").status_code == 200


@pytest.mark.parametrize("chosen", ["9" * 30, "x", "-1"])
def test_a_wash_of_no_gown_is_asked_back(client: Client, chosen: str) -> None:
    """What is no gown cannot be washed, and an id too large is not found."""
    sent = {"gowns": [chosen], "is_dry": "on", "is_steamed": "on"}
    assert client.post(url("wash"), sent).status_code == 422
    assert client.get(url("return_page", 10**30)).status_code == 404
