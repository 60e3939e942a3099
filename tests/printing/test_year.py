"""The year looked back on: every number against the books by other ways of counting, and the sheets read back.

The SQL here is written apart from the app's own queries; quartiles are those of Python's statistics module.
"""

import io
import os
import pickle
import re
import statistics
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime
from functools import cache
from pathlib import Path
from typing import Any
from xml.etree import ElementTree
from zoneinfo import ZoneInfo

import pdfplumber
import pikepdf
import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from pytest_django import DjangoDbBlocker

from gowngroup.deliveries.models import DropOff
from gowngroup.gowns.models import Gown, GownCheck
from gowngroup.people.models import Person
from gowngroup.printing.planner.year import YearReport, hours_letters, year_report
from gowngroup.printing.planner.year import acknowledgments as acknowledgments_of
from gowngroup.printing.year_queries import Span, donors_of, first_year, thanked
from gowngroup.records.reader import Reader, reading_as
from gowngroup.stock.models import Donor, LedgerLine
from tests.once import made_once
from tests.printing.reading import MM, past_the_edge, said, written

NOW = datetime(2026, 3, 17, 10, 0, tzinfo=UTC)
LONDON = ZoneInfo("Europe/London")
YEAR, BEFORE = Span.of_year(2026, LONDON), Span.of_year(2025, LONDON)
BOUNDS = ("2026-01-01 00:00:00", "2027-01-01 00:00:00")  # a year of London begins at midnight of Greenwich
PAGES = ("report", "named", "letters", "acknowledgments")
SVG = "{http://www.w3.org/2000/svg}"
Papers = dict[str, Any]


@pytest.fixture
def demo(laid_out_demo: None, db: None) -> Iterator[None]:
    with time_machine.travel(NOW, tick=False), reading_as(Reader(zone=LONDON)):
        yield


@pytest.fixture
def office(demo: None, sign_in: Callable[[Person], Client]) -> Client:
    return sign_in(Person.objects.get(role_rows__role="coordinator"))


@pytest.fixture(scope="module")
def papers(
    laid_out_demo: None, django_db_blocker: DjangoDbBlocker, tmp_path_factory: pytest.TempPathFactory
) -> Papers:
    """The PDFs of the demo's year and the report's page, made by one process and read by the others."""
    base = tmp_path_factory.getbasetemp()
    folder = base.parent if "PYTEST_XDIST_WORKER" in os.environ else base
    with django_db_blocker.unblock():
        file = made_once(folder / "year.pickle", _print_papers, marks=folder)
    found: Papers = pickle.loads(file.read_bytes())  # noqa: S301 - made by this very test run
    return found


def _print_papers(file: Path) -> None:
    addresses = {
        "report": reverse("printing:year_report_pdf", args=[2026]),
        "named": reverse("printing:year_report_pdf", args=[2026]) + "?names=yes",
        "letters": reverse("printing:hours_letters_pdf", args=[2026]),
        "acknowledgments": reverse("printing:acknowledgments_pdf", args=[2025]),
        "page": reverse("printing:year_report", args=[2026]) + "?names=yes",
    }
    with time_machine.travel(NOW, tick=False):
        client = Client()
        client.force_login(Person.objects.get(role_rows__role="coordinator"))
        answers = {name: client.get(address).content for name, address in addresses.items()}
    file.write_bytes(pickle.dumps(answers))


def pdf_of(papers: Papers, name: str) -> Any:
    return _read(papers[name])


@cache
def _read(content: bytes) -> Any:
    """Read once: what stands on its pages is dear to find, and kept with them."""
    return pdfplumber.open(io.BytesIO(content))


def rows(sql: str, *values: str) -> list[tuple[Any, ...]]:
    with connection.cursor() as cursor:
        cursor.execute(sql, values)
        return list(cursor.fetchall())


@pytest.fixture
def report(demo: None) -> YearReport:
    return year_report(YEAR, has_names=True)


