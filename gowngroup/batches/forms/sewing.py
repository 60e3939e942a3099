"""Forms about a kit one has at home, and for those who answer."""

from typing import Any, ClassVar, cast

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from gowngroup.batches.models import Call, Kit, KitLine
from gowngroup.batches.queries import STAFF, helpers, lines_of, volunteers
from gowngroup.people.models import Person
from gowngroup.people.queries import has_role
from gowngroup.records.codes import clean_code
from gowngroup.records.fields import ActionForm, LengthField, NumberField, WholeNumberField
from gowngroup.records.written import written_number
from gowngroup.stock.models import Lot

NO_NAMES = _("Never write anything about a baby or a family.")
NOT_SENT = _("Not sent yet: please look again at")


class HoursField(NumberField):
    """Hours as typed, cleaned to whole minutes."""

    unit = _("hours")

    def prepare_value(self, value: object) -> object:
        return written_number(f"{value / 60:.4g}") if isinstance(value, int) else value

    def clean(self, value: object) -> Any:
        hours = super().clean(value)
        return None if hours is None else round(hours * 60)


class YesNoField(forms.TypedChoiceField):
    """A question that must be answered, by two large choices."""

    def __init__(self, *, yes: Any, no: Any, **kwargs: Any) -> None:
        super().__init__(
            choices=[("yes", yes), ("no", no)],
            coerce=lambda answer: answer == "yes",
            widget=forms.RadioSelect,
            **kwargs,
        )

    def prepare_value(self, value: object) -> object:
        return ("yes" if value else "no") if isinstance(value, bool) else value


