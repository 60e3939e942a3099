"""Three months of the group's work: the first complete, the second mostly done, the third begun."""

from collections.abc import Sequence

from gowngroup.batches.actions import close_batch, extend_due, lose_kit, write_off_kit
from gowngroup.batches.models import Batch, Kit, Lay
from gowngroup.catalog.models import Design, Purpose
from gowngroup.catalog.queries import revisions_for
from gowngroup.demo import batches, checks, helping, sewing, trips, wards
from gowngroup.demo import materials as m
from gowngroup.demo.scene import Scene, size_to
from gowngroup.demo.shelf import count_bags, restock
from gowngroup.gowns.actions import add_gown
from gowngroup.gowns.models import Gown
from gowngroup.stock.models import Lot, Material
from gowngroup.wards.actions import change_request
from gowngroup.wards.models import WardRequest

ROUND = Design.Kind.ROUND_NECK.value
Materials = dict[str, Material]
State = Gown.State
BOUGHT_FIRST = ((m.FASTENING, 40), (m.THREAD, 4), ("sage", 14), ("old rose", 13))
BOUGHT_THEN = ((m.FASTENING, 40), ("old rose", 10), ("sage", 8), (m.NARROW_LACE, 2))


def first_month(scene: Scene, materials: Materials) -> None:
    """Two months ago: from request to signed receipt."""
    take_in_old_gowns(scene)
    wards.ask_for_the_month(scene, -2)
    batch = _committed(scene, -2, designs={2500: ROUND, 3500: ROUND})
    kits = batches.make_ready(scene, batch, -2)
    sewing.hand_out(scene, kits, at=scene.at(-2, -3))
    sewing.change_her_mind(kits[4], at=scene.at(-2, 3))
    sewing.hand_out(scene, [kits[4]], at=scene.at(-2, 4))
    lost, torn = [kit for kit in kits if kit.gown_count == 1 and not kit.is_memorial()][-2:]
    lose_kit(kit=lost, reason="lost in the post", by=scene.cast.packer, at=scene.at(-2, 19))
    write_off_kit(kit=torn, reason="spoiled by a burst pipe", by=scene.cast.packer, at=scene.at(-2, 21))
    _come_back(scene, [kit for kit in kits if kit not in (lost, torn)], -2)
    count_bags(materials, by=scene.cast.packer, at=scene.at(-2, 26))
    _first_trips(scene)
    close_batch(batch=batch, by=scene.cast.coordinator, at=scene.at(-2, 27, 16))
    by = scene.cast.packer
    restock(materials, BOUGHT_FIRST, by=by, at=scene.at(-1, -12))


def take_in_old_gowns(scene: Scene) -> None:
    """Gowns the group had before it kept books: two wraps and three yoke gowns, checked like all others.

    Of the wraps it is known which cloth they are of.
    """
    batiste = Lot.objects.filter(material__name="Cotton batiste").order_by("pk")[0]
    by, at = scene.cast.inspector, scene.at(-2, -20)
    for mass_g, purpose in (
        (500, "memorial"),
        (500, "memorial"),
        (1000, "worn"),
        (1500, "worn"),
        (2000, "worn"),
    ):
        size = size_to(mass_g)
        made = revisions_for(size=size, purpose=purpose)
        revision = next(each for each in made if each.design.kind != ROUND)
        cloth = batiste if purpose == Purpose.MEMORIAL else None
        add_gown(design_revision=revision, size=size, purpose=purpose, outer_lot=cloth, by=by, at=at)
    checks.first_checks(scene, checks.gowns_now(State.BACK), at=scene.at(-2, -18), found={})
    checks.wash(scene, checks.gowns_now(State.TO_WASH), at=scene.at(-2, -17))
    checks.second_checks(scene, checks.gowns_now(State.WASHED), at=scene.at(-2, -16), found={})


def _committed(scene: Scene, month: int, *, designs: batches.Changed) -> Batch:
    batch = batches.propose(scene, month, at=scene.at(month, -10, 14))
    batches.adjust(scene, batch, at=scene.at(month, -10, 16), designs=designs)
    made = batches.plan(scene, batch, at=scene.at(month, -9, 10))
    return batches.commit(scene, made, at=scene.at(month, -8, 11))


