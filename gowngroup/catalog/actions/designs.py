"""Designs and their revisions: a revision that was used stays as it is, and a change becomes the next one."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass, field
from datetime import datetime

from django.utils.translation import gettext as _

from gowngroup.catalog import limits
from gowngroup.catalog.actions.revisions import editable_revision
from gowngroup.catalog.models import Chart, Design, DesignRevision, DesignSize, RectanglePiece, Size
from gowngroup.catalog.planner import closure_sentences, planner_settings, size_band
from gowngroup.catalog.planner.own_pieces import panel_sentences
from gowngroup.people.models import Person
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Refusal, Taken


class DesignNameTaken(Taken):
    """Another design has this name."""


class UnsafeClosure(Refusal):
    """The closure could harm a baby or is too long for a size."""


class ImpossiblePiece(Refusal):
    """A piece cannot be cut from any usual cloth."""


class ImpossibleDesign(Refusal):
    """What was said about the design contradicts itself."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RevisionDetails:
    """What a revision says apart from its sizes, pieces and trims."""

    chart: Chart | None = None
    closure: str = DesignRevision.Closure.FLAT_FASTENING
    tie_length_um: int = 0
    difficulty: int = 1
    is_for_worn: bool = True
    is_for_memorial: bool = True
    cloth_mass_min_g_per_m2: int = 60
    cloth_mass_max_g_per_m2: int = 150
    order_of_work: tuple[str, ...] = ()
    stage_ends: tuple[int, ...] = ()
    companions: tuple[str, ...] = ()
    matched_parts: tuple[str, ...] = ()
    seam_class: str = DesignRevision.SeamClass.LOCKSTITCH
    trim_class: str = DesignRevision.TrimClass.LOCKSTITCH

    def as_fields(self) -> dict[str, object]:
        """The fields of a revision's row, lists as they are stored."""
        values = ((name, getattr(self, name)) for name in self.__dataclass_fields__)
        return {name: list(value) if isinstance(value, tuple) else value for name, value in values}


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeEntry:
    """A size a design is made in, with what is particular to it; lengths in `overrides` are in mm."""

    size: Size
    pleat_count: int | None = None
    smocked_width_um: int | None = None
    overrides: dict[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceEntry:
    """A piece typed in as a rectangle, seam allowance included."""

    name: str
    piece_count: int
    width_um: int
    length_um: int
    part: str = RectanglePiece.Part.OTHER
    may_turn: bool = True


@action
def add_design(
    *, name: str, kind: str, details: RevisionDetails, by: Person, at: datetime, request_key: str = ""
) -> DesignRevision:
    """Add a design with its first revision, still without sizes."""
    if Design.objects.filter(name__iexact=name.strip()).exists():
        raise DesignNameTaken(
            _("There is a design called “%(name)s” already.") % {"name": name}, field="name"
        )
    _refuse_contradictions(details)
    design = Design.objects.create(name=name.strip(), kind=kind)
    revision = DesignRevision.objects.create(design=design, number=1, **details.as_fields())
    record(by=by, at=at, did="add_design", subject=design)
    return revision


@action
def change_design(
    *, design: Design, name: str, is_active: bool, by: Person, at: datetime, request_key: str = ""
) -> Design:
    """Rename a design, put it by or take it up again."""
    kept = Design.objects.select_for_update().get(pk=design.pk)
    if Design.objects.filter(name__iexact=name.strip()).exclude(pk=kept.pk).exists():
        raise DesignNameTaken(
            _("There is a design called “%(name)s” already.") % {"name": name}, field="name"
        )
    changes = {"name": [kept.name, name.strip()], "is_active": [kept.is_active, is_active]}
    kept.name, kept.is_active = name.strip(), is_active
    kept.save(update_fields=["name", "is_active"])
    record(by=by, at=at, did="change_design", subject=kept, changes=changes)
    return kept


@action
def change_revision(
    *, revision: DesignRevision, details: RevisionDetails, by: Person, at: datetime, request_key: str = ""
) -> DesignRevision:
    """Change what a revision says; one that was used is copied to the next number first."""
    _refuse_contradictions(details)
    kept = editable_revision(revision)
    for name, value in details.as_fields().items():
        setattr(kept, name, value)
    kept.save()
    _refuse_unsafe_closure(kept)
    record(by=by, at=at, did="change_revision", subject=kept, changes={"from": [revision.pk, kept.pk]})
    return kept


@action
def set_design_sizes(
    *,
    revision: DesignRevision,
    entries: Sequence[SizeEntry],
    by: Person,
    at: datetime,
    request_key: str = "",
) -> DesignRevision:
    """Say in which sizes a design is made; pieces of sizes that stay are kept."""
    if not entries:
        raise ImpossibleDesign(_("Please choose at least one size."), field="sizes")
    kept = editable_revision(revision)
    kept.sizes.exclude(size__in=[entry.size for entry in entries]).delete()
    for entry in entries:
        DesignSize.objects.update_or_create(
            revision=kept,
            size=entry.size,
            defaults={
                "pleat_count": entry.pleat_count,
                "smocked_width_um": entry.smocked_width_um,
                "overrides": entry.overrides,
            },
        )
    _refuse_unsafe_closure(kept)
    record(
        by=by,
        at=at,
        did="set_design_sizes",
        subject=kept,
        changes={"sizes": [entry.size.pk for entry in entries]},
    )
    return kept


@action
def set_pieces(
    *,
    design_size: DesignSize,
    pieces: Sequence[PieceEntry],
    by: Person,
    at: datetime,
    request_key: str = "",
) -> DesignSize:
    """Set all pieces of a design in one size, as rectangles."""
    if not pieces:
        raise ImpossiblePiece(_("Please enter at least one piece."))
    names = [piece.name.strip().lower() for piece in pieces]
    for piece in pieces:
        _refuse_impossible_piece(piece)
        if names.count(piece.name.strip().lower()) > 1:
            raise ImpossiblePiece(
                _("“%(name)s” stands here twice: give each piece its own name, or raise its number.")
                % {"name": piece.name}
            )
    kept_revision = editable_revision(design_size.revision)
    kept = kept_revision.sizes.get(size=design_size.size)
    kept.pieces.all().delete()
    RectanglePiece.objects.bulk_create(RectanglePiece(design_size=kept, **asdict(piece)) for piece in pieces)
    if narrow := panel_sentences(kept, planner_settings()):
        raise ImpossiblePiece(narrow[0])
    record(by=by, at=at, did="set_pieces", subject=kept)
    return kept


def _refuse_impossible_piece(piece: PieceEntry) -> None:
    if piece.piece_count < 1:
        raise ImpossiblePiece(_("How many of “%(name)s” are cut?") % {"name": piece.name})
    if piece.width_um > limits.WIDEST_CLOTH_UM:
        raise ImpossiblePiece(
            _("“%(name)s” is %(width)s cm wide; usual cloth is at most %(widest)s cm wide.")
            % {
                "name": piece.name,
                "width": f"{piece.width_um / 10_000:.0f}",
                "widest": f"{limits.WIDEST_CLOTH_UM / 10_000:.0f}",
            },
            field="width_um",
        )
    is_likely = limits.is_within(piece.width_um, limits.PIECE_WIDTH_UM) and limits.is_within(
        piece.length_um, limits.PIECE_LENGTH_UM
    )
    if not is_likely:
        raise ImpossiblePiece(
            _("The width or length of “%(name)s” is not likely; please check them.") % {"name": piece.name}
        )


def _refuse_contradictions(details: RevisionDetails) -> None:
    if not (details.is_for_worn or details.is_for_memorial):
        raise ImpossibleDesign(
            _("A design is for gowns to wear, for memorial gowns, or for both."), field="is_for_worn"
        )
    if details.cloth_mass_min_g_per_m2 > details.cloth_mass_max_g_per_m2:
        raise ImpossibleDesign(
            _("The heaviest cloth cannot be lighter than the lightest."), field="cloth_mass_max_g_per_m2"
        )
    _refuse_unknown_stitches(details)
    has_ties = details.closure == DesignRevision.Closure.TIES
    if has_ties and not details.tie_length_um:
        raise UnsafeClosure(_("How long is a finished tie?"), field="tie_length_um")
    if not has_ties and details.tie_length_um:
        raise UnsafeClosure(_("This closure has no ties; leave their length empty."), field="tie_length_um")
    if details.tie_length_um > limits.TIE_LENGTH_UM[1]:
        raise UnsafeClosure(
            _("A tie on baby clothes is at most 36 cm long, finished."), field="tie_length_um"
        )


def _refuse_unknown_stitches(details: RevisionDetails) -> None:
    known = {"seam_class": DesignRevision.SeamClass.values, "trim_class": DesignRevision.TrimClass.values}
    for field_name, classes in known.items():
        if getattr(details, field_name) not in classes:
            raise ImpossibleDesign(
                _("There is no stitch class “%(found)s” to choose; take one of %(known)s.")
                % {"found": getattr(details, field_name), "known": ", ".join(classes)},
                field=field_name,
            )


def _refuse_unsafe_closure(revision: DesignRevision) -> None:
    settings = planner_settings()
    for design_size in revision.sizes.select_related("size"):
        sentences = closure_sentences(revision, size_band(design_size.size, settings), settings)
        if sentences:
            raise UnsafeClosure(
                _("In the size %(size)s: %(sentence)s")
                % {"size": design_size.size, "sentence": sentences[0]},
                field="tie_length_um",
            )
