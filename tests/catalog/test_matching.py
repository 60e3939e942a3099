"""Parts of a gown whose print must meet."""

import math
from datetime import datetime

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.batches.planner.kits import batch_kit
from gowngroup.batches.planner.shelf import cloth_lot
from gowngroup.catalog.actions import RevisionDetails, change_revision
from gowngroup.catalog.models import DesignRevision, Size
from gowngroup.catalog.planner import gown_need
from gowngroup.people.models import Person
from gowngroup.planning.allocation import CuttingSettings
from gowngroup.planning.allocation.suits import strip_of
from gowngroup.planning.batch_plan.cloth import kit_cloth
from gowngroup.planning.lay.rows import lay_rows
from tests.factories import LotFactory, MaterialFactory

pytestmark = pytest.mark.django_db
REPEAT_UM = 64_000
SIZE_G = 2500


@pytest.fixture
def matched(yoke: DesignRevision, coordinator: Person, at: datetime) -> DesignRevision:
    """The yoke gown with the print of its front and backs meeting."""
    details = RevisionDetails(chart=yoke.chart, matched_parts=("front", "back"), companions=("swatch",))
    return change_revision(revision=yoke, details=details, by=coordinator, at=at)


def test_only_the_parts_named_are_matched(matched: DesignRevision) -> None:
    """Front panel and backs are matched; yokes, sleeves, binding and the spare piece are not."""
    need = gown_need(revision=matched, size=Size.objects.get(upper_mass_g=SIZE_G))
    assert [piece.part for piece in need.pieces if piece.is_matched] == ["front panel", "back"]


def test_matched_pieces_start_on_a_whole_repeat(matched: DesignRevision) -> None:
    """On a print that comes again every 6.4 cm the three matched pieces of a gown start on a whole repeat of it."""
    need = gown_need(revision=matched, size=Size.objects.get(upper_mass_g=SIZE_G))
    material = MaterialFactory(kind="cloth", repeat_um=REPEAT_UM)
    lot = LotFactory(material=material, on_hand_amount=3_000_000)
    strip = strip_of(cloth_lot(lot), CuttingSettings())
    cloth = kit_cloth(batch_kit(key="1", revision=matched, need=need), ())
    lay = lay_rows(cloth.pieces, strip)
    starts_mm = {place.piece_key: place.y_mm for place in lay.placements}
    matched_mm = [starts_mm[piece.key] for piece in cloth.pieces if piece.is_matched]
    assert len(matched_mm) == 3
    assert [math.remainder(start_mm, 64) for start_mm in matched_mm] == pytest.approx([0, 0, 0], abs=1e-6)


def test_matched_parts_are_ticked_on_the_design(
    yoke: DesignRevision, coordinator: Person, client: Client
) -> None:
    """The coordinator ticks which parts must meet, and the design's page says so."""
    client.force_login(coordinator)
    sent = {
        "chart": yoke.chart_id,
        "closure": "flat-fastening",
        "difficulty": 2,
        "is_for_worn": "on",
        "seam_class": "301",
        "trim_class": "301",
        "cloth_mass_min_g_per_m2": 60,
        "cloth_mass_max_g_per_m2": 150,
        "matched_parts": ["front", "back"],
    }
    client.post(reverse("catalog:design_change", args=[yoke.design_id]), sent)
    page = client.get(reverse("catalog:design_page", args=[yoke.design_id])).content.decode()
    assert "front, backs" in page
