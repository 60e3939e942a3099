"""What is kept for a time only goes by itself, whether anybody opens a page or not."""

from datetime import datetime, timedelta

from django.contrib.sessions.models import Session
from django_tasks_db.models import DBTaskResult

from gowngroup.people.actions.joining import forget_old_requests
from gowngroup.people.actions.sign_in import forget_old_codes
from gowngroup.records.actions import action

RESULTS_KEPT = timedelta(days=30)  # as long as somebody may come and ask what went wrong


@action
def forget_what_is_old(*, at: datetime) -> None:
    """Remove requests to join that nobody answered, codes to sign in and sessions that are over, results of old background work."""
    forget_old_requests(at=at)
    forget_old_codes(at=at)
    Session.objects.filter(expire_date__lt=at).delete()
    DBTaskResult.objects.finished().filter(finished_at__lte=at - RESULTS_KEPT).delete()
