"""What lies on the shelf: materials, lots and an append-only ledger.

An *amount* is micrometres for what is measured by length and pieces for what is counted; the material says which.
"""

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from gowngroup.catalog.models import MaterialKind


class Fibre(models.TextChoices):
    COTTON = "cotton", _("cotton")
    COTTON_BLEND = "cotton blend", _("cotton blend")
    LINEN = "linen", _("linen")
    SILK = "silk", _("silk")
    VISCOSE = "viscose", _("viscose")
    POLYESTER = "polyester", _("polyester")
    NYLON = "nylon", _("nylon")
    METAL = "metal", _("metal")
    OTHER = "other", _("other")


class Material(models.Model):
    """Something the group sews with, whichever lot it comes from."""

    kind = models.CharField(_("kind"), max_length=12, choices=MaterialKind)
    name = models.CharField(_("name"), max_length=80)
    shade = models.CharField(_("shade, in the group's own words"), max_length=60, blank=True)
    swatch = models.CharField(_("colour of the swatch"), max_length=7, blank=True)
    fibre = models.CharField(_("fibre"), max_length=12, choices=Fibre, default=Fibre.COTTON)
    mass_g_per_m2 = models.PositiveSmallIntegerField(_("weight per square metre"), null=True, blank=True)
    width_um = models.PositiveBigIntegerField(
        _("width all over, of lace and other trims"), null=True, blank=True
    )
    batiste_um = models.PositiveBigIntegerField(_("batiste on each side, for the seams"), default=0)
    wash_max_c = models.PositiveSmallIntegerField(_("highest wash temperature"), default=60)
    has_nap = models.BooleanField(_("has a nap or one-way print"), default=False)
    repeat_um = models.PositiveBigIntegerField(
        _("length after which its print comes again, 0 for plain cloth"), default=0
    )
    is_counted = models.BooleanField(_("is counted in pieces"), default=False)
    package_amount = models.PositiveBigIntegerField(
        _("what one skein, card, spool or pack holds"), null=True, blank=True
    )
    package_word = models.CharField(_("sold by the"), max_length=20, blank=True)
    is_active = models.BooleanField(_("is in use"), default=True)

    class Meta:
        ordering = ["kind", "name", "shade"]
        constraints = [
            models.UniqueConstraint(fields=["kind", "name", "shade"], name="material_once"),
            models.CheckConstraint(
                condition=Q(width_um__isnull=True) | Q(width_um__gt=2 * F("batiste_um")),
                name="something_of_a_trim_shows",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name}, {self.shade}" if self.shade else self.name

    @property
    def shown_um(self) -> int | None:
        """The width that shows once the batiste on both sides lies in the seams, where it is known."""
        return None if self.width_um is None else self.width_um - 2 * self.batiste_um


class Donor(models.Model):
    """Somebody who gave material; nothing is kept but what an acknowledgment needs."""

    name = models.CharField(_("name"), max_length=120)
    email = models.EmailField(_("email address"), blank=True)
    erased_at = models.DateTimeField(null=True, editable=False)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Lot(models.Model):
    """One piece of cloth, one card, one opened skein, or a number of unopened packages alike."""

    class State(models.TextChoices):
        AS_GIVEN = "as given", _("as given")
        WASHED = "washed", _("washed")
        MEASURED = "measured", _("washed and measured")

    code = models.CharField(_("code"), max_length=12, unique=True)
    material = models.ForeignKey(Material, models.PROTECT, related_name="lots")
    state = models.CharField(_("state"), max_length=8, choices=State, default=State.AS_GIVEN)
    width_um = models.PositiveBigIntegerField(_("width"), null=True, blank=True)
    selvedge_um = models.PositiveBigIntegerField(_("selvedge on each side"), default=10_000)
    shrink_length_permille = models.PositiveSmallIntegerField(_("shrinkage along, per thousand"), default=40)
    shrink_width_permille = models.PositiveSmallIntegerField(_("shrinkage across, per thousand"), default=30)
    flaws = models.JSONField(_("flaws along the length"), default=list, blank=True)
    package_amount = models.PositiveBigIntegerField(null=True, blank=True)
    opened_from = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="+")
    donor = models.ForeignKey(
        Donor, models.PROTECT, null=True, blank=True, related_name="lots", verbose_name=_("given by")
    )
    place = models.CharField(_("where it lies"), max_length=60, blank=True)
    received_on = models.DateField(_("received on"))
    on_hand_amount = models.PositiveBigIntegerField(default=0, editable=False)
    reserved_amount = models.PositiveBigIntegerField(default=0, editable=False)

    class Meta:
        ordering = ["material", "received_on", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(reserved_amount__lte=F("on_hand_amount")), name="reserved_at_most_on_hand"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.code} {self.material}"

    @property
    def free_amount(self) -> int:
        """What is on hand and not reserved."""
        return self.on_hand_amount - self.reserved_amount

    def can_be_cut(self) -> bool:
        return self.state == self.State.MEASURED


class LedgerLine(models.Model):
    """One movement of a lot; lines are only ever added (by trigger), corrections are new lines."""

    class Kind(models.TextChoices):
        RECEIVE = "receive", _("received")
        RESERVE = "reserve", _("reserved")
        RELEASE = "release", _("set free")
        ISSUE = "issue", _("issued")
        RETURN = "return", _("came back")
        OPEN = "open", _("package opened")
        STOCKTAKE = "stocktake", _("stocktake")

    lot = models.ForeignKey(Lot, models.PROTECT, related_name="ledger")
    kind = models.CharField(max_length=10, choices=Kind)
    on_hand_change = models.BigIntegerField(default=0)
    reserved_change = models.BigIntegerField(default=0)
    reason = models.CharField(_("reason"), max_length=200, blank=True)
    reference = models.CharField(max_length=60, blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")

    class Meta:
        ordering = ["-at", "-pk"]
        indexes = [
            models.Index(fields=["lot", "at"], name="ledger_by_lot"),
            # Holds all a year is added up from, so that the lines themselves are not read.
            models.Index(fields=["at", "kind", "lot", "reference", "on_hand_change"], name="ledger_by_day"),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.on_hand_change:+d} {self.reserved_change:+d}"
