"""The counts of waiting work in words, each with the page where it is done and for whose roles."""

from collections.abc import Collection
from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext, ngettext_lazy

from gowngroup.home.navigation import address
from gowngroup.home.queries import Work
from gowngroup.people.models import Role


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """One kind of work: the count it stands for, its words, the button's words, the page, the roles."""

    counted: str
    words: Promise
    verb: str | Promise
    page: str
    roles: frozenset[str]
    query: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """Work that waits, as the first page shows it."""

    words: str
    verb: str | Promise
    url: str


COORDINATOR = frozenset({Role.COORDINATOR.value})
PACKER = COORDINATOR | {Role.PACKER.value}
INSPECTOR = COORDINATOR | {Role.INSPECTOR.value}

KINDS = (
    Kind(
        counted="urgent_requests",
        words=ngettext_lazy("%(count)d ward needs gowns today", "%(count)d wards need gowns today", "count"),
        verb=_("Answer"),
        page="wards:request_list",
        roles=COORDINATOR,
    ),
    Kind(
        counted="gowns_to_check_first",
        words=ngettext_lazy(
            "%(count)d gown for its first check", "%(count)d gowns for their first check", "count"
        ),
        verb=_("Check"),
        page="gowns:first_checks",
        roles=INSPECTOR,
    ),
    Kind(
        counted="gowns_to_check_second",
        words=ngettext_lazy(
            "%(count)d gown for its second check", "%(count)d gowns for their second check", "count"
        ),
        verb=_("Check"),
        page="gowns:second_checks",
        roles=INSPECTOR,
    ),
    Kind(
        counted="gowns_to_wash",
        words=ngettext_lazy("%(count)d gown to wash", "%(count)d gowns to wash", "count"),
        verb=_("Wash"),
        page="gowns:wash",
        roles=INSPECTOR,
    ),
    Kind(
        counted="gowns_mending",
        words=ngettext_lazy("%(count)d gown to mend", "%(count)d gowns to mend", "count"),
        verb=_("Mend"),
        page="gowns:mending",
        roles=INSPECTOR,
    ),
    Kind(
        counted="lays_to_cut",
        words=ngettext_lazy("%(count)d lay to cut", "%(count)d lays to cut", "count"),
        verb=_("Cut"),
        page="batches:lay_list",
        roles=PACKER,
    ),
    Kind(
        counted="kits_to_pack",
        words=ngettext_lazy("%(count)d kit to pack", "%(count)d kits to pack", "count"),
        verb=_("Pack"),
        page="batches:kits_to_pack",
        roles=PACKER,
    ),
    Kind(
        counted="kits_to_offer",
        words=ngettext_lazy(
            "%(count)d kit packed, not yet offered", "%(count)d kits packed, not yet offered", "count"
        ),
        verb=_("Offer"),
        page="batches:kits_to_pack",
        roles=PACKER,
    ),
    Kind(
        counted="drop_offs_to_pack",
        words=ngettext_lazy("%(count)d drop-off being packed", "%(count)d drop-offs being packed", "count"),
        verb=_("Pack"),
        page="deliveries:drop_off_list",
        roles=INSPECTOR,
    ),
    Kind(
        counted="kits_late",
        words=ngettext_lazy("%(count)d kit past its day", "%(count)d kits past their day", "count"),
        verb=_("Ask kindly"),
        page="batches:kits_overdue",
        roles=COORDINATOR,
    ),
    Kind(
        counted="open_requests",
        words=ngettext_lazy("%(count)d ward request open", "%(count)d ward requests open", "count"),
        verb=_("Look"),
        page="wards:request_list",
        roles=COORDINATOR,
    ),
    Kind(
        counted="people_asking",
        words=ngettext_lazy(
            "%(count)d person would like to join", "%(count)d people would like to join", "count"
        ),
        verb=_("Answer"),
        page="people:join_list",
        roles=COORDINATOR,
    ),
)


def tasks_for(roles: Collection[str], waiting: Work) -> list[Task]:
    """The work that waits for somebody with these roles, the most pressing first."""
    found = [(kind, getattr(waiting, kind.counted)) for kind in KINDS if kind.roles & set(roles)]
    return [
        Task(words=str(kind.words % {"count": count}), verb=kind.verb, url=address(kind.page) + kind.query)
        for kind, count in found
        if count
    ]


def tasks_of_calls(count: int) -> list[Task]:
    """The calls of those at home that wait for an answer, if there are any."""
    words = ngettext("%(count)d person asks for something", "%(count)d people ask for something", count)
    told = Task(words=words % {"count": count}, verb=_("Answer"), url=address("batches:call_list"))
    return [told] if count else []
