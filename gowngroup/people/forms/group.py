"""Forms about how the group works, and its figures."""

from typing import Any
from zoneinfo import available_timezones

from django import forms
from django.utils.translation import gettext_lazy as _

from gowngroup.people.actions import GroupDetails
from gowngroup.people.figure_uses import USE_LABELS
from gowngroup.people.forms.fields import YesNoField, telephone_field
from gowngroup.people.models import Group, Language, LengthUnit, PaperSize
from gowngroup.planning.figures import Figure
from gowngroup.records.fields import ActionForm, NameField, NumberField, WholeNumberField
from gowngroup.records.figure_words import CHOICE, SHARE, unit_words


def zones() -> list[tuple[str, str]]:
    """The time zones one may choose, by place."""
    places = sorted(name for name in available_timezones() if "/" in name and not name.startswith("Etc/"))
    return [("UTC", "UTC"), *((place, place.replace("_", " ")) for place in places)]


def _count(*, low: int, high: int, **kwargs: Any) -> forms.IntegerField:
    return WholeNumberField(
        min_value=low, max_value=high, widget=forms.TextInput({"inputmode": "numeric"}), **kwargs
    )


class GroupForm(ActionForm):
    """How the group works."""

    name = NameField(label=_("Name of the group"), max_length=120)
    telephone = telephone_field(
        label=_("Telephone number of the coordinator"),
        help_text=_("Printed large on every kit sheet and shown at the foot of every page."),
    )
    pick_up_place = forms.CharField(label=_("Where kits are picked up"), max_length=200, required=False)
    time_zone = forms.ChoiceField(
        label=_("Time zone"), choices=zones, help_text=_("It decides when a day and a month begin.")
    )
    language = forms.ChoiceField(
        label=_("Language"),
        choices=Language.choices,
        help_text=_("Of letters, receipts and sheets. Everybody may choose her own on her page."),
    )
    length_unit = forms.ChoiceField(label=_("Lengths in"), choices=LengthUnit.choices)
    paper_size = forms.ChoiceField(label=_("Paper"), choices=PaperSize.choices)
    claim_limit_count = _count(low=1, high=50, label=_("Kits one person may have at once"))
    sewing_time_days = _count(low=1, high=365, label=_("Days to sew a kit"))
    share_passed_percent = _count(
        low=1,
        high=100,
        label=_("Share passed: of a hundred gowns sewn, how many pass"),
        help_text=_("Used when a batch is proposed. Look at your own figures of last year."),
    )
    label_line = forms.CharField(
        label=_("Line on the label of a worn gown"),
        max_length=60,
        required=False,
        help_text=_("Such as “sewn with love by …”. Never a baby’s name."),
    )

    has_join_form = forms.BooleanField(
        label=_("Show a form on the sign-in page with which strangers may ask to join"), required=False
    )

    def details(self) -> GroupDetails:
        """What was typed, as the action takes it."""
        return GroupDetails(**{name: self.cleaned_data[name] for name in GroupDetails.__slots__})


def group_details_of(group: Group) -> dict[str, Any]:
    """How the group works now, as a form starts with it."""
    return {name: getattr(group, name) for name in GroupDetails.__slots__}


class FigureForm(ActionForm):
    """A figure of the planner as the group has found it; a share is typed in hundredths."""

    value: forms.Field = NumberField(label=_("Our own value"))
    source = forms.CharField(
        label=_("Where it comes from"),
        max_length=300,
        help_text=_("Such as “measured on our own kits, spring batch”. No names of people."),
    )

    def __init__(self, *args: Any, figure: Figure, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.is_share = figure.unit == SHARE
        if figure.unit == CHOICE:
            self.fields["value"] = YesNoField(label=_("Our own value"), yes=_("yes"), no=_("no"))
        else:
            vars(self.fields["value"])["unit"] = unit_words(figure.unit)

    def clean_value(self) -> float:
        """The value as the planner reckons with it."""
        value = float(self.cleaned_data["value"])
        return value / 100 if self.is_share else value


class FigureSearchForm(forms.Form):
    """Looking for a figure."""

    words = forms.CharField(label=_("Word in its name or source"), max_length=80, required=False)
    use = forms.ChoiceField(
        label=_("Used for"), choices=[("", _("everything")), *USE_LABELS.items()], required=False
    )
    is_own = forms.BooleanField(label=_("Only those we have changed"), required=False)
