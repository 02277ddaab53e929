"""Real processes on the real disk: killed, two at a time, on a full disk, with what a home may hold besides."""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
from pathlib import Path

import pytest

from divelog.files import StorageError, StorageKind, read_capped, write_atomic
from divelog.home import Home
from divelog.journal.loading import load, load_all
from divelog.journal.reading import MAX_FILE
from divelog.journal.reports import Fault
from divelog.journal.verifying import verify
from divelog.journal.writing import Journal

RUNNER = Path(__file__).with_name("kill_runner.py")
POSIX = pytest.mark.skipif(os.name != "posix", reason="uses fork, signals or links of POSIX")


def start(*words: object) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, str(RUNNER), *map(str, words)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        encoding="utf-8",
    )


def run(*words: object) -> list[str]:
    done = subprocess.run(
        [sys.executable, str(RUNNER), *map(str, words)],
        capture_output=True, text=True, encoding="utf-8", timeout=120, check=True,
    )  # fmt: skip
    return done.stdout.splitlines()


def notes(home: Path) -> list[str]:
    return [event.id for event in load_all(Home(home)).lines if event.what == "note"]


def check_killed(home: Path, kept: list[str]) -> None:
    """All that was acknowledged, at most one more, no line twice; and the next session goes on."""
    there = notes(home)
    assert set(kept) <= set(there)
    assert len(there) <= len(kept) + 1
    assert len(there) == len(set(there))
    with Journal(Home(home)) as journal:
        more = journal.append("note", {"text": "after"}, boat="tansy")
        assert not any("window" in notice for notice in journal.take_notices())
    assert {*kept, more.id} <= set(notes(home))
    assert load_all(Home(home)).reports == ()
    assert all(verdict.whole for verdict in verify(Home(home)))


def check_forks(folder: Path, numbers: list[int]) -> int:
    killed = 0
    lines = run("fork", folder, *numbers)
    assert len(lines) == len(numbers)
    for line in lines:
        told = json.loads(line)
        killed += told["killed"]
        if told["killed"]:
            check_killed(Path(told["home"]), told["kept"])
        else:
            assert len(told["kept"]) == 8
    return killed


@POSIX
def test_a_hundred_processes_killed_between_two_calls(tmp_path: Path) -> None:
    assert check_forks(tmp_path, list(range(100))) == 100


@POSIX
@pytest.mark.nightly
def test_processes_killed_at_every_call_of_a_session(tmp_path: Path) -> None:
    killed = check_forks(tmp_path, list(range(100, 600)))
    assert 0 < killed < 500  # the session ends in between, so every call of it was the last one once


@POSIX
@pytest.mark.parametrize("seed", range(3))
def test_a_process_killed_at_any_moment(tmp_path: Path, seed: int) -> None:
    kill_at_any_moment(tmp_path, seed)


@POSIX
@pytest.mark.nightly
@pytest.mark.parametrize("seed", range(3, 60))
def test_many_processes_killed_at_any_moment(tmp_path: Path, seed: int) -> None:
    kill_at_any_moment(tmp_path, seed)


def kill_at_any_moment(home: Path, seed: int) -> None:
    with start("loop", home) as process:
        assert process.stdout is not None
        kept = [process.stdout.readline().strip() for _ in range(random.Random(seed).randint(1, 60))]
        process.kill()
        kept += process.stdout.read().split()
    check_killed(home, kept)


def side_by_side(home: Path, count: int, each: int) -> None:
    """Processes that hold their files at the same time, then all append at once."""
    processes = [start("count", home, each) for _ in range(count)]
    kept: list[str] = []
    for process in processes:
        assert process.stdout is not None
        kept.append(process.stdout.readline().strip())
    for process in processes:
        assert process.stdin is not None
        process.stdin.write("go\n")
        process.stdin.flush()
    for process in processes:
        out, _ = process.communicate(timeout=300)
        assert process.returncode == 0
        kept += out.split()
    assert len(kept) == count * each
    assert sorted(notes(home)) == sorted(kept)
    assert len(list((home / "logbook" / "tansy").glob("*.jsonl"))) == count
    assert load(Home(home), "tansy").reports == ()
    assert all(verdict.whole for verdict in verify(Home(home)))


def test_processes_side_by_side_never_mix(tmp_path: Path) -> None:
    side_by_side(tmp_path, 3, 60)


@pytest.mark.nightly
def test_many_processes_side_by_side_never_mix(tmp_path: Path) -> None:
    side_by_side(tmp_path, 8, 200)


@POSIX
def test_the_lock_of_a_killed_window_is_free_and_no_file_stands_for_it(tmp_path: Path) -> None:
    with start("hold", tmp_path) as holder:
        assert holder.stdout is not None
        assert holder.stdout.readline()
        with Journal(Home(tmp_path)) as journal:
            journal.append("note", {"text": "second"}, boat="tansy")
            assert any("Another window" in notice for notice in journal.take_notices())
        holder.kill()
    assert (tmp_path / "logbook" / ".laptop.lock").exists()  # the file stays; the lock went with the process
    with Journal(Home(tmp_path)) as journal:
        journal.append("note", {"text": "third"}, boat="tansy")
        assert journal.take_notices() == []
    assert sorted(path.name for path in (tmp_path / "logbook" / "tansy").iterdir()) == [
        "laptop-2.jsonl",
        "laptop.jsonl",
    ]


