"""Forms of those who are not signed in yet."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _

from gowngroup.people.actions import JoinDetails
from gowngroup.people.actions.joining import NO_WAY_TO_ANSWER
from gowngroup.people.actions.links import LETTER_LENGTH
from gowngroup.people.forms.fields import telephone_field
from gowngroup.records.codes import clean_code
from gowngroup.records.fields import NameField

EXAMPLE_CODE = "ACD\u2011EFG\u2011HJK"  # its hyphens keep it on one line
NOT_SIGNED_IN = _("You are not signed in yet: please look again at")


class AddressForm(forms.Form):
    """The address a code is sent to."""

    error_title = _("No code has been sent yet: please look again at")

    email = forms.EmailField(
        label=_("Your email address"), max_length=254, widget=forms.EmailInput({"autocomplete": "email"})
    )


class CodeForm(forms.Form):
    """The code from the letter."""

    error_title = NOT_SIGNED_IN

    code = forms.CharField(
        label=_("The code from the letter"),
        max_length=40,
        help_text=format_lazy(
            _("Nine letters and digits, such as {example}. Small letters will do."), example=EXAMPLE_CODE
        ),
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

    error_title = NOT_SIGNED_IN

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

    error_title = _("Not sent yet: please look again at")

    name = NameField(label=_("Your name"), max_length=120, widget=forms.TextInput({"autocomplete": "name"}))
    telephone = telephone_field(
        label=_("Your telephone number"),
        help_text=_("One of the two is enough: a telephone number, or an email address below."),
    )
    email = forms.EmailField(
        label=_("Your email address"),
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

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if not any(self.data.get(name, "").strip() for name in ("telephone", "email")):
            self.add_error("telephone", NO_WAY_TO_ANSWER)
        return cleaned

    def details(self) -> JoinDetails:
        """What was typed, as the action takes it."""
        return JoinDetails(**{name: self.cleaned_data[name] for name in JoinDetails.__slots__})
