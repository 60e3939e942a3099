"""What wards ask for: entering, changing, repeating and meeting requests."""

from datetime import date, datetime, timedelta

import pytest

from gowngroup.catalog.models import Size
from gowngroup.people.models import Person
from gowngroup.records.errors import Refusal
from gowngroup.records.queries import trail_of
from gowngroup.wards.actions import (
    AskedTwice,
    DeliveredAlready,
    EmptyRequest,
    ImpossibleCount,
    ImpossibleMonth,
    ImpossibleSet,
    LineEntry,
    MoreThanAsked,
    NotOnTheList,
    RequestIsClosed,
    WardIsPaused,
    book_met,
    book_unmet,
    change_request,
    enter_request,
    pause_ward,
    repeat_standing_requests,
    withdraw_request,
)
from gowngroup.wards.models import RequestLine, Ward, WardRequest
from gowngroup.wards.planner import mix_hints
from gowngroup.wards.queries import monthly_means, open_request_lines, requests, usual_counts
from tests.factories import RequestLineFactory, SizeFactory, WardFactory

pytestmark = pytest.mark.django_db
MARCH, APRIL = date(2026, 3, 1), date(2026, 4, 1)


@pytest.fixture
def small(db: None) -> Size:
    return SizeFactory(lower_mass_g=1000, upper_mass_g=1500, body_length_um=400_000, chest_um=260_000)


@pytest.fixture
def big(db: None) -> Size:
    return SizeFactory(lower_mass_g=2500, upper_mass_g=3500, body_length_um=510_000, chest_um=330_000)


@pytest.fixture
def ward(small: Size, big: Size) -> Ward:
    return WardFactory(sizes=[small, big])


def worn(size: Size, count: int, set_number: int | None = None) -> LineEntry:
    return LineEntry(size=size, purpose="worn", gown_count=count, set_number=set_number)


@pytest.fixture
def request_of_ward(ward: Ward, small: Size, coordinator: Person, at: datetime) -> WardRequest:
    return enter_request(
        ward=ward, month=MARCH, lines=[worn(small, 6)], is_standing=True, by=coordinator, at=at
    )


def test_entering_keeps_lines_and_trail(request_of_ward: WardRequest) -> None:
    """A request has its lines, the first day of its month and one line in the trail."""
    assert [(line.gown_count, line.open_count) for line in request_of_ward.lines.all()] == [(6, 6)]
    assert request_of_ward.month == MARCH
    assert [line.did for line in trail_of(request_of_ward)] == ["enter_request"]


def test_same_size_and_purpose_are_added_up(
    ward: Ward, small: Size, coordinator: Person, at: datetime
) -> None:
    """Two numbers for one size and purpose make one line."""
    entered = enter_request(
        ward=ward, month=MARCH, lines=[worn(small, 2), worn(small, 3)], by=coordinator, at=at
    )
    assert [line.gown_count for line in entered.lines.all()] == [5]


@pytest.mark.parametrize(
    ("count", "set_number", "refusal"),
    [
        (None, None, EmptyRequest),
        (0, None, ImpossibleCount),
        (-2, None, ImpossibleCount),
        (201, None, ImpossibleCount),
        (1, 1, ImpossibleSet),
        (4, 1, ImpossibleSet),
    ],
)
def test_impossible_requests_are_refused_and_nothing_is_saved(
    count: int | None,
    set_number: int | None,
    refusal: type[Refusal],
    ward: Ward,
    small: Size,
    coordinator: Person,
    at: datetime,
) -> None:
    """A request that asks for nothing, for impossible numbers or for a set that is none is refused whole."""
    lines = [] if count is None else [worn(small, count, set_number)]
    with pytest.raises(refusal):
        enter_request(ward=ward, month=MARCH, lines=lines, by=coordinator, at=at)
    assert not WardRequest.objects.exists()


