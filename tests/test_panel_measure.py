"""Measuring a room in the panel: walls one after the other, corrections, undo, and everything kept on disk."""

from __future__ import annotations

import re

import pytest

import flooring_kit as fk
from flooring_kit.draft import DraftWall
from flooring_kit.files import own_path
from flooring_kit.panels import measure_panel, plan_panel
from flooring_kit.panels.measure_fields import CHOOSE, OTHER_TURN
from flooring_kit.panels.measure_room import KEPT_FILE
from flooring_kit.panels.row_editor import NEW

SURVEYS = {path.stem: path for path in sorted(fk.demo_path("rooms").glob("*.toml"))}
ROOMS = {room.name: room for room in map(fk.read_room, SURVEYS.values())}
SHOP = fk.read_catalogue(fk.demo_path())
CHOICES = fk.Choices(fk.Materials("Oak plank 1380 x 193", "Foam sheet 3 mm", "White scotia 18 mm"))
RIGHT, LEFT = "right, a square corner", "left, a square corner"


@pytest.fixture(autouse=True)
def work(tmp_path, monkeypatch):
    monkeypatch.setenv("FLOORING_KIT_WORK", str(tmp_path))
    return tmp_path / "own"


@pytest.fixture
def panel():
    return measure_panel(SURVEYS)


def text(widget):
    return re.sub(r"<[^>]+>", " ", widget.value)


def fill(editor, **values):
    for name, value in values.items():
        editor.fields[name].control.value = value


def add_wall(panel, length, turn=RIGHT):
    fill(panel.walls, length=length, turn=turn)
    panel.walls.add.click()
    assert panel.walls.alert.value == ""


def box(panel):
    for length in ("4200", "2.92 m", "4203", "2925"):
        add_wall(panel, length)


def test_walls_typed_one_after_the_other_make_a_room(panel):
    add_wall(panel, "4200")
    assert "1 wall so far, turned by 90° of 360°; 4200 mm from the first corner." in text(panel.told)
    assert panel.room() is None
    assert panel.plan.disabled
    add_wall(panel, "2.92 m")
    add_wall(panel, "4203")
    assert "<svg" in panel.sketch.value
    assert "must add up" not in text(panel.told)  # not closed yet is no fault
    add_wall(panel, "2925")
    # 4203 - 4200 = 3 and 2925 - 2920 = 5: the last corner is 5.8 mm from the first
    assert "4 walls, turned by 360°: the last one ends 6 mm from the first corner." in text(panel.told)
    assert panel.room().polygon.area / 1e6 == pytest.approx(4.2015 * 2.9225, rel=1e-3)
    assert f"{panel.room().polygon.area / 1e6:.2f} m² inside the skirting." in text(panel.told)
    assert not panel.save.disabled
    assert panel.walls.fields["length"].control.value == ""  # ready for the next


def test_ties_tell_whether_the_tape_agrees(panel):
    box(panel)
    fill(panel.ties, first=1, second=3, length="5116")
    panel.ties.add.click()
    fill(panel.ties, first=2, second=4, length="5300")  # 180 mm too long: somebody misread
    panel.ties.add.click()
    assert "tie" in text(panel.told)
    told = panel.room().notes[0]
    assert told in text(panel.told).replace("&#x27;", "'").replace("&quot;", '"')
    right = fk.fit_tape(
        [fk.TapeWall(length) for length in (4200, 2920, 4203, 2925)], [fk.Tie(1, 3, 5116), fk.Tie(2, 4, 5300)]
    )
    assert told == right.verdict


def test_a_wall_is_corrected_put_in_and_taken_out(panel):
    for length in ("4200", "1500", "4200", "2925"):
        add_wall(panel, length)
    panel.walls.rows.value = 1
    assert panel.walls.fields["length"].control.value == "1500"
    assert panel.walls.add.layout.display == "none"
    fill(panel.walls, length="2920")
    panel.walls.change.click()
    assert panel.draft().walls[1] == DraftWall("2920", 90.0)
    panel.walls.rows.value = 0
    panel.walls.take_out.click()
    assert [wall.length for wall in panel.draft().walls] == ["2920", "4200", "2925"]
    panel.undo.click()
    assert [wall.length for wall in panel.draft().walls] == ["4200", "2920", "4200", "2925"]


