"""The measures of a drafted size that the group sets itself, and what then no longer closes."""

from collections.abc import Callable
from datetime import datetime

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.catalog.actions import (
    DoesNotClose,
    RevisionDetails,
    change_revision,
    mark_revision_used,
    set_overrides,
)
from gowngroup.catalog.models import DesignRevision, DesignSize, Size
from gowngroup.catalog.planner import closing_sentences, gown_need, planner_settings
from gowngroup.catalog.planner.measure_words import draft_measure_labels
from gowngroup.catalog.planner.overrides import own_measures, with_overrides
from gowngroup.catalog.queries import newest_revision
from gowngroup.people.models import Person
from gowngroup.planning import drafting
from gowngroup.records.queries import trail_of

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person], Client]


@pytest.fixture
def row(round_neck: DesignRevision) -> DesignSize:
    return round_neck.sizes.select_related("size", "revision__design").get(size__upper_mass_g=2500)


@pytest.fixture
def browser(coordinator: Person, sign_in: SignIn) -> Client:
    return sign_in(coordinator)


@pytest.fixture
def address(row: DesignSize) -> str:
    return reverse("catalog:design_measures", args=[row.revision.design_id, row.size_id])


def test_own_measures_are_kept_and_drafted(row: DesignSize, coordinator: Person, at: datetime) -> None:
    """A length of the group's own stands in the trail, is drafted, and leaves the other measures worked out."""
    kept = set_overrides(design_size=row, overrides={"length_mm": 330.0}, by=coordinator, at=at)
    need = gown_need(revision=kept.revision, size=kept.size)
    assert (kept.overrides, need.faults) == ({"length_mm": 330.0}, ())
    assert need.measure_mm("length_mm") == pytest.approx(330, abs=1)
    assert [line.did for line in trail_of(kept)] == ["set_overrides"]


@pytest.mark.parametrize(
    ("overrides", "sentence"),
    [
        ({"front_length_mm": 320.0, "back_length_mm": 290.0}, "side"),
        ({"neck_mm": 150.0}, "The neck is"),
        ({"overlap_mm": 10.0}, "overlap"),
        ({"length_mm": 60.0}, "long"),
        ({"pleat_count": 145.0}, "even"),
        ({"row_count": 3.0}, "pleated row"),
    ],
)
def test_what_no_longer_closes_is_refused_whole(
    overrides: dict[str, float], sentence: str, row: DesignSize, coordinator: Person, at: datetime
) -> None:
    """Sides that do not meet, a tight neck, a gown that cannot be drafted: told in words, and nothing is stored."""
    with pytest.raises(DoesNotClose) as refusal:
        set_overrides(design_size=row, overrides=overrides, by=coordinator, at=at)
    row.refresh_from_db()
    assert any(sentence in each for each in refusal.value.sentences)
    assert row.overrides == {}


@pytest.mark.parametrize(
    ("overrides", "told"),
    [
        ({"length_mm": 60.0}, "length from the neck 6 cm."),
        ({"shoulder_depth_mm": 10.0, "pleat_count": 146.0}, "shoulders below the neck 1 cm; pleats 146."),
    ],
)
def test_a_refusal_names_what_was_set(overrides: dict[str, float], told: str, row: DesignSize) -> None:
    """A gown that cannot be drafted names the measures the group has set, for the fault lies in one of them."""
    sentences = closing_sentences(with_overrides(row, overrides), planner_settings())
    assert sentences[-1] == f"Set by yourselves in this size: {told}"


def test_both_sides_and_purposes_are_told_once(row: DesignSize) -> None:
    """A side seam that does not meet is one sentence for left and right, and a difference of purpose is named."""
    tried = with_overrides(row, {"front_length_mm": 400.0, "neck_mm": 150.0})
    seams = closing_sentences(tried, planner_settings())
    assert [sentence.partition(":")[0] for sentence in seams if "side" in sentence] == [
        "To wear",
        "As a memorial gown",
    ]
    assert [sentence[:11] for sentence in seams if "neck" in sentence] == ["The neck is"]


def test_a_used_revision_keeps_its_measures(row: DesignSize, coordinator: Person, at: datetime) -> None:
    """Measures set after a plan used the design are those of its next revision."""
    mark_revision_used(revision=row.revision, by=coordinator, at=at)
    kept = set_overrides(design_size=row, overrides={"length_mm": 330.0}, by=coordinator, at=at)
    row.refresh_from_db()
    assert (row.overrides, kept.revision) == ({}, newest_revision(row.revision.design))


def test_worked_out_stands_beside_own(row: DesignSize) -> None:
    """Beside a measure that was set stands what would be worked out; what follows from it stands beside the rest."""
    measures = {each.name: each for each in own_measures(row, planner_settings())}
    tried = with_overrides(row, {"neck_mm": 220.0})
    changed = {each.name: each for each in own_measures(tried, planner_settings())}
    assert changed["neck_mm"].usual == measures["neck_mm"].usual
    assert changed["neck_mm"].own == 220.0
    assert changed["binding_mm"].usual[0] == pytest.approx(220 + 30)
    assert len(measures["length_mm"].usual) == 2


