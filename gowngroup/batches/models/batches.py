"""The month's batch: what is to be made, the plan for it, its lays and the kits."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from gowngroup.catalog.models import DesignRevision, MaterialKind, Purpose, Size
from gowngroup.stock.models import Lot, Material
from gowngroup.wards.models import RequestLine


class Stage(models.TextChoices):
    WHOLE = "whole", _("whole gown")
    PLEAT = "pleat", _("pleat")
    SMOCK = "smock", _("smock")
    MAKE_UP = "make up", _("make up")


class Batch(models.Model):
    """One month's gowns from proposal to kits."""

    class State(models.TextChoices):
        PROPOSED = "proposed", _("being put together")
        PLANNED = "planned", pgettext_lazy("batch", "planned")
        COMMITTED = "committed", _("under way")
        CLOSED = "closed", _("closed")

    class CuttingWay(models.TextChoices):
        TOGETHER = "together", _("All gowns of a lot together – least cloth")
        KIT_BY_KIT = "kit by kit", _("Kit by kit – each kit’s pieces side by side, easier to pack")
        FOLDED = "folded", _("Folded in half lengthwise – two layers at once, quicker to cut")

    month = models.DateField(_("month"))
    number = models.PositiveSmallIntegerField(default=1)
    state = models.CharField(max_length=10, choices=State, default=State.PROPOSED)
    hours_offered_min = models.PositiveIntegerField(_("minutes the volunteers offer"), default=0)
    pleat_min = models.PositiveIntegerField(_("of these for pleating, at most"), null=True, blank=True)
    smock_min = models.PositiveIntegerField(_("of these for smocking, at most"), null=True, blank=True)
    make_up_min = models.PositiveIntegerField(_("of these for making up, at most"), null=True, blank=True)
    cutting_way = models.CharField(
        _("how shall the cloth be cut?"), max_length=10, choices=CuttingWay, default=CuttingWay.TOGETHER
    )
    proposal = models.JSONField(default=dict, editable=False)
    note = models.TextField(_("note"), blank=True, max_length=1000)

    class Meta:
        ordering = ["-month", "-number"]
        verbose_name_plural = "batches"
        constraints = [
            models.UniqueConstraint(fields=["month", "number"], name="batch_once"),
            models.CheckConstraint(condition=Q(month__day=1), name="batch_month_is_its_first_day"),
        ]

    def __str__(self) -> str:
        return f"{self.month:%Y-%m}/{self.number}"


class BatchLine(models.Model):
    """So many gowns of one design, size and purpose; what was proposed and why stays beside it."""

    batch = models.ForeignKey(Batch, models.CASCADE, related_name="lines")
    design_revision = models.ForeignKey(
        DesignRevision, models.PROTECT, related_name="+", verbose_name=_("design")
    )
    size = models.ForeignKey(Size, models.PROTECT, related_name="+", verbose_name=_("size"))
    purpose = models.CharField(_("purpose"), max_length=8, choices=Purpose)
    gown_count = models.PositiveSmallIntegerField(_("gowns"))
    proposed_count = models.PositiveSmallIntegerField(default=0, editable=False)
    gowns_per_kit = models.PositiveSmallIntegerField(_("gowns in a kit"), default=1)
    reason = models.JSONField(default=dict, editable=False)

    class Meta:
        ordering = ["size__upper_mass_g", "purpose", "design_revision"]
        constraints = [
            models.UniqueConstraint(
                fields=["batch", "design_revision", "size", "purpose"], name="batch_line_once"
            ),
            models.CheckConstraint(condition=Q(gowns_per_kit__gt=0), name="a_kit_holds_gowns"),
        ]

    def __str__(self) -> str:
        return f"{self.gown_count} × {self.design_revision}, {self.size}"


class MaterialChoice(models.Model):
    """Which material a batch uses for a part of a design: floss A of its chart, lace of the hem."""

    batch = models.ForeignKey(Batch, models.CASCADE, related_name="choices")
    design_revision = models.ForeignKey(DesignRevision, models.PROTECT, related_name="+")
    kind = models.CharField(max_length=12, choices=MaterialKind)
    part = models.CharField(max_length=60)
    material = models.ForeignKey(Material, models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["batch", "design_revision", "kind", "part"], name="material_choice_once"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.part}: {self.material}"


