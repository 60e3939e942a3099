"""The printing room."""

from importlib import import_module

from django.apps import AppConfig

from gowngroup.records.audits import bring_along


class PrintingConfig(AppConfig):
    name = "gowngroup.printing"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        import_module("gowngroup.printing.checks")
        bring_along("printing", import_module("gowngroup.printing.queries").damaged_sheets)
