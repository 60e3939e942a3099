"""What a kit sheet says of gowns without smocking: nobody is told to pleat or smock what has no pleats."""

from django.utils.translation import gettext as _

from gowngroup.batches.models import Stage
from gowngroup.catalog.models import Design
from gowngroup.printing import words


def steps_of(kind: str, *, is_smocked: bool) -> tuple[str, ...]:
    """The usual order of work of a kind of gown, smocked or not (common practice, no source)."""
    if is_smocked or kind == Design.Kind.WRAP:
        return words.usual_steps(kind)
    return (
        _("Lay the pieces out and find the marks that meet."),
        _("Sew the shoulders, then bind the neck."),
        _("Hem the sleeves and sew them in."),
        _("Sew the side seams with the underarms in one, as narrow French seams."),
        _("Hem the back edges and the lower edge, and sew on the fastening, off the spine."),
        _("Look the gown over, inside too: no knots, no loose threads, no pin or needle left."),
    )


def cautions_of(stage: str, *, is_smocked: bool) -> tuple[str, ...]:
    """The usual cautions of a stage; where nothing is smocked, pins are only counted."""
    smocking, counting = (
        _("No pins while smocking. Count needles and pins out, and count them back."),
        _("Count needles and pins out, and count them back."),
    )
    usual = words.handling_cautions() if stage in (Stage.PLEAT, Stage.SMOCK) else words.cautions()
    has_smocking = is_smocked and stage in (Stage.WHOLE, Stage.SMOCK)
    return usual if has_smocking else tuple(counting if each == smocking else each for each in usual)
