"""Figures for bodies and for drafting gowns, each with the mark and source it was handed down with."""

from gowngroup.planning.figures.figure import Figure, Mark

_FENTON = "own fit to the Fenton medians over 24 to 40 weeks (Fenton & Kim 2013, BMC Pediatrics 13:59)"
_RATIO = "a children's-wear pattern-cutting handbook at height 56 cm, second hand: {}"
_TRIAL = "own block; ask a ward to try three gowns before trusting it"
_BATISTE = (
    "own block for batiste and lawn; broadcloth and poplin take 3.0 to 3.5, flannel 2.5, common practice"
)
_CUSTOM = "common practice, no source"
_EN_14682 = "EN 14682, from memory"


# The columns of the tables below: key, label, value, unit, lowest and highest, mark, source.
_Row = tuple[str, str, float, str, tuple[float, float], Mark, str]


def _table(*rows: _Row) -> tuple[Figure, ...]:
    return tuple(
        Figure(key=key, label=label, value=value, unit=unit, low=low, high=high, mark=mark, source=source)
        for key, label, value, unit, (low, high), mark, source in rows
    )


BODIES: tuple[Figure, ...] = _table(
    ("body_length_at_1_g_cm", "Body length fit, factor", 4.8365, "cm", (4.0, 6.0), "derived", _FENTON),
    ("body_length_exponent", "Body length fit, power of the grams", 0.2882, "", (0.25, 0.33), "derived", _FENTON),
    ("body_head_at_1_g_cm", "Head girth fit, factor", 3.7560, "cm", (3.0, 4.5), "derived", _FENTON),
    ("body_head_exponent", "Head girth fit, power of the grams", 0.2737, "", (0.24, 0.31), "derived", _FENTON),
    ("body_chest_below_head_mm", "Chest girth is below head girth by", 20, "mm", (0, 40), "derived",
            "estimate; below 2,000 g within 15 mm"),
)  # fmt: skip

_BODY_RATIOS: tuple[Figure, ...] = _table(
    ("draft_neck_ratio", "Neck girth as a share of the chest", 0.54, "", (0.4, 0.7), "derived", _RATIO.format("22 / 41 cm")),
    ("draft_upper_arm_ratio", "Upper arm girth as a share of the chest", 0.35, "", (0.25, 0.45), "derived", _RATIO.format("14.4 / 41 cm")),
    ("draft_arm_length_ratio", "Arm length as a share of the body length", 0.34, "", (0.25, 0.45), "derived", _RATIO.format("19.2 / 56 cm")),
    ("draft_armhole_depth_ratio", "Armhole depth as a share of the chest", 0.22, "", (0.15, 0.35), "derived", _RATIO.format("9.0 / 41 cm")),
    ("draft_shoulder_girth_ratio", "Girth round the shoulders as a share of the chest", 1.22, "", (1.0, 1.6), "derived", _TRIAL),
    ("draft_shoulder_depth_ratio", "Depth of the shoulder girth below the neck, share of the chest", 0.20, "", (0.1, 0.35), "derived", _TRIAL),
)  # fmt: skip

_EASE: tuple[Figure, ...] = _table(
    ("draft_neck_ease_mm", "Ease added to the neck", 25, "mm", (10, 60), "derived", _TRIAL),
    ("draft_chest_ease_ratio", "Chest ease as a share of the chest, at least", 0.22, "", (0.1, 0.6), "derived", _TRIAL),
    ("draft_chest_ease_least_mm", "Chest ease, never below", 50, "mm", (20, 150), "derived", _TRIAL),
    ("draft_armhole_ease_mm", "Added to the armhole depth", 15, "mm", (5, 40), "derived", _TRIAL),
    ("draft_shoulder_ease_mm", "Added to the girth round the shoulders", 40, "mm", (10, 80), "derived", _TRIAL),
    ("draft_sleeve_ease_mm", "Sleeve wider than the upper arm by at least (lines and leads)", 40, "mm", (20, 120), "common practice", _TRIAL),
    ("draft_worn_length_ratio", "Gown to wear, length from the neck as a share of the body", 0.675, "", (0.60, 0.70), "derived", _TRIAL),
    ("draft_memorial_length_ratio", "Memorial gown, length from the neck as a share of the body", 0.80, "", (0.75, 0.85), "derived", _TRIAL),
    ("draft_overlap_mm", "The backs overlap by", 30, "mm", (15, 60), "common practice", _CUSTOM),
)  # fmt: skip

