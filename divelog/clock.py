"""The one place for time: wall clock, a clock that counts sleep, and identifiers.

An event stores both clocks. A span inside one start of the machine is taken from the clock that counts
sleep, so a wrong or corrected wall clock never spoils a duration; any other span uses the wall clock and
says so.
"""

from __future__ import annotations

import hashlib
import os
import re
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, timezone
from functools import lru_cache
from typing import Protocol

JUMP_SECONDS = 2.0
"""A wall clock that moved this much more or less than the clock that counts sleep has jumped."""


class Clock(Protocol):
    """Where the program asks for the time."""

    def now(self) -> datetime:
        """Wall time, aware, with the local offset."""
        ...

    def up(self) -> float:
        """Seconds of a clock that counts sleep and never steps; its zero is the start of the machine."""
        ...

    @property
    def boot(self) -> str:
        """Which start of the machine: `up` of two moments compare only if this is equal."""
        ...


@dataclass(frozen=True, slots=True)
class Moment:
    """Both clocks at one time."""

    wall: datetime
    up: float
    boot: str


def moment(clock: Clock) -> Moment:
    """Reads both clocks."""
    return Moment(clock.now(), clock.up(), clock.boot)


def _counts_sleep() -> Callable[[], float]:
    """The clock of this system that goes on while the machine sleeps."""
    if sys.platform == "win32":
        import ctypes

        # GetTickCount64: milliseconds since the system was started, sleep included (Microsoft, Win32 API).
        ticks = ctypes.windll.kernel32.GetTickCount64
        ticks.restype = ctypes.c_uint64
        return lambda: float(ticks()) / 1000.0
    if sys.platform == "darwin":
        # CLOCK_MONOTONIC goes on in sleep there; CLOCK_UPTIME_RAW does not (macOS clock_gettime(3), from
        # memory).
        return lambda: time.clock_gettime(time.CLOCK_MONOTONIC)
    boottime = getattr(time, "CLOCK_BOOTTIME", None)
    if boottime is not None:
        return lambda: time.clock_gettime(boottime)
    return time.monotonic


def _start_of_machine() -> str:
    """A name for this start of the machine, or a random one if the system gives none."""
    named = ""
    try:
        if sys.platform == "win32":
            import winreg

            with winreg.OpenKey(winreg.HKEY_LOCAL_MACHINE, r"SOFTWARE\Microsoft\Cryptography") as key:
                machine = str(winreg.QueryValueEx(key, "MachineGuid")[0])
            prefetch = (
                r"SYSTEM\CurrentControlSet\Control\Session Manager\Memory Management\PrefetchParameters"
            )
            with winreg.OpenKey(winreg.HKEY_LOCAL_MACHINE, prefetch) as key:
                named = machine + str(winreg.QueryValueEx(key, "BootId")[0])
        elif sys.platform == "darwin":
            import ctypes

            size = ctypes.c_size_t(64)
            text = ctypes.create_string_buffer(64)
            libc = ctypes.CDLL(None)
            if libc.sysctlbyname(b"kern.bootsessionuuid", text, ctypes.byref(size), None, 0) == 0:
                named = text.value.decode()
        else:
            with open("/proc/sys/kernel/random/boot_id", encoding="ascii") as source:
                named = source.read(64).strip()
    except (OSError, ValueError, AttributeError):
        named = ""
    # A random name means that spans across two runs of the program use the wall clock: never wrong, only
    # flagged. The system's own identifier stays here; only a digest of it goes into files that may be
    # shared.
    return hashlib.sha256(named.encode() or os.urandom(16)).hexdigest()[:12]


class SystemClock:
    """The clocks of this machine (Linux, macOS, Windows)."""

    def __init__(self) -> None:
        self._up = _counts_sleep()
        self._boot = _start_of_machine()

    def now(self) -> datetime:
        """Wall time with the local offset."""
        return datetime.now(UTC).astimezone()

    def up(self) -> float:
        """Seconds since the machine was started, sleep included."""
        return self._up()

    @property
    def boot(self) -> str:
        """Which start of the machine, twelve hexadecimal digits."""
        return self._boot


class FixedClock:
    """A clock that stands still until told: for tests, for `--at`, and for made-up logbooks.

    Unless `up` is given it runs with the wall time, so that two of these agree and no jump is seen between them.
    """

    def __init__(self, at: datetime, up: float | None = None, boot: str = "000000000001") -> None:
        self._wall = aware(at)
        self._up = at.timestamp() if up is None else up
        self._boot = boot

    def now(self) -> datetime:
        """The set wall time."""
        return self._wall

    def up(self) -> float:
        """The set seconds."""
        return self._up

    @property
    def boot(self) -> str:
        """The set start."""
        return self._boot

    def advance(self, seconds: float) -> None:
        """Lets both clocks go on."""
        self._wall += timedelta(seconds=seconds)
        self._up += seconds

    def set_wall(self, at: datetime) -> None:
        """Moves the wall clock alone, as a person or a time server does."""
        self._wall = aware(at)

    def restart(self, boot: str, up: float = 10.0) -> None:
        """Starts the machine anew; the wall clock goes on."""
        self._boot = boot
        self._up = up