def test_any_angle_can_be_turned(panel):
    fill(panel.walls, length="2000", turn=OTHER_TURN, angle=112.5)
    panel.walls.add.click()
    assert panel.draft().walls == (DraftWall("2000", 112.5),)
    assert panel.walls.rows.options[1][0] == "wall 1: 2000, then right by 112.5°"
    fill(panel.walls, length="2000", angle=190.0)
    panel.walls.add.click()
    assert "Angle must be -175 to 175 °, got 190 °." in panel.walls.fields["angle"].complaint.value
    assert len(panel.draft().walls) == 1


def test_a_length_that_is_none_is_complained_of_under_its_field_and_got_over(panel):
    fill(panel.walls, length="about 4 m")
    panel.walls.add.click()
    assert "got &#x27;about 4 m&#x27;" in panel.walls.fields["length"].complaint.value
    assert panel.draft().walls == ()
    add_wall(panel, "4 m")
    assert panel.walls.fields["length"].complaint.value == ""
    assert len(panel.draft().walls) == 1


def test_doors_pipes_and_what_stays_are_added_at_their_walls(panel):
    box(panel)
    fill(panel.doors, wall=1, along="520", opening="762", recess="38", name="to the landing")
    panel.doors.add.click()
    fill(panel.pipes, wall=3, along="150", out="60")
    panel.pipes.add.click()
    fill(panel.obstacles, name="wardrobe", kind="wardrobe", wall=2, along="400", width="900", depth="600")
    panel.obstacles.add.click()
    room = panel.room()
    assert [(door.wall, door.name, door.from_corner_mm) for door in room.doors] == [(1, "to the landing", 520)]
    assert len(room.pipes) == 1
    assert [each.name for each in room.obstacles] == ["wardrobe"]
    for name in ("to the landing", "wardrobe"):
        assert name in panel.sketch.value
    fill(panel.doors, wall=1, along="4000", opening="762", name="")
    panel.doors.add.click()
    told = "It would reach from 4000 to 4762 mm, but wall 1 is 4200 mm long."
    assert told in panel.doors.fields["along"].complaint.value
    fill(panel.doors, wall=9, along="100")
    panel.doors.add.click()
    assert "At wall must be a whole number from 1 to 4, got 9." in panel.doors.fields["wall"].complaint.value
    fill(panel.obstacles, name="hearth", wall=2, along="2500", width="1200", depth="400")
    panel.obstacles.add.click()
    assert "It would reach from 2500 to 3700 mm" in panel.obstacles.fields["along"].complaint.value
    assert panel.room() == room


def test_a_length_that_no_wall_has_is_complained_of(panel):
    fill(panel.walls, length="4,1")
    panel.walls.add.click()
    told = "Length must be 50 to 100000 mm, got 4.1 mm. A plain number is in mm."
    assert told in panel.walls.fields["length"].complaint.value
    assert panel.draft().walls == ()


def test_a_row_taken_out_leaves_no_figures_of_it_beside_the_next(panel):
    box(panel)
    for along in ("520", "2800"):
        fill(panel.doors, wall=1, along=along)
        panel.doors.add.click()
    panel.doors.rows.value = 0
    panel.doors.take_out.click()
    assert [door.along for door in panel.draft().doors] == ["2800"]
    assert panel.doors.rows.value == NEW
    assert panel.doors.change.layout.display == "none"


def test_a_wall_read_short_is_looked_for_along_the_miss(panel):
    for length in ("4200", "2920", "3200", "2920"):
        add_wall(panel, length)
    assert "The miss runs along walls 1 and 3: read that tape again first." in text(panel.told)


