"""The log of a day: on disk before the next entry, whatever is killed; cut off, edited, foreign or newer logs."""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import random
import signal
import time
from dataclasses import asdict
from pathlib import Path

import pytest

from flooring_kit import as_laid, set_out
from flooring_kit.checks import FaultsError
from flooring_kit.day_entries import (
    ENTRY_NAMES,
    BatchNoted,
    BoardDamaged,
    CameOut,
    Entry,
    GapLeft,
    InHand,
    LaidUpTo,
    OffcutLost,
    PhotoTaken,
    PieceSpoiled,
    PlannedAnew,
    Reading,
    Remark,
    RowLaid,
    RowMeasured,
    SparesDamaged,
    StartedWith,
    Undone,
    entry_name,
)
from flooring_kit.files import DayLog, open_day_log, read_day_log, recover_day_log, write_day_record
from flooring_kit.products import Board
from flooring_kit.room import Room

JOB = "0123456789abcdef"
AT = "2026-05-14T10:32:07"
ONE_OF_EACH: list[Entry] = [
    PlannedAnew((9000, 13000), ((1, 6000, 0), (2, 0, 0))),
    RowLaid(1),
    LaidUpTo("2a"),
    StartedWith(3, 880.5, run=2),
    CameOut("4b", 1099.0),
    PieceSpoiled("4c"),
    BoardDamaged("5a"),
    SparesDamaged(2),
    OffcutLost("9c"),
    InHand(812.0, "groove end", 2, "from the hall"),
    RowMeasured(6, 2768.5, -2.0),
    GapLeft(1, 9.0),
    Reading("air humidity", 48.0, "middle"),
    BatchNoted("A113", 3),
    PhotoTaken("door.jpg", "the doorway"),
    Remark("Skirting loose, “by the door”: wölbt sich."),
    Undone(5),
]


def new_log(folder: Path, entries: list[Entry], *, name: str = "hall") -> DayLog:
    log = open_day_log(folder / "hall.day.jsonl", job=JOB, name=name, at=AT)
    for entry in entries:
        log.append(entry, at=AT)
    return log


def refusal(path: Path, *, job: str = JOB) -> str:
    before = path.read_bytes()
    with pytest.raises(FaultsError) as told:
        open_day_log(path, job=job, name="hall")
    assert path.read_bytes() == before, "a log refused stays as it is"
    return str(told.value)


# ---------------------------------------------------------------------- writing and reading


def test_every_sort_of_entry_comes_back_equal(tmp_path):
    assert {type(entry) for entry in ONE_OF_EACH} == set(ENTRY_NAMES.values())
    log = new_log(tmp_path, ONE_OF_EACH)
    again = open_day_log(log.path, job=JOB)
    assert list(again.entries) == ONE_OF_EACH
    assert [(one.number, one.at) for one in again.logged] == [(n, AT) for n in range(1, len(ONE_OF_EACH) + 1)]
    assert again.repairs == ()
    assert again.append(RowLaid(2)) == len(ONE_OF_EACH) + 1


def test_a_log_is_lines_of_json_that_anyone_can_read(tmp_path):
    lines = new_log(tmp_path, ONE_OF_EACH).path.read_text(encoding="utf-8").splitlines()
    head, *rest = (json.loads(line) for line in lines)
    assert (head["log"], head["format"], head["job"], head["name"], head["begun"]) == ("as laid", 1, JOB, "hall", AT)
    for number, (line, entry) in enumerate(zip(rest, ONE_OF_EACH, strict=True), start=1):
        assert (line["n"], line["at"], line["entry"]) == (number, AT, entry_name(entry))
        assert json.loads(json.dumps(asdict(entry))) == {key: line[key] for key in asdict(entry)}


def test_an_entry_is_never_rewritten_the_file_only_grows(tmp_path):
    log = new_log(tmp_path, [])
    before = log.path.read_bytes()
    for entry in ONE_OF_EACH:
        log.append(entry)
        now = log.path.read_bytes()
        assert now.startswith(before)
        assert len(now) > len(before)
        before = now


