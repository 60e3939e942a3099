"""Several people print one kit's sheet at the same moment: real threads on a real database."""

from collections.abc import Iterator
from datetime import UTC, datetime
from functools import partial
from hashlib import sha256
from pathlib import Path
from threading import Barrier

import pytest
from django.db import IntegrityError

from gowngroup.batches.models import Kit
from gowngroup.people.models import Person
from gowngroup.printing.actions import keep_sheet
from gowngroup.printing.models import KitSheetFile
from gowngroup.printing.queries import kept_sheet
from gowngroup.printing.sheets import WrittenSheet
from gowngroup.records.reader import Reader
from tests.factories import GroupFactory, KitFactory, PersonFactory
from tests.printing.test_kept_sheets import ONE
from tests.race import at_once, database_in_a_file

pytestmark = pytest.mark.django_db(transaction=True)
AT = datetime(2026, 3, 10, 9, 30, tzinfo=UTC)
TOGETHER = 6


@pytest.fixture
def kit(transactional_db: None, tmp_path: Path) -> Iterator[Kit]:
    with database_in_a_file(tmp_path / "race.sqlite3"):
        GroupFactory()
        yield KitFactory()


@pytest.fixture
def packer(kit: Kit) -> Person:
    made: Person = PersonFactory(roles=["packer"])
    return made


def sheet_saying(kit: Kit, said: str) -> WrittenSheet:
    return WrittenSheet(kit=kit, reader=Reader(), html=said, data_sha256=sha256(said.encode()).hexdigest())


def test_one_sheet_kept_by_many_is_kept_once(kit: Kit, packer: Person) -> None:
    """All get the one kept sheet, and its version is 1."""
    keep = partial(keep_sheet, sheet=sheet_saying(kit, "same"), content=ONE, by=packer, at=AT)
    files = at_once([keep] * TOGETHER)
    assert {file and (file.pk, file.version) for file in files} == {(KitSheetFile.objects.get().pk, 1)}


def test_different_sheets_kept_at_once_are_numbered_on(kit: Kit, packer: Person) -> None:
    """Sheets in different units or print get versions without gap or repetition."""
    sheets = [sheet_saying(kit, f"{number}") for number in range(TOGETHER)]
    at_once([partial(keep_sheet, sheet=sheet, content=ONE, by=packer, at=AT) for sheet in sheets])
    versions = KitSheetFile.objects.values_list("version", flat=True).order_by("version")
    assert list(versions) == list(range(1, TOGETHER + 1))


def test_looking_before_keeping_loses(kit: Kit) -> None:
    """The negative control: who looks and then keeps, without a lock, is refused by the database all but once."""
    sheet, looked = sheet_saying(kit, "same"), Barrier(TOGETHER, timeout=60)
    were_refused = at_once([partial(_keep_naively, kit, sheet, looked)] * TOGETHER)
    assert sum(were_refused) == TOGETHER - 1


def _keep_naively(kit: Kit, sheet: WrittenSheet, looked: Barrier) -> bool:
    """Look, and keep what is not there yet; was that refused?"""
    is_kept = kept_sheet(kit, sheet.data_sha256) is not None
    looked.wait()
    try:
        KitSheetFile.objects.create(
            kit=kit, version=1, at=AT, paper_size="A4", length_unit="cm", page_count=1,
            data_sha256=sheet.data_sha256, content_sha256=sha256(ONE).hexdigest(), content=ONE,
        )  # fmt: skip
    except IntegrityError:
        return not is_kept
    return False
