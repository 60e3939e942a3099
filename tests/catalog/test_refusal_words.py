"""Why a gown cannot be drafted, sewn or closed, in the reader's own unit."""

from collections.abc import Mapping
from dataclasses import replace
from typing import get_args

import pytest
from django.utils.translation import override

from gowngroup.catalog.planner.closing_words import draft_fault_sentences
from gowngroup.catalog.planner.refusal_words import CLOSURES, SENTENCES, closure_sentence, refusal_sentence
from gowngroup.planning.drafting import (
    CannotDraft,
    ClosureFaultCode,
    DraftKind,
    Fault,
    FaultCode,
    RefusalCode,
    closing_faults,
    companion_pieces,
)
from gowngroup.records.reader import Reader, reading_as
from tests.planning.drafts import drafted
from tests.planning.round_necks import RULES, size_up_to

INCHES, CENTIMETRES = Reader(length_unit="in"), Reader(length_unit="cm")


def words_of(refusal: CannotDraft, reader: Reader) -> str:
    with reading_as(reader):
        return refusal_sentence(refusal)


def refused(kind: DraftKind, mass_g: int, overrides: Mapping[str, float]) -> CannotDraft:
    with pytest.raises(CannotDraft) as refusal:
        drafted(kind, size_up_to(mass_g), overrides=overrides)
    return refusal.value


@pytest.mark.parametrize(
    ("kind", "mass_g", "overrides", "inches", "centimetres"),
    [
        ("yoke", 1500, {"sleeve_seam_mm": 12}, "the sleeve is 3/4 in too short", "the sleeve is 1.8 cm too short"),
        ("yoke", 1500, {"yoke_depth_mm": 38}, "1/8 in too shallow", "0.2 cm too shallow"),
        ("yoke", 1500, {"sleeve_cap_height_mm": 110}, "cap is 4 3/8 in high", "cap is 11 cm high"),
        ("yoke", 1500, {"back_width_mm": 300}, "5.4 lengths of cloth", "5.4 lengths of cloth"),
        ("yoke", 1500, {"neck_mm": 500.0}, "neck, round” cannot be 19 5/8 in", "cannot be 50 cm: choose 4 cm to 40 cm"),
        ("yoke", 1500, {"pleat_count": 73}, "73 pleats have no valley", "73 pleats have no valley"),
        ("wrap", 150, {"length_mm": 70}, "too short for its slope", "cm too short for its slope"),
        ("wrap", 150, {"width_mm": 60, "upper_corner_mm": 20}, "narrow, 2 3/8 in,", "narrow, 6 cm,"),
        ("wrap", 2500, {}, "up to 1500 g", "up to 1500 g"),
        ("round-neck", 1500, {"pleat_count": 146}, "22.4 in an inch; this cloth takes 21.2", "8.8 in a centimetre; this cloth takes 8.3"),
        ("round-neck", 1500, {"length_mm": 100}, "Below the underarm", "Below the underarm"),
    ],
)  # fmt: skip
def test_a_refusal_speaks_the_readers_unit(
    kind: DraftKind, mass_g: int, overrides: Mapping[str, float], inches: str, centimetres: str
) -> None:
    """What cannot be drafted is told in inches or in centimetres, never in millimetres."""
    refusal = refused(kind, mass_g, overrides)
    found = words_of(refusal, INCHES), words_of(refusal, CENTIMETRES)
    assert (inches in found[0], centimetres in found[1]) == (True, True), found
    assert not any(" mm" in words or "%(" in words for words in found)


def test_a_blanket_wider_than_the_cloth_is_told_in_inches() -> None:
    """The blanket's width, 784 mm, is 30 7/8 in, and the cloth's 700 mm are 27 1/2 in."""
    with pytest.raises(CannotDraft) as refusal:
        companion_pieces(size=size_up_to(4500), rules=RULES, kinds=["blanket"], cloth_width_mm=700)
    told = words_of(refusal.value, INCHES)
    assert told == "The wrap blanket is 30 7/8 in wide; the cloth is only 27 1/2 in wide."


def test_a_piece_stands_well_in_a_sentence() -> None:
    """Of a piece's name nothing is told after its comma: "the front panel, to be smocked would cross" is no English."""
    refusal = refused("yoke", 1500, {"front_armhole_mm": 5})
    assert "line of the front panel would cross itself" in words_of(refusal, CENTIMETRES)


def test_every_reason_has_its_words() -> None:
    """No refusal, fault or rule of safety that the planner may name is without a sentence."""
    assert SENTENCES.keys() | {"closure"} == set(get_args(RefusalCode))
    assert CLOSURES.keys() == set(get_args(ClosureFaultCode))
    for code in get_args(FaultCode):
        (sentence,) = draft_fault_sentences([Fault(code=code, where="side_left", difference_mm=3)])
        assert sentence.endswith(".")


def test_a_number_that_is_none_is_still_told() -> None:
    """Even a length that is no number leaves a sentence."""
    told = words_of(refused("wrap", 150, {"length_mm": float("nan")}), INCHES)
    assert told.startswith("“length from the neck” cannot be nan")


def test_ties_are_told_what_is_allowed() -> None:
    """A tie's longest length, 360 mm (EN 14682, from memory), is 14 1/8 in, also where it stops a draft."""
    with reading_as(INCHES):
        assert closure_sentence("tie_too_long", 360) == "No tie on baby clothes may be longer than 14 1/8 in."
    draft = drafted("yoke", size_up_to(1500))
    ties = replace(draft.closure, kind="ties", depth_mm=100.0, finished_length_mm=400.0)
    with pytest.raises(CannotDraft) as refusal:
        drafted("yoke", size_up_to(1500), closure=ties)
    assert "at most 5 1/2 in" in words_of(refusal.value, INCHES)


def test_a_seam_that_does_not_meet_is_told_in_inches_once() -> None:
    """A front 10 mm longer than the back: one sentence for both sides, in eighths of an inch."""
    overrides = {"front_length_mm": 320.0, "back_length_mm": 310.0}
    faults = closing_faults(drafted("round-neck", size_up_to(2500), overrides=overrides))
    with reading_as(INCHES):
        told = draft_fault_sentences(faults)
    assert told == (
        "The seam “side, front to back” does not meet: one side is 3/8 in longer than the other.",
    )


@pytest.mark.parametrize(("reader", "told"), [(INCHES, "less than 1/16 in"), (CENTIMETRES, "0.4 mm")])
def test_a_hair_is_told_as_one(reader: Reader, told: str) -> None:
    """What would be rounded to nothing is told all the same."""
    with reading_as(reader), override("en"):
        (sentence,) = draft_fault_sentences([Fault(code="neck", where="neck", difference_mm=-0.4)])
    assert sentence == f"The neck is {told} too tight."
