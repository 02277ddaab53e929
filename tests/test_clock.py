"""Time: both clocks, stamps, spans, jumps, identifiers."""

from __future__ import annotations

import ctypes
import random
import re
import sys
import time
import types
from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.clock import (
    FixedClock,
    Ids,
    Moment,
    SystemClock,
    jump,
    moment,
    parse_stamp,
    span,
    stamp,
)

HERE = timezone(timedelta(hours=1))
T = datetime(2032, 5, 4, 8, 11, tzinfo=HERE)
ZONES = st.integers(-23 * 60 - 59, 23 * 60 + 59).map(lambda minutes: timezone(timedelta(minutes=minutes)))
TIMES = st.datetimes(datetime(1900, 1, 1), datetime(9000, 1, 1), timezones=ZONES)


@given(TIMES)
@settings(max_examples=200, deadline=None)
def test_a_stamp_comes_back_with_its_offset(at: datetime) -> None:
    back = parse_stamp(stamp(at))
    assert back == at
    assert back.utcoffset() == at.utcoffset()


@pytest.mark.parametrize(
    ("text", "utc"),
    [
        # RFC 3339 section 5.8, its own examples
        ("1985-04-12T23:20:50.52Z", datetime(1985, 4, 12, 23, 20, 50, 520000, UTC)),
        ("1996-12-19T16:39:57-08:00", datetime(1996, 12, 20, 0, 39, 57, tzinfo=UTC)),
        ("1990-12-31T23:59:60Z", datetime(1990, 12, 31, 23, 59, 59, tzinfo=UTC)),  # leap second, held at :59
        ("1990-12-31T15:59:60-08:00", datetime(1990, 12, 31, 23, 59, 59, tzinfo=UTC)),
        ("1937-01-01T12:00:27.87+00:20", datetime(1937, 1, 1, 11, 40, 27, 870000, UTC)),
        # and what it allows besides
        ("2032-05-04t08:11:00z", datetime(2032, 5, 4, 8, 11, tzinfo=UTC)),
        ("2032-05-04 08:11:00-00:00", datetime(2032, 5, 4, 8, 11, tzinfo=UTC)),
        ("2032-05-04T08:11:00.123456789Z", datetime(2032, 5, 4, 8, 11, 0, 123456, UTC)),
        ("2038-01-19T03:14:08Z", datetime(2038, 1, 19, 3, 14, 8, tzinfo=UTC)),
        ("1970-01-01T00:00:00Z", datetime(1970, 1, 1, tzinfo=UTC)),
    ],
)
def test_reads_rfc_3339(text: str, utc: datetime) -> None:
    assert parse_stamp(text) == utc


@pytest.mark.parametrize(
    "text",
    ["", "2032-05-04", "2032-05-04T08:11:00", "2032-05-04T08:11Z", "20320504T081100Z", "2032-W18-2T08:11:00Z",
     "2032-13-01T00:00:00Z", "2032-02-30T00:00:00Z", "2032-05-04T24:00:00Z", "2032-05-04T08:11:61Z",
     "2032-05-04T08:11:00+24:00", "2032-05-04T08:11:00+01:60", "2032-05-04T08:11:00+0100",
     "0000-01-01T00:00:00Z", "0001-01-01T00:00:00+23:00", "9999-12-31T23:59:59-01:00",
     "٢٠٣٢-05-04T08:11:00Z", "2032-05-04T08:11:00.Z", " 2032-05-04T08:11:00Z", "x" * 100_000],
)  # fmt: skip
def test_refuses_what_is_no_time_with_a_sentence(text: str) -> None:
    with pytest.raises(ValueError, match=r"^(write|an offset|there is no)"):
        parse_stamp(text)


def test_a_time_without_offset_is_refused() -> None:
    with pytest.raises(ValueError, match="offset"):
        stamp(datetime(2032, 5, 4))
    with pytest.raises(ValueError, match="offset"):
        FixedClock(datetime(2032, 5, 4))


def test_a_span_inside_one_start_never_uses_the_wall_clock() -> None:
    found = span(T, T + timedelta(hours=9), 100.0, 160.0, "b", "b")
    assert (found.seconds, found.by_wall) == (60.0, False)


@pytest.mark.parametrize(
    ("start_up", "end_up", "start_boot", "end_boot"),
    [(100.0, 160.0, "a", "b"), (None, 160.0, "b", "b"), (100.0, None, "b", "b"), (1.0, 2.0, None, None)],
)
def test_a_span_over_two_starts_uses_the_wall_clock_and_says_so(
    start_up: float | None, end_up: float | None, start_boot: str | None, end_boot: str | None
) -> None:
    found = span(T, T + timedelta(minutes=42), start_up, end_up, start_boot, end_boot)
    assert (found.seconds, found.by_wall) == (2520.0, True)


@pytest.mark.parametrize(
    ("wall", "up", "moved"),
    [
        (10.0, 10.0, None),
        (12.0, 10.0, None),  # two seconds are no jump
        (12.1, 10.0, 2.1),
        (-3600.0, 10.0, -3610.0),
        (7.9, 10.0, -2.1),
        (8 * 3600.0, 8 * 3600.0, None),  # asleep for a night: both went on
    ],
)
def test_a_jump_is_what_the_wall_clock_moved_by_itself(wall: float, up: float, moved: float | None) -> None:
    before = Moment(T, 50.0, "b")
    found = jump(before, Moment(T + timedelta(seconds=wall), 50.0 + up, "b"))
    assert found == (None if moved is None else pytest.approx(moved))


def test_changing_the_offset_is_no_jump_and_two_starts_cannot_tell() -> None:
    before = Moment(T, 50.0, "b")
    summer = (T + timedelta(seconds=10)).astimezone(timezone(timedelta(hours=2)))
    assert jump(before, Moment(summer, 60.0, "b")) is None
    assert jump(before, Moment(T + timedelta(days=9), 3.0, "c")) is None


