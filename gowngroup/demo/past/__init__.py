"""Years before the demo's own months, for looking at lists and reports as they are after ten years.

What the recent months hold was done by actions, one after another, which takes a quarter of a second a gown. Here the
rows are written many at once instead, as those actions leave them, so that the audit of all rooms finds nothing.
"""

from gowngroup.demo.past.years import MOST_GOWNS, write_past

__all__ = ["MOST_GOWNS", "write_past"]
