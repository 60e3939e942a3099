"""A gown whose pieces are typed in as rectangles, through the same actions as a page's."""

from datetime import datetime

from gowngroup.catalog.actions import (
    NeedEntry,
    PieceEntry,
    RevisionDetails,
    SizeEntry,
    add_design,
    set_design_sizes,
    set_needs,
    set_pieces,
)
from gowngroup.catalog.models import Chart, DesignRevision, Size
from gowngroup.people.models import Person

PIECES = (
    PieceEntry(name="front panel", piece_count=1, width_um=508_000, length_um=260_000, part="smocked panel"),
    PieceEntry(name="back", piece_count=2, width_um=260_000, length_um=260_000, part="back"),
    PieceEntry(name="front yoke", piece_count=2, width_um=145_000, length_um=66_000, part="yoke"),
    PieceEntry(name="sleeve", piece_count=2, width_um=184_000, length_um=81_000, part="sleeve"),
    PieceEntry(name="neck binding", piece_count=1, width_um=24_000, length_um=209_000, part="binding"),
)


def add_box_gown(*, by: Person, at: datetime) -> DesignRevision:
    """The design in two sizes, 1500 g and 2500 g, alike but for their finished length."""
    details = RevisionDetails(chart=Chart.objects.get(name="Garden gate"), difficulty=2)
    revision = add_design(name="Box gown", kind="rectangles", details=details, by=by, at=at)
    sizes = list(Size.objects.filter(upper_mass_g__in=(1500, 2500)))
    entries = [
        SizeEntry(
            size=size,
            pleat_count=74,
            smocked_width_um=130_000,
            overrides={"neck_mm": 165.0, "chest_mm": 317.0, "length_mm": length_mm},
        )
        for size, length_mm in zip(sizes, (270.0, 311.0), strict=True)
    ]
    set_design_sizes(revision=revision, entries=entries, by=by, at=at)
    for row in revision.sizes.all():
        set_pieces(design_size=row, pieces=PIECES, by=by, at=at)
    lace = NeedEntry(
        kind="lace",
        place="sleeve hems",
        gather_percent=150,
        piece_count=2,
        lengths_um={size.pk: 170_000 for size in sizes},
    )
    fastening = NeedEntry(kind="notion", place="flat fastening, not of metal")
    return set_needs(revision=revision, needs=(lace, fastening), by=by, at=at)
