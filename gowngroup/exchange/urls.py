"""Addresses other programs read at."""

from django.urls import URLPattern, path

from gowngroup.exchange import views

app_name = "exchange"
urlpatterns: list[URLPattern] = [
    path("", views.my_calendar, name="my_calendar"),
    path("end/", views.my_calendar_end, name="my_calendar_end"),
    path("<str:secret>.ics", views.calendar_feed, name="calendar_feed"),
]
