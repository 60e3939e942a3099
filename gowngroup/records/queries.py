"""Reads every room needs: the figures in force, a row's trail."""

from collections.abc import Mapping

from django.db import models

from gowngroup.planning.figures import FIGURES, default_values
from gowngroup.records.models import FigureChange, TrailLine


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
            "mark": "group" if figure.key in own else figure.mark,
            "source": own[figure.key].source if figure.key in own else figure.source,
        }
        for figure in FIGURES
    ]


def trail_of(subject: models.Model) -> models.QuerySet[TrailLine]:
    """The trail of one row, newest first."""
    return TrailLine.objects.filter(
        subject_type=subject._meta.label_lower, subject_id=subject.pk
    ).select_related("by")
