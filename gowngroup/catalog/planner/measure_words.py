"""The measures a draft is made by, in the reader's words."""

from django.utils.translation import gettext as _

from gowngroup.planning import drafting


def draft_measure_labels(kind: drafting.DraftKind) -> dict[str, str]:
    """The measures of a draft in words; a wrap has a neck edge and an overlap of its own kind."""
    of_wraps = {"neck_mm": _("neck edge, behind"), "overlap_mm": _("sides lie over one another by")}
    return _common_labels() | (of_wraps if kind == "wrap" else {})


def _common_labels() -> dict[str, str]:
    return {
        "neck_mm": _("neck, round"),
        "length_mm": _("length from the neck"),
        "width_mm": _("width, laid out flat"),
        "panel_mm": _("smocked panel, finished width"),
        "pleat_count": _("pleats"),
        "row_count": _("smocked rows"),
        "sleeve_seam_mm": _("sleeve seam, underarm to hem"),
        "overlap_mm": _("overlap of the backs"),
        "shoulder_girth_mm": _("round the shoulders"),
        "shoulder_depth_mm": _("shoulders below the neck"),
        "first_row_mm": _("first smocked row below its seam"),
        "neck_drop_mm": _("neck cut lower by"),
        "neck_width_mm": _("neck, from shoulder to shoulder"),
        "front_neck_drop_mm": _("front neck below the shoulder"),
        "back_neck_drop_mm": _("back neck below the shoulder"),
        "binding_mm": _("neck binding, length"),
        "yoke_depth_mm": _("yoke, depth"),
        "shoulder_drop_mm": _("shoulder slopes down by"),
        "front_yoke_mm": _("front yoke, width"),
        "back_yoke_mm": _("back yokes, width when closed"),
        "front_length_mm": _("front, length"),
        "back_length_mm": _("back, length"),
        "front_skirt_mm": _("front, length below the yoke"),
        "back_skirt_mm": _("backs, length below the yoke"),
        "back_width_mm": _("one back, width before it is gathered"),
        "armhole_depth_mm": _("armhole depth"),
        "armhole_width_mm": _("armhole, runs outwards by"),
        "front_armhole_mm": _("front, armhole below the yoke"),
        "back_armhole_mm": _("backs, armhole below the yoke"),
        "front_armhole_depth_mm": _("front, armhole depth"),
        "back_armhole_depth_mm": _("back, armhole depth"),
        "sleeve_armhole_depth_mm": _("sleeve, armhole depth"),
        "raglan_width_mm": _("raglan seam, width"),
        "front_raglan_width_mm": _("front, width of the raglan seam"),
        "back_raglan_width_mm": _("back, width of the raglan seam"),
        "sleeve_raglan_width_mm": _("sleeve, width of the raglan seam"),
        "sleeve_cap_height_mm": _("sleeve, height of its cap"),
        "sleeve_width_mm": _("sleeve, round at the underarm"),
        "upper_corner_mm": _("upper corners rounded over"),
        "lower_corner_mm": _("lower corners rounded over"),
        "lining_width_mm": _("lining, width"),
        "lining_length_mm": _("lining, length"),
    }
