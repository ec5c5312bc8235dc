"""Long searches taken a step at a time, so that the next slider move gets through."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterator
from typing import Generic, TypeVar

Item = TypeVar("Item")


class Pump(Generic[Item]):
    """Takes items from one generator at a time and shows each; a new start drops the old one.

    Parameters
    ----------
    show
        Called with each item.
    done
        Called when a generator has ended of its own accord.
    guard
        Wraps each step, so that trouble in a generator is shown and not lost in the background.
    rest_seconds
        How long the hand must have rested before the first step: longer where steps are long.
    """

    def __init__(
        self,
        show: Callable[[Item], None],
        done: Callable[[], None],
        guard: Callable[[Callable[..., None]], Callable[..., None]] = lambda step: step,
        *,
        rest_seconds: float = 0.12,
    ) -> None:
        self._rest_seconds = rest_seconds
        self._show, self._done = show, done
        self._guarded_step = guard(self._step)
        self._items: Iterator[Item] | None = None
        self._task: asyncio.Task[None] | None = None

    @property
    def running(self) -> bool:
        """Whether a generator still has items to give."""
        return self._items is not None

    def start(self, items: Iterator[Item]) -> None:
        """Begin with a new generator: in the background inside a notebook, on :meth:`drain` outside one."""
        self.cancel()
        self._items = items
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            return
        self._task = loop.create_task(self._run(items))

    def cancel(self) -> None:
        """Drop what is running."""
        self._items = None
        if self._task is not None:
            self._task.cancel()
            self._task = None

    def drain(self) -> None:
        """Take all that is left at once."""
        while self._items is not None:
            self._guarded_step(self._items)

    async def _run(self, items: Iterator[Item]) -> None:
        await asyncio.sleep(self._rest_seconds)  # a hand still moving the slider starts anew before this ends
        while self._items is items:
            self._guarded_step(items)
            await asyncio.sleep(0.002)

    def _step(self, items: Iterator[Item]) -> None:
        try:
            item = next(items)
        except StopIteration:
            self._items = None
            self._done()
        except BaseException:
            self._items = None
            raise
        else:
            self._show(item)
