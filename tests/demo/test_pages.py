"""Every page of the site opens on the demo, for whomever it is."""

from collections.abc import Callable, Iterator
from functools import cache

import pytest
from django.db.models import Model
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from gowngroup.batches.models import Batch, Call, Claim, Kit, KitReturn, Lay, Plan
from gowngroup.batches.planner.why import TOPICS
from gowngroup.catalog.models import Chart, Design, DesignSize, PleaterProfile
from gowngroup.deliveries.models import DropOff
from gowngroup.gowns.models import Gown
from gowngroup.home.management.commands.url_roles import Address, addresses
from gowngroup.people.models import JoinRequest, Person, Role
from gowngroup.people.queries import people_with, roles_of
from gowngroup.planning.figures import FIGURES
from gowngroup.printing.actions import start_print
from gowngroup.printing.label_sheets import LABEL_SHEETS
from gowngroup.printing.tasks import print_sheets
from gowngroup.records.models import Job
from gowngroup.stock.models import Donor, Lot, Material
from gowngroup.wards.models import Hospital, Ward, WardRequest
from tests.demo.drawings import wrong_numbers

pytestmark = pytest.mark.usefixtures("demo")
SignIn = Callable[[Person], Client]
Values = dict[str, object]
MOST_OBJECTS = 12
IN_SPANISH = {"accept-language": "es"}
ONE_TIME_LINKS = ("people:sign_in_link", "batches:letters_stop", "exchange:calendar_feed")

# Which rows stand behind the number or code in an address: by the longest beginning of the page's name.
ROWS: dict[str, type[Model]] = {
    "people:person": Person,
    "people:join": JoinRequest,
    "stock:lot": Lot,
    "stock:lot_receive": Material,
    "stock:material": Material,
    "stock:donor": Donor,
    "wards:": Ward,
    "wards:request": WardRequest,
    "wards:request_new": Ward,
    "wards:hospital": Hospital,
    "batches:batch": Batch,
    "batches:plan": Plan,
    "batches:plan_make": Batch,
    "batches:plan_progress": Batch,
    "batches:kit": Kit,
    "batches:kit_hand_out_undo": Claim,
    "batches:call": Call,
    "batches:lay": Lay,
    "batches:shopping_list": Plan,
    "gowns:gown": Gown,
    "gowns:return": KitReturn,
    "gowns:kit": Kit,
    "deliveries:": DropOff,
    "deliveries:urgent": WardRequest,
    "catalog:design": Design,
    "catalog:chart": Chart,
    "catalog:size": DesignSize,
    "catalog:pleater": PleaterProfile,
    "printing:kit": Kit,
    "printing:print": Batch,
    "printing:cutting": Lay,
    "printing:receipt": DropOff,
    "printing:drop_off": DropOff,
    "printing:acknowledgment": Donor,
}


def _reading() -> list[Address]:
    return [address for address in addresses() if "GET" in (address.methods() or ())]


LISTS = [address.name for address in _reading() if not address.values]
DETAILS = [address.name for address in _reading() if address.values]


@cache
def _address(name: str) -> Address:
    return next(address for address in addresses() if address.name == name)


def _member(role: str) -> Person:
    """Somebody of the cast with this role and as few others as may be."""
    return min(people_with(role), key=lambda person: (person.role_rows.count(), person.pk))


def _whys() -> Iterator[Values]:
    """Each part of a plan that is explained, for a plan of the demo."""
    yield from ({"pk": plan.pk, "what": topic} for plan in Plan.objects.all()[:2] for topic in TOPICS)


def _letters() -> Iterator[Values]:
    """Somebody who sewed in the demo's months, and somebody who did not."""
    for person in people_with("volunteer")[:2]:
        for year in (2026, 2012):
            yield {"pk": person.pk, "year": year}


def _print() -> Iterator[Values]:
    """A print of one kit's sheet, which the demo has not made."""
    by = _member(Role.COORDINATOR)
    (kit,) = Kit.objects.order_by("pk")[:1]
    print_sheets.call(start_print(batch=kit.batch, kits=[kit], by=by, at=timezone.now()).pk)
    yield {"pk": Job.objects.get(kind="print_sheets").pk}


def _kept_sheet() -> Iterator[Values]:
    """The sheet that such a print keeps."""
    list(_print())
    yield {"code": Kit.objects.order_by("pk")[0].code, "version": 1}


YEARS = ("year", "year_report", "year_report_pdf", "hours_letters", "hours_letters_pdf", "acknowledgments", "acknowledgments_pdf")  # fmt: skip

