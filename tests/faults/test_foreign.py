"""A stranger's boats, kit, sites, lists and log: nothing of theirs commands a terminal, a browser or a spreadsheet.

Every free text of every file carries a payload (`foreign.PAYLOADS`); every page is drawn, every paper made, every command
run, and the bytes the real program sends to a real pseudo-terminal are read.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from datetime import datetime
from html.parser import HTMLParser
from pathlib import Path

import pytest
from foreign import PAYLOADS, harm_in, hostile_home
from roaming import every_spot, roam

from divelog.app.desk import Desk
from divelog.app.look.page import Page
from divelog.app.places import EXTRAS, MAKERS
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.cli import main
from divelog.clock import FixedClock
from divelog.home import Home
from divelog.journal.loading import load
from divelog.journal.writing import Journal
from divelog.session.session import Session
from divelog.session.shelf import read_shelf

POINTER = b"\x1b]22;default\x07"
"""The driver's own word about the mouse pointer, the only one of its kind."""

MORNING = datetime.fromisoformat("2032-05-04T08:04:00+01:00")


@pytest.fixture(scope="module")
def foreign(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A home full of harm."""
    return hostile_home(tmp_path_factory.mktemp("foreign") / "home")


@pytest.fixture
def shell(foreign: Path, tmp_path: Path) -> Iterator[Shell]:
    """All pages over a copy of that home."""
    import shutil

    root = tmp_path / "home"
    shutil.copytree(foreign, root)
    clock = FixedClock(MORNING)
    with Journal(Home(root), device="laptop-9", clock=clock) as journal:
        desk = Desk(Session(Home(root), clock, read_shelf(Home(root)), journal), "tansy")
        desk.date_said = MORNING.date()
        yield Shell(desk, MAKERS, EXTRAS)


def test_the_harm_is_there_and_every_file_is_whole(foreign: Path) -> None:
    """Otherwise what follows would prove nothing."""
    home = Home(foreign)
    shelf = read_shelf(home)
    assert sorted(shelf.boats) == ["bramble", "bulrush", "juniper", "tansy"]
    assert [d.faults for d in (*shelf.boats.values(), *shelf.sites.values(), shelf.kit) if d.faults] == []
    assert load(home, "tansy").reports == ()
    texts = "".join(
        text for slug in shelf.boats for event in load(home, slug).events for text in _texts(event.payload())
    )
    assert [payload for payload in PAYLOADS if payload not in texts] == []


def _texts(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for one in (*value, *value.values()):
            yield from _texts(one)
    elif isinstance(value, list):
        for one in value:
            yield from _texts(one)


def look_for_harm(spot: Spot, page: Page) -> None:
    """No character of a page that could do anything but stand there."""
    for span in page.spans if hasattr(page, "spans") else ():
        assert harm_in(span.text, "") == [], (type(spot).__name__, span.text)
    assert harm_in(page.text()) == [], type(spot).__name__


def roamed(shell: Shell, seeds: range, keys: int) -> set[str]:
    """Pages seen while somebody presses any key."""
    clock = shell.desk.session.clock
    assert isinstance(clock, FixedClock)
    seen: set[str] = set()
    for seed in seeds:
        seen |= roam(shell, look_for_harm, seed, keys, advance=clock.advance)
    return seen


def test_no_page_draws_what_they_wrote(shell: Shell) -> None:
    seen = roamed(shell, range(1), 14)
    assert len(seen) >= 20, sorted(every_spot() - seen)


@pytest.mark.nightly
def test_no_page_at_all_draws_what_they_wrote(shell: Shell) -> None:
    seen = roamed(shell, range(1, 9), 60)
    assert len(every_spot() - seen) <= 18, sorted(every_spot() - seen)


COMMANDS = [
    ("limits", "tansy", "--why"), ("limits", "juniper", "--json"), ("next", "bulrush"), ("proofs",), ("due",), ("wear",),
    ("defects", "--all"), ("runs",), ("runs", "juniper", "--json"), ("examine", "boats"), ("where",),
    ("rehearse", "tansy"), ("sheet", "tansy", "--plain"),
]  # fmt: skip


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_no_command_prints_what_they_wrote(
    foreign: Path, words: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    if words[0] == "examine":
        words = ("examine", *(str(path) for path in sorted((foreign / words[1]).glob("*.toml"))))
    code = main(["--home", str(foreign), *words])
    out, err = capsys.readouterr()
    assert code in (0, 1, 2, 3), err
    assert out or err
    # Data keep their marks, which only a page could pile up.
    assert [one for one in harm_in(out) if "--json" not in words or one != "a pile of marks"] == []
    assert harm_in(err) == []


class _Tags(HTMLParser):
    """Which elements a browser would make, and where their addresses lead."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.bad: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.bad += [
            f"{tag} {n}={v}" for n, v in attrs if n.startswith("on") or n in ("src", "href", "action")
        ]


