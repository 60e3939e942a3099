"""Forms for choosing a kit, being told of one, handing one out and giving more time."""

from typing import Any, cast

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from gowngroup.batches.actions import KitArrangement, WishDetails
from gowngroup.batches.models import Kit, KitWish, Stage
from gowngroup.batches.queries import Wanted, choices_among, likes_of, volunteers
from gowngroup.batches.queries.claims import USUAL_PLACE
from gowngroup.catalog.models import DesignRevision, Size
from gowngroup.people.models import Person
from gowngroup.records.codes import clean_code
from gowngroup.records.fields import ActionForm
from gowngroup.records.templatetags.gown import size_length

SCAN_MOST = 300
EASIER = [(1, _("easy ones")), (2, _("also those for some practice"))]


class SizeChoice(forms.ModelChoiceField):  # type: ignore[type-arg] # not subscriptable at run time
    """Sizes named by the baby's length, as everywhere on volunteers' pages."""

    def label_from_instance(self, obj: Any) -> str:
        return str(_("up to %(length)s") % {"length": size_length(obj.body_length_um)})


class CodeField(forms.CharField):
    """The code of a kit, typed or scanned, also from the address in its square."""

    def __init__(self, **kwargs: Any) -> None:
        attrs = {
            "autocapitalize": "characters",
            "autocomplete": "off",
            "spellcheck": "false",
            "enterkeyhint": "go",
        }
        super().__init__(max_length=SCAN_MOST, widget=forms.TextInput(attrs=attrs), **kwargs)

    def clean(self, value: object) -> Any:
        typed = super().clean(value)
        return clean_code(typed.rstrip("/").rsplit("/", 1)[-1])


class WaitingFilter(forms.Form):
    """Which of the kits waiting to show; what cannot be is ignored."""

    size = SizeChoice(
        label=_("Length of the baby"),
        queryset=Size.objects.none(),
        required=False,
        empty_label=_("any"),
    )
    difficulty = forms.TypedChoiceField(
        label=_("What I can do"), required=False, coerce=int, empty_value=None, choices=[]
    )
    stage = forms.ChoiceField(label=_("What there is to do"), required=False)
    place = forms.ChoiceField(label=_("Where to pick up"), required=False)
    post = forms.BooleanField(label=_("Can be posted to me"), required=False)
    mine = forms.BooleanField(label=_("What I like to sew"), required=False)
    worn = forms.BooleanField(label=_("Without those for babies who die"), required=False)

    def __init__(
        self, *args: Any, kits: QuerySet[Kit], person: Person, usual_place: str, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.person = person
        there = choices_among(kits)
        known = list(DesignRevision._meta.get_field("difficulty").choices or [])
        fields = cast("Any", self.fields)
        fields["size"].queryset = Size.objects.filter(pk__in=there.size_ids)
        fields["difficulty"].choices = [("", _("any")), *EASIER]
        stages = [(stage.value, stage.label) for stage in Stage if stage.value in there.stages]
        self._choose("stage", _("anything"), stages)
        usual = [(USUAL_PLACE, usual_place or _("at the usual place"))]
        places = [*usual, *((one, one) for one in there.places)]
        self._choose("place", _("anywhere"), places)
        if not there.can_be_posted:
            del self.fields["post"]
        if not person.stages_liked and person.practice >= len(known):
            del self.fields["mine"]
        if not person.has_agreed_to_memorial:
            del self.fields["worn"]

    def _choose(self, name: str, empty: Any, choices: list[tuple[str, Any]]) -> None:
        """A choice is only worth asking where there is one."""
        if len(choices) > 1:
            cast("Any", self.fields[name]).choices = [("", empty), *choices]
        else:
            del self.fields[name]

    def wanted(self) -> Wanted:
        """What was chosen, leaving out what cannot be."""
        self.is_valid()
        chosen = {name: self.cleaned_data.get(name) for name in self.fields}
        likes = likes_of(self.person) if chosen.get("mine") else Wanted()
        levels = [level for level in (chosen.get("difficulty"), likes.most_difficulty) if level]
        stage = chosen.get("stage")
        return Wanted(
            size=chosen.get("size"),
            most_difficulty=min(levels, default=None),
            stages=(stage,) if stage else likes.stages,
            place=chosen.get("place") or "",
            is_by_post=bool(chosen.get("post")),
            is_worn_only=bool(chosen.get("worn")),
        )


class WishForm(ActionForm):
    """What somebody wishes to be told of, besides what she likes to sew."""

    size = SizeChoice(
        label=_("Length of the baby"), queryset=Size.objects.all(), required=False, empty_label=_("any")
    )
    is_by_post_only = forms.BooleanField(label=_("Only kits that can be posted"), required=False)

    def __init__(self, *args: Any, wish: KitWish | None, **kwargs: Any) -> None:
        initial = {"size": wish.size, "is_by_post_only": wish.is_by_post_only} if wish else {}
        super().__init__(*args, initial=initial, **kwargs)

    def details(self) -> WishDetails:
        """What was typed, as the action takes it."""
        return WishDetails(
            size=self.cleaned_data["size"], is_by_post_only=self.cleaned_data["is_by_post_only"]
        )


class HandOutForm(ActionForm):
    """Which kit goes to whom; the person stays while one kit after the other is scanned."""

    person = forms.ModelChoiceField(
        label=_("Who takes it home"),
        queryset=Person.objects.none(),
        empty_label=_("please choose"),
        error_messages={"required": _("Choose who takes it home, then scan it again.")},
    )
    code = CodeField(label=_("Code of the kit"), help_text=_("Scan it, or type it and press Enter."))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        cast("Any", self.fields["person"]).queryset = volunteers()

    def clean_code(self) -> Kit:
        kit = Kit.objects.filter(code=self.cleaned_data["code"]).first()
        if kit is None:
            raise ValidationError(_("No kit has this code. Please look at the label again."), code="unknown")
        return kit


class DueForm(ActionForm):
    """Until when a kit may be kept."""

    due_on = forms.DateField(
        label=_("Due on"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )


class ArrangeForm(ActionForm):
    """How a kit goes out."""

    stage = forms.ChoiceField(
        label=_("What there is to do"),
        choices=[
            (Stage.WHOLE.value, _("the whole gown, from start to finish")),
            (Stage.PLEAT.value, _("only to pleat it; somebody else smocks it next")),
            (Stage.SMOCK.value, _("only to smock it; somebody else makes it up next")),
            (Stage.MAKE_UP.value, _("only to make it up")),
        ],
        widget=forms.RadioSelect,
    )
    is_pleated = forms.BooleanField(label=_("It is pleated already"), required=False)
    place = forms.CharField(
        label=_("Where it lies"),
        max_length=120,
        required=False,
        help_text=_("Empty for the usual place. Such as “with the library, Oakfield”; volunteers read it."),
    )
    can_be_posted = forms.BooleanField(label=_("It can be posted"), required=False)
    kept_for = forms.ModelChoiceField(
        label=_("Kept for"),
        queryset=Person.objects.none(),
        required=False,
        empty_label=_("nobody: whoever is first"),
        help_text=_("Only she sees it among the kits waiting, and she gets a letter."),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        cast("Any", self.fields["kept_for"]).queryset = volunteers()

    def arrangement(self) -> KitArrangement:
        """What was chosen, as the action takes it."""
        return KitArrangement(**{name: self.cleaned_data[name] for name in KitArrangement.__slots__})
