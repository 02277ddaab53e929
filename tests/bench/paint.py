"""First paint through a pty: from fork to the marker's bytes on the terminal."""

from __future__ import annotations

import os
import pty
import select
import signal
import struct
import sys
import termios
import time
from collections.abc import Sequence
from fcntl import ioctl

EMPTY = """
from textual.app import App
from textual.widgets import Static
class Empty(App):
    def compose(self):
        yield Static("MARKER")
Empty().run(mouse=False)
"""


def first_paint(argv: Sequence[str], marker: bytes, environ: dict[str, str], limit: float = 30.0) -> float:
    """Seconds from fork until ``marker`` is on the terminal; the process is then killed."""
    start = time.perf_counter()
    pid, fd = pty.fork()
    if pid == 0:
        os.execvpe(argv[0], list(argv), environ)
    ioctl(fd, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
    seen = b""
    try:
        while time.perf_counter() - start < limit:
            ready, _, _ = select.select([fd], [], [], 1.0)
            if not ready:
                continue
            try:
                seen += os.read(fd, 65536)
            except OSError:
                break
            if marker in seen:
                return time.perf_counter() - start
        raise AssertionError(f"{marker!r} never came; saw {seen[-400:]!r}")
    finally:
        os.kill(pid, signal.SIGKILL)
        os.waitpid(pid, 0)
        os.close(fd)


def surroundings(**more: str) -> dict[str, str]:
    """An environment that draws the same on every machine."""
    keep = {k: v for k, v in os.environ.items() if k in ("PATH", "HOME", "LANG", "VIRTUAL_ENV", "PYTHONPATH")}
    return {
        **keep,
        "TERM": "xterm-256color",
        "COLORTERM": "truecolor",
        "LC_ALL": "C.UTF-8",
        "TZ": "UTC",
        **more,
    }


def interleaved(
    candidates: dict[str, tuple[Sequence[str], bytes, dict[str, str]]], rounds: int
) -> dict[str, float]:
    """Least time of each candidate, taken in turn (A B A B …) so that the machine's mood falls on all alike."""
    best = dict.fromkeys(candidates, float("inf"))
    for _ in range(rounds):
        for name, (argv, marker, environ) in candidates.items():
            best[name] = min(best[name], first_paint(argv, marker, environ))
    return best


PYTHON = sys.executable
