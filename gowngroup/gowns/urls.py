"""Addresses of the gowns pages."""

from django.urls import URLPattern, path

from gowngroup.gowns.views import checks, gowns, returns, table

app_name = "gowns"
urlpatterns: list[URLPattern] = [
    path("", gowns.gown_list, name="gown_list"),
    path("back/", returns.kit_returns, name="kit_returns"),
    path("back/table/", table.table_back, name="table_back"),
    path("back/table/undo/<int:pk>/", table.table_back_undo, name="table_back_undo"),
    path("back/table/undo-stage/<int:pk>/", table.table_stage_undo, name="table_stage_undo"),
    path("table/", table.table_list, name="table_list"),
    path("table/enter/", table.table_entry, name="table_entry"),
    path("back/<int:pk>/", returns.return_page, name="return_page"),
    path("back/kit/<slug:code>/", returns.kit_return, name="kit_return"),
    path("first-check/", checks.first_checks, name="first_checks"),
    path("mending/", checks.mending, name="mending"),
    path("wash/", checks.wash, name="wash"),
    path("second-check/", checks.second_checks, name="second_checks"),
    path("shelf/", gowns.shelf, name="shelf"),
    path("new/", returns.gown_add, name="gown_add"),
    path("gown/<slug:code>/", gowns.gown_page, name="gown_page"),
    path("gown/<slug:code>/check/", checks.gown_check, name="gown_check"),
    path("gown/<slug:code>/mended/", checks.gown_mended, name="gown_mended"),
    path("gown/<slug:code>/place/", gowns.gown_place, name="gown_place"),
]
