"""The life of a revision: open to change, used, copied."""

from collections.abc import Iterable
from datetime import datetime
from typing import TypeVar

from django.utils.translation import gettext as _

from gowngroup.catalog.models import (
    DesignRevision,
    DesignSize,
    Need,
    NeedLength,
    OutlinePiece,
    RectanglePiece,
)
from gowngroup.people.models import Person
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Taken

P = TypeVar("P", RectanglePiece, OutlinePiece)


class DesignMovedOn(Taken):
    """A newer revision of the design exists."""


@action
def mark_revision_used(*, revision: DesignRevision, by: Person, at: datetime) -> DesignRevision:
    """Freeze a revision because a plan or a gown now rests on it; harmless when it is frozen already."""
    if DesignRevision.objects.filter(pk=revision.pk, used_at__isnull=True).update(used_at=at):
        record(by=by, at=at, did="mark_revision_used", subject=revision)
    revision.refresh_from_db()
    return revision


def editable_revision(revision: DesignRevision) -> DesignRevision:
    """The revision itself, locked, or where it is frozen a copy with the next number."""
    rows = DesignRevision.objects.select_for_update().filter(design=revision.design_id)
    newest = rows.order_by("-number")[0]
    if newest.pk != revision.pk:
        raise DesignMovedOn(
            _("This design has been changed in the meantime; please open it again and start from there.")
        )
    return _copy(newest) if newest.is_frozen() else newest


def _copy(old: DesignRevision) -> DesignRevision:
    new = DesignRevision.objects.get(pk=old.pk)
    new.pk, new.number, new.used_at = None, old.number + 1, None
    new._state.adding = True
    new.save()
    for old_size in old.sizes.prefetch_related("pieces", "outlines"):
        _copy_size(old_size, new)
    for old_need in old.needs.prefetch_related("lengths"):
        _copy_need(old_need, new)
    return new


def _copy_size(old: DesignSize, revision: DesignRevision) -> None:
    new = DesignSize.objects.create(
        revision=revision,
        size_id=old.size_id,
        pleat_count=old.pleat_count,
        smocked_width_um=old.smocked_width_um,
        overrides=old.overrides,
    )
    RectanglePiece.objects.bulk_create(_moved_to(new, old.pieces.all()))
    OutlinePiece.objects.bulk_create(_moved_to(new, old.outlines.all()))


def _moved_to(design_size: DesignSize, pieces: Iterable[P]) -> list[P]:
    """New rows like these, of another size of a design."""
    moved = list(pieces)
    for piece in moved:
        piece.pk, piece.design_size = None, design_size
    return moved


def _copy_need(old: Need, revision: DesignRevision) -> None:
    lengths = list(old.lengths.all())
    old.pk, old.revision = None, revision
    old._state.adding = True
    old.save()
    for length in lengths:
        length.pk, length.need = None, old
    NeedLength.objects.bulk_create(lengths)
