"""What the log teaches, gathered; proofs as limits see them; openings, lead moved; a pack run down in another boat."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from calibration_log import START, Log

from divelog.calibration.model import Observed, Parts
from divelog.calibration.observed import observe, opened_since_wiped, trim_moves
from divelog.proofs.model import Proof, ProofReport, State

WATER = {"word": "bone dry", "si": 0.0, "looked": "opened"}


def test_nothing_teaches_nothing():
    assert observe([], 0.0) == Observed()


def test_everything_at_its_moment():
    log = Log()
    log.charge(0.0)
    log.run(1, 40)
    log.charge(1.5, coulombs=4800.0)
    log.measured(2, "shaft.no_load.ahead", 0.6)
    log.measured(2, "joint.drop", 0.010, "motor", current=5.0)
    log.measured(2, "ballast.fill_time", 38.0, volts=7.6)
    log.add(
        2, "mass.moved", {"piece": "lead", "mass": {"si": 0.01, "u95": 0.001}, "from": "box", "to": "bow"}
    )
    log.add(
        3, "measured", {"path": "shaft.no_load.astern", "value": {"si": 0.7}}, v=7
    )  # from a newer program
    found = observe(log.events, log.seconds(2.5), parts=Parts({"D2": "lithium polymer"}))
    assert found.charge_per_minute == {"D2": pytest.approx((4800 * 0.99 / 2400,))}
    assert found.charged_full == {"D2": pytest.approx(24.0)}
    assert found.no_load["ahead"].values == (0.6,)
    assert found.joints == {"motor": pytest.approx((0.002,))}
    assert found.times["fill"].values == (38.0,)
    assert found.timed_at == {"fill": 7.6}
    assert [m.si for m in found.trim_moves] == [-0.01]
    assert "astern" not in found.no_load
    # what comes after the moment asked for is not there yet
    before = observe(log.events, log.seconds(1.2))
    assert before.no_load == {}
    assert before.charged_full == {}


def test_a_pack_that_another_boat_ran_down_is_not_full():
    mine, other = Log(), Log("bulrush")
    mine.charge(0.0)
    other.run(1, 30)
    alone = observe(mine.events, mine.seconds(2))
    shared = observe(
        mine.events, mine.seconds(2), packs=sorted((*mine.events, *other.events), key=lambda e: e.at)
    )
    assert alone.charged_full == {"D2": pytest.approx(48.0)}
    assert shared.charged_full == {}


def test_proofs_as_limits_see_them():
    proofs = (
        Proof("look", "", State.PROVED, START, "a"), Proof("pack", "D2", State.TO_PROVE, None, "b", "run ended"),
        Proof("range", "", State.NEVER), Proof("trim", "", State.CLAIMED),
    )  # fmt: skip
    report = ProofReport(proofs, 0.8, "a", ())
    found = observe([], 0.0, report).proofs
    assert (found["look"].stands, found["look"].since) == (True, START.isoformat())
    assert (found["pack:D2"].stands, found["pack:D2"].because) == (False, "run ended")
    assert (found["range"].because, found["trim"].because) == ("never", "claimed")
    assert observe([], 0.0, report).dry_depth == 0.8


def test_the_day_is_the_local_one_where_it_is_given():
    log = Log()
    for minute in range(6):
        log.measured(16 / 24 + minute / 1440, "shaft.no_load.ahead", 0.6)  # midnight at the pond, 23 h in UTC
    now = log.seconds(1)
    today = log.events[-1].local.date()
    assert datetime.fromtimestamp(log.seconds(16 / 24), UTC).date() != today
    assert len(observe(log.events, now, today=today).no_load["ahead"].values) == 5
    assert len(observe(log.events, now).no_load["ahead"].values) in (5, 6)


# -- openings -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("story", "count"),
    [
        ("", 0), ("o", 0), ("c o", 1), ("c o c o", 2), ("c o w", 0), ("c w o", 0), ("c o w c", 0), ("c o w c o", 1),
        ("c o c o w o", 0), ("o o o", 0), ("c o o", 1), ("c o n", 1),
    ],
)  # fmt: skip
def test_openings_since_somebody_wiped(story, count):
    log = Log()
    kinds = {
        "o": ("opened", {}),
        "c": ("closed", {}),
        "w": ("water.found", WATER),
        "n": ("water.found", {"looked": "not"}),
    }
    for hour, letter in enumerate(story.split()):
        log.add(hour / 24, *kinds[letter])
    assert opened_since_wiped(log.events) == count


# -- lead -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("came", "went", "kilograms"),
    [
        ("box", "bow", [-0.01]),
        ("bow", "ashore", [0.01]),
        ("bow", "stern", []),
        ("", "bow", [-0.01]),
        ("Bench", "bow", [-0.01]),
    ],
)
def test_lead_that_came_or_went(came, went, kilograms):
    log = Log()
    log.add(0, "mass.moved", {"piece": "lead", "mass": {"si": 0.01, "u95": 0.002}, "from": came, "to": went})
    assert [m.si for m in trim_moves(log.events)] == pytest.approx(kilograms)
    assert all(m.u95 == 0.002 for m in trim_moves(log.events))


@pytest.mark.parametrize(
    ("what", "data", "forgotten"),
    [
        ("check.answered", {"gives": ["trim"]}, True), ("check.answered", {"gives": "trim"}, True),
        ("check.answered", {"gives": ["look"]}, False), ("check.answered", {}, False), ("check.answered", {"gives": 3}, False),
        ("measured", {"path": "boat.dived_balance", "value": {"si": 0.02}}, True),
        ("measured", {"path": "boat.mass", "value": {"si": 5.0}}, False),
        ("boat.filed", {"changed": ["dived_balance"]}, True), ("boat.filed", {"changed": ["boat.trimmed_at.on"]}, True),
        ("boat.filed", {"changed": ["mass"]}, False),
    ],
)  # fmt: skip
def test_moves_before_the_record_are_in_it(what, data, forgotten):
    log = Log()
    log.add(0, "mass.moved", {"mass": {"si": 0.01}, "from": "box", "to": "bow"})
    log.add(1, what, data)
    assert (trim_moves(log.events) == ()) is forgotten
    log.add(2, "mass.moved", {"mass": {"si": 0.02}, "from": "box", "to": "bow"})
    assert trim_moves(log.events)[-1].si == -0.02


@pytest.mark.parametrize("mass", [None, "10 g", {"si": None, "state": "unknown"}])
def test_lead_of_no_known_mass_is_no_move(mass):
    log = Log()
    log.add(0, "mass.moved", {"mass": mass, "from": "box", "to": "bow"})
    assert trim_moves(log.events) == ()
