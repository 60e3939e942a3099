"""Reads every room needs: the figures in force, a row's trail."""

from collections.abc import Mapping

from django.db import models
from django.http import Http404

from gowngroup.planning.figures import FIGURES, Figure, default_values
from gowngroup.planning.figures.uses import uses_of
from gowngroup.records.models import FigureChange, TrailLine
from gowngroup.records.written import known


def figures_in_force() -> dict[str, float]:
    """The value of every planner figure, the group's own where it has set one."""
    own = {change.key: change.value for change in FigureChange.objects.order_by("revision")}
    return {**default_values(), **own}


def figures_with_source() -> list[Mapping[str, object]]:
    """Every planner figure with value, unit, mark and source, as shown in the app and kept with a plan."""
    own = {change.key: change for change in FigureChange.objects.order_by("revision")}
    return [
        {
            "key": figure.key,
            "label": figure.label,
            "value": own[figure.key].value if figure.key in own else figure.value,
            "default": figure.value,
            "unit": figure.unit,
            "low": figure.low,
            "high": figure.high,
            "mark": "group" if figure.key in own else figure.mark,
            "source": own[figure.key].source if figure.key in own else figure.source,
        }
        for figure in FIGURES
    ]


def figure_named(key: str) -> Figure:
    """The planner figure of this key; 404 where there is none."""
    for figure in FIGURES:
        if figure.key == key:
            return figure
    raise Http404


def figure_in_force(key: str) -> Mapping[str, object]:
    """One planner figure as it counts now, with its mark and source."""
    return next(row for row in figures_with_source() if row["key"] == key)


def figures_found(*, words: str = "", is_own: bool = False, use: str = "") -> list[Mapping[str, object]]:
    """Planner figures by words in name or source and by what they are used for, all or only the group's own."""
    wanted = words.lower().split()
    return [
        row
        for row in figures_with_source()
        if all(word in f"{known(str(row['label']))} {known(str(row['source']))}".lower() for word in wanted)
        and (row["mark"] == "group" or not is_own)
        and (not use or use in uses_of(str(row["key"])))
    ]


def figure_history(key: str) -> models.QuerySet[FigureChange]:
    """What the group has set a figure to, newest first."""
    return FigureChange.objects.filter(key=key).order_by("-revision").select_related("by")


def trail_of(subject: models.Model) -> models.QuerySet[TrailLine]:
    """The trail of one row, newest first."""
    return TrailLine.objects.filter(
        subject_type=subject._meta.label_lower, subject_id=subject.pk
    ).select_related("by")
