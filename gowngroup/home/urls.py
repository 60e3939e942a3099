"""Addresses of the home pages."""

from django.urls import URLPattern, path

from gowngroup.home import views

app_name = "home"
urlpatterns: list[URLPattern] = [
    path("", views.home, name="home"),
    path("batch/<int:pk>/propose/", views.batch_propose, name="batch_propose"),
    path("healthz", views.healthz, name="healthz"),
]
