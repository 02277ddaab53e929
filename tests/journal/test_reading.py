"""One file, bytes to events: the quick way and the slow way agree, and nothing hides the rest."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.journal import reading
from divelog.journal.loading import load_files
from divelog.journal.reading import MAX_FILE, MAX_LINE, MAX_REPORTS, nested_too_deep, read_journal
from divelog.journal.reports import Fault

WORKED = (Path(__file__).parents[1] / "data" / "worked_journal.jsonl").read_bytes()


def line(number: int, **fields: object) -> bytes:
    given = {
        "id": f"id-{number}",
        "what": "note",
        "when": "2032-05-04T08:04:00+01:00",
        "data": {"n": number},
    } | fields
    return json.dumps(given, ensure_ascii=False).encode() + b"\n"


def test_the_worked_journal_is_read_at_once_and_line_by_line_alike() -> None:
    quick = read_journal("w", WORKED)
    slow = read_journal("w", WORKED + b"\n")
    assert len(quick.events) == 39
    assert quick.reports == slow.reports == ()
    assert list(quick.events) == list(slow.events)
    assert list(quick.numbers) == list(slow.numbers) == list(range(1, 40))
    assert quick.line(27) == WORKED.splitlines()[26]


@given(
    st.lists(st.sampled_from(["good", "blank", "bad", "deep", "late", "newer"]), max_size=12), st.booleans()
)
@settings(max_examples=150, deadline=None)
def test_every_good_line_keeps_its_number_among_any_others(kinds: list[str], carriage: bool) -> None:
    made = {
        "blank": b"  \n",
        "bad": b"{no\n",
        "deep": line(0, data=json.loads("[" * 80 + "]" * 80)),
        "late": line(0, when="1990-12-31T23:59:60Z"),
        "newer": line(0, v=9),
    }
    lines = [line(number) if kind == "good" else made[kind] for number, kind in enumerate(kinds)]
    data = b"".join(lines)
    read = read_journal("f", data.replace(b"\n", b"\r\n") if carriage else data)
    numbers = [number for number, kind in enumerate(kinds, 1) if kind in ("good", "late", "newer")]
    assert list(read.numbers) == numbers
    bad = [number for number, kind in enumerate(kinds, 1) if kind in ("bad", "deep")]
    told = [each.line for each in read.reports if each.fault in (Fault.BAD_LINE, Fault.SET_ASIDE)]
    assert told == bad
    assert read.lines == len(kinds)


def test_a_leap_second_and_lower_case_times_are_read_though_the_decoder_knows_none() -> None:
    read = read_journal("f", line(1, when="1990-12-31T23:59:60Z") + line(2, when="2032-05-04t08:04:00.5z"))
    assert [event.when.second for event in read.events] == [59, 0]
    assert [event.payload() for event in read.events] == [{"n": 1}, {"n": 2}]
    assert read.reports == ()


@pytest.mark.parametrize(
    "fields",
    [
        {"when": "2032-05-04T08:04:00"},
        {"when": "noon"},
        {"when": 5},
        {"when": "0001-01-01T00:00:00+14:00"},
        {"when": "9999-12-31T23:59:59-14:00"},
        {"when": "1899-12-31T23:59:59Z"},
        {"when": "9000-01-01T00:00:00Z"},
        {"id": ""},
        {"id": "x" * 65},
        {"id": 7},
        {"v": -1},
        {"v": "1"},
        {"what": ""},
        {"boat": 3},
        {"up": "long"},
    ],
)
def test_an_envelope_that_cannot_be_read_is_a_bad_line(fields: dict[str, object]) -> None:
    read = read_journal("f", line(1) + line(2, **fields) + line(3))
    assert [event.id for event in read.events] == ["id-1", "id-3"]
    assert [(report.fault, report.line) for report in read.reports] == [(Fault.BAD_LINE, 2)]
    assert str(read.reports[0]).startswith("f, line 2: the line")


def test_text_that_is_not_utf_8_is_a_bad_line_even_inside_the_data() -> None:
    read = read_journal("f", line(1) + line(2, data={"text": "XX"}).replace(b"XX", b"\xff\xfe") + line(3))
    assert [report.line for report in read.reports] == [2]
    assert len(read.events) == 2


def test_unknown_fields_are_let_pass_and_unknown_kinds_kept() -> None:
    read = read_journal(
        "f", line(1, colour="grey") + line(2, what="periscope.raised") + line(3, v=2) + line(4)
    )
    assert [event.known for event in read.events] == [True, False, False, True]
    assert [(report.fault, report.line) for report in read.reports] == [(Fault.NEWER, 2)]
    assert "2 events from a newer version" in str(read.reports[0])


def test_a_happened_that_cannot_be_read_is_told() -> None:
    read = read_journal("f", line(1) + line(2, happened="last week"))
    assert [(report.fault, report.line) for report in read.reports] == [(Fault.ODD_TIME, 2)]
    assert len(read.events) == 2


def test_a_thousand_bad_lines_are_told_in_few_reports() -> None:
    read = read_journal("f", b"bad\n" * 1000 + line(1))
    assert len(read.events) == 1
    assert len(read.reports) == MAX_REPORTS + 1
    assert str(read.reports[-1]) == f"f: {1000 - MAX_REPORTS} more lines cannot be read"


def test_a_file_over_the_cap_is_not_read() -> None:
    read = read_journal("f", bytes(MAX_FILE + 1))
    assert [report.fault for report in read.reports] == [Fault.UNREADABLE]


def test_the_longest_line_is_read_and_one_byte_more_is_not() -> None:
    frame = len(line(1, data={"t": ""})) - 1
    fits = line(1, data={"t": "x" * (MAX_LINE - frame)})
    assert len(fits) == MAX_LINE + 1
    assert len(read_journal("f", fits + line(2)).events) == 2
    longer = line(1, data={"t": "x" * (MAX_LINE - frame + 1)})
    assert [event.id for event in read_journal("f", line(2) + longer + line(3)).events] == ["id-2", "id-3"]


@given(
    st.recursive(st.text('[]{}"\\a', max_size=6), lambda inner: st.lists(inner, max_size=3), max_leaves=20)
)
@settings(max_examples=150, deadline=None)
def test_nesting_is_counted_outside_texts_only(value: object) -> None:
    def deepest(part: object) -> int:
        return 1 + max(map(deepest, part), default=0) if isinstance(part, list) else 0

    below = reading.MAX_DEPTH - deepest(value)
    wrapped = "[" * below + json.dumps(value) + "]" * below
    assert not nested_too_deep(wrapped.encode())
    assert nested_too_deep(f"[{wrapped}]".encode())


def test_reports_are_harmless_whatever_the_names_hold() -> None:
    loaded = load_files({"tansy/\x1b[2J\u202e.jsonl": b"\x1b]0;x\x07\n" + line(1) + b"\x1b"})
    assert len(loaded.reports) == 2
    assert all(str(report).isprintable() for report in loaded.reports)
