"""The kinds of labels: what may get one, who may print it, and what is asked on its page."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from gowngroup.batches.models import Kit
from gowngroup.gowns.models import Gown
from gowngroup.gowns.words import purpose_words
from gowngroup.people.models import Role
from gowngroup.printing import label_queries, words
from gowngroup.printing.label_queries import Box
from gowngroup.printing.planner import label_words
from gowngroup.printing.planner.label_words import LabelWords
from gowngroup.records.codes import spaced
from gowngroup.stock.models import Lot


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One thing that may get a label, as its page offers it."""

    key: str
    code: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelKind:
    """One kind of label with its reads, its words, and what is wrong with a row that gets none."""

    key: str
    name: str | Promise
    lead: str | Promise
    legend: str | Promise
    empty: str | Promise
    search_label: str | Promise
    codes_label: str | Promise
    roles: tuple[str, ...]
    offered: Callable[[str, int | None], QuerySet[Any] | list[Any]]
    by_key: Callable[[Sequence[str]], Mapping[str, Any]]
    choice: Callable[[Any], Choice]
    fault: Callable[[Any], str]
    labels: Callable[[Sequence[Any], str, int], list[LabelWords]]
    has_tape: bool = False
    has_bags: bool = False


def _gown_choice(gown: Gown) -> Choice:
    size = words.size_as_length(gown.size.body_length_um)
    text = f"{gown.design_revision.design}, {size}"
    return Choice(
        key=gown.code, code=spaced(gown.code), text=f"{text} · {gown.place}" if gown.place else text
    )


def _bag_choice(gown: Gown) -> Choice:
    plain = _gown_choice(gown)
    return Choice(key=plain.key, code=plain.code, text=f"{plain.text}, {purpose_words(gown.purpose)}")


def _kit_choice(kit: Kit) -> Choice:
    size = words.size_as_length(kit.size.body_length_um)
    text = f"{kit.design_revision.design}, {size}, {words.gowns_in_words(kit.gown_count)}, {kit.get_state_display()}"
    return Choice(key=kit.code, code=spaced(kit.code), text=text)


def _lot_choice(lot: Lot) -> Choice:
    text = f"{lot.material} ({lot.material.get_kind_display()})"
    return Choice(key=lot.code, code=spaced(lot.code), text=f"{text} · {lot.place}" if lot.place else text)


def _box_choice(box: Box) -> Choice:
    name = _("Box %(number)d of %(count)d") % {"number": box.number, "count": box.box_count}
    text = f"{box.drop_off.ward}, {words.gowns_in_words(len(box.gowns))}"
    return Choice(key=box.key, code=name, text=text)


def _gown_fault(gown: Gown) -> str:
    named = {"code": gown.code, "state": gown.get_state_display()}
    if gown.is_memorial():
        return _("%(code)s carries no label: the label goes on its outer bag.") % named
    if gown.state not in label_queries.AT_HAND:
        return _("%(code)s gets no label: it is %(state)s.") % named
    return ""


def _bag_fault(gown: Gown) -> str:
    if gown.state in label_queries.BAGGED:
        return ""
    named = {"code": gown.code, "state": gown.get_state_display()}
    return _("%(code)s is not ready for its bag: it is %(state)s.") % named


def _kit_fault(kit: Kit) -> str:
    if kit.state not in label_queries.KITS_GONE:
        return ""
    return _("%(code)s gets no label: it is %(state)s.") % {
        "code": kit.code,
        "state": kit.get_state_display(),
    }


def _no_fault(_row: object) -> str:
    return ""


