"""Print every address of the site with who may open it, as the views themselves say."""

import json
from argparse import ArgumentParser
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from django.core.management import BaseCommand
from django.urls import URLPattern, URLResolver, get_resolver

from gowngroup.people.models import Role

EVERYBODY = ["visitor", *Role.values]


@dataclass(frozen=True, slots=True, kw_only=True)
class Address:
    """One address: its name, its pattern, the view behind it and the kinds of value in the pattern."""

    name: str
    path: str
    view: Callable[..., Any]
    values: dict[str, str]

    def roles(self) -> list[str] | None:
        """Who may open it; None where the view is not guarded by `people.guards.page`."""
        roles = getattr(self.view, "roles", None)
        if roles is None:
            return None
        if "visitor" in roles:
            return EVERYBODY
        return [role for role in Role.values if role in roles or role == Role.COORDINATOR]

    def methods(self) -> list[str] | None:
        """By which verbs it is opened; None where the view is not guarded."""
        methods = getattr(self.view, "methods", None)
        return None if methods is None else list(methods)


def addresses() -> list[Address]:
    """Every address of the site, from the resolver, in its own order."""
    return list(_addresses(get_resolver().url_patterns, (), "", {}))


def _addresses(
    patterns: Sequence[URLPattern | URLResolver], spaces: tuple[str, ...], path: str, values: dict[str, str]
) -> Iterator[Address]:
    for pattern in patterns:
        kinds = {
            name: type(converter).__name__.removesuffix("Converter").lower()
            for name, converter in pattern.pattern.converters.items()
        }
        here, taken = path + str(pattern.pattern), {**values, **kinds}
        if isinstance(pattern, URLResolver):
            inner = (*spaces, pattern.namespace) if pattern.namespace else spaces
            yield from _addresses(pattern.url_patterns, inner, here, taken)
        else:
            name = ":".join((*spaces, pattern.name or ""))
            yield Address(name=name, path=f"/{here}", view=pattern.callback, values=taken)


class Command(BaseCommand):
    help = "Print every address with the roles and verbs its view is guarded by."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--json", action="store_true", help="as JSON, for a check from outside")

    def handle(self, *, json: bool, **options: object) -> None:
        rows = [_row(address) for address in addresses()]
        self.stdout.write(_as_json(rows) if json else "\n".join(_as_line(row) for row in rows))


def _row(address: Address) -> dict[str, object]:
    known = {"roles": address.roles(), "methods": address.methods()}
    return {"name": address.name, "path": address.path, **known}


def _as_json(rows: list[dict[str, object]]) -> str:
    return json.dumps(rows, indent=1)


def _as_line(row: dict[str, Any]) -> str:
    roles, methods = (", ".join(row[part] or ["not guarded"]) for part in ("roles", "methods"))
    return f"{row['name']:40} {row['path']:60} {methods:12} {roles}"
