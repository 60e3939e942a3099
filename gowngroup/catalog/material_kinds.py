"""Kinds of material, and which of them are trims."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class MaterialKind(models.TextChoices):
    CLOTH = "cloth", _("cloth")
    LACE = "lace", _("lace")
    ENTREDEUX = "entredeux", _("entredeux")
    INSERTION = "insertion", _("insertion")
    BEADING = "beading", _("beading")
    TRIM = "trim", _("other trim")
    RIBBON = "ribbon", _("ribbon")
    FLOSS = "floss", _("floss")
    THREAD = "thread", _("sewing thread")
    NOTION = "notion", _("notion")


# Set in between two edges: never gathered, and sewn along both sides.
SET_IN_KINDS = (MaterialKind.ENTREDEUX, MaterialKind.INSERTION, MaterialKind.BEADING)
# Cut to unjoined lengths from cards, washed before.
TRIM_KINDS = (MaterialKind.LACE, *SET_IN_KINDS, MaterialKind.TRIM, MaterialKind.RIBBON)
