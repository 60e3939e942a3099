"""A kit sheet made from the plan its kit was cut from."""

from django.utils.translation import gettext as _

from gowngroup.batches.models import Kit, Stage
from gowngroup.batches.planner.snapshots import KitSnapshot, kit_snapshot
from gowngroup.batches.templatetags.kits import usual_hours
from gowngroup.catalog.drawing import gown_drawing
from gowngroup.catalog.planner import GownNeed
from gowngroup.people.queries import the_group
from gowngroup.printing import plain_gowns, words
from gowngroup.printing.addresses import page_address
from gowngroup.printing.planner import kit_lines, kit_stages
from gowngroup.printing.planner.kit_chart import kit_chart
from gowngroup.printing.planner.kit_guide import PrintedGuide, first_row_mm, printed_guide
from gowngroup.printing.planner.kit_rules import ward_rules
from gowngroup.printing.planner.kit_sheet import KitSheet
from gowngroup.printing.qr import qr_code
from gowngroup.records.templatetags.gown import hours
from gowngroup.records.written import known

QR_SYMBOL_MM = 22.0


def kit_sheet(kit: Kit) -> KitSheet:
    """What the sheet of a kit says, from the plan it was cut from; without one it says so on its first page."""
    snapshot = kit_snapshot(kit)
    need = snapshot.need if snapshot else _unplanned(kit)
    parts = kit_stages.PARTS[kit.stage]
    size = words.size_as_length(snapshot.body_length_um if snapshot else kit.size.body_length_um)
    group = the_group()
    return KitSheet(
        kit=kit,
        group=group,
        need=need,
        pleater=snapshot.pleater if snapshot else None,
        qr=qr_code(page_address("batches:kit_page", kit.code), symbol_mm=QR_SYMBOL_MM),
        gown_drawing=gown_drawing(need),
        guide=_guide(kit, snapshot) if snapshot and parts.has_guide else None,
        chart=kit_chart(need.smocking) if need.smocking and parts.has_chart else None,
        gowns=words.gowns_in_words(kit.gown_count),
        size=size,
        notes=tuple(note for note in _notes(kit, need) if note),
        pieces=_pieces(kit, need) if parts.has_pieces else (),
        floss=_floss(kit, snapshot) if snapshot and parts.has_chart else (),
        trims=_trims(kit, snapshot) if snapshot else (),
        measures=kit_lines.measure_lines(need) if parts.has_measures else (),
        steps=_steps(kit, snapshot, need),
        seams=kit_stages.seams_of_stage(kit, need.pieces),
        ward_rules=ward_rules(kit),
        cautions=plain_gowns.cautions_of(kit.stage, is_smocked=need.smocking is not None),
    )


def _unplanned(kit: Kit) -> GownNeed:
    return GownNeed(
        revision_id=kit.design_revision_id,
        size_id=kit.size_id,
        purpose=kit.purpose,
        faults=(
            _(
                "The plan this kit was cut from cannot be read, so its pieces, measures and chart are missing"
                " here. Please ask the coordinator."
            ),
        ),
    )


def _notes(kit: Kit, need: GownNeed) -> tuple[str, ...]:
    """What the head of the sheet says below the size."""
    return (
        kit_stages.stage_title(kit),
        kit_stages.comes_in(kit, need),
        _gentle_words() if kit.is_memorial() else _day_and_hours(kit, need),
    )


def _gentle_words() -> str:
    return _(
        "For babies who die, before or soon after birth. Take all the time you need; you may give the kit back"
        " at any time and need not say why."
    )


def _day_and_hours(kit: Kit, need: GownNeed) -> str:
    day, range_, along_min = kit.due_on, usual_hours(kit), _companions_min(kit, need)
    said = (
        _("Please bring it back by %(day)s.") % {"day": words.day_in_words(day)} if day else "",
        _("It usually takes %(range)s.") % {"range": range_} if range_ else "",
        _("About %(time)s of it is for what goes along with the gowns.") % {"time": hours(along_min)}
        if along_min and range_
        else "",
    )
    return " ".join(each for each in said if each)


def _companions_min(kit: Kit, need: GownNeed) -> int:
    """Minutes of the kit's time that go into what is cut along with its gowns; none where it is not made up."""
    if kit.stage not in (Stage.WHOLE, Stage.MAKE_UP):
        return 0
    along_min = sum(time.usual_min for time in need.stage_times if time.stage == "companions")
    return round(along_min * kit.gown_count)


def _pieces(kit: Kit, need: GownNeed) -> tuple[kit_lines.PieceLine, ...]:
    of_stage = kit_stages.pieces_of_stage(kit, need.pieces) if need.smocking else need.pieces
    return tuple(kit_lines.piece_line(piece, kit.gown_count) for piece in of_stage)


def _trims(kit: Kit, snapshot: KitSnapshot) -> tuple[kit_lines.TrimLine, ...]:
    """All of them, or those that are sewn on before a strip round the neck is pleated."""
    lines = kit_lines.trim_lines(snapshot.need, kit.gown_count, snapshot.materials)
    if kit_stages.PARTS[kit.stage].has_trims:
        return lines
    is_strip = kit_stages.pleated_parts(snapshot.need.pieces) == kit_stages.ROUND_THE_NECK
    return tuple(line for line in lines if line.length_mm and is_strip and kit.stage == Stage.PLEAT)


def _floss(kit: Kit, snapshot: KitSnapshot) -> tuple[kit_lines.FlossLine, ...]:
    return kit_lines.floss_lines(snapshot.need, kit.gown_count, snapshot.materials, snapshot.floss_cut_mm)


def _steps(kit: Kit, snapshot: KitSnapshot | None, need: GownNeed) -> tuple[str, ...]:
    """The design's own order of work or the usual one, as far as the kit's stage goes."""
    is_smocked = need.smocking is not None
    own = tuple(map(known, snapshot.order_of_work)) if snapshot else ()
    steps = own or plain_gowns.steps_of(kit.design_revision.design.kind, is_smocked=is_smocked)
    ends = snapshot.stage_ends if snapshot and own else ()
    of_stage = kit_stages.steps_of_stage(kit.stage, steps, ends) if is_smocked else steps
    seams = () if kit.stage in (Stage.PLEAT, Stage.SMOCK) else words.seam_steps(need)
    return (*seams, *of_stage)


def _guide(kit: Kit, snapshot: KitSnapshot) -> PrintedGuide | None:
    return printed_guide(
        snapshot.need,
        snapshot.pleater,
        first_row_mm=first_row_mm(snapshot.need, kit.design_revision, kit.size, snapshot.figures),
    )
