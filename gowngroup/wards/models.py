"""Hospitals, their wards, what each ward accepts and what it asks for."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from gowngroup.catalog.models import Purpose, Size


class Hospital(models.Model):
    """A hospital the group delivers to."""

    name = models.CharField(_("name"), max_length=120, unique=True)
    address = models.TextField(_("address"), max_length=500, blank=True)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Ward(models.Model):
    """A newborn ward with its own rules; the ward decides."""

    hospital = models.ForeignKey(Hospital, models.PROTECT, related_name="wards")
    name = models.CharField(_("name"), max_length=120)
    contact_name = models.CharField(_("contact"), max_length=120, blank=True)
    contact_email = models.EmailField(_("contact's email address"), blank=True)
    contact_telephone = models.CharField(_("contact's telephone"), max_length=40, blank=True)
    sizes = models.ManyToManyField(Size, verbose_name=_("sizes on the ward's list"), related_name="+")
    closures = models.JSONField(_("closures the ward accepts"), default=list)
    wash_c = models.PositiveSmallIntegerField(_("the ward's wash temperature"), default=60)
    avoided_shades = models.JSONField(_("shades the ward does not want to see"), default=list, blank=True)
    packing = models.CharField(_("packing"), max_length=200, blank=True)
    rules = models.TextField(_("the ward's rules, a line each"), blank=True, max_length=2000)
    paused_until = models.DateField(_("no deliveries until"), null=True, blank=True)
    is_active = models.BooleanField(_("is being served"), default=True)

    class Meta:
        ordering = ["hospital__name", "name"]
        constraints = [models.UniqueConstraint(fields=["hospital", "name"], name="ward_once")]

    def __str__(self) -> str:
        return f"{self.name}, {self.hospital}"


class ShelfLevel(models.Model):
    """How many memorial gowns of a size a ward keeps on its own shelf."""

    ward = models.ForeignKey(Ward, models.CASCADE, related_name="shelf_levels")
    size = models.ForeignKey(Size, models.PROTECT, related_name="+")
    minimum_count = models.PositiveSmallIntegerField(_("at least"))
    present_count = models.PositiveSmallIntegerField(_("there now"), default=0)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["ward", "size"], name="shelf_level_once")]

    def __str__(self) -> str:
        return f"{self.ward}: {self.size}"


class WardRequest(models.Model):
    """What a ward asks for in one month, or urgently."""

    class State(models.TextChoices):
        OPEN = "open", _("open")
        MET = "met", pgettext_lazy("request", "met")
        WITHDRAWN = "withdrawn", _("withdrawn")

    ward = models.ForeignKey(Ward, models.PROTECT, related_name="requests")
    month = models.DateField(_("month"))
    state = models.CharField(max_length=10, choices=State, default=State.OPEN)
    is_urgent = models.BooleanField(_("urgent: needed today"), default=False)
    is_standing = models.BooleanField(_("repeats each month until changed"), default=False)
    note = models.TextField(_("note"), blank=True, max_length=1000)
    received_at = models.DateTimeField()

    class Meta:
        ordering = ["-month", "ward"]
        constraints = [
            models.CheckConstraint(condition=Q(month__day=1), name="month_is_its_first_day"),
        ]

    def __str__(self) -> str:
        return f"{self.ward} {self.month:%Y-%m}"


class RequestLine(models.Model):
    """So many gowns of one size and purpose; lines with one set number are matched gowns."""

    request = models.ForeignKey(WardRequest, models.CASCADE, related_name="lines")
    size = models.ForeignKey(Size, models.PROTECT, related_name="+")
    purpose = models.CharField(_("purpose"), max_length=8, choices=Purpose)
    gown_count = models.PositiveSmallIntegerField(_("gowns"))
    met_count = models.PositiveSmallIntegerField(default=0, editable=False)
    set_number = models.PositiveSmallIntegerField(_("matched set"), null=True, blank=True)

    class Meta:
        ordering = ["request", "size__upper_mass_g", "purpose", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(gown_count__gt=0), name="asks_for_something"),
            models.UniqueConstraint(
                fields=["request", "size", "purpose"],
                condition=Q(set_number__isnull=True),
                name="request_line_once",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.gown_count} × {self.size}"

    @property
    def open_count(self) -> int:
        """Gowns asked for and not yet delivered."""
        return max(self.gown_count - self.met_count, 0)
