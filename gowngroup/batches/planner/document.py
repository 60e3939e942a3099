"""A plan as it is stored: the plan itself and a copy of everything it was worked out from."""

import platform
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from functools import cached_property
from importlib.metadata import PackageNotFoundError, version
from typing import Any

from gowngroup.batches.models import Batch, Plan
from gowngroup.batches.planner.cautions import Caution, cautions_of
from gowngroup.batches.planner.materials import parts_of
from gowngroup.batches.planner.order import OrderKit, Prepared, RefusedLine, Rest, lines_to_make
from gowngroup.batches.planner.packing import PackedItem, packed_items
from gowngroup.batches.planner.progress import StepTaken
from gowngroup.batches.planner.shrinkage import share_to_come
from gowngroup.catalog.planner import GownNeed, need_from_document, need_to_document
from gowngroup.planning.batch_plan import BatchPlan, UnknownPlanFormat, from_document, to_document
from gowngroup.planning.plain_data import Json, plain, value_of
from gowngroup.records.queries import figures_with_source
from gowngroup.stock.models import Lot

FORMAT_VERSION = 1
LAY_SEED = 1  # what the lay engines start from unless told otherwise
UNREADABLE = (UnknownPlanFormat, KeyError, TypeError, ValueError)


def document_of(
    prepared: Prepared, plan: BatchPlan, *, improvements: Iterable[StepTaken] = ()
) -> dict[str, Json]:
    """The whole plan with its snapshots, as plain data; `improvements` are the steps that led to it."""
    return {
        "format_version": FORMAT_VERSION,
        "plan": to_document(plan),
        "lines": lines_now(prepared.batch),
        "choices": choices_now(prepared.batch),
        "kits": [_kit(each) for each in prepared.kits],
        "packing": [asdict(item) for item in packed_items(prepared, plan)],
        "refused": [_refused(each) for each in prepared.refused],
        "cautions": [_caution(each) for each in cautions_of(prepared)],
        "sets_left": list(prepared.sets_left),
        "rest": plain(prepared.rest) if prepared.rest else None,
        "requests": [_request(ask) for ask in prepared.asks],
        "designs": _designs(prepared.kits),
        "materials": _materials(prepared),
        "lots": {str(lot.pk): _lot(lot, prepared.settings.figures) for lot in prepared.shelf.lots},
        "settings": {
            "pleater": plain(prepared.settings.pleater),
            "measure": prepared.order.rules.measure,
            "cut_um": round(prepared.order.rules.floss.cut_mm * 1000),
        },
        "figures": figures_with_source(),
        "engines": list(plan.engines),
        "improvements": [plain(each) for each in improvements],
        "seed": LAY_SEED,
        "versions": {
            "gowngroup": _version("gowngroup"),
            "shapely": _version("shapely"),
            "spyrrow": _version("spyrrow"),
            "highspy": _version("highspy"),
            "python": platform.python_version(),
        },
    }


def _version(package: str) -> str:
    """The version of a package; ours runs from its source, uninstalled."""
    try:
        return version(package)
    except PackageNotFoundError:
        return "source"


def lines_now(batch: Batch) -> list[dict[str, Json]]:
    """What the batch makes as it stands, to see whether a plan still fits it."""
    lines = sorted(
        lines_to_make(batch), key=lambda line: (line.design_revision_id, line.size_id, line.purpose)
    )
    return [
        {
            "revision_id": line.design_revision_id,
            "size_id": line.size_id,
            "purpose": line.purpose,
            "gown_count": line.gown_count,
            "gowns_per_kit": line.gowns_per_kit,
        }
        for line in lines
    ]


def choices_now(batch: Batch) -> list[dict[str, Json]]:
    """The materials chosen for a batch as they stand."""
    rows = batch.choices.order_by("design_revision_id", "kind", "part")
    return [
        {
            "revision_id": row.design_revision_id,
            "kind": row.kind,
            "part": row.part,
            "material_id": row.material_id,
        }
        for row in rows
    ]


def _kit(each: OrderKit) -> dict[str, Json]:
    low, high = each.minutes_range
    return {
        "key": each.kit.key,
        "revision_id": each.line.design_revision_id,
        "size_id": each.line.size_id,
        "purpose": each.line.purpose,
        "gown_count": each.kit.gown_count,
        "set_key": each.kit.matched_set_key,
        "request_line_id": each.request_line_id,
        "minutes_low": low,
        "minutes_high": high,
    }


def _refused(each: RefusedLine) -> dict[str, Json]:
    return {
        "design": str(each.line.design_revision.design),
        "revision_id": each.line.design_revision_id,
        "size_id": each.line.size_id,
        "length_um": each.line.size.body_length_um,
        "purpose": each.line.purpose,
        "gown_count": each.line.gown_count,
        "sentences": list(each.sentences),
    }


def _caution(each: Caution) -> dict[str, Json]:
    return {
        "code": each.reason.code,
        "values": dict(each.reason.values),
        "kit_keys": list(each.kit_keys),
    }


