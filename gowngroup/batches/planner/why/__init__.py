"""Where each number of a stored plan comes from; read from the plan, never from today's settings."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy

from gowngroup.batches.planner.document import StoredPlan
from gowngroup.batches.planner.why.cloth import cloth_whys, kit_whys
from gowngroup.batches.planner.why.materials import bias_whys, floss_whys, thread_whys, trim_whys
from gowngroup.batches.planner.why.values import Facts, Why, figures_used
from gowngroup.batches.planner.why.work import hour_whys, shopping_whys
from gowngroup.planning.figures.uses import Use

__all__ = ["TOPICS", "Topic", "WhyPage", "why_page"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Topic:
    """A part of a plan whose numbers are explained together; `nothing` says why there may be none."""

    key: str
    title: Promise
    use: Use
    whys: Callable[[StoredPlan], Iterable[Why]]
    nothing: Promise | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WhyPage:
    """The numbers of one part, and the settings they rest on as the plan keeps them."""

    topic: Topic
    whys: tuple[Why, ...]
    figures: tuple[Facts, ...]


TOPICS: dict[str, Topic] = {
    topic.key: topic
    for topic in (
        Topic(key="cloth", title=gettext_lazy("Cloth and lays"), use="cloth", whys=cloth_whys),
        Topic(key="kits", title=gettext_lazy("Kits and lots"), use="cloth", whys=kit_whys),
        Topic(key="trims", title=gettext_lazy("Lace and ribbon"), use="trims", whys=trim_whys),
        Topic(key="floss", title=gettext_lazy("Floss"), use="floss", whys=floss_whys),
        Topic(key="thread", title=gettext_lazy("Sewing thread"), use="thread", whys=thread_whys),
        Topic(
            key="bias",
            title=gettext_lazy("Bias"),
            use="bias",
            whys=bias_whys,
            nothing=gettext_lazy(
                "No square is cut for bias: where a gown has a neck binding, it lies in the lay as a piece of its own."
            ),
        ),
        Topic(key="hours", title=gettext_lazy("Hours"), use="hours", whys=hour_whys),
        Topic(key="shopping", title=gettext_lazy("Shopping"), use="shopping", whys=shopping_whys),
    )
}


def why_page(stored: StoredPlan, topic: Topic) -> WhyPage:
    """Where the numbers of one part of a plan come from."""
    return WhyPage(topic=topic, whys=tuple(topic.whys(stored)), figures=figures_used(stored, topic.use))
