"""Shares of a ±, what-ifs, and what a measurement would buy.

Checked against the package `uncertainties` (first-order propagation) on a linear toy, against drawn samples on two real
keys, and against the key worked out again with the better ±.
"""

from __future__ import annotations

import math
import random
from dataclasses import replace
from itertools import pairwise

import pytest
import uncertainties
import worked

from divelog.limits import catalogue, sensitivity
from divelog.limits.guides import BY_PATH, GUIDES, Guide
from divelog.limits.model import Limit
from divelog.limits.registry import KEYS, key
from divelog.limits.sensitivity import FAILSAFE_PROVED, measure_next, number_of, one, response, shares
from divelog.limits.sheet import Sheet, UnknownError
from divelog.profiles.document import Basis
from divelog.profiles.facts import field_at

BOATS = ("tansy", "bulrush")


def _limit(sheet: Sheet, name: str, item: str = "") -> Limit:
    found = one(sheet, name, item)
    assert found is not None
    return found


@pytest.fixture
def toy(monkeypatch: pytest.MonkeyPatch):
    """3 x mass - 2 x displaced + mass again: one scale enters twice."""

    def work(s: Sheet) -> Limit:
        mass, volume, plan = s.num("boat.mass"), s.num("boat.displaced"), s.num("plan.depth")
        value = 3.0 * mass.si - 2000.0 * volume.si + mass.si + 0.0 * plan.si
        return replace(made.new(), value=value)

    made = key(
        "test.toy", "A toy", kind="estimate", sense="estimate", unit="kg", display="kg", step="", where="desk"
    )(work)
    KEYS.pop("test.toy")
    monkeypatch.setitem(KEYS, "test.toy", made)
    monkeypatch.setattr(catalogue, "ORDER", (*catalogue.ORDER, "test.toy"))
    return made


def test_agrees_with_first_order_propagation_on_a_linear_toy(toy):
    sheet = worked.sheet("tansy")
    limit = _limit(sheet, "test.toy")
    found = {row.input.path: row for row in shares(sheet, limit)}
    mass = uncertainties.ufloat(5.76, 0.005)  # ± 10 g is 95 %, two standard deviations
    volume = uncertainties.ufloat(6.21e-3, 5e-6)
    result = 4.0 * mass - 2000.0 * volume
    variance = result.std_dev**2
    parts = result.error_components()
    for path, known in (("boat.mass", mass), ("boat.displaced", volume)):
        assert found[path].share == pytest.approx(parts[known] ** 2 / variance, rel=1e-6)
        assert abs(found[path].moves) == pytest.approx(2 * parts[known], rel=1e-6)
    # moved together, once: 4 x 10 g, not 3 x 10 and 1 x 10 by themselves
    assert found["boat.mass"].moves == pytest.approx(0.040)
    assert found["today.plan[tansy].depth"].share == 0.0
    assert sum(row.share for row in found.values()) == pytest.approx(1.0)


@pytest.mark.parametrize("boat", BOATS)
def test_shares_of_every_result_sum_to_one_or_to_none(boat):
    sheet = worked.sheet(boat)
    for limit in catalogue.work_out(sheet):
        rows = shares(sheet, limit)
        assert len(rows) == len(limit.inputs)
        total = math.fsum(row.share for row in rows)
        assert total == pytest.approx(1.0) or total == 0.0
        assert [row.share for row in rows] == sorted((row.share for row in rows), reverse=True)
        for row in rows:
            assert 0.0 <= row.share <= 1.0
            if row.input.u95 == 0.0:
                assert row.share == 0.0


# Two keys whose number moves with several inputs, and drawn samples of those inputs (normal, 95 % = the ±).
DRAWN = [("tansy", "recovery.time_to_surface", ""), ("bulrush", "buoyancy.reserve", "")]


@pytest.mark.parametrize(("boat", "name", "item"), DRAWN)
def test_agrees_with_drawn_samples(boat, name, item):
    sheet = worked.sheet(boat)
    limit = _limit(sheet, name, item)
    rows = [row for row in shares(sheet, limit) if row.share > 0]
    rng = random.Random(20320504)
    drawn: list[tuple[list[float], float]] = []
    for _ in range(700):
        steps = [rng.gauss(0.0, row.input.u95 / 2) for row in rows]
        nudges = {row.input.path: step for row, step in zip(rows, steps, strict=True)}
        number = number_of(_limit(sheet.varied(nudges), name, item))
        assert number is not None
        drawn.append((steps, number))
    mean = math.fsum(number for _, number in drawn) / len(drawn)
    variance = math.fsum((number - mean) ** 2 for _, number in drawn) / (len(drawn) - 1)
    by_parts = math.fsum((row.moves / 2) ** 2 for row in rows)
    assert math.sqrt(variance) == pytest.approx(math.sqrt(by_parts), rel=0.10)
    for place, row in enumerate(rows):
        # share of the variance = squared correlation of result and input, for near-linear results
        sigma = row.input.u95 / 2
        together = math.fsum(steps[place] * (number - mean) for steps, number in drawn) / len(drawn)
        assert row.share == pytest.approx(together**2 / (sigma**2 * variance), abs=0.08), row.input.path


