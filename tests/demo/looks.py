"""Which looks at the site's pages are enough: pages, roles and ways of looking, each pair of them at least once."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations, product

from tests.browser import DESK, Size

NARROW: Size = (320, 740)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sight:
    """One way of looking at a page."""

    size: Size
    is_dark: bool
    text_share: int

    def __str__(self) -> str:
        return f"{self.size[0]} px, {'dark' if self.is_dark else 'light'}, text × {self.text_share}"


# Opposites stand as far from the ends of this list, so that two of them show every width, scheme and size of text.
EVERY_SIGHT = [
    Sight(size=size, is_dark=is_dark, text_share=text_share)
    for size, text_share, is_dark in product((NARROW, DESK), (1, 2), (False, True))
]
TIGHTEST = Sight(size=NARROW, is_dark=False, text_share=2)  # where long words have least room
LANGUAGES = ("en", "es")


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """A page as one or several roles get it: the same for all of them but for the menu's entries."""

    page: str
    path: str
    roles: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """One look at one variant, by somebody of one of its roles."""

    variant: Variant
    role: str
    language: str
    sight: Sight


def enough_looks(variants: Iterable[Variant]) -> list[Look]:
    """A look at each variant, two opposite ones at each page, and then whatever shows most of the pairs still missing."""
    variants = list(variants)
    looks = _two_for_each_page(variants)
    possible = [
        Look(variant=variant, role=role, language=language, sight=sight)
        for variant in variants
        for role in variant.roles
        for language in LANGUAGES
        for sight in EVERY_SIGHT
    ]
    while missing := pairs_wanted(variants) - pairs_seen(looks):
        looks.append(max(possible, key=lambda look: len(missing & pairs_seen([look]))))
    return looks


def _two_for_each_page(variants: list[Variant]) -> list[Look]:
    pages: dict[str, list[Variant]] = {}
    for variant in variants:
        pages.setdefault(variant.page, []).append(variant)
    looks: list[Look] = []
    for place, found in enumerate(pages.values()):
        sights = [EVERY_SIGHT[place % 4], EVERY_SIGHT[7 - place % 4]]
        for turn in range(max(2, len(found))):
            variant = found[turn % len(found)]
            role = variant.roles[place % len(variant.roles)]
            language = LANGUAGES[(place + turn % len(found)) % 2]
            looks.append(Look(variant=variant, role=role, language=language, sight=sights[turn % 2]))
    return looks


def pairs_wanted(variants: Iterable[Variant]) -> set[tuple[object, object]]:
    """Every page with each role that may open it and each way of looking, every role with each way, and the ways with one another.

    A page that comes in one form only is opened once, in one language; the next such page is in the other.
    """
    variants = list(variants)
    opens = {(variant.page, role) for variant in variants for role in variant.roles}
    forms = Counter(variant.page for variant in variants)
    languages = {("language", language) for language in LANGUAGES}
    ways = {way for sight in EVERY_SIGHT for way in _ways_of(sight)}
    both = {pair for sight in EVERY_SIGHT for pair in combinations(_ways_of(sight), 2)}
    roles = {role for _page, role in opens}
    in_both_languages = [page for page, count in forms.items() if count > 1]
    return {
        *opens,
        *both,
        *product({*forms, *roles}, ways),
        *product([*in_both_languages, *roles, *ways], languages),
    }


def pairs_seen(looks: Iterable[Look]) -> set[tuple[object, object]]:
    """The pairs that come up in looks."""
    seen: set[tuple[object, object]] = set()
    for look in looks:
        ways, language = _ways_of(look.sight), ("language", look.language)
        seen |= {(look.variant.page, role) for role in look.variant.roles}
        seen |= {*product((look.variant.page, look.role), [*ways, language]), *combinations(ways, 2)}
        seen |= {(way, language) for way in ways}
    return seen


def _ways_of(sight: Sight) -> tuple[tuple[str, object], ...]:
    return ("size", sight.size), ("is_dark", sight.is_dark), ("text_share", sight.text_share)
