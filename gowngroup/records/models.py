"""What every room keeps: the trail, request keys, counters, changed figures and background jobs."""

from datetime import datetime, timedelta

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _


class TrailLine(models.Model):
    """One change: who did what to which row, when, and from what to what; never edited (by trigger)."""

    at = models.DateTimeField(_("when"))
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+", verbose_name=_("who")
    )
    did = models.CharField(_("what was done"), max_length=60)
    subject_type = models.CharField(max_length=60)
    subject_id = models.BigIntegerField(null=True)
    changes = models.JSONField(_("from and to"), default=dict)

    class Meta:
        ordering = ["-at", "-pk"]
        indexes = [models.Index(fields=["subject_type", "subject_id"], name="trail_by_subject")]

    def __str__(self) -> str:
        return f"{self.did} {self.subject_type} {self.subject_id}"


class RequestKey(models.Model):
    """The key of one sent form, so that sending it twice has one effect."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="+")
    action = models.CharField(max_length=60)
    key = models.CharField(max_length=64)
    answer = models.JSONField(null=True)
    at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["person", "action", "key"], name="request_key_once"),
        ]

    def __str__(self) -> str:
        return f"{self.action} {self.key}"


class Counter(models.Model):
    """The last number given out under a name; its row is locked while the next one is taken."""

    name = models.CharField(max_length=40, unique=True)
    value = models.PositiveBigIntegerField(default=0)

    def __str__(self) -> str:
        return f"{self.name}: {self.value}"


class FigureChange(models.Model):
    """A figure of the planner as the group has set it, with its own source; the newest revision counts."""

    key = models.CharField(max_length=80)
    revision = models.PositiveIntegerField()
    value = models.FloatField(_("value"))
    source = models.CharField(_("where the figure comes from"), max_length=300)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")

    class Meta:
        ordering = ["key", "-revision"]
        constraints = [
            models.UniqueConstraint(fields=["key", "revision"], name="figure_revision_once"),
        ]

    def __str__(self) -> str:
        return f"{self.key} = {self.value}"


class Job(models.Model):
    """A piece of background work and how far it is, shown while a person waits.

    Whoever works on it says so every few seconds in `beat_at`; each taking up counts one more `attempt`, so that a
    worker given up for dead writes nothing any more.
    """

    LONGEST_SILENCE = timedelta(seconds=30)

    class State(models.TextChoices):
        WAITING = "waiting", _("waiting for its turn")
        RUNNING = "running", _("running")
        DONE = "done", _("done")
        FAILED = "failed", _("could not be done")

    kind = models.CharField(max_length=40)
    subject_id = models.BigIntegerField()
    state = models.CharField(max_length=10, choices=State, default=State.WAITING)
    message = models.CharField(max_length=500, blank=True)
    result_id = models.BigIntegerField(null=True)
    started_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    created_at = models.DateTimeField()
    finished_at = models.DateTimeField(null=True)
    attempt = models.PositiveSmallIntegerField(default=0)
    beat_at = models.DateTimeField(null=True)
    is_stop_asked = models.BooleanField(default=False)
    progress = models.JSONField(default=dict)

    class Meta:
        ordering = ["-created_at", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["kind", "subject_id"],
                condition=models.Q(state__in=["waiting", "running"]),
                name="one_job_at_a_time",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.subject_id}: {self.state}"

    def is_finished(self) -> bool:
        return self.state in (self.State.DONE, self.State.FAILED)

    def is_interrupted(self, at: datetime) -> bool:
        """Has it been taken up and not been heard of for too long?"""
        heard_at = self.beat_at or self.created_at
        return self.state == self.State.RUNNING and heard_at < at - self.LONGEST_SILENCE
