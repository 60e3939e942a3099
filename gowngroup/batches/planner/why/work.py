"""Why so many hours are expected, and why so much is to be bought."""

from collections.abc import Callable, Iterator, Mapping
from math import floor

from django.utils.translation import gettext as _

from gowngroup.batches.planner.document import StoredPlan
from gowngroup.batches.planner.shopping import kit_runs, shop_line
from gowngroup.batches.planner.why.values import Values, Why, gowns_made, minutes_words, size_words
from gowngroup.batches.planner.words import mm_words
from gowngroup.catalog.planner import GownNeed
from gowngroup.planning.batch_plan import Shortage
from gowngroup.planning.hours import StageTime

ROUNDING = 1e-9

STAGES: Mapping[str, Callable[[], str]] = {
    "cut": lambda: _("cutting (not part of a kit's hours)"),
    "pleat": lambda: _("pleating"),
    "smock": lambda: _("smocking"),
    "make_up": lambda: _("making up"),
    "lace": lambda: _("sewing on lace"),
    "finish": lambda: _("finishing and labelling"),
    "companions": lambda: _("sewing what goes along with the gown"),
}


def hour_whys(stored: StoredPlan) -> Iterator[Why]:
    """The hours of the whole batch, and of one gown of each kind stage by stage."""
    yield Why(
        title=_("Usual sewing time of the whole plan"),
        result=minutes_words(stored.plan.minutes),
        words=_("Usual minutes of one gown × the gowns of each kit, added up for all kits that can be cut."),
        values=tuple(
            (size_words(stored.designs[key]), f"{count} × {minutes_words(_usual_min(stored.needs[key]))}")
            for key, count in gowns_made(stored).items()
        ),
    )
    for key, need in stored.needs.items():
        yield Why(
            title=_("One gown: %(gown)s") % {"gown": size_words(stored.designs[key])},
            result=minutes_words(_usual_min(need)),
            words=_(
                "Smocking: stitches ÷ stitches an hour + a moment for each needleful started. Lace by its length. Other "
                "stages as usual for the group. From a quick to a slow hand: short and long."
            ),
            values=(
                *_smocking_values(need),
                *(
                    (STAGES.get(time.stage, lambda: "")(), _range_words(time))
                    for time in need.stage_times
                    if time.long_min
                ),
            ),
        )


def _usual_min(need: GownNeed) -> float:
    """A gown's usual time without its cutting."""
    return sum(time.usual_min for time in need.stage_times if time.stage != "cut")


def _smocking_values(need: GownNeed) -> Values:
    if not need.stitch_count:
        return ()
    return (
        (_("smocking stitches"), str(need.stitch_count)),
        (_("needlefuls started"), str(sum(each.needlefuls for each in need.floss))),
    )


def _range_words(time: StageTime) -> str:
    """`18 min`, or `2 h 0 min (1 h 30 min to 2 h 30 min)` where hands differ."""
    usual = minutes_words(time.usual_min)
    if time.short_min == time.long_min:
        return usual
    short, long = minutes_words(time.short_min), minutes_words(time.long_min)
    return _("%(usual)s (%(short)s to %(long)s)") % {"usual": usual, "short": short, "long": long}


def shopping_whys(stored: StoredPlan) -> Iterator[Why]:
    """Each line of the shopping list: what is missing after the shelf, and the unit it is sold in."""
    for shortage in stored.plan.shortages:
        yield Why(
            title=stored.material_name(shortage.material_key) or _("Cloth of the right weight"),
            result=shop_line(shortage, stored),
            words=SHOPPING[shortage.kind](),
            values=tuple(_shop_values(shortage, cut_mm=stored.document["settings"]["cut_um"] / 1000)),
        )


SHOPPING: Mapping[str, Callable[[], str]] = {
    "cloth": lambda: _(
        "The kits no lot was found for are laid at each width shops sell, less selvedges and shrinkage across; the "
        "length is divided by what is left after shrinkage along and rounded up to the step cloth is sold in. The "
        "cheapest width is asked for, or the one with the least cloth."
    ),
    "trim": lambda: _(
        "The lengths no card on the shelf holds are cut from new cards, as few as can be; what is longer than a card is "
        "bought unjoined off the roll. What they still shrink is counted in."
    ),
    "floss": lambda: _("Cuts beyond those in the skeins on the shelf ÷ whole cuts in a skein, rounded up."),
    "thread": lambda: _("Thread needed − thread on the shelf, ÷ a spool's length, rounded up."),
    "notion": lambda: _("Pieces needed − pieces on the shelf, in whole packs where it is sold in packs."),
}


def _shop_values(shortage: Shortage, *, cut_mm: float) -> Iterator[tuple[str, str]]:
    if shortage.short_mm is not None:
        yield _("really missing"), mm_words(shortage.short_mm)
    if shortage.short_count is not None:
        yield _("really missing"), str(shortage.short_count)
    if shortage.unit_mm is not None:
        yield _("one unit is"), mm_words(shortage.unit_mm)
    if shortage.kind == "floss" and shortage.short_mm is not None and shortage.unit_mm is not None:
        yield _("cuts missing"), str(round(shortage.short_mm / cut_mm))
        yield _("whole cuts in a skein"), str(floor(shortage.unit_mm / cut_mm + ROUNDING))
    if shortage.per_pack is not None:
        yield _("in a pack"), str(shortage.per_pack)
    yield _("units to buy"), str(shortage.unit_count)
    for offer in shortage.widths:
        yield (
            _("at %(width)s wide") % {"width": mm_words(offer.width_mm)},
            _("%(needed)s wanted, %(bought)s to buy")
            % {"needed": mm_words(offer.needed_mm), "bought": mm_words(offer.bought_mm)},
        )
    yield _("for kits"), kit_runs(shortage.kit_keys)
