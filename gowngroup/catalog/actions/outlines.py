"""Pieces the group drew itself, by their corners."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from gowngroup.catalog import limits
from gowngroup.catalog.actions.designs import ImpossiblePiece
from gowngroup.catalog.actions.revisions import editable_revision
from gowngroup.catalog.models import DesignSize, OutlinePiece, RectanglePiece
from gowngroup.catalog.planner import outline_sentence, planner_settings
from gowngroup.catalog.planner.own_pieces import panel_sentences
from gowngroup.people.models import Person
from gowngroup.records.actions import action, record

Corner = tuple[int, int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlineEntry:
    """A piece as typed: its corners in micrometres, each across, down and the bow of the edge that follows."""

    name: str
    piece_count: int
    corners_um: tuple[Corner, ...]
    part: str = RectanglePiece.Part.OTHER
    allowance_um: int = 0
    grain_deg: int = 0
    is_pair: bool = False
    is_on_fold: bool = False
    may_turn: bool = True


@action
def set_outlines(
    *,
    design_size: DesignSize,
    outlines: Sequence[OutlineEntry],
    by: Person,
    at: datetime,
    request_key: str = "",
) -> DesignSize:
    """Set all pieces of a design in one size, as outlines of the group's own."""
    if not outlines:
        raise ImpossiblePiece(_("Please enter at least one piece."))
    kept = editable_revision(design_size.revision).sizes.get(size=design_size.size_id)
    rows = [OutlinePiece(design_size=kept, **asdict(entry)) for entry in outlines]
    _refuse_impossible(rows)
    kept.outlines.all().delete()
    OutlinePiece.objects.bulk_create(rows)
    if narrow := panel_sentences(kept, planner_settings()):
        raise ImpossiblePiece(narrow[0])
    record(by=by, at=at, did="set_outlines", subject=kept)
    return kept


def _refuse_impossible(rows: Sequence[OutlinePiece]) -> None:
    names = [row.name.strip().lower() for row in rows]
    for row in rows:
        if names.count(row.name.strip().lower()) > 1:
            raise ImpossiblePiece(
                _("“%(name)s” stands here twice: give each piece its own name, or raise its number.")
                % {"name": row.name}
            )
        if not 1 <= row.piece_count <= limits.MOST_PIECES:
            raise ImpossiblePiece(
                _("Of “%(name)s” between 1 and %(most)d are cut for one gown.")
                % {"most": limits.MOST_PIECES, "name": row.name}
            )
        if sentence := outline_sentence(row):
            raise ImpossiblePiece(sentence)
