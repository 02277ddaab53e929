"""The envelope of an event: its times, its data, its line."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta, timezone

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import Raw

from divelog.journal.events import Event, encode, format_happened, parse_happened
from divelog.journal.kinds import FIELDS, LADDER, VERSIONS
from divelog.journal.reading import decode_line

HERE = timezone(timedelta(hours=1))
WHEN = datetime(2032, 5, 4, 8, 6, tzinfo=HERE)


def event(**fields: object) -> Event:
    return msgspec.structs.replace(Event(id="a", what="note", when=WHEN), **fields)


def test_it_took_place_when_it_happened_else_when_it_was_written() -> None:
    assert event().at == datetime(2032, 5, 4, 7, 6, tzinfo=UTC)
    late = event(happened="2032-04-30T19:00:00+01:00 ± 3 min")
    assert late.at == datetime(2032, 4, 30, 18, 0, tzinfo=UTC)
    assert late.at.tzinfo is UTC
    assert late.half_width == 180.0
    assert (late.local.hour, late.local.utcoffset()) == (19, timedelta(hours=1))


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("2032-04-30T19:00:00+01:00", 0.0),
        ("2032-04-30T19:00:00+01:00 ± 3 min", 180.0),
        ("2032-04-30T19:00:00+01:00 ±2 h", 7200.0),
        ("2032-04-30T19:00:00+01:00 +/- 1.5 h", 5400.0),
        ("  2032-04-30T19:00:00+01:00  ±  10  min ", 600.0),
    ],
)
def test_a_time_typed_afterwards_may_say_how_sure_it_is(text: str, seconds: float) -> None:
    found = parse_happened(text)
    assert found.half_width == seconds
    assert found.at == datetime(2032, 4, 30, 19, 0, tzinfo=HERE)
    assert parse_happened(format_happened(found.at, found.half_width)).half_width == seconds


@pytest.mark.parametrize(
    "text",
    [
        "",
        "yesterday",
        "2032-04-30T19:00:00+01:00 ± ",
        "2032-04-30T19:00:00+01:00 ± 3 days",
        "± 3 min",
        "2032-04-30T19:00:00+01:00 ± -3 min",
        "2032-04-30T19:00:00+01:00 ± 3 min ± 2 h",
        "2032-04-30T19:00:00",
        "1899-12-31T19:00:00Z",
        "9000-01-01T19:00:00Z",
        "2032-04-30T19:00:00+01:00 ± 9999999 h",
        "2032-04-30T19:00:00+01:00 ± nan min",
        "x" * 1000,
    ],
)
def test_any_other_is_refused_and_the_time_of_writing_counts(text: str) -> None:
    with pytest.raises(ValueError):  # noqa: PT011 - several sentences, all plain
        parse_happened(text)
    odd = event(happened=text)
    assert odd.at == WHEN
    assert odd.local == WHEN
    assert odd.half_width == 0.0


@given(
    st.datetimes(datetime(1970, 1, 1), datetime(2100, 1, 1), timezones=st.just(HERE)),
    st.none() | st.text(max_size=10),
    st.none() | st.floats(allow_nan=False, allow_infinity=False),
    st.dictionaries(st.text(max_size=5), st.none() | st.booleans() | st.text(max_size=5), max_size=3),
)
@settings(max_examples=150, deadline=None)
def test_an_event_comes_back_from_its_line(
    when: datetime, boat: str | None, up: float | None, data: dict[str, object]
) -> None:
    written = Event(
        id="01ca0a42-9fc0-701b-8000-00000000001b", what="note", when=when, boat=boat, up=up,
        data=Raw(json.dumps(data).encode()), prev="none",
    )  # fmt: skip
    line = encode(written)
    assert b"\n" not in line
    back = decode_line(line)
    assert back.payload() == written.payload() == data
    assert msgspec.structs.replace(back, data=written.data) == written


def test_a_line_has_its_fields_in_order_and_leaves_out_what_is_missing() -> None:
    full = event(
        happened="2032-05-04T08:00:00+01:00", up=1.5, boot="b", boat="tansy", by="x", run="r", prev="none"
    )
    keys = ["id", "what", "v", "when", "happened", "up", "boot", "boat", "by", "run", "data", "prev"]
    assert list(json.loads(encode(full))) == keys
    assert list(json.loads(encode(event()))) == ["id", "what", "v", "when", "data"]


def test_what_comes_from_a_newer_program_is_not_known() -> None:
    assert event().known
    assert not event(v=2).known
    assert not event(what="periscope.raised").known
    assert event(v=0).known


@pytest.mark.parametrize(
    ("data", "read"),
    [
        (b"{}", {}),
        (b"[1]", {}),
        (b"7", {}),
        (b'{"a":1e400}', {"a": float("inf")}),
        (b'{"a":-1e400,"b":2}', {"a": float("-inf"), "b": 2}),
        (b'{"a":' + b"9" * 5000 + b"}", {"a": float("inf")}),
        (b'{"a":"\xff"}', {}),
    ],
)
def test_data_of_any_shape_is_an_object_or_empty(data: bytes, read: dict[str, object]) -> None:
    assert event(data=Raw(data)).payload() == read


def test_every_kind_has_a_version_and_fields_and_the_ladder_its_eight_steps() -> None:
    assert set(FIELDS) == set(VERSIONS)
    assert all(version >= 1 for version in VERSIONS.values())
    assert len(LADDER) == 8
    assert all(fields for fields in FIELDS.values())
