"""Addresses of the printing pages."""

from django.urls import URLPattern

app_name = "printing"
urlpatterns: list[URLPattern] = []