class Plan(models.Model):
    """A whole plan as it was worked out, with everything it was worked out from; never recomputed.

    While a job looks for better plans it replaces the document of its own plan; afterwards nobody does. A plan that
    `replaces` another one takes the place of what was not cut of it; what was cut stays with the first.
    """

    batch = models.ForeignKey(Batch, models.PROTECT, related_name="plans")
    number = models.PositiveSmallIntegerField()
    format_version = models.PositiveSmallIntegerField()
    document = models.JSONField()
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    committed_at = models.DateTimeField(null=True)
    replaces = models.ForeignKey("self", models.PROTECT, null=True, related_name="followers")
    replaced_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["batch", "-number"]
        constraints = [
            models.UniqueConstraint(fields=["batch", "number"], name="plan_number_once"),
            models.UniqueConstraint(
                fields=["batch"],
                condition=Q(committed_at__isnull=False, replaced_at__isnull=True),
                name="one_committed_plan",
            ),
            models.CheckConstraint(
                condition=Q(replaced_at__isnull=True) | Q(committed_at__isnull=False),
                name="only_a_committed_plan_is_replaced",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.batch} plan {self.number}"


class Lay(models.Model):
    """The pieces cut together from one lot of cloth, as placed in the plan."""

    plan = models.ForeignKey(Plan, models.PROTECT, related_name="lays")
    number = models.PositiveSmallIntegerField()
    lot = models.ForeignKey(Lot, models.PROTECT, related_name="lays")
    length_um = models.PositiveBigIntegerField(_("length to measure off"))
    cut_length_um = models.PositiveBigIntegerField(_("length really cut"), null=True)
    cut_at = models.DateTimeField(null=True)
    freed_at = models.DateTimeField(_("planned anew"), null=True)

    class Meta:
        ordering = ["plan", "number"]
        constraints = [
            models.UniqueConstraint(fields=["plan", "number"], name="lay_number_once"),
            models.CheckConstraint(
                condition=Q(cut_at__isnull=True) | Q(freed_at__isnull=True), name="a_cut_lay_is_not_freed"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.plan} lay {self.number}"


class MatchedSet(models.Model):
    """Two or three gowns from one cloth, kept together until the drop-off."""

    request_line = models.ForeignKey(RequestLine, models.SET_NULL, null=True, blank=True, related_name="+")

    def __str__(self) -> str:
        return f"set {self.pk}"


class Kit(models.Model):
    """What one volunteer takes home: one design, size and purpose, cloth from one lot."""

    class State(models.TextChoices):
        PLANNED = "planned", _("planned")
        CUT = "cut", _("cut")
        PACKED = "packed", _("packed")
        WAITING = "waiting", _("waiting for somebody to sew it")
        CLAIMED = "claimed", _("being sewn")
        RETURNED = "returned", pgettext_lazy("kit", "back")
        LOST = "lost", _("lost")
        WRITTEN_OFF = "written off", _("written off")

    code = models.CharField(_("code"), max_length=12, unique=True)
    number = models.PositiveSmallIntegerField(_("number in its plan"), null=True, editable=False)
    batch = models.ForeignKey(Batch, models.PROTECT, related_name="kits")
    lay = models.ForeignKey(Lay, models.PROTECT, related_name="kits")
    design_revision = models.ForeignKey(DesignRevision, models.PROTECT, related_name="+")
    size = models.ForeignKey(Size, models.PROTECT, related_name="+")
    purpose = models.CharField(max_length=8, choices=Purpose)
    stage = models.CharField(max_length=8, choices=Stage, default=Stage.WHOLE)
    gown_count = models.PositiveSmallIntegerField(_("gowns"), default=1)
    returned_count = models.PositiveSmallIntegerField(_("gowns back"), default=0)
    outer_lot = models.ForeignKey(Lot, models.PROTECT, related_name="kits")
    matched_set = models.ForeignKey(MatchedSet, models.PROTECT, null=True, blank=True, related_name="kits")
    state = models.CharField(max_length=12, choices=State, default=State.PLANNED)
    minutes_low = models.PositiveIntegerField(default=0)
    minutes_high = models.PositiveIntegerField(default=0)
    holder = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="kits_held"
    )
    due_on = models.DateField(_("due on"), null=True, blank=True)
    offered_at = models.DateTimeField(_("offered since"), null=True, editable=False)
    is_pleated = models.BooleanField(_("is pleated already"), default=False)
    place = models.CharField(_("where it lies, if not at the usual place"), max_length=120, blank=True)
    can_be_posted = models.BooleanField(_("can be posted"), default=False)
    kept_for = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.SET_NULL, null=True, blank=True, related_name="kits_kept"
    )
    ended_reason = models.CharField(_("reason"), max_length=200, blank=True)

    class Meta:
        ordering = ["batch", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(gown_count__gt=0), name="kit_makes_gowns"),
            models.CheckConstraint(
                condition=Q(returned_count__lte=F("gown_count")), name="no_more_back_than_out"
            ),
            models.CheckConstraint(
                condition=Q(state="claimed", holder__isnull=False)
                | (~Q(state="claimed") & Q(holder__isnull=True)),
                name="claimed_means_held",
            ),
            models.CheckConstraint(
                condition=~Q(state="claimed") | Q(kept_for__isnull=True), name="kept_only_until_claimed"
            ),
        ]
        indexes = [models.Index(fields=["state", "due_on"], name="kit_by_state")]

    def __str__(self) -> str:
        return self.code

    @property
    def open_count(self) -> int:
        """The gowns that are still to come back."""
        return self.gown_count - self.returned_count

    def is_memorial(self) -> bool:
        return self.purpose == Purpose.MEMORIAL


class KitLine(models.Model):
    """One thing to go into a kit, ticked while packing; `lot` and `amount` where it comes off the shelf."""

    kit = models.ForeignKey(Kit, models.CASCADE, related_name="lines")
    position = models.PositiveSmallIntegerField()
    kind = models.CharField(max_length=12, choices=[*MaterialKind.choices, ("sheet", _("sheet"))])
    text = models.CharField(max_length=200)
    lot = models.ForeignKey(Lot, models.PROTECT, null=True, blank=True, related_name="+")
    amount = models.PositiveBigIntegerField(default=0)
    ticked_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["kit", "position"]
        constraints = [models.UniqueConstraint(fields=["kit", "position"], name="kit_line_once")]

    def __str__(self) -> str:
        return self.text


class Reservation(models.Model):
    """What a committed plan holds of a lot: cloth for a lay, trims and floss for the batch."""

    plan = models.ForeignKey(Plan, models.PROTECT, related_name="reservations")
    lot = models.ForeignKey(Lot, models.PROTECT, related_name="reservations")
    lay = models.OneToOneField(Lay, models.PROTECT, null=True, blank=True, related_name="reservation")
    amount = models.PositiveBigIntegerField()
    open_amount = models.PositiveBigIntegerField()

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(open_amount__lte=F("amount")), name="open_at_most_reserved"),
        ]

    def __str__(self) -> str:
        return f"{self.plan}: {self.lot} {self.open_amount}"
