"""Kit sheets are kept as they were made: served again byte for byte, a new version when their data change."""

import io
from collections.abc import Callable
from datetime import UTC, date, datetime
from hashlib import sha256

import pdfplumber
import pikepdf
import pytest
import time_machine
from django.db import DatabaseError, connection, transaction
from django.test import Client
from django.urls import reverse

from gowngroup.batches.models import Kit
from gowngroup.home.audit import violations
from gowngroup.people.models import Group, Person
from gowngroup.people.queries import reader_for
from gowngroup.printing import actions, sheets
from gowngroup.printing.actions import keeping
from gowngroup.printing.models import KitSheetFile, KitSheetPrint
from gowngroup.records.models import TrailLine
from gowngroup.records.reader import reading_as
from gowngroup.records.triggers import create_sql, drop_sql
from tests.factories import PersonFactory
from tests.printing.conftest import MAKE_KIT, SIGN_IN

Keep = Callable[..., KitSheetFile | None]
MONDAY = datetime(2026, 3, 9, 12, tzinfo=UTC)


def small_pdf(said: str) -> bytes:
    """A PDF of one empty page that is told from others by what stands in it unseen."""
    file = io.BytesIO()
    with pikepdf.new() as pdf:
        pdf.add_blank_page()
        pdf.Root.Lang = pikepdf.String(said)
        pdf.save(file, deterministic_id=True)
    return file.getvalue()


ONE, TWO = small_pdf("one"), small_pdf("two")


@pytest.fixture
def kit(make_kit: MAKE_KIT) -> Kit:
    return make_kit()


@pytest.fixture
def keep(coordinator: Person, at: datetime) -> Keep:
    """Keep some content as the kit's sheet of today, without asking the engine."""

    def keep(kit: Kit, content: bytes = ONE) -> KitSheetFile | None:
        return actions.keep_sheet(sheet=sheets.written_sheet(kit), content=content, by=coordinator, at=at)

    return keep


def pdf_at(client: Client, kit: Kit) -> bytes:
    response = client.get(reverse("printing:kit_sheet_pdf", args=[kit.code]))
    assert response.status_code == 200
    return bytes(response.content)


def test_served_again_byte_for_byte_until_its_data_change(
    kit: Kit, coordinator: Person, packer: Person, sign_in: SIGN_IN, group: Group
) -> None:
    """Whoever asks gets the sheet as it was first made, days later too; a new day due makes a second, dated version."""
    with time_machine.travel(MONDAY, tick=False):
        first = pdf_at(sign_in(packer), kit)
    with time_machine.travel(MONDAY.replace(day=25), tick=False):
        assert pdf_at(sign_in(coordinator), kit) == first
        Kit.objects.filter(pk=kit.pk).update(due_on=date(2026, 4, 7))
        second = pdf_at(sign_in(packer), kit)
    Kit.objects.filter(pk=kit.pk).update(due_on=None)
    assert pdf_at(sign_in(packer), kit) == first != second
    dates = list(KitSheetFile.objects.values_list("version", "at__day", "page_count"))
    assert [(version, day) for version, day, _pages in dates] == [(1, 9), (2, 25)]
    with pdfplumber.open(io.BytesIO(second)) as pdf:
        assert len(pdf.pages) == dates[1][2]
        assert "7 April 2026" in pdf.pages[0].extract_text()
    assert TrailLine.objects.filter(did="keep_sheet").count() == 2
    assert KitSheetPrint.objects.count() == 2


def test_the_sum_covers_how_the_reader_reads(kit: Kit, sign_in: SIGN_IN, group: Group) -> None:
    """A sheet in another unit, on other paper, in large print or for the other hand is another version."""
    wishes: dict[str, object] = {
        "length_unit": "in", "paper_size": "Letter", "has_large_print": True, "is_left_handed": True,
    }  # fmt: skip
    one_each: list[dict[str, object]] = [{key: value} for key, value in wishes.items()]
    sums = set()
    for wish in ({}, *one_each, wishes):
        with reading_as(reader_for(PersonFactory(roles=["packer"], **wish))):
            sums.add(sheets.written_sheet(kit).data_sha256)
    assert len(sums) == 6
    usual, other = (PersonFactory(roles=["packer"], **each) for each in ({}, wishes))
    for person in (usual, other, usual):
        pdf_at(sign_in(person), kit)
    assert set(KitSheetFile.objects.values_list("data_sha256", flat=True)) < sums
    assert KitSheetFile.objects.count() == 2


def test_the_sum_leaves_out_what_the_style_sheet_is_called() -> None:
    """A style sheet laid out anew, with a new sum in its name, is no change of data; any word of the sheet is."""
    said = '<link href="/static/css/print/a4.{}.css"><p>{}</p>'
    one, other, word = (
        sheets.data_sum(said.format(*each))
        for each in (("0123456789ab", "x"), ("ba9876543210", "x"), ("0123456789ab", "y"))
    )
    assert one == other != word


