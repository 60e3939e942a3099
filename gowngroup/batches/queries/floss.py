"""What was said of the floss when kits came back."""

from gowngroup.batches.models import Kit, KitReturn, Plan


def floss_answers(*, most: int) -> list[KitReturn]:
    """The newest answers on floss, one for each kit that is wholly back."""
    answered = KitReturn.objects.filter(kit__state=Kit.State.RETURNED).exclude(floss_outcome="")
    newest: dict[int, KitReturn] = {}
    for row in answered.select_related("kit__lay").order_by("-returned_at", "-pk"):
        newest.setdefault(row.kit_id, row)
    return list(newest.values())[:most]


def plans_behind(answers: list[KitReturn]) -> dict[int, Plan]:
    """The plans these kits were cut from, by number, each read once."""
    return Plan.objects.in_bulk({row.kit.lay.plan_id for row in answers})
