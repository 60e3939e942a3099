"""What is cut along with a gown from the same cloth."""

from dataclasses import replace
from datetime import datetime

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.batches.planner.kits import batch_kit, kit_minutes
from gowngroup.batches.planner.proposal import stage_minutes
from gowngroup.catalog.actions import RevisionDetails, change_revision
from gowngroup.catalog.drawing import gown_drawing
from gowngroup.catalog.models import DesignRevision, Size
from gowngroup.catalog.planner import (
    GownNeed,
    gown_need,
    need_from_document,
    need_to_document,
    planner_settings,
)
from gowngroup.catalog.queries import newest_revision
from gowngroup.people.models import Person

pytestmark = pytest.mark.django_db
ALL = ("bonnet", "blanket", "keepsakes", "swatch")


@pytest.fixture
def plain(yoke: DesignRevision) -> GownNeed:
    """What the yoke gown takes by itself."""
    return need_of(yoke)


@pytest.fixture
def with_all(yoke: DesignRevision, plain: GownNeed, coordinator: Person, at: datetime) -> DesignRevision:
    """The yoke gown with every companion."""
    details = RevisionDetails(chart=yoke.chart, difficulty=2, companions=ALL)
    return change_revision(revision=yoke, details=details, by=coordinator, at=at)


def need_of(revision: DesignRevision) -> GownNeed:
    return gown_need(revision=revision, size=Size.objects.get(upper_mass_g=2500))


def test_companions_join_the_pieces(plain: GownNeed, with_all: DesignRevision) -> None:
    """Bonnet, blanket, two squares and a spare piece are cut after the gown's own pieces and take cloth."""
    need = need_of(with_all)
    extra = need.pieces[len(plain.pieces) :]
    assert need.faults == ()
    assert [piece.name for piece in extra] == [
        "bonnet, band over the head",
        "bonnet, back",
        "wrap blanket",
        "keepsake square",
        "spare piece of cloth",
    ]
    assert [piece.count for piece in extra] == [1, 1, 1, 2, 1]
    assert need.area_mm2 == pytest.approx(plain.area_mm2 + sum(piece.area_mm2 for piece in extra))


def test_the_spare_piece_takes_no_thread(yoke: DesignRevision, coordinator: Person, at: datetime) -> None:
    """A spare piece goes along as it is cut; the squares are hemmed."""
    thread_mm = []
    for companions in ((), ("swatch",), ("keepsakes",)):
        details = RevisionDetails(chart=yoke.chart, companions=companions)
        change_revision(revision=yoke, details=details, by=coordinator, at=at)
        thread_mm.append(need_of(newest_revision(yoke.design)).sewing_thread_mm)
    assert thread_mm[0] == thread_mm[1] < thread_mm[2]


def test_companions_take_their_time_once(plain: GownNeed, with_all: DesignRevision) -> None:
    """Plan, line and proposal count 45 + 40 + 20 minutes more for bonnet, blanket and squares, each once."""
    need = need_of(with_all)
    assert kit_minutes(need).usual_min - kit_minutes(plain).usual_min == pytest.approx(105)
    assert kit_minutes(need).long_min - kit_minutes(plain).long_min == pytest.approx(105)
    stages = stage_minutes(need)
    assert stages.make_up - stage_minutes(plain).make_up == pytest.approx(105)
    assert stages.pleat + stages.smock + stages.make_up == pytest.approx(kit_minutes(need).usual_min)


def test_companions_are_cut_in_the_kit_but_not_drawn(with_all: DesignRevision) -> None:
    """A kit's lay holds them, and the picture of the gown is the gown's alone."""
    need = need_of(with_all)
    kit = batch_kit(key="1", revision=with_all, need=need)
    own = replace(need, pieces=tuple(piece for piece in need.pieces if not piece.is_companion))
    assert [piece.name for piece in kit.pieces] == [piece.name for piece in need.pieces]
    assert gown_drawing(need) == gown_drawing(own)


def test_a_companion_that_cannot_be_cut_is_told(with_all: DesignRevision) -> None:
    """A bonnet whose back is wider than its band goes round keeps the gown from being planned, and says why."""
    usual = planner_settings()
    settings = replace(usual, figures={**usual.figures, "draft_bonnet_back_ratio": 0.9})
    need = gown_need(revision=with_all, size=Size.objects.get(upper_mass_g=2500), settings=settings)
    assert [fault.partition(",")[0] for fault in need.faults] == ["The back of the bonnet is too wide"]


def test_a_gown_without_pieces_is_not_drawn_as_its_companion(with_all: DesignRevision) -> None:
    """Where a gown has no pieces of its own nothing is drawn, least of all its bonnet."""
    need = need_of(with_all)
    extra = tuple(piece for piece in need.pieces if piece.is_companion)
    assert gown_drawing(replace(need, pieces=extra)) is None


def test_plans_keep_companions_and_older_plans_are_read(with_all: DesignRevision) -> None:
    """A need is stored and read whole; one stored before there were companions is read without them."""
    need = need_of(with_all)
    document = need_to_document(need)
    assert need_from_document(document) == need
    for piece in document["pieces"]:
        del piece["is_companion"]
    assert not any(piece.is_companion for piece in need_from_document(document).pieces)


def test_companions_are_ticked_on_the_design(
    yoke: DesignRevision, coordinator: Person, client: Client
) -> None:
    """The coordinator ticks what is cut along, and the design's page says so."""
    client.force_login(coordinator)
    address = reverse("catalog:design_change", args=[yoke.design_id])
    sent = {
        "chart": yoke.chart_id,
        "closure": "flat-fastening",
        "difficulty": 2,
        "is_for_worn": "on",
        "seam_class": "301",
        "trim_class": "301",
        "cloth_mass_min_g_per_m2": 60,
        "cloth_mass_max_g_per_m2": 150,
        "companions": ["keepsakes", "swatch"],
    }
    assert client.post(address, {**sent, "companions": ["hat"]}).status_code == 422
    assert client.post(address, sent).status_code == 302
    page = client.get(reverse("catalog:design_page", args=[yoke.design_id])).content.decode()
    assert "two matching squares: one stays with the baby, one with the family; a spare piece" in page
