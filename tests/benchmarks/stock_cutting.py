"""Quality and speed of cutting pieces from stock lengths.

    python tests/benchmarks/stock_cutting.py

Read times as rough; quote ratios.
"""

from __future__ import annotations

import json
import random
import statistics
import time
from pathlib import Path

import flooring_kit as fk

PUBLISHED = Path(__file__).resolve().parent.parent / "reference" / "cutting_stock.json"


def timed(pieces: list[float], **more: object) -> tuple[fk.StockCuts, float]:
    """The cuts and the time they took [ms]."""
    start = time.perf_counter()
    cut = fk.cut_from_stock(pieces, **more)  # type: ignore[arg-type]
    return cut, (time.perf_counter() - start) * 1000


def published() -> None:
    examples = [each for each in json.loads(PUBLISHED.read_text()) if len(each["stock"]) == 1]
    reached = proved = 0
    slowest = 0.0
    for example in examples:
        pieces = [float(length) for length, count in example["demand"].items() for _ in range(count)]
        cut, ms = timed(pieces, stock_lengths_mm=[example["stock"][0][0]], kerf_mm=0)
        reached, proved = reached + (cut.lengths_needed == example["opt"]), proved + cut.proved
        slowest = max(slowest, ms)
    print(f"{len(examples)} published examples: {reached} at their optimum, {proved} proved, slowest {slowest:.0f} ms")


def one_length(jobs: int = 100) -> None:
    times, proved, lengths, bound = [], 0, 0, 0
    for seed in range(jobs):
        draw = random.Random(seed)
        cut, ms = timed([draw.randint(150, 2400) for _ in range(60)], stock_lengths_mm=[2400])
        times.append(ms)
        proved, lengths, bound = proved + cut.proved, lengths + cut.lengths_needed, bound + cut.lengths_bound
    times.sort()
    print(
        f"{jobs} jobs of 60 pieces from one length: {proved} proved, {lengths} lengths (bound {bound}), "
        f"median {statistics.median(times):.0f} ms, p95 {times[int(0.95 * jobs)]:.0f} ms, slowest {times[-1]:.0f} ms"
    )


def three_lengths(jobs: int = 60) -> None:
    times, gaps = [], []
    for seed in range(jobs):
        draw = random.Random(seed)
        pieces = [draw.randint(150, 2990) for _ in range(60)]
        prices = [draw.uniform(7, 8), draw.uniform(8, 9.5), draw.uniform(9, 10)]
        cut, ms = timed(pieces, stock_lengths_mm=[2400, 2700, 3000], prices=prices)
        times.append(ms)
        gaps.append(cut.price / cut.price_bound - 1)
    times.sort()
    print(
        f"{jobs} jobs of 60 pieces from three priced lengths: {max(gaps):.2%} over the bound at the most, "
        f"median {statistics.median(times):.0f} ms, p95 {times[int(0.95 * jobs)]:.0f} ms, slowest {times[-1]:.0f} ms"
    )


def many() -> None:
    draw = random.Random(1)
    lengths = [draw.randint(150, 2400) for _ in range(10)]
    cut, ms = timed([float(draw.choice(lengths)) for _ in range(5000)], stock_lengths_mm=[2400])
    print(f"5000 pieces of ten lengths: {cut.lengths_needed} lengths, bound {cut.lengths_bound}, {ms:.0f} ms")


if __name__ == "__main__":
    published()
    one_length()
    three_lengths()
    many()