_STRIP: tuple[Figure, ...] = _table(
    ("draft_row_count", "Smocked rows round the neck", 5, "rows", (2, 12), "derived", _TRIAL),
    ("draft_small_row_count", "Smocked rows round the neck, smallest sizes", 4, "rows", (2, 12), "derived", _TRIAL),
    ("draft_small_chest_mm", "Smallest sizes are those with a chest below", 240, "mm", (150, 350), "derived", _TRIAL),
    ("draft_first_row_mm", "First smocked row below the neck seam", 6, "mm", (3, 20), "derived", _TRIAL),
    ("draft_cloth_ratio_aim", "Flat cloth to finished width aimed at, last row", 2.5, "", (1.8, 4.0), "derived", _TRIAL),
    ("draft_cloth_ratio_least", "Flat cloth to finished width at least, last row", 2.2, "", (1.5, 4.0), "derived", _TRIAL),
    ("draft_cloth_ratio_most", "Flat cloth to finished width at most, last row", 2.8, "", (1.5, 5.0), "derived", _TRIAL),
    ("draft_least_pitch_mm", "Closest pleats at the neck, batiste", 1.2, "mm", (0.8, 3.0), "derived", _TRIAL),
    ("draft_pleat_step", "Pleat counts that fit waves and trellises step by", 24, "pleats", (2, 48), "derived",
            "turns at every second, third and fourth pleat from the centre: 2 (mod 24)"),
    ("draft_pleat_remainder", "Pleat counts that fit leave, of that step", 2, "pleats", (0, 24), "derived",
            "turns at every second, third and fourth pleat from the centre: 2 (mod 24)"),
    ("draft_spare_pleats", "Pleats unpicked at each end of the strip", 3, "pleats", (0, 8), "common practice", _CUSTOM),
    ("draft_front_share", "Share of the pleats in the front", 0.33, "", (0.2, 0.5), "derived", _TRIAL),
    ("draft_sleeve_share", "Share of the pleats in each sleeve", 0.17, "", (0.1, 0.25), "derived", _TRIAL),
    ("draft_worn_from_mass_g", "Round neck gowns to wear from", 1500, "g", (0, 3500), "common practice",
            "bulk under the chin; common practice, no source"),
)  # fmt: skip

