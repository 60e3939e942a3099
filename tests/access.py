"""What is wrong with a page as it stands in a browser: for axe-core (WCAG 2.2 AA), for a thumb, on a narrow screen."""

from typing import Any

from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Page

# axe-core leaves the one rule that WCAG 2.2 brought (2.5.8, targets of 24 pixels) to those who ask for it.
# `preload` would fetch style sheets and films again, for two rules that are off or find no film here.
AXE: dict[str, Any] = {
    "resultTypes": ["violations"],
    "preload": False,
    "rules": {"target-size": {"enabled": True}},
}
RUN_AXE = """options => axe.run(options).then(({violations}) => violations.map(({id, nodes}) =>
  `${id} × ${nodes.length}: ` + nodes.slice(0, 3).map(({html, any, all, none}) =>
    `${html.slice(0, 120)} [${[...any, ...all, ...none][0]?.message ?? ""}]`).join("; ")))"""
# What is asked of colours alone: nine tenths of axe-core's work.
CONTRAST = {"color-contrast": "*", "link-in-text-block": "a[href]"}
# Texts whose markup, and whose colours from the page down to them, have not been met before. No page may style a single
# element (the policy forbids it), so texts that agree in all this agree in contrast, unless something lies over one of them.
MARK_NEW = """([known, rules]) => { const met = new Set(known), fresh = new Set(), chains = new Map([[null, ""]]);
  const chain = part => { if (!chains.has(part)) { const style = getComputedStyle(part);
    chains.set(part, chain(part.parentElement) + ">" + [part.tagName, part.getAttribute("class"), style.color, style.opacity,
      style.backgroundColor, style.backgroundImage, style.fontSize, style.fontWeight,
      style.textDecorationLine, style.borderBottomStyle, part.disabled].join("|")) }
    return chains.get(part) };
  const short = text => { let one = 7, other = 31;
    for (let at = 0; at < text.length; at++) { const code = text.charCodeAt(at);
      one = Math.imul(one ^ code, 2654435761); other = Math.imul(other ^ code, 1597334677) }
    return (one >>> 0).toString(36) + (other >>> 0).toString(36) };
  for (const part of document.body.querySelectorAll("*")) {
    const says = part.matches("input, select, textarea") || [...part.childNodes].some(node => node.nodeType === 3 && node.data.trim());
    if (!says || !part.checkVisibility()) continue;
    const key = short(chain(part) + (part.parentElement.textContent !== part.textContent));
    if (!met.has(key)) { met.add(key); fresh.add(key); part.setAttribute("data-new-look", "") } }
  axe.configure({rules: rules.map(([id, selector]) => ({id, selector: selector.replace("*", "") + "[data-new-look]"}))});
  return [...fresh] }"""
UNMARK = """rules => { axe.configure({rules: rules.map(([id, selector]) => ({id, selector}))});
  document.querySelectorAll("[data-new-look]").forEach(part => part.removeAttribute("data-new-look")) }"""
HAS_AXE = "() => 'axe' in window"
OVERHANG = """() => document.documentElement.scrollWidth <= innerWidth ? [] : ["sticks out sideways: " +
  [...document.querySelectorAll("body *")].filter(part => part.getBoundingClientRect().right > innerWidth + 0.5)
    .map(part => part.outerHTML.slice(0, 120)).slice(-3).join("; ")]"""


def axe_faults(page: Page) -> list[str]:
    """What axe-core finds, a line for each rule broken; its script is put into the page but once."""
    return _run_axe(page, AXE)


def faults_but_contrast(page: Page) -> list[str]:
    """What axe-core finds besides contrast, which takes most of its time."""
    return _run_axe(
        page, {**AXE, "rules": {**AXE["rules"], **{name: {"enabled": False} for name in CONTRAST}}}
    )


def contrast_faults(page: Page, known: set[str]) -> list[str]:
    """What axe-core says of the contrast of texts of a look not yet known, which is known from then on."""
    _with_axe(page)
    fresh: list[str] = page.evaluate(MARK_NEW, [[*known], [*CONTRAST.items()]])
    known.update(fresh)
    found = _run_axe(page, {**AXE, "runOnly": [*CONTRAST]}) if fresh else []
    page.evaluate(UNMARK, [*CONTRAST.items()])
    return found


def _with_axe(page: Page) -> None:
    if not page.evaluate(HAS_AXE):
        page.evaluate(AXE_SCRIPT)


def _run_axe(page: Page, options: dict[str, Any]) -> list[str]:
    _with_axe(page)
    found: list[str] = page.evaluate(RUN_AXE, options)
    return found


def overhang(page: Page) -> list[str]:
    """What sticks out sideways, so that one would have to scroll to and fro to read (WCAG 2.2, 1.4.10)."""
    found: list[str] = page.evaluate(OVERHANG)
    return found
