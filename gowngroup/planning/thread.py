"""Sewing thread per seam by stitch class of ISO 4915."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import hypot, inf
from typing import Literal, Self, get_args

StitchClass = Literal["301", "304", "401", "504", "514", "516"]
# An overedge machine joins and neatens both edges in one pass; a French seam is sewn twice.
ONE_PASS: tuple[StitchClass, ...] = ("504", "514", "516")


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadRules:
    """What sewing loses and how the group's machines are set."""

    waste_share: float
    stitch_length_mm: float
    seam_thickness_mm: float
    overedge_width_mm: float
    zigzag_width_mm: float

    @classmethod
    def from_figures(cls, values: Mapping[str, float]) -> Self:
        """The group's habit, from the figures keyed `thread_…`."""
        return cls(
            waste_share=values["thread_waste_share"],
            stitch_length_mm=values["thread_stitch_length_mm"],
            seam_thickness_mm=values["thread_seam_thickness_mm"],
            overedge_width_mm=values["thread_overedge_width_mm"],
            zigzag_width_mm=values["thread_zigzag_width_mm"],
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Seam:
    """A machine-sewn seam; thickness is that of all plies together, width that of a zigzag or an overedge."""

    name: str
    stitch_class: StitchClass
    length_mm: float
    thickness_mm: float
    stitch_length_mm: float
    width_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SeamThread:
    """The thread that goes into one seam: so much for each length of it, waste added to the whole."""

    seam: Seam
    ratio: float
    length_mm: float


def gown_seams(
    *,
    joined_mm: float,
    hem_mm: float,
    trim_mm: float,
    seam_class: StitchClass,
    trim_class: StitchClass,
    rules: ThreadRules,
) -> tuple[Seam, ...]:
    """The seams of a gown in mm, from its edges that are sewn to another (both counted), its hems and its trims.

    Lockstitch and chainstitch sew French seams: twice, through four plies. An overedge class sews each seam once,
    through half of them. Hems are always lockstitch (common practice).
    """
    is_one_pass = seam_class in ONE_PASS

    def seam(name: str, stitch_class: StitchClass, length_mm: float, *, width_mm: float = 0.0) -> Seam:
        share = 0.5 if stitch_class in ONE_PASS else 1.0
        return Seam(
            name=name,
            stitch_class=stitch_class,
            length_mm=length_mm * share,
            thickness_mm=rules.seam_thickness_mm * share,
            stitch_length_mm=rules.stitch_length_mm,
            width_mm=width_mm,
        )

    return (
        seam("seams", seam_class, joined_mm, width_mm=rules.overedge_width_mm if is_one_pass else 0.0),
        seam("hems", "301", hem_mm),
        seam("trims", trim_class, trim_mm, width_mm=rules.zigzag_width_mm if trim_class == "304" else 0.0),
    )


def thread_ratio(seam: Seam) -> float:
    """Length of thread per length of seam, without waste, in any unit.

    301 lockstitch 2 + 2TS; 401 chainstitch 4 + 2TS; 304 zigzag 2√(1 + (WS)²) + 2TS; overedge 504 with three threads
    5 + 4S(W + T), 514 with four 5 + 2S(2W + 3T); safety stitch 516 is 401 and 504 side by side; S = 1 / stitch length.
    Raises ValueError naming the seam. Source: textile engineering formulas; those of class 500 after a machine maker's
    booklet of thread consumption, second hand (textile course notes give 504 as 3 + 4S(W + T), 2 less).
    """
    if not 0 < seam.stitch_length_mm < inf:
        raise ValueError(f"the stitch length of {seam.name} must be above zero")
    if not all(0 <= measure < inf for measure in (seam.length_mm, seam.thickness_mm, seam.width_mm)):
        raise ValueError(f"length, thickness and width of {seam.name} must be lengths")
    if seam.stitch_class not in get_args(StitchClass):
        raise ValueError(f"there is no stitch class {seam.stitch_class} for {seam.name}")
    through = 2 * seam.thickness_mm / seam.stitch_length_mm
    across = seam.width_mm / seam.stitch_length_mm
    ratios: dict[StitchClass, float] = {
        "301": 2 + through,
        "304": 2 * hypot(1, across) + through,
        "401": 4 + through,
        "504": 5 + 4 * across + 2 * through,
        "514": 5 + 4 * across + 3 * through,
        "516": 9 + 4 * across + 3 * through,
    }
    return ratios[seam.stitch_class]


def seam_threads(seams: tuple[Seam, ...], rules: ThreadRules) -> tuple[SeamThread, ...]:
    """The thread of each seam in mm, waste added (10 to 20 %, common practice)."""
    ratios = ((seam, thread_ratio(seam)) for seam in seams)
    return tuple(
        SeamThread(seam=seam, ratio=ratio, length_mm=seam.length_mm * ratio * (1 + rules.waste_share))
        for seam, ratio in ratios
    )


def sewing_thread_mm(seams: tuple[Seam, ...], rules: ThreadRules) -> float:
    """Sewing thread in mm for a gown's seams, waste added."""
    return sum(each.length_mm for each in seam_threads(seams, rules))
