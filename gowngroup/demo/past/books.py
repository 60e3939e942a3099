"""Writing many rows at once: those of a kind together, codes and receipt numbers from their counters, the trail."""

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import TypeVar

from django.db import models

from gowngroup.people.models import Person
from gowngroup.records.codes import code_of
from gowngroup.records.models import Counter, TrailLine
from gowngroup.stock.models import LedgerLine, Lot

M = TypeVar("M", bound=models.Model)
AT_ONCE = 500


def written(rows: Sequence[M]) -> list[M]:
    """The rows, now in the database and with their numbers."""
    if not rows:
        return []
    return type(rows[0])._base_manager.bulk_create(rows, batch_size=AT_ONCE)


class Numbers:
    """The counter of codes or receipts, drawn from many times and put back once."""

    def __init__(self, name: str) -> None:
        self._counter, _is_new = Counter.objects.get_or_create(name=name)

    def next(self) -> int:
        """The number after the last."""
        self._counter.value += 1
        return self._counter.value

    def put_back(self) -> None:
        """Note the last number drawn."""
        self._counter.save(update_fields=["value"])


class Codes(Numbers):
    """Codes of kits, gowns or lots."""

    def __init__(self, prefix: str) -> None:
        super().__init__(f"code-{prefix}")
        self._codes = self._drawn(prefix)

    def _drawn(self, prefix: str) -> Iterator[str]:
        while True:
            code = code_of(prefix, self.next())
            if code is not None:
                yield code

    def draw(self) -> str:
        """A code never given before."""
        return next(self._codes)


class Books:
    """The lines of ledger and trail of one month, kept together until they are written."""

    def __init__(self) -> None:
        self.ledger: list[LedgerLine] = []
        self.trail: list[TrailLine] = []

    def book(
        self,
        lot: Lot,
        kind: str,
        by: Person,
        at: datetime,
        *,
        change: int = 0,
        reserved: int = 0,
        of: str = "",
    ) -> None:
        """One movement of a lot."""
        self.ledger.append(
            LedgerLine(
                lot=lot,
                kind=kind,
                on_hand_change=change,
                reserved_change=reserved,
                reference=of,
                by=by,
                at=at,
            )
        )

    def tell(self, did: str, subject: models.Model, by: Person, at: datetime | None) -> None:
        """One line of the trail."""
        if at is None:
            raise ValueError(f"{did}: every line of the trail has its moment")
        kind = subject._meta.label_lower
        self.trail.append(TrailLine(by=by, at=at, did=did, subject_type=kind, subject_id=subject.pk))

    def write(self) -> None:
        """Write all of them, the trail in the order of its moments."""
        written(self.ledger)
        written(sorted(self.trail, key=lambda line: line.at))
