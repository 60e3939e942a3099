"""Whole addresses of pages as QR codes carry them."""

from django.conf import settings
from django.urls import reverse


def page_address(name: str, code: str) -> str:
    """The address of the page of a kit or gown on this site."""
    return f"{settings.SITE_ADDRESS.rstrip('/')}{reverse(name, args=[code])}"