def test_every_measure_of_every_draft_has_its_words() -> None:
    """No measure of a draft is shown by its bare name."""
    for kind in drafting.DRAFT_KINDS:
        assert {each.name for each in drafting.measures_of(kind)} <= draft_measure_labels(kind).keys()


def test_measures_are_typed_beside_those_worked_out(address: str, row: DesignSize, browser: Client) -> None:
    """The page shows what is worked out, keeps what is typed in centimetres and draws it."""
    page = browser.get(address).content.decode()
    assert all(word in page for word in ("Worked out", "to wear<br>", "gown-drawing", "pieces-drawing"))
    assert browser.post(address, {"length_mm": "33", "neck_mm": ""}).status_code == 302
    row.refresh_from_db()
    assert row.overrides == {"length_mm": 330.0}


def test_measures_are_tried_without_being_kept(address: str, row: DesignSize, browser: Client) -> None:
    """Trying draws what was typed, says what no longer closes and keeps nothing."""
    page = browser.post(address, {"front_length_mm": "32", "look": "on"})
    assert page.status_code == 200
    assert "This no longer closes:" in page.content.decode()
    assert "Drawn as typed" in page.content.decode()
    assert 'value="32"' in page.content.decode()
    row.refresh_from_db()
    assert row.overrides == {}


def test_a_gown_that_does_not_close_comes_back(address: str, row: DesignSize, browser: Client) -> None:
    """Keeping what does not close answers 422 with where it does not, and what was typed."""
    page = browser.post(address, {"neck_mm": "15"})
    assert page.status_code == 422
    assert "Nothing was changed" in page.content.decode()
    assert "The neck is" in page.content.decode()
    assert 'value="15"' in page.content.decode()
    assert "Everything meets" not in browser.post(address, {"neck_mm": "wide"}).content.decode()


def test_all_worked_out_measures_are_taken_again(address: str, row: DesignSize, browser: Client) -> None:
    """One button takes every own measure back, whatever stands in the fields."""
    browser.post(address, {"length_mm": "33"})
    assert "Take all worked-out measures again" in browser.get(address).content.decode()
    browser.post(address, {"length_mm": "34", "reset": "on"})
    row.refresh_from_db()
    assert row.overrides == {}


def test_inches_are_read_and_shown(
    address: str, row: DesignSize, browser: Client, coordinator: Person
) -> None:
    """A reader of inches types inches; an untouched measure stays exact."""
    Person.objects.filter(pk=coordinator.pk).update(length_unit="in")
    browser.post(address, {"length_mm": "13"})
    row.refresh_from_db()
    assert row.overrides == {"length_mm": pytest.approx(330.2)}
    browser.post(address, {"length_mm": "13", "pleat_count": "146"})
    row.refresh_from_db()
    assert row.overrides == {"length_mm": pytest.approx(330.2), "pleat_count": 146.0}


def test_choosing_sizes_keeps_own_measures(address: str, row: DesignSize, browser: Client) -> None:
    """A drafted size that stays chosen keeps the measures the group has set."""
    browser.post(address, {"length_mm": "33"})
    browser.post(
        reverse("catalog:design_sizes", args=[row.revision.design_id]), {f"made_{row.size_id}": "on"}
    )
    assert newest_revision(row.revision.design).sizes.get().overrides == {"length_mm": 330.0}


def test_a_size_that_cannot_be_drafted_can_be_taken_back(
    row: DesignSize, coordinator: Person, at: datetime
) -> None:
    """Own measures that close no longer, because the size has changed since, can always be taken back."""
    DesignSize.objects.filter(pk=row.pk).update(overrides={"length_mm": 60.0})
    row.refresh_from_db()
    assert closing_sentences(row, planner_settings())
    assert set_overrides(design_size=row, overrides={}, by=coordinator, at=at).overrides == {}


def test_own_measures_can_always_be_taken_back(row: DesignSize, coordinator: Person, at: datetime) -> None:
    """Where the size cannot be drafted at all any more, its own measures can be taken back all the same."""
    set_overrides(design_size=row, overrides={"length_mm": 330.0}, by=coordinator, at=at)
    Size.objects.filter(pk=row.size_id).update(has_armholes=False)
    row.refresh_from_db()
    with pytest.raises(DoesNotClose):
        set_overrides(design_size=row, overrides={"length_mm": 340.0}, by=coordinator, at=at)
    assert set_overrides(design_size=row, overrides={}, by=coordinator, at=at).overrides == {}


def test_a_copy_takes_own_measures_along(row: DesignSize, coordinator: Person, at: datetime) -> None:
    """A used design that is changed elsewhere keeps its own measures in the next revision, which is open again."""
    set_overrides(design_size=row, overrides={"length_mm": 330.0}, by=coordinator, at=at)
    mark_revision_used(revision=row.revision, by=coordinator, at=at)
    details = RevisionDetails(chart=row.revision.chart, difficulty=3)
    copy = change_revision(revision=row.revision, details=details, by=coordinator, at=at)
    assert (copy.number, copy.used_at) == (row.revision.number + 1, None)
    assert copy.sizes.get(size=row.size).overrides == {"length_mm": 330.0}
    again = set_overrides(
        design_size=copy.sizes.get(size=row.size), overrides={"length_mm": 335.0}, by=coordinator, at=at
    )
    assert again.revision == copy
