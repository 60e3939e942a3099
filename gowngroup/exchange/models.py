"""Doors through which other programs read."""

from django.conf import settings
from django.db import models
from django.db.models import Q


class CalendarLink(models.Model):
    """A private address at which somebody's calendar reads the days her kits are due; only its hash is kept."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="calendar_links")
    token_hash = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["-made_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["person"], condition=Q(ended_at__isnull=True), name="one_open_calendar_link"
            ),
        ]

    def __str__(self) -> str:
        return f"calendar link {self.pk}"
