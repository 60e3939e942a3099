"""Forms about people, the group and signing in; they check what was typed and never save."""

from typing import Any
from zoneinfo import available_timezones

from django import forms
from django.core.exceptions import ValidationError
from django.core.validators import RegexValidator
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from gowngroup.people.actions import GroupDetails, JoinDetails, MySettings, PersonDetails
from gowngroup.people.actions.links import LETTER_LENGTH
from gowngroup.people.figure_uses import USE_LABELS
from gowngroup.people.models import (
    Group,
    LengthUnit,
    PaperSize,
    Person,
    Practice,
    ReminderWay,
    Role,
    SewingStage,
)
from gowngroup.records.codes import clean_code
from gowngroup.records.fields import ActionForm, NumberField
from gowngroup.records.widgets import DayInput

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


class LinkForm(forms.Form):
    """The button of a link or letter."""

    is_remembered = forms.BooleanField(
        label=_("Remember me on this device for 90 days"),
        required=False,
        help_text=_("Only on your own telephone or computer."),
    )


class LetterForm(forms.Form):
    """The long code of a printed letter, for a computer without a camera."""

    code = forms.CharField(
        label=_("The letters and digits under the square"),
        max_length=80,
        help_text=_(
            "Thirty of them, in six groups. Small letters will do, and you may leave out the dashes."
        ),
        widget=forms.TextInput(
            {"autocapitalize": "characters", "autocomplete": "off", "spellcheck": "false"}
        ),
    )

    def clean_code(self) -> str:
        code = clean_code(self.cleaned_data["code"])
        if len(code) != LETTER_LENGTH:
            raise ValidationError(
                _("There are thirty under the square; you have typed %(count)s. Please look again."),
                params={"count": len(code)},
            )
        return code


class JoinForm(forms.Form):
    """What somebody who would like to join says of herself."""

    name = forms.CharField(
        label=_("Your name"), max_length=120, widget=forms.TextInput({"autocomplete": "name"})
    )
    telephone = _telephone(
        label=_("Your telephone number"),
        help_text=_("One of the two is enough: a telephone number, or an e-mail address below."),
    )
    email = forms.EmailField(
        label=_("Your e-mail address"),
        max_length=254,
        required=False,
        widget=forms.EmailInput({"autocomplete": "email"}),
    )
    note = forms.CharField(
        label=_("What would you like to sew?"),
        max_length=300,
        required=False,
        widget=forms.Textarea({"rows": 3}),
        help_text=_("A line or two. Please write nothing about anybody’s health."),
    )

    def details(self) -> JoinDetails:
        """What was typed, as the action takes it."""
        return JoinDetails(**{name: self.cleaned_data[name] for name in JoinDetails.__slots__})


class ForgetForm(ActionForm):
    """The word that says one means it."""

    NOT_YET = _("Nothing has been forgotten. Please type “forget”, or go back.")

    word = forms.CharField(
        label=_("Please type the word “forget”"), max_length=40, error_messages={"required": NOT_YET}
    )

    def clean_word(self) -> str:
        word: str = self.cleaned_data["word"]
        if word.strip(" .“”\"'").casefold() != str(_("forget")):
            raise ValidationError(self.NOT_YET)
        return word


class SettingsForm(ActionForm):
    """What everybody may change of herself."""

    stages_liked = forms.MultipleChoiceField(
        label=_("What do you like to sew?"),
        choices=SewingStage.choices,
        widget=forms.CheckboxSelectMultiple,
        required=False,
        help_text=_("Tick as many as you like. Nothing ticked means: whatever there is."),
    )
    practice = forms.TypedChoiceField(
        label=_("How difficult may a gown be?"),
        choices=Practice.choices,
        coerce=int,
        required=False,
    )
    has_pleater = forms.BooleanField(label=_("I have a pleater at home"), required=False)
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
    away_until = forms.DateField(
        label=_("Away until"),
        required=False,
        widget=DayInput(),
        help_text=_(
            "The last day you cannot sew. Nobody needs a reason, and until then no hours of yours are counted on. Leave it empty while you are here."
        ),
        error_messages={"invalid": _("Please choose a day, or leave it empty.")},
    )
    reminded_by = forms.TypedChoiceField(
        label=_("How may we remind you of a kit?"),
        choices=ReminderWay.choices,
        empty_value=ReminderWay.MAIL.value,
        required=False,
    )
    length_unit = forms.ChoiceField(
        label=_("Lengths in"), choices=[AS_THE_GROUP, *LengthUnit.choices], required=False
    )
    paper_size = forms.ChoiceField(
        label=_("Paper in your printer"), choices=[AS_THE_GROUP, *PaperSize.choices], required=False
    )
    has_large_print = forms.BooleanField(label=_("Large print on screen and on sheets"), required=False)
    is_left_handed = forms.BooleanField(label=_("I sew with my left hand: mirror the charts"), required=False)

    def clean_practice(self) -> int:
        return int(self.cleaned_data["practice"] or Practice.EXPERIENCED)

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
    note = forms.CharField(
        label=_("Note"),
        max_length=300,
        required=False,
        widget=forms.Textarea({"rows": 2}),
        help_text=_("Such as “collects on Tuesdays, has no car”. Nothing about health, hers or anybody’s."),
    )
    field_order = ["name", "telephone", "email", "roles"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["stages_liked"].label = _("What she likes to sew")
        self.fields["stages_liked"].help_text = _("Nothing ticked means: whatever there is.")
        self.fields["practice"].label = _("How difficult a gown may be")
        self.fields["has_pleater"].label = _("She has a pleater at home")
        self.fields["away_until"].help_text = _("The last day she cannot sew. Empty while she is here.")
        self.fields["reminded_by"].label = _("How she may be reminded of a kit")
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
    """A person's settings as a form starts with them; a pause that is over is not shown any more."""
    return {name: getattr(person, name) for name in MySettings.__slots__} | _pause_of(person)


def details_of(person: Person) -> dict[str, Any]:
    """What is written down of a person, as a form starts with it."""
    values = {name: getattr(person, name) for name in PersonDetails.__slots__ if name != "roles"}
    return {**values, "roles": [row.role for row in person.role_rows.all()], **_pause_of(person)}


def _pause_of(person: Person) -> dict[str, Any]:
    return {"away_until": person.away_until if person.is_away(timezone.localdate()) else None}


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