def test_an_entry_is_synced_before_append_returns(tmp_path, monkeypatch):
    log = new_log(tmp_path, [])
    synced: list[int] = []
    real = os.fsync
    monkeypatch.setattr(os, "fsync", lambda handle: (synced.append(os.fstat(handle).st_size), real(handle))[1])
    log.append(RowLaid(1))
    assert synced == [log.path.stat().st_size]


def test_a_new_log_begins_with_the_plan_and_opens_on_it(tmp_path):
    plan = set_out(Room("store", ((0, 0), (4020, 0), (4020, 792), (0, 792))), Board("plank", 1800, 193, 8, 8))
    job = as_laid.job_fingerprint(plan)
    path = tmp_path / "store.day.jsonl"
    log = open_day_log(path, job=job, name="store", first=as_laid.first_entry(plan))
    log.append(RowLaid(1))
    again = open_day_log(path, job=job, name="store", first=Remark("not written twice"))
    day = as_laid.as_laid(plan, again.entries)
    assert (len(again.entries), day.rows_laid) == (2, (1,))


def test_every_ten_entries_a_copy_stands_beside_the_log(tmp_path):
    log = new_log(tmp_path, [RowLaid(row) for row in range(1, 10)])
    copy = log.path.with_name("hall.day.jsonl.copy")
    assert not copy.exists()
    log.append(RowLaid(10))
    assert copy.read_bytes() == log.path.read_bytes()
    log.append(RowLaid(11))
    assert len(copy.read_bytes()) < len(log.path.read_bytes())
    log.put_copy()
    assert copy.read_bytes() == log.path.read_bytes()


def test_a_disk_that_is_full_loses_no_entry_and_says_so(tmp_path, monkeypatch):
    log = new_log(tmp_path, [RowLaid(1)])
    before = log.path.read_bytes()

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(ValueError) as told:
        log.append(RowLaid(2))
    assert str(told.value) == (
        f"{log.path}: entry 2 was not saved: No space left on device. Everything before it is safe. Make room, then "
        "make the entry again."
    )
    monkeypatch.undo()
    assert log.path.read_bytes() == before
    assert log.append(RowLaid(2)) == 2
    assert open_day_log(log.path, job=JOB).entries == (RowLaid(1), RowLaid(2))


def test_an_entry_on_disk_is_never_refused_for_the_sake_of_its_copy(tmp_path):
    log = new_log(tmp_path, [RowLaid(row) for row in range(1, 10)])
    copy = tmp_path / "hall.day.jsonl.copy"
    copy.mkdir()  # a folder stands in the copy's way
    assert log.append(RowLaid(10)) == 10
    assert log.entries[-1] == RowLaid(10)
    assert log.copy_trouble == (
        f"Every entry is safe in the log, but its copy was not renewed. {copy}: the copy of the log was not saved: "
        "this is a folder. Add a name, such as hall.day.jsonl.copy."
    )
    copy.rmdir()
    assert log.append(RowLaid(11)) == 11  # it need not wait for the twentieth
    assert log.copy_trouble == ""
    assert copy.read_bytes() == log.path.read_bytes()
    assert open_day_log(log.path, job=JOB).entries == tuple(RowLaid(row) for row in range(1, 12))


def test_two_notebooks_can_not_write_over_each_other(tmp_path):
    log = new_log(tmp_path, [RowLaid(1)])
    other = open_day_log(log.path, job=JOB)
    other.append(RowLaid(2))
    with pytest.raises(ValueError) as told:
        log.append(RowLaid(3))
    assert str(told.value) == (
        f"{log.path}: the log was written to by something else since it was opened, so nothing was added. Open it "
        "again, and keep it open in one place only."
    )
    assert open_day_log(log.path, job=JOB).entries == (RowLaid(1), RowLaid(2))


def test_a_folder_that_is_not_there_is_told(tmp_path):
    with pytest.raises(ValueError) as told:
        open_day_log(tmp_path / "no" / "hall.day.jsonl", job=JOB)
    assert "the log was not saved: there is no folder" in str(told.value)


# ---------------------------------------------------------------------- the plug is pulled


