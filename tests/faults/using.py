"""Everything that is made of a home, made once: limits, proofs, upkeep, papers, exports, pages."""

from __future__ import annotations

import random
from datetime import timedelta
from pathlib import Path

from fault_disks import MemoryDisk
from foreign import harm_in
from roaming import openings

from divelog.app.desk import Desk
from divelog.app.look.layout import SMALL, STANDARD
from divelog.app.places import EXTRAS, MAKERS
from divelog.app.shell import Shell
from divelog.clock import FixedClock
from divelog.files import Form
from divelog.history.folding import fold
from divelog.home import Home, data_folder
from divelog.journal.loading import load_all
from divelog.journal.writing import Journal
from divelog.papers.exports.database import database
from divelog.papers.exports.lines import event_lines
from divelog.papers.exports.rows import events_csv, runs_csv
from divelog.papers.sheets.html import as_html
from divelog.papers.sheets.text import as_text
from divelog.session.book import book_of
from divelog.session.papering import KINDS, gathered, paper
from divelog.session.session import Asked, Session
from divelog.session.shelf import read_shelf
from divelog.session.tending import tend

HOME = Home(Path("/home"))
BOAT = "tansy"


def empty_home() -> MemoryDisk:
    """The folders of a home, on a disk in memory."""
    disk = MemoryDisk()
    folders = (
        HOME.root,
        HOME.boats,
        HOME.sites,
        HOME.logbook,
        HOME.journal_folder(BOAT),
        HOME.journal_folder(None),
    )
    for folder in folders:
        disk.make_folder(folder)
    return disk


def sample_home() -> MemoryDisk:
    """The sample boats, sites and kit; no log."""
    disk = empty_home()
    samples = data_folder("sample_boats")
    for folder, target in (("boats", HOME.boats), ("sites", HOME.sites)):
        for path in sorted((samples / folder).iterdir()):
            disk.put(target / path.name, Form.FILE, path.read_bytes())
    disk.put(HOME.kit, Form.FILE, (samples / "kit.toml").read_bytes())
    return disk


def use(disk: MemoryDisk, seed: int) -> None:
    """Everything that is made of a home."""
    log = load_all(HOME, disk)
    newest = max((event.at for event in log.events if event.at.year < 2040), default=None)
    clock = FixedClock((newest or log.lines[0].at) + timedelta(minutes=5))
    shelf = read_shelf(HOME, disk)
    now = clock.now()
    with Journal(HOME, "bench", clock=clock, disk=disk) as journal:
        session = Session(HOME, clock, shelf, journal, disk)
        boat = shelf.boats[BOAT]
        asked = Asked(BOAT, boat, None, None, now)
        for limit in session.limits(asked):
            assert limit.title
        session.proofs(BOAT, boat, now)
        tend(session, BOAT, now)
        if not boat.faults and not shelf.kit.faults:
            given = gathered(session, BOAT, boat)
            for kind in KINDS:
                made = paper(kind, given)
                assert harm_in(as_text(made), "\n\f") == []
                as_html(made)
        book = book_of(session, tuple(shelf.boats), now, log)
        database(book)
        runs_csv((run, book.used.get(run.id)) for run in fold(log.events).runs)
        events_csv(log.events)
        assert all(line.isascii() for line in event_lines(log.events))
        pages(Shell(Desk(session), MAKERS, EXTRAS), seed)


def pages(shell: Shell, seed: int) -> None:
    pick = random.Random(seed)
    shell.desk.date_said = shell.desk.now().date()
    for way in openings(shell):
        shell.change_boat(BOAT)
        way()
        for key in ("", "enter", "down", pick.choice("123456789evkmrtng"), "enter"):
            if key:
                shell.press(key)
            shell.asked_to_leave = False
            assert harm_in(shell.draw(pick.choice((STANDARD, SMALL))).text()) == []
