"""Addresses of the home pages."""

from django.urls import URLPattern

app_name = "home"
urlpatterns: list[URLPattern] = []
