"""What every old batch is written after: the demo's first batch, its kits and what lies in them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from gowngroup.batches.models import Kit, Plan
from gowngroup.catalog.models import Size
from gowngroup.people.models import Person, Role
from gowngroup.stock.models import Material
from gowngroup.wards.models import Ward


@dataclass(frozen=True, slots=True, kw_only=True)
class LinePattern:
    """One thing that lies in a kit, for each of its gowns, and of which material."""

    kind: str
    text: str
    amount: int
    material_id: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class KitPattern:
    """One kit as it was made and packed."""

    revision_id: int
    size_id: int
    purpose: str
    minutes_low: int
    minutes_high: int
    lines: tuple[LinePattern, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """What there is to write after: kits in the shares they were made in, cloths, wards by what they take, people."""

    kits: Sequence[KitPattern]
    cloths: Sequence[Material]
    wards: Mapping[int, Sequence[Ward]]
    document: Mapping[str, Any]
    coordinator: Person
    packer: Person
    inspector: Person
    driver: Person


def first_pattern() -> Pattern:
    """The pattern of the batch that was planned first."""
    plan = Plan.objects.filter(committed_at__isnull=False).order_by("pk")[0]
    kits = Kit.objects.filter(lay__plan=plan).order_by("pk").prefetch_related("lines__lot")
    wards = list(Ward.objects.order_by("pk").prefetch_related("sizes"))
    return Pattern(
        kits=[_kit_pattern(kit) for kit in kits],
        cloths=list(Material.objects.filter(lots__lays__plan=plan).distinct().order_by("pk")),
        wards={
            size.pk: [ward for ward in wards if size in ward.sizes.all()] or wards
            for size in Size.objects.all()
        },
        document=plan.document,
        coordinator=_first(Role.COORDINATOR),
        packer=_first(Role.PACKER),
        inspector=_first(Role.INSPECTOR),
        driver=_first(Role.DRIVER),
    )


def _kit_pattern(kit: Kit) -> KitPattern:
    return KitPattern(
        revision_id=kit.design_revision_id,
        size_id=kit.size_id,
        purpose=kit.purpose,
        minutes_low=kit.minutes_low,
        minutes_high=kit.minutes_high,
        lines=tuple(
            LinePattern(
                kind=line.kind,
                text=line.text,
                amount=line.amount // kit.gown_count,
                material_id=line.lot.material_id if line.lot else None,
            )
            for line in kit.lines.all()
        ),
    )


def _first(role: Role) -> Person:
    return Person.objects.filter(role_rows__role=role, is_active=True).order_by("pk")[0]
