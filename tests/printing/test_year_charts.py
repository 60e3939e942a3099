"""Charts of black lines and the quartiles behind them, without a database."""

import re
import statistics
from collections import Counter
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gowngroup.printing.planner.year.charts import Chart, Series, column_chart, row_chart, ticks
from gowngroup.printing.planner.year.spread import spread
from gowngroup.records.reader import Reader, reading_as

DAYS = st.lists(st.integers(min_value=0, max_value=800), min_size=2, max_size=60)


def chart_of(*series: Series, is_row: bool = False, labels: tuple[str, ...] = ("Jan", "Feb")) -> Chart:
    draw = row_chart if is_row else column_chart
    return draw(title="Gowns", description="What there is.", labels=labels, series=series)


@given(DAYS)
def test_quartiles_are_those_of_two_libraries(days: list[int]) -> None:
    """Counted days give the quartiles of the statistics module (inclusive) and of numpy (linear), both definition 7 of
    Hyndman and Fan, The American Statistician 50 (1996) 361-365."""
    found = spread(Counter(days))
    assert found is not None
    told = [found.low, found.middle, found.high]
    assert told == pytest.approx(statistics.quantiles(days, n=4, method="inclusive"))
    assert told == pytest.approx(list(np.quantile(days, [0.25, 0.5, 0.75])))


def test_one_gown_and_none() -> None:
    """One gown is its own median; of none there is nothing to tell."""
    one = spread({12: 1})
    assert one is not None
    assert (one.low, one.middle, one.high, one.count) == (12, 12, 12, 1)
    assert spread({}) is None
    assert spread({12: 0}) is None


@pytest.mark.parametrize("most", [0, 0.2, 1, 2, 3, 7, 10, 11, 23, 51, 99, 120, 4999, 60_000])
def test_the_scale_reaches_the_largest_number_in_round_steps(most: float) -> None:
    """The scale starts at nothing, holds the largest number without much air, and has few even, round steps."""
    marks = ticks(most)
    steps = {round(after - before, 9) for before, after in pairwise(marks)}
    assert marks[0] == 0
    assert most <= marks[-1] <= max(2 * most, 1)
    assert len(steps) == 1
    assert len(marks) <= 6
    assert re.fullmatch(r"[125]0*", f"{steps.pop() * 10**9:.0f}")


@pytest.mark.parametrize("is_row", [True, False])
def test_bars_are_as_long_as_their_numbers(is_row: bool) -> None:
    """Each bar's length is its number times one scale; nothing is drawn for nothing."""
    chart = chart_of(Series(name="asked", values=(12, 0)), Series(name="met", values=(7, 3)), is_row=is_row)
    bars = chart.bars[2:]
    lengths = [bar.width if is_row else bar.height for bar in bars]
    assert sorted(length / chart.mm_per_unit for length in lengths) == pytest.approx([3, 7, 12])


def test_kinds_are_told_apart_in_black_and_white() -> None:
    """Three kinds of number have three fillings, the same in the key; one kind needs no key."""
    three = chart_of(*(Series(name=name, values=(1, 2)) for name in ("came in", "passed", "left")))
    assert [bar.fill for bar in three.bars] == ["empty", "hatched", "black"] + ["empty"] * 2 + [
        "hatched"
    ] * 2 + ["black"] * 2
    assert {"came in", "passed", "left"} <= {text.text for text in three.texts}
    assert len(chart_of(Series(name="hours", values=(1, 2))).bars) == 2


def test_hatching_stays_inside_its_bars() -> None:
    """Every slanting line begins and ends on the edge of a hatched bar."""
    chart = chart_of(Series(name="asked", values=(3, 4)), Series(name="met", values=(2.5, 1)))
    hatched = [bar for bar in chart.bars if bar.fill == "hatched"]
    lines = re.findall(r"M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)", chart.hatching)
    assert len(lines) > 20
    for line in lines:
        x1, y1, x2, y2 = (float(number) for number in line)
        assert abs((x2 - x1) - (y1 - y2)) < 0.03
        assert any(
            bar.x - 0.01 <= min(x1, x2) and max(x1, x2) <= bar.x + bar.width + 0.01
            and bar.y - 0.01 <= min(y1, y2) and max(y1, y2) <= bar.y + bar.height + 0.01
            for bar in hatched
        )  # fmt: skip


def test_long_names_are_shortened_in_the_drawing_alone() -> None:
    """A name wider than the drawing ends in dots there; the table has it whole."""
    chart = chart_of(Series(name="cut", values=(1,)), is_row=True, labels=("W" * 140,))
    label = chart.texts[0].text
    assert label.endswith("…")
    assert 20 < len(label) < 60


def test_a_long_key_goes_on_in_the_next_line() -> None:
    """Names of kinds that do not fit side by side stand one below the other."""
    chart = chart_of(*(Series(name="left for the wards, " * 5, values=(1, 1)) for _ in range(2)))
    assert chart.bars[1].y > chart.bars[0].y


def test_large_print_is_large_in_drawings_too() -> None:
    """Who reads large print gets letters of 14 pt in drawings."""
    with reading_as(Reader(has_large_print=True)):
        large = chart_of(Series(name="hours", values=(1, 2)))
    assert large.type_mm / (25.4 / 72) >= 14
    assert chart_of(Series(name="hours", values=(1, 2))).type_mm / (25.4 / 72) >= 11


def test_words_stand_where_numbers_are_more_than_numbers() -> None:
    """A length is written in the words of the table, not as the fraction that is drawn."""
    chart = chart_of(Series(name="cut", values=(1.37, 2.0), words=("1 3/8", "2")), is_row=True)
    assert [text.text for text in chart.texts] == ["Jan", "1 3/8", "Feb", "2"]
