"""Measures of a drafted design that the group sets itself."""

from collections.abc import Mapping
from datetime import datetime

from django.utils.translation import gettext as _

from gowngroup.catalog.actions.revisions import editable_revision
from gowngroup.catalog.models import DesignSize
from gowngroup.catalog.planner import closing_sentences, planner_settings
from gowngroup.people.models import Person
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Refusal


class DoesNotClose(Refusal):
    """With these measures the gown cannot be drafted or sewn; `sentences` say where."""

    def __init__(self, sentences: tuple[str, ...]) -> None:
        super().__init__(_("Nothing was changed: with these measures the gown cannot be sewn."))
        self.sentences = sentences


@action
def set_overrides(
    *,
    design_size: DesignSize,
    overrides: Mapping[str, float],
    by: Person,
    at: datetime,
    request_key: str = "",
) -> DesignSize:
    """Set the measures of a size the group decides itself, in mm or as counts; all others are worked out again."""
    kept = editable_revision(design_size.revision).sizes.get(size=design_size.size_id)
    before = kept.overrides
    kept.overrides = dict(overrides)
    kept.save(update_fields=["overrides"])
    # Taking every own measure back must always be possible, even where the size cannot be drafted at all.
    if overrides and (sentences := closing_sentences(kept, planner_settings())):
        raise DoesNotClose(sentences)
    record(by=by, at=at, did="set_overrides", subject=kept, changes={"overrides": [before, kept.overrides]})
    return kept
