"""A home with the sample boats, a clock that stands still, and the whole shell of pages on top: for tests of screens.

Nothing here draws a terminal. A test presses keys on the shell and reads its page:

    def test_mark(shell, press, page):
        press("4", "enter", "space")
        assert "Marks" in page().text()
"""

from __future__ import annotations

import importlib.util
import os
import shutil
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path
from types import ModuleType

import pytest

from divelog.app.desk import Desk
from divelog.app.look.layout import STANDARD, Layout
from divelog.app.look.page import Page
from divelog.app.places import EXTRAS, MAKERS
from divelog.app.shell import Shell
from divelog.clock import FixedClock
from divelog.home import Home
from divelog.journal.writing import Journal
from divelog.session.session import Session
from divelog.session.shelf import read_shelf

MORNING = datetime.fromisoformat("2032-05-04T08:04:00+01:00")
SAMPLES = Path(__file__).resolve().parents[2] / "sample_boats"
GOLDEN = Path(__file__).with_name("golden")
WORKED = Path(__file__).resolve().parents[1] / "data" / "worked_journal.jsonl"


@pytest.fixture
def home(tmp_path: Path) -> Home:
    """A copy of the sample boats with an empty logbook; ``worked`` puts Tansy's worked journal in."""
    root = tmp_path / "home"
    shutil.copytree(SAMPLES, root, ignore=shutil.ignore_patterns("logbook"))
    return Home(root)


@pytest.fixture
def worked(home: Home) -> Home:
    """The home with the worked journal of Tansy in her folder."""
    folder = home.journal_folder("tansy")
    folder.mkdir(parents=True)
    lines = WORKED.read_bytes().splitlines(keepends=True)
    (folder / "before.jsonl").write_bytes(b"".join(line for line in lines if b'"boat":"tansy"' in line))
    kit = home.journal_folder(None)
    kit.mkdir(parents=True)
    (kit / "before.jsonl").write_bytes(b"".join(line for line in lines if b'"boat":"tansy"' not in line))
    return home


@pytest.fixture
def clock() -> FixedClock:
    """The morning of 4 May 2032, 08:04."""
    return FixedClock(MORNING)


@pytest.fixture
def journal(home: Home, clock: FixedClock) -> Iterator[Journal]:
    """The logbook of that home, open for writing."""
    with Journal(home, device="laptop", clock=clock) as opened:
        yield opened


@pytest.fixture
def session(home: Home, clock: FixedClock, journal: Journal) -> Session:
    """The home in use."""
    return Session(home, clock, read_shelf(home), journal)


@pytest.fixture
def desk(session: Session) -> Desk:
    """Tansy in hand, the date confirmed."""
    made = Desk(session, "tansy")
    made.date_said = MORNING.date()
    return made


@pytest.fixture
def shell(desk: Desk) -> Shell:
    """All pages, Boats in front."""
    return Shell(desk, MAKERS, EXTRAS)


@pytest.fixture
def press(shell: Shell) -> Callable[..., None]:
    """Press keys, one after another; a longer word that is no name of a key is typed letter by letter."""
    names = {
        "enter", "space", "backspace", "escape", "up", "down", "left", "right", "pageup", "pagedown", "home",
        "end", "tab",
    }  # fmt: skip

    def pressed(*keys: str) -> None:
        for key in keys:
            if key in names or len(key) == 1:
                shell.press(key)
            else:
                for letter in key:
                    shell.press("space" if letter == " " else letter)

    return pressed


@pytest.fixture
def page(shell: Shell) -> Callable[..., Page]:
    """The page in front, at 80 x 24 or in another layout."""

    def drawn(layout: Layout = STANDARD) -> Page:
        return shell.draw(layout)

    return drawn


@pytest.fixture(scope="session")
def look() -> ModuleType:
    """The checks every page passes."""
    spec = importlib.util.spec_from_file_location("look_checks", Path(__file__).with_name("look_checks.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def golden() -> Callable[[str, Page], None]:
    """Compare a page with its kept text, exactly. ``DIVELOG_GOLDEN=write`` writes it, to be looked at by a person."""

    def compare(name: str, drawn: Page) -> None:
        path = GOLDEN / f"{name}.txt"
        text = drawn.text().rstrip("\n") + "\n"
        if os.environ.get("DIVELOG_GOLDEN") == "write":
            path.parent.mkdir(exist_ok=True)
            path.write_text(text, encoding="utf-8")
        assert path.exists(), f"no golden text {path.name} yet"
        assert text == path.read_text(encoding="utf-8")

    return compare
