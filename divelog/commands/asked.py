"""What verbs over a boat on a day share: the boat, the day, what-ifs, and the sheet they make."""

from __future__ import annotations

from argparse import Namespace
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from divelog import units
from divelog.commands.named import boat_named
from divelog.commands.out import data, fault_data, tell_faults
from divelog.exits import CallError
from divelog.profiles.document import Document
from divelog.profiles.facts import Facts, merge_sets
from divelog.session.resolve import Named, looks_like_file
from divelog.session.session import Asked, Session
from divelog.session.shelf import read_file


@dataclass(frozen=True, slots=True)
class Question:
    """A boat on a day, at a moment."""

    named: Named
    session: Session
    asked: Asked
    facts: Facts


def question(words: Namespace) -> Question | None:
    """The boat and day a call asks about; None where a file has faults, which are told.

    words: ``boat site today at no_history json``, ``set`` where the verb has it, and what every call has. Raises CallError.
    """
    named = boat_named(words, words.boat)
    today = _today(words.today)
    session = Session.reading(named.home, words.clock, named.shelf)
    at = words.at or (today.facts["at"].value if today is not None and "at" in today.facts else None)
    moment = at if isinstance(at, datetime) else words.clock.now()
    asked = Asked(named.slug, named.boat, today, words.site, moment, history=not words.no_history)
    facts = session.facts(asked)
    faults = [*named.boat.faults, *named.shelf.kit.faults, *facts.site.faults, *facts.today.faults]
    if faults:
        tell_faults(faults)
        if words.json:
            data({"schema": "divelog.faults/1", "faults": [fault_data(f) for f in faults]})
        return None
    try:
        facts = merge_sets(facts, (pair(text) for text in getattr(words, "set", ())))
    except KeyError as error:
        raise CallError(
            f"no field called {error.args[0]!r}; paths are those of the files, as water.temperature"
        ) from error
    except units.UnitFaultError as error:
        raise CallError(f"--set: {error}") from error
    return Question(named, session, asked, facts)


def pair(text: str) -> tuple[str, str]:
    """``PATH=TEXT`` split; raises CallError."""
    path, found, value = text.partition("=")
    if not found or not path.strip() or not value.strip():
        raise CallError(f"{text[:60]!r} is no PATH=TEXT")
    return path.strip(), value.strip()


def _today(file: str | None) -> Document | None:
    if file is None:
        return None
    if not looks_like_file(file) and not Path(file).exists():
        raise CallError(f"no file called {file[:60]!r}")
    return read_file(Path(file), "today", file)
