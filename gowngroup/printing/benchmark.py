"""What kit sheets cost, three ways side by side, for the benchmark command; nothing is stored."""

import re
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from fractions import Fraction
from itertools import cycle, islice, pairwise
from typing import Any

from gowngroup.batches.models import Kit
from gowngroup.planning.figures import default_values
from gowngroup.planning.smocking import Chart, ChartRow, PleaterProfile, compile_chart, compiled_to_document
from gowngroup.printing.children import Answer, Child
from gowngroup.printing.joining import Part, joined
from gowngroup.printing.pdf import FOR_READERS, pdf_in_its_turn
from gowngroup.printing.places import AT_ONCE
from gowngroup.printing.runs import made_two_at_a_time
from gowngroup.printing.sheets import WrittenSheet, page_count, written_sheet

WARM_UP, AT_MOST = 2, 6
SHEETS, NAIVE_SHEETS = 60, 4
NO_LIMIT_S = 3600.0
MAIN = re.compile("<main>.*?</main>", re.DOTALL)
EACH_ON_ITS_OWN = "main + main { break-before: page }"
CHART = re.compile(r'<svg[^>]*class="chart-drawing".*?</svg>', re.DOTALL)
PATH = re.compile(r'<path([^>]*?) d="([^"]*)"([^>]*)/>')
RUN_OF_STITCHES = re.compile(r"M[-\d.]+ [-\d.]+(L[-\d.]+ [-\d.]+)+")
# What is wide goes across both columns, as it must to be read.
IN_COLUMNS = (
    "main > section { columns: 2 } main > section > :is(header, figure, table, div) { column-span: all }"
)
# A full chart: twelve rows over so many pleats come to 1,500 stitches, the most a sheet must hold.
FULL_ROWS, FULL_PLEATS = 12, 126