def test_fixed_clocks_agree_with_each_other_and_step_as_told() -> None:
    one, other = FixedClock(T), FixedClock(T + timedelta(days=3))
    assert jump(moment(one), moment(other)) is None
    one.advance(90.0)
    assert one.now() == T + timedelta(seconds=90)
    before = moment(one)
    one.set_wall(T - timedelta(days=1))
    assert jump(before, moment(one)) == pytest.approx(-86490.0)
    one.restart("another")
    assert jump(before, moment(one)) is None


def test_the_system_clock_tells_offset_seconds_and_start() -> None:
    clock = SystemClock()
    first, second = moment(clock), moment(clock)
    assert first.wall.utcoffset() is not None
    assert second.up >= first.up >= 0.0
    assert re.fullmatch(r"[0-9a-f]{12}", first.boot)
    assert first.boot == second.boot == SystemClock().boot


def test_the_name_of_the_start_does_not_give_away_the_system_own() -> None:
    try:
        own = open("/proc/sys/kernel/random/boot_id", encoding="ascii").read().strip()  # noqa: SIM115
    except OSError:
        pytest.skip("this system keeps no such file")
    assert SystemClock().boot not in own.replace("-", "")


def test_an_identifier_is_a_uuid_of_version_7() -> None:
    # RFC 9562 appendix A.6: 0x017F22E279B0 ms, rand_a 0xCC3, rand_b 0x18C4DC0C0C07398F. The counter stands in rand_a
    # with its top bit free, so 0x4C3 is given here and the version digit is followed by 4c3.
    bits = {11: 0x4C3, 62: 0x18C4DC0C0C07398F}
    at = datetime.fromtimestamp(0x017F22E279B0 / 1000, UTC)
    assert Ids(bits.__getitem__).new(at) == "017f22e2-79b0-74c3-98c4-dc0c0c07398f"


@given(st.lists(st.integers(-5_000_000, 5_000_000), min_size=2, max_size=60), st.integers(0, 2**32))
@settings(max_examples=100, deadline=None)
def test_identifiers_grow_whatever_the_clock_does(steps: list[int], seed: int) -> None:
    ids = Ids(random.Random(seed).getrandbits)
    at = T
    made = []
    for step in steps:
        at += timedelta(milliseconds=step)
        made.append(ids.new(at))
    assert made == sorted(set(made))
    assert all(
        re.fullmatch(r"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}", each)
        for each in made
    )


def test_identifiers_of_one_millisecond_overflow_upwards() -> None:
    ids = Ids(lambda bits: (1 << bits) - 1)
    made = [ids.new(T) for _ in range(5000)]
    assert made == sorted(set(made))


@pytest.mark.parametrize("year", [1, 1969, 1970, 2038, 2106, 9999])
def test_identifiers_of_any_year_are_well_formed(year: int) -> None:
    assert len(Ids().new(datetime(year, 6, 1, tzinfo=UTC))) == 36


def test_on_windows_the_ticks_count_sleep_and_the_start_is_the_boot_of_that_machine(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    values = {"MachineGuid": "machine", "BootId": 7}

    class Key:
        def __enter__(self) -> Key:
            return self

        def __exit__(self, *args: object) -> None:
            return None

    registry = types.SimpleNamespace(
        HKEY_LOCAL_MACHINE=0,
        OpenKey=lambda root, path: Key(),
        QueryValueEx=lambda key, name: (values[name], 1),
    )
    kernel = types.SimpleNamespace(GetTickCount64=Ticks(90_500))
    monkeypatch.setattr("sys.platform", "win32")
    monkeypatch.setitem(sys.modules, "winreg", registry)
    monkeypatch.setattr(ctypes, "windll", types.SimpleNamespace(kernel32=kernel), raising=False)
    clock = SystemClock()
    assert clock.up() == 90.5
    assert clock.boot == SystemClock().boot
    values["BootId"] = 8
    assert clock.boot != SystemClock().boot
    values["MachineGuid"] = "another"
    assert len({clock.boot, SystemClock().boot}) == 2
    del values["BootId"]

    def missing(key: object, name: str) -> tuple[object, int]:
        raise FileNotFoundError(name)

    registry.QueryValueEx = missing
    assert (
        SystemClock().boot != SystemClock().boot
    )  # no name for the start: random, so spans use the wall clock


class Ticks:
    """A function of the system that takes a result type."""

    restype: object = None

    def __init__(self, value: int) -> None:
        self._value = value

    def __call__(self) -> int:
        return self._value


@pytest.mark.skipif(not hasattr(time, "CLOCK_MONOTONIC"), reason="this system has no such clock")
def test_on_macos_the_start_is_the_session_of_the_kernel(monkeypatch: pytest.MonkeyPatch) -> None:
    session = b"11111111-2222-3333-4444-555555555555"

    def sysctl(name: bytes, text: ctypes.Array[ctypes.c_char], size: object, new: object, length: int) -> int:
        assert name == b"kern.bootsessionuuid"
        text.value = session
        return 0

    monkeypatch.setattr("sys.platform", "darwin")
    monkeypatch.setattr(ctypes, "CDLL", lambda name: types.SimpleNamespace(sysctlbyname=sysctl))
    first = SystemClock()
    assert first.up() > 0.0
    assert first.boot == SystemClock().boot
    session = b"99999999-2222-3333-4444-555555555555"
    assert first.boot != SystemClock().boot


def test_where_no_clock_counts_sleep_the_steady_one_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.platform", "linux")
    monkeypatch.delattr(time, "CLOCK_BOOTTIME", raising=False)
    assert SystemClock().up() > 0.0
