"""The walks of the sample logbook, read back by the walk itself: every one a whole walk, one of them to be carried on."""

from __future__ import annotations

import pytest

from divelog.app.demo import MORNING
from divelog.checks import walk as walking
from divelog.checks.around import Around
from divelog.checks.asking import line_states
from divelog.checks.reading import read_list
from divelog.checks.state import Mark, Walk, take
from divelog.clock import FixedClock, Moment
from divelog.home import Home, data_folder
from divelog.journal.events import Event
from divelog.profiles.facts import plain_value
from divelog.proofs import Question, State, fold_proofs
from divelog.proofs.table import RULES
from divelog.session.session import Asked, Session, boat_facts
from divelog.session.shelf import read_shelf

HOME = Home(data_folder("sample_boats"))
SESSION = Session.reading(HOME, FixedClock(MORNING), read_shelf(HOME))
BOATS = ("tansy", "bulrush", "bramble", "juniper")


def checklist(name: str):
    path = data_folder("checklists") / f"{name}.toml"
    found = read_list(path.read_bytes(), path.name)
    assert found.faults == ()
    return found


def around(slug: str, at) -> Around:
    boat = SESSION.shelf.boats[slug]
    facts = SESSION.facts(Asked(slug, boat, None, None, at))
    enclosed = plain_value(facts.site.value("kind")) in ("pool", "tank")
    events = [e for e in SESSION.log(slug).events if e.at <= at and e.when <= at]
    report = fold_proofs(events, boat_facts(boat, SESSION.shelf, slug, enclosed), Question(at))
    return Around(facts, report, lambda *asked: None, events, Moment(at, 0.0, "reader"))


STARTED = [
    (slug, event)
    for slug in BOATS
    for event in SESSION.log(slug).events
    if event.what == "check.started" and event.boat == slug
]


def walked(slug: str, started: Event) -> tuple[Walk, set[str]]:
    """The walk as its own events leave it, and the lines somebody answered or left out."""
    data = started.payload()
    found = Walk(checklist(data["list"]), slug, started.run)
    lines: set[str] = set()
    for event in SESSION.log(slug).events:
        if event.at < started.at or event.boat != slug:
            continue
        if event.what.startswith("check.") and event.payload().get("check") not in (started.id, None):
            continue
        if event.what == "check.ended" and event.payload()["list"] != data["list"]:
            continue
        found = take(found, event, around(slug, event.local))
        if event.what in ("check.answered", "check.skipped") and event.payload().get("check") == started.id:
            lines.add(event.payload()["line"])
        if found.ended:
            break
    return found, lines


@pytest.mark.parametrize(
    ("slug", "started"),
    STARTED,
    ids=[f"{slug} {e.payload()['list']} {e.local:%d %b %Y %H:%M}" for slug, e in STARTED],
)
def test_every_walk_reads_back_whole(slug, started):
    walk, lines = walked(slug, started)
    assert walk.check == started.id
    assert walk.partial_line == ""  # no line was left half answered
    assert {record.line for record in walk.records} == lines
    for record in walk.records:
        if record.line == "water" and slug == "juniper" and record.mark is Mark.OUTSIDE:
            continue  # the teaspoon of 2 May
        if record.line == "deepest":
            continue  # beyond what was shown, now and then
        assert record.right or record.mark in (Mark.SKIPPED, Mark.NOT_FITTED), record
    if walk.ended:
        end = next(
            e for e in SESSION.log(slug).events
            if e.what == "check.ended" and e.at >= started.at and e.boat == slug
            and e.payload()["list"] == started.payload()["list"]
        )  # fmt: skip
        assert started.run == end.run
        if end.payload()["complete"]:
            applied = {one.line.id for one in line_states(walk, around(slug, end.local)) if one.mark is None}
            assert applied == set(), "lines that apply to her and were never asked"
    else:
        assert (slug, started.payload()["list"]) == ("bramble", "before-dive")


def test_there_are_walks_of_every_kind():
    assert {event.payload()["list"] for _, event in STARTED} >= {
        "before-dive", "after-run", "at-home", "storage", "season", "tank-trim",
    }  # fmt: skip
    assert {slug for slug, event in STARTED if event.payload()["list"] == "before-dive"} == set(BOATS)


def test_bramble_is_carried_on_at_the_line_that_was_last_answered():
    now = around("bramble", MORNING)
    walk = walking.resume(checklist("before-dive"), now)
    assert walk is not None
    assert walk.paused
    assert walk.paused_at == "dip"
    again = walking.asked_again(walk, now)
    assert again is not None
    assert again.id == "count"  # six minutes away: closing up goes on, from the line before
    _, [resumed] = walking.carry_on(walk, now)
    assert resumed.what == "check.resumed"
    assert resumed.data["line"] == "count"


def test_nobody_else_is_in_the_middle_of_a_list_before_the_dive():
    for slug in ("tansy", "bulrush", "juniper"):
        assert walking.resume(checklist("before-dive"), around(slug, MORNING)) is None


@pytest.mark.parametrize("slug", BOATS)
def test_a_launch_was_called_with_what_was_open_then(slug):
    called = [e for e in SESSION.log(slug).events if e.what == "launch.called" and e.boat == slug]
    assert called
    for event in called:
        now = around(slug, event.local)
        pack = now.word("plan.pack")
        still = [
            f"{RULES[proof.proof].title} to prove"
            for proof in now.report.proofs
            if proof.required and proof.state in (State.TO_PROVE, State.NEVER, State.CLAIMED)
            if proof.item in ("", pack, "G1")
        ]
        assert event.payload()["open"] == still
        assert now.report.defects == ()
