"""Small files made to cost much are told as faults, in little memory: in a process of its own that is given no more."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

pytest.importorskip("resource")
RUNNER = Path(__file__).with_name("worst_files.py")
ADDRESSES = 320 << 20
"""Bytes of addresses for the whole process, its interpreter and libraries included."""
MOST = 100 << 20
"""Bytes that one file may take while it is read."""
HARMLESS = {
    ("log", "many line ends"),
    ("log", "escapes"),
    ("log", "a long number"),
    ("kit", "a long fraction"),
}
"""No event and no fault either; a text or a number that is kept as it is; and a number that rounds to 1."""


def told(addresses: int, *words: str) -> list[list[str]]:
    done = subprocess.run(
        [sys.executable, str(RUNNER), str(addresses), *words],
        capture_output=True, text=True, timeout=600, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-2000:]
    lines = [line.split("\t") for line in done.stdout.splitlines()]
    assert len(lines) > 130
    for kind, name, count, _ in lines:
        assert int(count) > 0 or (kind, name) in HARMLESS, (kind, name)
    return lines


def test_every_small_file_is_told_with_little_memory() -> None:
    told(ADDRESSES)


@pytest.mark.nightly
def test_no_small_file_takes_much_memory() -> None:
    assert [line for line in told(ADDRESSES * 3, "counted") if int(line[3]) >= MOST] == []
