"""Addresses of the wards pages."""

from django.urls import path

from gowngroup.wards.views import requests, wards

app_name = "wards"
urlpatterns = [
    path("", wards.ward_list, name="ward_list"),
    path("new/", wards.ward_new, name="ward_new"),
    path("<int:pk>/", wards.ward_page, name="ward_page"),
    path("<int:pk>/change/", wards.ward_change, name="ward_change"),
    path("<int:pk>/pause/", wards.ward_pause, name="ward_pause"),
    path("<int:pk>/shelf/", wards.shelf_change, name="shelf_change"),
    path("<int:pk>/requests/new/", requests.request_new, name="request_new"),
    path("hospitals/new/", wards.hospital_new, name="hospital_new"),
    path("hospitals/<int:pk>/change/", wards.hospital_change, name="hospital_change"),
    path("requests/", requests.request_list, name="request_list"),
    path("requests/new/", requests.request_start, name="request_start"),
    path("requests/repeat/", requests.request_repeat, name="request_repeat"),
    path("requests/<int:pk>/", requests.request_page, name="request_page"),
    path("requests/<int:pk>/change/", requests.request_change, name="request_change"),
    path("requests/<int:pk>/withdraw/", requests.request_withdraw, name="request_withdraw"),
]
