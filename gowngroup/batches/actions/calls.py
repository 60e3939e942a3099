"""Somebody at home asks for help, for a part or for the post; others answer, and send what is wanted."""

from datetime import datetime

from django.core.mail import EmailMultiAlternatives
from django.db.models import Q, QuerySet
from django.utils.translation import gettext as _

from gowngroup.batches.actions.returns import NotHers, may_speak_of
from gowngroup.batches.mail import page_address, written_letter
from gowngroup.batches.models import Call, Kit, KitLine, SewingHelper
from gowngroup.people.actions.unsent import send_on_commit
from gowngroup.people.models import Group, Person, Role, UnsentLetter
from gowngroup.records.actions import action, record
from gowngroup.records.codes import spaced
from gowngroup.records.errors import Refusal, Taken
from gowngroup.stock.actions import issue_free
from gowngroup.stock.models import Lot


class AnsweredAlready(Taken):
    """Somebody else has answered."""


class NothingSaid(Refusal):
    """It must be said what is missing, or what was done."""


class AskedAlready(Taken):
    """The same has been asked and not been answered yet."""


@action
def ask_for_help(*, kit: Kit, words: str, by: Person, at: datetime, request_key: str = "") -> Call:
    """Ask the coordinator and those who help with sewing for help with a kit one has at home."""
    return _call(kit, Call(kind=Call.Kind.HELP, words=words), by=by, at=at)


@action
def report_part(
    *,
    kit: Kit,
    kind: str,
    line: KitLine | None = None,
    words: str = "",
    by: Person,
    at: datetime,
    request_key: str = "",
) -> Call:
    """Say that something of a kit is missing or spoilt, so that it is sent."""
    if line is None and not words.strip():
        raise NothingSaid(_("Please choose from the list, or say in a few words what it is."), field="words")
    part = line.text if line is not None else ""
    return _call(kit, Call(kind=kind, line=line, part=part, words=words), by=by, at=at)


@action
def ask_to_post(*, kit: Kit, by: Person, at: datetime, request_key: str = "") -> Call:
    """Ask that a kit one has taken be posted."""
    if Call.objects.filter(kit=kit, kind=Call.Kind.POST, answered_at__isnull=True).exists():
        raise AskedAlready(_("We know: this kit will be posted."))
    return _call(kit, Call(kind=Call.Kind.POST), by=by, at=at)


def _call(kit: Kit, call: Call, *, by: Person, at: datetime) -> Call:
    now = Kit.objects.select_for_update().get(pk=kit.pk)
    if now.holder_id is None or not may_speak_of(kit, now.holder_id, by):
        raise NotHers(_("This kit has been given back or brought in already."))
    call.kit, call.person_id, call.asked_at = kit, now.holder_id, at
    call.words = call.words.strip()
    call.save(force_insert=True)
    record(by=by, at=at, did="call", subject=call, changes={"kind": call.kind, "kit_id": kit.pk})
    for person in _called(call).exclude(pk=by.pk).exclude(email=""):
        _send(call, _call_letter(call, person), person=person, kind=UnsentLetter.Kind.CALL, at=at)
    return call


def _send(call: Call, letter: EmailMultiAlternatives, *, person: Person, kind: str, at: datetime) -> None:
    send_on_commit(letter, person=person, kind=kind, at=at, about_ids=[call.pk], kit_codes=[call.kit.code])


def _call_letter(call: Call, person: Person) -> EmailMultiAlternatives:
    words = {"kit": spaced(call.kit.code)}
    return written_letter(
        person,
        subject=lambda: _("%(what)s: kit %(kit)s") % {"what": _subject(call), **words},
        template="call",
        context={"call": call, "url": page_address("batches:call_page", call.pk)},
    )


def write_call_anew(unsent: UnsentLetter, at: datetime) -> EmailMultiAlternatives | None:
    """The letter that somebody asks for something once more, unless she has been answered."""
    call = Call.objects.filter(pk__in=unsent.about_ids, answered_at__isnull=True).first()
    return _call_letter(call, unsent.person) if call else None


def _subject(call: Call) -> str:
    if call.kind == Call.Kind.HELP:
        return _("Somebody would like help")
    if call.kind == Call.Kind.POST:
        return _("To be posted")
    return _("Something is missing or spoilt")


def _called(call: Call) -> QuerySet[Person]:
    """Who is told: the coordinators, and those who help with sewing or who pack."""
    whom = Q(role_rows__role=Role.COORDINATOR)
    if call.kind == Call.Kind.HELP:
        whom |= Q(sewing_helper__isnull=False)
    else:
        whom |= Q(role_rows__role=Role.PACKER)
    return Person.objects.filter(whom, is_active=True).distinct().order_by("pk")


@action
def answer_call(
    *,
    call: Call,
    answer: str,
    lot: Lot | None = None,
    amount: int = 0,
    by: Person,
    at: datetime,
    request_key: str = "",
) -> Call:
    """Answer who called; what is sent as a replacement is booked off its lot."""
    if not answer.strip() and lot is None:
        raise NothingSaid(_("Please say in a few words what was done."), field="answer")
    mine = Call.objects.filter(pk=call.pk, answered_at__isnull=True)
    if not mine.update(answered_at=at, answered_by=by, answer=answer.strip(), lot=lot, amount=amount):
        raise AnsweredAlready(_("Somebody has answered this already."))
    if lot is not None:
        issue_free(
            lot=lot, amount=amount, reference=f"kit {call.kit.code}", reason="replacement", by=by, at=at
        )
    call.refresh_from_db()
    lot_change = {"lot_id": [None, lot.pk], "amount": [0, amount]} if lot is not None else {}
    record(
        by=by, at=at, did="answer_call", subject=call, changes={"is_answered": [False, True], **lot_change}
    )
    if call.person.email and call.person_id != by.pk:
        _send(call, _answer_letter(call), person=call.person, kind=UnsentLetter.Kind.ANSWER, at=at)
    return call


def _answer_letter(call: Call) -> EmailMultiAlternatives:
    return written_letter(
        call.person,
        subject=lambda: _("About your kit %(kit)s") % {"kit": spaced(call.kit.code)},
        template="call_answered",
        context={"call": call, "url": page_address("batches:kit_page", call.kit.code)},
    )


def write_answer_anew(unsent: UnsentLetter, at: datetime) -> EmailMultiAlternatives | None:
    """The answer once more."""
    call = Call.objects.filter(pk__in=unsent.about_ids, answered_at__isnull=False).first()
    return _answer_letter(call) if call else None


@action
def name_helpers(*, people: list[Person], by: Person, at: datetime, request_key: str = "") -> None:
    """Say who may be asked when somebody is stuck with a kit."""
    wanted = {person.pk for person in people}
    # One after the other, so that nobody is named twice.
    list(Group.objects.select_for_update().filter(pk=1))
    before = set(SewingHelper.objects.values_list("person_id", flat=True))
    SewingHelper.objects.exclude(person_id__in=wanted).delete()
    SewingHelper.objects.bulk_create(
        [SewingHelper(person_id=pk, named_at=at) for pk in sorted(wanted - before)]
    )
    for pk in sorted(wanted ^ before):
        is_helper = [pk in before, pk in wanted]
        person = Person.objects.get(pk=pk)
        record(by=by, at=at, did="name_helpers", subject=person, changes={"is_helper": is_helper})
