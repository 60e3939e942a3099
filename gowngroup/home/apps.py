"""The home room."""

from django.apps import AppConfig


class HomeConfig(AppConfig):
    name = "gowngroup.home"
    default_auto_field = "django.db.models.BigAutoField"
