"""A draft that does not close is caught, measured on its pieces."""

from dataclasses import replace

import pytest

from gowngroup.planning.drafting import (
    Draft,
    Edge,
    EdgeRef,
    Fault,
    Piece,
    Seam,
    closing_faults,
    finished_measures,
)
from gowngroup.planning.geometry import line, path
from tests.planning.round_necks import RULES, gown_up_to, round_neck, size_up_to, with_longer_edge, with_piece

GOWN = gown_up_to(1500)
SEWN = sorted({(each.piece, each.edge) for seam in GOWN.seams for each in (*seam.left, *seam.right)})


def found(draft: Draft, code: str) -> list[Fault]:
    """The draft's faults of one kind."""
    return [each for each in closing_faults(draft) if each.code == code]


def seams_at(piece: str, edge: str) -> set[str]:
    """Names of the seams an edge is sewn into."""
    return {
        seam.name
        for seam in GOWN.seams
        if any((each.piece, each.edge) == (piece, edge) for each in (*seam.left, *seam.right))
    }


@pytest.mark.parametrize(("piece", "edge"), SEWN)
def test_two_millimetres_too_many_are_named(piece: str, edge: str) -> None:
    """Any sewn edge drawn 2 mm too long is reported by the name of each of its seams, and by how much."""
    faults = found(with_longer_edge(GOWN, EdgeRef(piece=piece, edge=edge), 2.0), "seam")
    assert {each.where for each in faults} == seams_at(piece, edge)
    times = 2 if edge == "neck" and piece in ("back", "sleeve") else 1
    assert all(abs(each.difference_mm) == pytest.approx(2.0 * times, abs=0.05) for each in faults)


@pytest.mark.parametrize(("piece", "edge"), [each for each in SEWN if each[1] != "neck"])
def test_half_a_millimetre_is_let_pass(piece: str, edge: str) -> None:
    """A sewn edge drawn 0.5 mm too long closes still."""
    assert found(with_longer_edge(GOWN, EdgeRef(piece=piece, edge=edge), 0.5), "seam") == []


def test_an_armhole_set_for_one_piece_only() -> None:
    """A sleeve whose armhole is set 8 mm deeper fits neither front nor back."""
    faults = closing_faults(round_neck(size_up_to(1500), overrides={"sleeve_armhole_depth_mm": 80.2}))
    assert {each.where for each in faults if each.code == "seam"} == {
        "raglan_front_right",
        "raglan_front_left",
        "raglan_back_right",
        "raglan_back_left",
    }


@pytest.mark.parametrize(
    ("overrides", "code", "where"),
    [
        ({"binding_mm": 190}, "seam", "neck_binding"),
        ({"front_length_mm": 325}, "seam", "side_right"),
        ({"neck_mm": 160}, "neck", "neck"),
        ({"overlap_mm": 10}, "overlap", "back"),
    ],
)
def test_measures_set_by_hand_show_what_no_longer_closes(
    overrides: dict[str, float], code: str, where: str
) -> None:
    """A measure set by hand is drawn as asked, and what it spoils is reported."""
    faults = found(round_neck(size_up_to(1500), overrides=overrides), code)
    assert where in {each.where for each in faults}
    assert all(each.difference_mm for each in faults)


def test_a_gown_for_a_bigger_baby_is_too_tight() -> None:
    """Put on a baby with twice the chest, the gown lacks ease at chest and sleeve."""
    bigger = replace(GOWN, size=replace(GOWN.size, chest_mm=560.0))
    assert {each.where for each in closing_faults(bigger)} == {"neck", "chest", "sleeve"}


def front_with(**changes: object) -> Draft:
    """The gown with its front changed."""
    return with_piece(GOWN, replace(GOWN.piece("front"), **changes))  # type: ignore[arg-type]


@pytest.mark.parametrize("moved_mm", [3, -3])
def test_a_notch_out_of_place_is_found(moved_mm: float) -> None:
    """A notch moved 3 mm along its seam, up or down, no longer meets its like."""
    front = GOWN.piece("front")
    notches = tuple(
        replace(each, seam_point=(each.seam_point[0], each.seam_point[1] + moved_mm))
        if "side" in each.edge
        else each
        for each in front.notches
    )
    faults = found(front_with(notches=notches), "notch")
    assert {each.where for each in faults} == {"side_right", "side_left"}
    assert all(abs(each.difference_mm) == pytest.approx(3, abs=0.05) for each in faults)


@pytest.mark.parametrize("edge", ["side_right", "neck"])
def test_a_missing_notch_is_found(edge: str) -> None:
    """A notch left out on one side of a seam is reported."""
    front = front_with(notches=tuple(each for each in GOWN.piece("front").notches if each.edge != edge))
    assert {each.code for each in closing_faults(front)} & {"notch", "notches_missing"}


def test_seams_without_any_notch_agree() -> None:
    """Where neither side carries a notch there is nothing to meet."""
    bare = replace(GOWN, pieces=tuple(replace(piece, notches=()) for piece in GOWN.pieces))
    assert {each.where for each in closing_faults(bare)} == set()


def test_a_crossing_outline_is_found() -> None:
    """A cut outline that crosses itself or runs the wrong way round cannot be cut."""
    cut = GOWN.piece("front").cut_polygon
    assert found(front_with(cut_polygon=cut[::-1]), "outline_crosses")
    assert found(front_with(cut_polygon=(cut[1], cut[0], *cut[2:])), "outline_crosses")


