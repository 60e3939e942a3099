"""The counts of waiting work in sentences, sorted into what needs somebody now and what can wait."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.home.kinds import FIRST_STEPS, OF_THE_GROUP, Kind
from gowngroup.home.queries import COUNTED, Waiting
from gowngroup.home.table_kinds import AT_THE_TABLES, STAGES
from gowngroup.people.models import Role
from gowngroup.records.written import written_date


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """Work that waits, as the first page shows it."""

    words: str
    verb: str
    url: str
    detail: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tasks:
    """What needs somebody now, what can wait, and what others have before them at their tables."""

    now: tuple[Task, ...]
    later: tuple[Task, ...]
    tables: tuple[Task, ...]


def kinds_for(roles: Collection[str]) -> list[str]:
    """What the database counts for somebody with these roles; a coordinator sees every table."""
    shown = set(Role.values if Role.COORDINATOR in roles else roles)
    kinds = (kind for kind in (*OF_THE_GROUP, *AT_THE_TABLES) if kind.roles & shown)
    return [kind.counted for kind in kinds if kind.counted in COUNTED]


def tasks_for(
    roles: Collection[str], waiting: Mapping[str, Waiting], stages: Mapping[str, tuple[int, date]]
) -> Tasks:
    """The work that waits for somebody with these roles, the most pressing first; gowns checked, the oldest first."""
    own = frozenset(roles)
    is_checking = Role.INSPECTOR in own
    checks = _checks(stages)
    group = [kind for kind in OF_THE_GROUP if kind.roles & own]
    hers = [kind for kind in AT_THE_TABLES if kind.roles & own]
    others = [kind for kind in AT_THE_TABLES if not kind.roles & own]
    return Tasks(
        now=(
            *_told([kind for kind in group if not kind.can_wait], waiting),
            *(checks if is_checking else ()),
            *_told([kind for kind in hers if not kind.can_wait], waiting),
        ),
        later=_told([kind for kind in (*hers, *group) if kind.can_wait], waiting),
        tables=(*(() if is_checking else checks), *_told(others, waiting)) if Role.COORDINATOR in own else (),
    )


def _told(kinds: Collection[Kind], waiting: Mapping[str, Waiting]) -> tuple[Task, ...]:
    found = [(kind, waiting[kind.counted]) for kind in kinds if kind.counted in waiting]
    return tuple(_task(kind, each) for kind, each in found if each.count)


def _task(kind: Kind, found: Waiting) -> Task:
    is_one = kind.one_page and found.first is not None and (found.count == 1 or kind.leads_to_first)
    url = reverse(kind.one_page, args=[found.first]) if is_one else reverse(kind.page) + kind.query
    return Task(words=str(kind.words % {"count": found.count}), verb=str(kind.verb), url=url)


def _checks(stages: Mapping[str, tuple[int, date]]) -> tuple[Task, ...]:
    """Gowns to check, mend and wash, the stage first at which the oldest of them lies."""
    found = sorted(stages.items(), key=lambda stage: (stage[1][1], list(STAGES).index(stage[0])))
    return tuple(_check(stage, count, oldest) for stage, (count, oldest) in found)


def _check(stage: str, count: int, oldest: date) -> Task:
    words, verb, page = STAGES[stage]
    day = written_date(oldest, "j F")
    detail = ngettext("It came in on %(day)s.", "The oldest came in on %(day)s.", count) % {"day": day}
    return Task(words=str(words % {"count": count}), verb=str(verb), url=reverse(page), detail=detail)


def first_steps(waiting: Mapping[str, Waiting]) -> list[Task]:
    """What a group still has to begin with; nothing once everything has been begun."""
    missing = [step for step in FIRST_STEPS if not waiting[step[0]].count]
    return [Task(words=str(words), verb=_("Begin"), url=reverse(page)) for _name, words, page in missing]
