"""How many modules each entry point loads, and how long it takes against an interpreter that does nothing.

Run by hand, nothing beside it: ``.venv/bin/python tests/bench/cold_start.py [rounds]``. Candidates are taken in turn, the
least of each counts; the ratio is to ``python -c pass``. What must stay out is proved by ``tests/test_imports.py``.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time

from divelog.home import data_folder

ENTRIES = {
    "nothing": "pass",
    "the framework": "import textual.app",
    "the frame of the screens": "import divelog.cli, divelog.commands.screens, divelog.app.application",
    "every page of the screens": "import divelog.app.application, divelog.app.places",
    **{
        f"divelog {words}": f"from divelog.cli import main; main({words.split()!r})"
        for words in (
            "--version", "where", "units", "keys", "limits tansy", "next tansy", "proofs tansy", "due tansy",
            "runs tansy", "verify", "rehearse tansy",
        )
    },
}  # fmt: skip
_RUN = """
import contextlib, io, sys
with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
    try:
        exec(sys.argv.pop())
    except SystemExit:
        pass
print(len(sys.modules))
"""


def main(rounds: int) -> None:
    """Measure and print the table."""
    environ = {**os.environ, "DIVELOG_HOME": str(data_folder("sample_boats"))}
    best = dict.fromkeys(ENTRIES, float("inf"))
    modules = dict.fromkeys(ENTRIES, 0)
    for _ in range(rounds):
        for name, code in ENTRIES.items():
            start = time.perf_counter()
            done = subprocess.run(
                [sys.executable, "-c", _RUN, code], capture_output=True, text=True, env=environ
            )
            best[name] = min(best[name], time.perf_counter() - start)
            if done.returncode:
                sys.exit(f"{name}: {done.stderr.strip().splitlines()[-1]}")
            modules[name] = int(done.stdout)
    for name in ENTRIES:
        print(f"{name:<28}{modules[name]:>6} modules  {best[name] / best['nothing']:>6.1f}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 7)
