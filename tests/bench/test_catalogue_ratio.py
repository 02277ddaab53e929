"""All limits of a boat, and what one keystroke touches, against a fixed piece of plain Python (5 to 10 ms of it)."""

from __future__ import annotations

import sys
import time
from pathlib import Path

import pytest

from divelog.limits import catalogue

sys.path.insert(0, str(Path(__file__).parents[1] / "limits"))
import worked

pytestmark = pytest.mark.bench
ROUNDS = 15


def _plain() -> float:
    total = 0.0
    for number in range(200_000):
        total += number * 0.5
    return total


def _timed(work) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


@pytest.mark.parametrize("boat", ["tansy", "bulrush"])
def test_the_catalogue_of_a_boat(boat, capsys):
    best = {"plain": float("inf"), "catalogue": float("inf")}
    for _ in range(ROUNDS):
        sheet = worked.sheet(boat)
        best["plain"] = min(best["plain"], _timed(_plain))
        best["catalogue"] = min(best["catalogue"], _timed(lambda sheet=sheet: catalogue.work_out(sheet)))
    ratio = best["catalogue"] / best["plain"]
    with capsys.disabled():
        print(
            f"\n{boat}: {best['catalogue'] * 1e3:.1f} ms, {ratio:.2f} of {best['plain'] * 1e3:.1f} ms of plain Python"
        )
    assert ratio <= 1.0
