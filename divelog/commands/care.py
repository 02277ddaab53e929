"""``divelog due``, ``wear`` and ``proofs``: what is due, what wears, what is proved."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterable
from datetime import date, datetime
from typing import Any

from divelog.commands.named import boat_named, tell_reports
from divelog.commands.out import data, fault_data, say, tell, tell_faults
from divelog.exits import CallError, Exit
from divelog.journal.loading import LoadedJournal
from divelog.profiles.document import Fault
from divelog.profiles.facts import plain_value
from divelog.proofs import ProofReport, State
from divelog.proofs.table import RULES
from divelog.session.resolve import Named
from divelog.session.session import Asked, Session
from divelog.session.shelf import read_shelf
from divelog.session.tending import tend
from divelog.session.wearing import Series
from divelog.text import shown
from divelog.upkeep.due import DueRow, DueVerdict
from divelog.upkeep.wear import Point, WearVerdict
from divelog.upkeep.wear_words import details, line
from divelog.upkeep.words import sentence

_DUE_SIGNS = {
    DueVerdict.OUTSIDE: "X OUTSIDE", DueVerdict.TOO_CLOSE: "~ too close", DueVerdict.TO_PROVE: "! to prove",
    DueVerdict.WITHIN: "+ within", DueVerdict.UNKNOWN: "? unknown",
}  # fmt: skip
_WEAR_SIGNS = {
    WearVerdict.OUTSIDE: "X OUTSIDE", WearVerdict.TOO_CLOSE: "~ too close", WearVerdict.WITHIN: "+ within",
    WearVerdict.NO_READING: ". no reading",
}  # fmt: skip
_PROOF_SIGNS = {
    State.PROVED: "= proved", State.TO_PROVE: "! to prove", State.CLAIMED: "! claimed", State.NEVER: "! never",
    State.NOT_FITTED: "/ not fitted",
}  # fmt: skip


def _boats(words: Namespace) -> list[Named]:
    if words.boats:
        return [boat_named(words, name) for name in words.boats]
    shelf = read_shelf(words.where)
    if not shelf.boats:
        raise CallError(f"no boat yet in {words.where.boats}")
    return [Named(slug, boat, shelf, words.where) for slug, boat in shelf.boats.items()]


def _ready(words: Namespace, named: Named) -> tuple[Session | None, tuple[Fault, ...]]:
    """A session on a boat whose files have no fault, or the faults."""
    faults = (*named.boat.faults, *named.shelf.kit.faults)
    if faults:
        return None, faults
    session = Session.reading(named.home, words.clock, named.shelf)
    if session.shelf.boats.get(named.slug) is None:
        raise CallError(f"{named.slug} is not in {named.home.boats}; her log is kept by a boat of the home")
    return session, ()


def _faulty(words: Namespace, faults: tuple[Fault, ...]) -> int:
    tell_faults(faults)
    if words.json:
        data({"schema": "divelog.faults/1", "faults": [fault_data(f) for f in faults]})
    return Exit.FAULT


def _code(words: Namespace, logs: list[LoadedJournal], something_open: bool) -> int:
    for log in logs:
        tell_reports(log)
    if any(log.damaged for log in logs):
        return Exit.DAMAGED
    return Exit.NOT_WITHIN if words.strict and something_open else Exit.DONE


def run_due(words: Namespace) -> int:
    """What is due, worst first, for one boat, some, or all."""
    now = words.clock.now()
    found: list[tuple[str, tuple[DueRow, ...]]] = []
    logs = []
    for named in _boats(words):
        session, faults = _ready(words, named)
        if session is None:
            return _faulty(words, faults)
        tended = tend(session, named.slug, now)
        found.append((named.slug, tended.care.rows))
        logs.append(session.log(named.slug))
        for fault in tended.care.faults:
            tell(shown(f"{named.boat.file}: boat.{fault.path}: found {fault.found!r}; wanted {fault.wanted}"))
    if words.json:
        listed = [due_data(slug, row) for slug, rows in found for row in rows]
        data({"schema": "divelog.due/1", "at": now.isoformat(), "due": listed})
    else:
        for slug, rows in found:
            if len(found) > 1:
                say(shown(slug))
            for row in rows:
                say(f"{_DUE_SIGNS[row.verdict]:<13}{shown(row.title)[:37]:<38}{shown(sentence(row))}")
    return _code(words, logs, any(row.verdict is not DueVerdict.WITHIN for _, rows in found for row in rows))


def _day(day: date | None) -> str | None:
    return day.isoformat() if day is not None else None


def due_data(slug: str, row: DueRow) -> dict[str, Any]:
    """One item as ``divelog.due/1`` has it; ``used`` is null where no service is written down."""
    return {
        "boat": slug, "item": row.item, "title": row.title, "counter": row.counter, "used": row.used,
        "allowed": row.allowed, "unit": row.unit, "verdict": row.verdict.value, "share": row.share, "over": row.over,
        "due": _day(row.due), "due_by": row.due_by or None, "soonest": _day(row.soonest), "latest": _day(row.latest),
        "because": row.because or None, "proof": row.proof,
        "uses": [{"counter": u.counter, "used": u.used, "allowed": u.allowed, "unit": u.unit} for u in row.uses],
    }  # fmt: skip


def run_wear(words: Namespace) -> int:
    """The series of one quantity since its last change of part, with what may be said of it."""
    named = boat_named(words, words.boat)
    session, faults = _ready(words, named)
    if session is None:
        return _faulty(words, faults)
    tended = tend(session, named.slug, words.clock.now())
    asked = words.quantity.removeprefix("boat.").casefold()
    known = {each.followed.name.casefold(): each for each in tended.series}
    known.update({each.followed.title.casefold(): each for each in reversed(tended.series)})
    found = known.get(asked)
    if found is None:
        names = ", ".join(each.followed.name for each in tended.series) or "none yet"
        raise CallError(f"no readings of {words.quantity[:40]!r} in the log; readings of: {names}")
    if words.json:
        data({"schema": "divelog.wear/1", "boat": named.slug, **wear_data(found)})
    else:
        for row in wear_text(found):
            say(shown(row))
    is_open = found.wear.verdict in (WearVerdict.OUTSIDE, WearVerdict.TOO_CLOSE)
    return _code(words, [session.log(named.slug)], is_open)


def wear_text(found: Series) -> list[str]:
    """The line, the points by the counter, and the sentences."""
    wear = found.wear
    rows = [f"{_WEAR_SIGNS[wear.verdict]:<13}{line(wear)}"]
    if wear.cut is not None:
        rows.append(f"{'':<13}since {wear.cut.why}")
    for points, mark in ((wear.before, "before"), (wear.since, "")):
        for point in points:
            spread = f" +/- {point.u95:.2g}" if point.u95 else ""
            value = f"{point.value:.{wear.quantity.decimals}f} {wear.quantity.unit}{spread}"
            rows.append(f"{'':<13}{point.at:>8.2f}  {value:<20}{mark}".rstrip())
    rows += [f"{'':<13}{each}" for each in details(wear)]
    return rows


def _points(points: Iterable[Point]) -> list[dict[str, float]]:
    return [{"at": p.at, "value": p.value, "u95": p.u95} for p in points]


def wear_data(found: Series) -> dict[str, Any]:
    """One series as ``divelog.wear/1`` has it; numbers in the unit named."""
    wear, trend, met = found.wear, found.wear.trend, found.wear.crossing
    return {
        "quantity": found.followed.name, "unit": wear.quantity.unit, "counter": wear.quantity.counter, "n": wear.n,
        "verdict": wear.verdict.value, "voice": wear.voice.name.lower(), "line": line(wear),
        "details": list(details(wear)),
        "limit": None if wear.limit is None else {"value": wear.limit.value, "shown": wear.limit.shown},
        "cut": None if wear.cut is None else {"at": wear.cut.at, "why": wear.cut.why},
        "slope": None if trend is None else {"value": trend.line.slope, "low": trend.line.low, "high": trend.line.high,
                                             "p": trend.pairs.p},
        "crossing": None if met is None else {"meeting": met.meeting.name.lower(), "at": met.at, "soonest": met.soonest,
                                              "latest": met.latest},
        "before": _points(wear.before), "since": _points(wear.since), "unlike": _points(wear.unlike),
    }  # fmt: skip


def run_proofs(words: Namespace) -> int:
    """How every proof of a boat stands, and why."""
    named = boat_named(words, words.boat)
    session, faults = _ready(words, named)
    if session is None:
        return _faulty(words, faults)
    now = words.at or words.clock.now()
    sheet = session.sheet(Asked(named.slug, named.boat, None, None, now))
    enclosed = plain_value(sheet.facts.site.value("kind")) in ("pool", "tank")
    report = session.proofs(named.slug, named.boat, now, enclosed, sheet.word("plan.pack") or "")
    if words.json:
        data({"schema": "divelog.proofs/1", "boat": named.slug, "at": now.isoformat(), **proofs_data(report)})
    else:
        for row in proofs_text(report, now):
            say(shown(row))
    open_proofs = any(p.required and p.state not in (State.PROVED, State.NOT_FITTED) for p in report.proofs)
    return _code(words, [session.log(named.slug)], open_proofs or bool(report.defects))


def proofs_data(report: ProofReport) -> dict[str, Any]:
    """Proofs, the depth proved dry, and open defects as ``divelog.proofs/1`` has them."""
    return {
        "proofs": [
            {
                "proof": p.proof, "item": p.item or None, "state": p.state.value,
                "since": p.since.isoformat() if p.since else None, "event": p.event or None,
                "because": p.because or None, "required": p.required,
            }
            for p in report.proofs
        ],
        "dry_depth": report.dry_depth, "dry_depth_event": report.dry_depth_event or None,
        "defects": [{"event": d.event, "since": d.since.isoformat(), "what": d.what} for d in report.defects],
        "clock_doubt": report.clock_doubt or None,
    }  # fmt: skip


def proofs_text(report: ProofReport, now: datetime) -> list[str]:
    """Proofs as plain text: sign, title, since when (in the offset of ``now``) or because of what."""
    rows = []
    zone = now.tzinfo
    for proof in report.proofs:
        title = f"{RULES[proof.proof].title} {proof.item}".strip() if proof.proof in RULES else proof.name
        since = f"{proof.since.astimezone(zone):%Y-%m-%d %H:%M}" if proof.since is not None else ""
        rows.append(f"{_PROOF_SIGNS[proof.state]:<13}{title:<26}{since:<18}{proof.because}".rstrip())
    depth = f"{report.dry_depth:.1f} m" if report.dry_depth is not None else "never"
    rows.append(f"{'':<13}{'dry at depth':<26}{depth}")
    rows += [
        f"{'X OUTSIDE':<13}{'defect':<26}{d.since.astimezone(zone):%Y-%m-%d %H:%M}  {d.what}"
        for d in report.defects
    ]
    if report.clock_doubt:
        rows.append(f"{'':<13}{report.clock_doubt}")
    return rows
