"""What the first page shows, read across the rooms in a fixed number of queries."""

from gowngroup.home.queries.month import MonthRow, batches_of, month_rows, paused_wards
from gowngroup.home.queries.own import Thanks, drop_offs_of, hand_overs_from, kits_of, thanks_to
from gowngroup.home.queries.proposals import gowns_there
from gowngroup.home.queries.work import COUNTED, Waiting, gowns_by_stage, waiting

__all__ = [
    "COUNTED",
    "MonthRow",
    "Thanks",
    "Waiting",
    "batches_of",
    "drop_offs_of",
    "gowns_by_stage",
    "gowns_there",
    "hand_overs_from",
    "kits_of",
    "month_rows",
    "paused_wards",
    "thanks_to",
    "waiting",
]
