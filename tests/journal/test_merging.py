"""Files brought together: one event an identifier, one order, whatever order the files come in."""

from __future__ import annotations

import json
import random
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.journal.loading import LoadedJournal, load_files
from divelog.journal.merging import file_order, in_order, once_each
from divelog.journal.reading import read_journal
from divelog.journal.reports import Fault

WORKED = (Path(__file__).parents[1] / "data" / "worked_journal.jsonl").read_bytes()
LINES = WORKED.splitlines(keepends=True)


def ids(loaded: LoadedJournal) -> list[str]:
    return [event.id for event in loaded.events]


def test_order_is_by_the_time_it_happened_and_then_by_identifier() -> None:
    order = [event.id for event in in_order(read_journal("w", WORKED).events)]
    # line 27 was written on 4 May and happened on 30 April: between lines 24 and 25
    lines = [json.loads(line)["id"] for line in LINES]
    assert order == [*lines[:24], lines[26], *lines[24:26], *lines[27:]]


@given(
    st.lists(st.integers(0, 3), min_size=39, max_size=39), st.lists(st.booleans(), min_size=39, max_size=39)
)
@settings(max_examples=60, deadline=None)
def test_any_split_into_files_with_any_copies_gives_the_same_events(
    places: list[int], copied: list[bool]
) -> None:
    files = {f"tansy/{name}.jsonl": b"" for name in "abcd"}
    for line, place, copy in zip(LINES, places, copied, strict=True):
        files[f"tansy/{'abcd'[place]}.jsonl"] += line
        if copy:
            files[f"tansy/{'abcd'[(place + 1) % 4]}.jsonl"] += line
    loaded = load_files(files, "tansy")
    assert ids(loaded) == ids(load_files({"tansy/w.jsonl": WORKED}, "tansy"))
    assert {report.fault for report in loaded.reports} <= {Fault.COPY}
    assert any(copied) == bool(loaded.reports)


@pytest.mark.parametrize("seed", range(5))
def test_the_order_in_which_files_are_given_does_not_matter(seed: int) -> None:
    changed = LINES[5].replace(b"bone dry", b"damp")
    files = {
        "tansy/b.jsonl": WORKED,
        "tansy/a.jsonl": changed,
        "_kit/z.jsonl": LINES[1],
        "tansy/c.jsonl": LINES[5],
    }
    names = list(files)
    random.Random(seed).shuffle(names)
    loaded = load_files({name: files[name] for name in names}, "tansy")
    assert loaded == load_files(files, "tansy")
    (damp,) = [event for event in loaded.events if event.id == json.loads(changed)["id"]]
    assert damp.payload()["answer"] == "damp"  # the first copy counts, by file name
    damage = [report for report in loaded.reports if report.fault is Fault.DAMAGE]
    assert [(report.file, report.line) for report in damage] == [("tansy/b.jsonl", 6), ("tansy/c.jsonl", 1)]
    assert "tansy/a.jsonl, line 1" in str(damage[0])


def test_files_come_in_order_of_their_own_name_then_of_their_folder() -> None:
    names = ["tansy/b.jsonl", "_kit/b.jsonl", "tansy/a.jsonl", "tansy/a.2.jsonl"]
    assert sorted(names, key=file_order) == [
        "tansy/a.2.jsonl",
        "tansy/a.jsonl",
        "_kit/b.jsonl",
        "tansy/b.jsonl",
    ]


def test_the_same_event_after_another_line_is_a_copy_and_no_damage() -> None:
    one = b'{"id":"a","what":"note","v":1,"when":"2032-05-04T08:00:00+00:00","data":{"n":1},"prev":"none"}\n'
    other = one.replace(b'"none"', b'"sha256:00"')
    events, reports = once_each([read_journal("x/1.jsonl", one), read_journal("x/2.jsonl", other)])
    assert len(events) == 1
    assert [report.fault for report in reports] == [Fault.COPY]
    different = other.replace(b'"n":1', b'"n":2')
    events, reports = once_each([read_journal("x/1.jsonl", one), read_journal("x/2.jsonl", different)])
    assert len(events) == 1
    assert [report.fault for report in reports] == [Fault.DAMAGE]


def test_an_identifier_twice_in_one_file_counts_once() -> None:
    events, reports = once_each([read_journal("x/1.jsonl", LINES[0] + LINES[1] + LINES[0])])
    assert len(events) == 2
    assert [(report.fault, report.line) for report in reports] == [(Fault.COPY, 3)]


def test_events_of_other_boats_are_left_out_and_told_but_not_in_the_kits_journal() -> None:
    other = LINES[7].replace(b'"boat":"tansy"', b'"boat":"bulrush"')
    loaded = load_files({"tansy/a.jsonl": LINES[0] + other, "_kit/a.jsonl": LINES[1] + other}, "tansy")
    assert len(loaded.events) == 2
    assert [(report.fault, report.file) for report in loaded.reports] == [(Fault.OTHER_BOAT, "tansy/a.jsonl")]
    assert not loaded.damaged


def test_events_written_since_are_added_without_reading_again() -> None:
    all_of_it = load_files({"tansy/w.jsonl": WORKED}, "tansy")
    first = load_files({"tansy/w.jsonl": b"".join(LINES[:20])}, "tansy")
    rest = load_files({"tansy/w.jsonl": b"".join(LINES[20:])}, "tansy").lines
    grown = first
    for event in rest:
        grown = grown.plus(event)
    assert grown == all_of_it == first.plus(*rest)


def test_times_of_one_instant_in_several_zones_are_one_instant() -> None:
    base = datetime(2032, 5, 4, 8, 0, tzinfo=UTC)
    stamps = [
        (base.astimezone(UTC) + timedelta(0)).isoformat(),
        "2032-05-04T09:00:00+01:00",
        "2032-05-04T07:00:00-01:00",
    ]
    lines = [
        f'{{"id":"{name}","what":"note","when":"{at}","data":{{}}}}\n'
        for name, at in zip("cab", stamps, strict=True)
    ]
    assert ids(load_files({"x/1.jsonl": "".join(lines).encode()})) == ["a", "b", "c"]