def test_a_wall_with_a_door_in_it_is_not_taken_out(panel):
    box(panel)
    fill(panel.doors, wall=1, along="520")
    panel.doors.add.click()
    panel.walls.rows.value = 0
    panel.walls.take_out.click()
    assert "wall 1 carries door 1. Take that out first." in panel.walls.alert.value
    assert len(panel.draft().walls) == 4


def test_every_step_is_undone_and_redone(panel):
    drafts = [panel.draft()]
    box(panel)
    panel.fields["name"].control.value = "Den"
    panel.fields["heated"].control.value = True
    assert (panel.draft().name, panel.draft().heated, panel.room().heated) == ("Den", True, True)
    for _ in range(6):
        panel.undo.click()
    assert panel.draft() == drafts[0]
    assert panel.undo.disabled
    for _ in range(6):
        panel.redo.click()
    assert (panel.draft().name, panel.room().heated) == ("Den", True)
    assert panel.redo.disabled
    assert panel.fields["name"].control.value == "Den"


def test_what_was_typed_is_there_again_when_the_panel_is_made_anew(panel, work):
    box(panel)
    panel.fields["units"].control.value = "cm"
    again = measure_panel(SURVEYS)
    assert again.draft() == panel.draft()
    assert "Taken up where you left off." in text(again.status)
    assert again.fields["units"].control.value == "cm"
    again.afresh.click()
    assert again.draft().walls == ()
    again.undo.click()
    assert again.draft() == panel.draft()


def test_a_kept_file_that_cannot_be_read_is_laid_aside_and_not_lost(work):
    own_path(KEPT_FILE).write_text("half a fi")
    panel = measure_panel(SURVEYS)
    assert panel.draft().walls == ()
    assert (work / f"unreadable {KEPT_FILE}").read_text() == "half a fi"
    own_path(KEPT_FILE).write_text("another half")
    measure_panel(SURVEYS)
    assert (work / f"unreadable {KEPT_FILE}").read_text() == "half a fi"
    assert (work / f"unreadable 2 {KEPT_FILE}").read_text() == "another half"


def test_a_thing_of_any_outline_keeps_it_when_it_is_renamed(panel, tmp_path):
    path = tmp_path / "den.toml"
    path.write_text(
        'name = "Den"\noutline = [[0, 0], [4000, 0], [4000, 3000], [0, 3000]]\n'
        '[[obstacle]]\nname = "column"\noutline = [[1000, 1000], [1400, 1100], [1300, 1500]]\n'
    )
    panel = measure_panel({"den": path})
    panel.fields["open"].control.value = "den"
    before = panel.room().obstacles[0].polygon
    assert panel.obstacles.rows.options[1][0] == "column as it came from the file"
    panel.obstacles.rows.value = 0
    fill(panel.obstacles, name="post")
    panel.obstacles.change.click()
    assert panel.room().obstacles[0].name == "post"
    assert panel.room().obstacles[0].polygon.equals_exact(before, 0.2)


def test_a_survey_is_opened_saved_and_opened_again(panel, work):
    panel.fields["open"].control.value = "sitting_room"
    assert panel.fields["open"].control.value == CHOOSE
    room = panel.room()
    assert room.polygon.symmetric_difference(ROOMS["Sitting room"].polygon).area < 100
    panel.fields["name"].control.value = "Front room"
    panel.save.click()
    assert fk.read_room(work / "Front room.toml") == panel.room()
    assert "Front room" in panel.fields["open"].control.options
    panel.undo.click()
    assert panel.draft().name == "Sitting room"


