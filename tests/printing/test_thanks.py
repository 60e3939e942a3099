"""Letters of thanks and acknowledgments on hand-made rows: whose they are, what they count, what they never say."""

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from typing import Any
from urllib.parse import urlencode
from zoneinfo import ZoneInfo

import pytest
import time_machine
from django.test import Client
from django.urls import reverse

from gowngroup.batches.models import Kit, KitReturn
from gowngroup.gowns.models import GownCheck
from gowngroup.people.models import Group, Person
from gowngroup.printing.planner.year import acknowledgments, hours_letter, year_report
from gowngroup.printing.year_queries import Span, days_given
from gowngroup.records.actions import record
from gowngroup.records.reader import Reader, reading_as
from gowngroup.stock.actions import issue_free, move_lot, open_package, receive_lot, return_amount
from gowngroup.stock.models import Donor, Lot
from tests.factories import DonorFactory, KitFactory, MaterialFactory, PersonFactory, WardFactory
from tests.printing.conftest import MAKE_DROP_OFF, MAKE_GOWN, SIGN_IN
from tests.printing.kit_sheets import read
from tests.printing.paper.faults import TEXT_MM, USUAL_PT, faults
from tests.printing.paper.here import PrintedHere
from tests.printing.paper.scenes import long_text
from tests.printing.reading import opened, said
from tests.printing.test_hostile_text import FOURS, SNIPPETS, squeezed

YEAR = Span.of_year(2026, ZoneInfo("UTC"))
NAMES = ("Zdzisława Brzęczyszczykiewicz-Łoś", "Νεφέλη Παπαδοπούλου", "Nguyễn Thị Hồng Ánh")
MAKE_RETURN = Callable[..., KitReturn]
GIVE = Callable[..., Lot]
pytestmark = [
    pytest.mark.django_db,
    # WeasyPrint leaves the file of its colour profile to be closed by Python.
    pytest.mark.filterwarnings("ignore:unclosed file .*sRGB2014:ResourceWarning"),
]


@pytest.fixture(autouse=True)
def _in_june() -> Any:
    with time_machine.travel(datetime(2026, 6, 15, 12, tzinfo=UTC), tick=False):
        yield


@pytest.fixture
def bring_back(group: Group, volunteer: Person) -> MAKE_RETURN:
    """A kit comes back: when, from whom, of which stage, with how many gowns and how much time."""

    def make(
        at: datetime, *, person: Person | None = None, kit: Kit | None = None, **facts: Any
    ) -> KitReturn:
        stage = facts.pop("stage", "whole")
        purpose = facts.pop("purpose", "worn")
        kit = kit or KitFactory(stage=stage, purpose=purpose, gown_count=9)
        usual = {"gown_count": 1, "duration_min": None}
        return KitReturn.objects.create(kit=kit, person=person or volunteer, returned_at=at, **usual | facts)

    return make


@pytest.fixture
def give(packer: Person) -> GIVE:
    """Somebody gives a material on a day."""

    def make(donor: Donor | None, day: date = date(2026, 2, 3), **facts: Any) -> Lot:
        usual: dict[str, Any] = {"material": facts.pop("material", None) or MaterialFactory()}
        if "package_count" not in facts:
            usual |= {"amount": 2_400_000, "width_um": 1_120_000}
        at = datetime(day.year, day.month, day.day, 12, tzinfo=UTC)
        return receive_lot(**usual | facts, donor=donor, by=packer, at=at)

    return make


def page_of(client: Client, person: Person, year: int = 2026) -> str:
    answer = client.get(reverse("printing:hours_letter", args=[person.pk, year]))
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())


def day(month: int, number: int) -> datetime:
    return datetime(2026, month, number, 10, tzinfo=UTC)


def test_a_letter_counts_by_month(bring_back: MAKE_RETURN, volunteer: Person) -> None:
    """Kits, gowns and hours stand month by month; a kit that came in two parts counts once, where it ended."""
    in_parts = KitFactory(gown_count=3)
    bring_back(day(1, 31), kit=in_parts, gown_count=1, duration_min=200)
    bring_back(day(2, 1), kit=in_parts, gown_count=2, duration_min=100)
    bring_back(day(2, 9))
    bring_back(datetime(2025, 12, 31, 23, tzinfo=UTC), duration_min=999)
    letter = hours_letter(volunteer, YEAR)
    assert [(m.month.month, m.kits, m.gowns, m.minutes) for m in letter.months] == [
        (1, 0, 1, 200),
        (2, 2, 3, 100),
    ]
    assert (letter.kits, letter.gowns, letter.minutes, letter.times, letter.times_told) == (2, 4, 300, 3, 2)


