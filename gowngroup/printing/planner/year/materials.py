"""Cloth cut against cloth planned, what donors gave and where it went, what came onto the shelf and went off it."""

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from gowngroup.catalog.models import MaterialKind
from gowngroup.printing.year_queries import Rows
from gowngroup.stock.amounts import amount_text
from gowngroup.stock.models import Material

PLACES = {kind: place for place, kind in enumerate(MaterialKind.values)}


@dataclass(frozen=True, slots=True, kw_only=True)
class ClothLine:
    """One cloth: the length planned, the length really cut, from how many lays."""

    name: str
    lays: int
    planned_um: int
    cut_um: int


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenLine:
    """What was given of one kind, or by one donor: given = used + other + counted away + left."""

    name: str
    kind: str
    is_counted: bool
    lots: int
    given: int
    used: int
    other: int
    counted: int
    left: int
    gowns_made: int
    gowns_left: int

    def words(self, amount: int) -> str:
        """An amount in the reader's words, a dash for nothing."""
        return in_words(amount, _material(self.kind, is_counted=self.is_counted))

    @property
    def kind_name(self) -> str:
        return str(MaterialKind(self.kind).label)

    @property
    def given_words(self) -> str:
        return self.words(self.given)

    @property
    def used_words(self) -> str:
        return self.words(self.used)

    @property
    def other_words(self) -> str:
        return self.words(self.other)

    @property
    def counted_words(self) -> str:
        return self.words(self.counted)

    @property
    def left_words(self) -> str:
        return self.words(self.left)

    @property
    def adds_up(self) -> bool:
        return self.given == self.used + self.other + self.counted + self.left


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfLine:
    """One kind of material: what came onto the shelf and went off it, in the reader's words."""

    kind: str
    received: str
    cut_or_packed: str
    taken: str
    put_back: str
    counted: str


def in_words(amount: int, material: Material) -> str:
    """An amount in the reader's words, with a minus where it is below nothing and a dash for nothing."""
    if not amount:
        return "–"
    return f"− {amount_text(-amount, material)}" if amount < 0 else amount_text(amount, material)


def cloth_lines(rows: Rows) -> tuple[ClothLine, ...]:
    """Cloth by name, what was cut most first."""
    lines = (
        ClothLine(
            name=", ".join(
                part for part in (row["lot__material__name"], row["lot__material__shade"]) if part
            ),
            lays=row["lays"],
            planned_um=row["planned_um"],
            cut_um=row["cut_um"] or 0,
        )
        for row in rows
    )
    return tuple(sorted(lines, key=lambda line: (-line.cut_um, line.name)))


def given_by_kind(rows: Rows) -> tuple[GivenLine, ...]:
    """What was given, by kind of material in their usual order."""
    return _given(rows, lambda row: row["material__kind"])


def given_by_donor(rows: Rows) -> tuple[GivenLine, ...]:
    """What each donor gave of each kind, donors by name."""
    lines = _given(rows, lambda row: (row["donor_id"], row["material__kind"]), by_donor=True)
    return tuple(sorted(lines, key=lambda line: (line.name, _place(line.kind))))


def _given(
    rows: Rows, key: Callable[[Mapping[str, Any]], Hashable], *, by_donor: bool = False
) -> tuple[GivenLine, ...]:
    groups: dict[Hashable, list[Mapping[str, Any]]] = {}
    for row in rows:
        groups.setdefault((key(row), row["material__is_counted"]), []).append(row)
    lines = (_given_line(found, by_donor=by_donor) for found in groups.values())
    return tuple(sorted(lines, key=lambda line: (_place(line.kind), line.is_counted)))


def _given_line(rows: list[Mapping[str, Any]], *, by_donor: bool) -> GivenLine:
    def added(field: str) -> int:
        return sum(row[field] or 0 for row in rows)

    kind = rows[0]["material__kind"]
    return GivenLine(
        name=rows[0]["donor__name"] if by_donor else str(MaterialKind(kind).label),
        kind=kind,
        is_counted=rows[0]["material__is_counted"],
        lots=sum(row["opened_from__donor_id"] != row["donor_id"] for row in rows),
        given=added("given"),
        used=-added("used"),
        other=-added("other"),
        counted=-added("counted"),
        left=added("on_hand_amount"),
        gowns_made=added("gowns_made"),
        gowns_left=added("gowns_left"),
    )


def _place(kind: str) -> int:
    return PLACES[kind]


@cache
def _material(kind: str, *, is_counted: bool) -> Material:
    """Any material of a kind, to say amounts of it; made once, since a report says hundreds."""
    return Material(kind=kind, is_counted=is_counted)


def shelf_lines(rows: Rows) -> tuple[ShelfLine, ...]:
    """What came onto the shelf and went off it, by kind of material."""
    ordered = sorted(
        rows, key=lambda row: (_place(row["lot__material__kind"]), row["lot__material__is_counted"])
    )
    return tuple(_shelf_line(row) for row in ordered)


def _shelf_line(row: Mapping[str, Any]) -> ShelfLine:
    kind = row["lot__material__kind"]
    material = _material(kind, is_counted=row["lot__material__is_counted"])

    def words(amount: int | None) -> str:
        return in_words(amount or 0, material)

    return ShelfLine(
        kind=str(MaterialKind(kind).label),
        received=words(row["received"]),
        cut_or_packed=words(-(row["cut"] or 0) - (row["packed"] or 0)),
        taken=words(-(row["taken"] or 0)),
        put_back=words(row["put_back"]),
        counted=words(row["counted"]),
    )


def cloth_in_ledger_um(rows: Rows) -> int:
    """The cloth that left the shelf for lays, as the ledger has it."""
    return -sum(row["cut"] or 0 for row in rows if row["lot__material__kind"] == MaterialKind.CLOTH)
