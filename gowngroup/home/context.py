"""What every page shows: the group's name, the reader's roles and navigation, whether this is the demo."""

from django.conf import settings
from django.http import HttpRequest

from gowngroup.home.navigation import navigation
from gowngroup.people.queries import roles_of, the_group
from gowngroup.records.reader import current_reader


def site(request: HttpRequest) -> dict[str, object]:
    """Values for the frame of every page."""
    roles = roles_of(request.user)
    return {
        "group": the_group(),
        "roles": roles,
        "navigation": navigation(roles, request.path) if roles else [],
        "is_demo": settings.IS_DEMO,
        "reader": current_reader(),
    }
