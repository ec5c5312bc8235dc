"""From plan to saw: what to cut in laying order, how each piece is shaped, and where every offcut goes.

shaping     notches, tapers, slants and holes on each piece
cuts        the cut list
offcuts     the ledger of offcuts
pipe_holes  holes and slots for pipes
"""

from flooring_kit.sawing.cuts import cut_list, row_rips
from flooring_kit.sawing.offcuts import most_waiting, offcut_ledger, set_aside
from flooring_kit.sawing.pipe_holes import hole_sentence, pipe_holes
from flooring_kit.sawing.shaping import shaping, shaping_sentence

__all__ = [
    "cut_list",
    "hole_sentence",
    "most_waiting",
    "offcut_ledger",
    "pipe_holes",
    "row_rips",
    "set_aside",
    "shaping",
    "shaping_sentence",
]
