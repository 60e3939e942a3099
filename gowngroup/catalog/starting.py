"""What a new group's catalog starts with: charts, pieces and words of our own invention."""

from math import ceil

from gowngroup.catalog.actions.charts import RowEntry
from gowngroup.catalog.actions.designs import PieceEntry
from gowngroup.catalog.models import RectanglePiece
from gowngroup.planning.drafting import DraftRules
from gowngroup.planning.sizes import SizeBand

Part = RectanglePiece.Part

CHARTS: dict[str, tuple[RowEntry, ...]] = {
    "Furrow": (
        RowEntry(stitch="outline", floss_role="A"),
        RowEntry(stitch="cable", top_half_space=2, floss_role="A"),
        RowEntry(stitch="cable", top_half_space=3, centre_at="top", floss_role="B"),
        RowEntry(stitch="wave", step_count=1, top_half_space=4, rise_half_spaces=1, floss_role="B"),
        RowEntry(stitch="stem", top_half_space=6, floss_role="A"),
    ),
    "Brook": (
        RowEntry(stitch="cable", floss_role="A"),
        RowEntry(stitch="wave", step_count=1, top_half_space=1, rise_half_spaces=1, floss_role="B"),
        RowEntry(
            stitch="wave", step_count=1, top_half_space=2, rise_half_spaces=1, centre_at="top", floss_role="B"
        ),
        RowEntry(stitch="wave", step_count=2, top_half_space=4, rise_half_spaces=2, floss_role="A"),
        RowEntry(stitch="cable", top_half_space=7, floss_role="A"),
    ),
    "Garden gate": (
        RowEntry(stitch="cable", floss_role="A"),
        RowEntry(stitch="trellis", step_count=3, top_half_space=1, rise_half_spaces=2, floss_role="B"),
        RowEntry(
            stitch="trellis",
            step_count=3,
            top_half_space=3,
            rise_half_spaces=2,
            centre_at="top",
            floss_role="B",
        ),
        RowEntry(stitch="wave", step_count=1, top_half_space=6, rise_half_spaces=1, floss_role="A"),
        RowEntry(stitch="cable", top_half_space=8, centre_at="top", floss_role="A"),
    ),
}

ROUND_NECK_STEPS = (
    "Hem the sleeves and sew their lace on.",
    "Sew the four raglan seams as narrow French seams and trim them.",
    "Pleat front, backs and sleeves as one strip, with two holding rows.",
    "Find the centre of the front: it lies in a valley between two pleats. Mark it with a thread.",
    "Smock from the chart, each row from the centre outwards.",
    "Block the smocking to its size over steam, without touching it with the iron.",
    "Draw out the pleating threads but the top holding row.",
    "Bind the neck, then draw out the last thread.",
    "Sew the underarm and side seams in one.",
    "Hem the back edges and the lower edge; sew on the one flat fastening, off the spine.",
    "Look the gown over, inside too: no knots, no loose threads, no pin or needle left.",
)
YOKE_STEPS = (
    "Pleat the front panel with two holding rows.",
    "Smock from the chart, each row from the centre outwards.",
    "Block the smocking to its size over steam, then draw out the pleating threads but the top one.",
    "Sew the panel to the front yoke; gather the backs and sew them to the back yokes.",
    "Sew the shoulders, then sew the yoke linings down flat so that no seam lies bare inside.",
    "Hem the sleeves, sew their lace on, and sew the sleeves in.",
    "Sew the side seams with the underarms in one, as narrow French seams.",
    "Bind the neck; hem the back edges and the lower edge; sew on the one flat fastening, off the spine.",
    "Look the gown over, inside too: no knots, no loose threads, no pin or needle left.",
)
WRAP_STEPS = (
    "Lay wrap and lining right sides together and sew round, leaving a hand’s width open.",
    "Turn, press from the lining side and close the opening by hand with flat stitches.",
    "Hem the band and sew it flat to the inside of the wrap along one edge only.",
    "Stitch the ribbon bow flat in three places so that nothing can be pulled loose.",
    "Look the wrap over: soft seams, no knots, no loose threads, no pin or needle left.",
)

