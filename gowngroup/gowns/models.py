"""Finished gowns, each with its own code, and their checks."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from gowngroup.batches.models import Kit, KitReturn, MatchedSet
from gowngroup.catalog.models import DesignRevision, Purpose, Size
from gowngroup.stock.models import Lot


class Gown(models.Model):
    """One finished gown, from its return to the ward."""

    class State(models.TextChoices):
        BACK = "back", _("back, first check to do")
        MENDING = "mending", _("being mended")
        TO_WASH = "to wash", _("to be washed, dried and steamed")
        WASHED = "washed", _("washed, second check to do")
        PASSED = "passed", _("passed, on the shelf")
        LEFT = "left", _("delivered")
        SET_ASIDE = "set aside", _("set aside")
        PRACTICE = "practice", _("practice piece")

    code = models.CharField(_("code"), max_length=12, unique=True)
    kit = models.ForeignKey(Kit, models.PROTECT, null=True, blank=True, related_name="gowns")
    kit_return = models.ForeignKey(KitReturn, models.PROTECT, null=True, blank=True, related_name="gowns")
    matched_set = models.ForeignKey(MatchedSet, models.PROTECT, null=True, blank=True, related_name="gowns")
    design_revision = models.ForeignKey(DesignRevision, models.PROTECT, related_name="+")
    size = models.ForeignKey(Size, models.PROTECT, related_name="+")
    purpose = models.CharField(max_length=8, choices=Purpose)
    outer_lot = models.ForeignKey(Lot, models.PROTECT, null=True, blank=True, related_name="gowns")
    state = models.CharField(max_length=10, choices=State, default=State.BACK)
    place = models.CharField(_("box or shelf"), max_length=40, blank=True)
    received_at = models.DateTimeField()
    passed_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["received_at", "pk"]
        indexes = [
            models.Index(fields=["state", "size", "purpose"], name="gown_by_state"),
            models.Index(fields=["received_at", "id"], name="gown_by_day_received"),
            models.Index(fields=["passed_at"], name="gown_by_day_passed"),
        ]
        constraints = [
            models.CheckConstraint(
                condition=~Q(state__in=["passed", "left"]) | Q(passed_at__isnull=False),
                name="passed_has_its_moment",
            ),
        ]

    def __str__(self) -> str:
        return self.code

    def is_memorial(self) -> bool:
        return self.purpose == Purpose.MEMORIAL


class GownCheck(models.Model):
    """One check of one gown: what was looked at, what came out, who looked."""

    class Round(models.TextChoices):
        FIRST = "first", _("first check")
        SECOND = "second", _("second check")

    class Outcome(models.TextChoices):
        PASS = "pass", _("pass")
        MEND = "mend", _("mend")
        SET_ASIDE = "set aside", _("set aside")
        PRACTICE = "practice", _("practice piece")

    gown = models.ForeignKey(Gown, models.PROTECT, related_name="checks")
    round = models.CharField(max_length=6, choices=Round)
    outcome = models.CharField(_("outcome"), max_length=10, choices=Outcome)
    reason = models.CharField(_("reason"), max_length=200, blank=True)
    is_free_of_metal = models.BooleanField(_("magnet or needle detector passed over it: nothing found"))
    answers = models.JSONField(default=dict)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")

    class Meta:
        ordering = ["gown", "at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(outcome="pass") | Q(is_free_of_metal=True), name="pass_only_free_of_metal"
            ),
            models.CheckConstraint(
                condition=Q(outcome="pass") | ~Q(reason=""), name="anything_else_has_a_reason"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.gown} {self.round}: {self.outcome}"
