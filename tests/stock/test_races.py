"""Two people want the last metre at the same moment."""

import threading
from collections.abc import Iterator
from datetime import datetime
from functools import partial
from pathlib import Path

import pytest

from gowngroup.people.models import Person
from gowngroup.stock.actions import add_flaw, issue_free, mark_flaws, receive_lot, reserve_amount
from gowngroup.stock.actions.errors import ShortOnShelf
from gowngroup.stock.models import LedgerLine, Lot
from gowngroup.stock.queries import violations
from tests.factories import MaterialFactory
from tests.race import at_once, database_in_a_file, overlapping

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

    both_have_read = threading.Barrier(PEOPLE)

    def naive() -> bool:
        mine = Lot.objects.get(pk=last_metres[0].pk)
        if mine.free_amount < METRE:
            return False
        both_have_read.wait(timeout=60)
        mine.reserved_amount += METRE
        mine.save()
        LedgerLine.objects.create(lot=mine, kind="reserve", reserved_change=METRE, at=at, by=packer)
        return True

    assert at_once([naive] * PEOPLE) == [True, True]
    assert len(violations()) == 1


def test_flaws_move_with_each_of_two_cuts(packer: Person, at: datetime) -> None:
    """Of two who cut from a cloth at once the second moves its flaws on from where the first has moved them."""
    cloth = receive_lot(material=MaterialFactory(), amount=5 * METRE, width_um=METRE, by=packer, at=at)
    mark_flaws(lot=cloth, flaws=[{"from_um": 3 * METRE, "to_um": 4 * METRE}], by=packer, at=at)

    def cut() -> object:
        return issue_free(lot=Lot.objects.get(pk=cloth.pk), amount=METRE, reason="test", by=packer, at=at)

    overlapping(cut, cut)
    cloth.refresh_from_db()
    assert cloth.flaws == [{"from_um": METRE, "to_um": 2 * METRE}]


def test_each_of_two_marks_a_flaw(packer: Person, at: datetime) -> None:
    """Two who mark a flaw each at once both find theirs marked."""
    cloth = receive_lot(material=MaterialFactory(), amount=5 * METRE, width_um=METRE, by=packer, at=at)
    shown = [Lot.objects.get(pk=cloth.pk) for _ in range(PEOPLE)]
    overlapping(
        lambda: add_flaw(lot=shown[0], from_um=0, to_um=METRE, by=packer, at=at),
        lambda: add_flaw(lot=shown[1], from_um=2 * METRE, to_um=3 * METRE, by=packer, at=at),
    )
    cloth.refresh_from_db()
    assert [flaw["from_um"] for flaw in cloth.flaws] == [0, 2 * METRE]
