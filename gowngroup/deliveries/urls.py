"""Addresses of the deliveries pages."""

from django.urls import path

from gowngroup.deliveries import views

app_name = "deliveries"
urlpatterns = [
    path("", views.drop_off_list, name="drop_off_list"),
    path("new/", views.drop_off_start, name="drop_off_start"),
    path("urgent/<int:pk>/", views.urgent_serve, name="urgent_serve"),
    path("<int:pk>/", views.drop_off_page, name="drop_off_page"),
    path("<int:pk>/pack/", views.gown_pack, name="gown_pack"),
    path("<int:pk>/unpack/<str:code>/", views.gown_unpack, name="gown_unpack"),
    path("<int:pk>/fill/", views.drop_off_fill, name="drop_off_fill"),
    path("<int:pk>/send/", views.drop_off_send, name="drop_off_send"),
    path("<int:pk>/signed/", views.drop_off_signed, name="drop_off_signed"),
    path("<int:pk>/back/", views.drop_off_back, name="drop_off_back"),
    path("<int:pk>/call-off/", views.drop_off_call_off, name="drop_off_call_off"),
]