def test_killed_at_random_a_hundred_times_nothing_confirmed_is_lost(tmp_path):
    """A child writes entries and confirms each on a pipe after `append` has returned; it is killed in the midst.

    All that was confirmed must be there on opening again, in order; at most the one entry being written may be there
    beside it; and writing goes on from there.
    """
    draw = random.Random(2026)
    path = tmp_path / "hall.day.jsonl"
    confirmed = 0
    torn_or_unconfirmed = 0
    for _ in range(120):
        log = open_day_log(path, job=JOB)
        assert [e.text for e in log.entries if isinstance(e, Remark)] == [
            f"entry {n} " + "x" * (n * 7 % 400) for n in range(1, len(log.entries) + 1)
        ]
        assert confirmed <= len(log.entries) <= confirmed + 1
        torn_or_unconfirmed += bool(log.repairs) or len(log.entries) > confirmed
        confirmed = len(log.entries)
        reading, writing = os.pipe()
        child = os.fork()
        if child == 0:  # in the child: nothing but entries, until it is killed
            with contextlib.suppress(BaseException):
                os.close(reading)
                for n in range(confirmed + 1, confirmed + 400):
                    log.append(Remark(f"entry {n} " + "x" * (n * 7 % 400)), at=AT)
                    os.write(writing, b".")
            os._exit(0)
        os.close(writing)
        os.read(reading, 1)  # it is at work
        confirmed += 1
        time.sleep(draw.random() * 0.004)
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        while got := os.read(reading, 4096):
            confirmed += len(got)
        os.close(reading)
    assert len(open_day_log(path, job=JOB).entries) >= confirmed > 120
    assert torn_or_unconfirmed > 0, "no kill fell into a write: the test has not tested what it is for"


def test_cut_off_at_any_byte_every_whole_line_before_it_is_kept(tmp_path):
    written = ONE_OF_EACH[:9]
    content = new_log(tmp_path, written).path.read_bytes()
    head = content.index(b"\n") + 1
    path = tmp_path / "cut.day.jsonl"
    for size in range(head, len(content)):
        path.write_bytes(content[:size])
        whole = content[:size].count(b"\n") - 1
        at_line_end = content[size - 1 : size] == b"\n"
        without_end = content[size : size + 1] == b"\n"
        entries, told = read_day_log(path)
        assert [one.entry for one in entries] == written[: whole + without_end]
        assert bool(told) == (not at_line_end)


def test_a_line_cut_off_is_left_out_with_a_word_and_the_file_as_found_is_kept(tmp_path):
    log = new_log(tmp_path, [RowLaid(1), RowLaid(2)])
    whole = log.path.read_bytes()
    log.path.write_bytes(whole[:-20])
    again = open_day_log(log.path, job=JOB)
    assert again.repairs == (
        "entry 2 was cut off while it was being written and had not been confirmed; it is left out, and the log "
        "stands at entry 1. The file as it was is kept as hall.day.jsonl.cut-1.",
    )
    assert again.entries == (RowLaid(1),)
    assert (tmp_path / "hall.day.jsonl.cut-1").read_bytes() == whole[:-20]
    again.append(RowLaid(2), at=AT)
    assert again.path.read_bytes() == whole
    log.path.write_bytes(whole[:-30])
    open_day_log(log.path, job=JOB)
    assert (tmp_path / "hall.day.jsonl.cut-2").read_bytes() == whole[:-30]


def test_zeros_that_a_power_cut_leaves_at_the_end_are_a_line_cut_off(tmp_path):
    log = new_log(tmp_path, [RowLaid(1)])
    log.path.write_bytes(log.path.read_bytes() + b"\0" * 512)
    assert open_day_log(log.path, job=JOB).entries == (RowLaid(1),)


def test_a_whole_line_without_its_end_counts(tmp_path):
    log = new_log(tmp_path, [RowLaid(1), RowLaid(2)])
    whole = log.path.read_bytes()
    log.path.write_bytes(whole[:-1])
    again = open_day_log(log.path, job=JOB)
    assert again.repairs == ("entry 2 is whole, but its line had no end; it counts.",)
    assert again.path.read_bytes() == whole


# ---------------------------------------------------------------------- bad logs


