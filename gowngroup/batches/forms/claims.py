"""Forms for choosing a kit, handing one out and giving more time."""

from typing import Any, cast

from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from gowngroup.batches.models import Kit
from gowngroup.batches.queries import volunteers
from gowngroup.catalog.models import DesignRevision, Size
from gowngroup.people.models import Person
from gowngroup.records.fields import ActionForm


class SizeChoice(forms.ModelChoiceField):  # type: ignore[type-arg] # not subscriptable at run time
    """Sizes named by the baby's length, as everywhere on volunteers' pages."""

    def label_from_instance(self, obj: Any) -> str:
        return str(_("up to %(length)d cm") % {"length": obj.length_cm})


class WaitingFilter(forms.Form):
    """Which of the kits waiting to show."""

    size = SizeChoice(
        label=_("Length of the baby"),
        queryset=Size.objects.none(),
        required=False,
        empty_label=_("any"),
    )
    difficulty = forms.TypedChoiceField(
        label=_("Difficulty"), required=False, coerce=int, empty_value=None, choices=[]
    )

    def __init__(self, *args: Any, kits: QuerySet[Kit], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        known = DesignRevision._meta.get_field("difficulty").choices or []
        sizes, difficulty = cast("Any", self.fields["size"]), cast("Any", self.fields["difficulty"])
        sizes.queryset = Size.objects.filter(pk__in=kits.order_by().values("size_id"))
        difficulty.choices = [("", _("any")), *known]


class HandOutForm(ActionForm):
    """Which kit goes to whom."""

    code = forms.CharField(label=_("Code of the kit"), max_length=20, help_text=_("Type or scan it."))
    person = forms.ModelChoiceField(label=_("Who takes it home"), queryset=Person.objects.none())

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        cast("Any", self.fields["person"]).queryset = volunteers()
        self.fields["code"].widget.attrs.update(autocapitalize="characters", autocomplete="off")


class DueForm(ActionForm):
    """Until when a kit may be kept."""

    due_on = forms.DateField(
        label=_("Due on"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )
