"""The people room."""

from importlib import import_module

from django.apps import AppConfig


class PeopleConfig(AppConfig):
    name = "gowngroup.people"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        bring_along = import_module("gowngroup.people.rewriting").bring_along
        bring_along(["welcome"], "gowngroup.people.actions.joining.write_welcome_anew")