@POSIX
def test_a_real_limit_on_file_size_refuses_in_words_and_keeps_what_was_acknowledged(tmp_path: Path) -> None:
    lines = run("full", tmp_path, 3000)
    kept = [line for line in lines if not line.startswith("refused")]
    assert [line.split()[:2] for line in lines[len(kept) :]] == [["refused", "full"]] * 2
    assert len(kept) > 2
    assert sorted(notes(tmp_path)) == sorted(kept)
    loaded = load(Home(tmp_path), "tansy")
    assert loaded.reports == ()
    assert (tmp_path / "logbook" / "tansy" / "laptop.jsonl").stat().st_size <= 3000
    check_killed(tmp_path, kept)


def put_one_event(home: Path) -> str:
    with Journal(Home(home)) as journal:
        return journal.append("note", {"text": "kept"}, boat="tansy").id


@POSIX
def test_a_link_out_of_the_home_is_refused_for_reading_and_writing(tmp_path: Path) -> None:
    outside = tmp_path / "outside.jsonl"
    outside.write_bytes(b"secret\n")
    home = tmp_path / "home"
    kept = put_one_event(home)
    link = home / "logbook" / "tansy" / "other.jsonl"
    link.symlink_to(outside)
    loaded = load(Home(home), "tansy")
    assert [event.id for event in loaded.events if event.what == "note"] == [kept]
    assert [(report.fault, report.file) for report in loaded.reports] == [
        (Fault.UNREADABLE, "tansy/other.jsonl")
    ]
    with pytest.raises(StorageError) as refused:
        write_atomic(link, b"over", within=home)
    assert refused.value.kind is StorageKind.NOT_REGULAR
    assert outside.read_bytes() == b"secret\n"


@POSIX
def test_our_own_file_turned_into_a_link_is_left_alone(tmp_path: Path) -> None:
    outside = tmp_path / "outside.jsonl"
    home = tmp_path / "home"
    put_one_event(home)
    own = home / "logbook" / "tansy" / "laptop.jsonl"
    own.rename(outside)
    before = outside.read_bytes()
    own.symlink_to(outside)
    with Journal(Home(home)) as journal:
        journal.append("note", {"text": "new"}, boat="tansy")
        assert any("link" in notice for notice in journal.take_notices())
    assert outside.read_bytes() == before
    assert (home / "logbook" / "tansy" / "laptop.2.jsonl").is_file()


@POSIX
@pytest.mark.parametrize("which", ["logbook", "logbook/tansy"])
def test_a_folder_that_is_a_link_is_refused(tmp_path: Path, which: str) -> None:
    home = tmp_path / "home"
    put_one_event(home)
    inside = home / which
    inside.rename(tmp_path / "elsewhere")
    inside.symlink_to(tmp_path / "elsewhere", target_is_directory=True)
    loaded = load(Home(home), "tansy")
    assert Fault.UNREADABLE in {report.fault for report in loaded.reports}
    assert not [event for event in loaded.lines if event.what == "note"]
    assert load_all(Home(home)).lines is not None
    with Journal(Home(home)) as journal, pytest.raises(StorageError) as refused:
        journal.append("note", {"text": "out"}, boat="tansy")
    assert refused.value.kind is StorageKind.NOT_REGULAR


@POSIX
def test_a_pipe_or_a_device_in_the_home_makes_nobody_wait(tmp_path: Path) -> None:
    kept = put_one_event(tmp_path)
    folder = tmp_path / "logbook" / "tansy"
    os.mkfifo(folder / "pipe.jsonl")
    (folder / "folder.jsonl").mkdir()
    loaded = load(Home(tmp_path), "tansy")
    assert [event.id for event in loaded.events if event.what == "note"] == [kept]
    assert {(report.fault, report.file) for report in loaded.reports} == {
        (Fault.UNREADABLE, "tansy/pipe.jsonl"),
        (Fault.UNREADABLE, "tansy/folder.jsonl"),
    }
    for odd in (folder / "pipe.jsonl", Path("/dev/zero")):
        with pytest.raises(StorageError) as refused:
            read_capped(odd, 100)
        assert refused.value.kind is StorageKind.NOT_REGULAR
    put_one_event(tmp_path)


def test_a_sparse_file_of_one_huge_line_is_refused_before_it_is_read(tmp_path: Path) -> None:
    kept = put_one_event(tmp_path)
    with open(tmp_path / "logbook" / "tansy" / "huge.jsonl", "wb") as huge:
        huge.truncate(200_000_000)
    assert MAX_FILE < 200_000_000
    loaded = load(Home(tmp_path), "tansy")
    assert [event.id for event in loaded.events if event.what == "note"] == [kept]
    assert [report.fault for report in loaded.reports] == [Fault.UNREADABLE]
    assert "larger than" in str(loaded.reports[0])


@POSIX
@pytest.mark.skipif(hasattr(os, "geteuid") and os.geteuid() == 0, reason="root may write everywhere")
def test_a_folder_without_permission_says_so(tmp_path: Path) -> None:
    put_one_event(tmp_path)
    (tmp_path / "logbook" / "tansy").chmod(0o500)
    (tmp_path / "logbook" / "tansy" / "laptop.jsonl").chmod(0o400)
    try:
        with Journal(Home(tmp_path)) as journal, pytest.raises(StorageError) as refused:
            journal.append("note", {"text": "x"}, boat="tansy")
        assert refused.value.kind is StorageKind.DENIED
        assert len(notes(tmp_path)) == 1
    finally:
        (tmp_path / "logbook" / "tansy").chmod(0o700)


@POSIX
def test_what_is_made_is_for_its_owner_alone(tmp_path: Path) -> None:
    put_one_event(tmp_path / "home")
    for path in (tmp_path / "home").rglob("*"):
        assert path.stat().st_mode & 0o077 == 0, path