@pytest.mark.parametrize("month", [date(2026, 2, 1), date(2027, 4, 1)])
def test_months_gone_or_far_ahead_are_refused(
    month: date, ward: Ward, small: Size, coordinator: Person, at: datetime
) -> None:
    """A month that has passed, or more than a year ahead, is asked back."""
    with pytest.raises(ImpossibleMonth) as refusal:
        enter_request(ward=ward, month=month, lines=[worn(small, 1)], by=coordinator, at=at)
    assert refusal.value.field == "month"


def test_size_not_on_the_list_is_blocked(ward: Ward, coordinator: Person, at: datetime) -> None:
    """A size the ward has not on its list is blocked with a sentence naming both."""
    other = SizeFactory(lower_mass_g=3500, upper_mass_g=4500)
    with pytest.raises(NotOnTheList, match="3500–4500 g is not on the list of"):
        enter_request(ward=ward, month=MARCH, lines=[worn(other, 1)], by=coordinator, at=at)


def test_paused_ward_is_blocked_only_while_it_pauses(
    ward: Ward, small: Size, coordinator: Person, at: datetime
) -> None:
    """A paused ward gets no request for the months of its pause, but one for a later month."""
    pause_ward(ward=ward, paused_until=at.date() + timedelta(days=10), by=coordinator, at=at)
    ward.refresh_from_db()
    with pytest.raises(WardIsPaused, match="20 March 2026"):
        enter_request(ward=ward, month=MARCH, lines=[worn(small, 1)], by=coordinator, at=at)
    assert enter_request(ward=ward, month=APRIL, lines=[worn(small, 1)], by=coordinator, at=at).pk


def test_a_pause_that_is_over_blocks_nothing(
    ward: Ward, small: Size, coordinator: Person, at: datetime
) -> None:
    """A pause that ended earlier this month does not block a request for this month."""
    ward.paused_until = at.date() - timedelta(days=5)
    ward.save()
    assert enter_request(ward=ward, month=MARCH, lines=[worn(small, 1)], by=coordinator, at=at).pk


def test_one_open_request_a_month_but_urgent_ones_besides(
    request_of_ward: WardRequest, small: Size, coordinator: Person, at: datetime
) -> None:
    """A second request for the month is refused unless it is urgent; urgent ones never repeat."""
    ward = request_of_ward.ward
    with pytest.raises(AskedTwice):
        enter_request(ward=ward, month=MARCH, lines=[worn(small, 1)], by=coordinator, at=at)
    urgent = enter_request(
        ward=ward,
        month=MARCH,
        lines=[worn(small, 1)],
        is_urgent=True,
        is_standing=True,
        by=coordinator,
        at=at,
    )
    assert not urgent.is_standing


def test_the_same_form_twice_is_one_request(
    ward: Ward, small: Size, coordinator: Person, at: datetime
) -> None:
    """Sending the form of a request twice enters it once."""
    both = [
        enter_request(ward=ward, month=MARCH, lines=[worn(small, 1)], by=coordinator, at=at, request_key="k1")
        for _ in range(2)
    ]
    assert both[0] == both[1]
    assert WardRequest.objects.count() == 1


def test_changing_keeps_what_was_met(
    request_of_ward: WardRequest, small: Size, big: Size, coordinator: Person, at: datetime
) -> None:
    """A changed request keeps its delivered gowns, takes new lines and cannot fall below what was met."""
    line = request_of_ward.lines.get()
    book_met(request_line=line, gown_count=4, by=coordinator, at=at)
    changed = change_request(
        request=request_of_ward, lines=[worn(small, 5), worn(big, 2)], by=coordinator, at=at
    )
    assert {(row.gown_count, row.met_count) for row in changed.lines.all()} == {(5, 4), (2, 0)}
    with pytest.raises(DeliveredAlready):
        change_request(request=request_of_ward, lines=[worn(small, 3)], by=coordinator, at=at)


