"""The engine behind the sheets: what it may read, how it is guarded, when it is busy, and where it is missing."""

import io
import os
import queue
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from pathlib import Path

import pdfplumber
import pytest
from django.conf import LazySettings, settings
from django.core.exceptions import SuspiciousFileOperation
from django.urls import reverse

from gowngroup.people.models import Person
from gowngroup.printing import children, engine, pdf
from gowngroup.printing.checks import pdf_libraries
from gowngroup.printing.own_files import BASE_URL, NotOurOwnFile, own_file
from gowngroup.printing.places import AT_ONCE, PrinterBusy, place
from tests.printing.conftest import MAKE_KIT, SIGN_IN

ROOT = Path(settings.BASE_DIR)
NOT_OURS = (
    "file:///etc/passwd",
    "http://127.0.0.1:9/x.css",
    "data:text/css,body{}",
    "https://own-files.invalid.example/static/css/print/sheet.css",
    f"{BASE_URL}etc/passwd",
    f"{BASE_URL}static/../gowngroup/settings.py",
    f"{BASE_URL}static/..%2f..%2fetc%2fpasswd.css",
    f"{BASE_URL}static//etc/passwd.css",
    f"{BASE_URL}static/js/app.js",
    f"{BASE_URL}static/css/print/nothing.css",
)


def sheet(body: str) -> str:
    """A small sheet of our own."""
    return f'<html lang="en"><title>x</title>{body}'


def endless() -> str:
    """A sheet of so many rows that the engine is busy with it for minutes."""
    return sheet("<table>" + "<tr><td>x" * 60_000)


def until(is_so: Callable[[], bool], *, seconds: float = 60) -> bool:
    """Wait for something that happens in another process."""
    end = time.monotonic() + seconds
    while not is_so() and time.monotonic() < end:
        time.sleep(0.02)
    return is_so()


def begun(code: str, argument: str = "") -> subprocess.Popen[str]:
    """Python that runs some code of ours in a process of its own."""
    return subprocess.Popen(  # noqa: S603 - our own Python
        [sys.executable, "-c", code, argument],
        cwd=ROOT,
        env={**os.environ, "DJANGO_SETTINGS_MODULE": "tests.settings"},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )


def holding(code: str, folder: Path, *, count: int) -> list[subprocess.Popen[str]]:
    """Processes that all have begun before the first takes a place."""
    holders = [begun(code, str(folder)) for _number in range(count)]
    for each in holders:
        assert said(each) == "ready"
    for each in holders:
        assert each.stdin
        each.stdin.write("go\n")
        each.stdin.flush()
    return holders


def said(process: subprocess.Popen[str]) -> str:
    """The next line it says."""
    assert process.stdout
    return process.stdout.readline().strip()


def ended(process: subprocess.Popen[str]) -> None:
    """Kill it as the system would, without a chance to tidy up."""
    process.kill()
    process.communicate()


def is_running(pid: int) -> bool:
    try:
        return "(zombie)" not in Path(f"/proc/{pid}/status").read_text()
    except (FileNotFoundError, ProcessLookupError):  # the latter where it ends while its file is read
        return False


@pytest.mark.parametrize("name", ["css/print/sheet.css", "fonts/sans/SourceSansPro-Regular.ttf"])
def test_own_files_are_served(name: str) -> None:
    """Our style sheets and fonts are read through the static files, wherever those are kept."""
    content, mime_type = own_file(f"{BASE_URL}static/{name}")
    assert len(content) > 1000
    assert mime_type in ("text/css", "font/ttf")


@pytest.mark.parametrize("url", NOT_OURS)
def test_everything_else_is_refused(url: str) -> None:
    """Other addresses, paths out of the folder and other kinds of file are refused before they are read."""
    with pytest.raises((NotOurOwnFile, SuspiciousFileOperation)):
        own_file(url)


