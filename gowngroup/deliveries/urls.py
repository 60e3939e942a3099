"""Addresses of the deliveries pages."""

from django.urls import URLPattern

app_name = "deliveries"
urlpatterns: list[URLPattern] = []
