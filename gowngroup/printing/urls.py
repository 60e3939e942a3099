"""Addresses of the printing pages."""

from django.urls import URLPattern, path

from gowngroup.printing.views import kits, labels, pattern, receipts

app_name = "printing"
urlpatterns: list[URLPattern] = [
    path("kit/<slug:code>/", kits.kit_sheet, name="kit_sheet"),
    path("kit/<slug:code>.pdf", kits.kit_sheet_pdf, name="kit_sheet_pdf"),
    path("labels/", labels.labels, name="labels"),
    path("labels/sheets/", labels.label_sheets, name="label_sheets"),
    path("labels/sheets.pdf", labels.labels_pdf, name="labels_pdf"),
    path("labels/<slug:key>.css", labels.label_css, name="label_css"),
    path("pattern/<int:pk>/<int:size_pk>/", pattern.pattern, name="pattern"),
    path("pattern/<int:pk>/<int:size_pk>/pages.pdf", pattern.pattern_pdf, name="pattern_pdf"),
    path("pattern/<int:pk>/<int:size_pk>/one-page.pdf", pattern.pattern_sheet_pdf, name="pattern_sheet_pdf"),
    path("pattern/<int:pk>/<int:size_pk>/pattern.svg", pattern.pattern_svg, name="pattern_svg"),
    path("receipt/<int:pk>/", receipts.receipt, name="receipt"),
    path("receipt/<int:pk>.pdf", receipts.receipt_pdf, name="receipt_pdf"),
]