def test_months_follow_the_groups_own_clock(bring_back: MAKE_RETURN, volunteer: Person) -> None:
    """Where the group lives west of Greenwich, the first hours of January belong to the old year."""
    bring_back(datetime(2026, 1, 1, 3, tzinfo=UTC))
    zone = ZoneInfo("America/New_York")
    assert hours_letter(volunteer, Span.of_year(2026, zone)).is_empty
    assert [m.month for m in hours_letter(volunteer, Span.of_year(2025, zone)).months] == [date(2025, 12, 1)]


def test_gowns_for_babies_who_die_are_gowns(
    bring_back: MAKE_RETURN, volunteer: Person, sign_in: SIGN_IN
) -> None:
    """They are counted among the others, and nothing in the letter sets them apart."""
    bring_back(day(3, 2), purpose="memorial", gown_count=2)
    bring_back(day(3, 3), gown_count=1)
    text = page_of(sign_in(volunteer), volunteer)
    assert "you brought back <strong>3 gowns</strong>." in text
    assert "That makes 2 kits in all." in text
    assert "memorial" not in text.lower()
    assert "die" not in text


def test_work_for_others_to_finish(bring_back: MAKE_RETURN, volunteer: Person, sign_in: SIGN_IN) -> None:
    """What she only pleated or smocked is told as that, and gets a column of its own."""
    bring_back(day(3, 2), stage="pleat", gown_count=4, duration_min=60)
    text = page_of(sign_in(volunteer), volunteer)
    assert "you pleated or smocked <strong>4 gowns</strong> for others to finish." in text
    assert "Pleated or smocked</th>" in text
    assert hours_letter(volunteer, YEAR).gowns == 0


@pytest.mark.parametrize(
    ("told", "words"),
    [([60, 30], "You told us that they took you 1 h 30 min."), ([60, None], "For 1 of the 2 times"), ([None, None], "nobody has to")],
)  # fmt: skip
def test_hours_are_never_asked_for(
    bring_back: MAKE_RETURN, volunteer: Person, sign_in: SIGN_IN, told: list[int | None], words: str
) -> None:
    """Whether she told all, some or none of her hours, the letter is as kind."""
    for minutes in told:
        bring_back(day(4, 2), duration_min=minutes)
    assert words in page_of(sign_in(volunteer), volunteer)


def test_driving_and_checking_are_thanked(
    make_drop_off: MAKE_DROP_OFF, make_gown: MAKE_GOWN, driver: Person, inspector: Person, sign_in: SIGN_IN
) -> None:
    """A driver's letter tells her drives, an inspector's the gowns she looked over; neither needs hours."""
    make_drop_off(state="received", left_at=day(5, 1))
    make_drop_off(state="called off", left_at=day(5, 2), receipt_number="R9")
    gown = make_gown()
    for round_ in ("first", "second"):
        GownCheck.objects.create(
            gown=gown, round=round_, outcome="pass", is_free_of_metal=True, at=day(5, 3), by=inspector
        )
    assert "You drove to the wards 1 time." in page_of(sign_in(driver), driver)
    assert "You looked over 1 gown, inside and out." in page_of(sign_in(inspector), inspector)


def test_only_her_own(
    bring_back: MAKE_RETURN, volunteer: Person, colleague: Person, coordinator: Person, sign_in: SIGN_IN
) -> None:
    """A volunteer opens her own letter; a colleague's answers as if it never existed; the coordinator opens all."""
    bring_back(day(3, 2), person=colleague)
    addresses = [reverse(f"printing:hours_letter{kind}", args=[colleague.pk, 2026]) for kind in ("", "_pdf")]
    nobodys = reverse("printing:hours_letter", args=[999_999, 2026])
    assert [sign_in(volunteer).get(address).status_code for address in [*addresses, nobodys]] == [404] * 3
    assert [sign_in(colleague).get(address).status_code for address in addresses] == [200] * 2
    assert [sign_in(coordinator).get(address).status_code for address in addresses] == [200] * 2
    assert sign_in(coordinator).get(nobodys).status_code == 404


