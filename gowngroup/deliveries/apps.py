"""The deliveries room."""

from django.apps import AppConfig


class DeliveriesConfig(AppConfig):
    name = "gowngroup.deliveries"
    default_auto_field = "django.db.models.BigAutoField"
