"""The printing room."""

from django.apps import AppConfig


class PrintingConfig(AppConfig):
    name = "gowngroup.printing"
    default_auto_field = "django.db.models.BigAutoField"
