"""The apprentice's workbook: graded exercises with figures of their own, answers marked, slips named.

quantities   what is asked for, and how an answer is read
exercise     an exercise, and the answers known slips give
marking      an answer marked
mark_sheet   what was done and reached, exercise by exercise
sketches     drawings in the kit's own marks
measuring, rows_across, joints, on_a_board, trim_work, underneath, doors_and_pipes, money   the exercises
course       all of them in order, each made from a seed
page         exercises and mark sheets as HTML
"""

from flooring_kit.workbook.course import NUMBERS, exercise
from flooring_kit.workbook.exercise import Exercise, Reason, Slip
from flooring_kit.workbook.mark_sheet import MarkLine, MarkSheet
from flooring_kit.workbook.marking import Marked, mark

__all__ = ["NUMBERS", "Exercise", "MarkLine", "MarkSheet", "Marked", "Reason", "Slip", "exercise", "mark"]