@pytest.mark.usefixtures("engine_may_speak")
def test_a_refused_file_leaves_the_sheet_whole(caplog: pytest.LogCaptureFixture) -> None:
    """A sheet that asks for somebody else's file is made without it, and the child's word on it is in our log."""
    content = pdf.pdf_of(sheet('<link rel=stylesheet href="http://127.0.0.1:9/x.css"><p>whole</p>'))
    with pdfplumber.open(io.BytesIO(content)) as opened:
        assert opened.pages[0].extract_text().startswith("whole")
    assert "NotOurOwnFile: http://127.0.0.1:9/x.css" in caplog.text


@pytest.mark.usefixtures("engine_may_speak")
def test_a_fatal_error_of_the_engine_is_caught(monkeypatch: pytest.MonkeyPatch) -> None:
    """The engine's BaseException becomes an answer like any other, so that no process dies of it."""
    monkeypatch.setattr(engine.engine().fetcher, "_fail_on_errors", True)
    with pytest.raises(engine.EngineFailed, match="FatalURLFetchingError"):
        engine.written(sheet('<link rel=stylesheet href="http://127.0.0.1:9/x.css">'), pdf.FOR_READERS)
    monkeypatch.undo()
    assert engine.written(sheet("<p>whole</p>"), pdf.FOR_READERS).startswith(b"%PDF")


def test_a_child_is_kept_warm() -> None:
    """One sheet after another is made by the same child, byte for byte alike, in less than 200 MB."""
    children.stop_all()  # whatever tests before have left warm
    first, second = (pdf.pdf_in_its_turn(sheet("<p>the same</p>")) for _number in range(2))
    assert len(children._idle) == 1
    assert first.content == second.content
    assert 0 < second.peak_bytes < 200e6


def test_a_killed_child_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What the engine puts by while it works is gone with its process, which never has the time to clear up."""
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    child = children.Child()
    face = "@font-face { font-family: x; src: url(/static/fonts/sans/SourceSansPro-Regular.ttf) }"
    written = child.answer(sheet(f"<style>{face}</style><p>whole</p>"), pdf.FOR_READERS, limit_s=20)
    assert written.content.startswith(b"%PDF")
    assert list(tmp_path.glob("*/weasyprint-*"))
    child.close()
    assert not list(tmp_path.iterdir())


def test_a_long_sheet_is_stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    """A sheet that would take minutes is stopped when its time is up, with its child; the next one is made."""
    pdf.pdf_of(sheet("<p>warm</p>"))
    child = children._idle[-1]
    monkeypatch.setattr(pdf, "LIMIT_S", 0.4)
    started = time.monotonic()
    with pytest.raises(pdf.SheetTooLong) as refusal:
        pdf.pdf_of(endless())
    assert time.monotonic() - started < 30  # and not minutes, however busy the machine is
    assert refusal.value.retry_after_s == pdf.TRY_LATER_S
    assert not child.is_alive()
    monkeypatch.undo()
    assert pdf.pdf_of(sheet("<p>next</p>")).startswith(b"%PDF")


def test_a_sheet_outlives_its_child() -> None:
    """Where somebody kills the waiting child, the sheet is made by another one."""
    pdf.pdf_of(sheet("<p>warm</p>"))
    os.kill(children._idle[-1].pid, signal.SIGKILL)
    assert pdf.pdf_of(sheet("<p>all the same</p>")).startswith(b"%PDF")


def test_a_sheet_that_kills_its_children_is_given_up(
    caplog: pytest.LogCaptureFixture, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the second child breaks down, too, the sheet is refused kindly and the server lives on."""
    started: queue.SimpleQueue[int] = queue.SimpleQueue()

    class Noted(children.Child):
        def _ask(self, html: str, variant: str) -> None:
            super()._ask(html, variant)
            started.put(self.pid)

    children.stop_all()
    monkeypatch.setattr(children, "Child", Noted)
    with ThreadPoolExecutor() as pool:
        made = pool.submit(pdf.pdf_of, endless())
        for _number in range(2):
            os.kill(started.get(timeout=60), signal.SIGKILL)
        with pytest.raises(pdf.SheetFailed, match="printed from the browser"):
            made.result(timeout=60)
    assert started.empty()
    assert "ChildGone" in caplog.text


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere the system sets no such limit")
def test_too_much_memory_ends_the_sheet_alone() -> None:
    """The child may not have more memory than any honest sheet needs; asking for more is an error, not a dead machine."""
    code = "from gowngroup.printing import render_child as c; c._limit_memory(); bytearray(c.MOST_MEMORY)"
    assert "MemoryError" in begun(code).communicate(timeout=60)[0]


