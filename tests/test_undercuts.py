"""How high and how deep frames are cut: the rules of the trade by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flooring_kit.undercuts import undercut_depth_mm, undercut_height_mm


def test_the_saw_runs_over_board_underlay_and_a_millimetre():
    # common practice, no source: 8 + 3 + 1
    assert undercut_height_mm(8, 3) == 12
    # with a sheet of 0.2 and 5 of compound at that frame
    assert undercut_height_mm(8, 3, sheet_mm=0.2, levelling_mm=5) == pytest.approx(17.2)


def test_the_cut_is_as_deep_as_gap_and_cover():
    # common practice, no source: 10 + 10 = 20, and 6 to 10 more where a board is slid past its place
    assert undercut_depth_mm(10, 10) == 20
    assert undercut_depth_mm(10, 10, slid_past_mm=6) == 26


@given(st.floats(1, 40), st.floats(0, 30), st.floats(0, 100), st.floats(0, 5))
def test_no_floor_goes_under_a_cut_lower_than_itself(board, underlay, levelling, clearance):
    height = undercut_height_mm(board, underlay, levelling_mm=levelling, clearance_mm=clearance)
    assert height >= board + underlay + levelling - 1e-9


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: undercut_height_mm(0, 3), "board thickness must be 1 to 40 mm, got 0 mm."),
        (lambda: undercut_height_mm(8, 31), "underlay thickness must be 0 to 30 mm, got 31 mm."),
        (lambda: undercut_height_mm(8, 3, sheet_mm=6), "vapour sheet thickness must be 0 to 5 mm, got 6 mm."),
        (lambda: undercut_height_mm(8, 3, levelling_mm=-1), "levelling must be 0 to 100 mm, got -1 mm."),
        (lambda: undercut_height_mm(8, 3, clearance_mm=6), "clearance over the board must be 0 to 5 mm, got 6 mm."),
        (lambda: undercut_depth_mm(51, 10), "gap must be 0 to 50 mm, got 51 mm."),
        (lambda: undercut_depth_mm(10, 41), "floor under the frame must be 0 to 40 mm, got 41 mm."),
        (
            lambda: undercut_depth_mm(10, 10, slid_past_mm=31),
            "board slid past its place must be 0 to 30 mm, got 31 mm.",
        ),
    ],
)
def test_a_figure_out_of_its_range_is_refused(call, message):
    with pytest.raises(ValueError) as refused:
        call()
    assert str(refused.value) == message