def test_no_day_changes_the_sum(kit: Kit) -> None:
    """The sheet says nothing of the day it is printed on, which would make a version a day."""
    sums = set()
    for day in (9, 10):
        with time_machine.travel(MONDAY.replace(day=day)):
            sums.add(sheets.written_sheet(kit).data_sha256)
    assert len(sums) == 1


def test_the_bytes_are_never_changed(kit: Kit, keep: Keep) -> None:
    """The database itself refuses to change or remove a kept sheet."""
    file = keep(kit)
    assert file
    for statement in ("UPDATE printing_kitsheetfile SET content = %s", "DELETE FROM printing_kitsheetfile"):
        values = [TWO] if "%s" in statement else []
        with pytest.raises(DatabaseError), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(statement, values)
    assert bytes(KitSheetFile.objects.get().content) == ONE


def test_two_at_once_keep_one(kit: Kit, keep: Keep) -> None:
    """Where two made the same sheet at the same time, the first one kept is everybody's."""
    first, second = keep(kit), keep(kit, TWO)
    assert first
    assert first == second
    assert KitSheetFile.objects.count() == 1


def test_play_does_not_fill_the_disk(kit: Kit, keep: Keep, monkeypatch: pytest.MonkeyPatch) -> None:
    """Beyond a number of versions no real kit comes to, nothing more is kept."""
    monkeypatch.setattr(keeping, "MOST_VERSIONS", 2)
    kept = []
    for day in (1, 2, 3):
        kit.due_on = date(2026, 4, day)
        kept.append(keep(kit))
    assert [file and file.version for file in kept] == [1, 2, None]


def test_a_full_disk_keeps_nobody_from_her_sheet(
    kit: Kit, packer: Person, sign_in: SIGN_IN, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the sheet cannot be kept it is served all the same."""
    client = sign_in(packer)
    with connection.execute_wrapper(_no_room):
        assert pdf_at(client, kit).startswith(b"%PDF")
    assert not KitSheetFile.objects.exists()


def _no_room(execute: object, sql: str, params: object, many: bool, context: object) -> object:
    if sql.startswith('INSERT INTO "printing_'):
        raise DatabaseError("database or disk is full")
    return execute(sql, params, many, context)  # type: ignore[operator]


def test_old_versions_are_listed_for_the_coordinator(
    kit: Kit, keep: Keep, coordinator: Person, packer: Person, sign_in: SIGN_IN
) -> None:
    """The kit's page leads the coordinator to each version as it was; a packer is not led to old ones."""
    keep(kit)
    kit.due_on = date(2026, 4, 7)
    keep(kit, TWO)
    page = reverse("batches:kit_page", args=[kit.code])
    address = reverse("printing:kit_sheet_kept_pdf", args=[kit.code, 1])
    client = sign_in(coordinator)
    shown = client.get(page).content.decode()
    assert address in shown
    assert "Version 2, 10 March 2026" in shown
    assert client.get(address).content == ONE
    assert client.get(reverse("printing:kit_sheet_kept_pdf", args=[kit.code, 3])).status_code == 404
    assert address not in sign_in(packer).get(page).content.decode()


def test_no_name_is_kept(
    make_kit: MAKE_KIT, sign_in: SIGN_IN, coordinator: Person, group: Group, at: datetime
) -> None:
    """A kept sheet names nobody: neither who sews the kit, nor who printed it, nor who gave the cloth."""
    volunteer = PersonFactory(
        name="Una Sparrowhawk", email="una@example.org", telephone="01234 555321", roles=["volunteer"]
    )
    kit = make_kit(state="claimed", holder=volunteer, due_on=date(2026, 4, 7))
    lot = kit.outer_lot
    content = pdf_at(sign_in(volunteer), kit)
    with pdfplumber.open(io.BytesIO(content)) as pdf:
        said = "".join(page.extract_text() for page in pdf.pages) + str(pdf.metadata)
    for private in ("Sparrowhawk", "una@", "555321", coordinator.name):
        assert private not in said
    assert lot.donor is None or lot.donor.name not in said


def test_audit_adds_up_the_stored_bytes(kit: Kit, keep: Keep) -> None:
    """A kept sheet that somebody changed behind the program's back is found."""
    file = keep(kit)
    assert file
    assert file.content_sha256 == sha256(ONE).hexdigest()
    assert not [each for each in violations() if each.room == "printing"]
    table = KitSheetFile._meta.db_table
    with connection.cursor() as cursor:
        for statement in drop_sql(connection.vendor, table):
            cursor.execute(statement)
        cursor.execute("UPDATE printing_kitsheetfile SET content = %s", [b"%PDF forged"])
        for statement in create_sql(connection.vendor, table):
            cursor.execute(statement)
    (found,) = [each for each in violations() if each.room == "printing"]
    assert found.sentence == f"the sheet of kit {kit.code}, version 1, is damaged"
