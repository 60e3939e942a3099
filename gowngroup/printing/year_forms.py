"""Choosing a year, or the days an acknowledgment is for."""

from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from gowngroup.printing.year_queries import FIRST_YEAR
from gowngroup.records.widgets import DayInput

SENTENCE_LENGTH = 300


class YearForm(forms.Form):
    """Which year to look back on; the next one may be asked for already."""

    year = forms.CharField(
        label=gettext_lazy("Year"), max_length=20, widget=forms.TextInput({"inputmode": "numeric", "size": 6})
    )

    def __init__(self, *args: Any, this_year: int, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.last_year = this_year + 1

    def clean_year(self) -> int:
        typed = self.cleaned_data["year"]
        is_year = typed.isascii() and typed.isdigit() and FIRST_YEAR <= int(typed) <= self.last_year
        if not is_year:
            raise forms.ValidationError(
                _("Please type a year from %(first)d to %(last)d, such as %(example)d."),
                params={"first": FIRST_YEAR, "last": self.last_year, "example": self.last_year - 1},
            )
        return int(typed)


class SentenceForm(forms.Form):
    """A sentence of the group's own under an acknowledgment; none unless one is typed."""

    # The example is a phrase tax offices are said to want (from memory, no source checked): never added by itself.
    sentence = forms.CharField(
        label=gettext_lazy("A sentence of your own to add"),
        max_length=SENTENCE_LENGTH,
        required=False,
        widget=forms.Textarea({"rows": 2}),
        help_text=gettext_lazy(
            "Leave this empty unless your rules ask for one, such as “No goods or services were given in return.”"
        ),
    )


class PeriodForm(SentenceForm):
    """The first and last day whose gifts are acknowledged."""

    first = forms.DateField(label=gettext_lazy("From"), widget=DayInput())
    last = forms.DateField(label=gettext_lazy("Up to and including"), widget=DayInput())
    field_order = ("first", "last", "sentence")

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        first, last = cleaned.get("first"), cleaned.get("last")
        for name, day in (("first", first), ("last", last)):
            if day and not date(FIRST_YEAR, 1, 1) <= day < date(9999, 1, 1):
                self.add_error(
                    name, _("Please choose a day after the year %(year)d began.") % {"year": FIRST_YEAR}
                )
        if first and last and last < first:
            self.add_error("last", _("The last day lies before the first; please change one of them."))
        return cleaned