# What stands in an address besides rows.
WORDS: dict[str, Callable[[], Iterator[Values]]] = {
    "people:figure_page": lambda: ({"key": figure.key} for figure in FIGURES[:MOST_OBJECTS]),
    "printing:label_css": lambda: ({"key": sheet.key} for sheet in LABEL_SHEETS),
    "batches:newest_why": lambda: ({"what": topic} for topic in TOPICS),
    "batches:plan_why": _whys,
    "printing:print_run_pdf": _print,
    "printing:kit_sheet_kept_pdf": _kept_sheet,
    "printing:hours_letter": _letters,
    "printing:hours_letter_pdf": _letters,
    **{f"printing:{name}": lambda: iter([{"year": 2026}, {"year": 2025}]) for name in YEARS},
    "people:sign_in_link": lambda: iter([{"token": "never-given"}]),
    "exchange:calendar_feed": lambda: iter([{"secret": "never-given"}]),
    "batches:letters_stop": lambda: iter([{"secret": "never-given"}]),
}


def _values(name: str) -> Iterator[Values]:
    """What can stand in an address, taken from the demo's rows."""
    if name in WORDS:
        yield from WORDS[name]()
    elif "size_pk" in _address(name).values:
        for row in DesignSize.objects.select_related("revision"):
            yield {"pk": row.revision.design_id, "size_pk": row.size_id}
    else:
        yield from _rows_values(name)


def _rows_values(name: str) -> Iterator[Values]:
    model = ROWS[max((start for start in ROWS if name.startswith(start)), key=len)]
    key = next(iter(_address(name).values))
    for row in _one_of_each_state(model):
        yield {key: getattr(row, key)}


def _one_of_each_state(model: type[Model]) -> list[Model]:
    """The first row of each state a model's rows are in, else the first rows."""
    rows = list(model._default_manager.order_by("pk"))
    by_state = {getattr(row, "state", row.pk): row for row in reversed(rows)}
    return list(by_state.values())[-MOST_OBJECTS:]


@pytest.mark.parametrize("role", Role.values)
def test_every_list_opens_for_those_it_is_for(role: str, sign_in: SignIn) -> None:
    """Pages without a number in their address answer, and only those with the role see them."""
    person = _member(role)
    client = sign_in(person)
    for name in LISTS:
        is_allowed = roles_of(person) & {*(_address(name).roles() or [])}
        status = client.get(reverse(name)).status_code
        # 422: a page that prints what was chosen, and nothing has been.
        assert status in ((200, 302, 422) if is_allowed else (403,)), f"{name} answered {status}"


@pytest.mark.parametrize("role", Role.values)
def test_the_first_page_shows_what_needs_her_today(role: str, sign_in: SignIn) -> None:
    """Everybody's first page has something to do on it."""
    page = sign_in(_member(role)).get("/").content.decode()
    assert "main" in page
    shown = {
        "coordinator": "past their day",
        "packer": "to pack",
        "inspector": "first check",
        "driver": "Newborn Intensive Care",
        "volunteer": "kits",
    }
    assert shown[role] in page


@pytest.mark.parametrize(
    "name", [name for name in DETAILS if not name.endswith("_pdf") and name not in ONE_TIME_LINKS]
)
def test_pages_of_single_things_open(name: str, sign_in: SignIn) -> None:
    """The coordinator opens every page of a thing in each of its states, in Spanish; what is past answers kindly."""
    client = sign_in(_member(Role.COORDINATOR))
    answers = [client.get(reverse(name, kwargs=values), headers=IN_SPANISH) for values in _values(name)]
    statuses = {answer.status_code for answer in answers}
    assert not {wrong for answer in answers for wrong in wrong_numbers(answer.content.decode())}
    assert statuses & {200, 302}, f"{name} opened for none: {statuses}"
    assert statuses <= {200, 302, 404, 409}, f"{name} answered {statuses}"


@pytest.mark.parametrize(
    "drawing", ['x="1,5"', 'viewBox="0 0 1,5 2"', 'd="M1,5 2"', 'points="1,5,2 3"', 'width="12,5mm"']
)
def test_a_comma_in_a_drawing_is_seen(drawing: str) -> None:
    """The look above finds a number written as one reads it, where a browser would draw something else."""
    assert wrong_numbers(f"<svg {drawing}></svg>")
    assert not wrong_numbers(f"<svg {drawing.replace(',', '.', 1)}></svg>")


@pytest.mark.parametrize("role", [None, *Role.values])
def test_nobody_breaks_a_page(role: str | None, sign_in: SignIn) -> None:
    """Whoever opens whichever page gets it, a sign-in page, or a plain no."""
    client = sign_in(_member(role)) if role else Client()
    for name in DETAILS:
        if not name.endswith("_pdf"):
            status = client.get(reverse(name, kwargs=next(_values(name)))).status_code
            assert status in (200, 302, 403, 404, 409), f"{name} answered {status}"


@pytest.mark.parametrize("name", [name for name in DETAILS if name.endswith("_pdf")])
def test_sheets_of_paper_open(name: str, sign_in: SignIn) -> None:
    """A PDF is made for a thing that has one."""
    client = sign_in(_member(Role.COORDINATOR))
    answers = [client.get(reverse(name, kwargs=values)) for values in list(_values(name))[:2]]
    assert any(answer.headers["Content-Type"] == "application/pdf" for answer in answers)
