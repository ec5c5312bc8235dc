"""The day itself: a log of what was laid, the rest planned anew when something goes wrong, and what is left over.

day = as_laid.as_laid(plan, entries)      # what is laid, what is sawn, what waits
anew = as_laid.replan(day)                # the rest planned anew; anew.entry() goes into the log
as_laid.record_tables(day)                # what stays with the customer
"""

from flooring_kit.as_laid.day import Day, Gone, Held, first_entry
from flooring_kit.as_laid.drift import RowDrift, drift_warnings, row_drifts
from flooring_kit.as_laid.entry_words import entry_words
from flooring_kit.as_laid.fingerprint import job_fingerprint
from flooring_kit.as_laid.folding import as_laid
from flooring_kit.as_laid.left_over import Offcut, Spares, offcuts, spares, worth_keeping
from flooring_kit.as_laid.record import RecordTable, record_json, record_tables
from flooring_kit.as_laid.replanning import LEAST, FromStock, Replanned, plan_from_stock, replan

__all__ = [
    "LEAST",
    "Day",
    "FromStock",
    "Gone",
    "Held",
    "Offcut",
    "RecordTable",
    "Replanned",
    "RowDrift",
    "Spares",
    "as_laid",
    "drift_warnings",
    "entry_words",
    "first_entry",
    "job_fingerprint",
    "offcuts",
    "plan_from_stock",
    "record_json",
    "record_tables",
    "replan",
    "row_drifts",
    "spares",
    "worth_keeping",
]
