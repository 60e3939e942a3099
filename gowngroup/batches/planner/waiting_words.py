"""What is said to somebody who comes too late for a kit."""

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.batches.models import Kit
from gowngroup.records.codes import spaced


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


def handed_out_since(kit: Kit) -> str:
    """How a kit stands whose handing out is over, when somebody would undo that again."""
    sentences = {
        Kit.State.WAITING.value: _("Kit %(kit)s is waiting again already; there is nothing more to undo."),
        Kit.State.CLAIMED.value: _(
            "Kit %(kit)s has been handed out anew since then; that has not been undone."
        ),
        Kit.State.RETURNED.value: _("Kit %(kit)s has come back since then; there is nothing to undo here."),
    }
    other = _("Kit %(kit)s is neither out nor waiting any more; its page says what became of it.")
    return sentences.get(kit.state, other) % {"kit": spaced(kit.code)}


def too_late_to_undo(kit: Kit) -> str:
    """Why handing out a kit is no slip any more, and what can be done instead."""
    return _("Kit %(kit)s was handed out too long ago to undo that. Give it back here if it has come in.") % {
        "kit": spaced(kit.code)
    }
