"""Which laying rules a plan breaks, measured on its pieces."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass

from flooring_kit.rules import LayingRules
from flooring_kit.setting_out.pieces import Piece
from flooring_kit.setting_out.rows import REACHES_MM, Run, StopPoint, strip_at

POINTED_TIP_MM = 0.3


@dataclass(frozen=True, order=True)
class BrokenRule:
    """A rule the floor could not hold, and where.

    Parameters
    ----------
    rule
        "joint offset", "shortest piece" or "narrowest row".
    row, place
        Where: for a joint offset the later row, and the piece to the right of its joint.
    by_mm
        How far short of the rule [mm].
    slight
        True for a tongue under 100 mm long on a wider piece, as beside a shallow doorway: worth knowing, no strip.
    """

    rule: str
    row: int
    place: int
    by_mm: float
    slight: bool = False

    def sentence(self) -> str:
        """The fault in words.

        >>> BrokenRule("shortest piece", 3, 1, 40.0).sentence()
        'Row 3, piece 1: 40 mm short of the shortest piece.'
        """
        words = {
            "joint offset": "joint {by:g} mm too near a joint of the row before",
            "shortest piece": "{by:g} mm short of the shortest piece",
            "narrowest row": "{by:g} mm under the narrowest row",
        }[self.rule]
        if self.slight:
            words = "a tongue at its end is {by:g} mm under the narrowest row"
        return f"Row {self.row}, piece {self.place}: {words.format(by=round(self.by_mm, 1))}."


def broken_rules(
    runs: Sequence[Run],
    stops: Sequence[StopPoint],
    cuts_mm: Sequence[Sequence[float]],
    pieces: Sequence[Piece],
    rules: LayingRules,
) -> list[BrokenRule]:
    """Every rule broken by the pieces of a floor, in the order of rules, rows and places."""
    of_run: dict[int, list[Piece]] = {}
    for piece in pieces:
        of_run.setdefault(piece.run, []).append(piece)
    faults = _short(of_run, rules) + _narrow(runs, stops, of_run, rules) + _near_joints(runs, cuts_mm, of_run, rules)
    return sorted(set(faults))


def _short(of_run: dict[int, list[Piece]], rules: LayingRules) -> list[BrokenRule]:
    return [
        BrokenRule("shortest piece", piece.row, piece.place, rules.shortest_piece_mm - piece.length_t / 10)
        for members in of_run.values()
        for piece in members
        if (piece.left or piece.right) and piece.length_t / 10 < rules.shortest_piece_mm - 1e-9
    ]


def _narrow(
    runs: Sequence[Run], stops: Sequence[StopPoint], of_run: dict[int, list[Piece]], rules: LayingRules
) -> list[BrokenRule]:
    worst: dict[tuple[int, int], BrokenRule] = {}
    for point in stops:
        for index, members in of_run.items():
            run = runs[index]
            strip = strip_at(run, point)
            if not POINTED_TIP_MM <= strip < rules.narrowest_row_mm - REACHES_MM:
                continue
            place = next((p.place for p in members if p.u0 - 1 <= point.u <= p.u0 + p.length_t / 10 + 1), 1)
            fault = BrokenRule("narrowest row", run.row, place, rules.narrowest_row_mm - strip, point.is_tongue)
            known = worst.get((run.row, place))
            if known is None or (known.slight, fault.by_mm) > (fault.slight, known.by_mm):
                worst[run.row, place] = fault
    return list(worst.values())


def _near_joints(
    runs: Sequence[Run], cuts_mm: Sequence[Sequence[float]], of_run: dict[int, list[Piece]], rules: LayingRules
) -> list[BrokenRule]:
    offset = rules.joint_offset_mm
    by_row: dict[int, list[int]] = {}
    for index in of_run:
        by_row.setdefault(runs[index].row, []).append(index)
    found: list[BrokenRule] = []
    for index, members in of_run.items():
        for other in by_row.get(runs[index].row - 1, ()):
            before = sorted(cuts_mm[other])
            for cut in cuts_mm[index]:
                nearest = bisect_left(before, cut - offset + REACHES_MM)
                for near in before[nearest:]:
                    if near >= cut + offset - REACHES_MM:
                        break
                    if _on_one_line(runs[other], runs[index], near, cut):
                        place = next((p.place for p in members if abs(p.u0 - cut) < 0.2), members[0].place)
                        found.append(BrokenRule("joint offset", runs[index].row, place, offset - abs(cut - near)))
    return found


def _on_one_line(before: Run, after: Run, u_before: float, u_after: float) -> bool:
    """Whether both joints reach the row line between the runs with floor all along between them."""
    if not any(a - 0.2 <= u_before <= b + 0.2 for a, b in before.front_spans):
        return False
    if not any(a - 0.2 <= u_after <= b + 0.2 for a, b in after.back_spans):
        return False
    at, end = min(u_before, u_after), max(u_before, u_after)
    for a, b in sorted((*before.front_spans, *after.back_spans)):
        if a <= at + 0.2:
            at = max(at, b)
    return at >= end - 0.2
