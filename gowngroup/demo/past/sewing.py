"""Kits claimed and brought back, and the gowns checked."""

from collections.abc import Iterator, Sequence
from datetime import timedelta

from gowngroup.batches.models import Claim, Kit, KitReturn
from gowngroup.demo.past.books import written
from gowngroup.demo.past.month import Month
from gowngroup.gowns.models import Gown, GownCheck

NOT_PASSED = 31  # one gown of so many is set aside
TELLS_HER_TIME = 0.7
Round, Outcome = GownCheck.Round, GownCheck.Outcome


def brought_back(month: Month, kits: Sequence[Kit]) -> list[KitReturn]:
    """Each kit claimed in the first days of the month and, unless it got lost, brought back within five weeks."""
    chance = month.store.chance
    claims = written([_claim(month, kit, chance.randrange(6), chance.randrange(14, 40)) for kit in kits])
    for claim in claims:
        month.books.tell("claim_kit", claim.kit, claim.person, claim.claimed_at)
    returns = written([_return(month, claim) for claim in claims if claim.end == Claim.End.RETURNED])
    for back in returns:
        month.books.tell("return_gowns", back.kit, month.pattern.inspector, back.returned_at)
    return returns


def _claim(month: Month, kit: Kit, on_day: int, for_days: int) -> Claim:
    person = month.store.chance.choice(month.store.people)
    is_lost = kit.state == Kit.State.LOST
    return Claim(
        kit=kit,
        person=person,
        claimed_by=person,
        claimed_at=month.at(on_day, 11),
        due_on=month.at(30).date(),
        ended_at=month.at(40 if is_lost else on_day + for_days),
        end=Claim.End.LOST if is_lost else Claim.End.RETURNED,
    )


def _return(month: Month, claim: Claim) -> KitReturn:
    chance = month.store.chance
    minutes = chance.randint(claim.kit.minutes_low, max(claim.kit.minutes_low, claim.kit.minutes_high))
    return KitReturn(
        kit=claim.kit,
        person=claim.person,
        gown_count=claim.kit.gown_count,
        duration_min=minutes if chance.random() < TELLS_HER_TIME else None,
        are_needles_counted=True,
        returned_at=claim.ended_at or claim.claimed_at,
    )


def checked(month: Month, returns: Sequence[KitReturn]) -> list[Gown]:
    """The gowns that came back; those that passed, which all but a few did, to be driven to a ward."""
    backs = [back for back in returns for _number in range(back.gown_count)]
    gowns = written([_gown(month, place, back) for place, back in enumerate(backs)])
    checks = written([check for gown in gowns for check in _checks(month, gown)])
    for check in checks:
        month.books.tell("check_gown", check.gown, check.by, check.at)
    return [gown for gown in gowns if gown.state == Gown.State.LEFT]


def _gown(month: Month, place: int, back: KitReturn) -> Gown:
    has_passed = place % NOT_PASSED != NOT_PASSED - 1
    return Gown(
        code=month.store.gown_codes.draw(),
        kit=back.kit,
        kit_return=back,
        design_revision_id=back.kit.design_revision_id,
        size_id=back.kit.size_id,
        purpose=back.kit.purpose,
        outer_lot_id=back.kit.outer_lot_id,
        state=Gown.State.LEFT if has_passed else Gown.State.SET_ASIDE,
        received_at=back.returned_at,
        passed_at=back.returned_at + timedelta(days=4) if has_passed else None,
    )


def _checks(month: Month, gown: Gown) -> Iterator[GownCheck]:
    """Both checks of a gown that passed; the first alone of one that did not."""
    by, at = month.pattern.inspector, gown.received_at
    if gown.passed_at is None:
        yield GownCheck(
            gown=gown, round=Round.FIRST, outcome=Outcome.SET_ASIDE, reason="a stain that did not wash out",
            is_free_of_metal=True, at=at, by=by,
        )  # fmt: skip
        return
    for round_, moment in ((Round.FIRST, at), (Round.SECOND, gown.passed_at)):
        yield GownCheck(
            gown=gown, round=round_, outcome=Outcome.PASS, is_free_of_metal=True, at=moment, by=by
        )
