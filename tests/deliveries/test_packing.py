"""What may be packed for a ward, in which order and which box."""

from collections.abc import Callable
from datetime import date, datetime
from functools import partial

import pytest

from gowngroup.batches.models import MatchedSet
from gowngroup.deliveries.actions import (
    call_drop_off_off,
    fill_drop_off,
    pack_gown,
    serve_urgent_request,
    start_drop_off,
    unpack_gown,
)
from gowngroup.deliveries.errors import (
    DropOffMovedOn,
    GownIsElsewhere,
    ImpossibleDay,
    NothingOnTheShelf,
    WardRefusesGown,
    WardTakesNothing,
)
from gowngroup.deliveries.models import DropOff, DropOffGown
from gowngroup.deliveries.queries import open_lines, packed_rows, still_wanted
from gowngroup.gowns.models import Gown
from gowngroup.people.models import Person
from gowngroup.wards.models import RequestLine, Ward
from tests.factories import RequestLineFactory
from tests.race import overlapping

pytestmark = pytest.mark.django_db
Shelf = Callable[..., list[Gown]]


def packed_codes(drop_off: DropOff) -> list[str]:
    return [row.gown.code for row in packed_rows(drop_off).order_by("pk")]


def test_the_oldest_gowns_go_first(
    drop_off: DropOff, line: RequestLine, shelf: Shelf, packer: Person, at: datetime
) -> None:
    """A drop-off is filled with as many gowns as are asked for, those that passed first at the top."""
    gowns = shelf(6)
    fill_drop_off(drop_off=drop_off, by=packer, at=at)
    assert packed_codes(drop_off) == [gown.code for gown in gowns[:4]]


def test_what_is_packed_is_wanted_no_more(
    drop_off: DropOff, line: RequestLine, shelf: Shelf, packer: Person, at: datetime
) -> None:
    """Filling again packs only what is still wanted, and says so when that is nothing."""
    shelf(6)
    fill_drop_off(drop_off=drop_off, by=packer, at=at)
    assert open_lines(drop_off.ward) == []
    with pytest.raises(NothingOnTheShelf, match="not packed yet"):
        fill_drop_off(drop_off=drop_off, by=packer, at=at)


def test_what_is_wanted_is_told_together(drop_off: DropOff, line: RequestLine) -> None:
    """What two requests of a ward want of one size and purpose is one number; urgent ones and others stand apart."""
    ward, size = drop_off.ward, line.size
    for is_urgent, purpose in ((False, line.purpose), (True, line.purpose), (False, "memorial")):
        RequestLineFactory(
            request__ward=ward, request__is_urgent=is_urgent, size=size, purpose=purpose, gown_count=3
        )
    told = [(each.is_urgent, each.purpose, each.gown_count) for each in still_wanted(ward)]
    assert told == [
        (True, line.purpose, 3),
        (False, line.purpose, line.gown_count + 3),
        (False, "memorial", 3),
    ]
    assert {each.size for each in still_wanted(ward)} == {size}


def test_urgent_requests_come_first(
    drop_off: DropOff, line: RequestLine, shelf: Shelf, packer: Person, at: datetime
) -> None:
    """Where the shelf is short, an urgent request is served before an older one."""
    urgent = RequestLineFactory(
        request__ward=drop_off.ward, request__is_urgent=True, size=line.size, gown_count=1
    )
    shelf(1)
    fill_drop_off(drop_off=drop_off, by=packer, at=at)
    assert packed_rows(drop_off).get().request_line == urgent


def test_a_matched_set_goes_to_who_asked_for_it(
    drop_off: DropOff, line: RequestLine, shelf: Shelf, packer: Person, at: datetime
) -> None:
    """The gowns made as a set for a line are packed for it before any others."""
    gowns = shelf(6)
    Gown.objects.filter(pk=gowns[5].pk).update(matched_set=MatchedSet.objects.create(request_line=line))
    fill_drop_off(drop_off=drop_off, by=packer, at=at)
    assert gowns[5].code in packed_codes(drop_off)


def test_memorial_gowns_have_a_box_of_their_own(
    drop_off: DropOff, shelf: Shelf, packer: Person, at: datetime
) -> None:
    """Memorial gowns never share a box with gowns to wear."""
    boxes = {
        purpose: pack_gown(drop_off=drop_off, gown=shelf(1, purpose=purpose)[0], by=packer, at=at).box_number
        for purpose in ("worn", "memorial")
    }
    assert boxes["worn"] != boxes["memorial"]


def test_the_wards_rules_hold(drop_off: DropOff, shelf: Shelf, packer: Person, at: datetime) -> None:
    """A gown whose closure the ward does not accept is refused with the reason."""
    with pytest.raises(WardRefusesGown, match="closure"):
        pack_gown(drop_off=drop_off, gown=shelf(1, closure="ties")[0], by=packer, at=at)
    assert not packed_rows(drop_off).exists()


