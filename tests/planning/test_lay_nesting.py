import json
import math
import os
import sys
import threading

import pytest

from gowngroup.planning.lay import Flaw, LayEngine, LayPiece, Piece, Strip, nesting
from gowngroup.planning.lay.ask import Ask
from gowngroup.planning.lay.check import lay_faults
from gowngroup.planning.lay.engines import lay_best
from gowngroup.planning.lay.nested import lay_nested
from gowngroup.planning.lay.nesting import NestingFailed, answer, search_apart
from gowngroup.planning.lay.nesting_child import answer as child_answer
from gowngroup.planning.lay.search_child import answer as search_answer
from gowngroup.planning.lay.sequence import search
from gowngroup.planning.lay.sequence_lay import lay_patient, lay_sequence
from gowngroup.planning.trial_gowns import trial_gowns
from tests.planning.invented_gowns import invented_gowns, piece, rectangle

CLOTH = Strip(usable_width_mm=1100, length_mm=math.inf)


def python(code: str) -> tuple[str, ...]:
    return (sys.executable, "-c", code)


def pieces_of(gowns: tuple[tuple[LayPiece, ...], ...]) -> tuple[LayPiece, ...]:
    return tuple(each for gown in gowns for each in gown)


@pytest.mark.parametrize(
    ("code", "says"),
    [
        ("import os; os.kill(os.getpid(), 9)", "broke down"),
        ("raise SystemExit(3)", "broke down"),
        ("print('no numbers')", "answered nonsense"),
        ("", "answered nonsense"),
    ],
)
def test_child_that_fails_is_our_own_error(code: str, says: str) -> None:
    """A child that is killed, breaks down or says nonsense raises one error of ours."""
    with pytest.raises(NestingFailed, match=says):
        answer("{}", seconds=60, child=python(code))


def test_child_that_overruns_is_killed(monkeypatch: pytest.MonkeyPatch) -> None:
    """A child that never answers is stopped after its time and the grace."""
    monkeypatch.setattr(nesting, "GRACE_SECONDS", 0.2)
    with pytest.raises(NestingFailed, match="was stopped"):
        answer("{}", seconds=0.1, child=python("import time; time.sleep(60)"))


def test_panic_of_the_engine_stays_in_the_child() -> None:
    """Input the engine panics at ends the child, not the program."""
    flat = {
        "stop_seconds": 1,
        "pieces": [[[[0, 0], [1, 0], [2, 0]], 1, [0.0]]],
        "strip_width_mm": 5,
        "exploring_seconds": 1,
    }
    with pytest.raises(NestingFailed, match="broke down"):
        answer(json.dumps({**flat, "compressing_seconds": 0, "seed": 1, "workers": 1}), seconds=60)


def test_child_answers_with_a_place_for_each_copy() -> None:
    """The child's answer names the piece, its turn and its shift, once for every copy."""
    square = [[0, 0], [10, 0], [10, 10], [0, 10]]
    times = {"exploring_seconds": 1, "compressing_seconds": 0, "stop_seconds": 3}
    asked = {"pieces": [[square, 3, [0.0]]], "strip_width_mm": 10.1, **times, "seed": 1, "workers": 1}
    found = json.loads(child_answer(json.dumps(asked)))
    assert [number for number, *_ in found] == [0, 0, 0]
    assert all(len(place) == 4 for place in found)


def test_engine_that_overruns_gives_the_best_it_has_told() -> None:
    """Stopped half way the child answers with a whole lay; stopped before there is one it ends without."""
    wedge = [[0, 0], [10, 3], [4, 9]]
    asked = {"pieces": [[wedge, 5, [0.0, 180.0]]], "strip_width_mm": 25, "compressing_seconds": 0}
    asked |= {"exploring_seconds": 1, "seed": 1, "workers": 1}
    before = set(threading.enumerate())
    assert len(json.loads(child_answer(json.dumps({**asked, "stop_seconds": 0.6})))) == 5
    with pytest.raises(SystemExit, match="found nothing"):
        child_answer(json.dumps({**asked, "stop_seconds": 0}))
    for engine in set(threading.enumerate()) - before:
        engine.join()  # one still at it when Python ends would abort the whole run


