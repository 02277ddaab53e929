"""Made readings of an instrument, for tests: an outing of four dives as rows of plain text, and a run they belong to."""

from __future__ import annotations

import functools
import math
import threading
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from divelog.app.look.layout import Place
from divelog.app.shell import Shell
from divelog.clock import FixedClock
from divelog.files import RealDisk
from divelog.session.mapping_files import save_mapping
from divelog.session.telemetry import CHUNK, attach, run_named

MAPPING = (Path(__file__).parents[1] / "data" / "logger.toml").read_bytes()
HEAD = b"t,depth,volts,current\n"
LAUNCH = datetime.fromisoformat("2032-05-04T08:41:00+01:00")
GAP = (1500.0, 1620.0)
LIMITS = {"minutes": 47.0, "keel": 0.8, "volts": 7.0, "aerial": 0.9}


def depth_at(t: float) -> float:
    """Metres: dives of five minutes, each a little deeper, the last one to 0.94 m."""
    dive, phase = divmod(t, 600.0)
    deep = (0.45, 0.62, 0.7, 0.94)[min(int(dive), 3)]
    down = min(max((phase - 120.0) / 40.0, 0.0), 1.0) * min(max((480.0 - phase) / 60.0, 0.0), 1.0)
    return max(0.02, deep * down + 0.015 * math.sin(t / 7.0))


def row(t: float) -> bytes:
    """One row; she draws 2 A on top and 3 A below."""
    amps = 3.0 if depth_at(t) > 0.2 else 2.0
    volts = 8.3 - t / 2400.0 * 0.5 - 0.1 * (amps - 2.0)
    return b"%.2f,%.3f,%.3f,%.2f\n" % (t, depth_at(t), volts, amps)


def outing(seconds: int = 2400, step: float = 1.0, gap: tuple[float, float] = GAP) -> Iterator[bytes]:
    """A whole file in chunks; nothing was written in the gap."""
    yield HEAD
    count = int(seconds / step)
    for first in range(0, count, 1000):
        times = (n * step for n in range(first, min(first + 1000, count)))
        yield b"".join(row(t) for t in times if not gap[0] <= t < gap[1])


def a_run(
    shell: Shell, clock: FixedClock, limits: dict[str, float] | None = None, launch: datetime = LAUNCH
) -> str:
    """Forty minutes of Tansy planned to 0.7 m: two marks, a lost signal, a touch of the bed. Its identifier."""
    desk = shell.desk
    desk.keep("plan.set", {"pack": "D2", "depth": {"si": 0.7, "u95": 0.05}}, slug="tansy")
    clock.advance((launch - clock.now()).total_seconds())
    start = desk.keep(
        "run.started", {"pack": "D2", "limits": LIMITS if limits is None else limits}, slug="tansy"
    )
    for seconds, what, data in (
        (300, "mark", {"kind": "glitch"}),
        (900, "signal", {"kind": "lost", "distance": {"si": 40.0}}),
        (1560, "mark", {"kind": None}),
        (2100, "incident", {"step": "touched bottom", "depth": {"si": 0.9, "u95": 0.1}}),
    ):
        clock.advance((launch - clock.now()).total_seconds() + seconds)
        desk.keep(what, data, slug="tansy", run=start.id)
    clock.advance((launch - clock.now()).total_seconds() + 2400)
    ended = {"pack": "D2", "deepest": {"si": 0.7, "u95": 0.1, "how": "guessed"}, "reason": "plan"}
    desk.keep("run.ended", ended, slug="tansy", run=start.id)
    clock.advance(3600)
    return start.id


def join(shell: Shell, run: str, raw: bytes, *changes: tuple[str, str], name: str = "logger") -> None:
    """Join a file of those bytes to a run, read by the mapping of `MAPPING` with some of its words changed."""
    session, text = shell.desk.session, MAPPING.decode()
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    path = session.home.root.parent / f"{name}.csv"
    path.write_bytes(raw)
    attach(
        session, "tansy", run_named(session, "tansy", run), path, save_mapping(session, name, text.encode())
    )


def to_run(shell: Shell, run: str) -> None:
    """The page of a run of Tansy, by keys through the Log."""
    shell.go(Place.LOG)
    for _ in range(60):
        shell.press("enter")
        if getattr(getattr(shell.front, "event", None), "id", "") == run:
            return
        shell.press("escape")
        shell.press("down")
    raise AssertionError("the run is not in the Log")


def settled(shell: Shell) -> None:
    """Wait for the thread of the page in front and let the page take what it made."""
    front = shell.front
    for name in ("_worker", "_reading"):
        worker = getattr(front, name, None)
        if worker is not None:
            assert worker.wait(30)
    keeping = getattr(front, "_keeping", None)
    if keeping is not None:
        assert keeping[0].wait(30)
    shell.tick()


@functools.cache
def long_file() -> bytes:
    """50,000 rows of forty-one minutes."""
    return b"".join(outing(2500, 0.05, (0.0, 0.0)))


class SlowDisk(RealDisk):
    """A disk that gives one large piece of a file a permit, so that a test sees every moment of a long read."""

    def __init__(self) -> None:
        self.permits = threading.Semaphore(0)
        self.waiting = threading.Semaphore(0)
        self._free = False

    def read(self, fd: int, count: int) -> bytes:
        """Up to `count` bytes, once there is a permit."""
        if count >= CHUNK and not self._free:
            self.waiting.release()
            assert self.permits.acquire(timeout=30)
        return super().read(fd, count)

    def next(self) -> None:
        """Let one piece through and wait until the reader has done with it and wants another."""
        self.permits.release()
        assert self.waiting.acquire(timeout=30)

    def free(self) -> None:
        """No more waiting."""
        self._free = True
        self.permits.release(1000)