def test_a_room_measured_is_planned_in_the_panel_below(panel):
    planned = plan_panel(ROOMS, SHOP, CHOICES, room="Box room")
    panel = measure_panel(SURVEYS, on_room=planned.take_room)
    box(panel)
    panel.plan.click()
    assert planned.room() == panel.room()
    assert planned.fields["room"].control.value == "My room"
    plain = fk.estimate(panel.room(), planned.choices(), SHOP, quick=True)
    assert planned.estimate().take_off.boards == plain.take_off.boards
    # corrected and planned again under the same name
    panel.walls.rows.value = 0
    fill(panel.walls, length="4300")
    panel.walls.change.click()
    panel.walls.rows.value = 2
    fill(panel.walls, length="4300")
    panel.walls.change.click()
    panel.plan.click()
    assert planned.estimate().room_area_m2 == pytest.approx(4.3 * 2.9225, rel=1e-3)
    assert "is chosen in the planning panel." in text(panel.status)
    panel.undo.click()
    panel.redo.click()
    panel.walls.rows.value = 1
    fill(panel.walls, length="2900")
    panel.walls.change.click()
    assert "My room has changed since it was planned: press Plan this room again." in text(panel.status)


# ---------------------------------------------------------------------- the planning panel keeps its job


def test_the_job_is_kept_as_it_goes_and_taken_up_again():
    kept = own_path("plan.job.json")
    panel = plan_panel(ROOMS, SHOP, CHOICES, room="Box room", kept=kept)
    panel.fields["room"].control.value = "Hall"
    panel.fields["gap"].control.value = 12
    panel.fields["pile"].control.value = "at most 2"
    panel.settle()
    assert fk.read_job(kept).choices == panel.choices()
    again = plan_panel(ROOMS, SHOP, CHOICES, room="Box room", kept=kept)
    assert again.room().name == "Hall"
    assert again.choices() == panel.choices()
    assert again.choices().laying.rules.most_offcuts_waiting == 2
    assert (
        "Taken up where you left off: Hall, Oak plank 1380 x 193."
        in again.box.children[0].children[0].children[0].children[0].value
    )
    again.afresh.click()
    assert again.room().name == "Box room"
    assert again.choices() == plan_panel(ROOMS, SHOP, CHOICES, room="Box room").choices()


def test_a_room_of_one_s_own_is_kept_with_the_job():
    kept = own_path("plan.job.json")
    panel = plan_panel(ROOMS, SHOP, CHOICES, room="Box room", kept=kept)
    own = fk.Room("Den", ((0, 0), (3000, 0), (3000, -2000), (0, -2000)))
    panel.take_room(own)
    panel.settle()
    again = plan_panel(ROOMS, SHOP, CHOICES, kept=kept)
    assert again.room() == own


@pytest.mark.parametrize("damage", ["", "{", '{"format": 99}'])
def test_a_kept_job_that_cannot_be_read_is_laid_aside_and_told(damage, work):
    kept = own_path("plan.job.json")
    kept.write_text(damage)
    panel = plan_panel(ROOMS, SHOP, CHOICES, room="Box room", kept=kept)
    assert panel.room().name == "Box room"
    told = panel.box.children[0].children[0].children[0].children[0].value
    assert "The job kept last time can&#x27;t be taken up and was laid aside as" in told
    assert (work / "unreadable plan.job.json").read_text() == damage


def test_boards_run_at_the_angle_typed_where_the_list_says_so():
    panel = plan_panel(ROOMS, SHOP, CHOICES, room="Box room")
    before = panel.estimate()
    panel.fields["angle"].control.value = 30.0
    assert panel.estimate() is before
    panel.fields["direction"].control.value = "at the angle below"
    assert panel.choices().laying.direction == 30.0
    assert panel.estimate().plan.direction_degrees == pytest.approx(30)
    panel.fields["angle"].control.value = 999
    assert "Angle must be 0 to 179 °, got 999 °." in panel.fields["angle"].complaint.value
    panel.fields["angle"].control.value = 45.0
    assert panel.estimate().plan.direction_degrees == pytest.approx(45)


def test_the_search_is_stopped_and_what_there_is_stays():
    panel = plan_panel(ROOMS, SHOP, CHOICES, room="Kitchen-diner")
    shown = panel.estimate()
    panel.progress.stop.click()
    assert "Stopped: this plan may still be bettered." in panel.status.value
    panel.settle()
    assert panel.estimate() is shown
