"""The records room."""

from django.apps import AppConfig


class RecordsConfig(AppConfig):
    name = "gowngroup.records"
    default_auto_field = "django.db.models.BigAutoField"
