"""Addresses of the gowns pages."""

from django.urls import URLPattern

app_name = "gowns"
urlpatterns: list[URLPattern] = []
