"""From open requests to kits: proposing, planning, committing, cutting and packing a batch."""

from collections.abc import Callable, Iterable, Mapping
from datetime import datetime

from gowngroup.batches.actions import (
    LineDetails,
    begin_job,
    choose_materials,
    commit_plan,
    cut_lay,
    end_job,
    make_plan,
    offer_kit,
    pack_kit,
    propose_batch,
    set_lines,
    start_batch,
    start_planning,
    tick_line,
)
from gowngroup.batches.models import Batch, BatchLine, Kit, Lay, Plan
from gowngroup.batches.planner.materials import parts_of
from gowngroup.catalog.models import DesignRevision, Purpose
from gowngroup.catalog.queries import revisions_for
from gowngroup.demo.scene import Scene
from gowngroup.home.queries import gowns_there
from gowngroup.people.models import Person
from gowngroup.stock.models import Material

CM = 10_000
WRAPS_A_KIT, SMALLEST_A_KIT = 3, 2
SMALLEST_G = 750

Changed = Mapping[int, str]
More = Mapping[int, int]


def propose(scene: Scene, month: int, *, at: datetime) -> Batch:
    """Start the next batch of a month and let it be proposed from what is asked."""
    by = scene.cast.coordinator
    batch = start_batch(month=scene.calendar.month(month), by=by, at=at)
    return propose_batch(batch=batch, there=gowns_there(month=batch.month), by=by, at=at)


def adjust(
    scene: Scene, batch: Batch, *, at: datetime, designs: Changed | None = None, more: More | None = None
) -> None:
    """Change designs of some sizes to another kind, add gowns, and put several small gowns into a kit."""
    lines = [
        _adjusted(line, designs or {}, more or {})
        for line in batch.lines.select_related("design_revision__design", "size")
    ]
    set_lines(batch=batch, lines=lines, by=scene.cast.coordinator, at=at)


def _adjusted(line: BatchLine, designs: Changed, more: More) -> LineDetails:
    revision = line.design_revision
    kind = designs.get(line.size.upper_mass_g, revision.design.kind)
    if kind != revision.design.kind and line.purpose == Purpose.WORN:
        made = revisions_for(size=line.size, purpose=line.purpose)
        revision = next(each for each in made if each.design.kind == kind)
    return LineDetails(
        revision=revision,
        size=line.size,
        purpose=line.purpose,
        gown_count=line.gown_count + more.get(line.size.upper_mass_g, 0),
        gowns_per_kit=_gowns_a_kit(line),
    )


def _gowns_a_kit(line: BatchLine) -> int:
    if line.design_revision.closure == DesignRevision.Closure.WRAP:
        return WRAPS_A_KIT
    return SMALLEST_A_KIT if line.size.upper_mass_g <= SMALLEST_G else 1


def choose_floss(scene: Scene, batch: Batch, shade: Material, *, at: datetime) -> None:
    """Use one shade for the second floss of every chart, however little of it there is."""
    revisions = {line.design_revision for line in batch.lines.select_related("design_revision__design")}
    parts = [part for each in sorted(revisions, key=lambda row: row.pk) for part in parts_of(each)]
    chosen = [(part, shade) for part in parts if part.kind == "floss" and part.name == "B"]
    choose_materials(batch=batch, chosen=chosen, by=scene.cast.coordinator, at=at)


def plan(scene: Scene, batch: Batch, *, at: datetime) -> Plan:
    """Have the batch planned, as the worker does it."""
    by = scene.cast.coordinator
    job = start_planning(batch=batch, by=by, at=at)
    begin_job(job=job, at=at)
    made = make_plan(batch=batch, by=by, at=at, job=job)
    end_job(job=job, plan=made, at=at)
    return made


def commit(scene: Scene, made: Plan, *, at: datetime) -> Batch:
    """Commit a plan: its kits are made and what they take is held."""
    return commit_plan(plan=made, by=scene.cast.coordinator, at=at).batch


def cut(scene: Scene, lays: Iterable[Lay], *, at: datetime) -> None:
    """Cut lays as long as planned, some a centimetre longer where the cloth allows it."""
    for lay in lays:
        more_um = CM * scene.chance.randrange(2)
        lot = lay.lot
        lot.refresh_from_db()
        length_um = lay.length_um + (more_um if lot.free_amount >= more_um else 0)
        cut_lay(lay=lay, cut_length_um=length_um, by=scene.cast.cutter, at=at)


def pack(scene: Scene, kits: Iterable[Kit], *, at: datetime) -> None:
    """Put everything into kits, tick by tick, and close them."""
    for kit in kits:
        tick(kit, by=scene.cast.packer, at=at)
        pack_kit(kit=kit, by=scene.cast.packer, at=at)


def tick(kit: Kit, *, by: Person, at: datetime, is_wanted: Callable[[str], bool] = bool) -> None:
    """Tick the lines of a kit that are put into it."""
    for line in kit.lines.select_related("kit").order_by("position"):
        if is_wanted(line.kind):
            tick_line(line=line, by=by, at=at)


def offer(scene: Scene, kits: Iterable[Kit], *, at: datetime) -> None:
    """Offer packed kits to the volunteers."""
    for kit in kits:
        offer_kit(kit=kit, by=scene.cast.packer, at=at)


def make_ready(scene: Scene, batch: Batch, month: int) -> list[Kit]:
    """Cut, pack and offer a whole committed batch in the week before its month."""
    cut(scene, Lay.objects.filter(plan__batch=batch).select_related("lot"), at=scene.at(month, -7, 10))
    kits = list(Kit.objects.filter(batch=batch).order_by("pk"))
    pack(scene, kits, at=scene.at(month, -5, 10))
    offer(scene, kits, at=scene.at(month, -4, 17))
    return kits