# Our own cutting measures in mm: wrap and lining, then the band, by the upper weight of the size.
WRAPS_MM: dict[int, tuple[tuple[int, int], tuple[int, int]]] = {
    150: ((260, 230), (300, 60)),
    250: ((300, 265), (340, 60)),
    500: ((380, 320), (420, 70)),
}
YOKE_PLEATS = {750: 50, 1000: 74, 1500: 74, 2000: 74, 2500: 74, 3500: 98}


def wrap_pieces(upper_mass_g: int) -> tuple[PieceEntry, ...]:
    """The three pieces of a wrap without armholes."""
    body_mm, band_mm = WRAPS_MM[upper_mass_g]
    return (
        _piece("wrap", 1, body_mm, Part.WRAP),
        _piece("lining", 1, body_mm, Part.WRAP),
        _piece("band", 1, band_mm, Part.BINDING),
    )


def panel_width_mm(band: SizeBand, rules: DraftRules) -> float:
    """Finished width of the smocked panel: half the eased chest less 0.11 of the chest (own block, derived)."""
    chest_mm = band.chest_mm or 0.0
    return rules.needed_chest_mm(chest_mm) / 2 - 0.11 * chest_mm


def yoke_measures_mm(band: SizeBand, rules: DraftRules) -> dict[str, float]:
    """Finished neck, chest and length of a yoke gown (own block, derived)."""
    chest_mm = band.chest_mm or 0.0
    return {
        "neck_mm": round(rules.needed_neck_mm(chest_mm)),
        "chest_mm": round(rules.needed_chest_mm(chest_mm)),
        "length_mm": round(rules.worn_length_ratio * band.body_length_mm),
    }


def yoke_pieces(band: SizeBand, rules: DraftRules, *, flat_panel_mm: float) -> tuple[PieceEntry, ...]:
    """Cutting measures of a yoke gown, seams and hems included (own block, derived)."""
    chest_mm = band.chest_mm or 0.0
    seams_mm, hem_mm = 2 * rules.seam_allowance_mm, rules.hem_allowance_mm + rules.seam_allowance_mm
    measures = yoke_measures_mm(band, rules)
    yoke_mm = rules.shoulder_depth_ratio * chest_mm
    skirt_mm = measures["length_mm"] - yoke_mm + hem_mm
    panel_mm = panel_width_mm(band, rules)
    back_yoke_mm = panel_mm / 2 + rules.overlap_mm + seams_mm
    sleeve_mm = 1.3 * rules.needed_sleeve_mm(chest_mm) + seams_mm
    arm_mm = 0.4 * rules.arm_length_ratio * band.body_length_mm
    sleeve_length_mm = arm_mm + rules.sleeve_hem_allowance_mm + rules.seam_allowance_mm
    binding_mm = measures["neck_mm"] + rules.overlap_mm + seams_mm
    return (
        _piece("front panel", 1, (flat_panel_mm, skirt_mm), Part.SMOCKED_PANEL),
        _piece("back", 2, (chest_mm, skirt_mm), Part.BACK),
        _piece("front yoke and its lining", 2, (panel_mm + seams_mm, yoke_mm + seams_mm), Part.YOKE),
        _piece("back yoke and its lining", 4, (back_yoke_mm, yoke_mm + seams_mm), Part.YOKE),
        _piece("sleeve", 2, (sleeve_mm, sleeve_length_mm), Part.SLEEVE),
        _piece("neck binding", 1, (4 * rules.binding_width_mm, binding_mm), Part.BINDING),
    )


def sleeve_hem_um(band: SizeBand, rules: DraftRules) -> int:
    """Edge of one sleeve of a yoke gown, to whole millimetres."""
    return round(1.3 * rules.needed_sleeve_mm(band.chest_mm or 0.0)) * 1000


def _piece(name: str, count: int, size_mm: tuple[float, float], part: str) -> PieceEntry:
    width_mm, length_mm = size_mm
    return PieceEntry(
        name=name,
        piece_count=count,
        width_um=ceil(width_mm) * 1000,
        length_um=ceil(length_mm) * 1000,
        part=part,
    )
