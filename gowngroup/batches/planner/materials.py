"""Which material a batch uses for a part of a design, unless the coordinator says otherwise."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from gowngroup.catalog.models import DesignRevision, MaterialKind, Need
from gowngroup.planning.shades import avoided_word
from gowngroup.records.written import known
from gowngroup.stock.models import Fibre, Material
from gowngroup.stock.queries import materials

SEAMS = "seams"
UNCHOSEN = "none|"  # begins a plan's key for a part without a material
SAME_WIDTH_UM = 1_000  # what a ruler tells apart, common practice


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part of a design that is made of a material to be chosen."""

    revision: DesignRevision
    kind: str
    name: str
    width_um: int | None = None

    @property
    def label(self) -> str:
        """The part for the reader: `floss A`, `lace: sleeve hems`."""
        return _label(self.kind, self.name)

    @property
    def missing_key(self) -> str:
        """What stands in a plan where no material has been chosen."""
        return f"{UNCHOSEN}{self.revision.pk}|{self.kind}|{self.name}"


def unchosen_label(material_key: str) -> str | None:
    """The part for the reader where a plan's key stands for no material chosen; None where one is chosen."""
    if not material_key.startswith(UNCHOSEN):
        return None
    return _label(*material_key.removeprefix(UNCHOSEN).split("|", 2)[1:])


def _label(kind: str, name: str) -> str:
    if kind == MaterialKind.FLOSS:
        return _("floss %(role)s") % {"role": name}
    if kind == MaterialKind.THREAD:
        return _("sewing thread")
    if kind == MaterialKind.CLOTH:
        return _("cloth")
    return f"{MaterialKind(kind).label}: {known(name)}"


def parts_of(revision: DesignRevision) -> list[Part]:
    """Floss by role, trims, notions and thread; cloth comes last, since any that suits will do."""

    def part(kind: str, name: str, width_um: int | None = None) -> Part:
        return Part(revision=revision, kind=kind, name=name, width_um=width_um)

    return [
        *(part(MaterialKind.FLOSS.value, role) for role in _roles(revision)),
        *(part(*each) for need in revision.needs.order_by("pk") for each in _need_parts(need)),
        part(MaterialKind.THREAD.value, SEAMS),
        part(MaterialKind.CLOTH.value, ""),
    ]


def _need_parts(need: Need) -> Iterator[tuple[str, str, int | None]]:
    """Kind, place and width of a need, and of the ribbon drawn through it."""
    yield need.kind, need.place, need.width_um
    if need.is_threaded:
        yield MaterialKind.RIBBON.value, need.place, None


def _roles(revision: DesignRevision) -> list[str]:
    if revision.chart is None:
        return []
    return sorted({row.floss_role for row in revision.chart.rows.all()})


def usable_materials(kind: str, *, wash_c: int) -> list[Material]:
    """Materials in use that stand the wash, those with most free on the shelf first; never metal."""
    found = materials(kind=kind).filter(is_active=True, wash_max_c__gte=wash_c).exclude(fibre=Fibre.METAL)
    return list(found.order_by("-free_amount", "name", "shade"))  # type: ignore[misc]  # annotated by the query


def usual_choices(
    parts: Sequence[Part], *, wash_c: int, avoided_shades: tuple[str, ...] = ()
) -> Iterator[tuple[Part, Material]]:
    """For each part the material of which most is free, in no shade a ward avoids and of the width asked for.

    Two flosses of one design differ where they can.
    """
    taken: set[int] = set()
    for part in parts:
        if part.kind == MaterialKind.CLOTH:
            continue
        usable = usable_materials(part.kind, wash_c=wash_c)
        welcome = [each for each in usable if avoided_word(str(each), avoided_shades) is None]
        found = _usual(part, welcome, taken)
        if found is not None:
            taken.add(found.pk)
            yield part, found


def _usual(part: Part, usable: Iterable[Material], taken: set[int]) -> Material | None:
    """A notion must at least sound like what is needed: bags are no fastenings, however many lie there."""
    wanted = _words(part.name)
    ranked = [
        (
            is_of_width(material, part.width_um),
            len(wanted & _words(material.name)),
            material.pk not in taken,
            material,
        )
        for material in usable
    ]
    if part.kind == MaterialKind.NOTION:
        ranked = [entry for entry in ranked if entry[1]]
    best = max(ranked, key=lambda entry: entry[:3], default=None)
    return best[3] if best else None


def is_of_width(material: Material, width_um: int | None) -> bool:
    """Does a trim show the width asked for, to a millimetre? Any does where none is asked for."""
    if width_um is None:
        return True
    return material.shown_um is not None and abs(material.shown_um - width_um) <= SAME_WIDTH_UM


def _words(text: str) -> set[str]:
    """Longer words without a plural's ending, so that `flat fastenings` answers `flat fastening`."""
    return {word.strip(".,;:()").rstrip("s") for word in text.lower().split() if len(word) > 3}
