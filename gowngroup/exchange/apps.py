"""The room of what goes out to other programs."""

from django.apps import AppConfig


class ExchangeConfig(AppConfig):
    name = "gowngroup.exchange"
