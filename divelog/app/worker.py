"""Work that takes a while, done in a thread: the page in front stays alive, says how far it is, and can stop it."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Generic, TypeVar

from divelog.papers.telemetry.model import Progress
from divelog.papers.telemetry.reading import Tell

T = TypeVar("T")
AT_ONCE = 0.1
"""Seconds a page waits for work before it says that it is going on: most files are read by then."""


class Worker(Generic[T]):
    """One piece of work. It may look at files, never at the session's log: that belongs to the pages."""

    def __init__(self, work: Callable[[Tell], T], patience: float = AT_ONCE) -> None:
        self.progress = Progress(0, 0)
        self._work = work
        self._made: T | None = None
        self._wrong: Exception | None = None
        self._stop = threading.Event()
        self._done = threading.Event()
        # A daemon: leaving the program does not wait for a file that is only looked at.
        threading.Thread(target=self._run, name="divelog reads a file", daemon=True).start()
        self._done.wait(patience)

    def _run(self) -> None:
        try:
            self._made = self._work(self._tell)
        except Exception as error:  # whatever it is, the page that takes the result raises it
            self._wrong = error
        finally:
            self._done.set()

    def _tell(self, progress: Progress) -> bool:
        self.progress = progress
        return not self._stop.is_set()

    @property
    def done(self) -> bool:
        """Whether it has ended, well or not."""
        return self._done.is_set()

    def stop(self) -> None:
        """Ask it to stop at its next word of progress."""
        self._stop.set()

    def wait(self, seconds: float | None = None) -> bool:
        """Wait for its end; False where it goes on."""
        return self._done.wait(seconds)

    def take(self) -> T:
        """What it made; raises what it raised. Only once it is done."""
        assert self.done
        if self._wrong is not None:
            raise self._wrong
        assert self._made is not None
        return self._made