def test_number_of():
    blank = KEYS["depth.keel"].new()
    assert number_of(blank) is None
    assert number_of(replace(blank, low=1.0)) == 1.0
    assert number_of(replace(blank, low=1.0, high=2.0)) == 2.0
    assert number_of(replace(blank, low=1.0, high=2.0, value=3.0)) == 3.0


def test_an_input_that_cannot_be_at_its_high_end_is_moved_the_other_way(monkeypatch, toy):
    def work(s: Sheet) -> Limit:
        mass = s.num("boat.mass")
        if mass.si > 5.76:
            raise UnknownError(because="too heavy to tell")
        return replace(toy.new(), value=2.0 * mass.si)

    monkeypatch.setattr(toy, "work", work)
    sheet = worked.sheet("tansy")
    (row,) = shares(sheet, _limit(sheet, "test.toy"))
    assert row.moves == pytest.approx(0.020)
    assert row.share == 1.0

    def alone(s: Sheet) -> Limit:
        if s.nudges:
            raise UnknownError(because="only this one can be told")
        return replace(toy.new(), value=2.0 * s.num("boat.mass").si)

    monkeypatch.setattr(toy, "work", alone)
    (row,) = shares(sheet, _limit(sheet, "test.toy"))
    assert (row.moves, row.share) == (0.0, 0.0)


# -- how it moves ---------------------------------------------------------------------------------------------------


def test_response_of_a_straight_line(toy):
    sheet = worked.sheet("tansy")
    limit = _limit(sheet, "test.toy")
    entry = next(i for i in limit.inputs if i.path == "boat.mass")
    points = response(sheet, limit, entry, steps=4, reach=2.0)
    assert len(points) == 9
    assert points[0][0] == pytest.approx(5.76 - 0.02)
    assert points[-1][0] == pytest.approx(5.76 + 0.02)
    for (x0, y0), (x1, y1) in pairwise(points):
        assert (y1 - y0) / (x1 - x0) == pytest.approx(4.0)
    assert points[4][1] == pytest.approx(number_of(limit))


def test_response_to_what_has_no_spread_or_no_value():
    sheet = worked.sheet("tansy")
    limit = _limit(sheet, "battery.endurance", "D2")
    entry = next(i for i in limit.inputs if i.path == "boat.power.idle")
    assert entry.u95 == 0.0
    points = response(sheet, limit, entry, steps=2, reach=1.0)
    assert points[-1][0] == pytest.approx(entry.si * 1.1)
    assert response(sheet, limit, replace(entry, si=None)) == ()
    nought = replace(entry, path="boat.ballast.tank.height", si=0.0)
    assert response(sheet, limit, nought, steps=1, reach=1.0)[-1][0] == 1.0
    # where nothing can be told there is no point, and no fault
    unknown = replace(entry, path="kit.pack[D2].cells", si=2.0, u95=500.0)
    assert all(math.isfinite(y) for _, y in response(sheet, limit, unknown))


@pytest.mark.parametrize("boat", BOATS)
def test_trying_things_out_changes_nothing_that_is_stored(boat):
    sheet = worked.sheet(boat)
    before = catalogue.work_out(sheet.varied())
    limits = catalogue.work_out(sheet)
    facts = {
        name: dict(getattr(sheet.facts, name).facts) for name in ("boat", "kit", "site", "today", "settings")
    }
    measured, sets = dict(sheet.facts.measured), dict(sheet.facts.sets)
    keel = next(x for x in limits if x.key == "depth.keel")
    shares(sheet, keel)
    for entry in keel.inputs[:6]:
        response(sheet, keel, entry, steps=2)
    measure_next(sheet, limits)
    assert {name: dict(getattr(sheet.facts, name).facts) for name in facts} == facts
    assert (dict(sheet.facts.measured), dict(sheet.facts.sets)) == (measured, sets)
    assert catalogue.work_out(sheet) == before
    assert catalogue.work_out(sheet.varied()) == before


# -- what to measure next -------------------------------------------------------------------------------------------