_OUTLINE: tuple[Figure, ...] = _table(
    ("draft_neck_drop_mm", "Front neck lower than the back neck by", 3, "mm", (0, 10), "derived", _TRIAL),
    ("draft_raglan_width_ratio", "Raglan seam runs outwards by, share of the chest", 0.10, "", (0.05, 0.2), "derived", _TRIAL),
    ("draft_raglan_fullness", "Roundness of the armhole curve", 0.55, "", (0.3, 0.8), "derived",
            "a quarter circle drawn as one cubic curve has 0.5523"),
    ("draft_least_raglan_curve_mm", "Raglan seam runs on below the smocking by at least", 10, "mm", (5, 60), "derived", _TRIAL),
    ("draft_side_flare", "Side seams run outwards by, share of their length", 0.08, "", (0.0, 0.3), "derived", _TRIAL),
    ("draft_sleeve_taper", "Sleeve seams run inwards by, share of their length", 0.06, "", (0.0, 0.3), "derived", _TRIAL),
    ("draft_hem_curve_share", "Share of the half width over which a hem curves up to the side", 0.5, "", (0.2, 0.9), "derived", _TRIAL),
    ("draft_sleeve_length_ratio", "Sleeve seam under the arm as a share of the arm length", 0.40, "", (0.15, 0.9), "derived", _TRIAL),
    ("draft_least_side_seam_mm", "Shortest side seam", 30, "mm", (10, 100), "derived", _TRIAL),
    ("draft_binding_width_mm", "Neck binding, finished width", 6, "mm", (4, 12), "common practice", _CUSTOM),
    ("draft_seam_allowance_mm", "Seam allowance (narrow French seam)", 7, "mm", (6, 10), "common practice", _CUSTOM),
    ("draft_neck_allowance_mm", "Allowance above the neck seam (holds the top pleating thread)", 10, "mm", (6, 20), "common practice", _CUSTOM),
    ("draft_hem_allowance_mm", "Hem allowance", 25, "mm", (10, 60), "common practice", _CUSTOM),
    ("draft_sleeve_hem_allowance_mm", "Sleeve hem allowance", 15, "mm", (6, 40), "common practice", _CUSTOM),
    ("draft_back_hem_mm", "Hem along the back opening, at least", 10, "mm", (6, 25), "common practice", _CUSTOM),
    ("draft_seam_tolerance_mm", "Seams sewn together may differ by", 1, "mm", (0.1, 3), "derived", _TRIAL),
)  # fmt: skip

_CLOSURES: tuple[Figure, ...] = _table(
    ("draft_longest_tie_mm", "Longest tie, finished", 360, "mm", (0, 360), "from memory", _EN_14682),
    ("draft_tie_chest_ratio", "Longest tie as a share of the chest", 0.54, "", (0.0, 0.54), "derived",
            "no tie may reach round the neck, 22 / 41 cm"),
    ("draft_longest_drawstring_mm", "Longest end of a drawstring, laid flat", 140, "mm", (0, 140), "from memory", _EN_14682),
)  # fmt: skip

_YOKE: tuple[Figure, ...] = _table(
    ("draft_panel_narrower_ratio", "Smocked panel narrower than half the eased chest by, share of the chest", 0.11, "", (0.05, 0.2), "derived", _TRIAL),
    ("draft_panel_ratio_aim", "Flat cloth to finished width aimed at, smocked panel", 3.5, "", (2.0, 4.5), "derived", _BATISTE),
    ("draft_panel_ratio_least", "Flat cloth to finished width at least, smocked panel", 2.9, "", (1.8, 4.5), "derived", _BATISTE),
    ("draft_panel_ratio_most", "Flat cloth to finished width at most, smocked panel", 4.1, "", (2.0, 5.0), "derived", _BATISTE),
    ("draft_yoke_depth_ratio", "Depth of the yoke as a share of the chest", 0.20, "", (0.12, 0.3), "derived", _TRIAL),
    ("draft_shoulder_drop_ratio", "Shoulder slopes down by, share of the chest", 0.03, "", (0.0, 0.08), "derived", _TRIAL),
    ("draft_front_neck_drop_ratio", "Front neck lower than the shoulder by, share of half the neck's width", 1.0, "", (0.4, 1.5), "derived", _TRIAL),
    ("draft_back_neck_drop_ratio", "Back neck lower than the shoulder by, share of half the neck's width", 0.25, "", (0.1, 0.6), "derived", _TRIAL),
    ("draft_back_neck_corner_share", "Back neck runs level over, share of half the neck's width", 0.6, "", (0.3, 0.9), "derived", _TRIAL),
    ("draft_underarm_fullness", "Roundness of the armholes below a yoke", 0.62, "", (0.4, 0.8), "derived",
            "own trial: the widest curve a 7 mm allowance can follow in the smallest size; a quarter circle has 0.55"),
    ("draft_back_gather_ratio", "Flat cloth to finished width where the backs are gathered", 4.05, "", (1.5, 4.5), "derived",
            "own block: hem sweep of 103 cm at a chest of 26 cm; batiste gathers up to 4 to 1, common practice"),
    ("draft_sleeve_cap_ratio", "Height of the sleeve cap as a share of the armhole depth", 0.15, "", (0.05, 0.5), "derived", _TRIAL),
    ("draft_sleeve_flare", "Set-in sleeves run outwards by, share of their seam", 0.06, "", (0.0, 0.3), "derived", _TRIAL),
    ("draft_least_shoulder_mm", "Shortest shoulder seam of a yoke, and least yoke below the front neck", 8, "mm", (5, 40), "derived", _TRIAL),
)  # fmt: skip

