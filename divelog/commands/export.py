"""``divelog export``: runs, events, or everything as one database, in a file other programs read."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from divelog.commands.named import boat_named, tell_reports
from divelog.commands.out import data, say, tell
from divelog.exits import CallError, Exit
from divelog.files import exists, write_atomic
from divelog.history.folding import fold
from divelog.journal.loading import LoadedJournal, load_all
from divelog.papers.exports.database import database
from divelog.papers.exports.lines import event_lines
from divelog.papers.exports.questions import QUESTIONS
from divelog.papers.exports.rows import events_csv, runs_csv
from divelog.session.book import book_of
from divelog.session.session import Session
from divelog.session.shelf import read_shelf

FORMS = ("csv", "events-csv", "jsonl", "sqlite")
"""Runs as rows, events as rows, events as JSON Lines, everything as a database."""
_ENDINGS = {".csv": "csv", ".jsonl": "jsonl", ".db": "sqlite", ".sqlite": "sqlite", ".sqlite3": "sqlite"}


def form_of(path: Path, asked: str | None) -> str:
    """The form asked for, or told by the ending of the file's name."""
    found = asked or _ENDINGS.get(path.suffix.lower())
    if found is None:
        raise CallError(f"what is {path.name[:60]!r} to be? Say --as {', '.join(FORMS)}")
    return found


def run_export(words: Namespace) -> int:
    """Write one file."""
    path = Path(words.output)
    form = form_of(path, words.form)
    if exists(path) and not words.over:
        raise CallError(f"{path} is there already; choose another name, or say --over")
    named = None if words.boat == "all" else boat_named(words, words.boat)
    home = words.where if named is None else named.home
    shelf = read_shelf(home) if named is None else named.shelf
    slugs = tuple(shelf.boats) if named is None else (named.slug,)
    if named is not None and named.slug not in shelf.boats:
        raise CallError(f"{named.slug} is not in {home.boats}; her log is kept by a boat of the home")
    session = Session.reading(home, words.clock, shelf)
    log = load_all(home)
    raw, count = _made(session, form, slugs, log, words)
    write_atomic(path, raw)
    if words.json:
        data(
            {
                "schema": "divelog.exported/1",
                "file": str(path),
                "form": form,
                "boats": list(slugs),
                "rows": count,
            }
        )
    else:
        say(f"{count} {'runs' if form == 'csv' else 'events'} in {path}")
        if form == "sqlite":
            say(
                f"{len(QUESTIONS)} questions answered by its views: select number, question, view from questions"
            )
    tell_reports(log)
    if log.damaged:
        tell("what could be read is in the file")
    return Exit.DAMAGED if log.damaged else Exit.DONE


def _made(
    session: Session, form: str, slugs: tuple[str, ...], log: LoadedJournal, words: Namespace
) -> tuple[bytes, int]:
    everybody = words.boat == "all"
    events = [e for e in log.events if everybody or e.boat is None or e.boat in slugs]
    if form == "jsonl":
        return b"".join(event_lines(events)), len(events)
    if form == "events-csv":
        return events_csv(events).encode(), len(events)
    book = book_of(session, slugs, words.clock.now(), log)
    if form == "csv":
        runs = [run for run in fold(log.events).runs if everybody or run.boat in slugs]
        return runs_csv((run, book.used.get(run.id)) for run in runs).encode(), len(runs)
    return database(book), len(book.events)