def test_asked_and_met_by_size(report: YearReport) -> None:
    """Asked and met of each size are the sums over the requests of the year's months, withdrawn ones left out."""
    sums = rows(
        "SELECT z.body_length_um, SUM(l.gown_count), SUM(l.met_count) FROM wards_requestline l"
        " JOIN wards_wardrequest r ON r.id = l.request_id JOIN catalog_size z ON z.id = l.size_id"
        " WHERE r.month >= '2026-01-01' AND r.month < '2027-01-01' AND r.state <> 'withdrawn'"
        " AND l.purpose = 'worn' GROUP BY z.body_length_um ORDER BY z.body_length_um"
    )
    assert [(line.asked, line.met) for line in report.sizes] == [(asked, met) for _size, asked, met in sums]
    assert report.sizes[0].length == f"up to {sums[0][0] / 10_000:g} cm"
    assert report.asked_total.asked == sum(asked for _size, asked, _met in sums)


def test_wards_add_up_to_sizes(report: YearReport) -> None:
    """Each ward's sums are those of its own requests, and all wards together ask what all sizes do."""
    sums = rows(
        "SELECT w.name, h.name, SUM(l.gown_count), SUM(l.met_count) FROM wards_requestline l"
        " JOIN wards_wardrequest r ON r.id = l.request_id JOIN wards_ward w ON w.id = r.ward_id"
        " JOIN wards_hospital h ON h.id = w.hospital_id"
        " WHERE r.month BETWEEN '2026-01-01' AND '2026-12-31' AND r.state <> 'withdrawn'"
        " AND l.purpose = 'worn' GROUP BY w.name, h.name"
    )
    told = {(line.name, line.total.asked, line.total.met) for line in report.wards}
    assert told == {(f"{ward}, {hospital}", asked, met) for ward, hospital, asked, met in sums}
    assert sum(line.total.asked for line in report.wards) == report.asked_total.asked


def test_months_are_counted_where_the_group_lives(report: YearReport) -> None:
    """Gowns that came in, passed and left are counted in the month the group's own clock showed."""
    for field, name in (("received_at", "received"), ("passed_at", "passed")):
        counted = [0] * 12
        for moment in Gown.objects.filter(purpose="worn").values_list(field, flat=True):
            if moment and moment.astimezone(LONDON).year == 2026:
                counted[moment.astimezone(LONDON).month - 1] += 1
        assert [getattr(line, name) for line in report.months] == counted
    assert sum(line.delivered for line in report.months) == len(_left("worn"))


def _left(purpose: str) -> list[tuple[Any, ...]]:
    return rows(
        "SELECT d.left_at, r.received_at FROM deliveries_dropoffgown x"
        " JOIN deliveries_dropoff d ON d.id = x.drop_off_id JOIN gowns_gown g ON g.id = x.gown_id"
        " LEFT JOIN wards_requestline l ON l.id = x.request_line_id"
        " LEFT JOIN wards_wardrequest r ON r.id = l.request_id"
        " WHERE NOT x.is_removed AND d.state IN ('on the way', 'received')"
        " AND d.left_at >= %s AND d.left_at < %s AND g.purpose = %s",
        *BOUNDS,
        purpose,
    )


def _day(moment: Any) -> date:
    at: datetime = datetime.fromisoformat(moment) if isinstance(moment, str) else moment
    return (at if at.tzinfo else at.replace(tzinfo=UTC)).astimezone(LONDON).date()


def test_days_from_a_request_to_the_drop_off(report: YearReport) -> None:
    """Median and quartiles are those Python's statistics module finds (inclusive), gown by gown."""
    days = [(_day(left) - _day(asked)).days for left, asked in _left("worn") if asked]
    assert report.waiting is not None
    assert [report.waiting.low, report.waiting.middle, report.waiting.high] == statistics.quantiles(
        days, n=4, method="inclusive"
    )
    assert report.waiting.count == len(days) == sum(report.weeks)


def test_share_passed(report: YearReport) -> None:
    """What came in is passed, set aside, kept to practise on, or still being checked; reasons are all counted."""
    states = dict(
        rows(
            "SELECT state, COUNT(*) FROM gowns_gown WHERE purpose = 'worn'"
            " AND received_at >= %s AND received_at < %s GROUP BY state",
            *BOUNDS,
        )
    )
    told = report.outcomes
    assert told.passed == states.get("passed", 0) + states.get("left", 0)
    assert (told.set_aside, told.practice) == (states.get("set aside", 0), states.get("practice", 0))
    assert told.received == sum(states.values())
    checks = GownCheck.objects.exclude(outcome="pass").filter(
        gown__purpose="worn", gown__received_at__year=2026
    )
    assert sum(line.checks for line in report.reasons) + report.other_reasons == checks.count()