@pytest.mark.parametrize("state", ["back", "mending", "to wash", "washed", "set aside", "practice", "left"])
def test_only_gowns_on_the_shelf_are_packed(
    state: str, drop_off: DropOff, shelf: Shelf, packer: Person, at: datetime
) -> None:
    """A gown that has not passed, or has left, cannot be packed."""
    gown = shelf(1)[0]
    Gown.objects.filter(pk=gown.pk).update(state=state)
    with pytest.raises(GownIsElsewhere, match="not on the shelf"):
        pack_gown(drop_off=drop_off, gown=gown, by=packer, at=at)


def test_a_gown_is_in_one_drop_off(
    drop_off: DropOff, shelf: Shelf, ward: Ward, packer: Person, at: datetime
) -> None:
    """A packed gown is refused elsewhere until it is taken out."""
    gown = shelf(1)[0]
    other = start_drop_off(ward=ward, planned_on=at.date(), driver=None, by=packer, at=at)
    pack_gown(drop_off=drop_off, gown=gown, by=packer, at=at)
    with pytest.raises(GownIsElsewhere, match="packed for a ward already"):
        pack_gown(drop_off=other, gown=gown, by=packer, at=at)
    unpack_gown(drop_off=drop_off, gown=gown, by=packer, at=at)
    assert pack_gown(drop_off=other, gown=gown, by=packer, at=at).drop_off == other


def test_a_paused_ward_takes_nothing(ward: Ward, packer: Person, at: datetime) -> None:
    """No drop-off is started for a day on which the ward wants no deliveries."""
    Ward.objects.filter(pk=ward.pk).update(paused_until=date(2026, 3, 20))
    ward.refresh_from_db()
    with pytest.raises(WardTakesNothing, match="20 March 2026"):
        start_drop_off(ward=ward, planned_on=at.date(), driver=None, by=packer, at=at)


@pytest.mark.parametrize("day", [date(2026, 3, 9), date(2027, 3, 10)])
def test_impossible_days_are_asked_back(day: date, ward: Ward, packer: Person, at: datetime) -> None:
    """A day in the past or far ahead is refused and the field named."""
    with pytest.raises(ImpossibleDay) as caught:
        start_drop_off(ward=ward, planned_on=day, driver=None, by=packer, at=at)
    assert caught.value.field == "planned_on"


def test_an_urgent_request_is_served_today(
    ward: Ward, line: RequestLine, shelf: Shelf, packer: Person, at: datetime
) -> None:
    """An urgent request is served from the shelf on the same day, with only what it asks for."""
    urgent = RequestLineFactory(
        request__ward=ward, request__is_urgent=True, size=line.size, gown_count=2, purpose="memorial"
    )
    shelf(3), shelf(3, purpose="memorial")
    drop_off = serve_urgent_request(request=urgent.request, driver=None, by=packer, at=at)
    assert (drop_off.planned_on, drop_off.is_urgent) == (at.date(), True)
    assert [row.request_line for row in packed_rows(drop_off)] == [urgent, urgent]


def test_nothing_for_an_urgent_request_leaves_nothing_behind(
    ward: Ward, line: RequestLine, packer: Person, at: datetime
) -> None:
    """Where nothing suits an urgent request, no empty drop-off is kept."""
    with pytest.raises(NothingOnTheShelf, match="telephone"):
        serve_urgent_request(request=line.request, driver=None, by=packer, at=at)
    assert not DropOff.objects.exists()


def test_calling_off_sets_gowns_free(
    drop_off: DropOff, line: RequestLine, shelf: Shelf, packer: Person, at: datetime
) -> None:
    """A drop-off called off lets its gowns be packed again, and takes no more."""
    gown = shelf(1)[0]
    pack_gown(drop_off=drop_off, gown=gown, by=packer, at=at)
    call_drop_off_off(drop_off=drop_off, by=packer, at=at)
    assert len(open_lines(drop_off.ward)) == 1
    with pytest.raises(DropOffMovedOn, match="called off"):
        pack_gown(drop_off=drop_off, gown=gown, by=packer, at=at)


@pytest.mark.django_db(transaction=True)
@pytest.mark.usefixtures("race_database")
def test_two_who_pack_for_a_ward_answer_a_line_once(
    drop_off: DropOff, line: RequestLine, shelf: Shelf, packer: Person, at: datetime
) -> None:
    """Two drop-offs to one ward are packed at the same moment: what one of them takes, the other knows to be wanted no more."""
    RequestLine.objects.filter(pk=line.pk).update(gown_count=1)
    other = start_drop_off(ward=drop_off.ward, planned_on=at.date(), driver=None, by=packer, at=at)
    gowns = shelf(2)
    packings = [
        partial(pack_gown, drop_off=each, gown=gown, by=packer, at=at)
        for each, gown in zip((drop_off, other), gowns, strict=True)
    ]
    overlapping(*packings)
    assert DropOffGown.objects.count() == 2
    assert DropOffGown.objects.filter(request_line=line).count() == 1
