"""What to measure next, and whether it comes true: on every sample boat, and on one fresh from the ten questions.

The measurement is done (its value and the guide's ± put in as measured), everything is worked out again, and the limit must
have moved as promised; an unknown must no longer name what it lacked; a guess must have given way.
"""

from __future__ import annotations

from datetime import datetime
from itertools import pairwise
from pathlib import Path

import pytest

from divelog.clock import FixedClock
from divelog.home import Home
from divelog.limits import catalogue
from divelog.limits.model import Limit, Verdict
from divelog.limits.sensitivity import Gain, measure_next, measured_by, one
from divelog.limits.sheet import Sheet
from divelog.profiles.document import Basis, Document, Fact, Num
from divelog.profiles.facts import Facts, empty_document
from divelog.profiles.reading import read_document
from divelog.profiles.schema import SCHEMAS
from divelog.session.session import Asked, Session

SAMPLES = Path(__file__).resolve().parents[2] / "sample_boats"
AT = datetime.fromisoformat("2032-05-04T08:11:00+01:00")
BOATS = ("tansy", "bulrush", "bramble", "juniper")

FRESH = """
format = 1
[boat]
name = "Heron"
hull = "flooding"
dives_by = "weight"
length = "920 mm"
mass = "5.76 kg"
owner_inside = "unknown"
top_held_by = "unknown"
[cylinder]
material = "acrylic"
inside_diameter = "unknown"
inside_length = "unknown"
test_by = "unknown"
vent_plug = "unknown"
closures = "unknown"
[ballast]
kind = "piston"
volume = "420 mL"
[radio]
band = "40 MHz"
transmitter = "tx-a"
memory = "unknown"
receiver = "unknown"
tip_above_deck = "120 mm"
[controls]
tail = "unknown"
[power]
drive_packs = ["D1"]
receiver_pack = "unknown"
pack_in_wet = "unknown"
[[failsafe]]
trigger = "signal lost"
does = "unknown"
powered_from = "unknown"
"""
"""What ten questions leave behind, most of it unknown, as the program writes it down."""

FRESH_KIT = """
format = 1
[[pack]]
id = "D1"
chemistry = "lithium polymer"
cells = 2
capacity = "5 A h"
[[transmitter]]
id = "tx-a"
band = "40 MHz"
"""

MEASURED = {
    "dived balance": 0.02, "bottom": 2.0, "empty time": 35.0, "fill time": 38.0, "displaced": 6.2e-3, "time up": 30.0,
    "cruise current": 3.0, "idle current": 0.3, "blow current": 2.0, "signal depth": 1.9, "paces": 60.0, "air inside": 2.2e-3,
    "righting": 0.01, "speed": 0.5, "mass": 5.76, "ballast volume": 420e-6, "clarity": 1.1, "water": 0.042, "wall": 3e-3,
    "pack resistance": 0.02, "charge put back": 3.0, "own pace": 0.75, "gas a blow": 2e-3,
}  # fmt: skip
"""A likely value of each guide (SI), where nothing is known yet."""


def _document(text: str, root: str) -> Document:
    found = read_document(text.encode(), f"{root}.toml", SCHEMAS[root])
    assert not found.faults, [f.sentence() for f in found.faults]
    return found


def _day() -> Document:
    return _document((SAMPLES / "days" / "withy-pond.toml").read_text(), "today")


def _fresh() -> Sheet:
    day = _day()
    facts = Facts(
        _document(FRESH, "boat"), _document(FRESH_KIT, "kit"), empty_document("site"), day, empty_document("settings"), "heron"
    )  # fmt: skip
    texts = {
        "plan.depth": "0.7 m", "plan.distance": "35 m", "plan.minutes": "30 min", "closed": "19 degC", "site.kind": "pond",
    }  # fmt: skip
    return Sheet(facts.with_sets(dict(facts.typed(path, text) for path, text in texts.items())), at=AT)


