"""Two people want the last metre at the same moment."""

import time
from collections.abc import Iterator
from datetime import datetime
from functools import partial
from pathlib import Path

import pytest

from gowngroup.people.models import Person
from gowngroup.stock.actions import receive_lot, reserve_amount
from gowngroup.stock.actions.errors import ShortOnShelf
from gowngroup.stock.models import LedgerLine, Lot
from gowngroup.stock.queries import violations
from tests.factories import MaterialFactory
from tests.race import at_once, database_in_a_file

pytestmark = pytest.mark.django_db(transaction=True)

METRE = 1_000_000
PEOPLE = 2
ROUNDS = 10


@pytest.fixture(autouse=True)
def _several_at_once(transactional_db: None, tmp_path: Path) -> Iterator[None]:
    """A database that several threads can write to at once."""
    with database_in_a_file(tmp_path / "race.sqlite3"):
        yield


@pytest.fixture
def last_metres(_several_at_once: None, packer: Person, at: datetime) -> list[Lot]:
    """Several lots of lace with one metre left each."""
    lace = MaterialFactory(kind="lace")
    return [receive_lot(material=lace, amount=METRE, by=packer, at=at) for _ in range(ROUNDS)]


def test_the_last_metre_is_reserved_once(last_metres: list[Lot], packer: Person, at: datetime) -> None:
    """Of two who reserve the last metre at once one gets it, the other a sentence with both amounts."""

    def reserve(mine: Lot) -> LedgerLine | ShortOnShelf:
        try:
            return reserve_amount(lot=mine, amount=METRE, reference="plan", by=packer, at=at)
        except ShortOnShelf as refusal:
            return refusal

    for lot in last_metres:
        results = at_once([partial(reserve, Lot.objects.get(pk=lot.pk)) for _ in range(PEOPLE)])
        assert sorted(type(result).__name__ for result in results) == ["LedgerLine", "ShortOnShelf"]
        refusal = next(result for result in results if isinstance(result, ShortOnShelf))
        assert "0 cm free, 1 m wanted" in refusal.message
    assert set(Lot.objects.values_list("reserved_amount", flat=True)) == {METRE}
    assert violations() == []


def test_reading_checking_and_saving_would_give_it_to_both(
    last_metres: list[Lot], packer: Person, at: datetime
) -> None:
    """The naive way, kept as the negative control: both are told the last metre is theirs."""

    def naive() -> bool:
        mine = Lot.objects.get(pk=last_metres[0].pk)
        if mine.free_amount < METRE:
            return False
        time.sleep(0.2)  # somebody thinks, or a packet is slow
        mine.reserved_amount += METRE
        mine.save()
        LedgerLine.objects.create(lot=mine, kind="reserve", reserved_change=METRE, at=at, by=packer)
        return True

    assert at_once([naive] * PEOPLE) == [True, True]
    assert len(violations()) == 1
