"""The demo: a throw-away copy of the sample boats, on the morning their logbook ends."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from pathlib import Path

from divelog.clock import Clock
from divelog.home import Home, data_folder

MORNING = datetime.fromisoformat("2032-05-04T08:04:00+01:00")
"""The sample logbook ends minutes before: with the clock of the machine every proof would be years old."""


class DemoClock:
    """The machine's clock, moved so that the demo starts on the sample logbook's next morning."""

    def __init__(self, real: Clock, start: datetime = MORNING) -> None:
        self._real = real
        self._start = start
        self._up = real.up()

    def now(self) -> datetime:
        """The moved moment."""
        return self._start + timedelta(seconds=self._real.up() - self._up)

    def up(self) -> float:
        """Seconds of the clock that counts sleep, unmoved."""
        return self._real.up()

    @property
    def boot(self) -> str:
        """Which start of the machine."""
        return self._real.boot


@contextmanager
def demo_home() -> Iterator[Home]:
    """A copy of the sample boats that is gone afterwards."""
    folder = Path(tempfile.mkdtemp(prefix="divelog-demo-"))
    try:
        shutil.copytree(data_folder("sample_boats"), folder / "home")
        yield Home(folder / "home")
    finally:
        shutil.rmtree(folder, ignore_errors=True)
