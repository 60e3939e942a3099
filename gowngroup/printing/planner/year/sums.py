"""The report's own sums, each counted a second way."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from gowngroup.printing.planner.year.materials import ClothLine, cloth_in_ledger_um, given_by_kind
from gowngroup.printing.planner.year.months import received_in
from gowngroup.printing.year_queries import Rows, Span
from gowngroup.records.templatetags.gown import long_length
from gowngroup.wards.models import WardRequest


@dataclass(frozen=True, slots=True, kw_only=True)
class SumCheck:
    """One sum, counted in two places."""

    what: str
    here: str
    there: str
    agrees: bool


def sum_checks(
    span: Span,
    *,
    asked: Rows,
    boxed: Rows,
    made: Rows,
    brought: Rows,
    cloth: Sequence[ClothLine],
    moved: Rows,
    lots: Rows,
) -> tuple[SumCheck, ...]:
    """Requests against boxes, gowns against kits, lays against the ledger, gifts against the shelf."""
    from_kits = sum(row["gowns"] for row in received_in(made) if row["has_kit"])
    given = given_by_kind(lots)
    return (
        _counted(
            _("Gowns asked for and met: in the requests, and in the boxes that left"),
            sum(row["met"] for row in asked),
            sum(row["gowns"] for row in boxed if _is_for(span, row)),
        ),
        _counted(
            _("Gowns made from kits: by their own codes, and as they were brought in"),
            from_kits,
            sum(row["gowns_back"] or 0 for row in brought),
        ),
        _measured(
            _("Cloth cut: measured at the lays, and booked off the shelf"),
            sum(line.cut_um for line in cloth),
            cloth_in_ledger_um(moved),
        ),
        _counted(
            _(
                "Gifts: kinds of material, and kinds of which what was used and what is left add up to what was given"
            ),
            len(given),
            sum(line.adds_up for line in given),
        ),
    )


def _is_for(span: Span, row: Mapping[str, Any]) -> bool:
    """Did these gowns leave for a request of the span?"""
    month = row["request_line__request__month"]
    is_withdrawn = row["request_line__request__state"] == WardRequest.State.WITHDRAWN
    return month is not None and span.first <= month < span.after and not is_withdrawn


def _counted(what: str, here: int, there: int) -> SumCheck:
    return SumCheck(what=what, here=str(here), there=str(there), agrees=here == there)


def _measured(what: str, here_um: int, there_um: int) -> SumCheck:
    here, there = long_length(here_um), long_length(there_um)
    return SumCheck(what=what, here=here, there=there, agrees=here_um == there_um)
