"""Checking, mending and washing gowns, in the order of work."""

from collections.abc import Mapping, Sequence
from datetime import datetime

from django.utils.translation import gettext as _

from gowngroup.gowns.actions.errors import (
    NoGowns,
    NotDryAndSteamed,
    NotInOrder,
    ReasonMissing,
)
from gowngroup.gowns.actions.moves import move_gown, moved_on
from gowngroup.gowns.checklist import questions, round_of
from gowngroup.gowns.models import Gown, GownCheck
from gowngroup.gowns.queries import last_round
from gowngroup.people.models import Person
from gowngroup.records.actions import action, record

State, Round, Outcome = Gown.State, GownCheck.Round, GownCheck.Outcome

ELSEWHERE = {
    Outcome.MEND: State.MENDING,
    Outcome.SET_ASIDE: State.SET_ASIDE,
    Outcome.PRACTICE: State.PRACTICE,
}
AFTER_PASS = {Round.FIRST: State.TO_WASH, Round.SECOND: State.PASSED}


@action
def check_gown(  # noqa: PLR0913 - a check notes this many facts
    *,
    gown: Gown,
    round: str,  # noqa: A002 - the trade's word
    outcome: str,
    is_free_of_metal: bool,
    answers: Mapping[str, bool],
    reason: str = "",
    place: str | None = None,
    seen_state: str = "",
    by: Person,
    at: datetime,
    request_key: str = "",
) -> GownCheck:
    """Note a check and where the gown goes from it; a wrong outcome is put right by another check.

    `seen_state` is the state in which the inspector saw the gown, as given in `gown` unless said.
    """
    seen = seen_state or gown.state
    gown.refresh_from_db()
    if round != round_of(gown, lambda: last_round(gown)):
        raise moved_on(gown)
    if outcome == Outcome.PASS:
        _require_order(gown, round, is_free_of_metal=is_free_of_metal, answers=answers)
    elif not reason.strip():
        raise ReasonMissing(_("Please say in a few words why."), field="reason")
    to = AFTER_PASS[Round(round)] if outcome == Outcome.PASS else ELSEWHERE[Outcome(outcome)]
    also: dict[str, object] = {"passed_at": at if to == State.PASSED else None}
    if place is not None:
        also["place"] = place
    move_gown(gown, from_states=[seen], to=to, did="check_gown", by=by, at=at, also=also)
    return GownCheck.objects.create(
        gown=gown,
        round=round,
        outcome=outcome,
        reason=reason.strip() if outcome != Outcome.PASS else "",
        is_free_of_metal=is_free_of_metal,
        answers=dict(answers),
        at=at,
        by=by,
    )


def _require_order(gown: Gown, round_: str, *, is_free_of_metal: bool, answers: Mapping[str, bool]) -> None:
    if not is_free_of_metal:
        raise NotInOrder(
            _(
                "A gown passes only when magnet or needle detector went over it and found nothing; look for the needle, or set the gown aside."
            ),
            field="is_free_of_metal",
        )
    for question in questions(gown, round_):
        if not answers.get(question.key):
            raise NotInOrder(
                _("It cannot pass while this is not in order; mend it or set it aside: %(what)s")
                % {"what": question.words},
                field=question.key,
            )


@action
def finish_mending(*, gown: Gown, by: Person, at: datetime, request_key: str = "") -> Gown:
    """Put a mended gown back to its first check, since mending can leave marks, threads and needles."""
    move_gown(gown, from_states=[State.MENDING], to=State.BACK, did="finish_mending", by=by, at=at)
    return gown


@action
def wash_gowns(
    *,
    gowns: Sequence[Gown],
    is_dry: bool,
    is_steamed: bool,
    by: Person,
    at: datetime,
    request_key: str = "",
) -> None:
    """Note that gowns were washed together, are bone dry and steamed; all of them or none."""
    if not gowns:
        raise NoGowns(_("Please tick the gowns that were washed."), field="gowns")
    for is_done, field in ((is_dry, "is_dry"), (is_steamed, "is_steamed")):
        if not is_done:
            raise NotDryAndSteamed(
                _(
                    "Gowns go to their second check bone dry, steamed from the wrong side, never pressed flat."
                ),
                field=field,
            )
    for gown in sorted(gowns, key=lambda each: each.pk):
        move_gown(
            gown,
            from_states=[State.TO_WASH],
            to=State.WASHED,
            did="wash_gown",
            by=by,
            at=at,
            noted={"is_dry": [None, True], "is_steamed": [None, True]},
        )


@action
def place_gown(*, gown: Gown, place: str, by: Person, at: datetime, request_key: str = "") -> Gown:
    """Say in which box or on which shelf a gown lies."""
    before = gown.place
    Gown.objects.filter(pk=gown.pk).update(place=place)
    gown.refresh_from_db()
    record(by=by, at=at, did="place_gown", subject=gown, changes={"place": [before, place]})
    return gown
