"""Forms about people of the group, filled in by themselves or for them."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from gowngroup.people.actions import MySettings, PersonDetails
from gowngroup.people.forms.fields import NO, YES, HoursField, YesNoField, telephone_field
from gowngroup.people.models import (
    Language,
    LengthUnit,
    PaperSize,
    Person,
    Practice,
    ReminderWay,
    Role,
    SewingStage,
)
from gowngroup.records.fields import ActionForm, NameField
from gowngroup.records.widgets import DayInput

AS_THE_GROUP = ("", _("as the group has it"))


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
        initial=Practice.EXPERIENCED,
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
            "The last day you cannot sew. Nobody needs a reason, and until then we do not count on your hours. Leave it empty while you are here."
        ),
        error_messages={"invalid": _("Please choose a day, or leave it empty.")},
    )
    reminded_by = forms.TypedChoiceField(
        label=_("How may we remind you of a kit?"),
        choices=ReminderWay.choices,
        empty_value=ReminderWay.MAIL.value,
        required=False,
    )
    language = forms.ChoiceField(
        label=_("Language of pages, letters and sheets"),
        choices=[AS_THE_GROUP, *Language.choices],
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

    name = NameField(label=_("Name"), max_length=120)
    email = forms.EmailField(
        label=_("Email address"),
        max_length=254,
        required=False,
        help_text=_("Two people may share one. Without one she signs in with your help, or works on paper."),
    )
    telephone = telephone_field(label=_("Telephone"))
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


def settings_of(person: Person) -> dict[str, Any]:
    """A person's settings as a form starts with them; a pause that is over is not shown any more."""
    return {name: getattr(person, name) for name in MySettings.__slots__} | _pause_of(person)


def details_of(person: Person) -> dict[str, Any]:
    """What is written down of a person, as a form starts with it."""
    values = {name: getattr(person, name) for name in PersonDetails.__slots__ if name != "roles"}
    return {**values, "roles": [row.role for row in person.role_rows.all()], **_pause_of(person)}


def _pause_of(person: Person) -> dict[str, Any]:
    return {"away_until": person.away_until if person.is_away(timezone.localdate()) else None}
