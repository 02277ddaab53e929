"""What a call must not import: proved in a subprocess, since a static graph cannot see a deferred import."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from divelog.home import data_folder

CASES = {
    "limits need no screens": (
        "import divelog.limits.catalogue, divelog.session.session",
        ("textual", "pint", "numpy", "jinja2"),
    ),
    "the first paint needs no limits": (
        "import divelog.cli, divelog.commands.screens, divelog.app.application",
        (
            "divelog.limits",
            "divelog.profiles",
            "divelog.journal",
            "msgspec",
            "pint",
            "numpy",
            "jinja2",
            "platformdirs",
        ),
    ),
    "physics stands alone": (
        "import divelog.physics.water, divelog.physics.motion",
        ("msgspec", "textual", "divelog.profiles"),
    ),
    "the command line starts bare": (
        "import divelog.cli",
        ("textual", "msgspec", "divelog.limits", "divelog.journal"),
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_stays_out(name):
    imports, barred = CASES[name]
    code = f"import sys; {imports}; print(*sorted(m for m in sys.modules if m.split('.')[0] in {barred!r} or m in {barred!r}))"
    found = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    ).stdout.split()
    # platformdirs comes with the framework itself
    assert [m for m in found if not (m.startswith("platformdirs") and "textual" not in barred)] == []


ALWAYS_OUT = ("pint", "jinja2", "sqlite3", "csv", "zipfile", "numpy", "scipy", "textual", "asyncio")
"""What no plain command needs; a sheet of paper, a bundle or an export each loads its own."""

BARE = ("msgspec", "divelog.limits", "divelog.session", "divelog.journal", "rich")
COMMANDS = {
    "--version": BARE,
    "--help": BARE,
    "where": ("msgspec", "rich", "divelog.limits", "divelog.journal", "divelog.app"),
    "completion bash": BARE,
    "units": ("rich", "divelog.app", "divelog.papers"),
    "keys": ("rich", "divelog.app"),
    "explain depth.keel": ("rich", "divelog.app"),
    "limits tansy": ("rich", "divelog.app", "divelog.papers"),
    "limits tansy --json": ("rich", "divelog.app", "divelog.papers"),
    "next tansy": ("rich", "divelog.app", "divelog.papers"),
    "proofs tansy": ("rich", "divelog.app"),
    "due tansy": ("rich", "divelog.app"),
    "wear tansy radio.check_paces": ("rich", "divelog.app"),
    "runs tansy": ("rich", "divelog.app"),
    "verify": ("rich", "divelog.app"),
    "rehearse tansy": ("divelog.papers",),
}
_RUN = """
import contextlib, io, sys
from divelog.cli import main
with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()) as told:
    try:
        code = main(sys.argv[1:])
    except SystemExit as end:
        code = end.code
print(int(code or 0), *sorted(sys.modules))
"""


@pytest.mark.parametrize("words", COMMANDS)
def test_a_command_loads_no_more_than_it_needs(words, tmp_path):
    home = data_folder("sample_boats")
    found = subprocess.run(
        [sys.executable, "-c", _RUN, *words.split()],
        capture_output=True, text=True, check=True, cwd=tmp_path,
        env={**os.environ, "DIVELOG_HOME": str(home), "PYTHONDONTWRITEBYTECODE": "1"},
    ).stdout.split()  # fmt: skip
    code, modules = int(found[0]), found[1:]
    assert code in (0, 1), "the command did not do its work"
    barred = (*ALWAYS_OUT, *COMMANDS[words])
    assert [m for m in modules if any(m == b or m.startswith(f"{b}.") for b in barred)] == []


_PAINT = """
import sys
from divelog.app.application import Divelog
from divelog.commands import screens
first = []
def opening():
    first.extend(sys.modules)
    from datetime import datetime
    from pathlib import Path
    from divelog.app.desk import Desk
    from divelog.app.places import EXTRAS, MAKERS
    from divelog.app.shell import Shell
    from divelog.clock import FixedClock
    from divelog.home import Home
    from divelog.session.session import Session
    clock = FixedClock(datetime.fromisoformat("2032-05-04T08:04:00+01:00"))
    desk = Desk(Session.reading(Home(Path(sys.argv[1])), clock), "tansy")
    app.set_timer(0.05, lambda: app.exit(0))
    return Shell(desk, MAKERS, EXTRAS)
app = Divelog(opening=opening)
app.run(headless=True, mouse=False)
print(app.shell.draw_text(), file=sys.stderr)
print(" ".join(sorted(first)))
print(" ".join(sorted(sys.modules)))
"""


def test_the_frame_is_painted_before_anything_is_read():
    done = subprocess.run(
        [sys.executable, "-c", _PAINT, str(data_folder("sample_boats"))],
        capture_output=True,
        text=True,
        check=True,
    )
    assert "Tansy" in done.stderr or "TANSY" in done.stderr
    first, after = (set(line.split()) for line in done.stdout.splitlines()[-2:])
    never = {"pint", "jinja2", "sqlite3", "csv", "numpy", "scipy", "divelog.papers.templates"}
    assert not first & (never | {"msgspec", "divelog.limits", "divelog.journal", "divelog.profiles"})
    assert {"msgspec", "divelog.limits", "divelog.journal"} <= after
    assert not after & never
