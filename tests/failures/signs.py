"""What the program says of a situation, place by place: the one form in which all cases of this folder speak.

A place is where a person would read it: a line of a list (``before-dive/count``), a limit (``cylinder.pressure``), a proof
(``proof closed``), an item of upkeep (``due shaft_grease``), what wears (``wear ballast.fill_time``), what stops a launch
(``defect``) or the glance before launch (``launch peg``). What it says is one of the nine words, or a sentence.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from datetime import datetime, timedelta
from typing import Any

import worked
from walking import Bench, document, sample_text

from divelog.checks import walk as walking
from divelog.checks.launch import Launch, launch
from divelog.checks.state import Walk
from divelog.limits.model import Limit, Verdict
from divelog.limits.registry import KEYS
from divelog.limits.sheet import Sheet
from divelog.papers.exports.database import database
from divelog.profiles.document import Document
from divelog.session.book import book_of
from divelog.session.session import Asked
from divelog.session.tending import Tended, tend

Told = dict[str, str]
"""What is said, by place."""
Case = Callable[[bool], Told]
"""A situation: True with what would lose her, False with a sound boat; both go through the same places."""

CASES: dict[int, Case] = {}
"""Every case, by the number of its failure."""

QUIET = frozenset({"within", "done", "proved", "nothing", "not asked", "closed"})
"""What a sound boat is told."""


def case(number: int) -> Callable[[Case], Case]:
    """Put a situation into ``CASES``."""

    def register(found: Case) -> Case:
        if number in CASES:
            raise ValueError(f"failure {number} has two cases")
        CASES[number] = found
        return found

    return register


# -- boats ----------------------------------------------------------------------------------------------------------


def boat(slug: str, *changes: tuple[str, str]) -> Document:
    """A sample boat with some words of her file changed; every change must find its words once, and leave no fault."""
    text = sample_text(slug)
    for old, new in changes:
        assert text.count(old) == 1, (old, text.count(old))
        text = text.replace(old, new)
    found = document(text, f"boats/{slug}.toml")
    assert found.faults == (), [one.sentence() for one in found.faults]
    return found


def bench(
    slug: str = "tansy", *changes: tuple[str, str], site: str = "withy-pond", day: bool = True
) -> Bench:
    """A boat at the pond on a May morning, everything her file says changed as asked."""
    made = Bench(slug, boat(slug, *changes) if changes else None, site=site)
    if day:
        made.day()
    return made


# -- what is said ---------------------------------------------------------------------------------------------------


def line(made: Bench, place: str, *answers: str, run: str | None = None) -> Told:
    """Answer one line of a list on its own, and say how it stands and how the proofs it gives stand then.

    ``place`` is ``list/line``. Every proof the line gives stands before, so that losing it is seen. Of a line that goes
    through members the answers go to them in turn, the last one to all that are left.
    """
    name, _, wanted = place.partition("/")
    found = made.checklist(name).line(wanted)
    assert found is not None
    gives = [named(made, proof) for proof in found.gives]
    if gives:
        prove(made, *gives)
    walk = made.begin(name, run)
    walk = made.save(*walking.go(walk, made.around(), wanted))
    walk = reply(made, walk, wanted, answers)
    record = walk.record(wanted)
    assert record is not None, f"{place} is still half answered after {answers}"
    return {place: record.mark.value.lower(), **proofs(made, *gives)}


def reply(made: Bench, walk: Walk, wanted: str, given: tuple[str, ...]) -> Walk:
    """Type these answers to a line until it is complete; the last one as often as it is asked."""
    for place in range(60):
        now = walking.asked_now(walk, made.around())
        if now is None or now[0].id != wanted or (place and walk.partial_line != wanted):
            return walk
        _, step = now
        if step.part == "end":
            made.clock.advance(step.question.seconds)
        made.clock.advance(made.tick)
        walk = made.save(*walking.answer(walk, made.around(), given[min(place, len(given) - 1)]))
    raise AssertionError(f"{wanted} never ends")


def named(made: Bench, proof: str) -> str:
    """A proof with its item: ``pack`` is the one of the plan's pack."""
    found = [one.name for one in made.around().report.proofs if one.proof == proof]
    return found[0] if found else proof


def proofs(made: Bench, *names: str) -> Told:
    """How proofs stand now."""
    report = made.around().report
    return {
        f"proof {name.partition(':')[0]}": report.get(name).state.value.replace("_", " ") for name in names
    }


