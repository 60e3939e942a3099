"""What the wards ask of a kit's gowns."""

from collections.abc import Mapping
from itertools import chain

from django.utils.translation import gettext as _

from gowngroup.batches.models import Kit, Stage
from gowngroup.printing import queries
from gowngroup.wards.models import Ward


def ward_rules(kit: Kit) -> tuple[str, ...]:
    """The rules of the ward a matched set is for, else those all wards share that take this size, then each ward's own.

    None where the kit is only pleated or smocked.
    """
    if kit.stage in (Stage.PLEAT, Stage.SMOCK):
        return ()
    line = kit.matched_set.request_line if kit.matched_set else None
    wards = [line.request.ward] if line else list(queries.wards_served(kit.size))
    rules = {ward: _rules_of(ward) for ward in wards}
    shared = [rule for rule in dict.fromkeys(chain.from_iterable(rules.values())) if _is_shared(rule, rules)]
    own = {ward: [rule for rule in found if rule not in shared] for ward, found in rules.items()}
    return (
        *shared,
        *(
            _("%(ward)s: %(rules)s") % {"ward": ward, "rules": " ".join(map(_closed, found))}
            for ward, found in own.items()
            if found
        ),
    )


def _rules_of(ward: Ward) -> list[str]:
    return [rule for text in ward.rules.splitlines() if (rule := text.strip())]


def _is_shared(rule: str, rules: Mapping[Ward, list[str]]) -> bool:
    return all(rule in found for found in rules.values())


def _closed(rule: str) -> str:
    """A rule with a stop at its end, so that another may follow."""
    return rule if rule[-1] in ".!?" else f"{rule}."
