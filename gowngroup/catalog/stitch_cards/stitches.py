"""What is said of each stitch: its name, what it is for, what to mind (common practice, no source)."""

from collections.abc import Callable
from dataclasses import dataclass

from django.utils.translation import gettext as _

from gowngroup.catalog.planner import PlannerSettings
from gowngroup.catalog.stitch_cards.rows import WorkedRow, worked_row
from gowngroup.catalog.stitch_cards.steps import Step, stitch_steps
from gowngroup.catalog.stitch_cards.titles import TITLES


@dataclass(frozen=True, slots=True, kw_only=True)
class StitchCard:
    """One card; `worked` is its row as a chart shows it, None on the cards that are of no stitch.

    `has_hand` tells whether its pictures are turned for the left hand.
    """

    key: str
    title: str
    purpose: tuple[str, ...]
    steps: tuple[Step, ...]
    hints: tuple[str, ...]
    source: str
    worked: WorkedRow | None = None
    has_hand: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class _Words:
    purpose: tuple[str, ...]
    hints: tuple[str, ...]
    before: tuple[str, ...] = ()


def stitch_card_of(key: str, settings: PlannerSettings, *, is_left_handed: bool) -> StitchCard:
    """The card of a stitch for the right hand or the left."""
    words = _WORDS[key]()
    worked = worked_row(key, settings, is_left_handed=is_left_handed)
    before = (Step(sentences=words.before),) if words.before else ()
    return StitchCard(
        key=key,
        title=str(TITLES[key]),
        purpose=words.purpose,
        steps=(*before, *stitch_steps(worked)),
        hints=(*words.hints, *_usual_hints()),
        source=_source(key),
        worked=worked,
    )


def _usual_hints() -> tuple[str, ...]:
    return (
        _("Each stitch takes up one new pleat, and only the top of its fold."),
        _("Pull until the stitch lies flat. Where the pleats bend, it is too tight."),
        _("Count your needles before and after, and never leave one in the work."),
    )


def _source(key: str) -> str:
    if key in ("outline", "stem"):
        return _(
            "Common practice, no published source. Books differ on which of the two is outline stitch and which is stem stitch; our charts and cards go by the side on which the thread lies."
        )
    return common_practice()


def common_practice() -> str:
    """Where a card's words come from."""
    return _("Common practice, no published source.")


def _cable() -> _Words:
    return _Words(
        purpose=(
            _("Holds the pleats firmly and evenly."),
            _("Often the first row, close to a seam, and the last one."),
            _("It stretches little."),
        ),
        hints=(
            _(
                "The thread changes sides with every stitch. Two alike side by side show at once: unpick the last."
            ),
            _("Where the chart begins with a thick line, begin with the thread above the needle."),
        ),
    )


def _outline() -> _Words:
    return _Words(
        purpose=(
            _("A fine, firm line, like a cord laid across the pleats."),
            _("It stretches least, so it stands where the gown need not give."),
        ),
        hints=(
            _("The thread stays on the same side from the first stitch to the last."),
            _("A row of outline stitch close to a row of stem stitch looks like an ear of wheat."),
        ),
    )


def _stem() -> _Words:
    return _Words(
        purpose=(
            _("Worked like outline stitch, with the thread on the other side of the needle."),
            _("A fine, firm line that stretches least."),
        ),
        hints=(
            _("The thread stays on the same side from the first stitch to the last."),
            _("A row of stem stitch close to a row of outline stitch looks like an ear of wheat."),
        ),
    )


def _baby_wave() -> _Words:
    return _Words(
        purpose=(
            _("A small zigzag, half a space high. In the chart it is a wave of 1 step."),
            _("It stretches well. Two rows that meet make small diamonds."),
        ),
        hints=(_count_hint(), _high_start_hint()),
    )


def _wave_of_two() -> _Words:
    return _Words(
        purpose=(
            _("A zigzag with one pleat between its turns."),
            _("It stretches more than a baby wave: for rows where the gown must give."),
        ),
        hints=(_height_hint(), _high_start_hint()),
    )


def _trellis_of_three() -> _Words:
    return _Words(
        purpose=(
            _("A tall zigzag of three steps up and three steps down."),
            _("It stretches much. Two rows that meet make diamonds."),
        ),
        hints=(_height_hint(), _steps_hint(), _high_start_hint()),
    )


def _trellis_of_four() -> _Words:
    return _Words(
        purpose=(
            _("A broad zigzag of four steps up and four steps down."),
            _("It stretches most. A trellis of more steps is worked in the same way."),
        ),
        hints=(_height_hint(), _steps_hint(), _high_start_hint()),
    )


def _count_hint() -> str:
    return _("Turn, up, turn, down: say it as you sew.")


def _height_hint() -> str:
    return _("The chart says how high the row rises: share it evenly among the steps.")


def _high_start_hint() -> str:
    return _("Where the first stitch of the row lies high in your chart, begin with step 3.")


def _steps_hint() -> str:
    return _("Count the steps aloud: one too many, and the next row does not meet.")


def _back_smocking() -> _Words:
    return _Words(
        purpose=(
            _(
                "Cable stitch on the wrong side. It holds the pleats where the front has no stitches, or only loose motifs."
            ),
            _("It does not show on the right side."),
        ),
        before=(
            _("Turn the work over, so that the wrong side lies before you."),
            _("Left and right are now as you see them."),
        ),
        hints=(
            _("Use floss of the colour of the cloth."),
            _("Take up very little of each fold, so that nothing shows in front."),
        ),
    )


_WORDS: dict[str, Callable[[], _Words]] = {
    "cable": _cable,
    "outline": _outline,
    "stem": _stem,
    "wave": _baby_wave,
    "wave-2": _wave_of_two,
    "trellis": _trellis_of_three,
    "trellis-4": _trellis_of_four,
    "back-smocking": _back_smocking,
}
