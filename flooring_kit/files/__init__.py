"""All reading and writing of files: surveys, products and quotes in, jobs in and out; nothing else touches a file."""

from flooring_kit.files.day_logs import (
    DayLog,
    Logged,
    open_day_log,
    read_day_log,
    recover_day_log,
    write_day_record,
)
from flooring_kit.files.demo import demo_path
from flooring_kit.files.jobs import Job, read_job, write_job
from flooring_kit.files.kept_marks import (
    KeptLine,
    KeptMarks,
    keep_marks,
    kept_marks_path,
    kept_marks_paths,
    read_kept_marks,
    trainee_key,
)
from flooring_kit.files.mark_sheets import write_mark_sheet
from flooring_kit.files.order_lists import write_order_list
from flooring_kit.files.own_files import file_name, laid_aside, own_path, own_surveys
from flooring_kit.files.pages import write_page
from flooring_kit.files.product_tables import (
    read_boards,
    read_catalogue,
    read_door_bars,
    read_materials,
    read_sundries,
    read_trims,
    read_underlays,
    read_wood_movement,
)
from flooring_kit.files.quote_tables import read_quote, read_quote_heads, suggested_columns
from flooring_kit.files.site_sheets import write_pdf
from flooring_kit.files.surveys import read_room, read_rooms

__all__ = [
    "DayLog",
    "Job",
    "KeptLine",
    "KeptMarks",
    "Logged",
    "demo_path",
    "file_name",
    "keep_marks",
    "kept_marks_path",
    "kept_marks_paths",
    "laid_aside",
    "open_day_log",
    "own_path",
    "own_surveys",
    "read_boards",
    "read_catalogue",
    "read_day_log",
    "read_door_bars",
    "read_job",
    "read_kept_marks",
    "read_materials",
    "read_quote",
    "read_quote_heads",
    "read_room",
    "read_rooms",
    "read_sundries",
    "read_trims",
    "read_underlays",
    "read_wood_movement",
    "recover_day_log",
    "suggested_columns",
    "trainee_key",
    "write_day_record",
    "write_job",
    "write_mark_sheet",
    "write_order_list",
    "write_page",
    "write_pdf",
]
