"""Addresses of the printing pages."""

from django.urls import URLPattern, path

from gowngroup.printing.views import cutting, drop_offs, kits, labels, pattern, receipts, sign_in_letter, thanks, year

app_name = "printing"
urlpatterns: list[URLPattern] = [
    path("cutting/<int:pk>/", cutting.cutting, name="cutting"),
    path("cutting/<int:pk>.pdf", cutting.cutting_pdf, name="cutting_pdf"),
    path("kit/<slug:code>/", kits.kit_sheet, name="kit_sheet"),
    path("kit/<slug:code>.pdf", kits.kit_sheet_pdf, name="kit_sheet_pdf"),
    path("labels/", labels.labels, name="labels"),
    path("labels/sheets/", labels.label_sheets, name="label_sheets"),
    path("labels/sheets.pdf", labels.labels_pdf, name="labels_pdf"),
    path("labels/test/", labels.label_test, name="label_test"),
    path("labels/test.pdf", labels.label_test_pdf, name="label_test_pdf"),
    path("labels/<slug:key>.css", labels.label_css, name="label_css"),
    path("pattern/<int:pk>/<int:size_pk>/", pattern.pattern, name="pattern"),
    path("pattern/<int:pk>/<int:size_pk>/pages.pdf", pattern.pattern_pdf, name="pattern_pdf"),
    path("pattern/<int:pk>/<int:size_pk>/one-page.pdf", pattern.pattern_sheet_pdf, name="pattern_sheet_pdf"),
    path("pattern/<int:pk>/<int:size_pk>/pattern.svg", pattern.pattern_svg, name="pattern_svg"),
    path("receipt/<int:pk>/", receipts.receipt, name="receipt"),
    path("receipt/<int:pk>.pdf", receipts.receipt_pdf, name="receipt_pdf"),
    path("receipt/<int:pk>/print/", receipts.receipt_print, name="receipt_print"),
    path("receipt/<int:pk>/file/", receipts.receipt_file, name="receipt_file"),
    path("sign-in-letter/<int:pk>/", sign_in_letter.sign_in_letter, name="sign_in_letter"),
    path("sign-in-letter/<int:pk>.pdf", sign_in_letter.sign_in_letter_pdf, name="sign_in_letter_pdf"),
    path("drop-off/<int:pk>/packing/", drop_offs.drop_off_packing, name="drop_off_packing"),
    path("drop-off/<int:pk>/packing.pdf", drop_offs.drop_off_packing_pdf, name="drop_off_packing_pdf"),
    path("drop-off/<int:pk>/driver/", drop_offs.drop_off_driver, name="drop_off_driver"),
    path("drop-off/<int:pk>/driver.pdf", drop_offs.drop_off_driver_pdf, name="drop_off_driver_pdf"),
    path("thanks/<int:pk>/", thanks.acknowledgment, name="acknowledgment"),
    path("thanks/<int:pk>.pdf", thanks.acknowledgment_pdf, name="acknowledgment_pdf"),
    path("hours/<int:pk>/<int:year>/", thanks.hours_letter, name="hours_letter"),
    path("hours/<int:pk>/<int:year>.pdf", thanks.hours_letter_pdf, name="hours_letter_pdf"),
    path("year/", year.year_start, name="year_start"),
    path("year/<int:year>/", year.year, name="year"),
    path("year/<int:year>/report/", year.year_report, name="year_report"),
    path("year/<int:year>/report.pdf", year.year_report_pdf, name="year_report_pdf"),
    path("year/<int:year>/letters/", year.hours_letters, name="hours_letters"),
    path("year/<int:year>/letters.pdf", year.hours_letters_pdf, name="hours_letters_pdf"),
    path("year/<int:year>/acknowledgments/", year.acknowledgments, name="acknowledgments"),
    path("year/<int:year>/acknowledgments.pdf", year.acknowledgments_pdf, name="acknowledgments_pdf"),
]
