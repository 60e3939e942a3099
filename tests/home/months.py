"""Rows the tests of the first page share: kits, gowns and drop-offs in a given state."""

from datetime import UTC, date, datetime
from itertools import count
from typing import Any

from gowngroup.batches.models import Batch, Call, Claim, Finish, Kit, Lay, Letter, Plan
from gowngroup.catalog.models import Size
from gowngroup.deliveries.models import DropOff, DropOffGown
from gowngroup.gowns.models import Gown
from gowngroup.people.models import JoinRequest, Person, UnsentLetter
from gowngroup.records.models import Job
from gowngroup.stock.models import Lot
from gowngroup.wards.models import ShelfLevel
from tests.factories import (
    BatchFactory,
    DesignRevisionFactory,
    KitFactory,
    KitLineFactory,
    LotFactory,
    PersonFactory,
    PlanFactory,
    RequestLineFactory,
    SizeFactory,
    WardFactory,
    WardRequestFactory,
)

NOON = datetime(2026, 3, 1, 12, 0, tzinfo=UTC)
MARCH = date(2026, 3, 1)
numbers = count(1)


def lay_in(batch: Batch, **values: Any) -> Lay:
    """A lay of a committed plan of the batch."""
    plan = Plan.objects.filter(batch=batch).first() or Plan.objects.create(
        batch=batch,
        number=1,
        format_version=1,
        document={},
        made_at=NOON,
        made_by=PersonFactory(),
        committed_at=NOON,
    )
    return Lay.objects.create(
        plan=plan, number=1 + next(numbers), lot=LotFactory(), length_um=500_000, **values
    )


def march_batch(**values: Any) -> Batch:
    """The batch of March 2026."""
    return Batch.objects.get_or_create(month=MARCH, number=1, defaults=values)[0]


def kit_in(state: str, *, holder: Person | None = None, size: Size | None = None, **values: Any) -> Kit:
    """A kit of March's batch in a state."""
    lay = lay_in(march_batch(state=Batch.State.COMMITTED), cut_at=NOON)
    return Kit.objects.create(
        code=f"KT{next(numbers):04d}",
        batch=lay.plan.batch,
        lay=lay,
        size=size or SizeFactory(),
        outer_lot=lay.lot,
        state=state,
        holder=holder,
        **{
            "purpose": "worn",
            "design_revision": values.get("design_revision") or DesignRevisionFactory(),
            **values,
        },
    )


def gown_in(state: str, *, size: Size | None = None, **values: Any) -> Gown:
    """A gown of own cloth in a state."""
    return Gown.objects.create(
        code=f"GN{next(numbers):04d}",
        size=size or SizeFactory(),
        state=state,
        passed_at=NOON if state in ("passed", "left") else None,
        **{
            "purpose": "worn",
            "received_at": NOON,
            "design_revision": values.get("design_revision") or DesignRevisionFactory(),
            **values,
        },
    )


def drop_off_for(driver: Person | None, **values: Any) -> DropOff:
    """A drop-off to a new ward."""
    facts = {"planned_on": date(2026, 3, 20), **values}
    return DropOff.objects.create(ward=WardFactory(), driver=driver, **facts)


def claim_of(kit: Kit, person: Person) -> Claim:
    """The open claim of a kit in somebody's hands."""
    return Claim.objects.create(
        kit=kit, person=person, claimed_by=person, claimed_at=NOON, due_on=date(2026, 3, 28)
    )


def busy(coordinator: Person, sewer: Person) -> Person:
    """One of every kind of work, at every table, on the tenth of March 2026."""
    _asked_for()
    _batches_at_every_stage(coordinator)
    _at_home(coordinator, sewer)
    for state in ("back", "mending", "to wash", "washed"):
        gown_in(state)
    _driven()
    _lying_about()
    UnsentLetter.objects.create(
        person=sewer, kind="before", reason="address", made_at=NOON, tried_at=NOON, try_count=1
    )
    PersonFactory(is_active=False, unseen_leave_at=NOON)
    JoinRequest.objects.create(name="Somebody new", contact_hash=f"{next(numbers)}", asked_at=NOON)
    return coordinator


