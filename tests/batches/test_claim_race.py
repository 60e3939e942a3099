"""Two people want the same kit at the same moment; one form is sent eight times at once."""

import threading
from collections import Counter
from collections.abc import Callable
from datetime import datetime
from functools import partial

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.batches import actions
from gowngroup.batches.models import Claim, Kit, MatchedSet, SewingHelper
from gowngroup.people.models import Group, Person
from gowngroup.records.models import RequestKey, TrailLine
from tests.factories import KitFactory, PersonFactory
from tests.race import at_once, overlapping

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.usefixtures("race_database"),
]

KIT_COUNT = 5
RIVALS = 8

Outcome = tuple[int, str]


def clients_of(*people: Person) -> list[Client]:
    clients = [Client(raise_request_exception=False) for _ in people]
    for client, person in zip(clients, people, strict=True):
        client.force_login(person)
    return clients


def post(client: Client, url: str, key: str = "") -> Outcome:
    response = client.post(url, {"request_key": key} if key else {})
    return response.status_code, response.content.decode()


def race_for(kit: Kit, clients: list[Client]) -> list[Outcome]:
    url = reverse("batches:kit_claim", args=[kit.code])
    return at_once([partial(post, client, url) for client in clients])


def sewing_people(group: Group, count: int, *, limit: int = KIT_COUNT) -> list[Client]:
    group.claim_limit_count = limit
    group.save()
    return clients_of(*PersonFactory.create_batch(count, roles=["volunteer"]))


@pytest.mark.parametrize("client_count", [2, 32])
def test_one_owner_each(group: Group, client_count: int) -> None:
    """However many people want a kit at once, exactly one gets it and the others get 409."""
    clients = sewing_people(group, client_count)
    for kit in KitFactory.create_batch(KIT_COUNT, state=Kit.State.WAITING):
        outcomes = race_for(kit, clients)
        assert Counter(status for status, _ in outcomes) == {302: 1, 409: client_count - 1}
        assert Claim.objects.filter(kit=kit, ended_at=None).count() == 1
        assert Claim.objects.get(kit=kit).person == Kit.objects.get(pk=kit.pk).holder


def test_a_set_has_one_owner(group: Group) -> None:
    """Eight people who want a matched set at once, by the code of either of its kits: one gets both."""
    clients = sewing_people(group, 8)
    matched = MatchedSet.objects.create()
    pair = KitFactory.create_batch(2, state=Kit.State.WAITING, matched_set=matched)
    urls = [reverse("batches:kit_claim", args=[kit.code]) for kit in pair * 4]
    outcomes = at_once([partial(post, client, url) for client, url in zip(clients, urls, strict=True)])
    assert Counter(status for status, _ in outcomes) == {302: 1, 409: 7}
    assert len(set(Kit.objects.values_list("holder", flat=True))) == 1
    assert Claim.objects.count() == 2


def test_losers_are_told_kindly(group: Group) -> None:
    """Who was second reads that somebody was first and how many kits still wait, never who it was."""
    clients = sewing_people(group, 4)
    kit, *_ = KitFactory.create_batch(6, state=Kit.State.WAITING)
    for status, text in race_for(kit, clients):
        if status == 409:
            assert "Somebody else has just taken this kit. There are 5 more waiting." in text
            assert Claim.objects.get(kit=kit).person.name not in text


all_have_read = threading.Barrier(RIVALS)


def naive_claim(*, kit: Kit, by: Person, at: datetime, **_rest: object) -> Claim:
    """Read, check, save: the mistake the conditional update avoids."""
    row = Kit.objects.get(pk=kit.pk)
    if row.state != Kit.State.WAITING:
        raise actions.AlreadyClaimed("taken")
    all_have_read.wait(timeout=60)
    row.state, row.holder = Kit.State.CLAIMED, by
    row.save()
    return Claim(kit=kit, person=by, due_on=at.date())


def test_naive_claim_has_two_winners(group: Group, monkeypatch: pytest.MonkeyPatch) -> None:
    """Read-check-save lets several people win, so this race does find a careless claim."""
    clients = sewing_people(group, RIVALS)
    monkeypatch.setattr(actions, "claim_kit", naive_claim)
    kit = KitFactory(state=Kit.State.WAITING)
    assert Counter(status for status, _ in race_for(kit, clients)) == {302: RIVALS}


@pytest.mark.parametrize("tab_count", [2, 8])
def test_two_tabs_do_not_pass_the_limit(group: Group, tab_count: int) -> None:
    """A person claiming different kits in several tabs at once gets no more than the limit."""
    person = PersonFactory(roles=["volunteer"])
    group.claim_limit_count = 1
    group.save()
    kits = KitFactory.create_batch(tab_count, state=Kit.State.WAITING)
    urls = [reverse("batches:kit_claim", args=[kit.code]) for kit in kits]
    tabs = clients_of(*[person] * tab_count)
    outcomes = at_once([partial(post, tab, url) for tab, url in zip(tabs, urls, strict=True)])
    assert Counter(status for status, _ in outcomes) == {302: 1, 409: tab_count - 1}
    assert Kit.objects.filter(holder=person).count() == 1
    assert Claim.objects.filter(person=person).count() == 1


def once(url: str, person: Person) -> list[Outcome]:
    return at_once([partial(post, tab, url, "one-form") for tab in clients_of(*[person] * 8)])


def test_one_form_claims_once(waiting_kit: Kit, volunteer: Person) -> None:
    """The same form sent eight times at once claims once, and each sending gets the first answer."""
    outcomes = once(reverse("batches:kit_claim", args=[waiting_kit.code]), volunteer)
    assert [status for status, _ in outcomes] == [302] * 8
    assert Claim.objects.count() == 1
    assert TrailLine.objects.filter(did="claim_kit").count() == 1
    assert RequestKey.objects.count() == 1


def test_one_form_gives_back_once(held_kit: Kit, volunteer: Person) -> None:
    """Giving back with one form eight times at once ends one claim."""
    outcomes = once(reverse("batches:kit_give_back", args=[held_kit.code]), volunteer)
    assert [status for status, _ in outcomes] == [302] * 8
    assert Claim.objects.get().end == Claim.End.GIVEN_BACK
    assert TrailLine.objects.filter(did="give_back").count() == 1


def test_returns_at_once_never_exceed_the_kit(held_kit: Kit, inspector: Person, at: datetime) -> None:
    """Eight people taking in the one gown of a kit at once take in one."""

    def take_in() -> str:
        try:
            actions.return_gowns(kit=held_kit, gown_count=1, by=inspector, at=at)
        except actions.KitMovedOn:
            return "refused"
        return "taken in"

    jobs: list[Callable[[], str]] = [take_in] * 8
    assert Counter(at_once(jobs)) == {"taken in": 1, "refused": 7}
    assert Kit.objects.get().returned_count == held_kit.returns.count() == 1


def test_nobody_is_named_twice_to_help(coordinator: Person, volunteer: Person, at: datetime) -> None:
    """Two coordinators who name the same helper at the same moment both find her named, once."""

    def name() -> object:
        actions.name_helpers(people=[volunteer], by=coordinator, at=at)
        return "named"

    assert overlapping(name, name) == ["named", "named"]
    assert SewingHelper.objects.count() == 1
    assert TrailLine.objects.filter(did="name_helpers").count() == 1