def test_cloth_is_what_the_ledger_lost(report: YearReport) -> None:
    """The cloth cut is what the ledger booked off for lays, to the micrometre."""
    ((planned, cut),) = rows(
        "SELECT SUM(length_um), SUM(cut_length_um) FROM batches_lay WHERE cut_at >= %s AND cut_at < %s",
        *BOUNDS,
    )
    ((booked,),) = rows(
        "SELECT -SUM(on_hand_change) FROM stock_ledgerline"
        " WHERE kind = 'issue' AND reference LIKE 'lay %%' AND at >= %s AND at < %s",
        *BOUNDS,
    )
    assert (report.cloth_planned_um, report.cloth_cut_um, report.cloth_cut_um) == (planned, cut, booked)


def test_hours_are_those_told(report: YearReport) -> None:
    """Hours are the sum of what was told when kits came back, and how often nothing was told stays visible."""
    ((minutes, told, times, people),) = rows(
        "SELECT SUM(duration_min), COUNT(duration_min), COUNT(*), COUNT(DISTINCT person_id)"
        " FROM batches_kitreturn WHERE returned_at >= %s AND returned_at < %s",
        *BOUNDS,
    )
    hours = report.hours
    assert (hours.minutes, hours.times_told, hours.times, hours.people) == (minutes, told, times, people)
    assert sum(line.minutes for line in report.months) == minutes


def test_gifts_are_accounted_for(demo: None) -> None:
    """What each donor gave is used, counted away, taken otherwise or on the shelf: nothing is left over."""
    told = year_report(BEFORE, has_names=True)
    books = rows(
        "SELECT o.name, SUM(CASE WHEN e.kind IN ('receive', 'open') THEN e.on_hand_change ELSE 0 END),"
        " -SUM(CASE WHEN e.kind = 'return' OR (e.kind = 'issue' AND e.reference <> '') THEN e.on_hand_change ELSE 0 END),"
        " SUM(e.on_hand_change) FROM stock_ledgerline e JOIN stock_lot l ON l.id = e.lot_id"
        " JOIN stock_donor o ON o.id = l.donor_id JOIN stock_material m ON m.id = l.material_id"
        " WHERE l.received_on BETWEEN '2025-01-01' AND '2025-12-31' GROUP BY o.name, m.kind, m.is_counted"
    )
    assert sorted((line.name, line.given, line.used, line.left) for line in told.donors) == sorted(books)
    assert all(line.adds_up for line in (*told.donors, *told.given))
    assert sum(line.given for line in told.donors) == sum(line.given for line in told.given)


def test_the_report_checks_its_own_sums(report: YearReport) -> None:
    """Each sum in the report for the group is counted twice, and on a sound database both agree."""
    assert len(report.checks) == 4
    assert [check for check in report.checks if not check.agrees] == []
    assert all(check.here != "0" for check in report.checks[:3])


def test_a_sum_that_does_not_agree_is_told(demo: None) -> None:
    """Cloth that the ledger booked off for no lay shows as a sum that does not agree."""
    lot = LedgerLine.objects.filter(kind="issue", reference__startswith="lay ", at__year=2026).first()
    assert lot is not None
    LedgerLine.objects.create(
        lot=lot.lot, kind="issue", on_hand_change=-1000, reference="lay 999999", at=NOW, by=lot.by
    )
    disagreeing = [check.what for check in year_report(YEAR, has_names=True).checks if not check.agrees]
    assert len(disagreeing) == 1
    assert "Cloth cut" in disagreeing[0]


def test_gowns_apart_are_in_no_sum_and_no_drawing(report: YearReport) -> None:
    """Gowns for babies who die are told by themselves and counted in nothing else that is drawn."""
    assert report.apart.given == len(_left("memorial")) > 0
    ((asked,),) = rows(
        "SELECT SUM(l.gown_count) FROM wards_requestline l JOIN wards_wardrequest r ON r.id = l.request_id"
        " WHERE r.month BETWEEN '2026-01-01' AND '2026-12-31' AND r.state <> 'withdrawn'"
        " AND l.purpose = 'memorial'"
    )
    assert report.apart.asked == asked
    assert report.delivered == len(_left("worn"))


