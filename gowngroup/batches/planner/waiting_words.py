"""What is said to somebody who comes too late for a kit."""

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.batches.models import Kit


def others_waiting(count: int) -> str:
    """How many kits wait besides, never who took this one."""
    if not count:
        return _("No other kits are waiting just now; more will come.")
    return ngettext("There is %(count)d more waiting.", "There are %(count)d more waiting.", count) % {
        "count": count
    }


def why_not_waiting(kit: Kit) -> str:
    """Why nobody, or not everybody, can take a kit that was once offered."""
    if kit.state == Kit.State.WAITING and kit.kept_for_id is not None:
        return _("It is being kept for somebody.")
    if kit.state == Kit.State.CLAIMED:
        return _("Somebody else has taken it.")
    if kit.state == Kit.State.RETURNED:
        return _("It has been sewn and has come back.")
    return _("It is not to be sewn just now.")


def not_waiting(kit: Kit, count: int) -> str:
    """Why the page of a kit she was once shown is closed to her, and how many others wait."""
    return f"{why_not_waiting(kit)} {others_waiting(count)}"
