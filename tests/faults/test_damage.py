"""Damage from outside: flipped bits, lines moved or lost, copies of sync tools, hostile lines."""

from __future__ import annotations

import random
from datetime import UTC, datetime
from pathlib import Path

import pytest
from fault_disks import MemoryDisk, contents
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.clock import FixedClock, Ids
from divelog.files import Form
from divelog.home import Home
from divelog.journal.loading import load, load_all, load_files
from divelog.journal.reading import MAX_LINE, read_journal
from divelog.journal.reports import DAMAGING, Fault
from divelog.journal.verifying import verify, verify_files
from divelog.journal.writing import Journal

HOME = Home(Path("/home"))
FOLDER = HOME.journal_folder("tansy")
T = datetime(2032, 5, 4, 8, 0, tzinfo=UTC)


def logbook() -> MemoryDisk:
    """Two sessions of two devices."""
    disk = MemoryDisk()
    clock = FixedClock(T)
    for device, count in (("laptop", 3), ("tablet", 3), ("laptop", 2)):
        with Journal(
            HOME, device, clock=clock, ids=Ids(random.Random(count).getrandbits), disk=disk
        ) as journal:
            for number in range(count):
                clock.advance(60.0)
                journal.append("note", {"text": f"{device} {number} ±"}, boat="tansy")
    return disk


FILES = contents(logbook(), FOLDER)
LAPTOP, TABLET = FILES["laptop.jsonl"], FILES["tablet.jsonl"]
LINES = LAPTOP.splitlines(keepends=True)


def verdict_of(data: bytes, name: str = "tansy/laptop.jsonl") -> dict[str, object]:
    files = [read_journal(name, data), read_journal("tansy/tablet.jsonl", TABLET)]
    return next(each.as_data() for each in verify_files(files) if each.file == name)


def test_untouched_files_are_whole() -> None:
    assert all(verdict.whole for verdict in verify(HOME, disk=logbook()))
    assert verdict_of(LAPTOP) == {
        "file": "tansy/laptop.jsonl",
        "events": 7,
        "whole": True,
        "first_bad_line": None,
        "set_aside": 0,
        "heads_missing": [],
    }


@given(st.integers(0, len(LAPTOP) - 1), st.integers(0, 7))
@settings(max_examples=200, deadline=None)
def test_a_flipped_bit_is_found_and_the_rest_loads(place: int, bit: int) -> None:
    check_flip(place, bit)


@pytest.mark.nightly
def test_every_flipped_bit_is_found_and_the_rest_loads() -> None:
    for place in range(len(LAPTOP)):
        for bit in range(8):
            check_flip(place, bit)


def check_flip(place: int, bit: int) -> None:
    """One bit: `verify` names the line or the one after it; no other event is lost."""
    data = bytearray(LAPTOP)
    data[place] ^= 1 << bit
    line = LAPTOP.count(b"\n", 0, place) + 1
    files = [read_journal("tansy/laptop.jsonl", bytes(data)), read_journal("tansy/tablet.jsonl", TABLET)]
    verdicts = {each.file: each for each in verify_files(files)}
    found = verdicts["tansy/laptop.jsonl"]
    if line < len(LINES):
        assert not found.whole
        # A break between two lines that is gone makes one bad line of them; is it the last, it is set aside.
        assert found.first_bad_line in (line, line + 1) or (found.set_aside and line == len(LINES) - 1)
        named = {report.line for report in found.reports}
        assert named & {line, line + 1}
        assert all(str(report).startswith("tansy/laptop.jsonl") for report in found.reports)
    whole = {event.id for event in read_journal("x", LAPTOP).events}
    hurt = {
        event.id
        for number, event in enumerate(read_journal("x", LAPTOP).events, 1)
        if number in (line, line + 1)
    }
    there = {event.id for event in load_files(files, "tansy").lines}
    assert whole - hurt <= there


