"""The main navigation: which pages stand in it for whom."""

from collections.abc import Collection
from dataclasses import dataclass

from django.urls import NoReverseMatch, reverse
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from gowngroup.people.models import Role


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One entry of the navigation, as a page shows it."""

    url: str
    label: str | Promise
    is_current: bool


# The URL name, the words for it, and who besides the coordinator sees it.
ENTRIES: tuple[tuple[str, str | Promise, frozenset[str]], ...] = (
    ("home:home", _("Today"), frozenset({"packer", "inspector", "driver", "volunteer"})),
    ("batches:kits_waiting", _("Kits waiting"), frozenset({"volunteer"})),
    ("batches:my_kits", _("My kits"), frozenset({"volunteer"})),
    ("wards:request_list", _("Requests"), frozenset()),
    ("wards:ward_list", _("Wards"), frozenset()),
    ("batches:batch_list", _("Batches"), frozenset({"packer"})),
    ("batches:kit_list", _("Kits"), frozenset({"packer", "inspector"})),
    ("gowns:gown_list", _("Gowns"), frozenset({"inspector", "packer"})),
    ("deliveries:drop_off_list", _("Drop-offs"), frozenset({"driver", "inspector", "packer"})),
    ("stock:lot_list", _("Shelf"), frozenset({"packer"})),
    ("catalog:design_list", _("Designs"), frozenset()),
    ("printing:year_start", _("Year"), frozenset()),
    ("people:person_list", _("People"), frozenset()),
    ("people:group_settings", _("Group"), frozenset()),
)
VOLUNTEERS_OWN = frozenset({"batches:kits_waiting", "batches:my_kits"})


def navigation(roles: Collection[str], path: str) -> list[Entry]:
    """The entries somebody with these roles sees, the one whose pages `path` belongs to marked."""
    found = [
        (address(name), label)
        for name, label, allowed in ENTRIES
        if _is_seen(name, allowed, frozenset(roles))
    ]
    entries = [(url, label) for url, label in found if url]
    current = max((url for url, _label in entries if _covers(url, path)), key=len, default=None)
    return [Entry(url=url, label=label, is_current=url == current) for url, label in entries]


def _is_seen(name: str, allowed: frozenset[str], roles: frozenset[str]) -> bool:
    if allowed & roles:
        return True
    return Role.COORDINATOR in roles and name not in VOLUNTEERS_OWN


def _covers(url: str, path: str) -> bool:
    return path == url or (url != "/" and path.startswith(url))


def address(name: str) -> str:
    """The address of a page, or nothing where it does not exist."""
    try:
        return reverse(name)
    except NoReverseMatch:
        return ""