def test_an_entry_changed_by_hand_is_refused_and_can_be_taken_back(tmp_path):
    log = new_log(tmp_path, [RowLaid(row) for row in range(1, 13)])
    whole = log.path.read_bytes()
    edited = whole.replace(b'"row": 5', b'"row": 6')
    log.path.write_bytes(edited)
    told = refusal(log.path)
    assert told == (
        f"{log.path}: 1 fault found, nothing was read.\n  - line 6 has been changed by hand, or a line before it has "
        "been taken out: its sum is not right. recover_day_log puts the log back to its last sound entry. "
        "hall.day.jsonl.copy is an earlier copy."
    )
    # the copy of entry 10 reaches further than the four sound lines of the log
    assert recover_day_log(log.path) == (
        f"{log.path}: 10 sound entries taken back. The file as it was is kept as hall.day.jsonl.damaged-1."
    )
    assert open_day_log(log.path, job=JOB).entries == tuple(RowLaid(row) for row in range(1, 11))
    assert (tmp_path / "hall.day.jsonl.damaged-1").read_bytes() == edited


@pytest.mark.parametrize("damage", ["out", "twice", "changed over", "last edited", "in the middle"])
def test_lines_taken_out_doubled_moved_or_edited_are_noticed(tmp_path, damage):
    log = new_log(tmp_path, [RowLaid(row) for row in range(1, 6)])
    lines = log.path.read_bytes().splitlines(keepends=True)
    changed = {
        "out": [*lines[:2], *lines[3:]],
        "twice": [*lines[:3], lines[2], *lines[3:]],
        "changed over": [*lines[:2], lines[3], lines[2], *lines[4:]],
        "last edited": [*lines[:-1], lines[-1].replace(b'"row": 5', b'"row": 9')],
        "in the middle": [*lines[:2], lines[2][:20] + b"\n", *lines[3:]],
    }[damage]
    log.path.write_bytes(b"".join(changed))
    assert "recover_day_log puts the log back to its last sound entry." in refusal(log.path)


def test_the_last_entry_edited_is_no_line_cut_off(tmp_path):
    log = new_log(tmp_path, [RowLaid(1), RowLaid(2)])
    log.path.write_bytes(log.path.read_bytes().replace(b'"row": 2', b'"row": 3'))
    assert "line 3 has been changed by hand" in refusal(log.path)
    assert recover_day_log(log.path).endswith(
        "1 sound entry taken back. The file as it was is kept as hall.day.jsonl.damaged-1."
    )


def test_the_log_of_another_job_is_refused(tmp_path):
    log = new_log(tmp_path, [RowLaid(1)], name="sitting room")
    assert refusal(log.path, job="f" * 16) == (
        f"{log.path}: 1 fault found, nothing was read.\n  - this is the log of another job ('sitting room', {JOB}), "
        f"not of 'hall', {'f' * 16}. Open the job it belongs to, or begin a new log under another name."
    )


def signed(path: Path, *lines: dict[str, object]) -> None:
    """A log as some version of the kit would have written it, its sums right: written apart from the kit's own code."""

    before, text = "", ""
    for line in lines:
        body = json.dumps(line, ensure_ascii=False)
        before = hashlib.sha256((before + body).encode()).hexdigest()[:16]
        text += f'{body[:-1]}, "sum": "{before}"}}\n'
    path.write_text(text, encoding="utf-8")


HEAD: dict[str, object] = {"log": "as laid", "format": 1, "kit": "0.1.0", "job": JOB, "name": "hall", "begun": AT}


def test_a_log_written_by_the_description_alone_is_read(tmp_path):
    path = tmp_path / "hall.day.jsonl"
    signed(path, HEAD, {"n": 1, "at": AT, "entry": "row laid", "row": 4})
    assert open_day_log(path, job=JOB).entries == (RowLaid(4),)