ASK = """
from gowngroup.printing.children import Child
child = Child()
print(child.pid, flush=True)
child.answer("<table>" + "<tr><td>x" * 60_000, "pdf/ua-1", limit_s=60)
"""


def test_children_end_with_their_parent() -> None:
    """Where the server is killed while a sheet is being made, its child ends at once instead of working on."""
    parent = begun(ASK)
    pid = int(said(parent))
    time.sleep(1)
    assert is_running(pid)
    ended(parent)
    assert until(lambda: not is_running(pid))


def test_two_sheets_at_once_and_no_more(
    make_kit: MAKE_KIT, packer: Person, sign_in: SIGN_IN, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While two sheets are being made a third is asked to come back, kindly and with a time."""
    monkeypatch.setattr(pdf, "WAIT_S", 0.05)
    kit = make_kit()
    with place(wait_s=1), place(wait_s=1):
        response = sign_in(packer).get(reverse("printing:kit_sheet_pdf", args=[kit.code]))
    assert response.status_code == 503
    assert response["Retry-After"] == "10"
    assert "try again in a moment" in response.content.decode()
    assert reverse("printing:kit_sheet", args=[kit.code]) in response.content.decode()


def test_places_are_given_back() -> None:
    """A sheet that fails gives its place back to the next one."""
    for _attempt in range(AT_ONCE + 1):
        with pytest.raises(ZeroDivisionError), place(wait_s=0.05):
            raise ZeroDivisionError
    with place(wait_s=0), place(wait_s=0), pytest.raises(PrinterBusy), place(wait_s=0.05):
        pass


def test_few_threads_wait_for_a_sheet(monkeypatch: pytest.MonkeyPatch) -> None:
    """When as many wait as may, the next one is refused at once and keeps no thread of the server busy."""
    monkeypatch.setattr(pdf, "WAIT_S", 60)
    with ExitStack() as waiting:
        for _number in range(pdf.WAITING_AT_MOST):
            waiting.enter_context(pdf._through_the_door())
        started = time.monotonic()
        with pytest.raises(PrinterBusy):
            pdf.pdf_of(sheet("<p>one too many</p>"))
    assert time.monotonic() - started < 30  # and not the minute the others may wait


def test_a_long_print_lets_others_in_between() -> None:
    """Two threads that take places again and again do not keep a third from getting one soon."""
    is_over = threading.Event()

    def print_on() -> None:
        while not is_over.is_set():
            with place(wait_s=60):
                time.sleep(0.05)

    with ThreadPoolExecutor() as pool:
        for _number in range(AT_ONCE):
            pool.submit(print_on)
        time.sleep(0.1)
        try:
            for _number in range(5):
                with place(wait_s=5):
                    pass
        finally:
            is_over.set()


HOLD = """
import sys, time
from pathlib import Path
from django.conf import settings
from gowngroup.printing.places import place
settings.PLACES_DIR = Path(sys.argv[1])
print("ready", flush=True)
sys.stdin.readline()
for _round in range(4):
    with place(wait_s=60):
        start = time.monotonic()
        time.sleep(0.1)
        print(start, time.monotonic())
"""


def test_two_at_once_over_all_processes(tmp_path: Path) -> None:
    """Four processes that take places together never hold more than two, and all get theirs."""
    holders = holding(HOLD, tmp_path, count=4)
    lines = [line for each in holders for line in each.communicate()[0].splitlines()]
    spans = [tuple(map(float, line.split())) for line in lines]
    assert len(spans) == 16
    at_once = [sum(start <= moment < end for start, end in spans) for moment, _end in spans]
    assert max(at_once) == AT_ONCE


def test_a_killed_process_gives_its_place_back(tmp_path: Path, settings: LazySettings) -> None:
    """The system frees the place of a process that is killed while it makes a sheet."""
    settings.PLACES_DIR = tmp_path
    code = HOLD.replace("time.sleep(0.1)", "print('here', flush=True); time.sleep(60)")
    holders = holding(code, tmp_path, count=AT_ONCE)
    for each in holders:
        assert said(each) == "here"
    with pytest.raises(PrinterBusy), place(wait_s=0):
        pass
    ended(holders[0])
    with place(wait_s=60):
        pass
    ended(holders[1])


def _broken_libraries(folder: Path) -> Path:
    for name in ("libpango-1.0.so.0", "libpangoft2-1.0.so.0", "libharfbuzz-subset.so.0"):
        (folder / name).write_bytes(b"not a library")
    return folder


def _without_pango(folder: Path, code: str) -> subprocess.CompletedProcess[str]:
    """Python with a Pango that the system's own loader refuses, as on a machine where it is broken."""
    return subprocess.run(  # noqa: S603 - our own Python
        [sys.executable, "-c", code],
        cwd=ROOT,
        env={
            **os.environ,
            "LD_LIBRARY_PATH": str(_broken_libraries(folder)),
            "DJANGO_SETTINGS_MODULE": "tests.settings",
        },
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )


SAYS_WHY = """
import django; django.setup()
from django.core import checks
from gowngroup.printing import pdf
for found in checks.run_checks():
    print(found.id, found.is_serious(), found.msg, found.hint)
for attempt in range(2):
    try:
        pdf.render_pdf("printing/labels.html", {"pages": ()})
    except pdf.NoPdfLibrary as refusal:
        print(refusal.status, refusal.message)
"""


@pytest.mark.skipif(sys.platform != "linux", reason="breaks a library the way Linux loads it")
def test_missing_library_says_how_to_get_it(tmp_path: Path) -> None:
    """Without Pango a sheet is refused with the command for each system, twice alike, and no banner.

    The system check warns about each missing library, with the commands, and stops nothing.
    """
    shown = _without_pango(tmp_path, SAYS_WHY)
    assert shown.returncode == 0, shown.stderr
    checked, refusal, refused = shown.stdout.partition("503 PDFs cannot be made on this computer yet")
    assert f"{refusal}{refused}".count("503 PDFs cannot be made on this computer yet") == 2
    assert all(refused.count(line) == 2 for line in pdf.HOW_TO_INSTALL)
    assert "WeasyPrint could not import" not in shown.stdout
    assert "printing.W001 False" in checked
    assert "pango, pangoft2, harfbuzz-subset" in checked
    assert "sudo apt install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0" in checked


def test_system_check_is_silent_where_all_is_there() -> None:
    """Where the libraries are installed the check says nothing."""
    assert pdf_libraries(None) == []


@pytest.mark.skipif(sys.platform != "linux", reason="breaks a library the way Linux loads it")
def test_page_without_library_offers_the_sheet_as_a_page(
    make_kit: MAKE_KIT,
    packer: Person,
    sign_in: SIGN_IN,
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
) -> None:
    """Where PDFs cannot be made the page says so and leads to the sheet's own page, which works."""
    kit = make_kit()
    children.stop_all()
    monkeypatch.setenv("LD_LIBRARY_PATH", str(_broken_libraries(tmp_path)))
    response = sign_in(packer).get(reverse("printing:kit_sheet_pdf", args=[kit.code]))
    page = reverse("printing:kit_sheet", args=[kit.code])
    assert response.status_code == 503
    assert "sudo apt install" in response.content.decode()
    assert page in response.content.decode()
    assert sign_in(packer).get(page).status_code == 200
    monkeypatch.undo()
    assert pdf.pdf_of(sheet("<p>installed meanwhile</p>")).startswith(b"%PDF")
