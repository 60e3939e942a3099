"""The year looked back on: the report with its charts and sums, letters of thanks, acknowledgments of gifts."""

from gowngroup.printing.planner.year.charts import Chart, Series, column_chart, row_chart
from gowngroup.printing.planner.year.letters import HoursLetter, hours_letter, hours_letters
from gowngroup.printing.planner.year.report import YearReport, year_report
from gowngroup.printing.planner.year.thanks import Acknowledgment, acknowledgments

__all__ = [
    "Acknowledgment",
    "Chart",
    "HoursLetter",
    "Series",
    "YearReport",
    "acknowledgments",
    "column_chart",
    "hours_letter",
    "hours_letters",
    "row_chart",
    "year_report",
]
