"""Words of our own that stand in data or in `planning`, where nothing can be marked for translation."""

from collections.abc import Iterator

from django.db import models
from django.utils import translation

from gowngroup.catalog import starting
from gowngroup.catalog.actions.starting import SIZE_SOURCES
from gowngroup.people.export import hanging_name, hanging_on, shown_fields, told_models
from gowngroup.planning.figures import FIGURES


def known_words() -> Iterator[tuple[str, str]]:
    """Where each of them comes from, and the words, as `records.written.known` finds them."""
    for figure in FIGURES:
        yield from (
            ("planning/figures", words) for words in (figure.label, figure.source, figure.unit, figure.mark)
        )
    for steps in (starting.ROUND_NECK_STEPS, starting.YOKE_STEPS, starting.WRAP_STEPS, SIZE_SOURCES):
        yield from (("catalog/starting", words) for words in steps)
    fine_trims = (starting.ENTREDEUX_PLACE, starting.ENTREDEUX_STEP, starting.BEADING_STEP)
    yield from (("catalog/starting", words) for words in (*fine_trims, starting.SQUARES_STEP))
    with translation.override("en"):
        for model in told_models():
            yield from (("people/export", words) for words in _names(model))
        for relation in hanging_on():
            words = (hanging_name(relation), *_columns(relation.related_model))
            yield from (("people/export", each) for each in words)


def _names(model: type[models.Model]) -> Iterator[str]:
    """What a table and its columns are called where somebody reads what is kept about her."""
    yield str(model._meta.verbose_name_plural)
    yield from _columns(model)


def _columns(model: type[models.Model]) -> Iterator[str]:
    return (str(field.verbose_name) for field in shown_fields(model))
