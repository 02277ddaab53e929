"""``divelog runs``: every run as text, CSV or one JSON object, with the charge it took and how that is known."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterable, Sequence
from datetime import date, datetime
from typing import Any

from divelog.commands.named import boat_named, tell_reports
from divelog.commands.out import data, say, tell
from divelog.exits import CallError, Exit
from divelog.history.folding import History, fold
from divelog.history.runs import Run
from divelog.home import Home
from divelog.journal.events import Event
from divelog.journal.loading import load_all
from divelog.journal.payload import Quantity
from divelog.session.session import Asked, Session
from divelog.session.shelf import Shelf, read_shelf
from divelog.session.spent import Spent, kit_of, spent
from divelog.text import shown


def run_runs(words: Namespace) -> int:
    """Runs of one boat or of all, as text, CSV or one JSON object; or the curve of one run as text."""
    if words.curve is not None:
        from divelog.commands.curve import run_curve  # deferred: few calls draw

        return run_curve(words)
    since = _date(words.since) if words.since else None
    named = boat_named(words, words.boat) if words.boat else None
    home = named.home if named is not None else words.where
    shelf = named.shelf if named is not None else read_shelf(home)
    log = load_all(home)
    history = fold(log.events)  # a run that lies ahead of this machine's clock is a run all the same
    used = _Spending(words, home, shelf, history, log.events)
    rows = [(run, used.of(run)) for run in history.runs if _wanted(run, named.slug if named else None, since)]
    names = {slug: document.text_at("name") or slug for slug, document in shelf.boats.items()}
    if words.json:
        data({"schema": "divelog.runs/1", "runs": [run_data(run, charge) for run, charge in rows]})
    elif words.csv:
        from divelog.papers.exports.rows import runs_csv  # deferred: few calls ask for CSV

        say(runs_csv(rows).rstrip("\n"))
    else:
        sites = {slug: site.text_at("name") or slug for slug, site in shelf.sites.items()}
        for row in runs_table(rows, names, sites):
            say(row)
        if not rows:
            tell("no runs yet")
    tell_reports(log)
    return Exit.DAMAGED if log.damaged else Exit.DONE


def _date(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise CallError(f"--since takes a date as 2032-05-04; found {text[:40]!r}") from None


def _wanted(run: Run, boat: str | None, since: date | None) -> bool:
    moment = run.start or run.end
    return (boat is None or run.boat == boat) and (
        since is None or (moment is not None and moment.date() >= since)
    )


class _Spending:
    """What each run took out of its pack, with the kit of its boat worked out once."""

    def __init__(
        self, words: Namespace, home: Home, shelf: Shelf, history: History, events: Sequence[Event]
    ) -> None:
        self._session = Session.reading(home, words.clock, shelf)
        self._now: datetime = words.clock.now()
        self._history, self._events = history, events
        self._kits: dict[str, Any] = {}

    def of(self, run: Run) -> Spent | None:
        """The best figure the log allows; None where nothing says so, or her file is gone or has faults."""
        document = self._session.shelf.boats.get(run.boat or "")
        if document is None or run.boat is None:
            return None
        if run.boat not in self._kits:
            asked = Asked(run.boat, document, None, None, self._now, history=False)
            self._kits[run.boat] = kit_of(self._session.sheet(asked))
        return spent(run, self._history, self._events, self._kits[run.boat])


def _number(value: Quantity | None) -> dict[str, Any] | None:
    if value is None:
        return None
    found: dict[str, Any] = {"si": value.si, "u95": value.u95}
    for key in ("typed", "how", "state"):
        if getattr(value, key) is not None:
            found[key] = getattr(value, key)
    return found


def run_data(run: Run, charge: Spent | None) -> dict[str, Any]:
    """One run as ``divelog.runs/1`` has it. Everything in SI; times with their offset; what nobody wrote is null."""
    water = run.water
    return {
        "run": run.id, "boat": run.boat, "site": run.site, "water": run.water_kind,
        "start": _stamp(run.start), "end": _stamp(run.end),
        "seconds": 60.0 * run.minutes if run.minutes is not None else None, "by_wall_clock": run.by_wall,
        "pack": run.pack, "transmitter": run.transmitter, "receiver": run.receiver,
        "deepest": _number(run.deepest), "shaft_time": run.shaft_time, "shaft_bands": dict(run.shaft_bands),
        "dived_time": run.dived_time, "cycles": run.cycles, "volts": _number(run.volts), "reason": run.reason,
        "charge": None if charge is None else {"si": charge.si, "u95": charge.u95, "how": charge.how},
        "water_found": None if water is None else {
            "word": water.word, "si": water.amount.si, "u95": water.amount.u95, "end": water.end,
            "allowance": water.allowance, "looked": water.looked, "flooded": water.flooded, "over": water.over,
        },
        "incidents": [
            {"at": i.at.isoformat(), "step": i.step, "depth": _number(i.depth), "source": i.source, "cause": i.cause,
             "worked": i.worked, "damage": i.damage} for i in run.incidents
        ],
        "signals": [{"at": s.at.isoformat(), "kind": s.kind, "distance": _number(s.distance)} for s in run.signals],
        "failsafe": [
            {"at": t.at.isoformat(), "trigger": t.trigger, "real": t.real, "wrong": list(t.wrong)} for t in run.trips
        ],
        "marks": [{"at": m.at.isoformat(), "kind": m.named or m.kind, "text": m.words} for m in run.marks],
        "limits": run.limits, "answered": run.answered, "on": run.still_on,
    }  # fmt: skip


def _stamp(moment: datetime | None) -> str | None:
    return moment.isoformat() if moment is not None else None


def runs_table(
    rows: Sequence[tuple[Run, Spent | None]], names: dict[str, str], sites: dict[str, str]
) -> Iterable[str]:
    """Runs as plain text, one a line, with what went wrong under it."""
    for run, charge in rows:
        moment = run.start or run.end
        when = f"{moment:%Y-%m-%d %H:%M}" if moment else "no time"
        length = (
            "still on"
            if run.still_on
            else f"{run.minutes:.0f} min"
            if run.minutes is not None
            else "no length"
        )
        boat = shown(names.get(run.boat or "", run.boat or "no boat"))[:14]
        site = shown(sites.get(run.site or "", run.site or ""))[:14]
        used = f"{charge.si / 3600:.2f} A h, +/- {charge.u95 / 3600:.2f}, {charge.how}" if charge else ""
        pack = shown(run.pack or "")[:7]
        yield f"{when:<18}{boat:<15}{length:<10}{site:<15}{pack:<8}{_deep(run):<16}{_wet(run):<16}{used}".rstrip()
        for one in run.incidents:
            cause = f": {shown(one.cause)}" if one.cause else ""
            yield f"{'':<18}{one.at:%H:%M} {shown(one.step or 'incident')}{cause}"
        if not run.still_on and not run.answered:
            yield f"{'':<18}the list after this run is still open"


def _deep(run: Run) -> str:
    if run.deepest is None or run.deepest.si is None:
        return ""
    return f"{run.deepest.si:.1f} m {shown(run.deepest.how or '')}".strip()


def _wet(run: Run) -> str:
    water = run.water
    if water is None:
        return ""
    if water.looked == "not":
        return "not looked"
    return shown("flooded" if water.flooded else water.word or "water")[:15]
