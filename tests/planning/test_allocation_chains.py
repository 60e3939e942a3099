"""Kits that were left out find room where a smaller one moves on."""

import pytest

from gowngroup.planning.allocation import ClothWishes, CuttingSettings, KitCloth, chains
from gowngroup.planning.allocation.chains import make_room
from gowngroup.planning.allocation.filled import Filled
from gowngroup.planning.allocation.table import Table
from gowngroup.planning.lay.engines import QUICK_ENGINES
from tests.planning.test_allocation_best import kit, lot

LOTS = [lot("L1", 400), lot("L2", 310)]


def filled(kits: list[KitCloth], on: dict[str, str]) -> tuple[Filled, Table]:
    """Lots with kits put on them, the others left out."""
    table = Table(kits, LOTS, CuttingSettings(), engines=QUICK_ENGINES)
    found = Filled(bolts=table.bolts())
    for group in table.groups:
        (key,) = group.kit_keys
        if key in on:
            found.bolts[on[key]].groups.append(group)
        else:
            found.unmade.append(group)
    return found, table


def lying(found: Filled) -> dict[str, set[str]]:
    return {key: {k for group in bolt.groups for k in group.kit_keys} for key, bolt in found.bolts.items()}


def test_a_smaller_kit_moves_on_for_one_left_out() -> None:
    """A kit too long for either left-over takes the place of a shorter one, which fits the other lot's left-over."""
    found, table = filled(
        [kit("A", 300), kit("B", 80), kit("C", 215), kit("D", 100)], {"A": "L1", "B": "L1", "C": "L2"}
    )
    make_room(found, table)
    assert (lying(found), found.unmade) == ({"L1": {"A", "D"}, "L2": {"B", "C"}}, [])


def test_moves_are_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without a move allowed the shorter kit stays where it lies."""
    monkeypatch.setattr(chains, "_MOST_MOVES", 0)
    found, table = filled(
        [kit("A", 300), kit("B", 80), kit("C", 215), kit("D", 100)], {"A": "L1", "B": "L1", "C": "L2"}
    )
    make_room(found, table)
    assert lying(found) == {"L1": {"A", "B"}, "L2": {"C"}}


def test_a_kit_that_fits_as_it_is_moves_nobody() -> None:
    """A left-over long enough is taken at once."""
    found, table = filled([kit("A", 300), kit("B", 80)], {"A": "L1"})
    make_room(found, table)
    assert lying(found) == {"L1": {"A"}, "L2": {"B"}}


def test_a_lot_not_opened_is_opened_for_it() -> None:
    """More gowns come before fewer lots."""
    found, table = filled([kit("A", 300), kit("B", 150)], {"A": "L1"})
    make_room(found, table)
    assert lying(found)["L2"] == {"B"}


def test_nobody_moves_where_nothing_is_gained() -> None:
    """Where the kit that leaves finds no room either, all stays as it was."""
    kits = [kit("A", 300), kit("B", 90), kit("C", 290), kit("D", 100)]
    found, table = filled(kits, {"A": "L1", "B": "L1", "C": "L2"})
    before = lying(found)
    make_room(found, table)
    assert (lying(found), [group.kit_keys for group in found.unmade]) == (before, [("D",)])


def test_a_kit_moves_only_to_cloth_that_suits_it() -> None:
    """The shorter kit stays where no other lot suits it."""
    wish = ClothWishes(kinds=("linen",))
    kits = [
        kit("A", 300),
        kit("B", 80, lot_key="L1"),
        kit("C", 215),
        kit("D", 100, wishes=wish),
        kit("E", 100, lot_key="L1"),
    ]
    found, table = filled(kits, {"A": "L1", "B": "L1", "C": "L2"})
    before = lying(found)
    make_room(found, table)
    assert lying(found) == before


def test_tries_are_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without a lay left to try nobody moves."""
    monkeypatch.setattr(chains, "_MOST_TRIES", 0)
    found, table = filled([kit("A", 300), kit("B", 80)], {"A": "L1"})
    make_room(found, table)
    assert lying(found)["L2"] == set()
