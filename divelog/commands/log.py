"""``divelog record``, ``correct`` and ``verify``: the log, written from a shell and looked through for damage."""

from __future__ import annotations

from argparse import Namespace
from typing import Any

from divelog.commands.asked import pair
from divelog.commands.named import boat_named, open_journal
from divelog.commands.out import data, say, tell
from divelog.exits import CallError, Exit
from divelog.history.folding import fold
from divelog.home import Home
from divelog.journal.events import Event, format_happened
from divelog.journal.loading import LoadedJournal, load, load_all
from divelog.journal.writing import Journal
from divelog.session.defects import NoDefectError, defect_meant
from divelog.session.entries import IN_A_RUN, EntryError, shape_of, typed_data
from divelog.session.planning import pack_data, trim_data
from divelog.session.resolve import Named
from divelog.session.session import Asked, Session
from divelog.session.shelf import read_shelf
from divelog.session.typed_when import WhenError, parse_when
from divelog.session.typing_in import trial
from divelog.text import shown

_LEAST_ID = 6
"""Characters of an identifier that may stand for the whole, where only one begins so."""


def run_record(words: Namespace) -> int:
    """Append one event; what it means for proofs and counts follows from the log."""
    named = boat_named(words, words.boat)
    pairs = [pair(text) for text in words.pairs]
    try:
        shape = shape_of(words.what)
        run_named = [value for name, value in pairs if name == "run" and "run" not in shape]
        found = typed_data(words.what, [each for each in pairs if each[0] != "run" or "run" in shape])
        happened = _happened(words)
    except EntryError as error:
        raise CallError(str(error)) from error
    log = load(named.home, named.slug)
    run = _run_for(words, log, named.slug, run_named[-1] if run_named else "")
    if words.what in ("defect.closed", "defect.overruled"):
        found["of"] = _defect(words, log, named.slug, str(found["of"]))
    if words.what == "plan.set":
        found |= _trim_of(words, named, found, happened)
    boat = None if words.what in ("day.opened", "day.closed", "charged") else named.slug
    with open_journal(named.home, named.shelf, words) as journal:
        event = _append(journal, words.what, found, boat=boat, run=run, happened=happened)
    _tell_event(words, event)
    return Exit.DONE


def _defect(words: Namespace, log: LoadedJournal, slug: str, asked: str) -> str:
    """The event of the open defect that is meant; a wrong name would close nothing and say nothing."""
    try:
        return defect_meant(asked, fold(log.events, words.clock.now()).open_defects(slug)).id
    except NoDefectError as error:
        raise CallError(shown(str(error), 500)) from error


def _trim_of(words: Namespace, named: Named, found: dict[str, Any], happened: str | None) -> dict[str, Any]:
    """What the plan does to her trim, worked out as the pages do; nothing where her file has a fault."""
    if named.boat.faults:
        return {}
    session = Session.reading(named.home, words.clock, named.shelf)
    before = session.log(named.slug).events
    planned = trial(session, named.slug)
    event = planned.append("plan.set", found, boat=named.slug, happened=happened)
    asked = Asked(named.slug, named.boat, None, None, event.at)
    facts = planned.sheet(asked).facts
    pack = {} if "pack_mass_change" in found else pack_data(before, facts, named.slug, found.get("pack"))
    return {**trim_data(planned.limits(asked), facts), **pack}


def _append(
    journal: Journal,
    what: str,
    found: dict[str, Any],
    *,
    boat: str | None,
    run: str | None,
    happened: str | None = None,
) -> Event:
    """One event, on disk when this returns; what cannot be written at all is a wrong call."""
    try:
        event = journal.append(what, found, boat=boat, run=run, happened=happened)
    except ValueError as error:
        raise CallError(str(error)) from error
    for notice in journal.take_notices():
        tell(shown(notice))
    return event


def _happened(words: Namespace) -> str | None:
    if not words.happened:
        return None
    try:
        found = parse_when(words.happened, words.clock.now())
    except WhenError as error:
        raise CallError(f"--happened: {error}") from error
    return format_happened(found.at, found.half_width)


