"""Addresses of the catalog pages."""

from django.urls import URLPattern

app_name = "catalog"
urlpatterns: list[URLPattern] = []
