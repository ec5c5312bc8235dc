"""The search from a floor half laid: the joints as planned first, and no row moved that saves nothing by it."""

from __future__ import annotations

from collections.abc import Sequence

from flooring_kit.setting_out.chains import highest_allowed
from flooring_kit.setting_out.joint_costs import JointTask
from flooring_kit.setting_out.joints import MOVES_A_STEP, JointSearch

FROM_THE_BEST = 4
"""Every so many steps the search goes back to the best it has; in between it wanders on from where it stands."""

TO_AN_OFFCUT = 0.35
"""Share of moves that fit a starter or a finisher to an offcut at hand."""


class OnwardSearch(JointSearch):
    """A search that starts from a plan's own joints and keeps as many of them as it can.

    Parameters
    ----------
    task
        As for :class:`JointSearch`, with the runs laid and the offcuts at hand.
    planned
        The plan's first joints [tenths of mm].
    seed
        Gives other, equally good plans.
    """

    def __init__(self, task: JointTask, planned: Sequence[int], *, seed: int = 0) -> None:
        super().__init__(task, seed=seed, joints=planned)
        self.planned = list(planned)
        self._broken_before = 0
        for i in self._moving:  # rules held more strictly than the plan's may shut a joint out
            if not any(low <= self.joints[i] <= high for low, high in self._zones[i]):
                self._put(i, highest_allowed(self._zones[i], self.joints[i]) or self._zones[i][0][0])

    def settle(self, *, broken_before: int, least_boards: int, steps: int) -> list[int]:
        """The best first joints after at most so many steps: offsets held, fewest boards, fewest rows moved.

        Parameters
        ----------
        broken_before
            Broken offsets that are no worse than none: a floor that had them is not mended at the price of a board.
        least_boards
            The search for fewer boards ends there.
        steps
            Counted and not timed, so that the same floor gives the same plan on any machine.
        """
        if not self._moving:
            return list(self.joints)
        pattern_now = self.pattern_cost()
        self._broken_before = broken_before
        best, best_joints = self._key(pattern_now), list(self.joints)
        for step in range(steps):
            held = best[0] <= broken_before
            if held and best[1] <= least_boards:
                break
            if step % FROM_THE_BEST == 0:
                self.joints = list(best_joints)
            self._anneal(MOVES_A_STEP, best[1] if held else max(self.boards(), best[1]))
            found = self._key(pattern_now)
            if found[:3] <= best[:3]:
                wandered = list(self.joints)
                self._give_back(found[1])
                found = self._key(pattern_now)
                if found < best:
                    best, best_joints = found, list(self.joints)
                self.joints = wandered
        return best_joints

    def _key(self, pattern_now: int) -> tuple[int, int, int, int]:
        moved = sum(now != before for now, before in zip(self.joints, self.planned, strict=True))
        broken = max(self.broken_offsets(), self._broken_before)
        return broken, self.boards(), max(self.pattern_cost(), pattern_now), moved

    def _give_back(self, most_boards: int) -> None:
        """Put every row back where it was planned, unless that breaks something or takes a board."""
        for i in self._moving:
            now, planned = self.joints[i], self.planned[i]
            if now == planned or not any(low <= planned <= high for low, high in self._zones[i]):
                continue
            cost = self._cost_at((i,))
            self._put(i, planned)
            if self._cost_at((i,)) > cost or self.boards() > most_boards:
                self._put(i, now)

    def _moved(self, i: int) -> int:
        offcuts, row, draw = self._offcuts, self._rows[i], self._random
        if (offcuts.for_starters or offcuts.for_finishers) and draw.random() < TO_AN_OFFCUT:
            joints = [highest_allowed(self._zones[i], limit) for limit in offcuts.for_starters]
            # a finisher that fits: the first joint that leaves it, in this board's length or the one before
            for limit in offcuts.for_finishers:
                joints += [self._with_finisher(i, limit, row.rest)]
            found = [joint for joint in joints if joint is not None]
            if found:
                return draw.choice(found)
        return super()._moved(i)

    def _with_finisher(self, i: int, finisher: int, rest: int) -> int | None:
        """A first joint that leaves a finisher just so long, where the rules allow one."""
        joint = (rest - finisher) % self.rules.board or self.rules.board
        allowed = any(low <= joint <= high for low, high in self._zones[i])
        return joint if allowed else None
