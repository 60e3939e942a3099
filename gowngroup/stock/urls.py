"""Addresses of the stock pages."""

from django.urls import URLPattern

app_name = "stock"
urlpatterns: list[URLPattern] = []
