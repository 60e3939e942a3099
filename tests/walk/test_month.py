"""A month, end to end, in a real browser: from the ward's request to the signed receipt."""

import pytest
from django.core import mail
from playwright.sync_api import Browser
from pytest_django.live_server_helper import LiveServer

from tests.browser import Chromium, needs_chromium
from tests.walk import delivery_steps, gown_steps, packing_steps, planning_steps, sewing_steps
from tests.walk.beginning import ADA, BEA, COORDINATOR, DRIVER, INSPECTOR, PACKER
from tests.walk.screen import HUSHED, Screen, Watch

pytestmark = [
    pytest.mark.browser,
    needs_chromium,
    pytest.mark.slow,
    pytest.mark.django_db(transaction=True),
]


def test_a_month_from_request_to_receipt(chromium: Chromium, server: LiveServer, month: None) -> None:
    """Each of the cast does her part at her own screen, and no page on the way has a fault."""
    watch = Watch()
    chromium.run(lambda browser: walk(browser, server.url, watch))
    assert not watch.faults, "\n".join(watch.faults)
    assert not [letter.subject for letter in mail.outbox if HUSHED in letter.subject.lower()]


def walk(browser: Browser, url: str, watch: Watch) -> None:
    """The month in its order."""
    coordinator, packer, ada, bea, inspector, driver = (
        Screen(browser, url, name, watch) for name in (COORDINATOR, PACKER, ADA, BEA, INSPECTOR, DRIVER)
    )
    plan_month(coordinator)
    pack_kits(packer)
    kit = sew(ada, bea)
    gowns = check_gowns(inspector, kit)
    deliver(packer, driver, gowns)
    delivery_steps.look_back(coordinator)


def plan_month(coordinator: Screen) -> None:
    planning_steps.enter_request(coordinator)
    planning_steps.propose(coordinator)
    planning_steps.edit(coordinator)
    planning_steps.plan(coordinator)


def pack_kits(packer: Screen) -> None:
    packing_steps.cut(packer)
    packing_steps.pack(packer)
    packing_steps.look_at_stock(packer)


def sew(ada: Screen, bea: Screen) -> str:
    first, late, kit = sewing_steps.claim_at_once(ada, bea)
    sewing_steps.read_refusal(late)
    sewing_steps.give_back_and_claim_again(first, kit)
    sewing_steps.open_sheet(first, kit)
    sewing_steps.look_without_having_agreed(bea)
    return kit


def check_gowns(inspector: Screen, kit: str) -> list[str]:
    one = gown_steps.take_back(inspector, kit, remarks="The floss ran short.")
    gown_steps.check(inspector, one, outcome="Mend", reason="a seam is open at the left sleeve")
    gown_steps.mend(inspector, one, "a seam is open at the left sleeve")
    other = gown_steps.take_back(inspector, kit, remarks="")
    for gown in (one, other):
        gown_steps.check(inspector, gown, outcome="Pass")
    gown_steps.wash(inspector, [one, other])
    for gown in (one, other):
        gown_steps.check(inspector, gown, outcome="Pass", place="Box 3")
    gown_steps.see_shelf(inspector, one)
    gown_steps.print_labels(inspector, [one, other])
    return [one, other]


def deliver(packer: Screen, driver: Screen, gowns: list[str]) -> None:
    delivery_steps.pack(packer, gowns)
    delivery_steps.send(packer, gowns)
    delivery_steps.sign(driver)
