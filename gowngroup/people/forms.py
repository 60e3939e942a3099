"""Forms about people, the group and signing in; they check what was typed and never save."""

from typing import Any
from zoneinfo import available_timezones

from django import forms
from django.core.exceptions import ValidationError
from django.core.validators import RegexValidator
from django.utils.translation import gettext_lazy as _

from gowngroup.people.actions import GroupDetails, MySettings, PersonDetails
from gowngroup.people.figure_uses import USE_LABELS
from gowngroup.people.models import Group, LengthUnit, PaperSize, Person, Role
from gowngroup.records.fields import ActionForm, NumberField

MOST_HOURS_A_MONTH = 300
AS_THE_GROUP = ("", _("as the group has it"))
YES, NO = "yes", "no"
telephone_number = RegexValidator(
    r"^[0-9+()/ .\-]*$", _("Please type the number with digits, such as 01234 567890.")
)


class HoursField(NumberField):
    """Hours a month as typed, cleaned to whole minutes."""

    unit = _("hours a month")

    def prepare_value(self, value: object) -> object:
        if isinstance(value, int):
            return f"{value / 60:.4g}" if value else ""
        return value

    def clean(self, value: object) -> Any:
        hours = super().clean(value)
        if hours is None:
            return 0
        if hours > MOST_HOURS_A_MONTH:
            raise ValidationError(
                _("Please type the hours of one month, at most %(most)s."),
                params={"most": MOST_HOURS_A_MONTH},
            )
        return round(hours * 60)


class YesNoField(forms.TypedChoiceField):
    """A plain yes or no, both written out, cleaned to a boolean."""

    def __init__(self, *, yes: Any, no: Any, **kwargs: Any) -> None:
        super().__init__(
            choices=[(YES, yes), (NO, no)],
            coerce=lambda value: value == YES,
            widget=forms.RadioSelect,
            **kwargs,
        )

    def prepare_value(self, value: object) -> object:
        return (YES if value else NO) if isinstance(value, bool) else value


def _telephone(**kwargs: Any) -> forms.CharField:
    return forms.CharField(
        max_length=40,
        required=False,
        validators=[telephone_number],
        widget=forms.TextInput({"type": "tel"}),
        **kwargs,
    )


class AddressForm(forms.Form):
    """The address a code is sent to."""

    email = forms.EmailField(
        label=_("Your e-mail address"), max_length=254, widget=forms.EmailInput({"autocomplete": "email"})
    )


class CodeForm(forms.Form):
    """The code from the letter."""

    code = forms.CharField(
        label=_("The code from the letter"),
        max_length=40,
        help_text=_("Nine letters and digits, such as ACD-EFG-HJK. Small letters will do."),
        widget=forms.TextInput(
            {"autocomplete": "one-time-code", "autocapitalize": "characters", "spellcheck": "false"}
        ),
    )
    is_remembered = forms.BooleanField(
        label=_("Remember me on this device for 90 days"),
        required=False,
        help_text=_(
            "Only on your own telephone or computer. Otherwise you are signed out when you close the browser."
        ),
    )


class SettingsForm(ActionForm):
    """What everybody may change of herself."""

    hours_offered_min = HoursField(
        label=_("How many hours would you like to give?"),
        required=False,
        help_text=_("About, in a usual month. Leave it empty if you would rather not say."),
    )
    has_agreed_to_memorial = YesNoField(
        label=_("Gowns for babies who die, before or soon after birth"),
        yes=_("Yes, I would like to sew these too"),
        no=_("No, please do not show me these"),
        help_text=_(
            "Only those who say yes ever see them. You can change your mind at any time and need give no reason."
        ),
    )
    length_unit = forms.ChoiceField(
        label=_("Lengths in"), choices=[AS_THE_GROUP, *LengthUnit.choices], required=False
    )
    paper_size = forms.ChoiceField(
        label=_("Paper in your printer"), choices=[AS_THE_GROUP, *PaperSize.choices], required=False
    )
    has_large_print = forms.BooleanField(label=_("Large print on screen and on sheets"), required=False)
    is_left_handed = forms.BooleanField(label=_("I sew with my left hand: mirror the charts"), required=False)

    def settings(self) -> MySettings:
        """What was chosen, as the action takes it."""
        return MySettings(**{name: self.cleaned_data[name] for name in MySettings.__slots__})


