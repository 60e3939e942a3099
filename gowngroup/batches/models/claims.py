"""Who takes kits home and how they come back: claims, hand-overs, returns, calls for help, letters."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from gowngroup.batches.models.batches import Kit, KitLine, Stage
from gowngroup.catalog.models import Size
from gowngroup.stock.models import Lot


class Claim(models.Model):
    """Who took a kit home, and how it ended; a kit has at most one open claim."""

    class End(models.TextChoices):
        RETURNED = "returned", _("came back sewn")
        GIVEN_BACK = "given back", _("given back")
        HANDED_ON = "handed on", _("handed on, her stage done")
        LOST = "lost", _("lost")
        WRITTEN_OFF = "written off", _("written off")

    kit = models.ForeignKey(Kit, models.PROTECT, related_name="claims")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="claims")
    claimed_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    claimed_at = models.DateTimeField()
    was_kept = models.BooleanField(_("had been kept for her"), default=False)
    due_on = models.DateField()
    ended_at = models.DateTimeField(null=True)
    end = models.CharField(max_length=12, choices=End, blank=True)

    class Meta:
        ordering = ["-claimed_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["kit"], condition=Q(ended_at__isnull=True), name="one_open_claim_a_kit"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kit} {self.person_id}"


class KitReturn(models.Model):
    """One coming back of gowns from a kit, in full or in part."""

    class FlossOutcome(models.TextChoices):
        SHORT = "short", _("it ran short")
        ENOUGH = "enough", _("it was just enough")
        LEFT = "left", _("whole lengths were left")

    kit = models.ForeignKey(Kit, models.PROTECT, related_name="returns")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    gown_count = models.PositiveSmallIntegerField(_("gowns"))
    duration_min = models.PositiveIntegerField(_("minutes spent, if she wants to say"), null=True, blank=True)
    remarks = models.TextField(_("remarks"), blank=True, max_length=1000)
    are_needles_counted = models.BooleanField(_("all needles and pins accounted for"), default=False)
    floss_outcome = models.CharField(_("floss"), max_length=6, choices=FlossOutcome, blank=True)
    floss_cut_count = models.PositiveSmallIntegerField(
        _("lengths of floss left, or sent on"), null=True, blank=True
    )
    returned_at = models.DateTimeField()

    class Meta:
        ordering = ["-returned_at"]
        indexes = [models.Index(fields=["returned_at"], name="kit_return_by_day")]
        constraints = [
            models.CheckConstraint(
                condition=Q(floss_cut_count__isnull=True)
                | Q(floss_outcome__in=["short", "left"], floss_cut_count__gt=0),
                name="counted_floss_ran_short_or_was_left",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.gown_count} from {self.kit}"


class Finish(models.Model):
    """What she says of a kit she has finished and brings in next; whoever takes it back starts from it."""

    claim = models.OneToOneField(Claim, models.CASCADE, related_name="finish")
    gown_count = models.PositiveSmallIntegerField(_("gowns"))
    are_needles_counted = models.BooleanField(_("all needles and pins accounted for"))
    duration_min = models.PositiveIntegerField(_("minutes spent, if she wants to say"), null=True, blank=True)
    remarks = models.TextField(_("remarks"), blank=True, max_length=1000)
    said_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.claim} finished"


class RowDone(models.Model):
    """A row of the smocking chart is sewn on one gown of a kit that somebody has at home."""

    claim = models.ForeignKey(Claim, models.CASCADE, related_name="rows_done")
    gown_number = models.PositiveSmallIntegerField(default=1)
    row_number = models.PositiveSmallIntegerField()
    done_at = models.DateTimeField()

    class Meta:
        ordering = ["done_at", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["claim", "gown_number", "row_number"], name="row_done_once"),
        ]

    def __str__(self) -> str:
        return f"row {self.row_number} of {self.claim}"


class HandOver(models.Model):
    """One stage of a kit is done: who did it, and who took the kit for the next one."""

    kit = models.ForeignKey(Kit, models.PROTECT, related_name="hand_overs")
    stage = models.CharField(_("stage done"), max_length=8, choices=Stage)
    from_person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    to_person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    are_needles_counted = models.BooleanField(_("all needles and pins accounted for"))
    duration_min = models.PositiveIntegerField(_("minutes spent, if she wants to say"), null=True, blank=True)
    remarks = models.TextField(_("remarks"), blank=True, max_length=1000)
    done_at = models.DateTimeField()
    taken_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["-done_at"]
        constraints = [
            models.CheckConstraint(
                condition=Q(to_person__isnull=True, taken_at__isnull=True)
                | Q(to_person__isnull=False, taken_at__isnull=False),
                name="handed_over_to_somebody_at_a_moment",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kit} {self.stage}"


class Call(models.Model):
    """Somebody at home needs help with her kit, a part for it, or that it is posted to her."""

    class Kind(models.TextChoices):
        HELP = "help", _("would like help")
        MISSING = "missing", _("something is missing")
        SPOILT = "spoilt", _("something is spoilt")
        POST = "post", _("please post it")

    kit = models.ForeignKey(Kit, models.PROTECT, related_name="calls")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="calls")
    kind = models.CharField(max_length=8, choices=Kind)
    line = models.ForeignKey(KitLine, models.SET_NULL, null=True, blank=True, related_name="+")
    part = models.CharField(_("what"), max_length=200, blank=True)
    words = models.TextField(_("in her words"), blank=True, max_length=1000)
    asked_at = models.DateTimeField()
    answered_at = models.DateTimeField(null=True)
    answered_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    answer = models.TextField(_("what was done"), blank=True, max_length=500)
    lot = models.ForeignKey(Lot, models.PROTECT, null=True, blank=True, related_name="+")
    amount = models.PositiveBigIntegerField(default=0)

    class Meta:
        ordering = ["-asked_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(answered_at__isnull=True, answered_by__isnull=True, lot__isnull=True)
                | Q(answered_at__isnull=False, answered_by__isnull=False),
                name="answered_by_somebody_at_a_moment",
            ),
            models.UniqueConstraint(
                fields=["kit"],
                condition=Q(kind="post", answered_at__isnull=True),
                name="posted_once",
            ),
        ]
        indexes = [models.Index(fields=["answered_at", "kind"], name="call_by_kind")]

    def __str__(self) -> str:
        return f"{self.kit}: {self.kind}"

    def is_for_a_part(self) -> bool:
        return self.kind in (self.Kind.MISSING, self.Kind.SPOILT)


class SewingHelper(models.Model):
    """Somebody whom the others may ask when they are stuck with a kit."""

    person = models.OneToOneField(settings.AUTH_USER_MODEL, models.CASCADE, related_name="sewing_helper")
    named_at = models.DateTimeField()

    def __str__(self) -> str:
        return str(self.person)


class KitWish(models.Model):
    """Somebody would like to be told when a kit that suits her is waiting; who has waited longest is told first.

    What she likes to sew stands with the person; here is what she wishes besides.
    """

    person = models.OneToOneField(settings.AUTH_USER_MODEL, models.CASCADE, related_name="kit_wish")
    size = models.ForeignKey(Size, models.PROTECT, null=True, blank=True, related_name="+")
    is_by_post_only = models.BooleanField(_("only what can be posted"), default=False)
    waits_since = models.DateTimeField()

    class Meta:
        ordering = ["waits_since", "pk"]

    def __str__(self) -> str:
        return f"wish of {self.person_id}"


class Letter(models.Model):
    """A letter about a kit has gone out; written in the same transaction, so that it goes out once.

    Where it cannot go by email, somebody is to ring or write a card instead, and `told_at` says that it was done.
    `about_on` is the day it speaks of: the day the kit is due, or since when it waits. A letter's stop link opens
    by a secret of which only the hash is kept.
    """

    class Kind(models.TextChoices):
        SUITS = "suits", _("a kit that suits is waiting")
        KEPT = "kept", _("a kit is kept for her")
        BEFORE = "before", _("before the day it is due")
        ON_THE_DAY = "on", _("on the day it is due")
        AFTER = "after", _("after the day it was due")

    kit = models.ForeignKey(Kit, models.PROTECT, related_name="letters")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="letters")
    kind = models.CharField(max_length=6, choices=Kind)
    about_on = models.DateField()
    stop_hash = models.CharField(max_length=64)
    sent_at = models.DateTimeField()
    is_by_mail = models.BooleanField(_("by email"), default=True)
    told_at = models.DateTimeField(_("told by telephone or card at"), null=True)

    class Meta:
        ordering = ["-sent_at", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["kit", "person", "kind", "about_on"], name="letter_once"),
        ]
        indexes = [
            models.Index(fields=["stop_hash"], name="letter_by_stop_link"),
            models.Index(
                fields=["person"], condition=Q(is_by_mail=False, told_at__isnull=True), name="letter_to_tell"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.kit}"
