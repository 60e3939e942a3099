"""Every address of the site, with values from the demo's rows to put into it."""

from collections.abc import Callable, Iterator
from functools import cache

from django.db import connection
from django.db.models import Model
from django.utils import timezone

from gowngroup.batches.models import Batch, Call, Claim, Kit, KitReturn, Lay, Plan
from gowngroup.batches.planner.why import TOPICS
from gowngroup.catalog.models import Chart, Design, DesignSize, PleaterProfile
from gowngroup.catalog.stitch_cards import TITLES
from gowngroup.deliveries.models import DropOff
from gowngroup.gowns.models import Gown
from gowngroup.home.management.commands.url_roles import Address, addresses
from gowngroup.people.models import JoinRequest, Person, Role
from gowngroup.people.queries import people_with
from gowngroup.planning.figures import FIGURES
from gowngroup.printing.actions import start_print
from gowngroup.printing.label_sheets import LABEL_SHEETS
from gowngroup.printing.tasks import print_sheets
from gowngroup.records.models import Job
from gowngroup.stock.models import Donor, Lot, Material
from gowngroup.wards.models import Hospital, Ward, WardRequest

Values = dict[str, object]
MOST_OBJECTS = 12
# Things without a state differ in what they say, which SQLite has answered, and hardly in what is asked of the database.
MOST_ALIKE = MOST_OBJECTS if connection.vendor == "sqlite" else 4
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
    "batches:kit_for": Person,
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


def reading_addresses() -> list[Address]:
    return [address for address in addresses() if "GET" in (address.methods() or ())]


LISTS = [address.name for address in reading_addresses() if not address.values]
DETAILS = [address.name for address in reading_addresses() if address.values]


@cache
def address_of(name: str) -> Address:
    return next(address for address in addresses() if address.name == name)


def member(role: str) -> Person:
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
    by = member(Role.COORDINATOR)
    (kit,) = Kit.objects.order_by("pk")[:1]
    print_sheets.call(start_print(batch=kit.batch, kits=[kit], by=by, at=timezone.now()).pk)
    yield {"pk": Job.objects.get(kind="print_sheets").pk}


def _kept_sheet() -> Iterator[Values]:
    """The sheet that such a print keeps."""
    list(_print())
    yield {"code": Kit.objects.order_by("pk")[0].code, "version": 1}


YEARS = ("year", "year_report", "year_report_pdf", "hours_letters", "hours_letters_pdf", "acknowledgments", "acknowledgments_pdf")  # fmt: skip

STITCH_CARDS = ("catalog:stitch_card", "printing:stitch_card", "printing:stitch_card_pdf")

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
    "batches:kit_chart_row": lambda: (
        {"code": kit.code, "number": 1} for kit in Kit.objects.exclude(state="planned")[:MOST_OBJECTS]
    ),
    **dict.fromkeys(STITCH_CARDS, lambda: ({"key": key} for key in TITLES)),
    "people:sign_in_link": lambda: iter([{"token": "never-given"}]),
    "exchange:calendar_feed": lambda: iter([{"secret": "never-given"}]),
    "batches:letters_stop": lambda: iter([{"secret": "never-given"}]),
}


def values_of(name: str) -> Iterator[Values]:
    """What can stand in an address, taken from the demo's rows."""
    if name in WORDS:
        yield from WORDS[name]()
    elif "size_pk" in address_of(name).values:
        for row in DesignSize.objects.select_related("revision"):
            yield {"pk": row.revision.design_id, "size_pk": row.size_id}
    else:
        yield from _rows_values(name)


def _rows_values(name: str) -> Iterator[Values]:
    model = ROWS[max((start for start in ROWS if name.startswith(start)), key=len)]
    key = next(iter(address_of(name).values))
    for row in _one_of_each_state(model):
        yield {key: getattr(row, key)}


def _one_of_each_state(model: type[Model]) -> list[Model]:
    """The first row of each state a model's rows are in, else the first rows."""
    rows = list(model._default_manager.order_by("pk"))
    by_state = {getattr(row, "state", row.pk): row for row in reversed(rows)}
    return list(by_state.values())[-(MOST_OBJECTS if hasattr(model, "state") else MOST_ALIKE) :]
