"""What the tests of the sheets share: kits of the usual designs, and PDFs read back by other programs."""

import io
import logging
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime

import pdfplumber
import pytest
from django.test import Client
from pdfplumber.pdf import PDF

from gowngroup.batches.models import Kit, MaterialChoice
from gowngroup.catalog.actions import start_catalog
from gowngroup.catalog.models import DesignRevision, Size
from gowngroup.gowns.models import Gown
from gowngroup.people.models import Group, Person
from gowngroup.printing.words import size_as_length
from tests.factories import KitFactory, MaterialFactory, WardFactory

READ_BACK = Callable[[Client, str], PDF]


@pytest.fixture(autouse=True)
def _silent_engine(caplog: pytest.LogCaptureFixture) -> Iterator[None]:
    """Fail a test after which WeasyPrint or its font tools had something to say."""
    caplog.set_level(logging.WARNING)
    yield
    said = [r for r in caplog.get_records("call") if r.name.split(".")[0] in ("weasyprint", "fontTools")]
    assert not said, [record.getMessage() for record in said]


@pytest.fixture
def read_back() -> READ_BACK:
    """The PDF at an address, fetched and opened by an independent reader."""

    def fetch(client: Client, address: str) -> PDF:
        response = client.get(address)
        assert response.status_code == 200, response.content[:300]
        assert response["Content-Type"] == "application/pdf"
        return pdfplumber.open(io.BytesIO(response.content))

    return fetch


@pytest.fixture
def catalog(coordinator: Person, at: datetime) -> None:
    """The designs a new group starts with."""
    start_catalog(by=coordinator, at=at)


@pytest.fixture
def kit_of(catalog: None, group: Group) -> Callable[..., Kit]:
    """A kit of one of the usual designs, with floss chosen for it."""

    def make(design: str = "Yoke gown", *, upper_mass_g: int = 2500, **fields: object) -> Kit:
        revision = DesignRevision.objects.get(design__name__startswith=design)
        size = Size.objects.get(upper_mass_g=upper_mass_g)
        kit: Kit = KitFactory(design_revision=revision, size=size, **fields)
        for role, shade in (("A", "old rose"), ("B", "leaf green")):
            floss = MaterialFactory(kind="floss", name="stranded cotton", shade=shade)
            MaterialChoice.objects.create(
                batch=kit.batch, design_revision=revision, kind="floss", part=role, material=floss
            )
        WardFactory(sizes=[size], rules="No lace at the neck\nWash at 60 °C")
        return kit

    return make
