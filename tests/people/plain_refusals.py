"""The site's addresses with one plain word for what is refused or not found.

Permissions are asked for two thousand times, and pages that say no would take most of it; tests/home and tests/demo
look at those pages.
"""

from django.http import HttpRequest, HttpResponse, HttpResponseForbidden, HttpResponseNotFound

from gowngroup.urls import urlpatterns

__all__ = ["handler403", "handler404", "urlpatterns"]


def handler403(_request: HttpRequest, exception: Exception) -> HttpResponse:
    return HttpResponseForbidden("no")


def handler404(_request: HttpRequest, exception: Exception) -> HttpResponse:
    return HttpResponseNotFound("no")
