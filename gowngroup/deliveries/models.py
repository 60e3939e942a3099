"""Drop-offs: which gowns go to which ward, the receipt, and what the ward says came."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from gowngroup.gowns.models import Gown
from gowngroup.wards.models import RequestLine, Ward


class DropOff(models.Model):
    """One drive to one ward with the gowns that go there."""

    class State(models.TextChoices):
        PACKING = "packing", _("being packed")
        ON_THE_WAY = "on the way", _("on the way")
        RECEIVED = "received", _("received by the ward")
        CALLED_OFF = "called off", _("called off")

    ward = models.ForeignKey(Ward, models.PROTECT, related_name="drop_offs")
    driver = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="drop_offs",
        verbose_name=_("driver"),
    )
    planned_on = models.DateField(_("day"))
    is_urgent = models.BooleanField(default=False)
    state = models.CharField(max_length=10, choices=State, default=State.PACKING)
    receipt_number = models.CharField(_("receipt number"), max_length=20, null=True, unique=True)  # noqa: DJ001 - unique when given
    left_at = models.DateTimeField(null=True)
    received_at = models.DateTimeField(null=True)
    signed_name = models.CharField(_("name of who signed, printed"), max_length=120, blank=True)
    differences = models.JSONField(_("differences the ward noted"), default=list)
    note = models.CharField(_("note"), max_length=300, blank=True)
    receipt_printed_at = models.DateTimeField(null=True, editable=False)
    receipt_print_count = models.PositiveSmallIntegerField(default=0, editable=False)

    class Meta:
        ordering = ["-planned_on", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(state__in=["packing", "called off"]) | Q(receipt_number__isnull=False),
                name="nothing_leaves_without_receipt",
            ),
        ]

    def __str__(self) -> str:
        return self.receipt_number or f"{self.ward} {self.planned_on}"


class DropOffGown(models.Model):
    """A gown in a drop-off; it can be in one at a time and leaves exactly once."""

    drop_off = models.ForeignKey(DropOff, models.PROTECT, related_name="gown_rows")
    gown = models.ForeignKey(Gown, models.PROTECT, related_name="drop_off_rows")
    request_line = models.ForeignKey(RequestLine, models.PROTECT, null=True, blank=True, related_name="+")
    box_number = models.PositiveSmallIntegerField(_("box"), default=1)
    is_removed = models.BooleanField(default=False)

    class Meta:
        ordering = ["drop_off", "box_number", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["gown"], condition=Q(is_removed=False), name="gown_leaves_once"),
        ]

    def __str__(self) -> str:
        return f"{self.gown} in {self.drop_off_id}"


class ReceiptFile(models.Model):
    """A signed receipt as it was put on file; changed data make a new version, and a trigger keeps each as it is."""

    drop_off = models.ForeignKey(DropOff, models.PROTECT, related_name="receipt_files")
    version = models.PositiveSmallIntegerField()
    at = models.DateTimeField()
    data_sha256 = models.CharField(max_length=64)
    content_sha256 = models.CharField(max_length=64)
    content = models.BinaryField()

    class Meta:
        ordering = ["drop_off", "version"]
        constraints = [models.UniqueConstraint(fields=["drop_off", "version"], name="receipt_version_once")]

    def __str__(self) -> str:
        return f"{self.drop_off} {self.version}"


class NumberNote(models.Model):
    """Why a receipt number was not used; numbers never skip unexplained."""

    receipt_number = models.CharField(max_length=20, unique=True)
    reason = models.CharField(max_length=200)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")

    def __str__(self) -> str:
        return self.receipt_number
