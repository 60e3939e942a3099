"""What is said to somebody who comes too late for a kit."""

from django.utils.translation import gettext as _
from django.utils.translation import ngettext


def others_waiting(count: int) -> str:
    """How many kits wait besides, never who took this one."""
    if not count:
        return _("No other kits are waiting just now; more will come.")
    return ngettext("There is %(count)d more waiting.", "There are %(count)d more waiting.", count) % {
        "count": count
    }


def not_waiting(count: int) -> str:
    """Why the page of a kit she was once shown is closed to her."""
    return _("Somebody else has taken it.") + " " + others_waiting(count)
