"""Checks that rooms the audit cannot look into bring along themselves."""

from collections.abc import Callable, Iterable

Check = Callable[[], Iterable[str]]
_checks: dict[str, Check] = {}


def bring_along(room: str, check: Check) -> None:
    """Let the audit ask a room's own check; for rooms that are neighbours of the one that audits."""
    _checks[room] = check


def brought_along() -> list[tuple[str, Check]]:
    """The rooms that brought a check along, each with it."""
    return sorted(_checks.items())