def test_who_has_left_is_thanked_too(
    bring_back: MAKE_RETURN, colleague: Person, coordinator: Person, sign_in: SIGN_IN
) -> None:
    """A person who has left still gets her letter; of one who was forgotten nothing can be printed."""
    bring_back(day(3, 2), person=colleague)
    Person.objects.filter(pk=colleague.pk).update(is_active=False)
    office = sign_in(coordinator)
    assert "Thank you, Colleague" in page_of(office, colleague)
    assert "Colleague" in office.get(reverse("printing:hours_letters", args=[2026])).content.decode()
    Person.objects.filter(pk=colleague.pk).update(erased_at=day(6, 1))
    assert office.get(reverse("printing:hours_letter", args=[colleague.pk, 2026])).status_code == 404
    assert "Colleague" not in office.get(reverse("printing:hours_letters", args=[2026])).content.decode()


@pytest.mark.parametrize("kind", ["", "_pdf"])
def test_a_year_without_anything_is_told_kindly(
    volunteer: Person, coordinator: Person, sign_in: SIGN_IN, kind: str
) -> None:
    """With nothing noted there is a kind page instead of an empty letter, for herself and for the coordinator."""
    address = reverse(f"printing:hours_letter{kind}", args=[volunteer.pk, 2026])
    for person, words in ((volunteer, "as welcome as ever"), (coordinator, "no letter to print")):
        answer = sign_in(person).get(address)
        assert answer.status_code == 200
        assert words in answer.content.decode()
        assert "0 gowns" not in answer.content.decode()


def test_large_print_is_the_readers_own(
    bring_back: MAKE_RETURN, volunteer: Person, coordinator: Person, sign_in: SIGN_IN
) -> None:
    """Whoever prints it, a letter to somebody who wants large print is large."""
    bring_back(day(3, 2))
    Person.objects.filter(pk=volunteer.pk).update(has_large_print=True)
    address = reverse("printing:hours_letters_pdf", args=[2026])
    page = opened(sign_in(coordinator), address).pages[0]
    assert min(char["size"] for char in page.chars) >= 13.99


def test_all_letters_of_a_large_group_come_in_parts(
    bring_back: MAKE_RETURN, coordinator: Person, sign_in: SIGN_IN
) -> None:
    """More than forty letters come in parts, so that no print takes longer than it may."""
    for number in range(41):
        bring_back(day(3, 2), person=PersonFactory(name=f"Sewer {number:02d}"), kit=KitFactory(gown_count=1))
    office = sign_in(coordinator)
    page = office.get(reverse("printing:year", args=[2026])).content.decode()
    assert "Letters as a PDF, part 2" in page
    second = office.get(reverse("printing:hours_letters", args=[2026]), {"part": "2"}).content.decode()
    assert "Sewer 40" in second
    assert "Sewer 39" not in second


def test_names_of_every_script_are_printed(
    bring_back: MAKE_RETURN, coordinator: Person, sign_in: SIGN_IN, group: Group, printed_here: PrintedHere
) -> None:
    """Polish, Greek and Vietnamese names, and the longest there can be, stand whole on the paper in our own face."""
    longest = "Donaudampfschifffahrtsgesellschaftskapitänswitwe" * 2 + "W" * 24
    group.name = "Kinderkrankenhausneugeborenennähkreis" * 3
    group.save()
    for name in (*NAMES, longest):
        bring_back(day(3, 2), person=PersonFactory(name=name), duration_min=30_000, gown_count=9)
    letters = printed_here.sheet(sign_in(coordinator), reverse("printing:hours_letters_pdf", args=[2026]))
    assert faults(letters, margin_mm=TEXT_MM, least_pt=USUAL_PT) == ""
    pdf = read(letters.content)
    text = said(pdf)
    assert [name for name in (*NAMES, longest) if name.replace(" ", "") not in text] == []
    for page in pdf.pages:
        assert all("Source" in char["fontname"] for char in page.chars)