class PersonForm(SettingsForm):
    """What the coordinator writes down of a person."""

    name = forms.CharField(label=_("Name"), max_length=120)
    email = forms.EmailField(
        label=_("E-mail address"),
        max_length=254,
        required=False,
        help_text=_("Two people may share one. Without one she signs in with your help, or works on paper."),
    )
    telephone = _telephone(label=_("Telephone"))
    roles = forms.MultipleChoiceField(
        label=_("Tasks in the group"),
        choices=Role.choices,
        widget=forms.CheckboxSelectMultiple,
        help_text=_("A coordinator may do everything."),
    )
    field_order = ["name", "email", "telephone", "roles", "hours_offered_min", "has_agreed_to_memorial"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["hours_offered_min"].label = _("Hours she would like to give")
        self.fields["hours_offered_min"].help_text = _("About, in a usual month.")
        self.fields["paper_size"].label = _("Paper in her printer")
        self.fields["is_left_handed"].label = _("She sews with her left hand: mirror the charts")
        memorial = self.fields["has_agreed_to_memorial"]
        memorial.choices = [(YES, _("Yes, she has said so herself")), (NO, _("No, or not asked yet"))]  # type: ignore[attr-defined]
        memorial.help_text = _(
            "Ask her gently and take no for an answer. Only those who say yes ever see them."
        )

    def details(self) -> PersonDetails:
        """What was typed, as the action takes it."""
        values = {name: self.cleaned_data[name] for name in PersonDetails.__slots__}
        return PersonDetails(**{**values, "roles": tuple(values["roles"])})


def settings_of(person: Person) -> dict[str, Any]:
    """A person's settings as a form starts with them."""
    return {name: getattr(person, name) for name in MySettings.__slots__}


def details_of(person: Person) -> dict[str, Any]:
    """What is written down of a person, as a form starts with it."""
    values = {name: getattr(person, name) for name in PersonDetails.__slots__ if name != "roles"}
    return {**values, "roles": [row.role for row in person.role_rows.all()]}


def zones() -> list[tuple[str, str]]:
    """The time zones one may choose, by place."""
    places = sorted(name for name in available_timezones() if "/" in name and not name.startswith("Etc/"))
    return [("UTC", "UTC"), *((place, place.replace("_", " ")) for place in places)]


def _count(*, low: int, high: int, **kwargs: Any) -> forms.IntegerField:
    return forms.IntegerField(
        min_value=low, max_value=high, widget=forms.TextInput({"inputmode": "numeric"}), **kwargs
    )


class GroupForm(ActionForm):
    """How the group works."""

    name = forms.CharField(label=_("Name of the group"), max_length=120)
    telephone = _telephone(
        label=_("Telephone number of the coordinator"),
        help_text=_("Printed large on every kit sheet and shown at the foot of every page."),
    )
    pick_up_place = forms.CharField(label=_("Where kits are picked up"), max_length=200, required=False)
    time_zone = forms.ChoiceField(
        label=_("Time zone"), choices=zones, help_text=_("It decides when a day and a month begin.")
    )
    length_unit = forms.ChoiceField(label=_("Lengths in"), choices=LengthUnit.choices)
    paper_size = forms.ChoiceField(label=_("Paper"), choices=PaperSize.choices)
    claim_limit_count = _count(low=1, high=50, label=_("Kits one person may have at once"))
    sewing_time_days = _count(low=1, high=365, label=_("Days to sew a kit"))
    share_passed_percent = _count(
        low=1,
        high=100,
        label=_("Share passed: of a hundred gowns out, how many pass"),
        help_text=_("Used when a batch is proposed. Look at your own figures of last year."),
    )
    label_line = forms.CharField(
        label=_("Line on the label of a worn gown"),
        max_length=60,
        required=False,
        help_text=_("Such as “sewn with love by …”. Never a baby’s name."),
    )

    def details(self) -> GroupDetails:
        """What was typed, as the action takes it."""
        return GroupDetails(**{name: self.cleaned_data[name] for name in GroupDetails.__slots__})


def group_details_of(group: Group) -> dict[str, Any]:
    """How the group works now, as a form starts with it."""
    return {name: getattr(group, name) for name in GroupDetails.__slots__}


class FigureForm(ActionForm):
    """A figure of the planner as the group has found it."""

    value = NumberField(label=_("Our own value"))
    source = forms.CharField(
        label=_("Where it comes from"),
        max_length=300,
        help_text=_("Such as “measured on our own kits, spring batch”. No names of people."),
    )


class SearchForm(forms.Form):
    """Looking for somebody."""

    words = forms.CharField(label=_("Name, address or number"), max_length=80, required=False)
    role = forms.ChoiceField(label=_("Task"), choices=[("", _("any")), *Role.choices], required=False)
    sort = forms.ChoiceField(
        label=_("Sorted by"),
        choices=[("name", _("name")), ("joined", _("newest first")), ("hours", _("most hours first"))],
        required=False,
    )
    has_left = forms.BooleanField(label=_("Those who have left"), required=False)


class FigureSearchForm(forms.Form):
    """Looking for a figure."""

    words = forms.CharField(label=_("Word in its name or source"), max_length=80, required=False)
    use = forms.ChoiceField(
        label=_("Used for"), choices=[("", _("everything")), *USE_LABELS.items()], required=False
    )
    is_own = forms.BooleanField(label=_("Only those we have changed"), required=False)
