"""Sizes, smocking charts, designs and what a gown needs; a revision that was used is never changed."""

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from gowngroup.catalog.material_kinds import SET_IN_KINDS, TRIM_KINDS, MaterialKind

__all__ = ["SET_IN_KINDS", "TRIM_KINDS", "MaterialKind"]  # other rooms know them from here


class Purpose(models.TextChoices):
    WORN = "worn", _("to wear")
    MEMORIAL = "memorial", _("memorial")


class Size(models.Model):
    """A weight band with the body measures of its upper edge; people see it as a length."""

    lower_mass_g = models.PositiveIntegerField(_("from, in grams"))
    upper_mass_g = models.PositiveIntegerField(_("to, in grams"), unique=True)
    body_length_um = models.PositiveBigIntegerField(_("body length"))
    chest_um = models.PositiveBigIntegerField(_("chest"), null=True, blank=True)
    has_armholes = models.BooleanField(_("gowns of this size have armholes"), default=True)
    source = models.CharField(_("where the measures come from"), max_length=300, blank=True)

    class Meta:
        ordering = ["upper_mass_g"]
        constraints = [
            models.CheckConstraint(
                condition=Q(lower_mass_g__lt=F("upper_mass_g")), name="size_band_runs_upward"
            ),
        ]

    def __str__(self) -> str:
        return self.band

    @property
    def band(self) -> str:
        """The weight band, for bags, receipts and people of the group."""
        return f"{self.lower_mass_g}–{self.upper_mass_g} g"

    @property
    def length_cm(self) -> int:
        """The body length a gown of this size fits up to, in whole centimetres."""
        return (self.body_length_um + 5_000) // 10_000


class Chart(models.Model):
    """A smocking chart: rows of stitches from the top; a changed chart is a new number."""

    name = models.CharField(_("name"), max_length=80)
    number = models.PositiveSmallIntegerField(_("number"), default=1)
    note = models.TextField(_("note"), blank=True, max_length=1000)

    class Meta:
        ordering = ["name", "number"]
        constraints = [models.UniqueConstraint(fields=["name", "number"], name="chart_number_once")]

    def __str__(self) -> str:
        return self.name if self.number == 1 else f"{self.name} ({self.number})"


class ChartRow(models.Model):
    """One row of a chart: its stitch, where it lies, with which floss."""

    class Stitch(models.TextChoices):
        CABLE = "cable", _("cable")
        STEM = "stem", _("stem")
        OUTLINE = "outline", _("outline")
        WAVE = "wave", _("wave")
        TRELLIS = "trellis", _("trellis")

    chart = models.ForeignKey(Chart, models.CASCADE, related_name="rows")
    position = models.PositiveSmallIntegerField(_("row"))
    stitch = models.CharField(_("stitch"), max_length=10, choices=Stitch)
    step_count = models.PositiveSmallIntegerField(_("steps between turns"), default=0)
    top_half_space = models.PositiveSmallIntegerField(
        _("half spaces below the first pleated row where the row's top lies")
    )
    rise_half_spaces = models.PositiveSmallIntegerField(_("half spaces the row rises"), default=0)
    floss_role = models.CharField(_("floss"), max_length=1, default="A")
    strand_count = models.PositiveSmallIntegerField(_("strands"), default=3)
    start = models.CharField(
        _("starts at"),
        max_length=6,
        choices=[("centre", _("the centre")), ("left", _("the left")), ("right", _("the right"))],
        default="centre",
    )
    centre_at = models.CharField(
        _("its middle stitch lies"),
        max_length=6,
        choices=[("bottom", _("low")), ("top", _("high"))],
        default="bottom",
    )
    is_back_smocking = models.BooleanField(_("worked on the wrong side"), default=False)
    meets_row_above = models.BooleanField(_("its turns meet those of the row above"), default=False)

    class Meta:
        ordering = ["chart", "position"]
        constraints = [models.UniqueConstraint(fields=["chart", "position"], name="chart_row_once")]

    def __str__(self) -> str:
        return f"{self.position}: {self.stitch}"


