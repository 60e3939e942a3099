"""The catalog room."""

from django.apps import AppConfig


class CatalogConfig(AppConfig):
    name = "gowngroup.catalog"
    default_auto_field = "django.db.models.BigAutoField"