def test_edges_that_do_not_join_are_found() -> None:
    """An edge moved away from its neighbours leaves a gap in the seam line."""
    faults = found(with_longer_edge(GOWN, EdgeRef(piece="front", edge="hem"), 2.0), "outline_open")
    assert [(each.where, round(each.difference_mm)) for each in faults] == [("front", 2)]


@pytest.mark.parametrize("said_mm", [12.0, 2.0])
def test_a_missing_allowance_is_found(said_mm: float) -> None:
    """A side seam said to have 12 mm, or 2, while 7 mm are drawn is reported by the edge."""
    front = GOWN.piece("front")
    edges = tuple(
        replace(each, allowance_mm=said_mm) if each.name == "side_left" else each for each in front.edges
    )
    faults = found(front_with(edges=edges), "allowance")
    assert [each.where for each in faults] == ["front side_left"]
    assert faults[0].difference_mm == pytest.approx(said_mm - 7, abs=0.1)


def test_a_sleeve_that_narrows_too_much_is_found() -> None:
    """Wide enough under the arm, but not at its hem, where a hand and its lines must pass."""
    narrow = round_neck(
        size_up_to(1500), rules=replace(RULES, sleeve_taper=0.3), overrides={"sleeve_seam_mm": 150}
    )
    rules, measured = narrow.rules, finished_measures(narrow)
    (fault,) = closing_faults(narrow)
    assert measured.sleeve_girth_mm is not None
    assert measured.sleeve_girth_mm >= rules.needed_sleeve_mm(260)
    assert measured.sleeve_hem_mm == pytest.approx(rules.needed_sleeve_mm(260) + fault.difference_mm)
    assert (fault.code, fault.difference_mm < 0) == ("sleeve", True)


def test_halves_that_differ_are_found() -> None:
    """A front whose one side is drawn 4 mm wider does not mirror."""
    front = GOWN.piece("front")
    edges = tuple(replace(each, walked=each.walked) for each in front.edges)
    wider = tuple(_side_moved(each, 4.0) for each in edges)
    assert found(front_with(edges=wider), "mirror")[0].difference_mm == pytest.approx(4, abs=0.2)


def _side_moved(edge: Edge, out_mm: float) -> Edge:
    """A right side seam moved outwards, other edges as they are."""
    if edge.name != "side_right":
        return edge
    (x_0, y_0), (x_1, y_1) = edge.walked.segments[0].points
    return replace(edge, walked=path(line((x_0 + out_mm, y_0), (x_1 + out_mm, y_1))))


def test_a_single_back_has_no_partner() -> None:
    """Backs are cut in pairs turned over: one alone is reported."""
    draft = with_piece(GOWN, replace(GOWN.piece("back"), count=1))
    assert [each.where for each in found(draft, "no_partner")] == ["back"]


@pytest.mark.parametrize(
    "grain_line",
    [((100.0, 50.0), (103.0, 250.0)), ((100.0, 250.0), (100.0, 50.0)), ((100.0, 50.0), (100.0, 900.0))],
)
def test_a_grain_line_out_of_true_is_found(
    grain_line: tuple[tuple[float, float], tuple[float, float]],
) -> None:
    """A grain line aslant, upside down or off the piece is reported."""
    assert [each.where for each in found(front_with(grain_line=grain_line), "grain_line")] == ["front"]


def test_a_piece_aslant_on_the_grain_is_found() -> None:
    """A binding said to be straight while it is drawn on the bias lies off the grain, and the other way round."""
    binding = GOWN.piece("neck binding")
    assert found(with_piece(GOWN, replace(binding, is_bias=False)), "grain")
    straight = round_neck(size_up_to(1500), is_binding_bias=False)
    said_bias: Piece = replace(straight.piece("neck binding"), is_bias=True)
    assert found(with_piece(straight, said_bias), "grain")


def test_a_back_sewn_up_does_not_open() -> None:
    """A seam along the centre back closes the gown: reported, since it goes over no baby's head."""
    sewn_up = Seam(
        name="centre_back",
        left=(EdgeRef(piece="back", edge="centre_back"),),
        right=(EdgeRef(piece="back", edge="centre_back"),),
    )
    assert found(replace(GOWN, seams=(*GOWN.seams, sewn_up)), "opening")


def test_an_opening_that_stops_short_is_found() -> None:
    """A centre edge that ends 40 mm above the hem does not open the gown fully."""
    back = GOWN.piece("back")
    (x_0, y_0), top = back.edge("centre_back").walked.segments[0].points
    short = path(line((x_0, y_0 - 40), top))
    edges = tuple(replace(each, walked=short) if each.name == "centre_back" else each for each in back.edges)
    faults = found(with_piece(GOWN, replace(back, edges=edges)), "opening")
    assert [each.difference_mm for each in faults] == [pytest.approx(40)]


@pytest.mark.parametrize(
    "look_up", [lambda: GOWN.piece("collar"), lambda: GOWN.piece("front").edge("collar")]
)
def test_names_that_do_not_exist(look_up: object) -> None:
    """A piece or edge the draft does not have is a KeyError."""
    with pytest.raises(KeyError, match="collar"):
        look_up()  # type: ignore[operator]
