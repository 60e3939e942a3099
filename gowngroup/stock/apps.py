"""The stock room."""

from django.apps import AppConfig


class StockConfig(AppConfig):
    name = "gowngroup.stock"
    default_auto_field = "django.db.models.BigAutoField"