def test_a_newer_log_is_refused_with_the_version_that_reads_it(tmp_path):
    path = tmp_path / "hall.day.jsonl"
    signed(path, HEAD | {"format": 2, "kit": "7.0.0"})
    told = refusal(path)
    assert "line 1 says format 2; this version of the kit (" in told
    assert told.endswith(
        ") reads up to format 1. The log was begun by version '7.0.0': open it with that version or a later one."
    )
    # an older copy is no reason to write over what a newer version wrote
    signed(path.with_name("hall.day.jsonl.copy"), HEAD, {"n": 1, "at": AT, "entry": "row laid", "row": 4})
    unchanged(path, "in hall.day.jsonl, line 1 says format 2; this version of the kit (")


def unchanged(path: Path, told: str) -> None:
    """Taking the log back is refused with these words, and no file is written."""
    before = {file: file.read_bytes() for file in path.parent.iterdir()}
    with pytest.raises(ValueError) as slip:
        recover_day_log(path)
    assert str(slip.value).startswith(f"{path}: {told}")
    assert "Nothing was changed." in str(slip.value) or "nothing was changed." in str(slip.value)
    assert {file: file.read_bytes() for file in path.parent.iterdir()} == before


def test_a_file_that_is_no_log_and_has_no_copy_is_not_taken_back(tmp_path):
    path = tmp_path / "hall.day.jsonl"
    path.write_text("not a log\n")
    unchanged(path, "neither this file nor its copy begins like a log of the kit; nothing was changed.")


def test_an_entry_another_version_wrote_is_not_cut_off_by_taking_back(tmp_path):
    path = tmp_path / "hall.day.jsonl"
    signed(path, HEAD, {"n": 1, "at": AT, "entry": "row layed", "row": 4})
    unchanged(path, "in hall.day.jsonl, line 2 holds an entry this version does not know, 'row layed'.")


MOVE_ONE = " Nothing was changed. Move the one you do not want to another folder, then call recover_day_log again."


def test_a_copy_of_another_job_is_not_taken_for_the_log(tmp_path):
    path, other = tmp_path / "hall.day.jsonl", "f" * 16
    signed(path, HEAD, {"n": 1, "at": AT, "entry": "row laid", "row": 4})
    copy = path.with_name("hall.day.jsonl.copy")
    entries = [{"n": n, "at": AT, "entry": "row laid", "row": n} for n in (1, 2, 3)]
    signed(copy, HEAD | {"job": other, "name": "landing"}, *entries)
    unchanged(
        path,
        f"this log is of 'hall', {JOB}, and its copy, hall.day.jsonl.copy, is of another job ('landing', {other})."
        + MOVE_ONE,
    )


def test_a_copy_of_a_day_begun_apart_or_gone_another_way_is_not_taken_for_the_log(tmp_path):
    path = tmp_path / "hall.day.jsonl"
    copy = path.with_name("hall.day.jsonl.copy")
    one, two, three = ({"n": n, "at": AT, "entry": "row laid", "row": n} for n in (1, 2, 3))
    signed(path, HEAD, one)
    signed(copy, HEAD | {"begun": "2026-05-13T08:00:00"}, one, two)
    unchanged(
        path, "this log and its copy, hall.day.jsonl.copy, were begun apart: their first lines differ." + MOVE_ONE
    )
    signed(copy, HEAD, one, two | {"row": 9}, three)
    signed(path, HEAD, one, two)
    unchanged(path, "this log and its copy, hall.day.jsonl.copy, differ from entry 2 on." + MOVE_ONE)
    copy.rename(tmp_path / "elsewhere")
    assert recover_day_log(path).startswith(f"{path}: 2 sound entries taken back.")


def test_a_log_whose_first_line_is_damaged_comes_back_from_its_copy(tmp_path):
    log = new_log(tmp_path, [RowLaid(row) for row in range(1, 11)])
    whole = log.path.read_bytes()
    log.path.write_bytes(b"\0" * 40 + whole[40:])
    assert recover_day_log(log.path) == (
        f"{log.path}: 10 sound entries taken back. The file as it was is kept as hall.day.jsonl.damaged-1."
    )
    assert log.path.read_bytes() == whole