class Design(models.Model):
    """A gown the group makes; what it is made of stands in its revisions."""

    class Kind(models.TextChoices):
        ROUND_NECK = "round-neck", _("round-necked gown, smocked all round, drafted from the baby's measures")
        YOKE = "yoke", _("yoke gown with a smocked front panel, drafted from the baby's measures")
        WRAP = "wrap", _("wrap for the smallest, drafted from the baby's measures")
        RECTANGLES = "rectangles", _("pieces entered as rectangles for each size")
        OUTLINES = "outlines", _("pieces of your own, their corners entered for each size")

    name = models.CharField(_("name"), max_length=80, unique=True)
    kind = models.CharField(_("how it is cut"), max_length=12, choices=Kind)
    is_active = models.BooleanField(_("is being made"), default=True)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    def is_drafted(self) -> bool:
        """Are its pieces worked out from the baby's measures?"""
        return self.kind in (self.Kind.ROUND_NECK, self.Kind.YOKE, self.Kind.WRAP)


class DesignRevision(models.Model):
    """One state of a design; frozen as soon as a plan or gown has used it."""

    class Closure(models.TextChoices):
        FLAT_FASTENING = "flat-fastening", _("one flat fastening off the spine, not of metal")
        HOOK_AND_LOOP = "hook-and-loop", _("a short strip of hook-and-loop tape")
        WRAP = "wrap", _("wraps over, no fastening")
        TIES = "ties", _("short ties at the side")

    class Companion(models.TextChoices):
        BONNET = "bonnet", _("a bonnet")
        BLANKET = "blanket", _("a wrap blanket")
        KEEPSAKES = "keepsakes", _("two matching squares: one stays with the baby, one with the family")
        SWATCH = "swatch", _("a spare piece of the cloth")

    class SeamClass(models.TextChoices):
        """How seams are sewn, by stitch class of ISO 4915."""

        LOCKSTITCH = "301", _("lockstitch, as French seams (301)")
        CHAINSTITCH = "401", _("chainstitch of two threads, as French seams (401)")
        OVEREDGE_3 = "504", _("overedge of three threads, joined and neatened at once (504)")
        OVEREDGE_4 = "514", _("overedge of four threads, joined and neatened at once (514)")
        SAFETY = "516", _("safety stitch of five threads, joined and neatened at once (516)")

    class TrimClass(models.TextChoices):
        """How lace and other trims are sewn on, by stitch class of ISO 4915."""

        LOCKSTITCH = "301", _("lockstitch (301)")
        ZIGZAG = "304", _("zigzag (304)")

    class MatchedPart(models.TextChoices):
        FRONT = "front", _("front")
        BACK = "back", _("backs")
        SLEEVE = "sleeve", _("sleeves")
        YOKE = "yoke", _("yokes")

    design = models.ForeignKey(Design, models.PROTECT, related_name="revisions")
    number = models.PositiveSmallIntegerField(default=1)
    chart = models.ForeignKey(Chart, models.PROTECT, null=True, blank=True, verbose_name=_("smocking chart"))
    closure = models.CharField(_("closure"), max_length=20, choices=Closure, default=Closure.FLAT_FASTENING)
    tie_length_um = models.PositiveBigIntegerField(_("finished length of a tie"), default=0)
    difficulty = models.PositiveSmallIntegerField(
        _("difficulty"), default=1, choices=[(1, _("easy")), (2, _("some practice")), (3, _("experienced"))]
    )
    is_for_worn = models.BooleanField(_("for gowns to wear"), default=True)
    is_for_memorial = models.BooleanField(_("for memorial gowns"), default=True)
    cloth_mass_min_g_per_m2 = models.PositiveSmallIntegerField(_("cloth weight from"), default=60)
    cloth_mass_max_g_per_m2 = models.PositiveSmallIntegerField(_("cloth weight to"), default=150)
    order_of_work = models.JSONField(_("order of work, a step a line"), default=list)
    # How many steps are done when the pleating ends and when the smocking ends; nothing where that is not told.
    stage_ends = models.JSONField(_("steps after which a stage ends"), default=list)
    companions = models.JSONField(_("cut along with each gown"), default=list)
    matched_parts = models.JSONField(_("parts whose print must meet"), default=list)
    seam_class = models.CharField(
        _("how its seams are sewn"), max_length=3, choices=SeamClass, default=SeamClass.LOCKSTITCH
    )
    trim_class = models.CharField(
        _("how lace is sewn on"), max_length=3, choices=TrimClass, default=TrimClass.LOCKSTITCH
    )
    used_at = models.DateTimeField(null=True, editable=False)

    class Meta:
        ordering = ["design", "-number"]
        constraints = [
            models.UniqueConstraint(fields=["design", "number"], name="design_revision_once"),
            models.CheckConstraint(
                condition=Q(cloth_mass_min_g_per_m2__lte=F("cloth_mass_max_g_per_m2")),
                name="cloth_mass_range_runs_upward",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.design} {self.number}"

    def is_frozen(self) -> bool:
        return self.used_at is not None

    def companion_labels(self) -> list[str]:
        """What is cut along with each gown, in words."""
        return [str(self.Companion(kind).label) for kind in self.companions]

    def matched_labels(self) -> list[str]:
        """Parts whose print must meet, in words."""
        return [str(self.MatchedPart(part).label) for part in self.matched_parts]

    def purposes(self) -> tuple[str, ...]:
        """What it is made for, gowns to wear first."""
        made = ((Purpose.WORN.value, self.is_for_worn), (Purpose.MEMORIAL.value, self.is_for_memorial))
        return tuple(purpose for purpose, is_made in made if is_made)


class DesignSize(models.Model):
    """A size a design is made in, with what is particular to it."""

    revision = models.ForeignKey(DesignRevision, models.CASCADE, related_name="sizes")
    size = models.ForeignKey(Size, models.PROTECT, related_name="+")
    pleat_count = models.PositiveSmallIntegerField(
        _("pleats"), null=True, blank=True, help_text=_("Drafted designs work this out.")
    )
    smocked_width_um = models.PositiveBigIntegerField(_("finished smocked width"), null=True, blank=True)
    overrides = models.JSONField(_("measures the group has set itself"), default=dict, blank=True)

    class Meta:
        ordering = ["size__upper_mass_g"]
        constraints = [models.UniqueConstraint(fields=["revision", "size"], name="design_size_once")]

    def __str__(self) -> str:
        return f"{self.revision}, {self.size}"


class RectanglePiece(models.Model):
    """A piece of a design entered as a rectangle, seam allowance included."""

    class Part(models.TextChoices):
        SMOCKED_PANEL = "smocked panel", _("smocked panel")
        FRONT = "front", _("front")
        BACK = "back", _("back")
        YOKE = "yoke", _("yoke")
        SLEEVE = "sleeve", _("sleeve")
        BINDING = "binding", _("binding")
        WRAP = "wrap", _("wrap")
        OTHER = "other", _("something else")

    design_size = models.ForeignKey(DesignSize, models.CASCADE, related_name="pieces")
    name = models.CharField(_("piece"), max_length=60)
    part = models.CharField(_("part of the gown"), max_length=14, choices=Part, default=Part.OTHER)
    piece_count = models.PositiveSmallIntegerField(_("how many"), validators=[MinValueValidator(1)])
    width_um = models.PositiveBigIntegerField(_("width, across the cloth"))
    length_um = models.PositiveBigIntegerField(_("length, along the selvedge"))
    may_turn = models.BooleanField(_("may be turned upside down"), default=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["design_size", "name"], name="rectangle_piece_once"),
            models.CheckConstraint(
                condition=Q(width_um__gt=0, length_um__gt=0, piece_count__gt=0), name="rectangle_has_size"
            ),
        ]

    def __str__(self) -> str:
        return self.name


