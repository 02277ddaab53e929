"""Charge rates and full packs: from full to full, cut where what drives her changed, over every boat a pack sat in."""

from __future__ import annotations

from datetime import timedelta

import pytest
from calibration_log import START, Log
from hypothesis import given
from hypothesis import strategies as st

from divelog.calibration.charges import LEAST_RUN, charge_rates, charged_full, ran_since_charge
from divelog.calibration.model import Parts
from divelog.clock import stamp

LITHIUM = Parts({"D2": "lithium polymer"})


def _cycle(log: Log, day: float, minutes: float, coulombs: float | None, to: str = "full") -> None:
    log.run(day, minutes)
    log.charge(day + 0.5, coulombs=coulombs, to=to)


def test_from_full_to_full():
    log = Log()
    log.charge(0.0)
    _cycle(log, 1, 40, 7200.0)
    _cycle(log, 2, 30, 6000.0)
    rates = charge_rates(log.events, LITHIUM)
    # put back x 0.99 over the seconds run
    assert rates == {"D2": pytest.approx((7200.0 * 0.99 / 2400.0, 6000.0 * 0.99 / 1800.0))}


@pytest.mark.parametrize(
    ("chemistry", "gives"),
    [
        ("lithium polymer", 0.99),
        ("sealed lead-acid", 0.85),
        ("nickel metal hydride", 0.70),
        ("", 1.0),
        ("wishful", 1.0),
    ],
)
def test_charge_put_back_is_not_charge_used(chemistry, gives):
    """Charge out over charge in: lead-acid about 0.85, lithium 0.99, nickel 0.70 (battery references); whole where unknown."""
    log = Log()
    log.charge(0.0)
    _cycle(log, 1, 40, 2400.0)
    assert charge_rates(log.events, Parts({"D2": chemistry}))["D2"] == pytest.approx((gives,))


def test_two_runs_on_one_charge_are_one_rate():
    log = Log()
    log.charge(0.0)
    log.run(1.0, 20)
    log.run(1.1, 20)
    log.charge(1.5, coulombs=4800.0)
    assert charge_rates(log.events, Parts())["D2"] == pytest.approx((2.0,))


@pytest.mark.parametrize(
    "spoil",
    [
        "not full before",
        "not full after",
        "no charge written",
        "too short",
        "nothing put back",
        "run still on",
    ],
)
def test_what_says_nothing(spoil):
    log = Log()
    log.charge(0.0, to="storage" if spoil == "not full before" else "full")
    if spoil == "run still on":
        log.add(0.9, "run.started", {"pack": "D2"})
    log.run(1.0, LEAST_RUN / 60 - 0.1 if spoil == "too short" else 40)
    coulombs = {"no charge written": None, "nothing put back": 0.0}.get(spoil, 4800.0)
    log.charge(1.5, coulombs=coulombs, to="storage" if spoil == "not full after" else "full")
    assert charge_rates(log.events, Parts()) == {}


@pytest.mark.parametrize(
    ("fitted", "cuts"),
    [
        ({"part": "propeller"}, True), ({"part": "shaft"}, True), ({"part": "coupling"}, True), ({"part": "controller"}, True),
        ({"part": "seal", "item": "shaft"}, True), ({"part": "seal"}, True), ({"part": "seal", "item": "aft cap"}, False),
        ({"part": "other", "item": "drive motor"}, True), ({"part": "other", "item": "hull"}, True),
        ({"part": "other", "item": "lamp"}, False), ({"part": "pack", "item": "D2"}, False), ({"part": "servo"}, False),
    ],
)  # fmt: skip
def test_cut_at_a_change_of_what_drives_her(fitted, cuts):
    log = Log()
    log.charge(0.0)
    _cycle(log, 1, 40, 4800.0)
    log.add(2.0, "fitted", fitted)
    _cycle(log, 3, 40, 9600.0)
    found = charge_rates(log.events, Parts(moving_seals=frozenset({"shaft"}))).get("D2", ())
    assert found == pytest.approx((4.0,) if cuts else (2.0, 4.0))


def test_a_change_between_run_and_charge_spoils_that_charge():
    log = Log()
    log.charge(0.0)
    log.run(1.0, 40)
    log.add(1.2, "fitted", {"part": "propeller"})
    log.charge(1.5, coulombs=4800.0)
    _cycle(log, 2, 40, 9600.0)
    assert charge_rates(log.events, Parts())["D2"] == pytest.approx((4.0,))


def test_a_service_is_no_change():
    log = Log()
    log.charge(0.0)
    _cycle(log, 1, 40, 4800.0)
    log.add(2.0, "serviced", {"item": "shaft_grease"})
    assert charge_rates(log.events, Parts())["D2"] == pytest.approx((2.0,))


