"""The batches room."""

from django.apps import AppConfig


class BatchesConfig(AppConfig):
    name = "gowngroup.batches"
    default_auto_field = "django.db.models.BigAutoField"
