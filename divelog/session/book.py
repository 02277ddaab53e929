"""A book for the exports: boats, events and how everything stands, gathered from a session."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from types import MappingProxyType

from divelog.history.folding import fold
from divelog.journal.loading import LoadedJournal, load_all
from divelog.limits.sheet import Sheet
from divelog.papers.exports.book import BoatPages, Book, Used
from divelog.profiles.facts import plain_value
from divelog.session.session import Asked, Session
from divelog.session.spent import Kit, kit_of, spent
from divelog.session.tending import tend


def book_of(session: Session, slugs: Sequence[str], now: datetime, log: LoadedJournal | None = None) -> Book:
    """Everything about some boats; packs are followed through every boat they sat in. ``log``: of all boats, if read.

    A boat whose file has faults comes with her log alone.
    """
    log = log if log is not None else load_all(session.home, session.disk)
    history = fold(log.events)
    sheets = {slug: session.sheet(Asked(slug, session.shelf.boats[slug], None, None, now)) for slug in slugs}
    kits: dict[str, Kit] = {slug: kit_of(sheet) for slug, sheet in sheets.items()}
    used = {}
    for run in history.runs:
        if run.boat in kits:
            found = spent(run, history, log.events, kits[run.boat])
            if found is not None:
                used[run.id] = Used(found.si, found.u95, found.how)
    boats = tuple(_pages(session, slug, sheet, now) for slug, sheet in sheets.items())
    events = tuple(event for event in log.events if event.boat is None or event.boat in slugs)
    return Book(
        boats,
        events,
        now,
        session.shelf.kit,
        MappingProxyType(dict(session.shelf.sites)),
        MappingProxyType(used),
    )


def _pages(session: Session, slug: str, sheet: Sheet, now: datetime) -> BoatPages:
    boat = session.shelf.boats[slug]
    if boat.faults or session.shelf.kit.faults:
        return BoatPages(slug, boat)
    asked = Asked(slug, boat, None, None, now)
    enclosed = plain_value(sheet.facts.site.value("kind")) in ("pool", "tank")
    report = session.proofs(slug, boat, now, enclosed, sheet.word("plan.pack") or "")
    day = session.today(slug, now)
    limits = session.limits(asked) if day.facts else ()
    return BoatPages(slug, boat, report, tend(session, slug, now, sheet).care.rows, limits)