class _AboutKitForm(ActionForm):
    """What is asked of whoever has a kit at home; staff who write it down for her are asked about her."""

    asked_about_her: ClassVar[dict[str, Any]] = {}

    def __init__(self, *args: Any, is_hers: bool = True, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, label in {} if is_hers else self.asked_about_her.items():
            self.fields[name].label = label


class _DoneForm(_AboutKitForm):
    """What is asked of whoever has done her part."""

    asked_about_her: ClassVar[dict[str, Any]] = {
        "are_needles_counted": _("Are all her needles and pins accounted for?"),
        "duration_min": _("Hours spent, only if she would like to say"),
    }

    are_needles_counted = YesNoField(
        label=_("Are all your needles and pins accounted for?"),
        yes=_("Yes, I have counted them"),
        no=_("No, one is missing, or I am not sure"),
    )
    duration_min = HoursField(
        label=_("Hours spent, only if you would like to say"),
        required=False,
        help_text=_("Such as 6 or 6.5. It helps us to know how long the next one will take."),
    )
    remarks = forms.CharField(
        label=_("Anything we should know"),
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=NO_NAMES,
    )

    def __init__(self, *args: Any, is_hers: bool = True, **kwargs: Any) -> None:
        super().__init__(*args, is_hers=is_hers, **kwargs)
        if not is_hers:
            cast("Any", self.fields["are_needles_counted"]).choices = [
                ("yes", _("Yes, she has counted them")),
                ("no", _("No, one is missing, or she is not sure")),
            ]


class FinishForm(_DoneForm):
    """What she says of the gowns she has finished."""

    gown_count = WholeNumberField(label=_("Gowns finished"), min_value=1, max_value=500)
    field_order = ["gown_count", "are_needles_counted"]

    def __init__(self, *args: Any, kit: Kit, initial: dict[str, Any], **kwargs: Any) -> None:
        super().__init__(*args, initial={"gown_count": kit.open_count, **initial}, **kwargs)
        if kit.open_count == 1:
            self.fields["gown_count"].widget = forms.HiddenInput()


class HandOnForm(_DoneForm):
    """What she says of the stage she has done, and who goes on."""

    to = forms.CharField(
        label=_("Who goes on with it, if you have agreed with somebody"),
        max_length=120,
        required=False,
        help_text=_(
            "Her name. The kit is then kept for her. Leave it empty and it waits for whoever would like it."
        ),
    )
    field_order = ["are_needles_counted", "to"]

    def clean_to(self) -> Person | None:
        name = " ".join(self.cleaned_data["to"].split())
        if not name:
            return None
        found = list(volunteers().filter(name__iexact=name)[:2]) or list(
            volunteers().filter(name__istartswith=f"{name} ")[:2]
        )
        if len(found) != 1:
            raise ValidationError(
                _("We cannot tell who “%(name)s” is. Write her whole name, or leave this empty."),
                params={"name": name},
            )
        return found[0]

    def name_for(self, reader: Person) -> str:
        """Who goes on with it, for whoever has handed it on: as she wrote it herself, in full for staff only."""
        to = self.cleaned_data["to"]
        if to is None:
            return ""
        return to.name if has_role(reader, *STAFF) else " ".join(self.data["to"].split())


class HelpForm(_AboutKitForm):
    """What somebody would like help with."""

    error_title = NOT_SENT
    asked_about_her: ClassVar[dict[str, Any]] = {
        "words": _("What would she like help with, or until when would she like to keep it?")
    }

    words = forms.CharField(
        label=_("What would you like help with, or until when would you like to keep it?"),
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_(
            "You may leave it empty; we will ring you. Never write anything about a baby or a family."
        ),
    )

    def __init__(self, *args: Any, is_hers: bool = True, **kwargs: Any) -> None:
        super().__init__(*args, is_hers=is_hers, **kwargs)
        if not is_hers:
            self.fields["words"].help_text = _(
                "It may stay empty; she will be rung. Never write anything about a baby or a family."
            )


class PartForm(_AboutKitForm):
    """What of a kit is missing or spoilt."""

    error_title = NOT_SENT

    kind = forms.ChoiceField(
        label=_("What has happened?"),
        choices=[
            (Call.Kind.MISSING.value, _("It is missing, or there is too little of it")),
            (Call.Kind.SPOILT.value, _("It is spoilt")),
        ],
        widget=forms.RadioSelect,
    )
    line = forms.ModelChoiceField(
        label=_("What is it?"),
        queryset=KitLine.objects.none(),
        required=False,
        empty_label=_("something else, as said below"),
    )
    words = forms.CharField(
        label=_("In your own words"),
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_(
            "Nobody minds: cloth gets scorched and floss runs short. Never write anything about a baby."
        ),
    )

    def __init__(self, *args: Any, kit: Kit, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        cast("Any", self.fields["line"]).queryset = lines_of(kit)


class AnswerForm(ActionForm):
    """What was done for who called, and what was taken off the shelf for it."""

    answer = forms.CharField(
        label=_("What was done"),
        max_length=500,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_(
            "She reads it with her kit, and gets it in a letter. Such as “Two lengths are in the post”."
        ),
    )
    lot = forms.CharField(
        label=_("Code of the lot the replacement comes from"),
        max_length=20,
        required=False,
        help_text=_("What is sent is booked off it. Leave it empty if nothing comes off the shelf."),
    )
    length = LengthField(
        label=_("Length sent"),
        low_um=1_000,
        high_um=100_000_000,
        required=False,
        help_text=_("Of cloth, lace, floss."),
    )
    pieces = WholeNumberField(
        label=_("Pieces sent"), min_value=1, max_value=500, required=False, help_text=_("Of what is counted.")
    )

    def __init__(self, *args: Any, call: Call, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not call.is_for_a_part():
            for name in ("lot", "length", "pieces"):
                del self.fields[name]

    def clean_lot(self) -> Lot | None:
        code = clean_code(self.cleaned_data["lot"])
        if not code:
            return None
        lot = Lot.objects.select_related("material").filter(code=code).first()
        if lot is None:
            raise ValidationError(
                _("No lot bears the code %(code)s. Please look at its label again."), params={"code": code}
            )
        return lot

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        lot = cleaned.get("lot")
        name = "pieces" if lot is not None and lot.material.is_counted else "length"
        if lot is not None and not cleaned.get(name) and name not in self.errors:
            self.add_error(name, _("Please say how much of it is sent."))
        return cleaned

    def sent(self) -> dict[str, Any]:
        """The lot and the amount taken off it, as the action takes them."""
        lot = self.cleaned_data.get("lot")
        if lot is None:
            return {}
        return {"lot": lot, "amount": self.cleaned_data["pieces" if lot.material.is_counted else "length"]}


class HelpersForm(ActionForm):
    """Whom the others may ask when they are stuck."""

    people = forms.ModelMultipleChoiceField(
        label=_("Who helps the others with sewing?"),
        queryset=Person.objects.none(),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text=_("Please ask them first. They see who calls for help, and get a letter."),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, initial={"people": helpers()}, **kwargs)
        cast("Any", self.fields["people"]).queryset = volunteers()
