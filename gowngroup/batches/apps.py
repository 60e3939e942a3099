"""The batches room."""

from importlib import import_module

from django.apps import AppConfig


class BatchesConfig(AppConfig):
    name = "gowngroup.batches"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        bring_along = import_module("gowngroup.people.rewriting").bring_along
        room = "gowngroup.batches.actions"
        bring_along(["suits", "kept", "before", "on", "after"], f"{room}.letters.write_letter_anew")
        bring_along(["call"], f"{room}.calls.write_call_anew")
        bring_along(["answer"], f"{room}.calls.write_answer_anew")
