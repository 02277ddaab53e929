"""A write torn at any byte: whole lines load, the rest is set aside in a named file, and the next line is whole."""

from __future__ import annotations

import random
from datetime import UTC, datetime
from pathlib import Path

import pytest
from fault_disks import MemoryDisk, contents

from divelog.clock import FixedClock, Ids
from divelog.files import Form
from divelog.home import Home
from divelog.journal.loading import LoadedJournal, load
from divelog.journal.reports import Fault
from divelog.journal.verifying import verify
from divelog.journal.writing import Journal

HOME = Home(Path("/home"))
FOLDER = HOME.journal_folder("tansy")
FILE = FOLDER / "laptop.jsonl"
T = datetime(2032, 5, 4, 8, 0, tzinfo=UTC)
LATER = datetime(2032, 5, 4, 9, 0, tzinfo=UTC)


def good_file() -> bytes:
    disk = MemoryDisk()
    clock = FixedClock(T)
    with Journal(HOME, clock=clock, ids=Ids(random.Random(1).getrandbits), disk=disk) as journal:
        for number in range(4):
            clock.advance(60.0)
            journal.append("note", {"text": f"number {number}, ± 3 µS"}, boat="tansy")
    return contents(disk, FOLDER)["laptop.jsonl"]


def disk_with(data: bytes) -> MemoryDisk:
    disk = MemoryDisk()
    for folder in (HOME.root, HOME.logbook, FOLDER):
        disk.make_folder(folder)
    disk.put(FILE, Form.FILE, data)
    return disk


def words(loaded: LoadedJournal) -> list[object]:
    return [event.payload()["text"] for event in loaded.events if event.what == "note"]


GOOD = good_file()
STARTS = [0, *(index + 1 for index, code in enumerate(GOOD) if code == 0x0A)]
LAST_TWO = range(STARTS[-3] + 1, len(GOOD))


def filled(cut: int, fill: str) -> bytes:
    """The file cut at a byte and, but for plain cuts, filled to its length as a crash may leave it."""
    missing = len(GOOD) - cut
    if fill == "zeros":
        return GOOD[:cut] + bytes(missing)
    if fill == "rubbish":
        rubbish = random.Random(cut).randbytes(missing).replace(b"\n", b"\x0b")
        return GOOD[:cut] + rubbish
    return GOOD[:cut]


@pytest.mark.parametrize("fill", ["cut", "zeros", "rubbish"])
def test_torn_at_every_byte_of_the_last_two_lines(fill: str) -> None:
    for cut in LAST_TWO:
        data = filled(cut, fill)
        whole = data[: data.rfind(b"\n") + 1]
        tail = data[len(whole) :]
        notes = whole.count(b"\n") - 1
        disk = disk_with(data)
        loaded = load(HOME, "tansy", disk)
        assert words(loaded) == [f"number {number}, ± 3 µS" for number in range(notes)], cut
        assert [report.fault for report in loaded.reports] == ([Fault.SET_ASIDE] if tail else []), cut

        with Journal(HOME, clock=FixedClock(LATER), disk=disk) as journal:
            journal.append("note", {"text": "after"}, boat="tansy")
            notices = journal.take_notices()
        files = contents(disk, FOLDER)
        if tail:
            assert files["laptop.set-aside-1.txt"] == tail, cut
            assert len(notices) == 1
            assert "laptop.set-aside-1.txt" in notices[0]
        else:
            assert notices == []
        assert files["laptop.jsonl"].startswith(whole)
        loaded = load(HOME, "tansy", disk)
        assert words(loaded) == [*(f"number {number}, ± 3 µS" for number in range(notes)), "after"], cut
        assert loaded.all_reports == (), cut
        assert all(verdict.whole for verdict in verify(HOME, disk=disk)), cut


def test_a_file_of_one_torn_line_begins_anew() -> None:
    disk = disk_with(GOOD[: STARTS[1] - 5])
    with Journal(HOME, clock=FixedClock(LATER), disk=disk) as journal:
        first = journal.append("note", {"text": "first"}, boat="tansy")
    assert words(load(HOME, "tansy", disk)) == ["first"]
    assert first.prev.startswith("sha256:")
    assert all(verdict.whole for verdict in verify(HOME, disk=disk))


def test_each_torn_line_gets_its_own_file() -> None:
    disk = disk_with(GOOD + b'{"id":')
    with Journal(HOME, clock=FixedClock(LATER), disk=disk) as journal:
        journal.append("note", {"text": "one"}, boat="tansy")
    node = disk._find(FILE)
    assert node is not None
    node.data += b'{"what":'
    with Journal(HOME, clock=FixedClock(LATER), disk=disk) as journal:
        journal.append("note", {"text": "two"}, boat="tansy")
    files = contents(disk, FOLDER)
    assert files["laptop.set-aside-1.txt"] == b'{"id":'
    assert files["laptop.set-aside-2.txt"] == b'{"what":'


def test_a_last_line_that_cannot_be_read_is_set_aside_by_the_reader_and_left_in_the_file() -> None:
    disk = disk_with(GOOD + b"no event\n")
    loaded = load(HOME, "tansy", disk)
    assert [(report.fault, report.line) for report in loaded.reports] == [(Fault.SET_ASIDE, 6)]
    with Journal(HOME, clock=FixedClock(LATER), disk=disk) as journal:
        journal.append("note", {"text": "after"}, boat="tansy")
    loaded = load(HOME, "tansy", disk)
    assert words(loaded)[-1] == "after"
    assert [(report.fault, report.line) for report in loaded.reports] == [(Fault.BAD_LINE, 6)]
    (verdict,) = verify(HOME, "tansy", disk)
    assert (verdict.first_bad_line, verdict.whole) == (6, False)
