"""What to do next with a kit one has at home, in one sentence."""

from datetime import date

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from gowngroup.batches.models import Call, Kit, Stage
from gowngroup.people.models import Group
from gowngroup.records.written import written_date

HANDED_ON = {
    Stage.PLEAT.value: gettext_lazy("Pleat it, then say here that it is pleated, and hand it on."),
    Stage.SMOCK.value: gettext_lazy("Smock it, then say here that it is smocked, and hand it on."),
}


def next_step(kit: Kit, *, is_finished: bool, open_calls: list[Call], today: date, place: str) -> str:
    """The one sentence that says what comes next for its holder."""
    if is_finished:
        return (
            _("Bring it in: %(place)s.") % {"place": place}
            if place
            else _("Bring it in with every needle and pin you took out for it.")
        )
    if any(call.kind == Call.Kind.POST for call in open_calls):
        return _("We are posting it to you.")
    if open_calls:
        return _("We have your message and will be in touch. Sew on where you can.")
    return _still_to_sew(kit, today)


def _still_to_sew(kit: Kit, today: date) -> str:
    if kit.is_memorial():
        return _("Sew it in your own time; nobody will ask for it.")
    if kit.due_on is not None and kit.due_on < today:
        return _("Its day has passed. There is no harm in it: tell us if you need longer or would like help.")
    if kit.returned_count:
        return ngettext(
            "Sew the %(count)d gown that is still to come.",
            "Sew the %(count)d gowns that are still to come.",
            kit.open_count,
        ) % {"count": kit.open_count}
    if kit.stage in HANDED_ON:
        return str(HANDED_ON[kit.stage])
    day = written_date(kit.due_on, "j F") if kit.due_on else ""
    return _("Open the kit sheet and sew; it is due on %(day)s.") % {"day": day}


def handed_on(name: str, *, group: Group) -> str:
    """Where a kit goes whose stage is done: into the next hands, where a name is given, or back to the group."""
    if name:
        return _("Thank you! The kit is kept for %(name)s. Give it to her, or bring it in for her.") % {
            "name": name
        }
    if group.pick_up_place:
        return _("Thank you! Please bring it here, for its next pair of hands: %(place)s.") % {
            "place": group.pick_up_place
        }
    return _("Thank you! Please bring it in, for its next pair of hands.")
