"""Sentences shown once on the next page travel in a cookie that is for this host and https alone."""

from django.conf import settings
from django.contrib.messages.storage.cookie import CookieStorage
from django.contrib.messages.storage.fallback import FallbackStorage
from django.contrib.messages.storage.session import SessionStorage


class HostCookie(CookieStorage):
    """Signed, and under a name that browsers take from this host by https only."""

    cookie_name = settings.MESSAGES_COOKIE_NAME


class Messages(FallbackStorage):
    """In the cookie, and in the session what does not go into it."""

    storage_classes = (HostCookie, SessionStorage)
