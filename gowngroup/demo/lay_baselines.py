"""The same pieces laid by packages as they come, without any of our own thought, to measure our lays beside."""

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import product
from typing import Any

import spyrrow

from gowngroup.planning.lay.values import LayPiece

try:
    import rectpack
except ImportError:  # it comes with the development set only
    rectpack = None

UNITS_PER_MM = 1000  # rectpack takes whole numbers only
# Above this many rectangles its slow algorithms would take many minutes: those best for fewer stand in for all.
MANY, BEST_SETTINGS = 400, 4

Size = tuple[float, float]
Setting = tuple[Any, Any]  # algorithm and sorting


def spyrrow_length_mm(pieces: Sequence[LayPiece], width_mm: float, *, seed: int, seconds: int = 10) -> float:
    """Length of all the pieces nested at once on true outlines by spyrrow as it comes, in mm."""
    counts = Counter((piece.outline, piece.may_turn) for piece in pieces)
    items = [
        spyrrow.Item(
            str(number),
            [(y, x) for x, y in outline],
            count,
            [0.0, 180.0] if may_turn else [0.0],
        )
        for number, ((outline, may_turn), count) in enumerate(counts.items())
    ]
    config = spyrrow.StripPackingConfig(early_termination=False, total_computation_time=seconds, seed=seed)
    return float(spyrrow.StripPackingInstance("lay", width_mm, items).solve(config).width)


def rectpack_length(sizes: Sequence[Size], width: float) -> float:
    """The shortest length of these boxes by any of rectpack's algorithms and sortings; infinite without rectpack.

    It fills a sheet, so each setting is asked again for a sheet half a per cent shorter than the best, while it can.
    """
    if rectpack is None:
        return math.inf
    settings = list(_settings())
    if len(sizes) > MANY:
        few = sizes[:: math.ceil(len(sizes) / 150)]
        _, settings = _descended(few, width, settings)
    return _descended(sizes, width, settings[-BEST_SETTINGS:] if len(sizes) > MANY else settings)[0]


def _descended(
    sizes: Sequence[Size], width: float, settings: Sequence[Setting]
) -> tuple[float, list[Setting]]:
    """The shortest length by any setting, and the settings that bettered those before them."""
    best = sum(along for _, along in sizes)
    bettering = []
    for setting in settings:
        found = _packed_length(sizes, (width, best * 0.995), setting)
        if math.isfinite(found):
            bettering.append(setting)
        while math.isfinite(found):
            best = found
            found = _packed_length(sizes, (width, best * 0.995), setting)
    return best, bettering


def _settings() -> Iterator[Setting]:
    names = [name for name in dir(rectpack) if name.startswith(("MaxRects", "Skyline", "Guillotine"))]
    sorts = [
        getattr(rectpack, f"SORT_{name}") for name in ("AREA", "PERI", "DIFF", "SSIDE", "LSIDE", "RATIO")
    ]
    yield from product([getattr(rectpack, name) for name in names], sorts)


def _packed_length(sizes: Sequence[Size], sheet: Size, setting: Setting) -> float:
    packer = rectpack.newPacker(
        mode=rectpack.PackingMode.Offline, pack_algo=setting[0], sort_algo=setting[1], rotation=False
    )
    for across, along in sizes:
        packer.add_rect(math.floor(across * UNITS_PER_MM), math.floor(along * UNITS_PER_MM))
    packer.add_bin(math.floor(sheet[0] * UNITS_PER_MM), math.ceil(sheet[1] * UNITS_PER_MM))
    packer.pack()
    if len(packer.rect_list()) < len(sizes):
        return math.inf
    return float(max(y + height for _, _, y, _, height, _ in packer.rect_list())) / UNITS_PER_MM
