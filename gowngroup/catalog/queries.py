"""Reads of the catalog: sizes, charts, designs and their newest revisions."""

from collections.abc import Iterable

from django.db.models import Exists, OuterRef, Prefetch, QuerySet

from gowngroup.catalog.models import Chart, Design, DesignRevision, DesignSize, PleaterProfile, Size


def sizes() -> QuerySet[Size]:
    """Every size, smallest first."""
    return Size.objects.all()


def charts(*, search: str = "") -> QuerySet[Chart]:
    """Charts by name with their rows, every number of each."""
    found = Chart.objects.prefetch_related("rows")
    return found.filter(name__icontains=search) if search else found


def is_chart_used(chart: Chart) -> bool:
    """Has a gown that was planned or made used this chart?"""
    return DesignRevision.objects.filter(chart=chart, used_at__isnull=False).exists()


def sizes_worked_with(chart: Chart) -> list[DesignSize]:
    """The sizes of every design being made whose newest revision is smocked with this chart."""
    revisions = [revision for revision in revisions_in_use() if revision.chart_id == chart.pk]
    found = DesignSize.objects.filter(revision__in=revisions)
    return list(
        found.select_related("revision__design", "revision__chart", "size").order_by(
            "revision__design__name", "size__upper_mass_g"
        )
    )


def designs(*, search: str = "", are_active: bool = True) -> QuerySet[Design]:
    """Designs by name, those being made or those put by."""
    found = Design.objects.filter(is_active=are_active)
    return found.filter(name__icontains=search) if search else found


def newest_revision(design: Design) -> DesignRevision:
    """The newest state of a design."""
    return (
        DesignRevision.objects.filter(design=design).select_related("design", "chart").order_by("-number")[0]
    )


def newest_revisions(designs: Iterable[Design]) -> list[DesignRevision]:
    """The newest state of each of these designs, with all that one gown of it takes, in a fixed number of queries."""
    wanted = list(designs)
    newer = DesignRevision.objects.filter(design=OuterRef("design"), number__gt=OuterRef("number"))
    sizes = DesignSize.objects.select_related("size").prefetch_related("pieces", "outlines")
    found = DesignRevision.objects.filter(design__in=wanted).exclude(Exists(newer))
    whole = found.select_related("design", "chart").prefetch_related(
        "chart__rows", Prefetch("sizes", queryset=sizes), "needs__lengths"
    )
    by_design = {revision.design_id: revision for revision in whole}
    return [by_design[design.pk] for design in wanted]


def revisions_in_use() -> list[DesignRevision]:
    """The newest revision of every design that is being made, by name of the design."""
    return [newest_revision(design) for design in Design.objects.filter(is_active=True)]


def revisions_for(*, size: Size, purpose: str) -> list[DesignRevision]:
    """Newest revisions of the designs made in a size for a purpose, by name of the design."""
    return [
        revision
        for revision in revisions_in_use()
        if (revision.is_for_worn if purpose == "worn" else revision.is_for_memorial)
        and revision.sizes.filter(size=size).exists()
    ]


def pleaters() -> QuerySet[PleaterProfile]:
    """Every pleater, the one in use first."""
    return PleaterProfile.objects.order_by("-is_in_use", "name")