@pytest.mark.parametrize(
    ("line", "told"),
    [
        (
            {"n": 1, "at": AT, "entry": "row layed", "row": 4},
            "line 2 holds an entry this version does not know, 'row layed'. Did you mean 'row laid'?",
        ),
        (
            {"n": 1, "at": AT, "entry": "row laid", "row": 0},
            "line 2 can't be taken: entry 1: row must be a whole number from 1 to 2000, got 0.",
        ),
        (
            {"n": 1, "at": AT, "entry": "row laid", "row": 4, "mood": "good"},
            "line 2 can't be taken: entry 1: 'mood' is not a known key. Another version of the kit wrote the log.",
        ),
        ({"n": 2, "at": AT, "entry": "row laid", "row": 4}, "line 2 should be entry 1, it says 2."),
        ({"n": 1, "entry": "row laid", "row": 4}, "line 2 should be entry 1, it says 1."),
    ],
)
def test_a_line_whose_sum_is_right_and_whose_entry_is_not_is_refused(tmp_path, line, told):
    path = tmp_path / "hall.day.jsonl"
    signed(path, HEAD, line)
    assert refusal(path).endswith(told)  # no word of taking it back: that would lose what another version wrote


@pytest.mark.parametrize(
    "content",
    [b"", b"\n", b"not a log\n", b'{"format": 1, "room": {}}\n', b"PK\x03\x04", b"\xff\xfe", b"[1, 2]\n", b"null"],
)
def test_what_is_no_log_at_all_is_refused(tmp_path, content):
    path = tmp_path / "hall.day.jsonl"
    path.write_bytes(content)
    told = refusal(path)
    assert told.startswith(f"{path}: 1 fault found, nothing was read.\n  - ")
    assert "this is not the log of a day: its first line does not say so." in told or "line 1 has been changed" in told


def test_any_bytes_in_place_of_any_part_are_refused_or_read_as_they_were(tmp_path):
    """Six hundred damaged logs: each is read with entries as written up to somewhere, or refused in words."""
    log = new_log(tmp_path, ONE_OF_EACH)
    content = log.path.read_bytes()
    draw = random.Random(7)
    path = tmp_path / "hit.day.jsonl"
    for _ in range(600):
        at, size = draw.randrange(len(content)), draw.randint(0, 6)
        path.write_bytes(content[:at] + draw.randbytes(draw.randint(0, 6)) + content[at + size :])
        with contextlib.suppress(FaultsError):
            entries, _ = read_day_log(path)
            assert [one.entry for one in entries] == ONE_OF_EACH[: len(entries)]


def test_a_missing_log_whose_copy_is_there_is_not_begun_anew(tmp_path):
    log = new_log(tmp_path, [RowLaid(row) for row in range(1, 12)])
    copy = tmp_path / "hall.day.jsonl.copy"
    kept = copy.read_bytes()
    log.path.unlink()
    with pytest.raises(FaultsError) as told:
        open_day_log(log.path, job=JOB, name="hall")
    assert str(told.value) == (
        f"{log.path}: 1 fault found, nothing was read.\n  - the log is missing, but its copy is there, "
        "hall.day.jsonl.copy. recover_day_log takes the entries back from the copy. To begin afresh, give the log "
        "another name."
    )
    assert not log.path.exists()
    assert copy.read_bytes() == kept
    assert recover_day_log(log.path) == f"{log.path}: 10 sound entries taken back."
    assert open_day_log(log.path, job=JOB).entries == tuple(RowLaid(row) for row in range(1, 11))
    assert copy.read_bytes() == kept


def test_a_missing_log_is_told_with_the_nearest_name(tmp_path):
    new_log(tmp_path, [])
    with pytest.raises(FileNotFoundError) as told:
        read_day_log(tmp_path / "hal.day.jsonl")
    assert "Nearest in that folder: hall.day.jsonl" in str(told.value)


def test_a_record_is_written_whole(tmp_path):
    write_day_record('{"record": "floor as laid"}\n', tmp_path / "hall.record.json")
    assert (tmp_path / "hall.record.json").read_text() == '{"record": "floor as laid"}\n'
    with pytest.raises(ValueError) as told:
        write_day_record("", tmp_path)
    assert str(told.value) == (
        f"{tmp_path}: the record was not saved: this is a folder. Add a name, such as hall.record.json."
    )