def test_countdown_runs_down() -> None:
    """Of no seconds none are left, of a minute some."""
    assert nesting.countdown(0)() <= 0 < nesting.countdown(60)() <= 60


def test_nested_gowns_may_be_cut() -> None:
    """A lay in sub-lays nested on true outlines passes the independent check."""
    pieces = pieces_of(trial_gowns(7))
    lay = lay_nested(pieces, CLOTH, seconds=1)
    assert lay.engine == "nested"
    assert lay_faults(lay, pieces, CLOTH) == ()


@pytest.mark.parametrize(("gown_count", "search_alone"), [(1, lay_sequence), (7, lay_patient)])
def test_best_lay_is_the_shorter_of_search_and_nesting(gown_count: int, search_alone: LayEngine) -> None:
    """The worker's lay is no longer than the search's, whose answer is always the same; a large lay's is a patient one."""
    pieces = pieces_of(invented_gowns(gown_count))
    best = lay_best(pieces, CLOTH, seconds=1)
    assert best.length_mm <= search_alone(pieces, CLOTH).length_mm
    assert lay_faults(best, pieces, CLOTH) == ()


def test_gap_is_kept_when_nesting() -> None:
    """Nested pieces and the sub-lays themselves keep the gap."""
    cloth = Strip(usable_width_mm=1100, length_mm=math.inf, gap_mm=5)
    pieces = pieces_of(invented_gowns(7))
    lay = lay_nested(pieces, cloth, seconds=1)
    assert lay.engine == "nested"
    assert lay_faults(lay, pieces, cloth) == ()


def test_flaws_and_failing_children_fall_back_on_the_search(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where nesting cannot be used or fails, the deterministic lay is given."""
    pieces = [piece("a", rectangle(400, 150)), piece("b", rectangle(400, 150))]
    flawed = Strip(usable_width_mm=500, length_mm=1000, flaws=(Flaw(from_mm=200, to_mm=210),))
    assert lay_nested(pieces, flawed).engine == "sequence"
    monkeypatch.setattr(nesting, "CHILD", (os.devnull,))
    assert lay_nested(pieces, CLOTH).engine == "sequence"


FLAWED_PRINT = Ask(
    pieces=(
        Piece("front", ((0, 0), (150, 20), (150, 180), (0, 200)), 3, (0.0, 180.0)),
        Piece("cuff", rectangle(40, 90), 2),
    ),
    strip_width_mm=500,
    gap_mm=4,
    flaws=((200.0, 210.0),),
    repeat_mm=60,
    matched_ids=frozenset({"cuff"}),
)


def test_search_in_a_child_finds_what_ours_finds() -> None:
    """Gap, flaws and matching reach the child: it searches exactly as its parent would."""
    assert search_apart(FLAWED_PRINT, effort=200, seed=3) == search(FLAWED_PRINT, effort=200, seed=3)


def test_search_child_answers_with_a_place_for_each_copy() -> None:
    """The child's answer names the piece by number, its turn and its shift, once for every copy."""
    ask = {"pieces": [[rectangle(10, 5), 2, [0.0]]], "matched": [], "strip_width_mm": 10, "gap_mm": 0}
    found = search_answer(json.dumps({"ask": {**ask, "flaws": [], "repeat_mm": 0}, "effort": 9, "seed": 1}))
    assert sorted(json.loads(found)) == [[0, 0.0, 0.0, 0.0], [0, 0.0, 0.0, 5.0]]


def test_patient_lay_does_without_a_child(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where no child can be started the patient lay is that of the parent's own search."""
    gown = trial_gowns(1)[0]
    monkeypatch.setattr(nesting, "SEARCH_CHILD", (os.devnull,))
    assert lay_patient(gown[:3], CLOTH, seed=2) == lay_sequence(gown[:3], CLOTH, effort=4_500, seed=2)