def test_never_that_word(papers: Papers) -> None:
    """No sheet of the year says memorial; the page apart speaks gently and holds no drawing."""
    for name in PAGES:
        assert "memorial" not in said(pdf_of(papers, name)).lower()
    last = pdf_of(papers, "report").pages[-1]
    assert "Forbabieswhodie,beforeorsoonafterbirth" in written(last)
    assert [thing for thing in (*last.rects, *last.curves) if thing["stroke"]] == []
    assert "cm" not in written(last)


def test_for_others_nobody_is_named(papers: Papers, demo: None) -> None:
    """The report for donors, trustees and wards names no ward, hospital, donor or volunteer; the group's own does."""
    names = [name for (name,) in rows("SELECT name FROM wards_ward UNION SELECT name FROM wards_hospital")]
    others = [name for (name,) in rows("SELECT name FROM people_person UNION SELECT name FROM stock_donor")]
    public, named = (said(pdf_of(papers, name)) for name in ("report", "named"))
    assert not [name for name in [*names, *others] if name.replace(" ", "") in public]
    assert all(name.replace(" ", "") in named for name in names)
    assert "$" not in public + named
    assert "£" not in public + named


def svgs(page: bytes) -> list[ElementTree.Element]:
    found = re.findall(r"<svg .*?</svg>", page.decode(), re.DOTALL)
    return [ElementTree.fromstring(svg) for svg in found]  # noqa: S314 - our own page


def bars_of(svg: ElementTree.Element) -> list[tuple[float, float]]:
    """Width and height of each bar, the key left out, in the unit of the numbers drawn."""
    scale = float(svg.attrib["data-mm-per-unit"])
    found = [bar.attrib for bar in svg.iter(f"{SVG}rect")]
    keys = sum(bar["width"] == "8.000" for bar in found)
    return [(float(bar["width"]) / scale, float(bar["height"]) / scale) for bar in found[keys:]]


def test_drawings_say_what_the_tables_say(papers: Papers, report: YearReport) -> None:
    """Read back from the page, each bar is as long as the number in the table below it."""
    sizes, months, weeks, cloth, hours = (bars_of(svg) for svg in svgs(papers["page"]))
    worn = [number for line in report.sizes for number in (line.asked, line.met) if number]
    assert [width for width, _height in sizes] == pytest.approx(worn, abs=0.01)
    by_kind = [
        [getattr(line, name) for line in report.months] for name in ("received", "passed", "delivered")
    ]
    assert [height for _width, height in months] == pytest.approx(
        [number for numbers in by_kind for number in numbers if number], abs=0.01
    )
    assert [height for _width, height in weeks] == pytest.approx([n for n in report.weeks if n], abs=0.01)
    lengths = [um / 1e6 for line in report.cloth[:10] for um in (line.planned_um, line.cut_um)]
    assert [width for width, _height in cloth] == pytest.approx(lengths, abs=0.01)
    told = [line.minutes / 60 for line in report.months if line.minutes]
    assert [height for _width, height in hours] == pytest.approx(told, abs=0.02)


def test_drawings_reach_the_paper_as_they_are(papers: Papers) -> None:
    """In the PDF, read by another program, the bars have the lengths they have on the page."""
    drawn = [
        (float(bar.attrib["width"]), float(bar.attrib["height"]))
        for svg in svgs(papers["page"])
        for bar in svg.iter(f"{SVG}rect")
    ]
    printed = [
        (float(rect["width"]) / MM, float(rect["height"]) / MM)
        for page in pdf_of(papers, "named").pages
        for rect in page.rects
        if rect["stroke"] and rect["fill"]
    ]
    assert len(printed) == len(drawn)
    for (width, height), (on_paper, high) in zip(drawn, printed, strict=True):
        assert [on_paper, high] == pytest.approx([width, height], abs=0.1)


