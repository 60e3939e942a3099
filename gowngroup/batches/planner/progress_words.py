"""How far a planning is, in the coordinator's words: `cloth 3.42 m → 3.31 m`."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.batches.planner.progress import Progress, StepTaken
from gowngroup.batches.planner.why.values import area_words
from gowngroup.batches.planner.words import exact_mm_words
from gowngroup.planning.batch_plan.improve import PlanFigures
from gowngroup.planning.plain_data import value_of
from gowngroup.records.codes import spaced
from gowngroup.records.written import written_number

LEAST_SHARE = 0.0005


LotNames = Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class StepSaid:
    """What a step brought in a sentence, and where it brought more than one lot something, each of them."""

    sentence: str
    lots: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ProgressPage:
    """What the page of a running planning says."""

    now: str
    best: str
    steps: tuple[StepSaid, ...]
    position: int
    step_count: int

    @property
    def number_now(self) -> int:
        """Which step is tried now."""
        return min(self.position + 1, self.step_count)


def progress_page(progress: Progress, names: LotNames) -> ProgressPage:
    """The planning so far: what is tried now, the best plan, and what each step brought, the last one first.

    `names` are the materials of the lots by code.
    """
    return ProgressPage(
        now=NOW[progress.now_code]() % {"lot": _lot(progress.now_lot_code, names)},
        best=best_words(progress.best) if progress.best else "",
        steps=tuple(step_said(each, names) for each in reversed(progress.taken)),
        position=progress.position,
        step_count=progress.step_count,
    )


NOW: Mapping[str, Callable[[], str]] = {
    "first": lambda: _("Making a first plan that can be used."),
    "lays": lambda: _("Laying the pieces of every lot closer together."),
    "allocation": lambda: _("Sharing the kits out among the lots in other ways."),
    "nest": lambda: _("%(lot)s: fitting curved edges into each other."),
}


def best_words(best: PlanFigures) -> str:
    """`24 gowns from 5 lots, 12.4 m of cloth to measure off`."""
    gowns = ngettext("%(count)d gown", "%(count)d gowns", best.gown_count) % {"count": best.gown_count}
    lots = ngettext("%(count)d lot", "%(count)d lots", best.lot_count) % {"count": best.lot_count}
    words = {"gowns": gowns, "lots": lots, "length": exact_mm_words(best.cloth_mm)}
    return _("%(gowns)s from %(lots)s, %(length)s of cloth to measure off") % words


def improvements_of(document: Mapping[str, Any]) -> tuple[StepSaid, ...]:
    """The steps that led to a stored plan; none where it was stored before steps were kept."""
    names = {lot["code"]: lot["material"] for lot in document["lots"].values()}
    return tuple(step_said(value_of(StepTaken, each), names) for each in document.get("improvements", []))


def step_said(step: StepTaken, names: LotNames) -> StepSaid:
    """What a step brought, or that it brought nothing."""
    if step.before is None:
        return StepSaid(sentence=_("A first plan: %(plan)s.") % {"plan": best_words(step.after)})
    tried = TRIED[step.code]() % {"lot": _lot(step.lot_code, names)}
    if step.is_better and [lot.lot_code for lot in step.lots] == [step.lot_code]:
        (lot,) = step.lots
        return StepSaid(sentence=f"{tried}: {_change(lot.before_mm, lot.after_mm)}.")
    gained = "; ".join(_gains(step.before, step.after)) if step.is_better else ""
    said = gained or _("nothing gained")
    lots = tuple(
        f"{_lot(lot.lot_code, names)}: {_change(lot.before_mm, lot.after_mm)}"
        for lot in step.lots
        if step.is_better
    )
    return StepSaid(sentence=f"{tried}: {said}.", lots=lots)


def _lot(code: str, names: LotNames) -> str:
    """A lot as one knows it at the table: `Cotton lawn, sky LGW-AT3`."""
    return f"{names.get(code, '')} {spaced(code)}".strip()


def _change(before_mm: float, after_mm: float) -> str:
    return _("%(before)s → %(after)s") % _pair(before_mm, after_mm)


TRIED: Mapping[str, Callable[[], str]] = {
    "first": lambda: _("Planned anew"),
    "lays": lambda: _("Pieces laid closer together"),
    "allocation": lambda: _("Kits shared out among the lots in other ways"),
    "nest": lambda: _("%(lot)s, curved edges fitted into each other"),
}


def _gains(before: PlanFigures, after: PlanFigures) -> Iterator[str]:
    if before.gown_count != after.gown_count:
        yield _("gowns %(before)d → %(after)d") % {"before": before.gown_count, "after": after.gown_count}
    if before.lot_count != after.lot_count:
        yield _("lots opened %(before)d → %(after)d") % {"before": before.lot_count, "after": after.lot_count}
    if before.cloth_mm < after.cloth_mm and after.used_up_mm2:
        # Narrower cloth, or less left over that nobody can use: a longer cut may still be the better one.
        yield _(
            "all in all %(before)s → %(after)s of cloth used up, left-overs too short for anything counted in"
        ) % {"before": area_words(before.used_up_mm2), "after": area_words(after.used_up_mm2)}
    elif before.cloth_mm != after.cloth_mm:
        yield _("cloth %(before)s → %(after)s") % _pair(before.cloth_mm, after.cloth_mm)
    if before.proven_gap_share is None and after.proven_gap_share is not None:
        yield _proof(after.proven_gap_share)


def _proof(gap_share: float) -> str:
    if gap_share < LEAST_SHARE:
        return _("proven that no other way needs less cloth")
    percent = written_number(f"{gap_share * 100:.1f} %")
    return _("proven that no other way saves more than %(percent)s of the cloth") % {"percent": percent}


def _pair(before_mm: float, after_mm: float) -> dict[str, str]:
    return {"before": exact_mm_words(before_mm), "after": exact_mm_words(after_mm)}
