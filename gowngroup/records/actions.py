"""Every action is one transaction, has one effect per sent form, and leaves one line in the trail."""

from collections.abc import Callable, Mapping
from datetime import datetime
from functools import wraps
from typing import Any, ParamSpec, TypeVar, cast

from django.apps import apps
from django.db import IntegrityError, models, transaction
from django.db.models import F
from django.utils.translation import gettext as _

from gowngroup.planning.figures import FIGURES
from gowngroup.records.codes import code_of
from gowngroup.records.errors import Refusal
from gowngroup.records.figure_words import figure_words
from gowngroup.records.models import Counter, FigureChange, RequestKey, TrailLine
from gowngroup.records.written import known

P = ParamSpec("P")
R = TypeVar("R")


class UnknownFigure(Refusal):
    """No figure has this key."""


class ImplausibleFigure(Refusal):
    """The value lies outside what the figure can plausibly be."""


class NoSource(Refusal):
    """A figure of the group's own needs a word on where it comes from."""


def action(function: Callable[P, R]) -> Callable[P, R]:
    """Run an action in one transaction and, when `request_key` is given, once only per person.

    The decorated function takes keywords only, among them `by` and `at`; with `request_key` it returns one
    model row or None, so that a second sending of the same form gets the first answer.
    """

    @wraps(function)
    def run(*args: P.args, **kwargs: P.kwargs) -> R:
        with transaction.atomic():
            key = kwargs.get("request_key")
            if not key:
                return function(*args, **kwargs)
            return _run_once(function, str(key), *args, **kwargs)

    return run


def _run_once(function: Callable[P, R], key: str, /, *args: P.args, **kwargs: P.kwargs) -> R:
    row = RequestKey(
        person=cast(Any, kwargs["by"]), action=function.__name__, key=key, at=cast(Any, kwargs["at"])
    )
    try:
        with transaction.atomic():
            row.save(force_insert=True)
    except IntegrityError:
        first = RequestKey.objects.get(person=row.person, action=row.action, key=key)
        return cast(R, _row_of(first.answer))
    result = function(*args, **kwargs)
    row.answer = _name_of(result)
    row.save(update_fields=["answer"])
    return result


def _name_of(result: object) -> dict[str, object] | None:
    if isinstance(result, models.Model):
        return {"model": result._meta.label_lower, "pk": result.pk}
    return None


def _row_of(answer: Mapping[str, Any] | None) -> models.Model | None:
    if answer is None:
        return None
    found: models.Model | None = (
        apps.get_model(answer["model"])._default_manager.filter(pk=answer["pk"]).first()
    )
    return found


def record(
    *, by: Any, at: datetime, did: str, subject: models.Model, changes: Mapping[str, object] | None = None
) -> TrailLine:
    """Write one line of the trail; personal fields are named in `changes` without their values."""
    return TrailLine.objects.create(
        by=by,
        at=at,
        did=did,
        subject_type=subject._meta.label_lower,
        subject_id=subject.pk,
        changes=dict(changes or {}),
    )


def next_number(name: str) -> int:
    """Take the next number of a counter, holding its row until the transaction ends."""
    with transaction.atomic():
        Counter.objects.get_or_create(name=name)
        Counter.objects.filter(name=name).update(value=F("value") + 1)
        return Counter.objects.get(name=name).value


def new_code(prefix: str) -> str:
    """A short code never given before, such as `K7DPY6`; numbers whose code could be misread are skipped."""
    while True:
        code = code_of(prefix, next_number(f"code-{prefix}"))
        if code is not None:
            return code


@action
def set_figure(
    *, key: str, value: float, source: str, by: Any, at: datetime, request_key: str = ""
) -> FigureChange:
    """Set one of the planner's figures for this group, keeping what it was before."""
    figure = next((one for one in FIGURES if one.key == key), None)
    if figure is None:
        raise UnknownFigure(_("There is no figure called “%(key)s”.") % {"key": key})
    if not figure.low <= value <= figure.high:
        raise ImplausibleFigure(
            _("%(label)s lies between %(low)s and %(high)s; please check what you typed.")
            % {
                "label": known(figure.label),
                "low": figure_words(figure.low, figure.unit),
                "high": figure_words(figure.high, figure.unit),
            },
            field="value",
        )
    if not source.strip():
        raise NoSource(
            _("Please say where the figure comes from, such as “our own kits of last year”."), field="source"
        )
    revision = next_number(f"figure-{figure.key}"[:40])
    before = FigureChange.objects.filter(key=key).order_by("-revision").first()
    change = FigureChange.objects.create(
        key=key, revision=revision, value=value, source=source.strip(), by=by, at=at
    )
    record(
        by=by,
        at=at,
        did="set_figure",
        subject=change,
        changes={"key": key, "value": [before.value if before else figure.value, value]},
    )
    return change
