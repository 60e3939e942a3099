"""Whether the mix of sizes a ward asks for looks odd; a hint to confirm, never a block."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from gowngroup.catalog.models import Purpose
from gowngroup.wards.models import RequestLine

FEWEST_GOWNS = 8  # below this any mix is likely enough
OFTEN_TIMES = 2.5
USUAL_TIMES = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class WeightShare:
    """The share of babies admitted to newborn units who weigh at least `lower_g` and below `upper_g`."""

    lower_g: int
    upper_g: int
    share: float


# Dartmouth Atlas of Neonatal Intensive Care, admissions of 2017.
ADMITTED = (
    WeightShare(lower_g=0, upper_g=1500, share=0.127),
    WeightShare(lower_g=2500, upper_g=4000, share=0.480),
)


def mix_hints(lines: Iterable[RequestLine], *, usual_counts: Sequence[int] = ()) -> tuple[str, ...]:
    """What to confirm with the ward: a mix unlike the babies in newborn units, a number unlike its own."""
    asked = [line for line in lines if line.purpose == Purpose.WORN]
    total = sum(line.gown_count for line in asked)
    hints = [hint for band in ADMITTED if total >= FEWEST_GOWNS and (hint := _hint(band, asked, total))]
    if usual_counts and total > USUAL_TIMES * sum(usual_counts) / len(usual_counts):
        hints.append(
            _("%(total)d gowns are far more than this ward usually asks for (about %(usual)d).")
            % {"total": total, "usual": round(sum(usual_counts) / len(usual_counts))}
        )
    return tuple(hints)


def _hint(band: WeightShare, asked: list[RequestLine], total: int) -> str | None:
    found = sum(
        line.gown_count
        for line in asked
        if line.size.upper_mass_g <= band.upper_g and line.size.lower_mass_g >= band.lower_g
    )
    is_likely = band.share / OFTEN_TIMES <= found / total <= band.share * OFTEN_TIMES
    if is_likely or (found < band.share * total and band.share * total < 4):
        return None
    return _(
        "%(found)d of %(total)d gowns are for babies of %(lower)d to %(upper)d g. Of the babies admitted to newborn units about %(share)d in 100 weigh that much (Dartmouth Atlas of Neonatal Intensive Care, 2017)."
    ) % {
        "found": found,
        "total": total,
        "lower": band.lower_g,
        "upper": band.upper_g,
        "share": round(100 * band.share),
    }
