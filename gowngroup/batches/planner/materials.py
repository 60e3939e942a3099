"""Which material a batch uses for a part of a design, unless the coordinator says otherwise."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from gowngroup.catalog.models import DesignRevision, MaterialKind
from gowngroup.planning.shades import avoided_word
from gowngroup.stock.models import Fibre, Material
from gowngroup.stock.queries import materials

SEAMS = "seams"


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part of a design that is made of a material to be chosen."""

    revision: DesignRevision
    kind: str
    name: str

    @property
    def label(self) -> str:
        """The part for the reader: `floss A`, `lace: sleeve hems`."""
        if self.kind == MaterialKind.FLOSS:
            return _("floss %(role)s") % {"role": self.name}
        if self.kind == MaterialKind.THREAD:
            return _("sewing thread")
        if self.kind == MaterialKind.CLOTH:
            return _("cloth")
        return f"{MaterialKind(self.kind).label}: {self.name}"

    @property
    def missing_key(self) -> str:
        """What stands in a plan where no material has been chosen."""
        return f"none|{self.revision.pk}|{self.kind}|{self.name}"


def parts_of(revision: DesignRevision) -> list[Part]:
    """Floss by role, trims, notions and thread; cloth comes last, since any that suits will do."""
    return [
        Part(revision=revision, kind=kind, name=name)
        for kind, name in (
            *((MaterialKind.FLOSS.value, role) for role in _roles(revision)),
            *revision.needs.values_list("kind", "place").order_by("pk"),
            (MaterialKind.THREAD.value, SEAMS),
            (MaterialKind.CLOTH.value, ""),
        )
    ]


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
    """For each part the material of which most is free, in no shade a ward avoids; two flosses of one design differ."""
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
        (len(wanted & _words(material.name)), material.pk not in taken, material) for material in usable
    ]
    if part.kind == MaterialKind.NOTION:
        ranked = [entry for entry in ranked if entry[0]]
    best = max(ranked, key=lambda entry: entry[:2], default=None)
    return best[2] if best else None


def _words(text: str) -> set[str]:
    """Longer words without a plural's ending, so that `flat fastenings` answers `flat fastening`."""
    return {word.strip(".,;:()").rstrip("s") for word in text.lower().split() if len(word) > 3}