def test_a_bit_flipped_in_the_last_line_shows_once_another_device_has_seen_it() -> None:
    data = LAPTOP.replace(b"laptop 2", b"laptop 3")  # the last line that the tablet saw
    found = verdict_of(data)
    assert found["whole"] is False
    assert found["heads_missing"]


def test_lines_swapped_lost_edited_or_copied_show_where() -> None:
    swapped = b"".join([*LINES[:2], LINES[3], LINES[2], *LINES[4:]])
    assert verdict_of(swapped)["first_bad_line"] == 3
    lost = b"".join([*LINES[:2], *LINES[3:]])
    assert verdict_of(lost)["first_bad_line"] == 3
    edited = b"".join([LINES[0], LINES[1].replace(b"laptop 0", b"laptop 9"), *LINES[2:]])
    assert verdict_of(edited)["first_bad_line"] == 3  # the line after the edited one does not follow it
    copied = b"".join([*LINES[:3], TABLET.splitlines(keepends=True)[1], *LINES[3:]])
    found = verdict_of(copied)
    assert found["first_bad_line"] == 4
    loaded = load_files({"tansy/laptop.jsonl": copied, "tansy/tablet.jsonl": TABLET}, "tansy")
    assert len(loaded.lines) == 11  # nothing lost, nothing twice
    assert [report.fault for report in loaded.reports] == [Fault.COPY]


def test_a_cut_tail_shows_in_what_the_other_files_saw() -> None:
    cut = b"".join(LINES[:2])
    found = verdict_of(cut)
    assert (found["whole"], found["first_bad_line"], found["set_aside"]) == (False, None, 0)
    (missing,) = found["heads_missing"] if isinstance(found["heads_missing"], list) else [None]
    assert missing is not None
    assert (missing["count"], missing["said_by"]) == (4, "tansy/tablet.jsonl")


def test_a_file_that_is_gone_shows_too_unless_its_events_stand_elsewhere() -> None:
    alone = verify_files([read_journal("tansy/tablet.jsonl", TABLET)])
    assert [(each.file, each.whole, each.events) for each in alone] == [
        ("tansy/laptop.jsonl", False, 0),
        ("tansy/tablet.jsonl", True, 4),
    ]
    renamed = [read_journal("tansy/pond.jsonl", LAPTOP), read_journal("tansy/tablet.jsonl", TABLET)]
    assert all(each.whole for each in verify_files(renamed))


@pytest.mark.parametrize(
    ("change", "faults"),
    [
        (lambda data: data.replace(b"\n", b"\r\n"), []),
        (lambda data: b"\xef\xbb\xbf" + data, []),
        (lambda data: data + b"\n\n  \n", []),
        (lambda data: data + bytes(4096), [Fault.SET_ASIDE]),
        (lambda data: data + bytes(4096) + b"\n", [Fault.SET_ASIDE]),
        (lambda data: data[:-1], [Fault.SET_ASIDE]),
    ],
    ids=["crlf", "bom", "blank lines", "zeros", "zeros and newline", "no last newline"],
)
def test_what_tools_do_to_line_ends_loses_nothing_else(change: object, faults: list[Fault]) -> None:
    assert callable(change)
    read = read_journal("x", change(LAPTOP))
    assert [report.fault for report in read.reports] == faults
    assert len(read.events) == 7 - (faults == [Fault.SET_ASIDE] and change(LAPTOP) == LAPTOP[:-1])
    if not faults:
        assert verdict_of(change(LAPTOP))["whole"] is True


