"""How far inside the cut edge of a kit's pieces to sew and how much to turn under, for whoever has them cut out."""

from collections.abc import Iterable, Sequence

from django.utils.translation import gettext as _

from gowngroup.catalog.planner import GownPiece
from gowngroup.planning.drafting import Edge
from gowngroup.printing.templatetags.sheets import fine_length
from gowngroup.records.written import unbroken

PLEATED_OR_GATHERED = ("front panel", "back")
TURNED = ("back edges", "sleeve hems", "hem", "keepsake square", "blanket")


def seams_in_words(pieces: Sequence[GownPiece]) -> str:
    """`Sew this far in from the cut edge: seams 7 mm; neck 10 mm. Turn under: hem 25 mm.`

    Nothing where a design does not say: pieces entered as rectangles, or drawn with their seams in them.
    """
    found = [place for piece in pieces if not piece.is_left_unsewn for place in _places(piece, pieces)]
    if not found or any(allowance_mm <= 0 for _place, allowance_mm in found):
        return ""
    if {place for place, _mm in found} == {"all round"}:
        return _all_round({allowance_mm for _place, allowance_mm in found})
    sewn = _listed((place, mm) for place, mm in found if place not in TURNED)
    turned = _listed((place, mm) for place, mm in found if place in TURNED)
    said = (
        _("Sew this far in from the cut edge: %(places)s.") % {"places": sewn},
        _("Turn under: %(places)s.") % {"places": turned} if turned else "",
    )
    return unbroken(" ".join(each for each in said if each))


def _all_round(widths_mm: set[float]) -> str:
    """What is said of outlines with one width for seams and hems; nothing where they differ."""
    if len(widths_mm) > 1:
        return ""
    return _("Seams and hems lie %(length)s in from the cut edge.") % {"length": fine_length(*widths_mm)}


def _places(piece: GownPiece, pieces: Sequence[GownPiece]) -> Iterable[tuple[str, float]]:
    """Where on a piece it is sewn or turned under, and how far in from the edge, in mm."""
    if piece.is_companion:
        yield from _companion(piece)
        return
    has_lining = any(each.part == "lining" for each in pieces)
    for edge in piece.pattern.edges:
        yield "seams" if has_lining else _place(piece, edge), round(edge.allowance_mm, 2)


def _place(piece: GownPiece, edge: Edge) -> str:
    name = edge.name.removesuffix("_right").removesuffix("_left")
    if name.startswith("edge "):
        return "all round"
    if piece.pattern.is_bias:
        return "seams" if name == "end" else "binding"
    if name.startswith("yoke_seam"):
        return "gathered" if piece.part in PLEATED_OR_GATHERED else "seams"
    if name == "hem":
        return "sleeve hems" if piece.part == "sleeve" else "hem"
    return {"neck": "neck", "centre_back": "back edges"}.get(name, "seams")


def _companion(piece: GownPiece) -> Iterable[tuple[str, float]]:
    """What goes along is named where it is turned under all round; a bonnet's seams are on its pattern."""
    if piece.part in TURNED:
        yield from {(piece.part, round(edge.allowance_mm, 2)) for edge in piece.pattern.edges}


def _listed(places: Iterable[tuple[str, float]]) -> str:
    """`seams 7 mm; neck, back edges 10 mm`, places of one length together, each once."""
    order, by_length = list(_words()), dict[str, dict[str, None]]()
    for place, width_mm in sorted(places, key=lambda each: (order.index(each[0]), each[1])):
        by_length.setdefault(fine_length(width_mm), {})[_words()[place]] = None
    return "; ".join(f"{', '.join(words)} {length}" for length, words in by_length.items())


def _words() -> dict[str, str]:
    return {
        "seams": _("seams"),
        "binding": _("neck binding"),
        "neck": _("neck"),
        "gathered": _("tops of panel and backs"),
        "back edges": _("back edges"),
        "sleeve hems": _("sleeve hems"),
        "hem": _("lower edge"),
        "keepsake square": _("keepsake squares"),
        "blanket": _("wrap blanket"),
    }