def test_an_acknowledgment_lists_what_came(give: GIVE, packer: Person, sign_in: SIGN_IN) -> None:
    """It names cloth, fibre, length and width as measured, packages as packages, days, and their sum."""
    donor = DonorFactory()
    give(donor)
    lace = MaterialFactory(kind="lace", name="Cotton lace", fibre="cotton", width_um=12_000)
    give(donor, date(2026, 3, 1), material=lace, package_count=3, package_amount=8_000_000)
    give(
        donor,
        date(2026, 3, 1),
        material=MaterialFactory(kind="notion", is_counted=True),
        amount=7,
        width_um=None,
    )
    (told,) = acknowledgments(YEAR, [donor])
    assert [(gift.kind, gift.amount, gift.width) for gift in told.gifts] == [
        ("cloth", "2.4 m", "112 cm"),
        ("lace", "3 × 8 m, 24 m in all", "1.2 cm"),
        ("notion", "7 pieces", ""),
    ]
    assert [line.given_words for line in told.sums] == ["2.4 m", "24 m", "7 pieces"]
    assert (told.first_day, told.last_day) == (date(2026, 2, 3), date(2026, 3, 1))
    page = sign_in(packer).get(
        reverse("printing:acknowledgment", args=[donor.pk]), {"first": "2026-03-01", "last": "2026-03-01"}
    )
    text = page.content.decode()
    assert "On 1 March 2026 you gave us" in text
    assert "2.4 m" not in text
    assert "no money value" in text


def test_an_opened_package_is_no_second_gift(give: GIVE, packer: Person) -> None:
    """A package opened later is part of the gift it came in; handed to another donor's account it is counted there."""
    donor, other = DonorFactory(), DonorFactory()
    lot = give(donor, material=MaterialFactory(kind="lace"), package_count=3, package_amount=8_000_000)
    first, second = (open_package(lot=lot, by=packer, at=day(4, 1)) for _each in range(2))
    issue_free(lot=first, amount=500_000, reference="kit K1", by=packer, at=day(4, 2))
    return_amount(lot=first, amount=100_000, by=packer, at=day(4, 3))
    issue_free(lot=first, amount=50_000, reason="a test square", by=packer, at=day(4, 4))
    (told,) = acknowledgments(YEAR, [donor])
    (line,) = told.sums
    assert (len(told.gifts), line.lots) == (1, 1)
    assert (line.given, line.used, line.other, line.left) == (24_000_000, 400_000, 50_000, 23_550_000)
    move_lot(lot=second, place="", donor=other, by=packer, at=day(4, 5))
    mine, hers = acknowledgments(YEAR, [donor, other])
    assert (mine.sums[0].given, hers.sums[0].given, hers.sums[0].lots) == (16_000_000, 8_000_000, 1)
    assert hers.gifts[0].amount == "8 m"
    assert all(each.sums[0].adds_up for each in (mine, hers))
    assert days_given(donor) == days_given(other) == [date(2026, 2, 3)]


def test_lengths_in_the_readers_unit(give: GIVE) -> None:
    """Whoever reads inches finds yards and inches."""
    donor = DonorFactory()
    give(donor, amount=2 * 914_400, width_um=44 * 25_400)
    with reading_as(Reader(length_unit="in")):
        (told,) = acknowledgments(YEAR, [donor])
    assert (told.gifts[0].amount, told.gifts[0].width) == ("2 yd", "44 in")


def test_choosing_the_days(give: GIVE, packer: Person, sign_in: SIGN_IN) -> None:
    """The page offers each day something was given, and two days to choose."""
    donor = DonorFactory(name="Mr Fabric")
    for number in range(1, 15):
        give(donor, date(2026, 1, number))
    page = sign_in(packer).get(reverse("printing:acknowledgment", args=[donor.pk])).content.decode()
    assert "?first=2026-01-14&amp;last=2026-01-14" in page
    assert "2026-01-02&" not in page
    assert "Earlier days" in page
    nobody = DonorFactory()
    for kind in ("", "_pdf"):
        address = reverse(f"printing:acknowledgment{kind}", args=[nobody.pk])
        assert "choose who gave it" in sign_in(packer).get(address).content.decode()


@pytest.mark.parametrize(
    ("first", "last", "words"),
    [
        ("2026-05-01", "2026-04-01", "The last day lies before the first"),
        ("2026-05-01", "2026-05-02", "Please choose other days"),
        ("1066-10-14", "2026-05-02", "after the year 2000 began"),
        ("2026-01-01", "9999-12-31", "after the year 2000 began"),
        ("soon", "2026-05-02", "Enter a valid date"),
        ("2026-05-01", "", "required"),
    ],
)
@pytest.mark.parametrize("kind", ["", "_pdf"])
def test_days_that_cannot_be(
    give: GIVE, packer: Person, sign_in: SIGN_IN, first: str, last: str, words: str, kind: str
) -> None:
    """Days that are wrong, or on which nothing was given, are asked back as typed."""
    donor = DonorFactory()
    give(donor)
    answer = sign_in(packer).get(
        reverse(f"printing:acknowledgment{kind}", args=[donor.pk]), {"first": first, "last": last}
    )
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert f'value="{first}"' in answer.content.decode()


