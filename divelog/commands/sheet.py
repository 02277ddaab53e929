"""``divelog sheet``: papers of a boat, as plain text or as one HTML file to print."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from divelog.commands.named import boat_named, tell_reports
from divelog.commands.out import data, fault_data, tell, tell_faults
from divelog.exits import CallError, Exit
from divelog.files import exists, write_atomic
from divelog.session.session import Session
from divelog.text import shown

_HTML = (".html", ".htm")
_TEXT = (".txt", ".text")


def run_sheet(words: Namespace) -> int:
    """Print one paper, or write it to a file; the end of the file's name says as what."""
    from divelog.session.papering import gathered, paper
    from divelog.sharing.private import NAMES

    unknown = [name for name in words.let_out if name not in NAMES]
    if unknown:
        raise CallError(f"nothing private is called {unknown[0][:40]!r}; names are: {', '.join(NAMES)}")
    named = boat_named(words, words.boat)
    path = Path(words.output) if words.output else None
    if path is not None and path.suffix.lower() not in (*_HTML, *_TEXT):
        raise CallError(
            f"end the name of the file in .html to print it, or in .txt; found {shown(path.name, 60)!r}"
        )
    if path is not None and exists(path) and not words.over:
        raise CallError(f"{shown(str(path), 200)} is there already; choose another name, or give --over")
    faults = (*named.boat.faults, *named.shelf.kit.faults)
    if faults:
        tell_faults(faults)
        if words.json:
            data({"schema": "divelog.faults/1", "faults": [fault_data(f) for f in faults]})
        return Exit.FAULT
    if named.slug not in named.shelf.boats:
        raise CallError(f"{named.slug} is not in {named.home.boats}; papers are of a boat of the home")
    session = Session.reading(named.home, words.clock, named.shelf)
    given = gathered(session, named.slug, named.boat)
    made = paper(words.paper, given, words.blank, frozenset(words.let_out), not words.without_incidents)
    tell_reports(session.log(named.slug))
    if path is not None and path.suffix.lower() in _HTML:
        from divelog.papers.sheets.html import as_html

        text = as_html(made, words.size)
    else:
        from divelog.papers.sheets.text import as_text

        text = as_text(made)
    if path is None:
        _say(words, made.kind, named.slug, text)
    else:
        write_atomic(path, text.encode("utf-8", "backslashreplace"))
        tell(f"{shown(made.boat)} {made.title} is in {shown(str(path), 300)}")
        if words.json:
            data({"schema": "divelog.sheet/1", "boat": named.slug, "paper": made.kind, "file": str(path)})
    return Exit.DAMAGED if session.log(named.slug).damaged else Exit.DONE


def _say(words: Namespace, kind: str, slug: str, text: str) -> None:
    if words.json:
        data({"schema": "divelog.sheet/1", "boat": slug, "paper": kind, "text": text})
    else:
        print(text, end="")