def _come_back(scene: Scene, kits: Sequence[Kit], month: int) -> None:
    """Gowns come back over two weeks; kits of several gowns in two goes, and the inspectors work weekly."""
    for number, kit in enumerate(kits):
        if kit.gown_count > 1:
            sewing.bring_back(scene, kit, gown_count=1, at=scene.at(month, 10 + number % 5, 10))
    half = len(kits) * 2 // 3
    for number, kit in enumerate(kits[:half]):
        sewing.bring_back(scene, kit, at=scene.at(month, 13 + number % 3, 11))
    checks.whole_round(scene, month, 16)
    for number, kit in enumerate(kits[half:]):
        sewing.bring_back(scene, kit, at=scene.at(month, 19 + number % 3, 11))
    checks.whole_round(scene, month, 22)
    checks.first_checks(scene, checks.gowns_now(State.BACK), at=scene.at(month, 27), found={})


def _first_trips(scene: Scene) -> None:
    cast = scene.cast
    trips.deliver(scene, wards.NEWBORN, -2, 23, driver=cast.driver)
    back = trips.pack_for(scene, wards.SPECIAL, -2, 24, driver=cast.second_driver)
    trips.send(scene, back, -2, 25)
    trips.nobody_there(scene, back, -2, 25)
    again = trips.pack_for(scene, wards.SPECIAL, -2, 26, driver=cast.second_driver)
    trips.send(scene, again, -2, 27)
    trips.sign(scene, again, -2, 27, found=trips.one_less(again))
    shelf = trips.pack_for(scene, wards.ROWAN, -2, 26, driver=cast.driver)
    trips.top_up(scene, shelf, 150, 1, month=-2, day=26)
    trips.send(scene, shelf, -2, 27)
    trips.sign(scene, shelf, -2, 27)


def second_month(scene: Scene) -> None:
    """Last month: most gowns are back and at every stage of checking, some kits are still out."""
    wards.ask_for_the_month(scene, -1)
    batch = _committed(scene, -1, designs={2000: ROUND, 2500: ROUND})
    kits = batches.make_ready(scene, batch, -1)
    sewing.hand_out(scene, kits, at=scene.at(-1, -3))
    urgent = wards.ask_today(
        scene, wards.NEWBORN, (500, 1, wards.MEMORIAL, None), month=-1, day=8, note="for this afternoon"
    )
    trips.serve_today(scene, urgent, -1, 8, driver=scene.cast.driver)
    singles = [kit for kit in kits if kit.gown_count == 1 and not kit.is_memorial()]
    still_out = singles[-5:]
    extend_due(kit=still_out[0], due_on=scene.calendar.day(0, 20), by=scene.cast.packer, at=scene.at(-1, 22))
    _come_back_late(scene, [kit for kit in kits if kit not in still_out])


def _come_back_late(scene: Scene, kits: Sequence[Kit]) -> None:
    """Two thirds were checked in time; the last ones wait at the inspectors' table."""
    half = len(kits) * 2 // 3
    for number, kit in enumerate(kits[:half]):
        sewing.bring_back(scene, kit, at=scene.at(-1, 13 + number % 3, 11))
    checks.whole_round(scene, -1, 16)
    trips.deliver(scene, wards.SPECIAL, -1, 22, driver=scene.cast.second_driver)
    trips.deliver(scene, wards.ROWAN, -1, 23, driver=scene.cast.driver)
    for number, kit in enumerate(kits[half:]):
        is_partial = kit.gown_count > 1
        sewing.bring_back(
            scene, kit, gown_count=1 if is_partial else None, at=scene.at(-1, 24 + number % 2, 11)
        )
    _leave_some_at_every_stage(scene)