def aware(at: datetime) -> datetime:
    """Refuses a time without an offset.

    Raises:
        ValueError: `at` has no offset.
    """
    if at.utcoffset() is None:
        raise ValueError("a time needs its offset from UTC")
    return at


_RFC3339 = re.compile(
    r"(\d{4})-(\d\d)-(\d\d)[Tt ](\d\d):(\d\d):(\d\d)(?:\.(\d{1,30}))?(?:([Zz])|([+-])(\d\d):(\d\d))", re.ASCII
)


def stamp(at: datetime) -> str:
    """Writes a time as RFC 3339 with its offset; microseconds only where there are any.

    Raises:
        ValueError: `at` has no offset.
    """
    return aware(at).isoformat()


@lru_cache(maxsize=64)
def _zone(minutes: int) -> timezone:
    return timezone(timedelta(minutes=minutes)) if minutes else UTC


def parse_stamp(text: str) -> datetime:
    """Reads an RFC 3339 time with offset. A fraction of any length is taken, beyond microseconds cut.

    A leap second `:60` is taken as `:59`, since no clock here can hold it.

    Raises:
        ValueError: it is not one; the message is a plain sentence.
    """
    found = _RFC3339.fullmatch(text) if len(text) <= 64 else None
    if found is None:
        raise ValueError("write a time as 2032-05-04T08:11:00+01:00, with the offset from UTC")
    year, month, day, hour, minute, second, fraction, _, sign, off_hours, off_minutes = found.groups()
    micro = int((fraction or "").ljust(6, "0")[:6])
    minutes = 0
    if sign:
        if int(off_hours) > 23 or int(off_minutes) > 59:
            raise ValueError("an offset from UTC goes from -23:59 to +23:59")
        minutes = (int(off_hours) * 60 + int(off_minutes)) * (-1 if sign == "-" else 1)
    leap = min(int(second), 59) if second == "60" else int(second)
    try:
        at = datetime(int(year), int(month), int(day), int(hour), int(minute), leap, micro, _zone(minutes))
        at.astimezone(UTC)
    except (ValueError, OverflowError):
        raise ValueError("there is no such date or time of day") from None
    return at


MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip
"""Months in English, whatever the machine speaks."""


def day_month(day: date, *, full: bool = False) -> str:
    """A day without its year: ``18 Apr``, or ``18 April`` in full. Never figures alone, which two countries read as
    two days."""
    month = MONTHS[day.month - 1]
    return f"{day.day} {month if full else month[:3]}"


def as_utc(at: datetime) -> datetime:
    """The same instant in UTC."""
    return at.astimezone(UTC)


@dataclass(frozen=True, slots=True)
class Span:
    """Seconds between two moments, and whether only the wall clock could tell."""

    seconds: float
    by_wall: bool


def span(
    start: datetime,
    end: datetime,
    start_up: float | None = None,
    end_up: float | None = None,
    start_boot: str | None = None,
    end_boot: str | None = None,
) -> Span:
    """Seconds from start to end: by `up` inside one start of the machine, else by the wall clock."""
    if start_up is not None and end_up is not None and start_boot is not None and start_boot == end_boot:
        return Span(end_up - start_up, False)
    return Span((end - start).total_seconds(), True)


def jump(before: Moment, after: Moment) -> float | None:
    """Seconds by which the wall clock was moved between two moments of one start, or none.

    Positive: set forward. `|Δwall − Δup|` up to `JUMP_SECONDS` is no jump; moments of two starts cannot tell.
    """
    if before.boot != after.boot:
        return None
    moved = (after.wall - before.wall).total_seconds() - (after.up - before.up)
    return moved if abs(moved) > JUMP_SECONDS else None


_COUNTER_BITS = 12
_RANDOM_BITS = 62


def _random_bits(bits: int) -> int:
    """That many random bits (at most 64) from the system."""
    return int.from_bytes(os.urandom(8), "big") >> (64 - bits)


class Ids:
    """Makes UUID version 7 (RFC 9562): 48 bits of milliseconds, a counter, and random bits.

    Inside one process every identifier is greater than the one before, also inside one millisecond and when
    the clock steps back (RFC 9562 section 6.2, method 1: the counter stands in `rand_a`; when it overflows
    the milliseconds are counted up). Across processes the random bits keep them apart.
    """

    def __init__(self, random_bits: Callable[[int], int] = _random_bits) -> None:
        self._random_bits = random_bits
        self._ms = -1
        self._count = 0

    def new(self, at: datetime) -> str:
        """The next identifier, for an event written at `at`."""
        ms = min(max(int(aware(at).timestamp() * 1000), 0), (1 << 48) - 1)
        if ms > self._ms:
            # The upper half of the counter stays free, so that it seldom overflows.
            self._ms, self._count = ms, self._random_bits(_COUNTER_BITS - 1)
        else:
            self._count += 1
            if self._count >> _COUNTER_BITS:
                self._ms, self._count = self._ms + 1, 0
        value = self._ms << 80 | 0x7 << 76 | self._count << 64 | 0b10 << 62 | self._random_bits(_RANDOM_BITS)
        digits = f"{value:032x}"
        return "-".join((digits[:8], digits[8:12], digits[12:16], digits[16:20], digits[20:]))
