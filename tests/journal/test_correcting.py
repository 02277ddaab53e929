"""Corrections: the newest living one counts, and a void one never was."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import Raw

from divelog.journal.correcting import correct
from divelog.journal.events import Event
from divelog.journal.loading import load_files
from divelog.journal.reports import Fault

T = datetime(2032, 5, 4, 8, 0, tzinfo=UTC)


def note(name: str, minutes: int, words: str = "first", happened: str | None = None) -> Event:
    when = T + timedelta(minutes=minutes)
    return Event(
        id=name, what="note", when=when, happened=happened, data=Raw(json.dumps({"text": words}).encode())
    )


def fix(name: str, minutes: int, target: str, v: int = 1, **says: object) -> Event:
    data = Raw(json.dumps({"id": target, "why": "slip"} | says).encode())
    return Event(id=name, what="corrected", when=T + timedelta(minutes=minutes), v=v, data=data)


def texts(*lines: Event) -> dict[str, object]:
    return {event.id: event.payload().get("text") for event in correct(lines).events}


def test_new_data_stands_in_the_targets_place() -> None:
    found = correct([note("a", 0), note("b", 1), fix("c", 9, "a", data={"text": "better"})])
    assert [(event.id, event.when, event.payload()) for event in found.events] == [
        ("a", T, {"text": "better"}),
        ("b", T + timedelta(minutes=1), {"text": "first"}),
    ]
    assert found.changed == {"a": "c"}
    assert found.voided == {}


def test_data_is_replaced_whole_and_a_time_only_if_given() -> None:
    kept = note("a", 0, happened="2032-05-04T07:00:00Z")
    (event,) = correct([kept, fix("c", 9, "a", data={"other": 1})]).events
    assert event.payload() == {"other": 1}
    assert event.happened == "2032-05-04T07:00:00Z"
    (event,) = correct([kept, fix("c", 9, "a", happened="2032-05-04T06:00:00Z")]).events
    assert event.payload() == {"text": "first"}
    assert event.happened == "2032-05-04T06:00:00Z"


def test_void_takes_an_event_away() -> None:
    found = correct([note("a", 0), fix("c", 9, "a", void=True)])
    assert found.events == []
    assert found.voided == {"a": "c"}


def test_only_the_newest_correction_counts_by_time_of_writing_then_identifier() -> None:
    first, second = fix("c", 5, "a", data={"text": "one"}), fix("d", 5, "a", data={"text": "two"})
    assert texts(note("a", 0), second, first) == {"a": "two"}
    assert texts(note("a", 0), first, fix("b", 6, "a", void=True)) == {}
    assert texts(note("a", 0), fix("b", 6, "a", void=True), fix("d", 7, "a", data={"text": "back"})) == {
        "a": "back"
    }


def test_a_void_correction_never_was_and_one_can_be_corrected() -> None:
    wrong = fix("c", 5, "a", data={"text": "wrong"})
    assert texts(note("a", 0), wrong, fix("d", 6, "c", void=True)) == {"a": "first"}
    older = fix("b", 4, "a", data={"text": "older"})
    assert texts(note("a", 0), older, wrong, fix("d", 6, "c", void=True)) == {"a": "older"}
    assert texts(note("a", 0), wrong, fix("d", 6, "c", void=True), fix("e", 7, "d", void=True)) == {
        "a": "wrong"
    }
    better = fix("d", 6, "c", data={"id": "a", "data": {"text": "right"}})
    assert texts(note("a", 0), wrong, better) == {"a": "right"}
    other = fix("d", 6, "c", data={"id": "b", "void": True})
    assert texts(note("a", 0), note("b", 1), wrong, other) == {"a": "first"}


def test_a_missing_target_and_an_unreadable_correction_are_told_and_do_nothing() -> None:
    unreadable = Event(id="d", what="corrected", when=T, data=Raw(b'{"void":true}'))
    found = correct([note("a", 0), fix("c", 5, "gone", void=True), unreadable])
    assert [event.id for event in found.events] == ["a"]
    assert [report.fault for report in found.reports] == [Fault.NO_TARGET] * 2
    assert "gone" in str(found.reports[0])


def test_a_correction_from_a_newer_version_has_no_effect() -> None:
    assert texts(note("a", 0), fix("c", 5, "a", v=2, void=True)) == {"a": "first"}


def test_a_correction_moves_an_event_to_its_new_time_in_the_order() -> None:
    lines = [
        b'{"id":"a","what":"note","when":"2032-05-04T08:00:00Z","data":{}}',
        b'{"id":"b","what":"note","when":"2032-05-04T09:00:00Z","data":{}}',
        b'{"id":"c","what":"corrected","when":"2032-05-04T10:00:00Z","data":{"id":"b","happened":"2032-05-04T07:00:00Z"}}',
    ]
    loaded = load_files({"tansy/x.jsonl": b"\n".join(lines) + b"\n"})
    assert [event.id for event in loaded.events] == ["b", "a"]
    assert [event.id for event in loaded.lines] == ["a", "b", "c"]
    assert [event.id for event in loaded.corrections] == ["c"]
    assert loaded.changed == {"b": "c"}


@given(st.lists(st.tuples(st.integers(0, 5), st.integers(0, 7), st.booleans()), max_size=10), st.randoms())
@settings(max_examples=150, deadline=None)
def test_the_order_of_the_lines_does_not_matter(plan: list[tuple[int, int, bool]], shuffle: object) -> None:
    lines = [note("0", 0), note("1", 1)]
    for number, (minutes, target, void) in enumerate(plan, 2):
        says: dict[str, object] = {"void": True} if void else {"data": {"id": "0", "text": f"from {number}"}}
        lines.append(fix(str(number), minutes, str(target), 1, **says))
    one = {event.id: bytes(event.data) for event in correct(lines).events}
    shuffle.shuffle(lines)  # type: ignore[attr-defined]
    assert {event.id: bytes(event.data) for event in correct(lines).events} == one
