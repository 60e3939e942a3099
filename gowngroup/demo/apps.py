"""The demo room."""

from django.apps import AppConfig


class DemoConfig(AppConfig):
    name = "gowngroup.demo"
    default_auto_field = "django.db.models.BigAutoField"
