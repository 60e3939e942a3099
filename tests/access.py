"""What is wrong with a page as it stands in a browser: for axe-core (WCAG 2.2 AA), for a thumb, on a narrow screen."""

from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Page

# axe-core leaves the one rule that WCAG 2.2 brought (2.5.8, targets of 24 pixels) to those who ask for it.
# `preload` would fetch style sheets and films again, for two rules that are off or find no film here.
AXE = {"resultTypes": ["violations"], "preload": False, "rules": {"target-size": {"enabled": True}}}
RUN_AXE = """options => axe.run(options).then(({violations}) => violations.map(({id, nodes}) =>
  `${id} × ${nodes.length}: ` + nodes.slice(0, 3).map(({html, any, all, none}) =>
    `${html.slice(0, 120)} [${[...any, ...all, ...none][0]?.message ?? ""}]`).join("; ")))"""
HAS_AXE = "() => 'axe' in window"
OVERHANG = """() => document.documentElement.scrollWidth <= innerWidth ? [] : ["sticks out sideways: " +
  [...document.querySelectorAll("body *")].filter(part => part.getBoundingClientRect().right > innerWidth + 0.5)
    .map(part => part.outerHTML.slice(0, 120)).slice(-3).join("; ")]"""


def axe_faults(page: Page) -> list[str]:
    """What axe-core finds, a line for each rule broken; its script is put into the page but once."""
    if not page.evaluate(HAS_AXE):
        page.evaluate(AXE_SCRIPT)
    found: list[str] = page.evaluate(RUN_AXE, AXE)
    return found


def overhang(page: Page) -> list[str]:
    """What sticks out sideways, so that one would have to scroll to and fro to read (WCAG 2.2, 1.4.10)."""
    found: list[str] = page.evaluate(OVERHANG)
    return found
