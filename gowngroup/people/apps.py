"""The people room."""

from django.apps import AppConfig


class PeopleConfig(AppConfig):
    name = "gowngroup.people"
    default_auto_field = "django.db.models.BigAutoField"
