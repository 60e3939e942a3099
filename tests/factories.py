"""Rows for tests, made the short way; the months of the demo are made by actions."""

from datetime import UTC, date, datetime
from itertools import count
from typing import Any

import factory
from factory.django import DjangoModelFactory

from gowngroup.batches.models import Batch, Kit, KitLine, Lay, Plan
from gowngroup.catalog.models import Chart, ChartRow, Design, DesignRevision, DesignSize, Size
from gowngroup.people.models import Group, Person, PersonRole
from gowngroup.records.codes import code_of
from gowngroup.stock.models import Donor, Lot, Material
from gowngroup.wards.models import Hospital, RequestLine, Ward, WardRequest

# As in use: running numbers whose check character could be misread are left out.
KIT_CODES = filter(None, (code_of("K", number) for number in count(100_000)))


class GroupFactory(DjangoModelFactory[Group]):
    class Meta:
        model = Group
        django_get_or_create = ["id"]

    id = 1
    name = "Test circle"
    telephone = "01234 567890"


class PersonFactory(DjangoModelFactory[Person]):
    class Meta:
        model = Person
        skip_postgeneration_save = True

    name = factory.Sequence(lambda n: f"Person {n}")
    email = factory.Sequence(lambda n: f"person{n}@example.org")
    joined_on = date(2024, 1, 1)
    password = "!"

    @factory.post_generation
    def roles(self: Person, create: bool, extracted: list[str] | None, **kwargs: Any) -> None:
        for role in extracted or []:
            PersonRole.objects.create(person=self, role=role)


class SizeFactory(DjangoModelFactory[Size]):
    class Meta:
        model = Size
        django_get_or_create = ["upper_mass_g"]

    lower_mass_g = 2000
    upper_mass_g = 2500
    body_length_um = 460_000
    chest_um = 300_000


class ChartFactory(DjangoModelFactory[Chart]):
    class Meta:
        model = Chart

    name = factory.Sequence(lambda n: f"Chart {n}")


class ChartRowFactory(DjangoModelFactory[ChartRow]):
    class Meta:
        model = ChartRow

    chart = factory.SubFactory(ChartFactory)
    position = factory.Sequence(lambda n: n + 1)
    stitch = ChartRow.Stitch.CABLE
    top_half_space = 0


class DesignFactory(DjangoModelFactory[Design]):
    class Meta:
        model = Design

    name = factory.Sequence(lambda n: f"Design {n}")
    kind = Design.Kind.RECTANGLES


class DesignRevisionFactory(DjangoModelFactory[DesignRevision]):
    class Meta:
        model = DesignRevision

    design = factory.SubFactory(DesignFactory)


class DesignSizeFactory(DjangoModelFactory[DesignSize]):
    class Meta:
        model = DesignSize

    revision = factory.SubFactory(DesignRevisionFactory)
    size = factory.SubFactory(SizeFactory)


class MaterialFactory(DjangoModelFactory[Material]):
    class Meta:
        model = Material

    kind = "cloth"
    name = factory.Sequence(lambda n: f"Batiste {n}")
    shade = "cream"
    swatch = "#f3ead6"
    mass_g_per_m2 = 90


class DonorFactory(DjangoModelFactory[Donor]):
    class Meta:
        model = Donor

    name = factory.Sequence(lambda n: f"Donor {n}")


class LotFactory(DjangoModelFactory[Lot]):
    """A lot with nothing on hand; `stock.actions.receive_lot` books something in."""

    class Meta:
        model = Lot

    code = factory.Sequence(lambda n: f"LT{n:04d}")
    material = factory.SubFactory(MaterialFactory)
    state = Lot.State.MEASURED
    width_um = 1_120_000
    received_on = date(2026, 1, 5)


class HospitalFactory(DjangoModelFactory[Hospital]):
    class Meta:
        model = Hospital

    name = factory.Sequence(lambda n: f"Hospital {n}")


class WardFactory(DjangoModelFactory[Ward]):
    class Meta:
        model = Ward
        skip_postgeneration_save = True

    hospital = factory.SubFactory(HospitalFactory)
    name = factory.Sequence(lambda n: f"Ward {n}")
    closures = ["flat-fastening", "wrap"]

    @factory.post_generation
    def sizes(self: Ward, create: bool, extracted: list[Size] | None, **kwargs: Any) -> None:
        self.sizes.set(extracted or [])


class WardRequestFactory(DjangoModelFactory[WardRequest]):
    class Meta:
        model = WardRequest

    ward = factory.SubFactory(WardFactory)
    month = date(2026, 3, 1)
    received_at = datetime(2026, 2, 20, 10, 0, tzinfo=UTC)


class RequestLineFactory(DjangoModelFactory[RequestLine]):
    class Meta:
        model = RequestLine

    request = factory.SubFactory(WardRequestFactory)
    size = factory.SubFactory(SizeFactory)
    purpose = "worn"
    gown_count = 4


class BatchFactory(DjangoModelFactory[Batch]):
    class Meta:
        model = Batch
        django_get_or_create = ["month", "number"]

    month = date(2026, 3, 1)
    number = 1
    state = Batch.State.COMMITTED


class PlanFactory(DjangoModelFactory[Plan]):
    """A committed plan with an empty document."""

    class Meta:
        model = Plan
        django_get_or_create = ["batch", "number"]

    batch = factory.SubFactory(BatchFactory)
    number = 1
    format_version = 1
    document: dict[str, Any] = {}
    made_at = datetime(2026, 2, 25, 10, 0, tzinfo=UTC)
    committed_at = datetime(2026, 2, 26, 10, 0, tzinfo=UTC)
    made_by = factory.SubFactory(PersonFactory)


class LayFactory(DjangoModelFactory[Lay]):
    """A lay that is not cut; nothing is reserved for it."""

    class Meta:
        model = Lay

    plan = factory.SubFactory(PlanFactory)
    number = factory.Sequence(lambda n: n + 1)
    lot = factory.SubFactory(LotFactory)
    length_um = 1_800_000


class KitFactory(DjangoModelFactory[Kit]):
    """A planned kit of one gown; one that is waiting, or was, has been offered."""

    class Meta:
        model = Kit

    code = factory.LazyFunction(lambda: next(KIT_CODES))
    lay = factory.SubFactory(LayFactory)
    batch = factory.SelfAttribute("lay.plan.batch")
    outer_lot = factory.SelfAttribute("lay.lot")
    design_revision = factory.SubFactory(DesignRevisionFactory)
    size = factory.SubFactory(SizeFactory)
    purpose = "worn"
    minutes_low = 240
    minutes_high = 360
    offered_at = factory.LazyAttribute(
        lambda kit: None if kit.state in ("planned", "cut", "packed") else datetime(2026, 3, 5, tzinfo=UTC)
    )
    state = Kit.State.PLANNED


class KitLineFactory(DjangoModelFactory[KitLine]):
    class Meta:
        model = KitLine

    kit = factory.SubFactory(KitFactory)
    position = factory.Sequence(lambda n: n + 1)
    kind = "notion"
    text = factory.Sequence(lambda n: f"thing {n}")
