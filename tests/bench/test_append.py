"""An acknowledged answer costs one fsync: an event kept, against a bare append and fsync of as many bytes."""

from __future__ import annotations

import os
import time

import pytest

from divelog.home import Home
from divelog.journal.writing import Journal

pytestmark = pytest.mark.bench
ROUNDS, EACH = 9, 40


def test_an_answer_against_one_append_with_fsync(tmp_path, capsys):
    line = b"x" * 420 + b"\n"
    bare = os.open(tmp_path / "bare", os.O_WRONLY | os.O_CREAT | os.O_APPEND)
    data = {"list": "before-dive", "line": "faces", "answer": "done", "gives": ["faces"], "seconds": 4.2}
    best = {"bare": float("inf"), "kept": float("inf")}
    with Journal(Home(tmp_path / "home")) as journal:
        journal.append("check.answered", data, boat="tansy")
        for _ in range(ROUNDS):
            start = time.perf_counter()
            for _ in range(EACH):
                os.write(bare, line)
                os.fsync(bare)
            best["bare"] = min(best["bare"], time.perf_counter() - start)
            start = time.perf_counter()
            for _ in range(EACH):
                journal.append("check.answered", data, boat="tansy")
            best["kept"] = min(best["kept"], time.perf_counter() - start)
    os.close(bare)
    ratio = best["kept"] / best["bare"]
    with capsys.disabled():
        print(f"\nan answer kept: {ratio:.2f} of one append with fsync")
    assert ratio <= 3.0
