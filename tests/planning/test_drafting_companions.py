"""Bonnet, wrap blanket, keepsake squares and swatch, cut along with a gown and sized from the body."""

from dataclasses import replace

import pytest
from shapely import Polygon

from gowngroup.planning.drafting import (
    COMPANION_KINDS,
    CannotDraft,
    Companion,
    CompanionKind,
    companion_faults,
    companion_pieces,
)
from gowngroup.planning.sizes import DEFAULT_BANDS, SizeBand
from tests.planning.drafts import product_moment_mm4, sampled_mm
from tests.planning.round_necks import RULES, longer, size_up_to

EVERY_SIZE = pytest.mark.parametrize("size", DEFAULT_BANDS, ids=lambda size: size.name)


def companion(kind: CompanionKind, size: SizeBand) -> Companion:
    """One companion for a size."""
    (found,) = companion_pieces(size=size, rules=RULES, kinds=(kind,))
    return found


@EVERY_SIZE
def test_every_companion_closes_in_every_size(size: SizeBand) -> None:
    """All four companions can be cut and sewn for every size, the smallest too."""
    found = companion_pieces(size=size, rules=RULES, kinds=COMPANION_KINDS, cloth_width_mm=900)
    assert [each.kind for each in found] == list(COMPANION_KINDS)
    assert [fault for each in found for fault in companion_faults(each)] == []


@EVERY_SIZE
def test_a_bonnet_follows_the_head(size: SizeBand) -> None:
    """Round the face a bonnet measures 0.75 of the head, which is the chest and 2 cm, and 2 cm of ease (derived)."""
    head_mm = size.head_mm if size.chest_mm is None else size.chest_mm + 20
    bonnet = companion("bonnet", size)
    face = bonnet.pieces[0].edge("hem").walked
    assert sampled_mm(face) == pytest.approx(0.75 * (head_mm + 20))
    assert dict(bonnet.finished)["face_mm"] == pytest.approx(0.75 * (head_mm + 20))


def test_a_bonnet_goes_round_its_back() -> None:
    """The band is as long as the horseshoe it is sewn round, sampled, and its middle meets the top."""
    band, back = companion("bonnet", size_up_to(1500)).pieces
    assert sampled_mm(band.edge("crown_seam").walked) == pytest.approx(
        sampled_mm(back.edge("crown_seam").walked), abs=0.05
    )
    top = min(back.edge("crown_seam").walked.segments, key=lambda each: each.points[-1][1]).points[-1]
    notch = next(each for each in back.notches if each.edge == "crown_seam")
    assert notch.seam_point == pytest.approx(top, abs=0.01)


def test_a_band_too_long_for_its_back_is_found() -> None:
    """A band drawn 3 mm longer than its horseshoe is reported by the name of the seam."""
    bonnet = companion("bonnet", size_up_to(1500))
    band = bonnet.pieces[0]
    edges = tuple(
        replace(each, walked=longer(each.walked, 3.0)) if each.name == "crown_seam" else each
        for each in band.edges
    )
    spoilt = replace(bonnet, pieces=(replace(band, edges=edges), bonnet.pieces[1]))
    found = [each for each in companion_faults(spoilt) if each.code == "seam"]
    assert [(each.where, round(each.difference_mm, 1)) for each in found] == [("crown", 3.0)]


def test_a_back_wider_than_its_band_is_refused() -> None:
    """A horseshoe whose round alone is longer than the band cannot be sewn."""
    wide = replace(RULES, bonnet_back_ratio=0.4, bonnet_face_ratio=0.6)
    with pytest.raises(CannotDraft) as refusal:
        companion_pieces(size=size_up_to(1500), rules=wide, kinds=("bonnet",))
    assert refusal.value.code == "bonnet_back_too_wide"


@EVERY_SIZE
def test_a_blanket_follows_the_length(size: SizeBand) -> None:
    """A blanket is 1.4 body lengths square and hemmed, with corners rounded alike (own block, derived)."""
    blanket = companion("blanket", size).pieces[0]
    side_mm = 1.4 * size.body_length_mm + 20
    assert blanket.cut_size_mm == pytest.approx((side_mm, side_mm))
    cut = Polygon(blanket.cut_polygon)
    assert cut.area < 0.99 * side_mm**2
    assert abs(product_moment_mm4(blanket)) < 1e-4 * cut.area**2


def test_two_squares_are_alike() -> None:
    """Of two keepsake squares one stays with the baby and one with the family: they are one shape twice."""
    square = companion("keepsakes", size_up_to(1500)).pieces[0]
    first, second = square.cut_shapes
    assert first == second
    assert Polygon(first).area == pytest.approx(120**2)


def test_a_swatch_has_no_hem() -> None:
    """A spare swatch is cut as it is, 10 cm square."""
    assert companion("swatch", size_up_to(1500)).pieces[0].cut_size_mm == pytest.approx((100, 100))


def test_only_what_is_asked_for_is_cut() -> None:
    """Without any companion nothing is cut, and the order asked in does not matter."""
    assert companion_pieces(size=size_up_to(1500), rules=RULES, kinds=()) == ()
    kinds: tuple[CompanionKind, ...] = ("swatch", "bonnet")
    found = companion_pieces(size=size_up_to(1500), rules=RULES, kinds=kinds)
    assert [each.kind for each in found] == ["bonnet", "swatch"]


def test_a_blanket_wider_than_the_cloth_is_refused() -> None:
    """A blanket for 4,500 g, 784 mm with its hems, does not lie between selvedges 780 mm apart."""
    with pytest.raises(CannotDraft, match="blanket") as refusal:
        companion_pieces(size=size_up_to(4500), rules=RULES, kinds=("blanket",), cloth_width_mm=780)
    assert refusal.value.code == "wider_than_cloth"
    assert refusal.value.values["width_mm"] == pytest.approx(784, abs=0.5)


def test_it_is_the_width_that_must_fit_the_cloth() -> None:
    """A bonnet's band is wider than long: cloth narrower than its width is refused, however long the band may be."""
    (bonnet,) = companion_pieces(size=size_up_to(1500), rules=RULES, kinds=["bonnet"])
    width_mm, length_mm = bonnet.pieces[0].cut_size_mm
    assert width_mm > length_mm + 50
    with pytest.raises(CannotDraft, match="wider_than_cloth: piece bonnet band"):
        companion_pieces(size=size_up_to(1500), rules=RULES, kinds=["bonnet"], cloth_width_mm=width_mm - 1)