def test_lines_no_longer_wanted_go(
    request_of_ward: WardRequest, big: Size, coordinator: Person, at: datetime
) -> None:
    """A line that is not asked for any more is taken off the request."""
    changed = change_request(request=request_of_ward, lines=[worn(big, 2)], by=coordinator, at=at)
    assert [(row.size, row.gown_count) for row in changed.lines.all()] == [(big, 2)]


def test_matched_sets_keep_their_gowns(
    request_of_ward: WardRequest, small: Size, big: Size, coordinator: Person, at: datetime
) -> None:
    """The gowns of a set stay lines of their own, even where size and purpose are the same."""
    twins = [worn(small, 1, 1), worn(small, 1, 1), worn(big, 1, 2), worn(small, 1, 2)]
    for _ in range(2):
        change_request(request=request_of_ward, lines=twins, by=coordinator, at=at)
    rows = RequestLine.objects.filter(request=request_of_ward).order_by("set_number", "size__upper_mass_g")
    assert [(row.set_number, row.size) for row in rows] == [(1, small), (1, small), (2, small), (2, big)]


def test_meeting_the_last_line_meets_the_request(
    request_of_ward: WardRequest, coordinator: Person, at: datetime
) -> None:
    """A request is met when every line is, and open again when a gown did not arrive."""
    line = request_of_ward.lines.get()
    book_met(request_line=line, gown_count=6, by=coordinator, at=at)
    request_of_ward.refresh_from_db()
    assert request_of_ward.state == WardRequest.State.MET
    book_unmet(request_line=line, gown_count=1, by=coordinator, at=at)
    request_of_ward.refresh_from_db()
    assert request_of_ward.state == WardRequest.State.OPEN


@pytest.mark.parametrize("change", [7, -1])
def test_no_line_is_met_beyond_what_it_asks(
    change: int, request_of_ward: WardRequest, coordinator: Person, at: datetime
) -> None:
    """A line is never met more often than it asks for, nor fewer than no times."""
    line = request_of_ward.lines.get()
    book = book_met if change > 0 else book_unmet
    with pytest.raises(MoreThanAsked):
        book(request_line=line, gown_count=abs(change), by=coordinator, at=at)


def test_withdrawn_requests_are_closed(
    request_of_ward: WardRequest, small: Size, coordinator: Person, at: datetime
) -> None:
    """A withdrawn request neither repeats, nor changes, nor stands among the open lines."""
    withdraw_request(request=request_of_ward, by=coordinator, at=at)
    with pytest.raises(RequestIsClosed):
        change_request(request=request_of_ward, lines=[worn(small, 1)], by=coordinator, at=at)
    assert not open_request_lines(up_to_month=APRIL).exists()
    assert repeat_standing_requests(month=APRIL, by=coordinator, at=at) == []


def test_standing_requests_repeat_once_a_month(
    request_of_ward: WardRequest, coordinator: Person, at: datetime
) -> None:
    """A standing request is entered again for a month, once, and repeats from there."""
    made = repeat_standing_requests(month=APRIL, by=coordinator, at=at)
    assert [(one.month, one.is_standing, one.lines.get().gown_count) for one in made] == [(APRIL, True, 6)]
    assert repeat_standing_requests(month=APRIL, by=coordinator, at=at) == []
    assert len(repeat_standing_requests(month=date(2026, 5, 1), by=coordinator, at=at)) == 1


def test_paused_wards_and_sizes_off_the_list_are_not_repeated(
    request_of_ward: WardRequest, big: Size, coordinator: Person, at: datetime
) -> None:
    """Nothing is repeated for a ward that pauses, nor for a size it has taken off its list."""
    ward = request_of_ward.ward
    pause_ward(ward=ward, paused_until=date(2026, 4, 20), by=coordinator, at=at)
    assert repeat_standing_requests(month=APRIL, by=coordinator, at=at) == []
    ward.sizes.set([big])
    assert repeat_standing_requests(month=date(2026, 5, 1), by=coordinator, at=at) == []


