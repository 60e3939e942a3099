"""The engine behind the sheets: what it may read, when it is busy, what happens where it is missing."""

import os
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from django.conf import settings
from django.core.exceptions import SuspiciousFileOperation
from django.urls import reverse

from gowngroup.people.models import Person
from gowngroup.printing import pdf
from gowngroup.printing.checks import pdf_libraries
from gowngroup.printing.own_files import BASE_URL, NotOurOwnFile, own_file
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
def test_a_refused_file_leaves_the_sheet_whole() -> None:
    """A sheet that asks for somebody else's file is made without it."""
    engine = pdf._engine()
    html = '<html lang="en"><title>x</title><link rel=stylesheet href="http://127.0.0.1:9/x.css"><p>whole</p>'
    document = engine.document(string=html, base_url=BASE_URL, url_fetcher=engine.fetcher)
    assert document.write_pdf().startswith(b"%PDF")


@pytest.mark.usefixtures("engine_may_speak")
def test_a_fatal_error_of_the_engine_is_caught(monkeypatch: pytest.MonkeyPatch) -> None:
    """The engine's BaseException becomes a refusal that a page can show, so that no worker dies of it."""
    engine = pdf._engine()
    monkeypatch.setattr(engine.fetcher, "_fail_on_errors", True)
    html = '<html lang="en"><title>x</title><link rel=stylesheet href="http://127.0.0.1:9/x.css">'
    with pytest.raises(pdf.SheetFailed):
        pdf._written(html)


def test_two_sheets_at_once_and_no_more(
    make_kit: MAKE_KIT, packer: Person, sign_in: SIGN_IN, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While two sheets are being made a third is asked to come back, kindly and with a time."""
    monkeypatch.setattr(pdf, "WAIT_S", 0.05)
    address = reverse("printing:kit_sheet_pdf", args=[make_kit().code])
    with pdf._place(), pdf._place():
        response = sign_in(packer).get(address)
    assert response.status_code == 503
    assert response["Retry-After"] == "10"
    assert "try again in a moment" in response.content.decode()


def test_places_are_given_back(monkeypatch: pytest.MonkeyPatch) -> None:
    """A sheet that fails gives its place back to the next one."""
    monkeypatch.setattr(pdf, "WAIT_S", 0.05)
    for _attempt in range(pdf.AT_ONCE + 1):
        with pytest.raises(ZeroDivisionError), pdf._place():
            raise ZeroDivisionError
    with pdf._place(), pdf._place(), pytest.raises(pdf.PrinterBusy), pdf._place():
        pass


def test_never_more_than_two_renders(monkeypatch: pytest.MonkeyPatch) -> None:
    """Eight threads asking at once never have more than two sheets in the engine."""
    now, most, lock = 0, 0, threading.Lock()
    write = pdf._written

    def counted(html: str, variant: str) -> bytes:
        nonlocal now, most
        with lock:
            now += 1
            most = max(most, now)
        try:
            return write(html, variant)
        finally:
            with lock:
                now -= 1

    monkeypatch.setattr(pdf, "_written", counted)
    monkeypatch.setattr(pdf, "WAIT_S", 60)
    threads = [
        threading.Thread(target=pdf.render_pdf, args=("printing/receipt.html", {"pages": (), "drop_off": {}}))
        for _number in range(8)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert most == pdf.AT_ONCE


def _without_pango(folder: Path, code: str) -> subprocess.CompletedProcess[str]:
    """Python with a Pango that the system's own loader refuses, as on a machine where it is broken."""
    for name in ("libpango-1.0.so.0", "libpangoft2-1.0.so.0", "libharfbuzz-subset.so.0"):
        (folder / name).write_bytes(b"not a library")
    return subprocess.run(  # noqa: S603 - our own Python
        [sys.executable, "-c", code],
        cwd=ROOT,
        env={**os.environ, "LD_LIBRARY_PATH": str(folder), "DJANGO_SETTINGS_MODULE": "tests.settings"},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )


SAYS_WHY = """
import django; django.setup()
from gowngroup.printing import pdf
for attempt in range(2):
    try:
        pdf.render_pdf("printing/labels.html", {"pages": ()})
    except pdf.NoPdfLibrary as refusal:
        print(refusal.status, refusal.message)
"""
CHECKS = """
import django; django.setup()
from django.core import checks
for found in checks.run_checks():
    print(found.id, found.is_serious(), found.msg, found.hint)
"""


@pytest.mark.skipif(sys.platform != "linux", reason="breaks a library the way Linux loads it")
def test_missing_library_says_how_to_get_it(tmp_path: Path) -> None:
    """Without Pango a sheet is refused with the command for each system, twice alike, and no banner."""
    shown = _without_pango(tmp_path, SAYS_WHY)
    assert shown.returncode == 0, shown.stderr
    assert shown.stdout.count("503 PDFs cannot be made on this computer yet") == 2
    assert all(shown.stdout.count(line) == 2 for line in pdf.HOW_TO_INSTALL)
    assert "WeasyPrint could not import" not in shown.stdout


@pytest.mark.skipif(sys.platform != "linux", reason="breaks a library the way Linux loads it")
def test_missing_library_is_a_warning_of_the_system_check(tmp_path: Path) -> None:
    """The system check warns about each missing library, with the commands, and stops nothing."""
    shown = _without_pango(tmp_path, CHECKS)
    assert shown.returncode == 0, shown.stderr
    assert "printing.W001 False" in shown.stdout
    assert "pango, pangoft2, harfbuzz-subset" in shown.stdout
    assert "sudo apt install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0" in shown.stdout


def test_system_check_is_silent_where_all_is_there() -> None:
    """Where the libraries are installed the check says nothing."""
    assert pdf_libraries(None) == []


def test_page_without_library_offers_the_sheet_as_a_page(
    make_kit: MAKE_KIT, packer: Person, sign_in: SIGN_IN, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where PDFs cannot be made the page says so and leads to the sheet's own page, which works."""
    kit = make_kit()
    for name in [name for name in sys.modules if name.split(".")[0] == "weasyprint"]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    pdf._engine.cache_clear()
    try:
        response = sign_in(packer).get(reverse("printing:kit_sheet_pdf", args=[kit.code]))
    finally:
        monkeypatch.undo()
        pdf._engine.cache_clear()
    page = reverse("printing:kit_sheet", args=[kit.code])
    assert response.status_code == 503
    assert page in response.content.decode()
    assert sign_in(packer).get(page).status_code == 200
