"""Lace, ribbon and notions of a design."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from django.utils.translation import gettext as _

from gowngroup.catalog import limits
from gowngroup.catalog.actions.revisions import editable_revision
from gowngroup.catalog.models import (
    SET_IN_KINDS,
    Design,
    DesignRevision,
    MaterialKind,
    Need,
    NeedLength,
)
from gowngroup.catalog.planner.closures import neck_sentences
from gowngroup.people.models import Person
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Refusal

# Edges of each draft that may carry a trim.
DRAFT_EDGES: Mapping[str, tuple[str, ...]] = {
    Design.Kind.ROUND_NECK.value: ("hem", "sleeve_hem", "neck"),
    Design.Kind.YOKE.value: ("hem", "sleeve_hem", "neck", "yoke_seam"),
    Design.Kind.WRAP.value: ("round", "neck", "hem"),
}


class ImpossibleNeed(Refusal):
    """A trim that has no length, goes nowhere or could harm a baby."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NeedEntry:
    """A trim or notion as typed; `lengths_um` by the size's row number where no draft works them out."""

    kind: str
    place: str
    edge: str = ""
    gather_percent: int = 100
    end_allowance_um: int = 10_000
    piece_count: int = 1
    width_um: int | None = None
    is_threaded: bool = False
    lengths_um: Mapping[int, int] = field(default_factory=dict)


@action
def set_needs(
    *,
    revision: DesignRevision,
    needs: Sequence[NeedEntry],
    by: Person,
    at: datetime,
    request_key: str = "",
) -> DesignRevision:
    """Set all trims and notions of a design; a used revision is copied to the next number first."""
    kept = editable_revision(revision)
    kept.needs.all().delete()
    places: set[tuple[str, str]] = set()
    for entry in needs:
        _refuse_impossible(entry, kept.design)
        _refuse_bad_set_in(entry)
        keys = set(_keys(entry))
        if keys & places:
            raise ImpossibleNeed(
                _("“%(place)s” stands here twice; raise its number instead.") % {"place": entry.place}
            )
        places |= keys
        _put(entry, kept)
    record(by=by, at=at, did="set_needs", subject=kept)
    return kept


def _keys(entry: NeedEntry) -> Iterator[tuple[str, str]]:
    """Kind and place of a need, and of the ribbon drawn through it."""
    place = entry.place.strip().lower()
    yield entry.kind, place
    if entry.is_threaded:
        yield MaterialKind.RIBBON, place


def _put(entry: NeedEntry, revision: DesignRevision) -> None:
    need = Need.objects.create(
        revision=revision,
        kind=entry.kind,
        place=entry.place.strip(),
        edge=entry.edge,
        gather_percent=entry.gather_percent,
        end_allowance_um=entry.end_allowance_um,
        piece_count=entry.piece_count,
        width_um=entry.width_um,
        is_threaded=entry.is_threaded,
    )
    if sentences := neck_sentences([need]):
        raise ImpossibleNeed(sentences[0], field="edge")
    NeedLength.objects.bulk_create(
        NeedLength(need=need, size_id=size_id, length_um=length_um)
        for size_id, length_um in entry.lengths_um.items()
    )


def _refuse_bad_set_in(entry: NeedEntry) -> None:
    if entry.kind in SET_IN_KINDS and entry.gather_percent != 100:
        raise ImpossibleNeed(
            _("“%(place)s” is set in between two edges, so it lies flat: its gathering is 100.")
            % {"place": entry.place},
            field="gather_percent",
        )
    if entry.is_threaded and entry.kind != MaterialKind.BEADING:
        raise ImpossibleNeed(
            _("Only beading has holes for a ribbon; “%(place)s” has none.") % {"place": entry.place},
            field="is_threaded",
        )
    if entry.width_um is not None and not limits.is_within(entry.width_um, limits.TRIM_WIDTH_UM):
        raise ImpossibleNeed(
            _("The width of “%(place)s” is not likely; please check it.") % {"place": entry.place},
            field="width_um",
        )


def _refuse_impossible(entry: NeedEntry, design: Design) -> None:
    if entry.piece_count < 1:
        raise ImpossibleNeed(_("How many of “%(place)s” are there?") % {"place": entry.place})
    if not limits.is_within(entry.gather_percent, limits.GATHER_PERCENT):
        raise ImpossibleNeed(
            _("Gathering of “%(place)s” lies between 100 (flat) and 300 hundredths.")
            % {"place": entry.place},
            field="gather_percent",
        )
    if any(not limits.is_within(length, limits.NEED_LENGTH_UM) for length in entry.lengths_um.values()):
        raise ImpossibleNeed(_("A length of “%(place)s” is not likely.") % {"place": entry.place})
    if entry.edge and entry.edge not in DRAFT_EDGES.get(design.kind, ()):
        raise ImpossibleNeed(
            _("This design has no such edge to follow; type the lengths of “%(place)s” instead.")
            % {"place": entry.place},
            field="edge",
        )
    if not entry.edge and not entry.lengths_um and entry.kind != MaterialKind.NOTION:
        raise ImpossibleNeed(
            _("“%(place)s” needs an edge to follow or a length for each size.") % {"place": entry.place}
        )
