"""What a new group's catalog starts with: charts and words of our own invention."""

from gowngroup.catalog.actions.charts import RowEntry

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
    "Sew the panel to the front yoke.",
    "Gather the backs, flat where they overlap, and sew them to the back yokes.",
    "Sew the shoulders, then sew the yoke linings down flat so that no seam lies bare inside.",
    "Hem the sleeves, sew their lace on, and sew the sleeves in.",
    "Sew the side seams with the underarms in one, as narrow French seams.",
    "Bind the neck; hem the back edges and the lower edge; sew on the one flat fastening, off the spine.",
    "Look the gown over, inside too: no knots, no loose threads, no pin or needle left.",
)
WRAP_STEPS = (
    "Lay wrap and lining right sides together and sew round, leaving a hand’s width open.",
    "Trim the rounded corners, turn, and press from the lining side.",
    "Close the opening by hand with flat stitches, then topstitch all round close to the edge.",
    "Stitch the ribbon bow flat in three places so that nothing can be pulled loose.",
    "Look the wrap over: soft seams, no knots, no loose threads, no pin or needle left.",
)
# For a yoke gown with entredeux above the smocking and beading above the lace, in place of two of its steps.
ENTREDEUX_PLACE = "panel to yoke"
ENTREDEUX_STEP = (
    "Trim the batiste of the entredeux to the width of the seam and sew the entredeux to the panel, then to the front"
    " yoke."
)
BEADING_STEP = (
    "Hem the sleeves, sew beading and then lace on, draw the ribbon through flat, and sew the sleeves in with its ends"
    " caught in the seams."
)
# For a wrap with two keepsake squares.
SQUARES_STEP = "Hem the two squares by hand, with mitred corners."