def prove(made: Bench, *names: str) -> None:
    """Give proofs, as a list answered right does."""
    made.keep("check.answered", {"list": "bench", "line": "all", "gives": list(names)})


def defects(made: Bench) -> Told:
    """What stops her launch."""
    found = made.around().report.defects
    return {"defect": found[0].what if found else "nothing"}


def glance(made: Bench, walk: Walk | None = None, limits: tuple[Limit, ...] = ()) -> Launch:
    """The glance before launch."""
    return launch(walk if walk is not None else made.begin("before-dive"), made.around(), limits)


def at_launch(found: Launch, name: str) -> Told:
    """How something stands in the glance before launch; nothing where it is not told."""
    said = next((item.mark.value for item in found.items if item.name == name), "nothing")
    return {f"launch {name}": said}


def asked(made: Bench) -> Asked:
    """The question about this boat now."""
    return Asked(made.slug, made.session.shelf.boats[made.slug], None, None, made.clock.now())


def verdict(sheet: Sheet, key: str, item: str = "") -> Told:
    """How one limit stands on a sheet."""
    found = [one for one in KEYS[key](sheet) if one.item == item] or list(KEYS[key](sheet))[:1]
    place = f"{key}:{item}" if item else key
    return {place: found[0].verdict.name.lower().replace("_", " ")}


def limit(slug: str, key: str, item: str = "", /, **sets: Any) -> Told:
    """How one limit of a worked boat stands on the worked day, with facts changed."""
    return verdict(worked.sheet(slug, **sets), key, item)


def tended(made: Bench) -> Tended:
    """Upkeep of the boat now."""
    return tend(made.session, made.slug, made.clock.now())


def due(made: Bench, *items: str) -> Told:
    """How items of upkeep stand."""
    rows = {row.item: row.verdict.value.replace("_", " ") for row in tended(made).care.rows}
    return {f"due {item}": rows.get(item, "missing") for item in items}


def wear(made: Bench, *names: str) -> Told:
    """How what wears stands against its limit today."""
    found = {each.followed.name: each.wear.verdict.value.replace("_", " ") for each in tended(made).series}
    return {f"wear {name}": found.get(name, "missing") for name in names}


@contextmanager
def past(made: Bench, **ago: float) -> Iterator[None]:
    """Write events at an earlier time, then come back to now."""
    now: datetime = made.clock.now()
    made.clock.advance(-timedelta(**ago).total_seconds())
    yield
    made.clock.advance((now - made.clock.now()).total_seconds())


def outing(made: Bench, minutes: float = 60.0, **more: object) -> str:
    """A run that has ended, with its shaft hours, from now on; her list after it is not walked."""
    run = made.keep("run.started", {"pack": "D2"}).id
    made.clock.advance(60.0 * minutes)
    made.keep("run.ended", {"pack": "D2", "reason": "plan", "shaft_time": 60.0 * minutes, **more}, run=run)
    return run


def serviced(made: Bench, days: float, *items: str) -> None:
    """Services written down so many days ago."""
    with past(made, days=days):
        for item in items:
            made.keep("serviced", {"item": item})


def no_load(made: Bench, amperes: float) -> Told:
    """The no-load current ahead as the bench list reads it, over a baseline of five like readings."""
    for day in range(5, 0, -1):
        with past(made, days=day):
            value = {"si": 0.61 + 0.005 * (day % 3), "u95": 0.01}
            conditions = {"volts": {"si": 7.6}, "temperature": {"si": 289.15}}
            made.keep("measured", {"path": "shaft.no_load.ahead", "value": value, "conditions": conditions})
    made.day()
    return line(made, "bench/no-load", "7.6", f"{amperes}", "0.62")


def view(made: Bench, name: str, *slugs: str) -> list[dict[str, Any]]:
    """Rows of a view of the exported database, over the bench's log."""
    log = made.session.log(made.slug)
    book = book_of(made.session, slugs or (made.slug,), made.clock.now(), log)
    with closing(sqlite3.connect(":memory:")) as base:
        base.deserialize(database(book))
        base.row_factory = sqlite3.Row
        return [dict(row) for row in base.execute(f"SELECT * FROM {name}")]


def keel(sheet: Sheet) -> Told:
    """The deepest keel while under control, and what it says binds a plan that goes deeper."""
    found = KEYS["depth.keel"](sheet)[0]
    outside = found.verdict is Verdict.OUTSIDE
    return {
        "depth.keel:under control": found.verdict.value,
        "binds depth.keel": found.binds[0] if outside else "nothing",
    }
