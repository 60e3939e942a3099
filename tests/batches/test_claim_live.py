"""The race for kits over a real server: thirty-two people, fifty kits, by `-m matrix` on either database."""

from collections import Counter
from functools import partial
from pathlib import Path
from statistics import quantiles

import pytest
from django.db import connection
from django.urls import reverse

from gowngroup.batches.models import Claim, Kit
from gowngroup.people.models import Group, Person
from tests.factories import KitFactory, PersonFactory
from tests.race import at_once
from tests.serving import Answer, Server, Visitor, killed_at_last

pytestmark = [
    pytest.mark.matrix,
    pytest.mark.slow,
    pytest.mark.django_db(transaction=True),
    pytest.mark.usefixtures("race_database"),
]

CLIENTS, KITS = 32, 50
LONGEST_S = 10


def p95(answers: list[Answer]) -> float:
    """The seconds within which nineteen of twenty answers were there."""
    return quantiles([each.seconds for each in answers], n=20)[-1]


def all_at_once(visitors: list[Visitor], verb: str, address: str) -> list[Answer]:
    return at_once([partial(getattr(visitor, verb), address) for visitor in visitors])


@pytest.fixture
def people(group: Group) -> list[Person]:
    """Volunteers who may have every kit there is."""
    Group.objects.update(claim_limit_count=KITS)
    found: list[Person] = PersonFactory.create_batch(CLIENTS, roles=["volunteer"])
    return found


def test_fifty_kits_have_one_owner_each(people: list[Person], tmp_path: Path) -> None:
    """Each kit has one owner, the others get 409 and a plain sentence, nobody an error; a claim takes at most three times a page."""
    kits: list[Kit] = KitFactory.create_batch(KITS, state=Kit.State.WAITING)
    with killed_at_last(Server(tmp_path)) as server:
        server.start()
        visitors = [Visitor(server.port, person) for person in people]
        looks = [
            answer
            for kit in kits
            for answer in all_at_once(visitors, "get", reverse("batches:kit_page", args=[kit.code]))
        ]
        claims = [
            all_at_once(visitors, "post", reverse("batches:kit_claim", args=[kit.code])) for kit in kits
        ]
        for visitor in visitors:
            visitor.line.close()
    told = [answer for answers in claims for answer in answers]
    figures = f"p95 of claims {p95(told):.2f} s, of page views {p95(looks):.2f} s, longest {max(each.seconds for each in told):.2f} s"
    print(f"{connection.vendor}: {figures}")  # noqa: T201 - figures to report
    assert {answer.status for answer in looks} == {200}
    for kit, answers in zip(kits, claims, strict=True):
        assert Counter(answer.status for answer in answers) == {302: 1, 409: CLIENTS - 1}
        assert Claim.objects.get(kit=kit, ended_at=None).person == Kit.objects.get(pk=kit.pk).holder
    losers = [answer for answer in told if answer.status == 409]
    assert all("Somebody else has just taken this kit." in answer.text for answer in losers)
    assert p95(told) <= 3 * p95(looks), figures
    assert max(answer.seconds for answer in told) < LONGEST_S, (
        f"on a machine with nothing else to do: {figures}"
    )
