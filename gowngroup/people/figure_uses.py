"""What the planner's figures are used for, in words."""

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from gowngroup.planning.figures.uses import Use

USE_LABELS: dict[Use, Promise] = {
    "pieces": _("pattern pieces"),
    "pleats": _("pleating"),
    "cloth": _("cloth and lays"),
    "trims": _("lace and ribbon"),
    "floss": _("floss"),
    "thread": _("sewing thread"),
    "bias": _("bias"),
    "hours": _("hours"),
    "shopping": _("shopping"),
    "proposal": _("proposing a batch"),
    "checks": _("checking gowns"),
}

# Each plan has a page that shows its numbers of these with the figures they rest on.
IN_PLANS = ("cloth", "trims", "floss", "thread", "bias", "hours", "shopping")