_WRAP: tuple[Figure, ...] = _table(
    ("draft_wrap_up_to_mass_g", "Wraps are made up to", 1500, "g", (150, 4500), "common practice",
            "below 1,500 g a yoke gown or a wrap, below 250 g a plain wrap; common practice, no source"),
    ("draft_wrap_chest_ratio", "Chest as a share of the body length where nobody knows it", 0.66, "", (0.55, 0.75), "derived",
            "size table, 250 to 500 g: 19 / 29 cm, rounded up; ask the ward"),
    ("draft_wrap_overlap_ratio", "Sides of a wrap lie over one another by, share of the eased chest", 0.3, "", (0.1, 0.8), "derived", _TRIAL),
    ("draft_wrap_neck_share", "Share of the neck that a wrap goes round, behind", 0.5, "", (0.3, 0.7), "derived", _TRIAL),
    ("draft_wrap_neck_drop_ratio", "Neck of a wrap cut down by, share of its length", 0.15, "", (0.0, 0.3), "derived", _TRIAL),
    ("draft_wrap_shoulder_slope", "Upper edges of a wrap slope down by, share of their width", 0.35, "", (0.0, 0.7), "derived", _TRIAL),
    ("draft_wrap_upper_corner_ratio", "Upper corners of a wrap rounded, share of its width", 0.08, "", (0.02, 0.15), "derived", _TRIAL),
    ("draft_wrap_lower_corner_ratio", "Lower corners of a wrap rounded, share of its width", 0.2, "", (0.02, 0.4), "derived", _TRIAL),
)  # fmt: skip

_COMPANIONS: tuple[Figure, ...] = _table(
    ("draft_head_above_chest_mm", "Head girth is above chest girth by", 20, "mm", (0, 40), "derived", "estimate; below 2,000 g within 15 mm"),
    ("draft_bonnet_ease_mm", "Ease added to the head for a bonnet", 20, "mm", (0, 60), "derived", _TRIAL),
    ("draft_bonnet_face_ratio", "Bonnet round the face from jaw to jaw, share of the eased head", 0.75, "", (0.6, 0.9), "derived", _TRIAL),
    ("draft_bonnet_depth_ratio", "Bonnet from the face to its back, share of the eased head", 0.30, "", (0.2, 0.4), "derived", _TRIAL),
    ("draft_bonnet_back_ratio", "Width of the bonnet's back, share of the eased head", 0.28, "", (0.15, 0.4), "derived", _TRIAL),
    ("draft_blanket_length_ratio", "Side of a wrap blanket as a share of the body length", 1.4, "", (1.0, 2.0), "derived", _TRIAL),
    ("draft_blanket_corner_ratio", "Corners of a wrap blanket rounded, share of its side", 0.12, "", (0.02, 0.4), "derived", _TRIAL),
    ("draft_keepsake_mm", "Side of a keepsake square, finished", 100, "mm", (50, 250), "common practice", _CUSTOM),
    ("draft_swatch_mm", "Side of a spare swatch", 100, "mm", (50, 250), "common practice", _CUSTOM),
)  # fmt: skip

DRAFTING: tuple[Figure, ...] = (
    *BODIES,
    *_BODY_RATIOS,
    *_EASE,
    *_STRIP,
    *_OUTLINE,
    *_CLOSURES,
    *_YOKE,
    *_WRAP,
    *_COMPANIONS,
)