class OutlinePiece(models.Model):
    """A piece the group drew itself, by its corners in the order they are walked round.

    Each corner is [across the piece, down the piece, bow] in micrometres: how far the edge from this corner to the
    next stands out in its middle, below nothing where it is hollow.
    """

    class Grain(models.IntegerChoices):
        ALONG = 0, _("down the piece, along the selvedge")
        ACROSS = 90, _("across the piece")
        BIAS = 45, _("on the bias")

    design_size = models.ForeignKey(DesignSize, models.CASCADE, related_name="outlines")
    name = models.CharField(_("piece"), max_length=60)
    part = models.CharField(
        _("part of the gown"),
        max_length=14,
        choices=RectanglePiece.Part,
        default=RectanglePiece.Part.OTHER,
    )
    piece_count = models.PositiveSmallIntegerField(_("how many"), validators=[MinValueValidator(1)])
    corners_um = models.JSONField(_("corners"))
    allowance_um = models.PositiveBigIntegerField(_("seam allowance to add all round"), default=0)
    grain_deg = models.PositiveSmallIntegerField(_("grain"), choices=Grain, default=Grain.ALONG)
    is_pair = models.BooleanField(_("every second one turned over"), default=False)
    is_on_fold = models.BooleanField(_("half of it, cut on the fold"), default=False)
    may_turn = models.BooleanField(_("may be turned upside down"), default=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["design_size", "name"], name="outline_piece_once"),
            models.CheckConstraint(condition=Q(piece_count__gt=0), name="outline_is_cut"),
        ]

    def __str__(self) -> str:
        return self.name


