"""First joints to begin a search with: chains of offcuts that need few boards, before offsets are looked at."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass

from flooring_kit.setting_out.chains import (
    Component,
    RowLength,
    Zone,
    allowed_first_joints,
    fewest_board_components,
    finisher_t,
    highest_allowed,
)

SPREADS, NARROWER = 12, 0.65
"""How often slack is shared out at random before a chain is taken as it is, each time over a narrower range."""

FEWEST_ALIKE = 3
"""Fewer equal rows than this are not worth a chain of their own."""


@dataclass(frozen=True)
class JointRules:
    """Board and rules as the search sees them [tenths of mm]."""

    board: int
    spacing: int
    shortest: int
    offset: float


def zones_of(row: RowLength, rules: JointRules) -> tuple[Zone, ...]:
    """Allowed first joints; where none holds the rule, the one that leaves both ends as long as can be."""
    zones = allowed_first_joints(row, rules.board, rules.shortest)
    if zones:
        return zones
    longest_ends = (rules.board + row.rest) // 2
    return ((longest_ends, longest_ends),)


def anywhere_in(zones: Sequence[Zone], draw: random.Random) -> int:
    """A first joint drawn from all that are allowed, each as likely."""
    at = draw.randrange(sum(high - low + 1 for low, high in zones))
    for low, high in zones:
        if at <= high - low:
            return low + at
        at -= high - low + 1
    raise AssertionError("unreachable: the zones hold every drawn place")


def chained_joints(rows: Sequence[RowLength], rules: JointRules, draw: random.Random) -> list[int]:
    """First joints of rows linked into the best chains of each length, slack shared out at random."""
    joints = [0] * len(rows)
    members: dict[RowLength, list[int]] = {}
    for i, row in enumerate(rows):
        members.setdefault(row, []).append(i)
    few: list[int] = []
    for row, alike in members.items():
        if len(alike) < FEWEST_ALIKE or not allowed_first_joints(row, rules.board, rules.shortest):
            few.extend(alike)
            continue
        parts = fewest_board_components(row, rules.board, rules.spacing, rules.shortest, len(alike), draw)
        waiting = list(alike)
        draw.shuffle(waiting)
        for part in parts:
            for joint in _spread(row, part, rules, draw):
                if waiting:
                    joints[waiting.pop()] = joint
    few.sort(key=lambda i: (rows[i].rest, i))
    for i, joint in zip(few, _one_after_another([rows[i] for i in few], rules), strict=True):
        joints[i] = joint
    return joints


def walked_joints(
    rows: Sequence[RowLength], rules: JointRules, draw: random.Random, *, loose: Sequence[int] = ()
) -> list[int]:
    """First joints of rows of several lengths linked into one long walk: the next row is the one that wastes least.

    A walk may begin with what a loose piece leaves of its board.
    """
    joints = [0] * len(rows)
    waiting: dict[RowLength, list[int]] = {}
    for i in draw.sample(range(len(rows)), len(rows)):
        waiting.setdefault(rows[i], []).append(i)
    zones = {row: zones_of(row, rules) for row in waiting}
    fit = rules.board - rules.spacing
    beside_loose = [fit - length for length in draw.sample(loose, len(loose))] if loose else []
    limit: int | None = beside_loose.pop() if beside_loose else None
    while waiting:
        options: list[tuple[float, int, RowLength]] = []
        if limit is not None:
            for row in waiting:
                joint = highest_allowed(zones[row], limit)
                if joint is not None:
                    options.append((limit - joint + draw.random() * rules.spacing, joint, row))
        if options:
            options.sort(key=lambda option: option[0])
            pick = 0 if draw.random() < 0.75 else draw.randrange(min(3, len(options)))
            _, joint, row = options[pick]
        else:
            row = draw.choice(list(waiting))
            joint = zones[row][-1][1] if draw.random() < 0.5 else anywhere_in(zones[row], draw)
        joints[waiting[row].pop()] = joint
        if not waiting[row]:
            del waiting[row]
        limit = None if joint == row.rest else fit - finisher_t(row, joint, rules.board)
        if beside_loose and draw.random() < 0.3:
            limit = beside_loose.pop()
    return joints


def _one_after_another(rows: Sequence[RowLength], rules: JointRules) -> list[int]:
    """Each row started with the offcut of the one before where that is allowed."""
    joints: list[int] = []
    for row in rows:
        zones = zones_of(row, rules)
        first: int | None = None
        if joints:
            before = rows[len(joints) - 1]
            first = highest_allowed(zones, rules.board - rules.spacing - finisher_t(before, joints[-1], rules.board))
        joints.append(zones[-1][1] if first is None else first)
    return joints


def _spread(row: RowLength, part: Component, rules: JointRules, draw: random.Random) -> tuple[int, ...]:
    """The component's joints with its slack shared out at random, so that rows differ."""
    board, spacing = rules.board, rules.spacing
    zones = zones_of(row, rules)
    rows = part.rows
    slack = max(0, part.boards * board - rows * (row.rest + spacing)) / rows
    low, high = zones[0] if part.closed else zones[-1]
    for attempt in range(SPREADS):
        share = 2.0 * NARROWER**attempt
        span = int((high - low) * NARROWER**attempt) if part.closed else min(high - low, int(share * slack))
        joints = [high - draw.randint(0, span)]
        while len(joints) < rows:
            limit = board - spacing - finisher_t(row, joints[-1], board)
            following = highest_allowed(zones, limit - draw.randint(0, int(share * slack)))
            if following is None or joints[-1] == row.rest:
                break
            joints.append(following)
        if len(joints) < rows:
            continue
        rounds = sum(joint < row.rest for joint in joints)
        back = board - spacing - finisher_t(row, joints[-1], board)
        if part.closed and rounds <= part.boards and joints[-1] != row.rest and back >= joints[0]:
            return tuple(joints)
        if not part.closed and rounds < part.boards:
            return tuple(joints)
    return part.first_joints_t
