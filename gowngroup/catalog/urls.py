"""Addresses of the catalog pages."""

from django.urls import path

from gowngroup.catalog.views import charts, designs, own, revisions, sizes, stitches

app_name = "catalog"
urlpatterns = [
    path("", designs.design_list, name="design_list"),
    path("start/", sizes.catalog_start, name="catalog_start"),
    path("designs/new/", designs.design_new, name="design_new"),
    path("designs/<int:pk>/", designs.design_page, name="design_page"),
    path("designs/<int:pk>/rename/", designs.design_rename, name="design_rename"),
    path("designs/<int:pk>/change/", revisions.design_change, name="design_change"),
    path("designs/<int:pk>/needs/", revisions.design_needs, name="design_needs"),
    path("designs/<int:pk>/sizes/", revisions.design_sizes, name="design_sizes"),
    path("designs/<int:pk>/sizes/<int:size_pk>/", designs.design_size_page, name="design_size_page"),
    path("designs/<int:pk>/sizes/<int:size_pk>/pieces/", revisions.design_pieces, name="design_pieces"),
    path("designs/<int:pk>/sizes/<int:size_pk>/measures/", own.design_measures, name="design_measures"),
    path("designs/<int:pk>/sizes/<int:size_pk>/outlines/", own.design_outlines, name="design_outlines"),
    path("charts/", charts.chart_list, name="chart_list"),
    path("charts/new/", charts.chart_new, name="chart_new"),
    path("charts/<int:pk>/", charts.chart_page, name="chart_page"),
    path("charts/<int:pk>/change/", charts.chart_change, name="chart_change"),
    path("stitches/", stitches.stitch_cards, name="stitch_cards"),
    path("stitches/<slug:key>/", stitches.stitch_card, name="stitch_card"),
    path("sizes/", sizes.size_list, name="size_list"),
    path("sizes/new/", sizes.size_new, name="size_new"),
    path("sizes/<int:pk>/change/", sizes.size_change, name="size_change"),
    path("pleaters/", sizes.pleater_list, name="pleater_list"),
    path("pleaters/new/", sizes.pleater_new, name="pleater_new"),
    path("pleaters/<int:pk>/change/", sizes.pleater_change, name="pleater_change"),
    path("pleaters/<int:pk>/calibrate/", sizes.pleater_calibrate, name="pleater_calibrate"),
    path("pleaters/<int:pk>/use/", sizes.pleater_use, name="pleater_use"),
]