def _asked_for() -> None:
    RequestLineFactory(request=WardRequestFactory(is_urgent=True), gown_count=1)
    RequestLineFactory(request=WardRequestFactory(month=MARCH), gown_count=30)
    ShelfLevel.objects.create(ward=WardFactory(), size=SizeFactory(), minimum_count=2, present_count=1)


def _batches_at_every_stage(by: Person) -> None:
    """Batches put together, planned, planned short, broken off, and all back; lays, kits and what they lack."""
    for shortages in ([{"amount": 1}], []):
        planned = BatchFactory(state=Batch.State.PLANNED, number=1 + next(numbers))
        document = {"format_version": 1, "plan": {"unmade": [], "shortages": shortages}}
        PlanFactory(batch=planned, document={**document, "lines": [], "choices": []}, committed_at=None)
    for kind in ("plan_batch", "print_sheets"):
        state = Batch.State.PROPOSED if kind == "plan_batch" else Batch.State.COMMITTED
        broken = BatchFactory(state=state, number=1 + next(numbers))
        Job.objects.create(
            kind=kind,
            subject_id=broken.pk,
            state=Job.State.FAILED,
            started_by=by,
            created_at=NOON,
            progress={"kits": []},
        )
    done = BatchFactory(number=1 + next(numbers))
    KitFactory(state=Kit.State.RETURNED, returned_count=1, lay__cut_at=NOON, lay__plan__batch=done)
    lay_in(march_batch(state=Batch.State.COMMITTED))
    Lay.objects.filter(pk=lay_in(march_batch()).pk).update(lot=LotFactory(state=Lot.State.AS_GIVEN))
    lacking = kit_in(Kit.State.CUT, number=1)
    KitLineFactory(kit=lacking, kind="floss", position=3, lot=None)
    kit_in(Kit.State.PACKED)


def _at_home(coordinator: Person, sewer: Person) -> None:
    """Kits kept, late and finished, and everything that can be asked of those who answer."""
    kept = kit_in(Kit.State.WAITING, offered_at=NOON, kept_for=sewer)
    Letter.objects.create(
        kit=kept, person=sewer, kind=Letter.Kind.KEPT, about_on=MARCH, sent_at=NOON, is_by_mail=False
    )
    late = kit_in(Kit.State.CLAIMED, holder=sewer, due_on=date(2026, 3, 2))
    claim = claim_of(late, sewer)
    Finish.objects.create(claim=claim, gown_count=1, are_needles_counted=True, said_at=NOON)
    for kind in (Call.Kind.HELP, Call.Kind.MISSING, Call.Kind.POST):
        Call.objects.create(kit=late, person=sewer, kind=kind, asked_at=NOON)


def _driven() -> None:
    """A drop-off being packed, one nobody has signed for, and two signed receipts that are not on file."""
    signed = {"left_at": NOON, "received_at": NOON, "signed_name": "A. Nurse"}
    remark = [{"remark": "one bag was open"}]
    for state, facts in (
        ("packing", {}),
        ("on the way", {"left_at": NOON}),
        ("received", signed),
        ("received", {**signed, "differences": remark}),
    ):
        number = None if state == "packing" else f"2026-{1000 + next(numbers)}"
        drop_off = drop_off_for(None, state=state, receipt_number=number, planned_on=MARCH, **facts)
        gown = gown_in("passed" if state == "packing" else "left")
        DropOffGown.objects.create(drop_off=drop_off, gown=gown)


def _lying_about() -> None:
    """Cloth to be washed, cloth to be measured, and a material that has run out."""
    for state in (Lot.State.AS_GIVEN, Lot.State.WASHED):
        LotFactory(state=state, on_hand_amount=2_000_000)