NEXT = {
    # boat: guides in order; what they would buy, and where
    "tansy": [("charge put back", "battery.endurance"), ("time up", "recovery.time_to_surface")],
    "bulrush": [
        ("charge put back", "battery.endurance"),
        ("time up", "recovery.time_to_surface"),
        ("signal depth", "depth.keel"),
    ],
}


@pytest.mark.parametrize("boat", BOATS)
def test_what_the_sample_boats_are_told(boat):
    sheet = worked.sheet(boat)
    gains = measure_next(sheet, catalogue.work_out(sheet))
    assert [(g.guide.id, g.key) for g in gains] == NEXT[boat]


@pytest.mark.parametrize("boat", BOATS)
def test_what_is_promised_is_what_comes_of_it(boat):
    sheet = worked.sheet(boat)
    limits = catalogue.work_out(sheet)
    moved = [g for g in measure_next(sheet, limits, 30) if g.relative > 0]
    assert moved
    for gain in moved:
        limit = next(x for x in limits if (x.key, x.item) == (gain.key, gain.item))
        sets = {}
        for path in {sheet.facts.canonical(p) for p in gain.guide.paths}:
            entry = next((i for i in limit.inputs if i.path == path), None)
            if entry is not None and entry.si is not None:
                field = field_at(path)
                assert field is not None
                sets[path] = f"{entry.si:.12g} A ± {gain.guide.u95_of(entry.si):.12g} A"
        typed = dict(sheet.facts.typed(path, text, basis=Basis.MEASURED) for path, text in sets.items())
        again = Sheet(sheet.facts.with_sets(typed), sheet.observed, sheet.readings, worked.AT)
        assert _limit(again, gain.key, gain.item).shown == gain.then
        assert gain.now == limit.shown
        assert gain.then != gain.now


def test_what_ends_an_unknown_comes_first():
    sheet = worked.sheet("tansy", site__bottom="unknown", boat__mass="unknown")
    gains = measure_next(sheet, catalogue.work_out(sheet), 30)
    first = [g for g in gains if g.now == "unknown"]
    assert {g.guide.id for g in first} >= {"bottom"}
    assert gains[: len(first)] == tuple(first)


def test_nothing_is_offered_that_no_guide_can_better():
    sheet = worked.sheet("tansy")
    limits = catalogue.work_out(sheet)
    poor = Guide("poor", "a poor way", ("boat.motion.time_up",), "", (), "s", "time", absolute=50.0)
    up = next(x for x in limits if x.key == "recovery.time_to_surface")
    assert sensitivity.measured_by(sheet, poor, up) == {}
    assert sensitivity._best(sheet, limits, poor) is None
    aside = Guide("aside", "something else", ("boat.sail_section",), "", (), "cm^2", "area", relative=0.01)
    assert sensitivity._best(sheet, [up], aside) is None


def test_a_measurement_that_would_tighten_a_limit_is_not_offered_for_it():
    """Knowing better may also take room away; that is worth knowing, but it is no gain of this limit."""
    sheet = worked.sheet("tansy")
    limits = catalogue.work_out(sheet)
    keel = next(x for x in limits if x.key == "depth.keel" and x.item != FAILSAFE_PROVED)
    lower = replace(keel, shown_high=5.0)
    clarity = Guide("clearer", "", ("today.water.clarity",), "", (), "m", "length", absolute=0.01)
    assert sensitivity._best(sheet, [lower], clarity) is None
    unknown = replace(keel, key="antenna.clear_length", item="")
    assert sensitivity._best(sheet, [unknown], clarity) is None


def test_room_of_a_limit():
    blank = KEYS["depth.keel"].new()
    assert sensitivity._room(blank) is None
    assert sensitivity._room(replace(blank, shown_high=2.0)) == 2.0
    assert sensitivity._room(replace(blank, shown_low=2.0)) == -2.0
    assert sensitivity._room(replace(blank, shown_low=-2.0, shown_high=2.0)) == 4.0
    leak = _limit(worked.sheet("tansy"), "terminals.leakage")
    assert sensitivity._room(leak) is None


# -- the guides -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("guide", GUIDES, ids=lambda g: g.id)
def test_every_guide_can_be_followed(guide):
    sheet = worked.sheet("tansy")
    known = [path for path in guide.paths if field_at(sheet.facts.canonical(path)) is not None]
    assert known, guide.paths
    assert 1 <= len(guide.how) <= 5
    assert guide.needs
    assert guide.repeats >= 1
    assert guide.relative > 0 or guide.absolute > 0
    assert guide.u95_of(2.0) == guide.u95_of(-2.0) > 0
    for path in guide.paths:
        assert BY_PATH[path] is guide