def _request(ask: Any) -> dict[str, Json]:
    return {
        "request_line_id": ask.request_line.pk if ask.request_line else None,
        "ward_id": ask.ward.pk,
        "size_id": ask.size.pk,
        "purpose": ask.purpose,
        "gown_count": ask.gown_count,
        "set_key": ask.set_key,
    }


def _designs(kits: Iterable[OrderKit]) -> list[dict[str, Json]]:
    """Each design, size and purpose once, with everything a gown of it needs."""
    found = {(each.line.design_revision_id, each.line.size_id, each.line.purpose): each for each in kits}
    return [_design(each) for each in found.values()]


def _design(each: OrderKit) -> dict[str, Json]:
    revision, size = each.line.design_revision, each.line.size
    return {
        "design": str(revision.design),
        "number": revision.number,
        "closure": revision.closure,
        "difficulty": revision.difficulty,
        "order_of_work": list(revision.order_of_work),
        "stage_ends": list(revision.stage_ends),
        "length_um": size.body_length_um,
        "band": size.band,
        **need_to_document(each.need),
    }


def _materials(prepared: Prepared) -> dict[str, Json]:
    """Names of every material the plan speaks of, and of what has still to be chosen."""
    chosen = {
        key: {"name": str(row), "kind": row.kind, "swatch": row.swatch, "package_word": row.package_word}
        for key, row in prepared.materials.items()
    }
    revisions = {line.design_revision_id: line.design_revision for line in prepared.lines}
    missing = {
        part.missing_key: {"name": f"{part.label}, {revision.design}", "kind": part.kind, "swatch": ""}
        for revision in revisions.values()
        for part in parts_of(revision)
    }
    return {**missing, **chosen}


def _lot(lot: Lot, figures: Mapping[str, float]) -> dict[str, Json]:
    return {
        "code": lot.code,
        "material": str(lot.material),
        "swatch": lot.material.swatch,
        "kind": lot.material.kind,
        "place": lot.place,
        "state": lot.state,
        "width_um": lot.width_um,
        "selvedge_um": lot.selvedge_um,
        "shrink_length_permille": lot.shrink_length_permille,
        "shrink_width_permille": lot.shrink_width_permille,
        "flaws": lot.flaws,
        "free_amount": lot.free_amount,
        "trim_shrink_share": share_to_come(lot, figures),
    }


@dataclass(frozen=True, kw_only=True)
class StoredPlan:
    """A stored plan read again; nothing in it is ever worked out anew."""

    document: Mapping[str, Json]

    @classmethod
    def of(cls, row: Plan) -> "StoredPlan":
        """What is stored in a row; raises UnknownPlanFormat."""
        if (found := row.document.get("format_version")) != FORMAT_VERSION:
            raise UnknownPlanFormat(found)
        return cls(document=row.document)

    @cached_property
    def plan(self) -> BatchPlan:
        """The plan; raises UnknownPlanFormat, KeyError or TypeError where it cannot be read."""
        return from_document(self.document["plan"])

    @cached_property
    def kits(self) -> dict[str, Mapping[str, Json]]:
        """Every kit of the order by its number."""
        return {kit["key"]: kit for kit in self.document["kits"]}

    @cached_property
    def designs(self) -> dict[tuple[int, int, str], Mapping[str, Json]]:
        """What each design, size and purpose needs."""
        return {
            (each["revision_id"], each["size_id"], each["purpose"]): each for each in self.document["designs"]
        }

    @cached_property
    def needs(self) -> dict[tuple[int, int, str], GownNeed]:
        """What one gown of each design, size and purpose takes, as it was worked out."""
        return {key: need_from_document(design) for key, design in self.designs.items()}

    @cached_property
    def packing(self) -> tuple[PackedItem, ...]:
        """What goes into each kit."""
        return tuple(PackedItem(**item) for item in self.document["packing"])

    def design_of(self, kit_key: str) -> Mapping[str, Json]:
        """What a kit's gowns are made of."""
        kit = self.kits[kit_key]
        return self.designs[kit["revision_id"], kit["size_id"], kit["purpose"]]

    def lot(self, supply_key: str) -> Mapping[str, Json]:
        """The lot of a supply as it was."""
        found: Mapping[str, Json] = self.document["lots"][supply_key.partition(".")[0]]
        return found

    def material_name(self, material_key: str) -> str:
        """A material's name as it was."""
        return str(self.document["materials"].get(material_key, {}).get("name", ""))

    @cached_property
    def rest(self) -> Rest | None:
        """What an earlier plan had not cut, where this one plans that anew."""
        found = self.document.get("rest")
        return value_of(Rest, found) if found else None

    def fits(self, batch: Batch) -> bool:
        """Does the batch still make what was planned, of the same materials, cut the same way?"""
        now = (lines_now(batch), choices_now(batch), batch.cutting_way)
        return now == (self.document["lines"], self.document["choices"], self.cutting_way)

    @property
    def cutting_way(self) -> str:
        """How the cloth of each lot is cut; together, before there was a choice."""
        return str(self.document["plan"].get("cutting_way", "together"))
