"""Run as a program of its own by the tests: writes events, and is killed between two system calls.

kill_runner.py fork HOME SEED N...     for each N a child process that kills itself before its N-th call
kill_runner.py loop HOME               appends until somebody kills it, printing each identifier after it is kept
kill_runner.py count HOME N            appends N events, the second and later ones once told on standard input
kill_runner.py hold HOME               appends one event, says so, and waits with the lock in hand
kill_runner.py full HOME BYTES         appends under a limit of BYTES a file until it is refused
"""

from __future__ import annotations

import json
import os
import signal
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).parents[2]))

from fault_disks import Fault, FaultyDisk

from divelog.files import DISK, StorageError
from divelog.home import Home
from divelog.journal.writing import Journal, NotSavedError

BOATS = [None, "tansy", "tansy", "bulrush"]


class KillingDisk(FaultyDisk):
    """The real disk, until the n-th call kills this process."""

    def __init__(self, at: int) -> None:
        super().__init__(DISK)
        self._kill_at = at

    def _fault(self, name: str) -> Fault | None:
        if len(self.calls) == self._kill_at:
            os.kill(os.getpid(), signal.SIGKILL)
        return super()._fault(name)


def say(words: str) -> None:
    """One line out at once; a test may end us at any moment."""
    os.write(1, (words + "\n").encode())


def child(home: Path, at: int, out: int) -> None:
    with Journal(Home(home), disk=KillingDisk(at)) as journal:
        for number in range(8):
            event = journal.append("note", {"text": f"{at} {number}"}, boat=BOATS[number % len(BOATS)])
            os.write(out, (event.id + "\n").encode())


def fork(home: Path, numbers: list[int]) -> None:
    for number in numbers:
        place = home / str(number)
        inlet, outlet = os.pipe()
        pid = os.fork()
        if pid == 0:
            try:
                child(place, number, outlet)
            finally:
                os._exit(0)
        os.close(outlet)
        with os.fdopen(inlet) as pipe:
            kept = pipe.read().split()
        _, status = os.waitpid(pid, 0)
        killed = os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGKILL
        say(json.dumps({"home": str(place), "kept": kept, "killed": killed}))


def main() -> None:
    """Does what the first word says."""
    what, home = sys.argv[1], Path(sys.argv[2])
    if what == "fork":
        fork(home, [int(word) for word in sys.argv[3:]])
    elif what == "loop":
        with Journal(Home(home)) as journal:
            while True:
                say(journal.append("note", {"text": "x" * 200}, boat="tansy").id)
    elif what == "count":
        with Journal(Home(home)) as journal:
            for number in range(int(sys.argv[3])):
                if number == 1:  # all have their files before any goes on
                    sys.stdin.readline()
                say(journal.append("note", {"text": str(number)}, boat="tansy").id)
    elif what == "hold":
        with Journal(Home(home)) as journal:
            say(journal.append("note", {"text": "held"}, boat="tansy").id)
            signal.pause()
    elif what == "full":
        import resource

        size = int(sys.argv[3])
        resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))
        with Journal(Home(home)) as journal:
            try:
                while True:
                    say(journal.append("note", {"text": "y" * 120}, boat="tansy").id)
            except NotSavedError as error:
                say(f"refused {error.kind.value} {error.event.id}")
                try:
                    journal.again(error.event)
                except StorageError as once_more:
                    say(f"refused {once_more.kind.value}")


if __name__ == "__main__":
    main()