def test_a_conflict_copy_is_merged_and_what_differs_is_told() -> None:
    same = {"tansy/laptop.jsonl": LAPTOP, "tansy/laptop (conflict copy).jsonl": LAPTOP}
    loaded = load_files(same, "tansy")
    assert len(loaded.lines) == 7
    assert [(report.fault, report.file) for report in loaded.reports] == [(Fault.COPY, "tansy/laptop.jsonl")]
    assert "7 events" in str(loaded.reports[0])

    other = LAPTOP.replace(b"laptop 1", b"laptop 7")
    loaded = load_files({"tansy/laptop.jsonl": LAPTOP, "tansy/laptop (conflict copy).jsonl": other}, "tansy")
    assert len(loaded.lines) == 7
    assert {report.fault for report in loaded.reports} == {Fault.COPY, Fault.DAMAGE}
    damage = [report for report in loaded.reports if report.fault is Fault.DAMAGE]
    # both lines that said "laptop 1": one a session, and each told with both places
    assert {(report.file, report.line) for report in damage} == {
        ("tansy/laptop.jsonl", 3),
        ("tansy/laptop.jsonl", 7),
    }
    assert all("laptop (conflict copy).jsonl, line" in str(report) for report in damage)
    assert loaded.damaged


def test_half_a_file_and_an_empty_one_from_a_sync_tool_only_lack_what_they_lack() -> None:
    half = LAPTOP[: len(LAPTOP) // 2]
    loaded = load_files({"tansy/a.jsonl": LAPTOP, "tansy/b.jsonl": half, "tansy/c.jsonl": b""}, "tansy")
    assert len(loaded.lines) == 7
    assert {report.fault for report in loaded.reports} == {Fault.COPY, Fault.SET_ASIDE}


def test_a_file_replaced_under_a_running_session_is_never_written_over() -> None:
    disk = MemoryDisk()
    clock = FixedClock(T)
    with Journal(HOME, clock=clock, disk=disk) as journal:
        journal.append("note", {"text": "mine"}, boat="tansy")
        stale = contents(disk, FOLDER)["laptop.jsonl"]
        clock.advance(5.0)
        journal.append("note", {"text": "second"}, boat="tansy")
        disk.put(FOLDER / "laptop.jsonl", Form.FILE, stale)  # a sync tool brings an older copy back
        clock.advance(5.0)
        journal.append("note", {"text": "third"}, boat="tansy")
        (notice,) = journal.take_notices()
    assert "Another program changed tansy/laptop.jsonl" in notice
    files = contents(disk, FOLDER)
    assert files["laptop.jsonl"] == stale
    assert b"third" in files["laptop.2.jsonl"]
    # that "second" is gone shows: the new file names the one before it, but its end was not seen by others
    with Journal(HOME, "tablet", clock=clock, disk=disk) as journal:
        journal.append("note", {"text": "fourth"}, boat="tansy")
    assert b"laptop.2.jsonl" in contents(disk, FOLDER)["tablet.jsonl"]


def line(data: str) -> bytes:
    head = '{"id":"01ca0a40-cb00-701a-8000-00000000001a","what":"note","when":"2032-05-04T08:04:00+01:00"'
    return f'{head},"data":{data}}}\n'.encode()


@pytest.mark.parametrize(
    "data",
    ["[" * 100_000 + "]" * 100_000, '{"a":' * 100_000 + "1" + "}" * 100_000, "[" * 500 + "]" * 500,
     "[" * 65 + "]" * 65, '{"a":"' + "x" * MAX_LINE + '"}'],
    ids=["deep list", "deep object", "rather deep", "just too deep", "long"],
)  # fmt: skip
def test_a_line_too_deep_or_too_long_is_a_report_with_its_number(data: str) -> None:
    read = read_journal("x", LINES[0] + line(data) + LINES[1])
    assert [(report.fault, report.line) for report in read.reports] == [(Fault.BAD_LINE, 2)]
    assert len(read.events) == 2


def test_many_brackets_in_a_text_or_side_by_side_are_not_deep() -> None:
    flat = '{"text":"' + "[{" * 200 + '\\"[' + '","list":[' + ",".join(["[]"] * 200) + "]}"
    read = read_journal("x", LINES[0] + line(flat))
    assert read.reports == ()
    assert len(read.events) == 2


@given(st.binary(max_size=400), st.integers(0, len(LINES)))
@settings(max_examples=200, deadline=None)
def test_any_bytes_between_two_lines_hide_neither(rubbish: bytes, place: int) -> None:
    data = b"".join(LINES[:place]) + rubbish + b"\n" + b"".join(LINES[place:])
    read = read_journal("x", data)
    whole = {event.id for event in read_journal("x", LAPTOP).events}
    assert whole <= {event.id for event in read.events}


@given(st.binary(max_size=2000))
@settings(max_examples=200, deadline=None)
def test_any_bytes_are_a_file_with_reports(data: bytes) -> None:
    loaded = load_files({"tansy/x.jsonl": data}, "tansy")
    stripped = data.removeprefix(b"\xef\xbb\xbf").strip(b"\n")
    if stripped.strip():
        assert loaded.reports
    assert verify_files([read_journal("tansy/x.jsonl", data)])
    assert all(report.fault in DAMAGING or str(report) for report in loaded.reports)


@given(
    st.recursive(
        st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
        lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
        max_leaves=8,
    ),
    st.sampled_from(
        ["id", "what", "when", "v", "happened", "up", "boot", "boat", "by", "run", "data", "prev"]
    ),
)
@settings(max_examples=200, deadline=None)
def test_any_value_in_any_field_is_an_event_or_a_report(value: object, key: str) -> None:
    import json

    fields = {"id": "a", "what": "note", "when": "2032-05-04T08:04:00+01:00", "data": {}, key: value}
    data = json.dumps(fields).encode() + b"\n"
    loaded = load_files({"tansy/x.jsonl": data})
    assert len(loaded.lines) + len(loaded.reports) >= 1
    for event in loaded.lines:
        assert isinstance(event.payload(), dict)
        assert event.at.tzinfo is not None
        assert event.half_width >= 0.0


def test_a_blank_line_breaks_no_chain_and_a_line_without_its_link_is_told() -> None:
    spaced = b"".join([*LINES[:3], b"\n", *LINES[3:]])
    assert verdict_of(spaced)["first_bad_line"] is None
    start = LINES[2].index(b',"prev"')
    unlinked = b"".join([*LINES[:2], LINES[2][:start] + b"}\n", *LINES[3:]])
    assert verdict_of(unlinked)["first_bad_line"] == 3
    (verdict, _) = verify_files(
        [read_journal("tansy/laptop.jsonl", unlinked), read_journal("tansy/tablet.jsonl", TABLET)]
    )
    assert "does not say which line it follows" in str(verdict.reports[0])


def test_a_logbook_that_cannot_be_read_is_told_and_never_raised() -> None:
    disk = MemoryDisk()
    disk.make_folder(HOME.root)
    disk.put(HOME.logbook, Form.FILE, b"no folder")
    for reports in (load(HOME, "tansy", disk).reports, load_all(HOME, disk).reports):
        assert {report.fault for report in reports} == {Fault.UNREADABLE}
    assert [each.whole for each in verify(HOME, disk=disk)] == [False, False]
    assert load_all(HOME, disk).damaged


def test_only_so_many_files_and_bytes_of_one_boat_are_read(monkeypatch: pytest.MonkeyPatch) -> None:
    disk = logbook()
    monkeypatch.setattr("divelog.journal.loading.MAX_FILES", 1)
    loaded = load(HOME, "tansy", disk)
    assert len(loaded.lines) == 7
    assert "only the first 1 of 2 files were read" in str(loaded.reports[0])
    monkeypatch.setattr("divelog.journal.loading.MAX_FILES", 9)
    monkeypatch.setattr("divelog.journal.loading.MAX_TOTAL", len(LAPTOP) + 10)
    loaded = load(HOME, "tansy", disk)
    assert len(loaded.lines) == 7
    assert [(report.fault, report.file) for report in loaded.reports] == [
        (Fault.UNREADABLE, "tansy/tablet.jsonl")
    ]
