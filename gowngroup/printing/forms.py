"""Choosing gowns for a sheet of labels."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from gowngroup.gowns.models import Gown
from gowngroup.printing import queries
from gowngroup.printing.label_sheets import LABEL_SHEETS, USUAL_SHEET, label_sheet
from gowngroup.records.codes import clean_code

MOST_LABELS = 210


class LabelForm(forms.Form):
    """Which gowns get a label, on which sheet, from which label on; cleaned to rows in the order given."""

    sheet = forms.ChoiceField(
        label=gettext_lazy("Label sheet"),
        choices=[(sheet.key, sheet.name) for sheet in LABEL_SHEETS],
        initial=USUAL_SHEET.key,
    )
    start = forms.IntegerField(
        label=gettext_lazy("First free label on the sheet"),
        help_text=gettext_lazy("Count row by row from the upper left corner; 1 for a new sheet."),
        min_value=1,
        initial=1,
    )
    codes = forms.CharField(
        label=gettext_lazy("Codes of gowns, typed or scanned"),
        help_text=gettext_lazy("As many as you like, with a space or a new line between them."),
        widget=forms.Textarea(attrs={"rows": 3}),
        max_length=4000,
        required=False,
    )
    gown = forms.MultipleChoiceField(required=False, widget=forms.MultipleHiddenInput)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        ticked = self.data.getlist("gown") if hasattr(self.data, "getlist") else []
        self.fields["gown"].choices = [(code, code) for code in ticked]  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        sheet = label_sheet(cleaned.get("sheet", ""))
        if sheet and cleaned.get("start", 1) > sheet.label_count:
            self.add_error("start", _("This sheet has %(count)d labels.") % {"count": sheet.label_count})
        return cleaned | {"label_sheet": sheet, "gowns": self._gowns(cleaned)}

    def _gowns(self, cleaned: dict[str, Any]) -> list[Gown]:
        typed = [clean_code(word) for word in cleaned.get("codes", "").replace(",", " ").split()]
        codes = list(dict.fromkeys([*cleaned.get("gown", []), *filter(None, typed)]))
        if not codes:
            self.add_error("codes", _("Tick at least one gown, or type its code."))
        elif len(codes) > MOST_LABELS:
            self.add_error(
                "codes", _("Please print %(most)d labels or fewer at a time.") % {"most": MOST_LABELS}
            )
        else:
            return self._rows(codes)
        return []

    def _rows(self, codes: list[str]) -> list[Gown]:
        found = queries.gowns_by_code(codes)
        for code in codes:
            try:
                _check(code, found.get(code))
            except ValidationError as error:
                self.add_error("codes", error)
        return [found[code] for code in codes if code in found]


def _check(code: str, gown: Gown | None) -> None:
    if gown is None:
        raise ValidationError(_("There is no gown %(code)s; please look at the code again.") % {"code": code})
    if gown.is_memorial():
        raise ValidationError(
            _("%(code)s carries no label: the label goes on its outer bag.") % {"code": code}
        )
    if gown.state not in queries.AT_HAND:
        raise ValidationError(
            _("%(code)s gets no label: it is %(state)s.") % {"code": code, "state": gown.get_state_display()}
        )
