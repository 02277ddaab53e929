"""Every screen as a picture, at three sizes: painted by the real application, kept as SVG, compared as text.

``DIVELOG_PICTURES=write`` draws them anew: then look at them.
"""

from __future__ import annotations

import importlib.util
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from divelog.app.application import Divelog
from divelog.app.look.layout import Place
from divelog.app.shell import Shell

_spec = importlib.util.spec_from_file_location("drawing", Path(__file__).with_name("drawing.py"))
drawing = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(drawing)

FOLDER = Path(__file__).with_name("pictures")
SIZES = {"80x24": (80, 24), "60x20": (60, 20), "120x40": (120, 40)}

Walk = Callable[[Shell], None]


def keys(shell: Shell, *pressed: str) -> None:
    for word in pressed:
        for key in [word] if len(word) == 1 or word in ("enter", "escape", "space", "down", "up") else word:
            shell.press(key)


def day(shell: Shell) -> None:
    """The day and Tansy's plan, typed."""
    shell.go(Place.LIMITS)
    sites = [s for s, d in shell.desk.session.shelf.sites.items() if not d.faults]
    keys(shell, str(sites.index("withy-pond") + 1), "11", "enter", "3", "1.1", "enter", "16", "enter")
    keys(shell, "1", "0.7", "enter", "35", "enter", "40", "enter")


def boats(shell: Shell) -> None:
    shell.desk.date_said = None
    shell.go(Place.BOATS)


def limits(shell: Shell) -> None:
    day(shell)


def why(shell: Shell) -> None:
    day(shell)
    keys(shell, "2")


def every(shell: Shell) -> None:
    day(shell)
    keys(shell, "e")


def typing_the_day(shell: Shell) -> None:
    shell.go(Place.LIMITS)
    sites = [s for s, d in shell.desk.session.shelf.sites.items() if not d.faults]
    keys(shell, str(sites.index("withy-pond") + 1), "11", "enter")


def the_keys(shell: Shell) -> None:
    keys(shell, "?")


PICTURES: dict[str, Walk] = {
    "boats": boats,
    "limits": limits,
    "why": why,
    "every-limit": every,
    "day": typing_the_day,
    "keys": the_keys,
}


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", PICTURES)
async def test_picture(name: str, size: str, shell: Shell, look) -> None:
    PICTURES[name](shell)
    app = Divelog(shell)
    async with app.run_test(size=SIZES[size]) as pilot:
        await pilot.pause()
        assert look.problems(app.canvas.page) == []
        drawn = drawing.svg(app.canvas.page)
    file = FOLDER / f"{name}-{size}.svg"
    if os.environ.get("DIVELOG_PICTURES") == "write":
        FOLDER.mkdir(exist_ok=True)
        file.write_text(drawn, encoding="utf-8")
    assert file.exists(), f"no picture {file.name} yet: draw it with DIVELOG_PICTURES=write, then look at it"
    assert drawn == file.read_text(encoding="utf-8"), (
        f"{file.name} has changed: draw it anew, then look at it"
    )
