"""What is kept for a time only goes by itself, whether anybody opens a page or not."""

from datetime import datetime

from django.contrib.sessions.models import Session

from gowngroup.people.actions.joining import forget_old_requests
from gowngroup.people.actions.sign_in import forget_old_codes
from gowngroup.records.actions import action


@action
def forget_what_is_old(*, at: datetime) -> None:
    """Remove requests to join that nobody answered, codes to sign in and sessions that are over."""
    forget_old_requests(at=at)
    forget_old_codes(at=at)
    Session.objects.filter(expire_date__lt=at).delete()
