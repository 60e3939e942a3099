"""What a kit's card shows: its gown, stitches and hours."""

from collections.abc import Mapping, Sequence

from django import template
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.batches.models import Call, Kit, Stage
from gowngroup.catalog.drawing import GownDrawing
from gowngroup.catalog.models import TRIM_KINDS, MaterialKind
from gowngroup.records.templatetags.gown import amount_filter, hours
from gowngroup.stock.models import Lot

NOT_NAMED = (MaterialKind.CLOTH, MaterialKind.NOTION, "sheet")
register = template.Library()


@register.filter
def stitches(kit: Kit) -> str:
    """The stitches of a kit's chart, each named once: `cable, wave`."""
    chart = kit.design_revision.chart
    names = [] if chart is None else [str(row.get_stitch_display()) for row in chart.rows.all()]
    return ", ".join(dict.fromkeys(names))


@register.filter
def to_make(kit: Kit) -> str:
    """What there is to do with a kit, as a whole sentence where it is only one stage."""
    return _to_make_words(kit) % {"count": kit.open_count}


def _to_make_words(kit: Kit) -> str:
    count = kit.open_count
    if kit.stage == Stage.PLEAT:
        return ngettext(
            "Pleat %(count)d gown. Somebody else smocks it next.",
            "Pleat %(count)d gowns. Somebody else smocks them next.",
            count,
        )
    if kit.stage == Stage.SMOCK:
        return ngettext(
            "Smock %(count)d gown, which is pleated already. Somebody else makes it up.",
            "Smock %(count)d gowns, which are pleated already. Somebody else makes them up.",
            count,
        )
    if kit.stage == Stage.MAKE_UP:
        return ngettext(
            "Make up %(count)d gown, which is smocked already.",
            "Make up %(count)d gowns, which are smocked already.",
            count,
        )
    return ngettext("%(count)d gown, from start to finish", "%(count)d gowns, from start to finish", count)


@register.filter
def asks(call: Call) -> str:
    """Who asks for what, as a whole sentence: `Anna Field lacks something`."""
    sentences = {
        Call.Kind.HELP.value: _("%(name)s would like help"),
        Call.Kind.MISSING.value: _("%(name)s lacks something"),
        Call.Kind.SPOILT.value: _("%(name)s has something spoilt"),
        Call.Kind.POST.value: _("%(name)s asks to have it posted"),
    }
    return sentences[call.kind] % {"name": call.person.name}


@register.filter
def has_chart(kit: Kit) -> bool:
    """Is there something to smock in a kit, at its stage?"""
    return kit.design_revision.chart_id is not None and kit.stage in (Stage.WHOLE, Stage.SMOCK)


@register.filter
def chart_row_count(kit: Kit) -> int:
    """How many rows are smocked for a kit, over all its gowns."""
    chart = kit.design_revision.chart
    return 0 if chart is None else len(chart.rows.all()) * kit.gown_count


@amount_filter(register)
def usual_hours(kit: Kit) -> str:
    """How long such a kit usually takes, as a range in quarter hours: `4 h to 6 h 30 min`."""
    return _usual_range([kit])


@amount_filter(register)
def usual_hours_together(kit: Kit) -> str:
    """How long a whole matched set usually takes."""
    return _usual_range([kit, *fellows(kit)])


def _usual_range(kits: Sequence[Kit]) -> str:
    low, high = sum(kit.minutes_low for kit in kits), sum(kit.minutes_high for kit in kits)
    if not high:
        return ""
    low, high = (15 * max(1, round(minutes / 15)) for minutes in (low, high))
    if low == high:
        return hours(low)
    return _("%(low)s to %(high)s") % {"low": hours(low), "high": hours(high)}


@register.filter
def included(kit: Kit) -> str:
    """What a kit brings along, each kind once: `cloth cut out, not yet pleated, floss, lace`; no floss for who only makes it up."""
    words = [_("cloth cut out")]
    if has_chart(kit):
        words.append(_("pleated already") if kit.is_pleated else _("not yet pleated"))
    unnamed = (*NOT_NAMED, MaterialKind.FLOSS) if kit.stage == Stage.MAKE_UP else NOT_NAMED
    kinds = [str(line.get_kind_display()) for line in kit.lines.all() if line.kind not in unnamed]
    return ", ".join(dict.fromkeys([*words, *kinds]))


@register.filter
def fellows(kit: Kit) -> list[Kit]:
    """The other kits of a matched set that wait, or are sewn, together with this one."""
    if kit.matched_set is None:
        return []
    together = [each for each in kit.matched_set.kits.all() if each.state == kit.state]
    return [each for each in together if each.pk != kit.pk]


@register.filter
def of(values: Mapping[int, object], key: int) -> object:
    """What a view has worked out for a row, by the row's number."""
    return values.get(key)


@register.filter
def is_unwashed_trim(lot: Lot) -> bool:
    """Must lace, ribbon or another trim still be washed and measured before it is cut?"""
    return lot.state == Lot.State.AS_GIVEN and lot.material.kind in TRIM_KINDS and not lot.material.is_counted


@register.filter
def of_kit(drawings: Mapping[int, GownDrawing | None], kit: Kit) -> GownDrawing | None:
    """The drawing of a kit's gown among those a view has worked out."""
    return drawings.get(kit.pk)


@register.filter
def drawn_with(drawings: Mapping[int, GownDrawing | None], kit: Kit) -> int:
    """The number of the first kit of the page whose gown is drawn alike: its lines stand on the page once."""
    drawing = drawings.get(kit.pk)
    return next(number for number, each in drawings.items() if each is drawing)
