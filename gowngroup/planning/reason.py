"""Why the planner decided as it did: a code and the numbers, for a room to put into words."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """A code such as `hours_ran_out` with named values; lengths in mm, temperatures in °C, shares 0 to 1."""

    code: str
    values: tuple[tuple[str, str | float | tuple[str, ...]], ...] = ()


def reason(code: str, **values: str | float | tuple[str, ...]) -> Reason:
    """A reason with its values in the order given."""
    return Reason(code=code, values=tuple(values.items()))
