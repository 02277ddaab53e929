"""What verbs over the log share: the boat that was named, the reports of reading, the logbook to write into."""

from __future__ import annotations

from argparse import Namespace

from divelog.commands.out import tell
from divelog.exits import CallError
from divelog.home import Home
from divelog.journal.loading import LoadedJournal
from divelog.journal.writing import Journal
from divelog.session.resolve import Named, NoSuchError, find_boat
from divelog.session.shelf import Shelf
from divelog.text import is_slug, shown


def boat_named(words: Namespace, name: str) -> Named:
    """The boat of that name or file; a wrong name is a wrong call."""
    try:
        return find_boat(name, words.where, words.home is not None)
    except NoSuchError as error:
        raise CallError(str(error)) from error


def tell_reports(log: LoadedJournal) -> None:
    """What reading the log found wrong, a line each."""
    for report in log.all_reports:
        tell(shown(str(report)))


def open_journal(home: Home, shelf: Shelf, words: Namespace) -> Journal:
    """The logbook of a home, to write into, as the device its settings name."""
    device = shelf.settings.text_at("device")
    return Journal(home, device=device if is_slug(device) else "laptop", clock=words.clock)
