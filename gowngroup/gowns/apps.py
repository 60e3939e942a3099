"""The gowns room."""

from django.apps import AppConfig


class GownsConfig(AppConfig):
    name = "gowngroup.gowns"
    default_auto_field = "django.db.models.BigAutoField"