Say = Callable[[str], Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """What some pages cost: time on the clock, time of all processors, the most memory one process held."""

    pages: int
    wall_s: float
    cpu_s: float
    peak_bytes: int

    @property
    def wall_ms(self) -> float:
        """Time a page."""
        return 1000 * self.wall_s / self.pages

    @property
    def cpu_ms(self) -> float:
        """Processor time a page."""
        return 1000 * self.cpu_s / self.pages


def sheet_section(say: Say) -> None:
    """Kit sheets of this database one at a time, then sixty of them three ways, as they are and with full charts."""
    say("Kit sheets, warm, one at a time")
    for line in kit_sheet_times():
        say(line)
    kits = _kits()
    if kits:
        for line in _side_by_side("with their own charts", kits):
            say(line)
        for line in _side_by_side(f"with charts of {FULL_ROWS} rows over {FULL_PLEATS} pleats", _full(kits)):
            say(line)


def kit_sheet_times() -> Iterator[str]:
    """Lines that say, for some kits of this database, how many milliseconds a page of their sheets takes."""
    kits = _kits()
    for kit in kits[:WARM_UP]:
        pdf_in_its_turn(written_sheet(kit).html)
    for kit in _unlike(kits)[:AT_MOST]:
        started = time.perf_counter()
        made = pdf_in_its_turn(written_sheet(kit).html)
        spent_ms = (time.perf_counter() - started) * 1000
        pages = page_count(made.content)
        yield (
            f"kit sheet, {kit.design_revision.design}: {spent_ms / pages:.0f} ms a page, {pages} pages, "
            f"{spent_ms:.0f} ms in all"
        )
    if not kits:
        yield "kit sheet: there are no kits to print yet"


def _kits() -> list[Kit]:
    """The kits of this database, each stored plan in memory once."""
    kits = Kit.objects.select_related("design_revision__design", "outer_lot__material", "size", "holder")
    return list(kits.prefetch_related("lay__plan").order_by("pk"))


def _unlike(kits: Sequence[Kit]) -> list[Kit]:
    """One kit of each design revision."""
    return list({kit.design_revision_id: kit for kit in reversed(kits)}.values())[::-1]


def _full(kits: Sequence[Kit]) -> list[Kit]:
    """The smocked kits, with a full chart in their plans as they are in memory."""
    rows = tuple(
        ChartRow(name=f"cable {row}", stitch="cable", top_row=Fraction(row), floss_role="ABC"[row % 3])
        for row in range(1, FULL_ROWS + 1)
    )
    chart = Chart(name="full", row_count=FULL_ROWS, rows=rows)
    profile = PleaterProfile.from_figures(default_values())
    smocking = compiled_to_document(compile_chart(chart, FULL_PLEATS, profile))
    smocked = set()
    for plan in {kit.lay.plan_id: kit.lay.plan for kit in kits}.values():
        for design in plan.document["designs"]:
            if design["smocking"]:
                design["smocking"] = smocking
                smocked.add((plan.pk, design["revision_id"], design["size_id"], design["purpose"]))
    return [
        kit for kit in kits if (kit.lay.plan_id, kit.design_revision_id, kit.size_id, kit.purpose) in smocked
    ]


def _side_by_side(heading: str, kits: Sequence[Kit]) -> Iterator[str]:
    """Sixty sheets by the pool and as one document, and some of them the naive way."""
    chosen = list(islice(cycle(kits), SHEETS)) if kits else []
    if not chosen:
        return
    pool, one, naive = _pool(chosen), _one_document(chosen), _naive(chosen[:: SHEETS // NAIVE_SHEETS])
    yield f"{len(chosen)} kit sheets {heading}"
    yield "way                                      s   pages  ms a page  of them processor  MB a process"
    for name, cost in (
        ("(a) one by one in two processes, joined", pool),
        ("(b) one document in one process", one),
        (f"(c) naive, {NAIVE_SHEETS} of them in one process", naive),
    ):
        yield (
            f"{name:40} {cost.wall_s:5.1f} {cost.pages:5} {cost.wall_ms:10.0f} {cost.cpu_ms:18.0f}"
            f" {cost.peak_bytes / 1e6:13.0f}"
        )
    yield f"(a) to (b), time of the whole: {pool.wall_s / one.wall_s:.2f}, not more than 0.70 is wanted"
    yield f"(a) to (c), time a page: 1/{naive.wall_ms / pool.wall_ms:.1f}, not more than 1/6 is wanted"


def _pool(kits: Sequence[Kit]) -> Cost:
    """As a print in the background makes them, with warm children: written, made two at a time, joined."""
    list(made_two_at_a_time(written_sheet(kit) for kit in kits[: WARM_UP * AT_ONCE]))
    started, own_s, child_s, peak_bytes = time.perf_counter(), time.process_time(), 0.0, 0
    sheets: list[WrittenSheet] = []
    contents: dict[int, bytes] = {}
    for made in made_two_at_a_time(_noted(kits, sheets)):
        if made is not None and made[1] is not None:
            contents[id(made[0])] = made[1].content
            child_s, peak_bytes = child_s + made[1].cpu_s, max(peak_bytes, made[1].peak_bytes)
    parts = (Part(title=sheet.kit.code, content=contents[id(sheet)]) for sheet in sheets)
    whole = joined(parts, title="Kit sheets", language="en")
    wall_s, cpu_s = time.perf_counter() - started, time.process_time() - own_s + child_s
    return Cost(pages=page_count(whole), wall_s=wall_s, cpu_s=cpu_s, peak_bytes=peak_bytes)


def _noted(kits: Iterable[Kit], sheets: list[WrittenSheet]) -> Iterator[WrittenSheet]:
    for kit in kits:
        sheets.append(written_sheet(kit))
        yield sheets[-1]


def _one_document(kits: Sequence[Kit]) -> Cost:
    """The same sheets one after another in one long document."""
    with _fresh_child(written_sheet(kits[0]).html) as child:
        started, own_s = time.perf_counter(), time.process_time()
        pages = [written_sheet(kit).html for kit in kits]
        bodies = "".join(MAIN.findall(each)[0] for each in pages)
        head = pages[0].partition("<main>")[0].replace("</head>", f"<style>{EACH_ON_ITS_OWN}</style></head>")
        answer = child.answer(f"{head}{bodies}</body></html>", FOR_READERS, limit_s=NO_LIMIT_S)
        return _cost([answer], started, own_s)


def _naive(kits: Sequence[Kit]) -> Cost:
    """Sheet after sheet in one process, an SVG element for each stitch and the text in CSS columns."""
    with _fresh_child(written_sheet(kits[0]).html) as child:
        started, own_s = time.perf_counter(), time.process_time()
        answers = [
            child.answer(naively_set(written_sheet(kit).html), FOR_READERS, limit_s=NO_LIMIT_S)
            for kit in kits
        ]
        return _cost(answers, started, own_s)


def _cost(answers: Sequence[Answer], started: float, own_s: float) -> Cost:
    return Cost(
        pages=sum(page_count(answer.content) for answer in answers),
        wall_s=time.perf_counter() - started,
        cpu_s=time.process_time() - own_s + sum(answer.cpu_s for answer in answers),
        peak_bytes=max(answer.peak_bytes for answer in answers),
    )


@contextmanager
def _fresh_child(html: str) -> Iterator[Child]:
    """A child of its own, warm, so that its memory is this way's alone."""
    child = Child()
    try:
        for _number in range(WARM_UP):
            child.answer(html, FOR_READERS, limit_s=NO_LIMIT_S)
        yield child
    finally:
        child.close()


def naively_set(html: str) -> str:
    """The same sheet as one would write it at first: each stitch of the charts a line, the text in two columns."""
    drawn = CHART.sub(lambda chart: PATH.sub(_each_stitch, chart[0]), html)
    return drawn.replace("</head>", f"<style>{IN_COLUMNS}</style></head>")


def _each_stitch(path: re.Match[str]) -> str:
    before, data, after = path.groups()
    return "".join(_stitches(before, run, after) for run in re.findall("M[^M]*", data))


def _stitches(before: str, run: str, after: str) -> str:
    """The lines of one run of stitches; a run of anything else is one element as it is."""
    if not RUN_OF_STITCHES.fullmatch(run):
        return f'<path{before} d="{run}"{after}/>'
    points = [point.split() for point in run[1:].split("L")]
    return "".join(
        f'<line{before} x1="{x1}" y1="{y1}" x2="{x2}" y2="{y2}"{after}/>'
        for (x1, y1), (x2, y2) in pairwise(points)
    )
