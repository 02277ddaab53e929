"""What a session folds from its logs is folded once, and anew as soon as a log, the minute or a profile is another."""

from __future__ import annotations

import shutil
from datetime import datetime
from pathlib import Path

import pytest

from divelog.clock import FixedClock
from divelog.home import Home
from divelog.journal.writing import Journal
from divelog.profiles.document import Basis
from divelog.session.session import Asked, Session
from divelog.session.shelf import read_shelf

SAMPLES = Path(__file__).resolve().parents[2] / "sample_boats"
MORNING = datetime.fromisoformat("2032-05-04T08:04:00+01:00")


@pytest.fixture
def session(tmp_path: Path) -> Session:
    root = tmp_path / "home"
    shutil.copytree(SAMPLES, root, ignore=shutil.ignore_patterns("logbook"))
    clock = FixedClock(MORNING)
    home = Home(root)
    return Session(home, clock, read_shelf(home), Journal(home, "laptop", clock=clock))


def _asked(session: Session, slug: str = "tansy") -> Asked:
    return Asked(slug, session.shelf.boats[slug], None, "withy-pond", session.clock.now())


def _measure(session: Session, kilograms: float) -> str:
    data = {"path": "boat.mass", "value": {"si": kilograms, "u95": 0.01}}
    return session.append("measured", data, boat="tansy").id


def test_the_same_question_is_answered_by_what_is_kept(session):
    asked = _asked(session)
    assert session.observed(asked) is session.observed(asked)
    assert session.facts(asked).measured == {}


def test_every_event_counts_at_once(session):
    _measure(session, 5.80)
    assert session.facts(_asked(session)).get("boat.mass").value.si == 5.80
    wrong = _measure(session, 6.90)
    assert session.facts(_asked(session)).get("boat.mass").value.si == 6.90
    # a correction makes no event more of those that count, and counts all the same
    session.append("corrected", {"id": wrong, "void": True, "why": "the wrong boat"}, boat="tansy")
    assert session.facts(_asked(session)).get("boat.mass").value.si == 5.80
    fact = session.sheet(_asked(session)).num("boat.mass")
    assert (fact.si, fact.basis) == (5.80, Basis.MEASURED)


def test_readings_of_today_count_at_once(session):
    limit = {"key": "battery.rest_voltage", "item": "D2"}
    for volts in (8.31, 8.20):
        data = {"list": "before-dive", "line": "volts", "limit": limit, "value": {"si": volts, "u95": 0.04}}
        session.append("check.answered", data, boat="tansy")
        assert session.sheet(_asked(session)).reading("battery.rest_voltage", "D2").si == volts


def test_a_charge_counts_at_once_and_hours_go_on(session):
    session.append("charged", {"pack": "D2", "to": "full"}, boat="tansy")
    assert session.observed(_asked(session)).charged_full == {"D2": 0.0}
    session.clock.advance(3600.0)
    assert session.observed(_asked(session)).charged_full == {"D2": pytest.approx(1.0)}
    session.append("run.started", {"pack": "D2"}, boat="tansy")
    assert session.observed(_asked(session)).charged_full == {}


def test_a_pack_run_down_in_another_boat_is_not_full_here(session):
    other = session.home.boat_file("bulrush")
    other.write_text(
        other.read_text(encoding="utf-8").replace('drive_packs = ["P1"]', 'drive_packs = ["P1", "D2"]'),
        encoding="utf-8",
    )
    session.forget()
    session.append("charged", {"pack": "D2", "to": "full"}, boat="tansy")
    session.clock.advance(60.0)
    assert session.observed(_asked(session)).charged_full
    session.append("run.started", {"pack": "D2"}, boat="bulrush")
    session.clock.advance(60.0)
    assert session.observed(_asked(session)).charged_full == {}


def test_many_questions_do_not_pile_up(session):
    for _ in range(200):
        session.clock.advance(60.0)
        session.observed(_asked(session))
    assert len(session._folded) <= 66


def test_without_history_nothing_is_folded(session):
    _measure(session, 5.80)
    asked = Asked("tansy", session.shelf.boats["tansy"], None, "withy-pond", MORNING, history=False)
    assert session.facts(asked).measured == {}
    assert session.observed(asked).proofs == {}


_LIMIT = {"key": "battery.rest_voltage", "item": "D2"}
_A_DAYS_EVENTS = (
    ("day.opened", {"site": "withy-pond", "water": "fresh"}),
    ("note", {"text": "a still morning"}),
    ("check.answered", {"list": "before-dive", "line": "volts", "limit": _LIMIT, "value": {"si": 8.31, "u95": 0.04}}),
    ("check.answered", {"list": "before-dive", "line": "drops", "limit": {"key": "terminals.drop", "item": "bullet"},
                        "value": {"si": 0.02, "u95": 0.001}, "conditions": {"current": {"si": 10.0}}}),
    ("measured", {"path": "boat.mass", "value": {"si": 5.8, "u95": 0.01}}),
    ("mass.moved", {"piece": "lead", "mass": {"si": 0.02, "u95": 0.001}, "from": "off", "to": "keel"}),
    ("check.answered", {"list": "tank-trim", "line": "trim", "gives": ["trim"]}),
    ("charged", {"pack": "D2", "to": "full"}),
    ("closed", {"which": ["bow cap"]}), ("opened", {"which": ["bow cap"]}),
    ("serviced", {"item": "terminals"}),
    ("run.started", {"pack": "D2"}), ("switched", {"device": "transmitter", "to": "off"}),
)  # fmt: skip


@pytest.mark.parametrize("turn", range(3))
def test_what_is_carried_over_an_event_is_what_a_fresh_reading_finds(session, turn):
    session.observed(_asked(session))
    more = len(_A_DAYS_EVENTS)
    for n in range(2 * more):
        what, data = _A_DAYS_EVENTS[(n * (1, 5, 7)[turn]) % more]
        session.append(what, data, boat="tansy")
        session.clock.advance(20.0)
        fresh = Session(session.home, session.clock, session.shelf, None)
        asked = _asked(session)
        assert session.observed(asked) == fresh.observed(asked), what
        assert session.facts(asked).measured == fresh.facts(asked).measured, what
        assert session.sheet(asked).readings == fresh.sheet(asked).readings, what


def test_an_event_that_says_nothing_of_a_question_leaves_its_answer(session):
    _measure(session, 5.80)
    asked = _asked(session)
    session.observed(asked)
    learnt = [kept for key, (_, kept) in session._folded.items() if key[0] == "learnt"]
    session.append("note", {"text": "a still morning"}, boat="tansy")
    assert [kept for key, (_, kept) in session._folded.items() if key[0] == "learnt"] == learnt
    _measure(session, 5.90)
    assert not [key for key in session._folded if key[0] in ("learnt", "measured")]


def test_an_event_still_ahead_counts_once_its_time_has_come(session):
    session.append(
        "charged", {"pack": "D2", "to": "full"}, boat="tansy", happened="2032-05-04T08:30:00+01:00"
    )
    assert session.observed(_asked(session)).charged_full == {}
    session.append("note", {"text": "later still"}, boat="tansy", happened="2032-05-04T08:40:00+01:00")
    assert session.observed(_asked(session)).charged_full == {}
    session.clock.advance(30 * 60.0)
    assert session.observed(_asked(session)).charged_full == {"D2": pytest.approx(4 / 60)}