def test_each_drawing_has_words_and_a_table(papers: Papers) -> None:
    """A drawing says in words what it shows, and a table of the same numbers follows it."""
    page = papers["page"].decode()
    for svg in svgs(papers["page"]):
        assert len(svg.findtext(f"{SVG}title") or "") > 20
        assert len(svg.findtext(f"{SVG}desc") or "") > 20
    assert all("<table" in part.split("<h2>")[0] for part in page.split("</svg>")[1:])


@pytest.mark.parametrize("name", PAGES)
def test_nothing_leaves_the_paper(papers: Papers, name: str) -> None:
    """No letter or line sticks out of a page, none is smaller than 11 pt, and black is all that is needed."""
    for page in pdf_of(papers, name).pages:
        assert past_the_edge(page) == []
        assert min(char["size"] for char in page.chars) >= 10.99
        for thing in (*page.chars, *page.lines, *page.curves, *page.rects):
            for colour in (thing.get("stroking_color"), thing.get("non_stroking_color")):
                assert not colour or len(set(colour)) == 1


@pytest.mark.parametrize("name", PAGES)
def test_tags_title_and_language(papers: Papers, name: str) -> None:
    """Each PDF is tagged for PDF/UA (ISO 14289-1) with title and language; every figure has words for it."""
    with pikepdf.open(io.BytesIO(papers[name])) as pdf:
        assert str(pdf.Root.Lang).startswith("en")
        assert bool(pdf.Root.MarkInfo.Marked)
        assert "202" in str(pdf.docinfo.Title)
        with pdf.open_metadata() as metadata:
            assert metadata["pdfuaid:part"] == "1"
        figures = [o for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and o.get("/S") == "/Figure"]
        assert len(figures) == (5 if name in ("report", "named") else 0)
        assert all(len(str(figure.get("/Alt", ""))) > 20 for figure in figures)


def test_letters_add_up(demo: None) -> None:
    """All letters together hold the kits, gowns and minutes of the year, and each letter's table its own sums."""
    letters = hours_letters(YEAR, list(thanked(YEAR)))
    ((minutes, gowns, kits),) = rows(
        "SELECT SUM(duration_min), SUM(gown_count), COUNT(DISTINCT kit_id) FROM batches_kitreturn"
        " WHERE returned_at >= %s AND returned_at < %s",
        *BOUNDS,
    )
    assert sum(letter.minutes for letter in letters) == minutes
    assert sum(letter.gowns + letter.parts for letter in letters) == gowns
    assert sum(letter.kits for letter in letters) == kits
    assert (
        sum(letter.drives for letter in letters)
        == DropOff.objects.filter(
            state__in=["on the way", "received"], driver__isnull=False, left_at__year=2026
        ).count()
    )


def test_a_letter_has_a_page_of_its_own(papers: Papers, demo: None) -> None:
    """Each person's letter is one page with her own name alone on it."""
    people = list(thanked(YEAR))
    texts = [written(page) for page in pdf_of(papers, "letters").pages]
    assert len(texts) == len(people)
    for person, text in zip(people, texts, strict=True):
        assert f"Thankyou,{person.name.replace(' ', '')}" in text
        assert not [o.name for o in people if o != person and o.name.replace(" ", "") in text]


def test_acknowledgments_describe_and_never_value(papers: Papers, demo: None) -> None:
    """Each donor's page lists each lot with its measured length; no ward and no money stands on it."""
    donors = list(donors_of(BEFORE))
    pdf = pdf_of(papers, "acknowledgments")
    texts = "".join(written(page) for page in pdf.pages)
    assert not set("$€£¥") & set(texts)
    assert texts.count("Weputnomoneyvalueonit") == len(donors) == Donor.objects.count()
    assert not [n for (n,) in rows("SELECT name FROM wards_ward") if n.replace(" ", "") in texts]
    ((lots,),) = rows("SELECT COUNT(*) FROM stock_lot WHERE donor_id IS NOT NULL AND opened_from_id IS NULL")
    assert sum(len(each.gifts) for each in acknowledgments_of(BEFORE, donors)) == lots
    assert sum(len(re.findall(r"\dcmwide", written(page))) for page in pdf.pages) == lots


