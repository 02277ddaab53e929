"""A pseudo-terminal with the real program in it: keys in, raw bytes out, and how the terminal was left."""

from __future__ import annotations

import contextlib
import os
import select
import signal
import struct
import subprocess
import sys
import time
from collections.abc import Sequence
from pathlib import Path

ROOT = Path(__file__).parents[2]
PATIENCE = 60.0
"""Seconds before a test gives up waiting; nothing is concluded from how long anything took."""


class Terminal:
    """A terminal of 80 x 24 with a program as its session leader. Use as a context; what still runs is killed."""

    def __init__(self, argv: Sequence[str], *, leader: bool = True, **environ: str) -> None:
        import fcntl
        import pty
        import termios

        self.ours, theirs = pty.openpty()
        fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        self.name = os.ttyname(theirs)
        self.before = termios.tcgetattr(theirs)
        keep = {k: v for k, v in os.environ.items() if k in ("PATH", "HOME", "LANG")}
        keep |= {
            "TERM": "xterm-256color",
            "LC_ALL": "C.UTF-8",
            "TZ": "UTC",
            "PYTHONPATH": str(ROOT),
            **environ,
        }
        keep["COLUMNS"], keep["LINES"] = "80", "24"
        self.theirs = (
            theirs  # held open, so that the terminal outlives the program and can be asked how it was left
        )
        self.child = subprocess.Popen(
            list(argv),
            stdin=theirs,
            stdout=theirs,
            stderr=theirs,
            env=keep,
            close_fds=True,
            start_new_session=leader,
            preexec_fn=_own_terminal if leader else None,
        )
        self.got = b""

    def __enter__(self) -> Terminal:
        return self

    def __exit__(self, *_: object) -> None:
        if self.child.poll() is None:
            self.child.kill()
        self.child.wait(timeout=PATIENCE)
        for fd in (self.ours, self.theirs):
            with contextlib.suppress(OSError):
                os.close(fd)

    def read(self, wait: float = 0.2) -> bytes:
        """What comes next, or nothing."""
        ready, _, _ = select.select([self.ours], [], [], wait)
        if not ready:
            return b""
        try:
            piece = os.read(self.ours, 65536)
        except OSError:
            return b""
        self.got += piece
        return piece

    def until(self, *marks: bytes) -> bytes:
        """Read on until all marks came since the call; returns what came since."""
        start, end = len(self.got), time.monotonic() + PATIENCE
        while not all(mark in self.got[start:] for mark in marks):
            if not self.read() and self.child.poll() is not None:
                break
            assert time.monotonic() < end, (marks, self.got[-2000:])
        missing = [mark for mark in marks if mark not in self.got[start:]]
        assert not missing, (missing, self.got[-3000:])
        return self.got[start:]

    def quiet(self) -> bytes:
        """Read on until nothing comes for a while."""
        start = len(self.got)
        while self.read(0.25):
            pass
        return self.got[start:]

    def press(self, keys: bytes) -> None:
        """Type some keys."""
        os.write(self.ours, keys)

    def signal(self, number: int) -> None:
        """Send the program a signal."""
        os.kill(self.child.pid, number)

    def ended(self) -> int:
        """Wait for the end, reading on; the exit code (negative: killed by that signal)."""
        end = time.monotonic() + PATIENCE
        while self.child.poll() is None:
            self.read()
            assert time.monotonic() < end, self.got[-2000:]
        self.quiet()
        return int(self.child.returncode)

    def left_as_found(self) -> bool:
        """Whether the modes of the terminal are as they were before the program."""
        import termios

        return termios.tcgetattr(self.theirs) == self.before


def _own_terminal() -> None:
    import fcntl
    import termios

    fcntl.ioctl(0, termios.TIOCSCTTY, 0)
    signal.signal(signal.SIGTSTP, signal.SIG_DFL)


def program(*words: str) -> list[str]:
    """The command line of the program as it stands here."""
    return [sys.executable, "-m", "divelog", *words]
