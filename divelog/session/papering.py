"""What papers are made of, gathered from a home: one boat now, with her limits, her walk, her history and what is due."""

from __future__ import annotations

from collections.abc import Collection

from divelog.checks import walk as walks
from divelog.checks.library import read_library
from divelog.checks.state import Walk
from divelog.papers.sheets.before import BEFORE, list_sheet, run_sheet
from divelog.papers.sheets.commissioning import commissioning
from divelog.papers.sheets.given import Given
from divelog.papers.sheets.hand_over import hand_over
from divelog.papers.sheets.model import Paper
from divelog.papers.sheets.tag import case_tag
from divelog.papers.sheets.trouble import trouble_page
from divelog.profiles.document import Document
from divelog.session.around import around
from divelog.session.session import Asked, Session
from divelog.session.tending import tend

KINDS = ("run", "list", "trouble", "tag", "papers", "commissioning")
"""Papers by name; the first four are one page each."""


def gathered(session: Session, slug: str, boat: Document) -> Given:
    """Everything a paper of this boat may need, as it is now."""
    now = session.clock.now()
    asked = Asked(slug, boat, None, None, now)
    here = around(session, asked)
    library = read_library(session.home.checklists, session.disk)
    lists = {name: found for name in library.lists if (found := library.get(name, boat)) is not None}
    resumed = walks.resume(lists[BEFORE], here)
    tended = tend(session, slug, now)
    opened = next(
        (e for e in reversed(session.log(slug).events) if e.what == "day.opened" and e.at <= now), None
    )
    return Given(
        slug,
        boat,
        here,
        session.limits(asked),
        lists,
        resumed if resumed is not None else Walk(lists[BEFORE], slug),
        tended.history,
        tended.care.rows,
        here.facts.measured,
        tuple(e for e in session.log(slug).events if e.known and e.at <= now),
        opened is not None and opened.local.date() == now.date(),
    )


def paper(
    kind: str, given: Given, empty: bool = False, let_out: Collection[str] = (), incidents: bool = True
) -> Paper:
    """One paper by its name. ``empty``: to be written on; ``let_out``: private things, by name, that may stand on papers
    that leave the house; without ``incidents`` they are withheld there and counted.

    Raises:
        KeyError: there is none of that name.
    """
    match kind:
        case "run":
            return run_sheet(given, empty)
        case "list":
            return list_sheet(given, empty)
        case "trouble":
            return trouble_page(given)
        case "tag":
            return case_tag(given)
        case "papers":
            return hand_over(given, let_out, incidents)
        case "commissioning":
            return commissioning(given, let_out)
        case _:
            raise KeyError(kind)
