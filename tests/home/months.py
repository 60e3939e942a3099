"""Rows the tests of the first page share: kits, gowns and drop-offs in a given state."""

from datetime import UTC, date, datetime
from itertools import count
from typing import Any

from gowngroup.batches.models import Batch, Kit, Lay, Plan
from gowngroup.catalog.models import Size
from gowngroup.deliveries.models import DropOff
from gowngroup.gowns.models import Gown
from gowngroup.people.models import Person
from tests.factories import DesignRevisionFactory, LotFactory, PersonFactory, SizeFactory, WardFactory

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
    return Lay.objects.create(plan=plan, number=next(numbers), lot=LotFactory(), length_um=500_000, **values)


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
        design_revision=DesignRevisionFactory(),
        size=size or SizeFactory(),
        outer_lot=lay.lot,
        state=state,
        holder=holder,
        **{"purpose": "worn", **values},
    )


def gown_in(state: str, *, size: Size | None = None, **values: Any) -> Gown:
    """A gown of own cloth in a state."""
    return Gown.objects.create(
        code=f"GN{next(numbers):04d}",
        size=size or SizeFactory(),
        state=state,
        received_at=NOON,
        passed_at=NOON if state in ("passed", "left") else None,
        **{
            "purpose": "worn",
            "design_revision": values.get("design_revision") or DesignRevisionFactory(),
            **values,
        },
    )


def drop_off_for(driver: Person | None, **values: Any) -> DropOff:
    """A drop-off to a new ward."""
    return DropOff.objects.create(ward=WardFactory(), driver=driver, planned_on=date(2026, 3, 20), **values)