def test_open_lines_come_urgent_first_then_oldest(
    request_of_ward: WardRequest, small: Size, coordinator: Person, at: datetime
) -> None:
    """Open lines stand urgent first, then by month, and leave out months not asked about."""
    ward = request_of_ward.ward
    later = enter_request(ward=ward, month=APRIL, lines=[worn(small, 1)], by=coordinator, at=at)
    urgent = enter_request(
        ward=ward, month=APRIL, lines=[worn(small, 1)], is_urgent=True, by=coordinator, at=at
    )
    found = [line.request for line in open_request_lines(up_to_month=APRIL)]
    assert found == [urgent, request_of_ward, later]
    assert [line.request for line in open_request_lines(up_to_month=MARCH)] == [request_of_ward]


def test_counts_of_a_month(request_of_ward: WardRequest, coordinator: Person, at: datetime) -> None:
    """The list of requests says how many gowns were asked for and met."""
    book_met(request_line=request_of_ward.lines.get(), gown_count=2, by=coordinator, at=at)
    found = requests(month=MARCH).get()
    assert (found.asked_count, found.met_count) == (6, 2)  # type: ignore[attr-defined] # annotated


def test_an_odd_mix_is_a_hint_only(
    ward: Ward, small: Size, big: Size, coordinator: Person, at: datetime
) -> None:
    """Many tiny gowns and none for bigger babies is entered and hinted at.

    Shares of admissions: Dartmouth Atlas of Neonatal Intensive Care (12.7 % below 1,500 g in 2017).
    """
    entered = enter_request(ward=ward, month=MARCH, lines=[worn(small, 20)], by=coordinator, at=at)
    hints = mix_hints(entered.lines.select_related("size"))
    assert [("about 13 in 100" in hint, "about 48 in 100" in hint) for hint in hints] == [
        (True, False),
        (False, True),
    ]


def test_a_likely_mix_and_small_requests_get_no_hint(
    ward: Ward, small: Size, big: Size, coordinator: Person, at: datetime
) -> None:
    """A mix near the admissions' shares, or fewer than eight gowns, is nothing to confirm."""
    mixed = [
        RequestLine(size=small, purpose="worn", gown_count=2),
        RequestLine(size=big, purpose="worn", gown_count=8),
    ]
    few = [RequestLine(size=small, purpose="worn", gown_count=7)]
    assert mix_hints(mixed) == mix_hints(few) == ()


def test_far_more_than_usual_is_hinted_at(
    request_of_ward: WardRequest, small: Size, coordinator: Person, at: datetime
) -> None:
    """Ten times the usual number is probably a slip of the keyboard."""
    usual = usual_counts(request_of_ward.ward, before=APRIL)
    lines = [RequestLine(size=small, purpose="worn", gown_count=60)]
    assert usual == [6]
    assert any(
        "far more than this ward usually asks for (about 6)" in hint
        for hint in mix_hints(lines, usual_counts=usual)
    )


def test_a_usual_month_is_the_mean_of_those_there_were(small: Size) -> None:
    """Six gowns in the four months since the first request are one and a half a month; memorial gowns do not count."""
    for month, count in ((date(2025, 12, 1), 5), (date(2026, 2, 1), 1), (APRIL, 9), (date(2025, 3, 1), 40)):
        RequestLineFactory(request__month=month, size=small, gown_count=count)
    RequestLineFactory(request__month=date(2026, 3, 1), size=small, purpose="memorial")
    RequestLineFactory(request__month=date(2026, 3, 1), size=small, request__state="withdrawn")
    assert monthly_means(before=APRIL) == {small.pk: 6 / 4}


def test_without_earlier_requests_no_month_is_usual(small: Size) -> None:
    """A group that has just begun has no usual month."""
    RequestLineFactory(request__month=APRIL, size=small)
    assert monthly_means(before=APRIL) == {}
