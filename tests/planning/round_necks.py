"""Round-necked gowns drafted for the default sizes, for the tests."""

from collections.abc import Mapping
from dataclasses import replace
from functools import cache

from gowngroup.planning.drafting import (
    ONE_FLAT_FASTENING,
    Closure,
    Draft,
    DraftRules,
    EdgeRef,
    Piece,
    Purpose,
    SmockedStrip,
    draft_round_neck,
)
from gowngroup.planning.figures import default_values
from gowngroup.planning.geometry import Path, path, path_length_mm
from gowngroup.planning.geometry.path import Segment
from gowngroup.planning.sizes import DEFAULT_BANDS, SizeBand

RULES = DraftRules.from_figures(default_values())
WITH_ARMHOLES = tuple(band for band in DEFAULT_BANDS if band.has_armholes)
TAKE_UP_MM = 6.35
ROW_SPACE_MM = 9.525


def size_up_to(mass_g: float) -> SizeBand:
    """The default size cut for this weight."""
    return next(band for band in DEFAULT_BANDS if band.upper_mass_g == mass_g)


def round_neck(
    size: SizeBand,
    *,
    rules: DraftRules = RULES,
    purpose: Purpose = "memorial",
    take_up_mm: float = TAKE_UP_MM,
    closure: Closure = ONE_FLAT_FASTENING,
    overrides: Mapping[str, float] | None = None,
    is_binding_bias: bool = True,
) -> Draft:
    """A draft with the usual pleater."""
    return draft_round_neck(
        size=size,
        rules=rules,
        purpose=purpose,
        pleater_take_up_mm=take_up_mm,
        pleater_row_space_mm=ROW_SPACE_MM,
        closure=closure,
        overrides=overrides,
        is_binding_bias=is_binding_bias,
    )


def strip_of(draft: Draft) -> SmockedStrip:
    """What a round neck is smocked from."""
    assert draft.strip is not None
    return draft.strip


@cache
def gown_up_to(mass_g: float) -> Draft:
    """The memorial gown of one default size, drafted once."""
    return round_neck(size_up_to(mass_g))


def with_piece(draft: Draft, changed: Piece) -> Draft:
    """The draft with one piece put in the place of the one of its name."""
    pieces = tuple(changed if each.name == changed.name else each for each in draft.pieces)
    return replace(draft, pieces=pieces)


def with_longer_edge(draft: Draft, reference: EdgeRef, extra_mm: float) -> Draft:
    """The draft with one edge blown up from its start until it is `extra_mm` longer."""
    piece = draft.piece(reference.piece)
    edges = tuple(
        replace(each, walked=longer(each.walked, extra_mm)) if each.name == reference.edge else each
        for each in piece.edges
    )
    return with_piece(draft, replace(piece, edges=edges))


def longer(walked: Path, extra_mm: float) -> Path:
    """A path scaled about its start until it is `extra_mm` longer."""
    scale = 1 + extra_mm / path_length_mm(walked)
    x_0, y_0 = walked.start
    return path(
        *(
            Segment(points=tuple((x_0 + (x - x_0) * scale, y_0 + (y - y_0) * scale) for x, y in each.points))
            for each in walked.segments
        )
    )
