"""``divelog runs BOAT --curve``: what instruments read in a run, drawn as plain lines, and in words below."""

from __future__ import annotations

import sys
from argparse import Namespace

from divelog.app.curve_view import curve_text
from divelog.app.curve_words import RunCurve, happenings
from divelog.app.frames import clock_words, date_words
from divelog.commands.named import boat_named
from divelog.commands.out import say, tell
from divelog.exits import CallError, Exit
from divelog.history.folding import fold
from divelog.history.runs import Run
from divelog.papers.telemetry.model import TelemetryError
from divelog.session.joined import Joined, joined, read_again, source_of
from divelog.session.session import Session
from divelog.session.telemetry import run_named
from divelog.text import clip, shown

WIDE = 79
"""Columns of a line at most."""


def run_curve(words: Namespace) -> int:
    """Every file that is joined to the run, one after another. A file that cannot be drawn is told, with its reason."""
    if not words.boat:
        raise CallError("--curve is of one run: name its boat, as in `divelog runs BOAT --curve last`")
    if words.json or words.csv or words.since:
        raise CallError("--curve draws text of one run; it goes without --json, --csv and --since")
    named = boat_named(words, words.boat)
    session = Session.reading(named.home, words.clock, named.shelf)
    run, files = _run(session, named.slug, words.curve)
    name = named.shelf.boats[named.slug].text_at("name") if named.slug in named.shelf.boats else ""
    code = Exit.DONE
    for number, one in enumerate(files, 1):
        if number > 1:
            say("")
        say(_headline(name or named.slug, run, number, len(files)))
        say("")
        try:
            source, limits = source_of(session, named.slug, run, one)
            found = read_again(session, source, run, limits, one)
        except TelemetryError as error:
            tell(f"divelog: the curve cannot be drawn: {shown(str(error))}")
            code = Exit.FAULT
            continue
        drawn = RunCurve(run, source.mapping, found, limits, happenings(run))
        for line in curve_text(drawn, blocks=_blocks()):
            say(line)
    return code


def _run(session: Session, slug: str, asked: str) -> tuple[Run, tuple[Joined, ...]]:
    """The run that is meant, and its files; a wrong name, or a run without a file, is a wrong call."""
    events = session.log(slug).events
    if asked:
        try:
            run = run_named(session, slug, asked)
        except TelemetryError as error:
            raise CallError(str(error)) from error
        files = joined(events, run.id)
        if not files:
            raise CallError(
                f"no file of readings is joined to that run; `divelog attach {slug} {run.id}` joins one"
            )
        return run, files
    with_file = {event.run for event in events if event.what == "measured" and event.run is not None}
    for run in reversed(fold(events, session.clock.now()).runs):
        if run.boat == slug and run.id in with_file and (files := joined(events, run.id)):
            return run, files
    raise CallError(f"no run of {slug} has a file of readings; `divelog attach` joins one")


def _headline(name: str, run: Run, number: int, count: int) -> str:
    moment = run.start or run.end
    when = f", {date_words(moment, True)} {clock_words(moment)}" if moment is not None else ""
    which = f", file {number} of {count}" if count > 1 else ""
    return clip(f"{shown(name)}{when}{which}", WIDE)


def _blocks() -> bool:
    """Whether what reads the lines can show half blocks; plain characters where it cannot."""
    try:
        "\u2580\u2584\u2588".encode(sys.stdout.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True
