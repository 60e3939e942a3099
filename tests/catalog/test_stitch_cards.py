"""Stitch cards: every picture and sentence read back and compared with a smocker who walks pleat by pleat."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from html import unescape
from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest
from django.template.loader import render_to_string
from django.test import Client
from django.urls import reverse

from gowngroup.catalog.models import ChartRow
from gowngroup.catalog.planner import PlannerSettings
from gowngroup.catalog.stitch_cards import HOW_TO, STITCHES, TITLES, StitchCard, card_key, card_of, drawn_card
from gowngroup.people.models import Person
from gowngroup.planning.figures import default_values
from gowngroup.planning.smocking import PleaterProfile
from gowngroup.records.reader import Reader, reading_as
from tests.factories import ChartFactory, ChartRowFactory
from tests.planning.smocking_simulator import OTHER, Cloth, Smocker, Stitch

SignIn = Callable[[Person], Client]
SVG = "{http://www.w3.org/2000/svg}"
# Steps between turns and rise in row spaces, from the trade handbook's list of stitches (common practice, no source).
STEPS = {"wave": (1, 0.5), "wave-2": (2, 1.0), "trellis": (3, 1.0), "trellis-4": (4, 1.0)}
KIND = {"outline": "outline", "stem": "stem", **dict.fromkeys(STEPS, "wave")}
EACH_HAND = pytest.mark.parametrize("is_left_handed", [False, True], ids=["right", "left"])
EACH_STITCH = pytest.mark.parametrize("key", STITCHES)


def settings_with(**figures: float) -> PlannerSettings:
    values = {**default_values(), **figures}
    return PlannerSettings(figures=values, pleater=PleaterProfile.from_figures(values))


def card(key: str, *, is_left_handed: bool = False, **figures: float) -> StitchCard:
    return card_of(key, settings_with(**figures), is_left_handed=is_left_handed)


def smocker(key: str) -> Smocker:
    """A row of that stitch, worked from a low centre, over as many pleats as one repeat and a stitch need."""
    steps = STEPS.get(key, (0, 0.0))[0]
    return Smocker(
        cloth=Cloth(
            pleats=4 * steps + 6 if steps else 10,
            pitch_mm=Decimal(2),
            bite_mm=Decimal(1),
            step_rise_mm=Decimal(3),
        ),
        steps=steps,
        usable_mm=Decimal(400),
        kind=KIND.get(key, "cable"),
    ).work_row()


def walked(key: str) -> list[Stitch]:
    """The half worked first, stitch by stitch."""
    stitches = smocker(key).stitches
    ends = (
        at for at, (one, other) in enumerate(pairwise(stitches), start=1) if one.to_place != other.from_place
    )
    return stitches[: next(ends)]


@dataclass(frozen=True, slots=True)
class Needle:
    """Where the needle goes, on which side of it the thread lies, and where it points."""

    place: tuple[int, float]
    thread: str
    points_left: bool


class Picture:
    """An SVG read back: pleats by their numbers, rows by theirs, in spaces above the lowest row worked."""

    def __init__(self, svg: ET.Element, *, low_row: float) -> None:
        self.svg, self.low_row = svg, low_row
        self.x = {int(t.text or 0): float(t.get("x", 0)) for t in self._texts("pleat-number")}
        self.pleat_mm = abs(self.x[2] - self.x[1])
        self.way = 1 if self.x[2] > self.x[1] else -1
        letter_mm = float(next(svg.iter(f"{SVG}g")).get("font-size", 0))
        self.rows = {
            int(t.text or 0): float(t.get("y", 0)) - letter_mm / 3 for t in self._texts("row-number")
        }

    def _texts(self, name: str) -> Iterator[ET.Element]:
        return (text for text in self.svg.iter(f"{SVG}text") if text.get("class") == name)

    def paths(self, name: str) -> list[list[tuple[float, float]]]:
        """The points of each part of the paths of a class."""
        found = [p.get("d", "") for p in self.svg.iter(f"{SVG}path") if p.get("class") == name]
        parts = [part for d in found for part in d.split("M")[1:]]
        return [
            [tuple(map(float, pair)) for pair in re.findall(r"(-?[\d.]+) (-?[\d.]+)", part)]  # type: ignore[misc]
            for part in parts
        ]

    def number(self, x: float) -> int:
        """The pleat that stands here, within a fifth of a pleat."""
        at = min(self.x, key=lambda number: abs(self.x[number] - x))
        assert abs(self.x[at] - x) < 0.2 * self.pleat_mm
        return at

    def height(self, y: float) -> float:
        """Row spaces above the lowest row worked, to a twelfth; a thread lies a little beside its row."""
        row, row_y = next(iter(self.rows.items()))
        return (self.low_row - row) - (y - row_y) / self.space_mm

    @property
    def space_mm(self) -> float:
        return 11.0 if len(self.rows) < 2 else self.rows[2] - self.rows[1]

    def stitches(self) -> Iterator[tuple[int, float, int, float]]:
        """Each comes out in the valley before a pleat and goes in in the valley behind the next."""
        half = 0.36 * self.pleat_mm * self.way
        for name in ("stitch", "stitch newest"):
            for (x0, y0), (x1, y1) in self.paths(name):
                yield (
                    self.number(x0 + half),
                    self.height(y0),
                    self.number(x1 - half),
                    self.height(y1),
                )

    def needle(self) -> Needle | None:
        """The needle where it goes through a pleat: its broken lines are inside that pleat."""
        hidden, thread = self.paths("hidden"), self.paths("thread")
        if not hidden:
            return None
        (entry, y0), (leave, _y) = hidden[0]
        y = (y0 + hidden[1][0][1]) / 2
        return Needle(
            place=(self.number((entry + leave) / 2), self.height(y)),
            thread="above" if thread[0][3][1] < y else "below",
            points_left=self.paths("needle")[0][0][0] < min(entry, leave),
        )

    def rings(self) -> list[tuple[int, float]]:
        """Where the needle goes after that."""
        return [
            (self.number((part[0][0] + part[6][0]) / 2), self.height(part[0][1]))
            for part in self.paths("ring")
        ]


def pictures(key: str, card: StitchCard) -> list[Picture]:
    """The pictures of stitches on a card, as its page draws them."""
    low_row = 1 + STEPS.get(key, (0, 0.0))[1]
    drawn = drawn_card(card, letter_mm=5.0)
    texts = [
        render_to_string("catalog/_stitch_picture.html", {"picture": step.picture, "label": step.label})
        for step in drawn.steps
        if step.picture and step.picture.pleat_marks
    ]
    return [Picture(ET.fromstring(text), low_row=low_row) for text in texts]  # noqa: S314 - our own


def needle_of(picture: Picture) -> Needle:
    """The needle of a picture that has one."""
    needle = picture.needle()
    assert needle
    return needle


def place(key: str, at: int, stitch: Stitch) -> tuple[int, float]:
    """The pleat a stitch of the walk takes up, counted from 1 where the row starts, and its height in spaces."""
    steps, rise = STEPS.get(key, (0, 0.0))
    return at + 2, stitch.to_height * rise / max(steps, 1)


def stitch_of(key: str, at: int, stitch: Stitch) -> tuple[int, float, int, float]:
    steps, rise = STEPS.get(key, (0, 0.0))
    number, height = place(key, at, stitch)
    return number - 1, stitch.from_height * rise / max(steps, 1), number, height


def near(found: object, expected: object) -> bool:
    """The same pleats, and heights within a tenth of a space: a thread lies beside its row, never on another step."""
    return found == pytest.approx(expected, abs=0.11)


@EACH_STITCH
@EACH_HAND
def test_pictures_are_what_a_smocker_walks(key: str, is_left_handed: bool) -> None:
    """In each picture the stitches made, the needle, the side of the thread and the rings are those of the walk."""
    walk = walked(key)
    shown = pictures(key, card(key, is_left_handed=is_left_handed))
    for picture in shown:
        made, needle = list(picture.stitches()), picture.needle()
        expected = [stitch_of(key, at, stitch) for at, stitch in enumerate(walk[: len(made)])]
        assert all(near(found, other) for found, other in zip(made, expected, strict=True))
        assert picture.way == (-1 if is_left_handed else 1)
        if needle:
            assert near(needle.place, place(key, len(made), walk[len(made)]))
            assert needle.thread == walk[len(made)].thread
            assert needle.points_left is not is_left_handed
    assert len(made) == len(walk)


@EACH_STITCH
def test_steps_take_up_each_pleat_of_a_repeat_once(key: str) -> None:
    """Needle and rings of the pictures, one after another, are one whole repeat in its order, of 2k + 2 pleats.

    The repeat is common practice, no source; outline and stem, whose repeat is one pleat, are shown twice.
    """
    walk, steps = walked(key), STEPS.get(key, (0, 0.0))[0]
    seen = [(picture.needle(), picture.rings()) for picture in pictures(key, card(key))]
    taken = [each for needle, rings in seen if needle for each in (needle.place, *rings)]
    repeat = [place(key, at, stitch) for at, stitch in enumerate(walk[: 2 * steps + 2])]
    assert all(near(found, expected) for found, expected in zip(taken, repeat, strict=True))


def numbers_in(sentence: str) -> list[int]:
    """The pleats a sentence names."""
    first, last = re.search(r"Take up pleats? (\d+)(?: to (\d+))?", sentence).groups()  # type: ignore[union-attr]
    return list(range(int(first), int(last or first) + 1))


@EACH_STITCH
@EACH_HAND
def test_sentences_are_what_a_smocker_does(key: str, is_left_handed: bool) -> None:
    """Each sentence names the pleats, the side of the thread and the way up or down of the walk."""
    made, walk = 0, walked(key)
    for step in card(key, is_left_handed=is_left_handed).steps:
        said = " ".join(step.sentences)
        if "Take up pleat" not in said:
            continue
        stitches = walk[made : made + len(numbers_in(said))]
        assert numbers_in(said) == [made + 2 + at for at in range(len(stitches))]
        assert {f"Thread {stitch.thread} the needle." in said for stitch in stitches} == {True}
        climbs = {
            (stitch.to_height > stitch.from_height) - (stitch.to_height < stitch.from_height)
            for stitch in stitches
        }
        word = {0: "at the same height", 1: "higher", -1: "lower"}[climbs.pop()]
        assert not climbs
        assert word in said
        assert f"points to the {'right' if is_left_handed else 'left'}." in step.label
        assert f"The thread lies {stitches[0].thread} the needle." in step.label
        made += len(stitches)
    assert made == max(2, 2 * STEPS.get(key, (0, 0.0))[0] + 2)


def test_cards_follow_the_habit_of_the_group() -> None:
    """A group that lays the thread above going up reads and sees it so; outline and stem change places likewise."""
    turned = card("wave", stitch_rising_thread_is_below=0)
    assert [needle_of(picture).thread for picture in pictures("wave", turned)[:4]] == [
        "above",
        "above",
        "below",
        "below",
    ]
    assert "Thread above the needle." in turned.steps[0].sentences
    outline = card("outline", stitch_outline_thread_is_above=0)
    assert "Thread below the needle." in outline.steps[0].sentences


@pytest.mark.parametrize("key", STEPS)
def test_rows_that_start_high_begin_with_step_three(key: str) -> None:
    """The third step of waves and trellises is the turn at the top, from where a row with a high centre starts."""
    needle = needle_of(pictures(key, card(key))[2])
    assert needle.place[1] == pytest.approx(STEPS[key][1], abs=0.11)
    assert "at the same height" in card(key).steps[2].sentences[-1]
    assert any(hint.endswith("begin with step 3.") for hint in card(key).hints)


def test_second_half_is_worked_with_the_work_upside_down() -> None:
    """Turned round, the second half runs the usual way again and its thread lies on the other side than in the chart."""
    stitches = smocker("cable").stitches
    second = stitches[len(walked("cable"))]
    needle = needle_of(pictures("cable", card("start"))[-1])
    assert near(needle.place, (2, 0.0))
    assert needle.thread == OTHER[second.thread]
    assert needle.points_left


def test_thread_is_fastened_by_tiny_stitches_and_no_knot() -> None:
    """Starting and ending show the wrong side with two tiny stitches across a fold, and say why there is no knot."""
    for key in ("start", "end"):
        drawn = drawn_card(card(key), letter_mm=5.0)
        (back,) = [step.picture for step in drawn.steps if step.picture and step.picture.fastening]
        assert back.fastening.count("M") == 2
        assert not back.stitches
        assert "knot" in " ".join((*drawn.steps[0].sentences, *drawn.card.hints))


def test_floss_is_cut_and_parted_as_the_figures_say() -> None:
    """Six strands with three drawn out, cut at 457 mm: in inches for who reads inches (common practice, no source)."""
    drawn = drawn_card(card("needle"), letter_mm=5.0)
    (tool,) = [step.tool for step in drawn.steps if step.tool]
    assert [line.role for line in tool.lines] == ["loose"] * 3 + ["thread"] * 3
    assert "45.7 cm" in drawn.steps[0].sentences[0]
    with reading_as(Reader(length_unit="in")):
        assert "18 in" in card("needle").steps[0].sentences[0]


def test_needle_goes_through_the_top_of_the_fold() -> None:
    """Drawn seven times as large: a pleat of u stands on u/R, the rest up and down, the needle u/6 below its top (derived)."""
    (tool,) = [step.tool for step in drawn_card(card("pleats"), letter_mm=5.0).steps if step.tool]
    lines = {
        line.role: [tuple(map(float, p.split())) for p in re.split("[ML]", line.path.rstrip("Z"))[1:]]
        for line in tool.lines
    }
    cloth = lines["cloth"][1:-1]
    take_up, ratio = 6.35, default_values()["cloth_ratio_medium"]
    pitch = take_up / ratio
    assert cloth[-1][0] - cloth[0][0] == pytest.approx(7 * pitch, abs=0.02)
    top, bottom = min(y for _x, y in cloth), max(y for _x, y in cloth)
    assert bottom - top == pytest.approx(7 * (take_up - pitch) / 2, abs=0.02)
    assert lines["needle"][0][1] - top == pytest.approx(7 * take_up / 6, abs=0.02)


def test_every_stitch_of_the_charts_has_a_card() -> None:
    """Each kind of stitch a chart may hold opens a card by its own name, with any number of steps."""
    assert {str(stitch) for stitch in ChartRow.Stitch} <= set(TITLES)
    assert {card_key("wave", steps) for steps in range(1, 9)} == {"wave", "wave-2", "trellis", "trellis-4"}
    assert [card_key(stitch, 0) for stitch in ("cable", "stem", "outline")] == ["cable", "stem", "outline"]
    assert set(TITLES) == {*HOW_TO, *STITCHES}


@pytest.mark.django_db
def test_cards_are_read_by_whoever_sews(volunteer: Person, sign_in: SignIn, group: object) -> None:
    """The list leads to every card, each opens, and one there is not is not found."""
    client = sign_in(volunteer)
    page = client.get(reverse("catalog:stitch_cards")).content.decode()
    for key, title in TITLES.items():
        address = reverse("catalog:stitch_card", args=[key])
        assert f'href="{address}"' in page
        card_page = client.get(address).content.decode()
        assert f"<h1>{title}</h1>" in card_page
        assert "no published source" in card_page
        assert all(
            unescape(found).startswith("Picture: ")
            for found in re.findall(r"<title>(Pict.*?)</title>", card_page)
        )
    assert client.get(reverse("catalog:stitch_card", args=["no-such"])).status_code == 404


@pytest.mark.django_db
def test_cards_are_drawn_for_the_readers_hand(volunteer: Person, sign_in: SignIn, group: object) -> None:
    """Who sews with her left hand sees it so, and may look at the other; nothing is turned on a card without hands."""
    volunteer.is_left_handed = True
    volunteer.save()
    client, address = sign_in(volunteer), reverse("catalog:stitch_card", args=["cable"])
    assert "Drawn for the left hand" in client.get(address).content.decode()
    assert "Drawn for the right hand" in client.get(address, {"hand": "right"}).content.decode()
    assert "Drawn for" not in client.get(reverse("catalog:stitch_card", args=["needle"])).content.decode()


@pytest.mark.django_db
def test_rows_of_a_chart_lead_to_their_cards(volunteer: Person, sign_in: SignIn, group: object) -> None:
    """Each row's stitch is a link to its card in both tables of a chart, a row on the wrong side to back-smocking too."""
    chart = ChartFactory()
    ChartRowFactory(chart=chart, position=1, stitch="cable", is_back_smocking=True)
    ChartRowFactory(
        chart=chart, position=2, stitch="trellis", step_count=4, rise_half_spaces=2, top_half_space=1
    )
    page = sign_in(volunteer).get(reverse("catalog:chart_page", args=[chart.pk])).content.decode()
    for key, count in (("cable", 2), ("trellis-4", 2), ("back-smocking", 1)):
        assert page.count(f'href="{reverse("catalog:stitch_card", args=[key])}"') == count


def test_a_wrong_picture_would_be_seen() -> None:
    """A card with one stitch's thread on the other side is told from the walk."""
    right = card("trellis")
    step = next(step for step in right.steps if step.picture)
    assert step.picture
    first, *rest = step.picture.moves
    wrong = replace(step, picture=replace(step.picture, moves=(replace(first, thread="above"), *rest)))
    (picture,) = pictures("trellis", replace(right, steps=(wrong,)))
    assert needle_of(picture).thread != walked("trellis")[0].thread


@pytest.mark.parametrize("key", TITLES)
def test_cards_speak_in_whole_sentences(key: str) -> None:
    """Whatever a card says ends with a stop, and says at least three words."""
    said = card(key)
    steps = [sentence for step in said.steps for sentence in step.sentences]
    for sentence in (*said.purpose, *said.hints, said.source, *steps):
        assert sentence.endswith(".")
        assert len(sentence.split()) >= 3