KINDS = (
    LabelKind(
        key="gown",
        name=gettext_lazy("Gown labels"),
        lead=gettext_lazy(
            "Each gown to wear carries a label with its size as a length, how to wash it, and its code."
        ),
        legend=gettext_lazy("Which gowns get a label?"),
        empty=gettext_lazy(
            "No gown is waiting for a label. Gowns appear here when they come back from a kit."
        ),
        search_label=gettext_lazy("Code, kit, box or design"),
        codes_label=gettext_lazy("Codes of gowns, typed or scanned"),
        roles=(Role.PACKER, Role.INSPECTOR),
        offered=label_queries.gowns_to_label,
        by_key=label_queries.gowns_by_code,
        choice=_gown_choice,
        fault=_gown_fault,
        labels=lambda rows, line, _most: [label_words.gown_words(row, group_line=line) for row in rows],
        has_tape=True,
    ),
    LabelKind(
        key="bag",
        name=gettext_lazy("Bag labels"),
        lead=gettext_lazy(
            "Each bag holds gowns of one size and says how many, with the caution about plastic bags. A gown for a baby who died carries no label of its own: its bag does."
        ),
        legend=gettext_lazy("Which gowns go into bags?"),
        empty=gettext_lazy(
            "No gown is ready for its bag. Gowns appear here when they pass the second check."
        ),
        search_label=gettext_lazy("Code, kit, box or design"),
        codes_label=gettext_lazy("Codes of gowns, typed or scanned"),
        roles=(Role.PACKER, Role.INSPECTOR),
        offered=label_queries.gowns_to_bag,
        by_key=label_queries.gowns_by_code,
        choice=_bag_choice,
        fault=_bag_fault,
        labels=lambda rows, _line, most: [
            label_words.bag_words(bag) for bag in label_words.bags_of(rows, most=most)
        ],
        has_bags=True,
    ),
    LabelKind(
        key="box",
        name=gettext_lazy("Box labels"),
        lead=gettext_lazy(
            "Each box of a drop-off says where it goes, which of how many it is, and what is in it."
        ),
        legend=gettext_lazy("Which boxes get a label?"),
        empty=gettext_lazy("No box is being packed. Boxes appear here when gowns are packed for a drop-off."),
        search_label=gettext_lazy("Ward or hospital"),
        codes_label="",
        roles=(Role.PACKER, Role.INSPECTOR),
        offered=label_queries.boxes_to_label,
        by_key=label_queries.boxes_by_key,
        choice=_box_choice,
        fault=_no_fault,
        labels=lambda rows, _line, _most: [label_words.box_words(row) for row in rows],
    ),
    LabelKind(
        key="kit",
        name=gettext_lazy("Kit labels"),
        lead=gettext_lazy(
            "Each kit carries a label with its code, its size and how many gowns are to be made."
        ),
        legend=gettext_lazy("Which kits get a label?"),
        empty=gettext_lazy("There is no kit to label. Kits appear here when a plan is chosen."),
        search_label=gettext_lazy("Code or design"),
        codes_label=gettext_lazy("Codes of kits, typed or scanned"),
        roles=(Role.PACKER,),
        offered=label_queries.kits_to_label,
        by_key=label_queries.kits_by_code,
        choice=_kit_choice,
        fault=_kit_fault,
        labels=lambda rows, _line, _most: [label_words.kit_words(row) for row in rows],
    ),
    LabelKind(
        key="shelf",
        name=gettext_lazy("Shelf labels"),
        lead=gettext_lazy(
            "Each lot on the shelf carries a label with its code, what it is, and where it lies."
        ),
        legend=gettext_lazy("Which lots get a label?"),
        empty=gettext_lazy("The shelf is empty. Lots appear here when something is booked in."),
        search_label=gettext_lazy("Code, material or place"),
        codes_label=gettext_lazy("Codes of lots, typed or scanned"),
        roles=(Role.PACKER,),
        offered=label_queries.lots_to_label,
        by_key=label_queries.lots_by_code,
        choice=_lot_choice,
        fault=_no_fault,
        labels=lambda rows, _line, _most: [label_words.lot_words(row) for row in rows],
    ),
)


def label_kind(key: str) -> LabelKind:
    """The kind of this key; labels of gowns where there is none."""
    return next((kind for kind in KINDS if kind.key == key), KINDS[0])
