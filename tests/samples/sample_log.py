"""A logbook written by the program's own journal, under a clock and identifiers that a seed decides.

Lines, digests and heads are those the program writes; only the disk is told not to wait, so that a thousand events
take a second.
"""

from __future__ import annotations

import hashlib
import random
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from unittest import mock

from divelog.clock import Ids
from divelog.files import RealDisk
from divelog.home import Home
from divelog.journal import writing
from divelog.journal.writing import Journal

PROGRAM = "0.1.0"
"""The version the sample logbook was made with: it stays where it is when the program moves on."""

SUMMER = (
    (datetime(2031, 3, 30, 2), datetime(2031, 10, 26, 2)),
    (datetime(2032, 3, 28, 2), datetime(2032, 10, 31, 2)),
)
"""Local times between which the clocks stand an hour forward."""

Data = Mapping[str, object]


def moment(text: str) -> datetime:
    """``2031-05-18 09:30`` or with seconds, as local time with its offset."""
    plain = datetime.fromisoformat(text)
    hours = 1 if any(start <= plain < end for start, end in SUMMER) else 0
    return plain.replace(tzinfo=timezone(timedelta(hours=hours)))


class StoryClock:
    """Both clocks of a machine that somebody carries about and starts anew each day."""

    def __init__(self) -> None:
        self._at = moment("2031-01-01 00:00").astimezone(UTC)
        self._up = 0.0
        self._starts = 0

    def now(self) -> datetime:
        """Wall time, with the offset of its season."""
        summer = moment((self._at + timedelta(hours=1)).replace(tzinfo=None).isoformat(sep=" "))
        return summer if summer == self._at else self._at.astimezone(timezone(timedelta(0)))

    def up(self) -> float:
        """Seconds since the start."""
        return self._up

    @property
    def boot(self) -> str:
        """Which start."""
        return hashlib.sha256(f"sample start {self._starts}".encode()).hexdigest()[:12]

    def start(self, at: datetime) -> None:
        """Starts the machine anew."""
        assert at >= self._at, f"{at} is before {self._at}"
        self._at, self._up, self._starts = at.astimezone(UTC), 40.0, self._starts + 1

    def go_to(self, at: datetime) -> None:
        """Lets both clocks go on to a moment."""
        self.wait((at - self._at).total_seconds())

    def wait(self, seconds: float) -> None:
        """Lets both clocks go on."""
        assert seconds >= 0.0, f"{seconds} s back from {self.now()}"
        self._at += timedelta(seconds=seconds)
        self._up += seconds

    def put_right(self, seconds: float) -> None:
        """A time server moves the wall clock alone."""
        self._at += timedelta(seconds=seconds)


class HastyDisk(RealDisk):
    """The real disk, never waited for."""

    def fsync(self, fd: int) -> None:
        """Nothing."""

    def fsync_folder(self, path: Path) -> None:
        """Nothing."""


class Log:
    """The journal of the story: one device, one session a day at the water."""

    def __init__(self, root: Path) -> None:
        self.home = Home(root)
        self.clock = StoryClock()
        self.dice = random.Random(2031)
        self._ids = Ids(random_bits=random.Random(316).getrandbits)
        self._journal: Journal | None = None
        self.last: dict[tuple[str | None, str], str] = {}
        """The newest event of each boat and kind."""
        self.marks: list[tuple[str | None, str]] = []
        """Run and id of every mark."""
        self.ended: dict[str, object] = {}
        """Data of the newest end of a run."""

    def session(self, at: str) -> None:
        """The program is started: each file it writes then begins with a `log.opened`."""
        self.close()
        self.clock.start(moment(at))
        self._journal = Journal(
            self.home, "laptop", clock=self.clock, ids=self._ids, disk=HastyDisk(), by="operator"
        )

    def close(self) -> None:
        """The program is closed."""
        if self._journal is not None:
            assert self._journal.take_notices() == []
            self._journal.close()
            self._journal = None

    def at(self, text: str) -> None:
        """The clock goes on to a moment, ``2031-05-18 09:30``, or ``09:30`` of the same day."""
        if len(text) <= 8:
            text = f"{self.clock.now().date()} {text}"
        self.clock.go_to(moment(text))

    def wait(self, minutes: float) -> None:
        """The clock goes on by some minutes."""
        self.clock.wait(round(60.0 * minutes))

    def put(
        self,
        what: str,
        data: Data,
        boat: str | None = None,
        run: str | None = None,
        happened: str | None = None,
    ) -> str:
        """Appends one event, a second or more after the one before; returns its id."""
        assert self._journal is not None
        self.clock.wait(1.0)
        kept = self._journal.append(what, dict(data), boat=boat, run=run, happened=happened)
        self.last[boat, what] = kept.id
        if what == "mark":
            self.marks.append((run, kept.id))
        return kept.id


@contextmanager
def written(root: Path) -> Iterator[Log]:
    """A log to write into an empty folder; locks and whatever is no journal are gone afterwards."""
    with mock.patch.object(writing, "__version__", PROGRAM):
        log = Log(root)
        try:
            yield log
        finally:
            log.close()
    for lock in root.glob("logbook/.*"):
        lock.unlink()


def num(si: float, u95: float, typed: str, how: str = "") -> dict[str, object]:
    """A number as events hold it, with its text as typed."""
    found: dict[str, object] = {"si": float(f"{si:.6g}"), "u95": float(f"{u95:.3g}"), "typed": typed}
    return found | ({"how": how} if how else {})


def volts(value: float) -> dict[str, object]:
    """Volts by the small voltmeter: half a percent."""
    return num(value, 0.005 * value, f"{value:.2f} V", "small voltmeter")


def celsius(value: float, u95: float = 0.5) -> dict[str, object]:
    """A temperature."""
    return num(value + 273.15, u95, f"{value:g} degC")


def metres(value: float, u95: float, how: str = "") -> dict[str, object]:
    """A length."""
    return num(value, u95, f"{value:g} m", how)


def millimetres(value: float, u95: float = 1.0) -> dict[str, object]:
    """A length by the steel rule."""
    return num(value / 1000, u95 / 1000, f"{value:g} mm", "steel rule")


def seconds(value: float) -> dict[str, object]:
    """A time by the stopwatch key."""
    return num(value, 0.3, f"{value:g} s", "stopwatch")


def minutes(value: float) -> dict[str, object]:
    """A time of the plan."""
    return num(60 * value, 0.0, f"{value:g} min")


def grams(value: float, u95: float = 1.0) -> dict[str, object]:
    """A mass."""
    return num(value / 1000, u95 / 1000, f"{value:g} g", "letter scales")


def ampere_hours(value: float) -> dict[str, object]:
    """A charge by the charger's counter: one part in twenty."""
    return num(3600 * value, 0.05 * 3600 * value, f"{value:g} A h", "charger")


def amperes(value: float) -> dict[str, object]:
    """A current by the clip-on meter."""
    return num(value, max(0.02 * value, 0.006), f"{value:g} A", "clip-on meter")


def millivolts(value: float) -> dict[str, object]:
    """A drop across a joint."""
    return num(value / 1000, 0.0006, f"{value:g} mV", "small voltmeter")