def _run_for(words: Namespace, log: LoadedJournal, slug: str, asked: str) -> str | None:
    """The run an event belongs to: the one named, else the one that is on, else the last of that day."""
    if words.what not in IN_A_RUN and not asked:
        return None
    history = fold(log.events, words.clock.now())
    if asked:
        found = [run for run in history.runs if run.boat == slug and run.id.startswith(asked)]
        if len(found) != 1 or len(asked) < _LEAST_ID:
            raise CallError(
                f"no one run of {slug} begins with {asked[:40]!r}; `divelog runs {slug} --json` names them"
            )
        return found[0].id
    still = history.open_run(slug)
    if still is not None:
        return still.id
    if words.what in ("run.ended", "mark", "signal"):
        raise CallError(f"no run of {slug} is on; name one with run=ID")
    today = words.clock.now().date()
    ended = [
        run for run in history.runs if run.boat == slug and run.end is not None and run.end.date() == today
    ]
    return ended[-1].id if ended else None


def _tell_event(words: Namespace, event: Event) -> None:
    if words.json:
        data({
            "schema": "divelog.event/1", "id": event.id, "what": event.what, "when": event.when.isoformat(),
            "happened": event.happened, "boat": event.boat, "run": event.run, "data": event.payload(),
        })  # fmt: skip
        return
    from divelog.app.sentences import said

    found = said(event)
    say(f"kept  {event.id}  {found.words}{'  ' + found.figure if found.figure else ''}")


def run_correct(words: Namespace) -> int:
    """Append one correction: the event stays in the log as it was written, and counts as corrected."""
    home: Home = words.where
    log = load_all(home)
    target = _target(log, words.id)
    own = {"why": "", "happened": "", "void": ""}
    pairs = []
    for name, value in (pair(text) for text in words.pairs):
        if name in own:
            own[name] = value
        else:
            pairs.append((name, value))
    if own["void"] not in ("", "yes", "true"):
        raise CallError("void takes yes; a correction of a correction brings an event back")
    if not own["why"]:
        raise CallError('say why: why="read the string wrong"')
    correction = _correction(words, target, pairs, own)
    with open_journal(home, read_shelf(home), words) as journal:
        event = _append(journal, "corrected", correction, boat=target.boat, run=target.run)
    _tell_event(words, event)
    return Exit.DONE


def _target(log: LoadedJournal, asked: str) -> Event:
    found = [event for event in log.lines if event.id.startswith(asked)] if len(asked) >= _LEAST_ID else []
    exact = [event for event in found if event.id == asked]
    if len(exact or found) != 1:
        many = "no event begins" if not found else f"{len(found)} events begin"
        raise CallError(
            f"{many} with {asked[:40]!r}; `divelog runs --json` names runs, the Log names every event"
        )
    target = (exact or found)[0]
    if target.what in ("log.opened", "clock.jumped"):
        raise CallError(f"{target.what} is the log's own; it is not corrected")
    if not target.known:
        raise CallError("that event is from a newer version of the program; correct it there")
    return target


def _correction(
    words: Namespace, target: Event, pairs: list[tuple[str, str]], own: dict[str, str]
) -> dict[str, Any]:
    made: dict[str, Any] = {"id": target.id, "why": own["why"]}
    if own["happened"]:
        try:
            found = parse_when(own["happened"], words.clock.now())
        except WhenError as error:
            raise CallError(f"happened: {error}") from error
        made["happened"] = format_happened(found.at, found.half_width)
    if own["void"]:
        if pairs:
            raise CallError("an event is void or has new data, not both")
        return {**made, "void": True}
    if not pairs and not own["happened"]:
        raise CallError("nothing to correct: give PATH=TEXT, happened=TIME or void=yes")
    if pairs:
        try:
            made["data"] = typed_data(target.what, pairs, _now_data(words, target))
        except EntryError as error:
            raise CallError(str(error)) from error
    return made


def _now_data(words: Namespace, target: Event) -> dict[str, Any]:
    """The data as it stands: with an earlier correction, if there is one."""
    for event in load_all(words.where).events:
        if event.id == target.id:
            return event.payload()
    return target.payload()


# -- verify ---------------------------------------------------------------------------------------------------------


def run_verify(words: Namespace) -> int:
    """Whether every journal is whole: the chain of digests shows accidents, not forgery."""
    from divelog.journal.verifying import verify

    home: Home = words.where
    slug = None
    if words.boat:
        named = boat_named(words, words.boat)
        home, slug = named.home, named.slug
    verdicts = verify(home, slug)
    if words.json:
        data({"schema": "divelog.verify/1", "files": [verdict.as_data() for verdict in verdicts]})
    else:
        for v in verdicts:
            state = "whole" if v.whole else "DAMAGED"
            say(f"{state:<9}{v.events:>7} events  {shown(v.file)}")
    for v in verdicts:
        for report in v.reports:
            tell(shown(str(report)))
    if not verdicts:
        tell("no journal yet")
    return Exit.DONE if all(v.whole for v in verdicts) else Exit.DAMAGED