@pytest.fixture(scope="module", params=(*BOATS, "fresh"))
def sheet(request) -> Sheet:
    if request.param == "fresh":
        return _fresh()
    session = Session.reading(Home(SAMPLES), FixedClock(AT))
    return session.sheet(Asked(request.param, session.shelf.boats[request.param], _day(), "withy-pond", AT))


def _after(sheet: Sheet, limit: Limit, gain: Gain, *, off: float = 1.0) -> Limit:
    """The limit once the guide was followed: what it stands for now (times ``off``) where it is known, else a likely value."""
    found = measured_by(sheet, gain.guide, limit)
    if not found:
        value = MEASURED[gain.guide.id]
        asked = sheet.asked_by(lambda s: one(s, limit.key, limit.item))[1]
        paths = {sheet.facts.canonical(path) for path in gain.guide.paths}
        path = min(p for p in paths if p in limit.missing or ("fact", p) in asked)
        found = {path: Num(value, gain.guide.u95_of(value), Basis.MEASURED)}
    facts = sheet.facts.with_measured(
        {path: Fact(Num(off * num.si, num.u95), basis=Basis.MEASURED) for path, num in found.items()}
    )
    again = Sheet(facts, sheet.observed, sheet.readings, AT, sheet.answers)
    then = one(again, limit.key, limit.item)
    if then is None:  # no plan can be met: the whole key says so
        (then,) = catalogue.work_out(again, (limit.key,))
    return then


def test_every_promise_comes_true(sheet):
    limits = catalogue.work_out(sheet)
    gains = measure_next(sheet, limits, 30)
    for gain in gains:
        limit = next(x for x in limits if (x.key, x.item) == (gain.key, gain.item))
        then = _after(sheet, limit, gain)
        paths = {sheet.facts.canonical(path) for path in gain.guide.paths}
        if not gain.then:
            assert paths & set(limit.missing), gain
            assert not paths & set(then.missing), gain
        elif gain.now == "a guess":  # what it buys nobody can say, but another value moves it
            ends = (then, *(_after(sheet, limit, gain, off=off) for off in (0.6, 1.6)))
            assert len({(x.value, x.low, x.high, x.u95, x.shown, x.basis) for x in (limit, *ends)}) > 1, gain
        elif gain.relative > 0:
            assert (limit.shown, then.shown) == (gain.now, gain.then)
            assert then.shown != limit.shown
        else:
            assert then.u95 <= (1.0 - 0.99 * gain.narrows) * limit.u95, gain
            assert f"{then.u95:.2g}" in gain.then


def test_the_first_three_are_the_greatest_and_a_fresh_boat_has_something_to_measure(sheet):
    limits = catalogue.work_out(sheet)
    every, three = measure_next(sheet, limits, 30), measure_next(sheet, limits)
    assert three == every[:3]
    ranks = [(gain.relative, gain.narrows) for gain in every]
    assert ranks == sorted(ranks, reverse=True)
    if sheet.facts.slug == "heron":
        assert len(three) == 3
        assert {gain.guide.id for gain in every if not gain.then} >= {"dived balance", "bottom"}


def test_three_trips_end_what_is_unknown():
    """A fresh boat that measures what is named first, three times three things: fewer unknowns, and none comes back."""
    sheet = _fresh()
    unknown = []
    for trip in range(4):
        limits = catalogue.work_out(sheet)
        known = {x.key for x in limits if x.verdict is not Verdict.UNKNOWN}
        unknown.append({x.key for x in limits} - known)
        for gain in measure_next(sheet, limits) if trip < 3 else ():
            path = sheet.facts.canonical(gain.guide.paths[0])
            held = sheet.maybe(path)
            si = held.si if held is not None else MEASURED[gain.guide.id]
            fact = Fact(Num(si, gain.guide.u95_of(si), Basis.MEASURED), basis=Basis.MEASURED)
            sheet = Sheet(sheet.facts.with_measured({path: fact}), sheet.observed, sheet.readings, AT)
    for before, after in pairwise(unknown):
        assert not after - before
    assert len(unknown[-1]) < len(unknown[0])
