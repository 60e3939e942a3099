"""What to look at before a plan is committed: materials chosen in shades that wards do not want to see."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from gowngroup.batches.planner.order import OrderKit, Prepared
from gowngroup.planning.plain_data import Json
from gowngroup.planning.reason import Reason, reason
from gowngroup.planning.shades import avoided_word


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """Something a coordinator should look at, and the kits it concerns."""

    reason: Reason
    kit_keys: tuple[str, ...]


def cautions_of(prepared: Prepared) -> tuple[Caution, ...]:
    """Everything to look at in an order, told once for all the kits it concerns."""
    found: dict[Reason, list[str]] = {}
    for each in prepared.kits:
        for told in _shade_cautions(each, prepared):
            found.setdefault(told, []).append(each.kit.key)
    return tuple(Caution(reason=told, kit_keys=tuple(keys)) for told, keys in found.items())


def _shade_cautions(each: OrderKit, prepared: Prepared) -> Iterator[Reason]:
    """Trims, floss and thread are chosen for a whole design, so a shade a ward avoids is told, not refused."""
    kit = each.kit
    keys = [need.material_key for needs in (kit.trims, kit.floss, kit.thread) for need in needs]
    for key in dict.fromkeys(keys):
        if key not in prepared.materials:
            continue
        word = avoided_word(str(prepared.materials[key]), kit.cloth.avoided_shades)
        if word is not None:
            yield reason(
                "avoided_shade",
                material=str(prepared.materials[key]),
                design=str(each.line.design_revision.design),
                word=word,
            )


def caution_sentences(document: Mapping[str, Json], kit_words: Callable[[Sequence[str]], str]) -> list[str]:
    """The cautions of a stored plan in words, with the kits each concerns; none in plans stored before there were any."""
    return [
        CAUTIONS[each["code"]]() % {**each["values"], "kits": kit_words(each["kit_keys"])}
        for each in document.get("cautions", ())
    ]


CAUTIONS: Mapping[str, Callable[[], str]] = {
    "avoided_shade": lambda: _(
        "%(material)s is chosen for %(design)s, and a ward that may get these gowns does not want to see “%(word)s” "
        "(kits %(kits)s). Choose another material for the batch, or ask the ward."
    ),
}
