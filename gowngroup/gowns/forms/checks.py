"""What may be typed at the inspector's table."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from gowngroup.catalog.models import Purpose, Size
from gowngroup.gowns.checklist import questions
from gowngroup.gowns.forms.returns import YesNoField
from gowngroup.gowns.models import Gown, GownCheck
from gowngroup.gowns.queries import gowns_in
from gowngroup.gowns.words import gown_words, purpose_words
from gowngroup.records.codes import spaced
from gowngroup.records.fields import ActionForm

ID_DIGITS_MOST = 18  # more does not fit the databases' own integers

OUTCOMES = {
    GownCheck.Outcome.PASS: _("Pass"),
    GownCheck.Outcome.MEND: _("Mend: somebody can put it right"),
    GownCheck.Outcome.SET_ASIDE: _("Set aside: it cannot go to a ward"),
    GownCheck.Outcome.PRACTICE: _("Practice piece: for learning"),
}


class GownFilter(forms.Form):
    """Which gowns to show."""

    state = forms.ChoiceField(label=_("State"), choices=[("", _("any")), *Gown.State.choices], required=False)
    search = forms.CharField(label=_("Code, kit, design or box"), max_length=60, required=False)


class ShelfFilter(forms.Form):
    """Which gowns on the shelf to list."""

    size = forms.ModelChoiceField(queryset=Size.objects.all(), required=False)
    purpose = forms.ChoiceField(choices=[("", ""), *Purpose.choices], required=False)


class CheckForm(ActionForm):
    """One check of one gown."""

    seen_state = forms.ChoiceField(choices=Gown.State.choices, widget=forms.HiddenInput)
    round = forms.ChoiceField(choices=GownCheck.Round.choices, widget=forms.HiddenInput)

    def __init__(self, gown: Gown, round_: str, *args: Any, **kwargs: Any) -> None:
        shown = {"seen_state": gown.state, "round": round_, "place": gown.place}
        super().__init__(*args, initial=shown, **kwargs)
        self.questions = questions(gown, round_)
        for question in self.questions:
            self.fields[question.key] = forms.BooleanField(label=str(question.words), required=False)
        self.fields["is_free_of_metal"] = YesNoField(
            label=_("Magnet or needle detector went over all of it: was nothing found?")
        )
        self.fields["outcome"] = forms.ChoiceField(
            label=_("What becomes of it?"), choices=list(OUTCOMES.items()), widget=forms.RadioSelect
        )
        self.fields["reason"] = forms.CharField(
            label=_("Why, if it does not pass"), max_length=200, required=False
        )
        if round_ == GownCheck.Round.SECOND:
            self.fields["place"] = forms.CharField(label=_("Box or shelf"), max_length=40, required=False)

    def facts(self) -> dict[str, Any]:
        """What was typed, as the action wants it."""
        values = dict(self.cleaned_data)
        answers = {question.key: values.pop(question.key) for question in self.questions}
        return {**values, "answers": answers}


class AnyGownsField(forms.TypedMultipleChoiceField):
    """Gowns to tick; one that has moved on since it was shown is for the action to refuse, in a sentence."""

    widget = forms.CheckboxSelectMultiple
    default_error_messages = {"required": _("Please tick the gowns that were washed.")}

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(coerce=int, **kwargs)

    def valid_value(self, value: str) -> bool:
        return value.isascii() and value.isdigit() and len(value) <= ID_DIGITS_MOST


class WashForm(ActionForm):
    """Gowns that were washed together."""

    is_dry = forms.BooleanField(label=_("They are bone dry."), required=False)
    is_steamed = forms.BooleanField(
        label=_("They were steamed from the wrong side, never pressed flat on the smocking."), required=False
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        shown = [(str(gown.pk), _one_line(gown)) for gown in gowns_in(Gown.State.TO_WASH)]
        field = AnyGownsField(label=_("These gowns were washed"), choices=shown)
        self.fields = {"gowns": field, **self.fields}

    def clean_gowns(self) -> list[Gown]:
        chosen: list[int] = self.cleaned_data["gowns"]
        found = list(Gown.objects.filter(pk__in=chosen))
        if len(found) < len(set(chosen)):
            raise ValidationError(_("One of these gowns cannot be found; please tick again."))
        return found


def _one_line(gown: Gown) -> str:
    words = f"{spaced(gown.code)}: {gown_words(gown)}, {purpose_words(gown.purpose)}"
    return f"{words} ({gown.place})" if gown.place else words


class PlaceForm(ActionForm):
    """Where a gown lies."""

    place = forms.CharField(label=_("Box or shelf"), max_length=40, required=False)
