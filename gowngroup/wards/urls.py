"""Addresses of the wards pages."""

from django.urls import URLPattern

app_name = "wards"
urlpatterns: list[URLPattern] = []
