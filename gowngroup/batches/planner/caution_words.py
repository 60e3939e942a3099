"""What to look at before a plan is committed, in words."""

from collections.abc import Callable, Mapping, Sequence

from django.utils.translation import gettext as _

from gowngroup.batches.planner.words import exact_mm_words
from gowngroup.planning.plain_data import Json


def caution_sentences(document: Mapping[str, Json], kit_words: Callable[[Sequence[str]], str]) -> list[str]:
    """The cautions of a stored plan with the kits each concerns; none in plans stored before there were any."""
    return [
        CAUTIONS[each["code"]]() % {**_worded(each["values"]), "kits": kit_words(each["kit_keys"])}
        for each in document.get("cautions", ())
    ]


def _worded(values: Mapping[str, Json]) -> dict[str, str]:
    return {
        name: exact_mm_words(value) if name.endswith("_mm") else str(value) for name, value in values.items()
    }


CAUTIONS: Mapping[str, Callable[[], str]] = {
    "avoided_shade": lambda: _(
        "%(material)s is chosen for %(design)s, and a ward that may get these gowns does not want to see “%(word)s” "
        "(kits %(kits)s). Choose another material for the batch, or ask the ward."
    ),
    "other_width": lambda: _(
        "%(material)s shows %(found_mm)s; %(design)s asks for %(wanted_mm)s at “%(place)s” (kits %(kits)s). Set in, it "
        "makes the gown longer or shorter by the difference. Choose another, or change the design."
    ),
    "width_unknown": lambda: _(
        "%(design)s asks for a trim %(wanted_mm)s wide at “%(place)s”, and nobody has noted how wide %(material)s is "
        "(kits %(kits)s). Measure it and note it with the material."
    ),
}