class Need(models.Model):
    """A trim or notion of a gown: lace on an edge, ribbon for a bow, a fastening."""

    revision = models.ForeignKey(DesignRevision, models.CASCADE, related_name="needs")
    kind = models.CharField(
        _("what"),
        max_length=12,
        choices=[c for c in MaterialKind.choices if c[0] not in ("cloth", "floss", "thread")],
    )
    place = models.CharField(_("where it goes"), max_length=60)
    edge = models.CharField(
        _("edge of the draft it follows"),
        max_length=40,
        blank=True,
        help_text=_("Only for drafted designs; the length is then worked out."),
    )
    gather_percent = models.PositiveSmallIntegerField(_("gathering, 100 for flat"), default=100)
    end_allowance_um = models.PositiveBigIntegerField(_("allowance at each end"), default=10_000)
    piece_count = models.PositiveSmallIntegerField(_("how many"), default=1)
    width_um = models.PositiveBigIntegerField(_("width that shows"), null=True, blank=True)
    is_threaded = models.BooleanField(_("a ribbon is drawn through it"), default=False)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["revision", "kind", "place"], name="need_once"),
            models.CheckConstraint(condition=Q(gather_percent__gte=100), name="gathering_takes_more"),
            models.CheckConstraint(
                condition=Q(gather_percent=100) | ~Q(kind__in=SET_IN_KINDS), name="set_in_lies_flat"
            ),
            models.CheckConstraint(
                condition=Q(is_threaded=False) | Q(kind="beading"), name="only_beading_is_threaded"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind}: {self.place}"


class NeedLength(models.Model):
    """The finished length of a need in one size, where no draft works it out."""

    need = models.ForeignKey(Need, models.CASCADE, related_name="lengths")
    size = models.ForeignKey(Size, models.PROTECT, related_name="+")
    length_um = models.PositiveBigIntegerField(_("length"))

    class Meta:
        constraints = [models.UniqueConstraint(fields=["need", "size"], name="need_length_once")]

    def __str__(self) -> str:
        return f"{self.need}, {self.size}"


class PleaterProfile(models.Model):
    """The group's pleater: what one pleat takes up and how far the needles stand apart."""

    name = models.CharField(_("name"), max_length=60, unique=True)
    take_up_um = models.PositiveIntegerField(_("flat cloth per pleat"), default=6350)
    row_space_um = models.PositiveIntegerField(_("space between rows"), default=9525)
    needle_count = models.PositiveSmallIntegerField(_("needles"), default=24)
    is_in_use = models.BooleanField(_("is used for planning"), default=True)
    calibrated_on = models.DateField(_("calibrated on"), null=True, blank=True)

    class Meta:
        ordering = ["name"]
        constraints = [
            models.CheckConstraint(
                condition=Q(take_up_um__gt=0, row_space_um__gt=0), name="pleater_has_size"
            ),
            models.UniqueConstraint(
                fields=["is_in_use"], condition=Q(is_in_use=True), name="one_pleater_in_use"
            ),
        ]

    def __str__(self) -> str:
        return self.name
