"""What the circle has made its own of the designs a catalog starts with."""

from datetime import datetime

from gowngroup.catalog.actions import RevisionDetails, change_revision
from gowngroup.catalog.models import Design, DesignRevision
from gowngroup.catalog.queries import newest_revision
from gowngroup.people.models import Person


def add_keepsakes(*, by: Person, at: datetime) -> DesignRevision:
    """From the cloth of each wrap two matching squares are cut: one stays with the baby, one with the family."""
    wrap = newest_revision(Design.objects.get(kind=Design.Kind.WRAP))
    *before, last = wrap.order_of_work
    details = RevisionDetails(
        closure=wrap.closure,
        difficulty=wrap.difficulty,
        order_of_work=(*before, "Hem the two squares by hand, with mitred corners.", last),
        companions=(DesignRevision.Companion.KEEPSAKES.value,),
    )
    return change_revision(revision=wrap, details=details, by=by, at=at)