def test_donors_who_are_gone(give: GIVE, packer: Person, coordinator: Person, sign_in: SIGN_IN) -> None:
    """A donor who was forgotten, or never was, answers 404 and stands on no sheet."""
    donor = DonorFactory(name="Forgotten Fabrics")
    give(donor)
    Donor.objects.filter(pk=donor.pk).update(erased_at=day(6, 1))
    for pk in (donor.pk, 999_999):
        assert sign_in(packer).get(reverse("printing:acknowledgment", args=[pk])).status_code == 404
    page = sign_in(coordinator).get(reverse("printing:acknowledgments", args=[2026])).content.decode()
    assert "Forgotten Fabrics" not in page


def test_a_sentence_of_the_groups_own(give: GIVE, coordinator: Person, sign_in: SIGN_IN) -> None:
    """No sentence about goods in return stands there unless the group types one; a typed one is kept for the PDF."""
    give(DonorFactory())
    address = reverse("printing:acknowledgments", args=[2026])
    plain = sign_in(coordinator).get(address).content.decode()
    typed = (
        sign_in(coordinator)
        .get(address, {"sentence": "Nothing was given in return & so on."})
        .content.decode()
    )
    assert "in return" not in plain
    assert "<p>Nothing was given in return &amp; so on.</p>" in typed
    assert "?part=1&amp;sentence=Nothing%20was%20given%20in%20return%20%26%20so%20on." in typed
    too_long = sign_in(coordinator).get(address, {"sentence": "x" * 301}).content.decode()
    assert "xxx" not in too_long


def test_without_days_everything_ever_given(
    give: GIVE, packer: Person, sign_in: SIGN_IN, printed_here: PrintedHere
) -> None:
    """The PDF without days chosen is of all a donor ever gave."""
    donor = DonorFactory(name=long_text(120))
    give(donor, date(2024, 5, 6))
    give(donor, date(2026, 5, 6))
    thanks = printed_here.sheet(sign_in(packer), reverse("printing:acknowledgment_pdf", args=[donor.pk]))
    assert faults(thanks, margin_mm=TEXT_MM, least_pt=USUAL_PT) == ""
    text = said(read(thanks.content))
    assert "Between6May2024and6May2026" in text


def test_hostile_names(
    bring_back: MAKE_RETURN,
    give: GIVE,
    make_gown: MAKE_GOWN,
    coordinator: Person,
    sign_in: SIGN_IN,
) -> None:
    """In names of people, donors, cloth and wards, in shades and reasons it is only text on paper."""
    for number, snippet in enumerate(FOURS):
        bring_back(day(3, 2), person=PersonFactory(name=snippet[:120]))
        material = MaterialFactory(name=snippet[:80], shade=snippet[-60:])
        give(DonorFactory(name=snippet[:120]), material=material)
        gown = make_gown(state="set aside", received_at=day(2, 2))
        request = WardFactory(name=f"{number}{snippet[:119]}").requests.create(
            month=date(2026, 2, 1), received_at=day(2, 1)
        )
        request.lines.create(size=gown.size, purpose="worn", gown_count=2)
        GownCheck.objects.create(
            gown=gown, round="first", outcome="set aside", reason=snippet[:200],
            is_free_of_metal=False, at=day(2, 3), by=coordinator,
        )  # fmt: skip
    office = sign_in(coordinator)
    letters, thanks, report = (
        said(opened(office, reverse(f"printing:{name}_pdf", args=[2026]) + "?names=yes"))
        for name in ("hours_letters", "acknowledgments", "year_report")
    )
    assert "root:" not in letters + thanks + report
    for number, snippet in enumerate(FOURS):
        assert squeezed(f"Thank you, {snippet[:120]}") in letters
        assert squeezed(f"{snippet[:80]}, {snippet[-60:]}") in thanks
        for words in (f"{number}{snippet[:119]}", snippet[:200].rstrip(" ."), snippet[:120]):
            assert squeezed(words) in report


