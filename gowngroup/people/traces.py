"""Where the name, address and number of a person stand in the whole database, and how they are blotted out.

Looks at every table there is, by the registry of models, so that a table somebody adds later is looked at too.
"""

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.apps import apps
from django.db import models
from django.db.models import Q
from django.db.models.functions import Cast
from django.utils.translation import gettext as _

LEAST_DIGITS = 5  # fewer digits in a row are as likely a count as a telephone number
SENTENCE_LENGTH = 200  # shorter columns hold names of things, where a first name alone may be a word
DIGIT_GAP = r"[\s()/.\-]*"


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """What somebody is known by; empty where there is nothing, or where another person is known by it too."""

    name: str = ""
    email: str = ""
    telephone: str = ""

    def digits(self) -> str:
        return "".join(character for character in self.telephone if character.isdigit())

    def is_one_word(self) -> bool:
        return len(self.name.split()) == 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Trace:
    """One cell in which somebody still stands, and the cell without her."""

    model: type[models.Model]
    pk: object
    field: str
    blotted: object


def is_named(row: models.Model, column: str) -> bool:
    """Is this how a person of the group is called or reached? Others keep theirs, though it be the same."""
    return row._meta.label == "people.Person" and column in ("name", "email", "telephone")


def neutral_name() -> str:
    """What stands in place of a name that was erased."""
    return _("somebody who has left")


class Blotter:
    """Takes somebody's name, address and number out of texts and out of what JSON holds."""

    def __init__(self, words: Words) -> None:
        self.words = words
        name = r"\s+".join(re.escape(part) for part in words.name.split())
        flags = re.NOFLAG if words.is_one_word() else re.IGNORECASE
        self._name = re.compile(rf"(?<!\w){name}(?!\w)", flags) if name else None
        digits = words.digits()
        number = DIGIT_GAP.join(digits) if len(digits) >= LEAST_DIGITS else re.escape(words.telephone)
        address = re.escape(words.email)
        patterns = [
            rf"(?<![\w.+\-]){address}(?![\w\-])" if address else "",
            rf"(?<!\d)\+?{number}(?!\d)" if number else "",
        ]
        reached = "|".join(filter(None, patterns))
        self._reached = re.compile(reached, re.IGNORECASE) if reached else None

    def blot(self, text: str, *, is_sentence: bool) -> str:
        """The text without her: a neutral word for her name, nothing or a dash for how to reach her."""
        if self._reached:
            whole = self._reached.fullmatch(text.strip())
            text = "" if whole else self._reached.sub("–", text)
        if self._name and (is_sentence or not self.words.is_one_word()):
            return self._name.sub(neutral_name(), text)
        return neutral_name() if text.strip() == self.words.name and text.strip() else text

    def blot_json(self, value: object) -> object:
        """The same for everything a JSON value holds, keys too."""
        if isinstance(value, str):
            return self.blot(value, is_sentence=False)
        if isinstance(value, list):
            return [self.blot_json(each) for each in value]
        if isinstance(value, dict):
            return {self.blot_json(key): self.blot_json(each) for key, each in value.items()}
        return value


def traces(words: Words) -> Iterator[Trace]:
    """Every cell of the database in which somebody stands, but for what other people of the group are called."""
    blotter = Blotter(words)
    for model in apps.get_models():
        if model._meta.managed and not model._meta.proxy:
            for field in model._meta.local_fields:
                yield from _in_column(blotter, model, field)


def _in_column(blotter: Blotter, model: type[models.Model], field: models.Field[Any, Any]) -> Iterator[Trace]:
    is_json = isinstance(field, models.JSONField)
    if not is_json and not isinstance(field, models.CharField | models.TextField):
        return
    is_sentence = isinstance(field, models.TextField) or (field.max_length or 0) >= SENTENCE_LENGTH
    for row in _candidates(blotter.words, model, field.name, is_json=is_json):
        old = getattr(row, field.name)
        new = blotter.blot_json(old) if is_json else blotter.blot(old or "", is_sentence=is_sentence)
        if new not in (old, old or "") and not is_named(row, field.name):
            yield Trace(model=model, pk=row.pk, field=field.name, blotted=_fitting(new, field))


def _fitting(new: object, field: models.Field[Any, Any]) -> object:
    return new[: field.max_length] if isinstance(new, str) else new


def _candidates(
    words: Words, model: type[models.Model], column: str, *, is_json: bool
) -> models.QuerySet[models.Model]:
    """The few rows worth a closer look: those that hold her longest word, her address or the end of her number."""
    looked_for = {words.email, words.telephone if len(words.digits()) < LEAST_DIGITS else ""}
    longest = max(words.name.split(), key=len, default="")
    looked_for |= {longest, longest.lower(), longest.upper(), longest.title()}
    if len(words.digits()) >= LEAST_DIGITS:
        looked_for.add(words.digits()[-4 if is_json else -2 :])
    if is_json:  # SQLite keeps letters beyond ASCII in JSON as \u escapes
        looked_for |= {json.dumps(each)[1:-1] for each in looked_for}
    found = Q(pk__in=[])
    for each in filter(None, looked_for):
        found |= Q(_text__icontains=each)
    rows = model._default_manager.annotate(_text=Cast(column, models.TextField()))
    return rows.filter(found).only("pk", column).order_by("pk")
