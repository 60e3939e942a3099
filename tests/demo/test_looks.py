"""The looks chosen for CI leave out no pair, and what is broken on purpose is seen."""

import pytest
from playwright.sync_api import Browser

from tests.access import axe_faults, contrast_faults, faults_but_contrast, overhang
from tests.browser import Chromium, needs_chromium
from tests.demo.looks import EVERY_SIGHT, Variant, enough_looks, pairs_seen, pairs_wanted

ROLES_OF_VARIANTS: list[list[tuple[str, ...]]] = [
    [("visitor",)],
    [("visitor", "driver"), ("packer",)],
    [("packer",), ("driver",), ("visitor",)],
    [("driver", "packer")],
    [("visitor", "packer", "driver")],
    [("driver",)],
]
SITE = [
    Variant(page=f"page {number}", path=f"/{number}/", roles=roles)
    for number, variants in enumerate(ROLES_OF_VARIANTS)
    for roles in variants
]
WHOLE = """<!doctype html><html lang="en"><title>A page</title><main><h1>Kits</h1><p>Words to read.</p>
<form><label for="name">Name</label><input id="name"><p><button style="padding: 1rem">Send</button></p></form></main>"""
BREAKS = {
    "color-contrast": "document.querySelector('p').style.color = '#bbb'",
    "label": "document.querySelector('label').removeAttribute('for')",
    "target-size": """const tight = 'font-size: 8px; padding: 0; border: 0; margin: 0; display: block';
        document.querySelector('button').style = tight;
        document.querySelector('button').after(document.querySelector('button').cloneNode(true))""",
    "sticks out sideways": "document.querySelector('p').style.width = '200vw'",
}
LINK = """document.querySelector('p').innerHTML =
    'Words to read, and <a href="#" style="color: #111; text-decoration: {}">one to follow</a>, and more.'"""


@pytest.mark.parametrize("count", range(1, len(SITE) + 1))
def test_enough_looks_show_every_pair(count: int) -> None:
    """Each page with each role, width, scheme and size of text, and each role with each of these, however small the site."""
    site = SITE[:count]
    assert pairs_wanted(site) - pairs_seen(enough_looks(site)) == set()


def test_no_sight_stands_opposite_itself() -> None:
    """Two opposite sights differ in width, in scheme and in size of text."""
    for one, other in zip(EVERY_SIGHT, reversed(EVERY_SIGHT), strict=True):
        assert one.size != other.size
        assert one.is_dark != other.is_dark
        assert one.text_share != other.text_share


@pytest.mark.parametrize("page", sorted({variant.page for variant in SITE}))
def test_a_page_left_out_is_missed(page: str) -> None:
    """Without the looks at one page, its pairs are told as missing."""
    looks = [look for look in enough_looks(SITE) if look.variant.page != page]
    missing = pairs_wanted(SITE) - pairs_seen(looks)
    assert {pair for pair in missing if pair[0] == page}


@pytest.mark.browser
@needs_chromium
def test_what_is_broken_on_purpose_is_found(chromium: Chromium) -> None:
    """Pale words, a field without a name, small targets close together, something too wide: each is told, and nothing else."""

    def look(browser: Browser) -> dict[str, list[str]]:
        page = browser.new_page(viewport={"width": 320, "height": 740})
        found = {}
        for fault, damage in {"": "", **BREAKS}.items():
            page.set_content(WHOLE)
            page.evaluate(f"() => {{ {damage} }}")
            found[fault] = axe_faults(page) + overhang(page)
        page.close()
        return found

    found = chromium.run(look)
    assert found.pop("") == []
    assert {
        fault: [told.split(" × ")[0].split(":")[0] for told in each] for fault, each in found.items()
    } == {fault: [fault] for fault in BREAKS}


@pytest.mark.browser
@needs_chromium
def test_contrast_is_asked_once_of_texts_that_look_alike(chromium: Chromium) -> None:
    """A pale text is told, its like after it is not asked about again; other markup, colour or ground is; all else is told without contrast."""

    def look(browser: Browser) -> list[list[str]]:
        page, known = browser.new_page(), set[str]()
        found = []
        for damage in (
            "",
            BREAKS["color-contrast"],
            BREAKS["color-contrast"],
            "document.querySelector('p').style.color = '#ccc'",
            "document.querySelector('main').style.background = '#111'",
            LINK.format("underline"),
            LINK.format("none"),
            LINK.format("none"),
            "document.querySelector('p').outerHTML = '<p class=other style=color:#bbb>Words to read.</p>'",
        ):
            page.set_content(WHOLE)
            page.evaluate(f"() => {{ {damage} }}")
            found.append([told.split(" × ")[0] for told in contrast_faults(page, known)])
        page.set_content(WHOLE)
        page.evaluate(f"() => {{ {BREAKS['color-contrast']}; {BREAKS['label']} }}")
        found.append([told.split(" × ")[0] for told in faults_but_contrast(page)])
        page.close()
        return found

    pale = ["color-contrast"]
    assert chromium.run(look) == [[], pale, [], pale, pale, [], ["link-in-text-block"], [], pale, ["label"]]
