"""The group's own floss figure, set from what returned kits say."""

from datetime import datetime

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.batches.planner.floss_use import FIGURE, floss_use
from gowngroup.people.models import Person
from gowngroup.records.actions import action, set_figure
from gowngroup.records.errors import Taken
from gowngroup.records.models import FigureChange


class KitsSayOtherwise(Taken):
    """More kits have come back since the page was opened, or nothing is proposed."""


@action
def use_learned_floss(*, shown: str, by: Person, at: datetime, request_key: str = "") -> FigureChange:
    """Reckon with what the returned kits say from now on, if that is still what was `shown`."""
    use = floss_use()
    if not use.is_proposed or use.value is None or use.learned is None or shown != f"{use.value:.2f}":
        raise KitsSayOtherwise(
            _(
                "The kits say something else by now. Please look at the page again before you change the figure."
            )
        )
    source = ngettext(
        "learned from %(count)d returned kit; %(short)d ran short, %(left)d had floss left",
        "learned from %(count)d returned kits; %(short)d ran short, %(left)d had floss left",
        use.learned.report_count,
    ) % {
        "count": use.learned.report_count,
        "short": use.learned.short_count,
        "left": use.learned.left_count,
    }
    return set_figure(key=FIGURE, value=use.value, source=source, by=by, at=at)