def test_gowns_sewn_from_a_gift(demo: None) -> None:
    """An acknowledgment counts every gown cut from the donor's cloth, whatever it was for."""
    made = dict(
        rows(
            "SELECT l.donor_id, COUNT(*) FROM gowns_gown g JOIN stock_lot l ON l.id = g.outer_lot_id"
            " WHERE l.donor_id IS NOT NULL GROUP BY l.donor_id"
        )
    )
    told = acknowledgments_of(BEFORE, donors_of(BEFORE))
    assert {each.donor.pk: each.gowns_made for each in told if each.gowns_made} == made


def test_the_page_of_a_year(office: Client) -> None:
    """The coordinator sees the year in numbers and every paper of it; the year before is one tap away."""
    page = office.get(reverse("printing:year", args=[2026])).content.decode()
    for words in ("gowns asked for", "All letters as a PDF", "As a PDF", "With names", ">2025</a>"):
        assert words in page
    assert "memorial" not in page.lower()
    assert first_year() == 2025


def test_few_queries_however_much_there_is(office: Client, report: YearReport) -> None:
    """The page of a year and its report take at most fifteen queries, a year without anything no fewer than needed."""
    for name in ("year", "year_report"):
        for year in (2026, 2012):
            with CaptureQueriesContext(connection) as queries:
                office.get(reverse(f"printing:{name}", args=[year]) + "?names=yes")
            assert len(queries) <= 15, [query["sql"][:90] for query in queries.captured_queries]


@pytest.mark.parametrize("name", ["year", "year_report", "hours_letters", "acknowledgments"])
def test_a_year_without_anything_says_what_to_do(office: Client, name: str) -> None:
    """An empty year is told in words, with what fills it, and never as a row of noughts."""
    page = office.get(reverse(f"printing:{name}", args=[2012])).content.decode()
    assert re.search(r"fills by itself|shows here by itself|nobody to write to|book a lot in", page)
    assert "<svg" not in page.split("<main")[1]


@pytest.mark.parametrize("name", ["year_report_pdf", "hours_letters_pdf"])
def test_a_pdf_of_a_year_without_anything(office: Client, name: str) -> None:
    """Even then the address answers: the report in a sentence, letters as a page that says why there are none."""
    answer = office.get(reverse(f"printing:{name}", args=[2012]))
    assert answer.status_code == 200
    assert ("pdf" in answer["Content-Type"]) is (name == "year_report_pdf")


def test_no_acknowledgments_lead_to_the_page_that_says_so(office: Client) -> None:
    """Without a gift there is no PDF to print; the sheet's page says why."""
    answer = office.get(reverse("printing:acknowledgments_pdf", args=[2012]))
    assert answer["Location"] == reverse("printing:acknowledgments", args=[2012])


@pytest.mark.parametrize("year", [0, 1999, 2028, 99999])
def test_years_that_cannot_be(office: Client, year: int) -> None:
    """A year before the group could be, or after the next one, is no page."""
    assert office.get(f"/print/year/{year}/").status_code == 404
    assert office.get(f"/print/year/{year}/report.pdf").status_code == 404


@pytest.mark.parametrize("typed", ["0", "99999", "last", "", "٢٠٢٦", "-2026", "2 026", "2026.5", "1" * 30])
def test_a_year_typed_wrong_is_asked_back(office: Client, typed: str) -> None:
    """What is no year is asked back with an example, and stays as typed."""
    answer = office.get(reverse("printing:year_start"), {"year": typed})
    assert answer.status_code == 422
    assert re.search("such as 2026|needed|at most 20|Please", answer.content.decode())


def test_a_year_typed_right_opens(office: Client) -> None:
    """A year leads to its page; without one this year's opens."""
    assert office.get(reverse("printing:year_start"), {"year": "2025"})["Location"].endswith("/2025/")
    assert office.get(reverse("printing:year_start"))["Location"].endswith("/2026/")


@pytest.mark.parametrize("part", ["0", "2", "x", "٢", "99999", "-1"])
def test_parts_that_are_not_there(office: Client, part: str) -> None:
    """Letters come in parts of forty; a part there is not is no page."""
    assert office.get(reverse("printing:hours_letters", args=[2026]), {"part": part}).status_code == 404
