"""Addresses of the batches pages."""

from django.urls import URLPattern

app_name = "batches"
urlpatterns: list[URLPattern] = []
