"""The kit sheets of a batch in one PDF: made in the background, in order, followed, cancelled, gone on with."""

import io
import re
from collections.abc import Callable
from datetime import date, datetime, timedelta
from typing import Any

import page as validator
import pdfplumber
import pikepdf
import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.batches.actions.jobs import begin_job
from gowngroup.batches.models import Batch, Kit
from gowngroup.people.models import Person
from gowngroup.printing import actions, children, pdf, runs
from gowngroup.printing.joining import Part, joined
from gowngroup.printing.models import KitSheetFile
from gowngroup.printing.queries import kits_to_print, not_printed, sheets_of_print
from gowngroup.printing.runs import PrintRun, PrintStopped
from gowngroup.printing.tasks import print_sheets
from gowngroup.records.models import Job
from tests.factories import BatchFactory
from tests.printing.conftest import MAKE_KIT, SIGN_IN

LATER = timedelta(minutes=1)


class SwitchedOff(BaseException):
    """The worker dies in the middle of its work."""


@pytest.fixture(autouse=True)
def _quick_beat(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the worker say that it lives more often than a sheet takes."""
    monkeypatch.setattr(runs, "BEAT_S", 0.05)


@pytest.fixture
def batch(make_kit: MAKE_KIT) -> Batch:
    """A batch of two kits, made in another order than they are numbered."""
    batch: Batch = BatchFactory()
    for number, stage in ((2, "whole"), (1, "smock")):
        kit = make_kit(batch=batch, stage=stage)
        Kit.objects.filter(pk=kit.pk).update(number=number)
    return batch


@pytest.fixture
def begun(batch: Batch, coordinator: Person, at: datetime) -> Job:
    """A print of the batch that a worker has taken up."""
    job = actions.start_print(batch=batch, kits=list(kits_to_print(batch)), by=coordinator, at=at)
    begin_job(job=job, at=at)
    return job


def run_of(job: Job, *, at: datetime) -> PrintRun:
    """What the worker does with a job."""
    kits = list(kits_to_print(Batch.objects.get(pk=job.subject_id)))
    return PrintRun(job=job, kits=kits, by=job.started_by, now=lambda: at)


def codes_of(batch: Batch) -> list[str]:
    return list(batch.kits.order_by("number").values_list("code", flat=True))


def page_of(client: Client, batch: Batch, **headers: str) -> str:
    response = client.get(reverse("printing:print_run", args=[batch.pk]), headers=headers)
    assert response.status_code == 200
    return response.content.decode()


def started(client: Client, batch: Batch, which: str = "all") -> Job:
    """Press the button; in the tests the worker works at once."""
    response = client.post(reverse("printing:print_run", args=[batch.pk]), {"which": which})
    assert response.status_code == 302, response.content.decode()
    return Job.objects.get()


def spaced(code: str) -> str:
    return f"{code[:3]}-{code[3:]}"


def test_all_sheets_in_one_pdf_in_order(batch: Batch, packer: Person, sign_in: SIGN_IN) -> None:
    """By number, each kit with its own page numbers, found by its code in the list of contents, and tagged."""
    client = sign_in(packer)
    job = started(client, batch)
    assert job.state == Job.State.DONE, job.message
    address = reverse("printing:print_run_pdf", args=[job.pk])
    assert address in page_of(client, batch)
    content = client.get(address).content
    with pdfplumber.open(io.BytesIO(content)) as opened:
        said = [page.extract_text() for page in opened.pages]
    feet = [(text.splitlines()[-1].split()[0], text.split()[-3:]) for text in said]
    counts = [file.page_count for file in sheets_of_print(job)]
    assert feet == [
        (spaced(code), [str(number), "/", str(count)])
        for code, count in zip(codes_of(batch), counts, strict=True)
        for number in range(1, count + 1)
    ]
    with pikepdf.open(io.BytesIO(content)) as whole, whole.open_outline() as outline:
        assert [each.title for each in outline.root] == [f"Kit {spaced(code)}" for code in codes_of(batch)]
    assert client.get(address).content == content
    assert tag_faults(bytes(content)) <= {
        fault for file in sheets_of_print(job) for fault in tag_faults(bytes(file.content))
    }


def tag_faults(content: bytes) -> set[str]:
    """What an independent validator finds against PDF/UA-1 (ISO 14289-1)."""
    return {fault.rule_id for fault in validator.validate_pdf_bytes(bytes(content), profile="ua1").failures}


def test_a_joined_pdf_for_both_sides() -> None:
    """Each part begins on a fresh sheet of paper: an odd one is followed by an empty page as large as its own."""
    parts = [Part(title=str(count), content=pages(count)) for count in (3, 2, 1)]
    for is_for_both_sides, starts in ((False, [0, 3, 5]), (True, [0, 4, 6])):
        content = joined(parts, title="x", language="en", is_for_both_sides=is_for_both_sides)
        with pikepdf.open(io.BytesIO(content)) as opened, opened.open_outline() as outline:
            numbers: dict[Any, int] = {page.objgen: number for number, page in enumerate(opened.pages)}
            places: list[Any] = [each.destination for each in outline.root]
            assert [numbers[place[0].objgen] for place in places] == starts
            assert {tuple(map(float, page.mediabox)) for page in opened.pages} == {(0, 0, 300, 400)}


def pages(count: int) -> bytes:
    """A tagged PDF of so many small pages, by the engine."""
    body = "".join(f'<p style="break-after:page">{number}' for number in range(count - 1)) + "<p>last"
    css = "<style>@page {size: 300pt 400pt}</style>"
    return pdf.pdf_of(f'<html lang="en"><title>x</title>{css}{body}')


@pytest.mark.parametrize(("which", "numbers"), [("smock", [1]), ("not printed", [2])])
def test_a_choice_of_kits(
    batch: Batch, packer: Person, sign_in: SIGN_IN, which: str, numbers: list[int]
) -> None:
    """Only the kits of one stage, or those whose sheet was never given out."""
    client = sign_in(packer)
    client.get(reverse("printing:kit_sheet_pdf", args=[codes_of(batch)[0]]))
    assert "Those not printed yet – 1 kit" in page_of(client, batch)
    job = started(client, batch, which)
    assert [file.kit.number for file in sheets_of_print(job)] == numbers


def test_printed_once_opened_and_never_made_twice(batch: Batch, packer: Person, sign_in: SIGN_IN) -> None:
    """Sheets count as printed once their PDF was opened; a second print of them asks the engine for nothing."""
    client = sign_in(packer)
    job = started(client, batch)
    assert not_printed(kits_to_print(batch)).count() == 2
    client.get(reverse("printing:print_run_pdf", args=[job.pk]))
    assert not_printed(kits_to_print(batch)).count() == 0
    children.stop_all()
    client.post(reverse("printing:print_run", args=[batch.pk]), {"which": "all"})
    assert [each.progress["files"] for each in Job.objects.all()] == [job.progress["files"]] * 2
    assert not children._idle


def test_one_print_of_a_batch_at_a_time(begun: Job, batch: Batch, packer: Person, sign_in: SIGN_IN) -> None:
    """While sheets of a batch are made nobody can begin that again, and the page says how to go on."""
    client = sign_in(packer)
    Job.objects.update(beat_at=begun.created_at + timedelta(days=3650))
    response = client.post(reverse("printing:print_run", args=[batch.pk]), {"which": "all"})
    assert response.status_code == 409
    assert "being made already" in response.content.decode()
    assert client.get(reverse("printing:print_run_pdf", args=[begun.pk])).status_code == 404


def test_progress_is_shown_with_and_without_script(
    begun: Job, batch: Batch, packer: Person, sign_in: SIGN_IN, at: datetime
) -> None:
    """The page says how many are made, asks again by itself, and has a link for those without script.

    What the keyboard may stand on has a name, by which it stands there still after the part was swapped.
    """
    progress = {**begun.progress, "files": [1], "pages": 3}
    Job.objects.update(progress=progress, beat_at=at + timedelta(days=3650))
    client = sign_in(packer)
    whole, part = page_of(client, batch), page_of(client, batch, hx_request="true")
    for shown in (whole, part):
        assert "1 of 2 sheets are made" in shown
        assert 'hx-trigger="every 1s"' in shown
        assert "Look again" in shown
        assert re.findall(r'<(?:a|button) [^>]*\bid="([^"]+)"', shown)[-2:] == ["look-again", "cancel"]
    assert "<html" in whole
    assert "<html" not in part


def test_cancelling_stops_the_work(
    begun: Job, batch: Batch, coordinator: Person, at: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Cancelled after the first sheet, the worker keeps that one and begins no other."""
    keep = actions.keep_sheet

    def cancel_then_keep(**kwargs: object) -> KitSheetFile | None:
        actions.cancel_print(batch=batch, by=coordinator, at=at)
        return keep(**kwargs)  # type: ignore[arg-type]

    monkeypatch.setattr(actions, "keep_sheet", cancel_then_keep)
    with pytest.raises(PrintStopped):
        run_of(begun, at=at).make()
    begun.refresh_from_db()
    assert (begun.state, begun.message) == (Job.State.FAILED, "The print was cancelled.")
    assert KitSheetFile.objects.count() <= 1


def test_cancelled_before_it_began(batch: Batch, coordinator: Person, sign_in: SIGN_IN, at: datetime) -> None:
    """A print cancelled while it waits is never taken up, and the page offers a new one."""
    job = actions.start_print(batch=batch, kits=list(kits_to_print(batch)), by=coordinator, at=at)
    client = sign_in(coordinator)
    client.post(reverse("printing:print_cancel", args=[batch.pk]))
    print_sheets.call(job.pk)
    assert not KitSheetFile.objects.exists()
    shown = page_of(client, batch)
    assert "The print was cancelled.</p>" in shown  # and no word of sheets where none were made
    assert "Make the sheets" in shown
    assert "Print again</a>" in page_of(
        client, batch, hx_request="true"
    )  # the form stands outside of this part


def test_a_killed_worker_is_gone_on_with(
    begun: Job,
    batch: Batch,
    coordinator: Person,
    sign_in: SIGN_IN,
    at: datetime,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Half a minute after the worker fell silent the print can go on, and makes only what is missing."""
    worker = run_of(begun, at=at)
    with monkeypatch.context() as dying:
        dying.setattr(worker, "_note", _dying_with_a_sheet_kept(worker))
        with pytest.raises(SwitchedOff):
            worker.make()
    kept = set(KitSheetFile.objects.values_list("pk", flat=True))
    assert kept
    client = sign_in(coordinator)
    assert "Making the sheets was interrupted" in page_of(client, batch)
    response = client.post(reverse("printing:print_resume", args=[batch.pk]))
    assert response.status_code == 302
    begun.refresh_from_db()
    assert (begun.state, begun.attempt) == (Job.State.DONE, 2)
    assert len(sheets_of_print(begun)) == 2
    assert kept <= set(begun.progress["files"])
    with pytest.raises(PrintStopped):  # the old worker, back from the dead, writes nothing any more
        worker._note()


def _dying_with_a_sheet_kept(worker: PrintRun) -> Callable[[], None]:
    note = worker._note

    def noted() -> None:
        if worker.files:
            raise SwitchedOff
        note()

    return noted


def test_what_runs_is_not_taken_up_again(begun: Job, batch: Batch, coordinator: Person, at: datetime) -> None:
    """A worker heard of within half a minute keeps its print; one never heard of bars no new print."""
    with pytest.raises(actions.NotInterrupted):
        actions.resume_print(batch=batch, by=coordinator, at=at + timedelta(seconds=20))
    again = actions.start_print(batch=batch, kits=list(batch.kits.all()), by=coordinator, at=at + LATER)
    begun.refresh_from_db()
    assert (begun.state, again.state) == (Job.State.FAILED, Job.State.WAITING)


def test_one_bad_sheet_spoils_no_other(
    batch: Batch, packer: Person, sign_in: SIGN_IN, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A sheet that cannot be made is named with a link to its page; the others are made."""
    code = codes_of(batch)[1]
    make = pdf._made

    def stumbling(html: str, variant: str) -> children.Answer:
        if spaced(code) in html:
            raise pdf._failed()
        return make(html, variant)

    monkeypatch.setattr(pdf, "_made", stumbling)
    client = sign_in(packer)
    job = started(client, batch)
    shown = page_of(client, batch)
    assert (job.state, len(job.progress["files"])) == (Job.State.DONE, 1)
    assert "These could not be made" in shown
    assert reverse("printing:kit_sheet", args=[code]) in shown


def test_a_print_that_breaks_off_says_so(
    batch: Batch, packer: Person, sign_in: SIGN_IN, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where there is no PDF library the print ends with the way to get it; any other fault with a plain word."""
    client = sign_in(packer)
    for error, said in (
        (pdf.NoPdfLibrary("Pango is missing", retry_after_s=1), "Pango is missing"),
        (ZeroDivisionError(), "could not be made. Please try once more"),
    ):
        monkeypatch.setattr(runs, "pdf_in_its_turn", _failing(error))
        started_at = page_after(client, batch)
        assert said in started_at


def page_after(client: Client, batch: Batch) -> str:
    client.post(reverse("printing:print_run", args=[batch.pk]), {"which": "all"})
    return page_of(client, batch)


def _failing(error: Exception) -> Callable[[str], children.Answer]:
    def fail(html: str) -> children.Answer:
        raise error

    return fail


def test_no_such_kits(
    batch: Batch, packer: Person, sign_in: SIGN_IN, coordinator: Person, at: datetime
) -> None:
    """A choice that does not fit is said to be wrong, a batch without kits says so, and nothing begins."""
    client = sign_in(packer)
    address = reverse("printing:print_run", args=[batch.pk])
    for which in ("", "pleat", "x"):
        assert client.post(address, {"which": which}).status_code == 422
    with pytest.raises(actions.NothingToPrint):
        actions.start_print(batch=batch, kits=[], by=coordinator, at=at)
    assert client.post(reverse("printing:print_resume", args=[batch.pk])).status_code == 409
    assert not Job.objects.exists()
    empty = BatchFactory(month=date(2026, 4, 1))
    assert "no kits yet" in page_of(client, empty)


def test_a_stored_plan_is_read_once(batch: Batch) -> None:
    """However many kits, the plan they were cut from, which may be large, is in memory once."""
    plans = {id(kit.lay.plan) for kit in kits_to_print(batch)}
    assert len(plans) == len({kit.lay.plan_id for kit in kits_to_print(batch)})
