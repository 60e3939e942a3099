"""What a design is closed with, and what safety forbids, size by size."""

from collections.abc import Iterable

from django.utils.translation import gettext as _

from gowngroup.catalog.models import DesignRevision, MaterialKind, Need
from gowngroup.catalog.planner.refusal_words import closure_sentence
from gowngroup.catalog.planner.rows import UM_PER_MM
from gowngroup.catalog.planner.values import PlannerSettings
from gowngroup.planning.drafting import Closure, ClosureKind, DraftRules, closure_faults
from gowngroup.planning.sizes import SizeBand

_KINDS: dict[str, ClosureKind] = {
    DesignRevision.Closure.FLAT_FASTENING: "flat fastening",
    DesignRevision.Closure.HOOK_AND_LOOP: "flat fastening",
    DesignRevision.Closure.WRAP: "none",
    DesignRevision.Closure.TIES: "ties",
}
NECK_EDGE = "neck"


def closure_of(revision: DesignRevision, band: SizeBand, rules: DraftRules) -> Closure:
    """The closure of a design in a size; ties sit at the side, at the height of the underarm."""
    depth_mm = rules.armhole_depth_ratio * (band.chest_mm or 0.0) + rules.armhole_ease_mm
    return Closure(
        kind=_KINDS[revision.closure],
        depth_mm=depth_mm,
        finished_length_mm=revision.tie_length_um / UM_PER_MM,
    )


def closure_sentences(
    revision: DesignRevision,
    band: SizeBand,
    settings: PlannerSettings,
    *,
    gown_length_mm: float | None = None,
) -> tuple[str, ...]:
    """Why a design may not be closed like this in a size; empty when it may."""
    rules = DraftRules.from_figures(settings.figures)
    length_mm = gown_length_mm or rules.worn_length_ratio * band.body_length_mm
    faults = closure_faults(
        closure_of(revision, band, rules), size=band, rules=rules, gown_length_mm=length_mm
    )
    return tuple(closure_sentence(fault.code, fault.allowed_mm) for fault in faults)


def neck_sentences(needs: Iterable[Need]) -> tuple[str, ...]:
    """Ribbon is a bow stitched flat, never led or tied round the neck (EN 14682, 0 to 7 years)."""
    return tuple(
        _("Ribbon may not run along the neck: “%(place)s”. Stitch it flat as a bow instead.")
        % {"place": need.place}
        for need in needs
        if (need.kind == MaterialKind.RIBBON or need.is_threaded) and need.edge == NECK_EDGE
    )