KINDS = ("run", "list", "trouble", "tag", "papers", "commissioning")


@pytest.mark.parametrize("kind", KINDS)
def test_no_paper_holds_an_element_or_an_address_of_theirs(
    foreign: Path, kind: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for ending in (".txt", ".html"):
        made = tmp_path / f"paper{ending}"
        code = main(["--home", str(foreign), "sheet", "tansy", kind, "-o", str(made)])
        out, err = capsys.readouterr()
        assert code == 0, err
        assert harm_in(out + err) == []
        text = made.read_text(encoding="utf-8")
        assert harm_in(text, "\n\f") == []
        if ending == ".html":
            page = _Tags()
            page.feed(text)
            assert page.bad == []
            assert not page.tags & {"script", "img", "a", "iframe", "object", "form"}


def test_no_export_holds_a_formula_or_a_control_character(
    foreign: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    cells = 0
    for kind in ("csv", "events-csv"):
        table = tmp_path / f"{kind}.csv"
        code = main(["--home", str(foreign), "export", "all", "--as", kind, "-o", str(table)])
        assert code == 0, capsys.readouterr().err
        for row in csv.reader(io.StringIO(table.read_text(encoding="utf-8"))):
            for cell in row:
                cells += 1
                assert [one for one in harm_in(cell) if one != "a pile of marks"] == [], cell
                assert not re.match(r"\s*[=@\t]|\s*[+-](?![\d.])", cell), cell
    assert cells > 1000


def test_the_terminal_gets_only_what_the_driver_sends(foreign: Path, tmp_path: Path) -> None:
    """Raw bytes of the real program on a real pseudo-terminal: no title, no clipboard, no link, no bell, no C1."""
    pytest.importorskip("pty")
    import shutil

    from terminal import Terminal, program

    root = tmp_path / "home"
    shutil.copytree(foreign, root)
    with Terminal(program("--home", str(root))) as at:
        at.until(b"new boat")
        for key in (
            b"\r",
            b"4",
            b"\x1b",
            b"\x1b",
            b"5",
            b"\r",
            b"\x1b",
            b"\x1b",
            b"6",
            b"\x1b",
            b"\x1b",
            b"1",
            b"x",
            b"\x1b",
            b"k",
        ):
            at.press(key)
            at.quiet()
        sent = at.got.replace(POINTER, b"")
        at.press(b"\x03")
        at.quiet()
        at.press(b"\x03")
        at.ended()
    assert b"owned" in sent or b"red" in sent  # their words are shown, as words
    for start in (
        b"\x1b]",
        b"\x1bP",
        b"\x1b_",
        b"\x1b^",
        b"\x07",
        b"\xc2\x9b",
        b"\xc2\x9d",
        b"\xc2\x90",
        b"\x1b[2J\x1b[31;5m",
    ):
        assert start not in sent, sent[sent.find(start) - 20 : sent.find(start) + 60]
    kinds = {one.decode() for one in re.findall(rb"\x1b\[[?>=]?[\d;:]*[$ ]?([@-~])", sent)}
    assert kinds <= set("HmhlJKnutcp"), kinds
    text = re.sub(rb"\x1b\[[?>=]?[\d;:]*[ -/]*[@-~]", b"", sent).decode("utf-8", "replace")
    assert [one for one in harm_in(text, "\n\r\x1b") if one != "a pile of marks"] == []
