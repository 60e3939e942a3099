"""Hospitals and wards: their rules, pauses and shelves."""

from datetime import date, datetime

import pytest

from gowngroup.catalog.models import Size
from gowngroup.people.models import Person
from gowngroup.records.queries import trail_of
from gowngroup.wards.actions import (
    HospitalNameTaken,
    ImpossibleWard,
    WardDetails,
    WardNameTaken,
    add_hospital,
    add_ward,
    change_hospital,
    change_ward,
    pause_ward,
    set_shelf_level,
    set_shelf_levels,
)
from gowngroup.wards.models import ShelfLevel, Ward
from gowngroup.wards.queries import low_shelf_levels, ward_blocks
from tests.factories import HospitalFactory, SizeFactory, WardFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def size(db: None) -> Size:
    return SizeFactory()


@pytest.fixture
def ward(size: Size) -> Ward:
    return WardFactory(sizes=[size])


def details(size: Size, **changes: object) -> WardDetails:
    values: dict[str, object] = {"name": "Special care", "sizes": [size], "closures": ["wrap"]}
    return WardDetails(**{**values, **changes})  # type: ignore[arg-type] # as typed into the form


def test_a_ward_is_added_with_its_rules(size: Size, coordinator: Person, at: datetime) -> None:
    """A new ward has its hospital, sizes and closures."""
    hospital = add_hospital(name=" Hill Hospital ", by=coordinator, at=at)
    ward = add_ward(hospital=hospital, details=details(size, wash_c=71), by=coordinator, at=at)
    assert (str(ward), ward.wash_c, list(ward.sizes.all())) == ("Special care, Hill Hospital", 71, [size])


def test_names_are_taken_once(ward: Ward, size: Size, coordinator: Person, at: datetime) -> None:
    """A hospital's name, and a ward's within its hospital, is taken once, whatever the capitals."""
    with pytest.raises(HospitalNameTaken):
        add_hospital(name=ward.hospital.name.upper(), by=coordinator, at=at)
    with pytest.raises(WardNameTaken):
        add_ward(hospital=ward.hospital, details=details(size, name=ward.name.lower()), by=coordinator, at=at)
    assert change_hospital(
        hospital=ward.hospital, name=ward.hospital.name, address="Hill", by=coordinator, at=at
    ).pk


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"sizes": []}, "sizes"),
        ({"closures": []}, "closures"),
        ({"closures": ["metal snap"]}, "closures"),
        ({"wash_c": 140}, "wash_c"),
        ({"wash_c": -60}, "wash_c"),
        ({"avoided_shades": ["y"]}, "avoided_shades"),
        ({"avoided_shades": ["please nothing that is yellow or looks yellow"]}, "avoided_shades"),
        ({"avoided_shades": [f"shade {number}" for number in range(21)]}, "avoided_shades"),
    ],
)
def test_impossible_rules_are_refused(
    changes: dict[str, object], field: str, size: Size, coordinator: Person, at: datetime
) -> None:
    """A ward without sizes or closures, or with an impossible wash or shade, is refused at its field."""
    with pytest.raises(ImpossibleWard) as refusal:
        add_ward(hospital=HospitalFactory(), details=details(size, **changes), by=coordinator, at=at)
    assert refusal.value.field == field
    assert not Ward.objects.exists()


def test_the_trail_names_personal_fields_without_values(
    ward: Ward, size: Size, coordinator: Person, at: datetime
) -> None:
    """The contact's data never stand in the trail, only that they changed."""
    new = details(size, contact_name="Sister Example", contact_email="ward@example.org", wash_c=65)
    change_ward(ward=ward, details=new, by=coordinator, at=at)
    changes = trail_of(ward)[0].changes
    assert (changes["contact_name"], changes["wash_c"]) == ("changed", [60, 65])
    assert "Example" not in str(changes)


def test_avoided_shades_are_kept_each_once(ward: Ward, size: Size, coordinator: Person, at: datetime) -> None:
    """Words are kept in their order without blanks or doubles, and the trail tells what they were."""
    new = details(size, avoided_shades=[" yellow", "Red ", "YELLOW", ""])
    changed = change_ward(ward=ward, details=new, by=coordinator, at=at)
    assert changed.avoided_shades == ["yellow", "Red"]
    assert trail_of(ward)[0].changes["avoided_shades"] == [[], ["yellow", "Red"]]


def test_what_a_ward_does_not_take_is_said(ward: Ward, size: Size, at: datetime) -> None:
    """Size, closure, wash, shade and pause each block a delivery with a sentence; a gown that suits has none."""
    other = SizeFactory(upper_mass_g=4500, lower_mass_g=3500)
    fine = {"size": size, "closure": "wrap", "wash_max_c": 60, "shade": "Lawn, white", "on": at.date()}
    assert ward_blocks(ward, **fine) == ()  # type: ignore[arg-type] # a row of a table
    ward.paused_until, ward.avoided_shades = at.date(), ["yellow"]
    blocks = ward_blocks(
        ward, size=other, closure="ties", wash_max_c=40, shade="Lawn, pale Yellow", on=at.date()
    )
    assert [
        word in block
        for word, block in zip(
            ["until 10 March 2026", "not on the list", "short ties", "40 °C", "pale Yellow"],
            blocks,
            strict=True,
        )
    ] == [True] * 5


def test_a_pause_lies_ahead_and_can_end(ward: Ward, coordinator: Person, at: datetime) -> None:
    """A pause until a day gone is asked back; no day ends it."""
    with pytest.raises(ImpossibleWard):
        pause_ward(ward=ward, paused_until=date(2026, 3, 9), by=coordinator, at=at)
    pause_ward(ward=ward, paused_until=date(2026, 4, 9), by=coordinator, at=at)
    assert pause_ward(ward=ward, paused_until=None, by=coordinator, at=at).paused_until is None


def test_the_agreed_shelf_says_what_is_missing(
    ward: Ward, size: Size, coordinator: Person, at: datetime
) -> None:
    """A shelf below its agreed number is found, and none agreed ends it."""
    set_shelf_levels(ward=ward, levels={size: (3, 1)}, by=coordinator, at=at)
    assert [level.minimum_count for level in low_shelf_levels()] == [3]
    set_shelf_level(ward=ward, size=size, minimum_count=3, present_count=3, by=coordinator, at=at)
    assert not low_shelf_levels().exists()
    assert (
        set_shelf_level(ward=ward, size=size, minimum_count=0, present_count=0, by=coordinator, at=at) is None
    )
    assert not ShelfLevel.objects.exists()


@pytest.mark.parametrize(
    ("minimum", "present", "field"), [(-1, 0, "minimum_count"), (1, 500, "present_count")]
)
def test_impossible_shelves_are_refused(
    minimum: int, present: int, field: str, ward: Ward, size: Size, coordinator: Person, at: datetime
) -> None:
    """A shelf holds neither fewer than no gowns nor hundreds."""
    with pytest.raises(ImpossibleWard) as refusal:
        set_shelf_level(
            ward=ward, size=size, minimum_count=minimum, present_count=present, by=coordinator, at=at
        )
    assert refusal.value.field == field
