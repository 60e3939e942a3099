"""What was said of the floss when kits came back."""

from django.db.models import Exists, OuterRef, Q

from gowngroup.batches.models import Kit, KitReturn, Plan


def floss_answers(*, most: int) -> list[KitReturn]:
    """The newest answers on floss, one for each kit that is wholly back."""
    answered = KitReturn.objects.filter(kit__state=Kit.State.RETURNED).exclude(floss_outcome="")
    later = KitReturn.objects.filter(kit=OuterRef("kit")).exclude(floss_outcome="")
    is_later = Q(returned_at__gt=OuterRef("returned_at")) | Q(
        returned_at=OuterRef("returned_at"), pk__gt=OuterRef("pk")
    )
    newest = answered.exclude(Exists(later.filter(is_later))).select_related("kit__lay")
    return list(newest.order_by("-returned_at", "-pk")[:most])


def plans_behind(answers: list[KitReturn]) -> dict[int, Plan]:
    """The plans these kits were cut from, by number, each read once."""
    return Plan.objects.in_bulk({row.kit.lay.plan_id for row in answers})
