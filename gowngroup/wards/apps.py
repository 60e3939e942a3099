"""The wards room."""

from django.apps import AppConfig


class WardsConfig(AppConfig):
    name = "gowngroup.wards"
    default_auto_field = "django.db.models.BigAutoField"