@pytest.mark.parametrize("snippet", FOURS)
def test_hostile_group_and_sentence(
    give: GIVE, packer: Person, sign_in: SIGN_IN, group: Group, snippet: str
) -> None:
    """In the group's name and a sentence of its own it is only text on paper."""
    group.name = snippet[:120]
    group.save()
    donor = DonorFactory()
    give(donor)
    query = urlencode({"first": "2026-01-01", "last": "2026-12-31", "sentence": snippet[:300]})
    address = reverse("printing:acknowledgment_pdf", args=[donor.pk])
    pdf = opened(sign_in(packer), f"{address}?{query}")
    text = said(pdf)
    assert "root:" not in text
    assert not {"EmbeddedFiles", "AF"} & {*pdf.doc.catalog, *pdf.doc.catalog.get("Names", {})}
    for words in (f"For {snippet[:120]}", snippet[:300]):
        assert squeezed(words) in text


def test_every_snippet_is_tried() -> None:
    """What is tried above holds every snippet, those of a file, a fetch and a template alike."""
    assert all(any(snippet in four for four in FOURS) for snippet in SNIPPETS)


def test_the_report_follows_the_groups_own_clock(
    make_drop_off: MAKE_DROP_OFF, bring_back: MAKE_RETURN, make_gown: MAKE_GOWN
) -> None:
    """West of Greenwich the first hours of January, and of each month, belong to the month before."""
    new_year, february = datetime(2026, 1, 1, 3, tzinfo=UTC), datetime(2026, 2, 1, 3, tzinfo=UTC)
    for at in (new_year, february):
        bring_back(at, duration_min=60)
        make_gown(received_at=at, passed_at=at, state="passed")
        make_drop_off(state="received", left_at=at, receipt_number=f"R{at:%m}", worn=1)
    months = year_report(Span.of_year(2026, ZoneInfo("America/New_York")), has_names=False).months
    first = months[0]
    assert (first.received, first.passed, first.delivered, first.minutes) == (1, 1, 1, 60)
    assert [
        line for line in months[1:] if line.received or line.passed or line.delivered or line.minutes
    ] == [months[2]]
    assert (months[2].received, months[2].passed) == (2, 2)


def test_what_does_not_count(
    make_drop_off: MAKE_DROP_OFF, make_gown: MAKE_GOWN, group: Group, coordinator: Person
) -> None:
    """Withdrawn requests, called-off drop-offs, unpacked gowns and other years are in no number."""
    ward = WardFactory()
    gown = make_gown(received_at=datetime(2025, 5, 1, tzinfo=UTC))
    for month, state in ((date(2026, 2, 1), "withdrawn"), (date(2025, 12, 1), "open")):
        request = ward.requests.create(month=month, state=state, received_at=day(2, 1))
        request.lines.create(size=gown.size, purpose="worn", gown_count=5)
    make_drop_off(state="called off", left_at=day(5, 2))
    make_drop_off(state="received", left_at=datetime(2025, 5, 2, tzinfo=UTC), receipt_number="R2")
    last = make_drop_off(state="received", left_at=day(5, 2), receipt_number="R3", worn=3)
    first = last.gown_rows.first()
    assert first is not None
    last.gown_rows.filter(pk=first.pk).update(is_removed=True)
    report = year_report(YEAR, has_names=True)
    assert (report.asked_total.asked, report.delivered, report.drop_off_count, report.served_count) == (
        0,
        2,
        1,
        1,
    )
    assert report.sizes == ()
    assert report.waiting is None


def test_losses(make_drop_off: MAKE_DROP_OFF, group: Group, coordinator: Person) -> None:
    """Kits to wear lost or written off in the year are told with their gowns, and what wards found otherwise."""
    for state, purpose, at in (
        ("lost", "worn", day(2, 1)),
        ("lost", "memorial", day(2, 1)),
        ("lost", "worn", day(2, 1) - timedelta(days=365)),
        ("written off", "worn", day(3, 1)),
    ):
        kit = KitFactory(state=state, purpose=purpose, gown_count=3, returned_count=1)
        did = "lose_kit" if state == "lost" else "write_off_kit"
        record(by=coordinator, at=at, did=did, subject=kit)
    differences = [
        {"size": 1, "band": "x", "purpose": "worn", "written": 3, "came": 1},
        {"size": 2, "band": "y", "purpose": "worn", "written": 1, "came": 2},
        {"size": 2, "band": "y", "purpose": "memorial", "written": 1, "came": 0},
        {"remark": "one bag was torn"},
    ]
    make_drop_off(state="received", left_at=day(5, 2), differences=differences)
    told = year_report(YEAR, has_names=False).losses
    assert (told.lost_kits, told.lost_gowns, told.written_off_kits, told.written_off_gowns) == (1, 2, 1, 2)
    assert (told.missing, told.too_many) == (2, 1)


