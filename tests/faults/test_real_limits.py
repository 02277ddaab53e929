"""Limits the system itself sets: too little memory, a file system that is full, one that may only be read."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest

from divelog.clock import FixedClock
from divelog.files import StorageError
from divelog.home import Home
from divelog.journal.loading import load
from divelog.journal.verifying import verify
from divelog.journal.writing import Journal

resource = pytest.importorskip("resource")
ROOT = Path(__file__).parents[2]
NOW = datetime.fromisoformat("2032-05-04T08:04:00+01:00")


@pytest.mark.nightly  # an interpreter without memory may also end by itself, which is nobody's to mend here
def test_too_little_memory_is_said_in_one_sentence(tmp_path: Path) -> None:
    shutil.copytree(ROOT / "sample_boats" / "boats", tmp_path / "boats")
    folder = Home(tmp_path).journal_folder("tansy")
    folder.mkdir(parents=True)
    line = (ROOT / "sample_boats/logbook/tansy/laptop.jsonl").read_bytes().splitlines(keepends=True)[3]
    start = line.index(b'"id":"') + 6
    with (folder / "laptop.jsonl").open("wb") as out:
        for number in range(90_000):
            out.write(line[:start] + b"01c90000-0000-7000-8000-%012x" % number + line[start + 36 :])
    room = 150 << 20
    done = subprocess.run(
        [sys.executable, "-m", "divelog", "--home", str(tmp_path), "runs", "tansy"],
        capture_output=True,
        text=True,
        cwd=ROOT,
        timeout=300,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_AS, (room, room)),
    )
    assert done.returncode == 4, done.stderr
    assert (
        done.stderr == "divelog: this machine has not enough memory for it. What was answered is on disk.\n"
    )
    assert done.stdout == ""


@pytest.fixture
def small(tmp_path: Path) -> Iterator[Path]:
    """A real file system of 64 KiB in memory."""
    if not hasattr(os, "geteuid") or os.geteuid() != 0 or shutil.which("mount") is None:
        pytest.skip("only root can mount a file system")
    place = tmp_path / "small"
    place.mkdir()
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=64k", "none", str(place)], capture_output=True, check=False
    )
    if mounted.returncode != 0:
        pytest.skip("this machine mounts nothing")
    try:
        yield place
    finally:
        subprocess.run(["umount", "-l", str(place)], check=False, capture_output=True)


def test_a_disk_that_is_full_keeps_all_that_was_acknowledged(small: Path) -> None:
    home = Home(small)
    kept = []
    with Journal(home, device="pond", clock=FixedClock(NOW)) as journal:
        told = ""
        while not told and len(kept) < 2_000:
            try:
                kept.append(journal.append("note", {"text": "x" * 200}, boat="tansy").id)
            except StorageError as error:
                told = str(error)
        assert kept
        assert "full" in told
        for _ in range(3):  # and it stays full
            with pytest.raises(StorageError):
                journal.append("note", {"text": "y" * 400}, boat="tansy")
    assert [event.id for event in load(home, "tansy").events if event.what == "note"] == kept
    assert all(verdict.whole for verdict in verify(home))


def test_a_disk_that_may_only_be_read_is_read(small: Path) -> None:
    home = Home(small)
    with Journal(home, device="pond", clock=FixedClock(NOW)) as journal:
        kept = journal.append("note", {"text": "before"}, boat="tansy").id
    subprocess.run(["mount", "-o", "remount,ro", str(small)], check=True)
    with (
        pytest.raises(StorageError, match="read"),
        Journal(home, device="pond", clock=FixedClock(NOW)) as journal,
    ):
        journal.append("note", {"text": "after"}, boat="tansy")
    assert [event.id for event in load(home, "tansy").events if event.what == "note"] == [kept]
    done = subprocess.run(
        [sys.executable, "-m", "divelog", "--home", str(small), "verify"],
        capture_output=True,
        text=True,
        cwd=ROOT,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert "Traceback" not in done.stderr
