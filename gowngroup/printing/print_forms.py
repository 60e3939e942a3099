"""Choosing the kits of a batch whose sheets are to be printed."""

from collections.abc import Sequence

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from gowngroup.batches.models import Batch, Kit, Stage
from gowngroup.printing.queries import kits_to_print, not_printed

ALL, NOT_PRINTED = "all", "not printed"


class PrintForm(forms.Form):
    """Which kits: all, those not printed yet, or those of one stage where the batch has several."""

    which = forms.ChoiceField(label=gettext_lazy("Which kits?"), widget=forms.RadioSelect)

    def __init__(self, *args: object, batch: Batch, **kwargs: object) -> None:
        super().__init__(*args, **kwargs)  # type: ignore[arg-type]
        self.kits = kits_to_print(batch)
        self.fields["which"].choices = self._choices()  # type: ignore[attr-defined]
        self.fields["which"].initial = ALL

    def has_kits(self) -> bool:
        """Has the batch any kit to print a sheet for?"""
        return self.kits.exists()

    def chosen(self) -> Sequence[Kit]:
        """The kits of the answer, by number."""
        which = self.cleaned_data["which"]
        kits = self.kits.prefetch_related(None)
        if which == ALL:
            return list(kits)
        return list(not_printed(kits) if which == NOT_PRINTED else kits.filter(stage=which))

    def _choices(self) -> list[tuple[str, str]]:
        stages = list(self.kits.order_by().values_list("stage", flat=True))
        choices = [(ALL, _("All kits") + _counted(len(stages)))]
        fresh = not_printed(self.kits).count()
        if 0 < fresh < len(stages):
            choices.append((NOT_PRINTED, _("Those not printed yet") + _counted(fresh)))
        if len(set(stages)) > 1:
            choices += [
                (stage.value, _("Stage: %(stage)s") % {"stage": stage.label} + _counted(stages.count(stage)))
                for stage in Stage
                if stage in stages
            ]
        return choices


def _counted(kit_count: int) -> str:
    return " – " + ngettext("%(count)d kit", "%(count)d kits", kit_count) % {"count": kit_count}