def test_packs_are_kept_apart_and_a_run_without_a_name_has_that_of_its_start():
    log = Log()
    log.charge(0.0)
    log.charge(0.0, "D3")
    start = log.add(1.0, "run.started", {"pack": "D3"})
    log.add(1.0 + 40 / 1440, "run.ended", {}, run=start.id)
    log.charge(1.5, "D3", 2400.0)
    log.charge(1.5, "D2", 300.0)  # topped up, never run
    log.charge(1.6, "", 2400.0)
    assert charge_rates(log.events, Parts()) == {"D3": pytest.approx((1.0,))}


def test_an_end_without_a_start_says_nothing():
    log = Log()
    log.charge(0.0)
    log.add(1.0, "run.ended", {"pack": "D2"}, run="nobody")
    log.charge(1.5, coulombs=4800.0)
    assert charge_rates(log.events, Parts()) == {}


def test_seconds_by_the_clock_that_counts_sleep():
    """The wall clock was set forward by an hour in the run; the machine's own seconds stand."""
    log = Log()
    log.charge(0.0)
    start = log.add(1.0, "run.started", {"pack": "D2"}, up=1000.0, boot="a")
    log.add(1.0 + 100 / 1440, "run.ended", {"pack": "D2"}, run=start.id, up=3400.0, boot="a")
    log.charge(1.5, coulombs=4800.0)
    assert charge_rates(log.events, Parts())["D2"] == pytest.approx((2.0,))


def test_a_run_typed_in_afterwards_goes_by_what_was_typed():
    log = Log()
    log.charge(0.0)
    began = stamp(START + timedelta(days=1))
    ended = stamp(START + timedelta(days=1, minutes=40))
    start = log.add(1.4, "run.started", {"pack": "D2"}, happened=began, up=10.0, boot="a")
    log.add(1.41, "run.ended", {"pack": "D2"}, run=start.id, happened=ended, up=20.0, boot="a")
    log.charge(1.5, coulombs=4800.0)
    assert charge_rates(log.events, Parts())["D2"] == pytest.approx((2.0,))


@given(st.lists(st.tuples(st.floats(10, 90), st.floats(100, 2e4)), max_size=6))
def test_rates_are_positive_and_one_a_charge(cycles):
    log = Log()
    log.charge(0.0)
    for day, (minutes, coulombs) in enumerate(cycles, 1):
        _cycle(log, float(day), minutes, coulombs)
    rates = charge_rates(log.events, LITHIUM).get("D2", ())
    assert len(rates) == len(cycles)
    assert all(rate > 0 for rate in rates)


# -- full packs -----------------------------------------------------------------------------------------------------


def test_full_since_its_last_run():
    log = Log()
    log.charge(0.0)
    assert charged_full(log.events, log.seconds(0.5)) == {"D2": pytest.approx(12.0)}
    log.run(1.0, 40)
    assert charged_full(log.events, log.seconds(2.0)) == {}
    log.charge(2.0)
    log.charge(2.0, "P1", to="storage")
    log.charge(2.0, "", None)
    assert charged_full(log.events, log.seconds(3.0)) == {"D2": pytest.approx(24.0)}
    log.charge(3.0, to="storage")
    assert charged_full(log.events, log.seconds(4.0)) == {}


def test_a_run_begun_is_use_enough_and_another_boats_run_too():
    log, other = Log(), Log("bulrush")
    log.charge(0.0)
    other.add(1.0, "run.started", {"pack": "D2"})
    merged = sorted((*log.events, *other.events), key=lambda e: e.at)
    assert charged_full(merged, log.seconds(2.0)) == {}
    assert charged_full(log.events, log.seconds(2.0)) == {"D2": pytest.approx(48.0)}


def test_never_before_the_charge():
    log = Log()
    log.charge(1.0)
    assert charged_full(log.events, log.seconds(0.5)) == {"D2": 0.0}


def test_runs_since_the_last_charge_say_in_which_boat_and_whether_she_is_still_out():
    log, other = Log(), Log("bulrush")
    log.charge(0.0)
    log.run(1.0, 40)
    out = other.add(1.5, "run.started", {"pack": "D2"})
    merged = sorted((*log.events, *other.events), key=lambda e: e.at)
    found = ran_since_charge(merged)["D2"]
    assert [(run.boat, run.on) for run in found] == [("tansy", False), ("bulrush", True)]
    assert (found[-1].run, found[-1].at) == (out.id, out.local)
    log.charge(2.0, to="storage")
    assert ran_since_charge(log.events) == {}


def test_a_run_takes_of_the_receivers_own_pack_and_charging_another_does_not():
    log = Log()
    receivers = {"tansy": "R1"}
    log.charge(0.0, "R1")
    assert charged_full(log.events, log.seconds(0.5), receivers) == {"R1": pytest.approx(12.0)}
    log.charge(0.6, to="storage")
    assert charged_full(log.events, log.seconds(1.0), receivers) == {"R1": pytest.approx(24.0)}
    log.run(1.0, 40)
    assert charged_full(log.events, log.seconds(2.0), receivers) == {}
    assert [run.boat for run in ran_since_charge(log.events, receivers)["R1"]] == ["tansy"]
