"""What the log counts for upkeep, held against the worked journal and against sums done by hand."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import Raw

from divelog.clock import FixedClock
from divelog.history.folding import fold
from divelog.home import Home, data_folder
from divelog.journal.events import Event
from divelog.journal.loading import LoadedJournal, load_files
from divelog.session.care import Use, care, counts_of, lately, planned, used
from divelog.session.session import Asked, Session
from divelog.session.shelf import read_shelf
from divelog.session.tending import packs_of, tend
from divelog.upkeep.due import DueRow, DueVerdict
from divelog.upkeep.intervals import parse_interval
from divelog.upkeep.schedule import SealEntry, Service

JOURNAL = Path(__file__).resolve().parents[1] / "data" / "worked_journal.jsonl"
GREASE = Service("shaft_grease", "shaft grease", parse_interval("4 h or 30 d"))
RING = Service("seal.aft_cap", "aft cap seal", parse_interval("12 mo or 50 closings"), seal=True)


def session_at(moment: str, log: LoadedJournal | None = None) -> Session:
    """The sample boats with a log of Tansy and nothing else."""
    home = Home(data_folder("sample_boats"))
    session = Session.reading(home, FixedClock(datetime.fromisoformat(moment)), read_shelf(home))
    for slug in session.shelf.boats:
        session._logs[slug] = load_files({}, slug)
    if log is not None:
        session._logs["tansy"] = log
    return session


@pytest.fixture(scope="module")
def worked() -> dict[str, DueRow]:
    """Due rows of Tansy at 4 May 2032, 09:35, from the worked journal."""
    log = load_files({"tansy/x.jsonl": JOURNAL.read_bytes()}, "tansy")
    moment = "2032-05-04T09:35:00+01:00"
    found = tend(session_at(moment, log), "tansy", datetime.fromisoformat(moment))
    return {row.item: row for row in found.care.rows}


# The line "Due" of the worked journal: grease within, 23 of 30 d bind (0.767), 1.033 of 4 h, due 11 May 2032, no date by
# hours; shaft seal 184 of 365 d; aft cap ring 64 of 365 d, 1 of 50 closings; dry_long to prove; joints never; the rest
# unknown.
def test_the_worked_journal_greases(worked):
    grease = worked["shaft_grease"]
    assert grease.verdict is DueVerdict.WITHIN
    assert grease.share == pytest.approx(0.767, abs=5e-4)
    assert (grease.used, grease.allowed, grease.unit) == (23, 30, "d")
    assert {u.unit: u.used for u in grease.uses}["h"] == pytest.approx(1.033, abs=5e-4)
    assert grease.due == date(2032, 5, 11)
    assert grease.due_by == "days"


@pytest.mark.parametrize(("item", "used", "allowed"), [("seal.shaft", 184, 365), ("seal.aft_cap", 64, 365)])
def test_the_worked_journal_counts_days_of_seals(worked, item, used, allowed):
    assert (worked[item].verdict, worked[item].used, worked[item].allowed) == (
        DueVerdict.WITHIN,
        used,
        allowed,
    )


def test_the_worked_journal_counts_a_closing(worked):
    closings = next(u for u in worked["seal.aft_cap"].uses if u.counter == "closings")
    assert (closings.used, closings.allowed) == (1, 50)


def test_the_worked_journal_asks_for_proofs(worked):
    assert (worked["dry_long"].verdict, worked["dry_long"].because) == (DueVerdict.TO_PROVE, "touched bottom")
    assert (worked["joints"].verdict, worked["joints"].because) == (DueVerdict.TO_PROVE, "never")


@pytest.mark.parametrize("item", ["linkages", "ballast", "terminals"])
def test_what_nobody_wrote_is_unknown_and_never_nought(worked, item):
    assert worked[item].verdict is DueVerdict.UNKNOWN
    assert worked[item].used is None
    assert worked[item].because == "no service written down"


def test_nothing_else_is_due(worked):
    assert set(worked) == {
        "shaft_grease", "seal.shaft", "seal.aft_cap", "dry_long", "joints", "linkages", "ballast", "terminals",
    }  # fmt: skip


# -- by hand ----------------------------------------------------------------------------------------------------------


def at(text: str) -> datetime:
    return datetime.fromisoformat(f"2032-{text}:00+00:00")


class Log:
    """A little log of one boat."""

    def __init__(self) -> None:
        self.events: list[Event] = []

    def put(self, what: str, when: str, data: Any = None, **more: Any) -> str:
        identity = f"e{len(self.events):03d}"
        raw = Raw(msgspec.json.encode(data or {}))
        boat = more.pop("boat", "tansy")
        self.events.append(Event(id=identity, what=what, when=at(when), data=raw, boat=boat, **more))
        return identity

    def run(self, start: str, end: str, **data: Any) -> None:
        identity = self.put("run.started", start, {"pack": "D2"})
        self.put("run.ended", end, {"pack": "D2", **data}, run=identity)

    def use(self) -> Use:
        ordered = sorted(self.events, key=lambda e: (e.at, e.id))
        return used(ordered, fold(ordered), "tansy")


def test_shaft_hours_are_guessed_where_nobody_timed_them():
    log = Log()
    log.run("05-01T09:00", "05-01T10:00")  # 60 min x 0.8
    log.run("05-02T09:00", "05-02T10:00", shaft_time=1800)
    use = log.use()
    assert [run.hours for run in use.runs] == [pytest.approx(0.8), pytest.approx(0.5)]
    assert [run.guessed for run in use.runs] == [True, False]
    assert use.hours == pytest.approx(1.3)
    assert use.hours_at(datetime(2032, 5, 1, 12, tzinfo=UTC)) == pytest.approx(0.8)


def test_salt_counts_twice_and_only_since_the_service():
    log = Log()
    log.put("day.opened", "05-01T08:00", {"site": "sluice-basin", "water": "brackish"}, boat=None)
    log.run("05-01T09:00", "05-01T10:00", shaft_time=3600)
    log.put("serviced", "05-01T11:00", {"item": "shaft_grease"})
    log.put("day.opened", "05-02T08:00", {"site": "sluice-basin", "water": "brackish"}, boat=None)
    log.run("05-02T09:00", "05-02T10:00", shaft_time=3600)
    log.put("day.opened", "05-03T08:00", {"site": "withy-pond", "water": "fresh"}, boat=None)
    log.run("05-03T09:00", "05-03T10:00", shaft_time=3600)
    counts = counts_of(GREASE, log.use(), {})
    assert counts is not None
    assert (counts.hours, counts.harsh, counts.runs, counts.wet_days) == (
        pytest.approx(2.0),
        pytest.approx(1.0),
        2,
        2,
    )
    assert counts.since == date(2032, 5, 1)


def test_a_service_before_a_run_and_one_after_it_differ():
    before, after = Log(), Log()
    before.put("serviced", "05-01T08:00", {"item": "shaft_grease"})
    before.run("05-01T09:00", "05-01T10:00", shaft_time=3600)
    after.run("05-01T09:00", "05-01T10:00", shaft_time=3600)
    after.put("serviced", "05-01T11:00", {"item": "shaft_grease"})
    hours = [counts_of(GREASE, log.use(), {}).hours for log in (before, after)]  # type: ignore[union-attr]
    assert hours == [pytest.approx(1.0), 0.0]


@pytest.mark.parametrize(
    ("what", "data"),
    [
        ("fitted", {"part": "seal", "item": "aft cap"}),
        ("fitted", {"part": "shaft", "seals": ["aft cap"]}),
        ("serviced", {"item": "seal.aft_cap"}),
    ],
)
def test_a_seal_begins_anew_where_it_was_fitted_or_seen_to(what, data):
    log = Log()
    for day in ("01", "02", "03"):
        log.put("closed", f"05-{day}T09:00", {"which": ["aft cap", "fore cap"]})
    log.put(what, "05-02T12:00", data)
    seals = {"seal.aft_cap": SealEntry("aft cap", False, date(2032, 3, 1))}
    counts = counts_of(RING, log.use(), seals)
    assert counts is not None
    assert (counts.since, counts.closings) == (date(2032, 5, 2), 1)


def test_the_file_says_when_a_seal_was_fitted():
    log = Log()
    log.put("closed", "02-01T09:00", {"which": ["aft cap"]})
    log.put("closed", "04-01T09:00", {"which": ["aft cap"]})
    seals = {"seal.aft_cap": SealEntry("aft cap", False, date(2032, 3, 1))}
    counts = counts_of(RING, log.use(), seals)
    assert counts is not None
    assert (counts.since, counts.closings) == (date(2032, 3, 1), 1)
    assert counts_of(RING, log.use(), {}) is None


def test_a_new_pump_begins_the_ballast_anew():
    log = Log()
    log.put("fitted", "05-01T09:00", {"part": "pump"})
    assert log.use().bases["ballast"] == at("05-01T09:00")


def test_other_boats_and_newer_events_do_not_count():
    log = Log()
    log.put("serviced", "05-01T09:00", {"item": "shaft_grease"}, boat="bulrush")
    log.put("serviced", "05-01T09:00", {"item": "shaft_grease"}, v=99)
    assert log.use().bases == {}


def test_the_window_of_the_recent_rate():
    log = Log()
    log.run("03-10T09:00", "03-10T10:00", shaft_time=3600)  # 55 days before 4 May
    log.run("01-10T09:00", "01-10T10:00", shaft_time=3600)  # outside of 60 days
    log.put("closed", "03-10T08:00", {"which": ["aft cap"]})
    log.put("closed", "01-10T08:00", {"which": ["aft cap"]})
    found = lately(log.use(), date(2032, 5, 4), {"seal.aft_cap": SealEntry("aft cap", False)})
    assert (found.days, found.outings, found.runs, found.wet_days) == (60.0, 1, 1, 1)
    assert found.hours == pytest.approx(1.0)
    assert found.closings == {"seal.aft_cap": 1}


def test_ten_outings_widen_the_window():
    log = Log()
    for month in ("02", "03"):
        for day in ("02", "04", "06", "08", "10"):
            log.run(f"{month}-{day}T09:00", f"{month}-{day}T10:00", shaft_time=360)
    found = lately(log.use(), date(2032, 5, 4), {})
    assert found.days == (date(2032, 5, 4) - date(2032, 2, 2)).days
    assert found.outings == 10


def test_a_planned_run_counts_a_wet_day_only_once():
    log = Log()
    assert planned(None, log.use(), "fresh", date(2032, 5, 4)) is None
    first = planned(40.0, log.use(), "sea", date(2032, 5, 4))
    assert first is not None
    assert (first.wet_days, first.harsh) == (1, True)
    assert first.hours == pytest.approx(0.8 * 40 / 60)
    log.run("05-04T09:00", "05-04T10:00")
    again = planned(40.0, log.use(), "fresh", date(2032, 5, 4))
    assert again is not None
    assert (again.wet_days, again.harsh) == (0, False)


def test_what_has_not_happened_yet_is_not_counted():
    log = Log()
    log.put("serviced", "05-01T09:00", {"item": "shaft_grease"})
    log.put("serviced", "05-09T09:00", {"item": "shaft_grease"})
    now = at("05-04T09:00")
    session = session_at(now.isoformat())
    sheet = session.sheet(Asked("tansy", session.shelf.boats["tansy"], None, None, now))
    report = session.proofs("tansy", session.shelf.boats["tansy"], now)
    events = sorted(log.events, key=lambda e: e.at)
    rows = care(events, fold(events, now), "tansy", sheet, report, now).rows
    grease = next(row for row in rows if row.item == "shaft_grease")
    assert grease.used == 3


@given(st.permutations(range(6)))
def test_the_order_of_the_files_does_not_matter(order):
    log = Log()
    log.put("serviced", "05-01T08:00", {"item": "shaft_grease"})
    log.run("05-01T09:00", "05-01T10:00", shaft_time=3600)
    log.put("closed", "05-01T08:30", {"which": ["aft cap"]})
    log.run("05-02T09:00", "05-02T10:00", shaft_time=3600)
    shuffled = [log.events[n] for n in order]
    ordered = sorted(shuffled, key=lambda e: (e.at, e.id))
    use = used(ordered, fold(ordered), "tansy")
    assert use == log.use()


def test_packs_with_what_they_must_hold():
    session = session_at("2032-05-04T09:00:00+01:00")
    now = session.clock.now()
    sheet = session.sheet(Asked("tansy", session.shelf.boats["tansy"], None, None, now))
    packs = {each.pack: each for each in packs_of(sheet)}
    assert next(iter(packs)) == "D2"
    assert packs["D2"].measured is not None
    assert packs["D2"].measured.si == pytest.approx(4.7 * 3600)
    assert packs["D2"].least == pytest.approx(0.8 * 5 * 3600)  # lithium: under 80 % it retires
