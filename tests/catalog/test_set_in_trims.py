"""Entredeux, insertion and beading of a design: set in flat, with a width, a ribbon drawn through."""

from collections.abc import Callable
from datetime import datetime

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.catalog.actions import NeedEntry, set_needs
from gowngroup.catalog.actions.needs import ImpossibleNeed
from gowngroup.catalog.models import DesignRevision
from gowngroup.catalog.planner import GownNeed, TrimNeed, gown_need
from gowngroup.people.models import Person
from gowngroup.printing.words import trim_place
from gowngroup.records.actions import set_figure
from tests.batches import months

SignIn = Callable[[Person], Client]
ENTREDEUX = NeedEntry(
    kind="entredeux", place="under the yoke", edge="yoke_seam", end_allowance_um=7_000, width_um=4_000
)
BEADING = NeedEntry(
    kind="beading", place="sleeve bands", edge="sleeve_hem", end_allowance_um=7_000, is_threaded=True
)


def need_with(by: Person, at: datetime, revision: DesignRevision, *entries: NeedEntry) -> GownNeed:
    """The need of a gown up to 1,500 g with these trims and no others."""
    kept = set_needs(revision=revision, needs=entries, by=by, at=at)
    return gown_need(revision=kept, size=months.size_to(1500))


def trims_by_kind(need: GownNeed) -> dict[str, TrimNeed]:
    return {trim.kind: trim for trim in need.trims}


def test_a_set_in_trim_is_the_edge_and_both_ends(
    yoke: DesignRevision, coordinator: Person, at: datetime
) -> None:
    """Edge + 2 × the end caught in a seam, never gathered (common practice); sewn along both sides."""
    lace = NeedEntry(kind="lace", place="edge", edge="yoke_seam", end_allowance_um=0)
    edge_mm = need_with(coordinator, at, yoke, lace).trims[0].length_mm
    trim = need_with(coordinator, at, yoke, ENTREDEUX).trims[0]
    assert trim.length_mm == pytest.approx(edge_mm + 14)
    assert (trim.width_mm, trim.batiste_mm) == (4, 7)
    assert trim.sewn_mm == pytest.approx(2 * (edge_mm + 14))


def test_ribbon_through_beading_is_its_length_and_a_tenth(
    yoke: DesignRevision, coordinator: Person, at: datetime
) -> None:
    """The ribbon stands beside its beading, a tenth longer (common practice), and is sewn on nowhere."""
    found = trims_by_kind(need_with(coordinator, at, yoke, BEADING))
    assert found["ribbon"].length_mm == pytest.approx(1.1 * found["beading"].length_mm)
    assert (found["ribbon"].count, found["ribbon"].place) == (2, "sleeve bands")
    assert (found["ribbon"].is_drawn_through, found["ribbon"].sewn_mm) == (True, 0)


def test_the_group_s_own_take_up_counts(yoke: DesignRevision, coordinator: Person, at: datetime) -> None:
    """A group that measured its own beading plans with that."""
    set_figure(key="beading_ribbon_ratio", value=1.25, source="our own beading", by=coordinator, at=at)
    found = trims_by_kind(need_with(coordinator, at, yoke, BEADING))
    assert found["ribbon"].length_mm == pytest.approx(1.25 * found["beading"].length_mm)


@pytest.mark.parametrize(
    ("entry", "field"),
    [
        (NeedEntry(kind="insertion", place="front", edge="hem", gather_percent=150), "gather_percent"),
        (NeedEntry(kind="lace", place="hem", edge="hem", is_threaded=True), "is_threaded"),
        (NeedEntry(kind="entredeux", place="yoke", edge="hem", width_um=400_000), "width_um"),
        (NeedEntry(kind="beading", place="neck", edge="neck", is_threaded=True), "edge"),
    ],
)
def test_what_cannot_be_set_in_is_refused(
    entry: NeedEntry, field: str, yoke: DesignRevision, coordinator: Person, at: datetime
) -> None:
    """Gathered insertion, threaded lace, an unlikely width, and a ribbon at the neck (EN 14682) name their field."""
    before = list(yoke.needs.values_list("kind", "place"))
    with pytest.raises(ImpossibleNeed) as refusal:
        set_needs(revision=yoke, needs=[entry], by=coordinator, at=at)
    assert refusal.value.field == field
    assert list(yoke.needs.values_list("kind", "place")) == before


def test_no_second_ribbon_stands_at_threaded_beading(
    yoke: DesignRevision, coordinator: Person, at: datetime
) -> None:
    """The ribbon drawn through is there already."""
    ribbon = NeedEntry(kind="ribbon", place="Sleeve bands", edge="sleeve_hem")
    with pytest.raises(ImpossibleNeed, match="stands here twice"):
        set_needs(revision=yoke, needs=[BEADING, ribbon], by=coordinator, at=at)


def test_set_in_trims_are_typed_on_the_design(
    yoke: DesignRevision, coordinator: Person, sign_in: SignIn
) -> None:
    """The form offers the kinds with width and ribbon, and the design's page tells them."""
    browser, address = sign_in(coordinator), reverse("catalog:design_needs", args=[yoke.design_id])
    sent = {
        "form-TOTAL_FORMS": 1,
        "form-INITIAL_FORMS": 0,
        "form-0-kind": "beading",
        "form-0-place": "sleeve bands",
        "form-0-edge": "sleeve_hem",
        "form-0-gather_percent": 100,
        "form-0-end_allowance_um": "0.7",
        "form-0-piece_count": 1,
        "form-0-width_um": "1.2",
        "form-0-is_threaded": "on",
    }
    assert browser.post(address, sent).status_code == 302
    page = browser.get(reverse("catalog:design_page", args=[yoke.design_id])).content.decode()
    assert "beading: sleeve bands, 1.2\u00a0cm wide, with a ribbon drawn through" in page
    assert 'value="1.2"' in browser.get(address).content.decode()


def test_the_kit_sheet_says_how_each_is_sewn(yoke: DesignRevision, coordinator: Person, at: datetime) -> None:
    """Set in flat, batiste trimmed to the seam, ribbon never tied; lace only where it goes."""
    lace = NeedEntry(kind="lace", place="hem", edge="hem")
    insertion = NeedEntry(kind="insertion", place="front", edge="yoke_seam")
    need = need_with(coordinator, at, yoke, ENTREDEUX, insertion, BEADING, lace)
    assert [trim_place(trim) for trim in need.trims] == [
        "under the yoke, set in flat, its batiste trimmed to 0.7 cm",
        "front, set in flat, ends caught in the seams",
        "sleeve bands, set in flat, ends caught in the seams",
        "sleeve bands, drawn through the beading, ends caught in the seams, never tied",
        "hem",
    ]
