"""What the tests of the sheets share: kits, gowns and drop-offs, and an engine that must stay silent."""

import logging
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime

import pytest
from django.test import Client

from gowngroup.batches.models import Kit, MaterialChoice
from gowngroup.catalog.models import ChartRow, DesignRevision, RectanglePiece
from gowngroup.deliveries.models import DropOff, DropOffGown
from gowngroup.gowns.models import Gown
from gowngroup.people.models import Group, Person
from tests.factories import (
    ChartFactory,
    ChartRowFactory,
    DesignFactory,
    DesignRevisionFactory,
    DesignSizeFactory,
    KitFactory,
    LotFactory,
    MaterialFactory,
    SizeFactory,
    WardFactory,
)
from tests.printing.kit_sheets import printed
from tests.printing.paper.here import PrintedHere
from tests.snapshots import store_snapshot

SIGN_IN = Callable[[Person], Client]
MAKE_KIT = Callable[..., Kit]
MAKE_GOWN = Callable[..., Gown]
MAKE_DROP_OFF = Callable[..., DropOff]
STITCHES = (
    {"stitch": ChartRow.Stitch.CABLE, "top_half_space": 0, "floss_role": "A"},
    {"stitch": "wave", "step_count": 1, "top_half_space": 1, "rise_half_spaces": 1, "floss_role": "B"},
    {"stitch": "trellis", "step_count": 3, "top_half_space": 3, "rise_half_spaces": 2, "floss_role": "C"},
)


@pytest.fixture(autouse=True)
def _silent_engine(caplog: pytest.LogCaptureFixture, request: pytest.FixtureRequest) -> Iterator[None]:
    """Fail a test after which WeasyPrint or its font tools had something to say."""
    caplog.set_level(logging.WARNING)
    yield
    said = [r for r in caplog.get_records("call") if r.name.split(".")[0] in ("weasyprint", "fontTools")]
    assert "engine_may_speak" in request.fixturenames or not said, [r.getMessage() for r in said]


@pytest.fixture
def engine_may_speak() -> None:
    """For tests in which the engine rightly reports what it was refused."""


@pytest.fixture
def printed_here(monkeypatch: pytest.MonkeyPatch) -> PrintedHere:
    """The engine in this process, so that tests see what was laid out."""
    return PrintedHere(monkeypatch)


@pytest.fixture
def revision(db: None) -> DesignRevision:
    """A design with a smocked panel, a sleeve, and a chart of cable, wave and trellis."""
    chart = ChartFactory()
    for position, row in enumerate(STITCHES, start=1):
        ChartRowFactory(chart=chart, position=position, **row)
    steps = ["Pleat the panel.", "Smock from the centre.", "Sew it together."]
    made: DesignRevision = DesignRevisionFactory(
        design=DesignFactory(name="Panel gown"), chart=chart, order_of_work=steps
    )
    design_size = DesignSizeFactory(
        revision=made, size=SizeFactory(), pleat_count=74, smocked_width_um=150_000
    )
    for name, part, count in (("smocked front", "smocked panel", 1), ("sleeve", "sleeve", 2)):
        RectanglePiece.objects.create(
            design_size=design_size,
            name=name,
            part=part,
            piece_count=count,
            width_um=508_000,
            length_um=282_000,
        )
    return made


@pytest.fixture
def make_kit(group: Group, revision: DesignRevision) -> MAKE_KIT:
    """A planned kit of the small design, with floss chosen for it and a ward that takes its size."""

    def make(**fields: object) -> Kit:
        kit: Kit = KitFactory(**{"design_revision": revision, "size": SizeFactory()} | fields)
        for role, shade in (("A", "old rose"), ("B", "leaf green"), ("C", "sky")):
            floss = MaterialFactory(kind="floss", name="stranded cotton", shade=f"{shade} {kit.code}")
            MaterialChoice.objects.get_or_create(
                batch=kit.batch,
                design_revision=kit.design_revision,
                kind="floss",
                part=role,
                defaults={"material": floss},
            )
        WardFactory(sizes=[kit.size], rules="No lace at the neck\nLies flat when open")
        return store_snapshot(kit)

    return make


@pytest.fixture
def usual_sheet(make_kit: MAKE_KIT, packer: Person, sign_in: SIGN_IN) -> tuple[str, bytes]:
    """Code and PDF of the sheet of a small whole kit, printed once for all who ask."""
    return printed("usual", sign_in(packer), make_kit)


@pytest.fixture
def make_gown(group: Group, revision: DesignRevision) -> MAKE_GOWN:
    """A gown that is back, of the small design."""
    codes = iter(f"G{number:05d}" for number in range(1, 1000))

    def make(**fields: object) -> Gown:
        usual = {
            "code": next(codes),
            "design_revision": revision,
            "size": SizeFactory(),
            "purpose": "worn",
            "received_at": datetime(2026, 3, 9, tzinfo=UTC),
        }
        gown: Gown = Gown.objects.create(**usual | {"outer_lot": LotFactory()} | fields)
        return gown

    return make


@pytest.fixture
def make_drop_off(make_gown: MAKE_GOWN, driver: Person) -> MAKE_DROP_OFF:
    """A drop-off with its receipt number and so many gowns of each purpose."""

    def make(*, worn: int = 2, memorial: int = 0, **fields: object) -> DropOff:
        usual = {"driver": driver, "planned_on": date(2026, 3, 12), "receipt_number": "R2026-0007"}
        drop_off = DropOff.objects.create(**usual | {"ward": fields.get("ward") or WardFactory()} | fields)
        for purpose in ["worn"] * worn + ["memorial"] * memorial:
            gown = make_gown(purpose=purpose, state="left", passed_at=datetime(2026, 3, 11, tzinfo=UTC))
            DropOffGown.objects.create(drop_off=drop_off, gown=gown)
        return drop_off

    return make
