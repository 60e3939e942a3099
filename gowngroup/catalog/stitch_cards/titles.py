"""The cards by their keys, in the order they are read, and what each is called."""

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

TITLES: dict[str, str | Promise] = {
    "needle": _("Needle and floss"),
    "pleats": _("Pleats and rows"),
    "start": _("Start a thread"),
    "end": _("End a thread"),
    "cable": _("Cable stitch"),
    "outline": _("Outline stitch"),
    "stem": _("Stem stitch"),
    "wave": _("Baby wave"),
    "wave-2": _("Wave of two steps"),
    "trellis": _("Trellis of three steps"),
    "trellis-4": _("Trellis of four steps"),
    "back-smocking": _("Back-smocking"),
}