def _leave_some_at_every_stage(scene: Scene) -> None:
    back = checks.gowns_now(State.BACK)
    looked_at = back[: len(back) * 2 // 3]
    checks.first_checks(scene, looked_at, at=scene.at(0, -2), found={1: checks.FIRST_FOUND[3]})
    to_wash = checks.gowns_now(State.TO_WASH)
    checks.wash(scene, to_wash[: len(to_wash) * 2 // 3], at=scene.at(0, -1, 9))
    washed = checks.gowns_now(State.WASHED)
    checks.second_checks(scene, washed[: len(washed) // 2], at=scene.at(0, -1, 16), found={})


def this_month(scene: Scene, materials: Materials) -> None:
    """The current month up to the morning of its first day: a batch under way, one planned, one proposed."""
    wards.ask_for_the_month(scene, 0)
    _twins_are_expected(scene)
    restock(materials, BOUGHT_THEN, by=scene.cast.packer, at=scene.at(0, -11))
    batch = _committed(scene, 0, designs={3500: ROUND})
    wards.pause(scene, wards.SPECIAL)
    _kits_in_every_state(scene, batch)
    helping.this_week(scene)
    on_its_way = trips.pack_for(scene, wards.NEWBORN, 0, -2, driver=scene.cast.driver)
    trips.send(scene, on_its_way, 0, -1)
    wards.ask_today(
        scene,
        wards.NEWBORN,
        (500, 1, wards.MEMORIAL, None),
        month=0,
        day=0,
        note="the family is with us today",
    )
    boxes = trips.pack_for(
        scene,
        wards.ROWAN,
        0,
        -1,
        driver=scene.cast.second_driver,
        drives_after=4,
        note="ring before you come",
    )
    trips.keep_for_today(scene, boxes, 500, month=0, day=0)
    _plan_another(scene, materials)
    wards.repeat(scene, 1, at=scene.at(0, 0, 9))
    batches.propose(scene, 1, at=scene.at(0, 0, 9, 10))
    _a_late_wish(scene)
    helping.say_what_they_like(scene)


def _a_late_wish(scene: Scene) -> None:
    """Rowan Ward rings that seven small gowns more are wanted, for some of which nothing is planned yet."""
    request = WardRequest.objects.get(ward=scene.wards[wards.ROWAN], month=scene.calendar.month(0))
    lines = wards.entries((*wards.REQUESTS[wards.ROWAN], (750, 7, wards.WORN, None)))
    at = scene.at(0, 0, 9, 25)
    change_request(request=request, lines=lines, is_standing=True, by=scene.cast.coordinator, at=at)


def _plan_another(scene: Scene, materials: Materials) -> None:
    """A second batch for the quiet weeks, in a shade of which too little is there: its plan says what to buy."""
    batch = batches.propose(scene, 0, at=scene.at(0, -1, 14))
    at = scene.at(0, -1, 16)
    batches.adjust(scene, batch, at=at, more={1500: 2, 2000: 3, 2500: 4, 3500: 3})
    batches.choose_floss(scene, batch, materials["apricot"], at=at)
    batches.plan(scene, batch, at=scene.at(0, -1, 17))


def _twins_are_expected(scene: Scene) -> None:
    """The newborn ward adds a matched set to what it asks for each month."""
    request = WardRequest.objects.get(
        ward=scene.wards[wards.NEWBORN], month=scene.calendar.month(0), is_urgent=False
    )
    lines = wards.entries((*wards.REQUESTS[wards.NEWBORN], *wards.TWINS))
    change_request(
        request=request, lines=lines, is_standing=True, by=scene.cast.coordinator, at=scene.at(0, -12)
    )


def _kits_in_every_state(scene: Scene, batch: Batch) -> None:
    """Two lays are still to be cut; of the others' kits some are cut, some packed, some waiting, some claimed."""
    lays = list(Lay.objects.filter(plan__batch=batch).select_related("lot"))
    batches.cut(scene, lays[:-2], at=scene.at(0, -6))
    kits = list(Kit.objects.filter(batch=batch, state=Kit.State.CUT).order_by("pk"))
    quarter = len(kits) // 4
    batches.pack(scene, kits[:-quarter], at=scene.at(0, -4))
    batches.tick(
        kits[-1], by=scene.cast.packer, at=scene.at(0, -4, 16), is_wanted=lambda kind: kind != "floss"
    )
    batches.offer(scene, kits[: -quarter - 2], at=scene.at(0, -3, 17))
    waiting = kits[: -quarter - 2]
    memorial = [kit for kit in waiting if kit.purpose == Purpose.MEMORIAL]
    worn = [kit for kit in waiting if kit.purpose == Purpose.WORN]
    sewing.hand_out(scene, (*worn[: len(worn) * 2 // 3], *memorial[:1]), at=scene.at(0, -2))