def test_rare_reasons_stay_in_the_group(make_gown: MAKE_GOWN, inspector: Person) -> None:
    """A reason given once could point at somebody: outside the group it is only one of the others."""
    for reason in ("A floss end is loose.", "a floss end is loose", "Ada’s needle was in it"):
        GownCheck.objects.create(
            gown=make_gown(received_at=day(2, 2)), round="first", outcome="mend", reason=reason,
            is_free_of_metal=True, at=day(2, 3), by=inspector,
        )  # fmt: skip
    public, named = (year_report(YEAR, has_names=has_names) for has_names in (False, True))
    assert [(line.reason.casefold(), line.checks) for line in public.reasons] == [("a floss end is loose", 2)]
    assert public.other_reasons == 1
    assert len(named.reasons) == 2
    assert named.other_reasons == 0


def test_what_took_very_long_stands_last(make_drop_off: MAKE_DROP_OFF) -> None:
    """Gowns that left more than sixteen weeks after the request share the last column; one before it counts as at once."""
    drop_off = make_drop_off(state="received", left_at=day(6, 1), worn=2)
    rows = list(drop_off.gown_rows.select_related("gown"))
    for row, asked_at in zip(rows, (day(6, 1) - timedelta(days=300), day(6, 3)), strict=True):
        request = drop_off.ward.requests.create(month=date(2026, 6, 1), received_at=asked_at)
        row.request_line = request.lines.create(size=row.gown.size, purpose="worn", gown_count=1)
        row.save()
    report = year_report(YEAR, has_names=False)
    assert report.weeks == (1,) + (0,) * 15 + (1,)
    assert report.charts.weeks is not None
    assert "later" in [text.text for text in report.charts.weeks.texts]


def test_longest_names_stay_on_the_report(
    give: GIVE,
    make_gown: MAKE_GOWN,
    coordinator: Person,
    sign_in: SIGN_IN,
    group: Group,
    printed_here: PrintedHere,
) -> None:
    """The longest names of wards, hospitals, donors and cloth stay inside the margins, in large print on Letter, too."""
    group.name = "Donaudampfschifffahrtsgesellschaft" * 3
    group.save()
    Person.objects.filter(pk=coordinator.pk).update(has_large_print=True, paper_size="Letter")
    give(DonorFactory(name="W" * 120))
    ward = WardFactory(name="W" * 120)
    ward.hospital.name = "Neugeborenenintensivstation" * 4
    ward.hospital.save()
    request = ward.requests.create(month=date(2026, 2, 1), received_at=day(2, 1))
    request.lines.create(size=make_gown(received_at=day(2, 2)).size, purpose="worn", gown_count=200)
    report = printed_here.sheet(
        sign_in(coordinator), reverse("printing:year_report_pdf", args=[2026]) + "?names=yes"
    )
    assert faults(report, margin_mm=TEXT_MM, least_pt=USUAL_PT) == ""
    for page in read(report.content).pages:
        assert round(float(page.width)) == 612
        assert min(char["size"] for char in page.chars if char["top"] < 740) >= 13.99


def test_links_lead_to_the_papers(
    give: GIVE, packer: Person, coordinator: Person, volunteer: Person, sign_in: SIGN_IN
) -> None:
    """The donor's page, the lot's page, a person's page, my page and the first page lead to thanks and year."""
    lot = give(DonorFactory())
    assert lot.donor is not None
    thanks = reverse("printing:acknowledgment", args=[lot.donor.pk])
    office = sign_in(coordinator)
    assert thanks in office.get(reverse("stock:donor_change", args=[lot.donor.pk])).content.decode()
    assert (
        f"{thanks}?first=2026-02-03"
        in sign_in(packer).get(reverse("stock:lot_page", args=[lot.code])).content.decode()
    )
    letter = reverse("printing:hours_letter", args=[volunteer.pk, 2026])
    assert letter in office.get(reverse("people:person_page", args=[volunteer.pk])).content.decode()
    assert letter in sign_in(volunteer).get(reverse("people:my_page")).content.decode()
    assert reverse("printing:year_start") in office.get("/").content.decode()
