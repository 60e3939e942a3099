"""Choosing what gets a label, and the sheet it is printed on."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from gowngroup.printing.label_kinds import LabelKind
from gowngroup.printing.label_sheets import (
    offset_sentence,
    printed_sheet,
    sheet_title,
    sheets_to_print_on,
)
from gowngroup.records.codes import clean_code
from gowngroup.records.fields import WholeNumberField

MOST_LABELS = 210
MOST_COPIES = 50
MOST_IN_A_BAG = 20


def _count(*, most: int, **kwargs: Any) -> forms.IntegerField:
    return WholeNumberField(
        min_value=1, max_value=most, initial=1, widget=forms.TextInput({"inputmode": "numeric"}), **kwargs
    )


class SheetForm(forms.Form):
    """Which sheet to print on; cleaned to the sheet as the group's printer needs it."""

    sheet = forms.ChoiceField(label=gettext_lazy("Label sheet"))

    def __init__(self, *args: Any, has_tape: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        sheets = sheets_to_print_on(has_tape=has_tape)
        self.fields["sheet"].choices = [(sheet.key, sheet_title(sheet)) for sheet in sheets]  # type: ignore[attr-defined]
        self.fields["sheet"].initial = sheets[0].key

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        sheet = printed_sheet(cleaned.get("sheet", ""))
        if sheet and (sentence := offset_sentence(sheet)):
            self.add_error("sheet", sentence)
        return cleaned | {"label_sheet": sheet}


class LabelForm(SheetForm):
    """What gets a label, on which sheet, from which label on, how often; cleaned to rows in the order given."""

    start = WholeNumberField(
        label=gettext_lazy("First free label on the sheet"),
        help_text=gettext_lazy("Count row by row from the upper left corner; 1 for a new sheet."),
        min_value=1,
        initial=1,
    )
    copies = _count(most=MOST_COPIES, label=gettext_lazy("How many of each label"), required=False)
    per_bag = _count(
        most=MOST_IN_A_BAG,
        label=gettext_lazy("Gowns in one bag, at most"),
        help_text=gettext_lazy("Only gowns of one size and purpose share a bag."),
        required=False,
    )
    codes = forms.CharField(
        help_text=gettext_lazy("As many as you like, with a space or a new line between them."),
        widget=forms.Textarea(attrs={"rows": 3}),
        max_length=4000,
        required=False,
    )
    item = forms.MultipleChoiceField(required=False, widget=forms.MultipleHiddenInput)

    def __init__(self, *args: Any, kind: LabelKind, **kwargs: Any) -> None:
        super().__init__(*args, has_tape=kind.has_tape, **kwargs)
        self.kind = kind
        ticked = self.data.getlist("item") if hasattr(self.data, "getlist") else []
        self.fields["item"].choices = [(key, key) for key in ticked]  # type: ignore[attr-defined]
        self.fields["codes"].label = str(kind.codes_label)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        sheet = cleaned["label_sheet"]
        if sheet and cleaned.get("start", 1) > sheet.label_count:
            self.add_error("start", _("This sheet has %(count)d labels.") % {"count": sheet.label_count})
        for name in ("copies", "per_bag"):
            cleaned[name] = cleaned.get(name) or 1
        return cleaned | {"rows": self._rows(cleaned)}

    def _rows(self, cleaned: dict[str, Any]) -> list[Any]:
        typed = [clean_code(word) for word in cleaned.get("codes", "").replace(",", " ").split()]
        keys = list(dict.fromkeys([*cleaned.get("item", []), *filter(None, typed)]))
        field = "codes" if self.kind.codes_label else None
        if not keys:
            self.add_error(field, self._nothing())
        elif len(keys) * cleaned["copies"] > MOST_LABELS:
            self.add_error(
                field, _("Please print %(most)d labels or fewer at a time.") % {"most": MOST_LABELS}
            )
        else:
            return self._found(keys, field)
        return []

    def _nothing(self) -> str:
        if self.kind.codes_label:
            return _("Tick at least one, or type its code.")
        return _("Tick at least one.")

    def _found(self, keys: Sequence[str], field: str | None) -> list[Any]:
        found = self.kind.by_key(keys)
        for key in keys:
            if fault := self.kind.fault(found[key]) if key in found else _unknown(key):
                self.add_error(field, fault)
        return [found[key] for key in keys if key in found]


def _unknown(key: str) -> str:
    return _("There is nothing with the code %(code)s here; please look at the code again.") % {"code": key}
