"""Any boat in any water on any day: no fault, no number beyond JSON, no impossible sign; what is unknown is named; and
what must only go one way does, through the whole chain from TOML to the shown limit.

The long form runs nightly: ``DIVELOG_HYPOTHESIS=long pytest -m nightly tests/limits/test_sweeps.py``.
"""

from __future__ import annotations

import json
import math
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))

import pytest
import worked
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from strategies import BALLASTS, READINGS, Scene, _text, scenes

from divelog.limits import catalogue
from divelog.limits.model import Limit, Verdict
from divelog.limits.report import result
from divelog.limits.waves import waves
from divelog.profiles.document import Basis, Num
from divelog.profiles.facts import field_at
from divelog.profiles.schema import BANDS, CHEMISTRIES, WATERS

GATE, NIGHTLY = 90, 10_000
QUIET = (
    HealthCheck.too_slow,
    HealthCheck.data_too_large,
    HealthCheck.filter_too_much,
    HealthCheck.large_base_example,
)


def sweep(strategy: Any, gate: int = GATE) -> Callable[[Callable[..., None]], Any]:
    """One body as two tests: a short form for the gate and a long one for the night."""

    def both(body: Callable[..., None]) -> Any:
        short = settings(max_examples=gate, suppress_health_check=QUIET)(given(strategy)(body))
        long = settings(max_examples=NIGHTLY, suppress_health_check=QUIET, derandomize=False)(
            given(strategy)(body)
        )
        return short, pytest.mark.nightly(long)

    return both


# -- nothing impossible ----------------------------------------------------------------------------------------------

MAY_BE_NEGATIVE = {
    # key: what a number under nought means
    "cylinder.pressure": "a vacuum", "cylinder.leak_down": "a vacuum", "trim.pitch": "bow down", "trim.list": "to port",
    "buoyancy.dived": "heavy", "buoyancy.trim_change": "heavier than then", "buoyancy.reserve": "she sinks afloat",
    "ballast.enough": "heavy without ballast", "trim.righting": "upside down", "failsafe.delay": "no time at all",
    "radio.range": "", "ballast.cycles": "less than the plan takes", "depth.keel": "a term with no room",
    "radio.control_depth": "the signal does not carry awash", "seals.gland": "slack in its groove",
}  # fmt: skip


def _numbers(limit: Limit) -> list[float]:
    found = [limit.low, limit.high, limit.value, limit.shown_low, limit.shown_high]
    return [x for x in found if x is not None]


def _sound(limit: Limit) -> None:
    """Everything that holds of every result there can be."""
    name = limit.name
    for number in _numbers(limit):
        assert math.isfinite(number), name
        assert number >= 0.0 or limit.key in MAY_BE_NEGATIVE, (name, number)
    assert math.isfinite(limit.u95), name
    assert limit.u95 >= 0.0, name
    for term in limit.terms:
        assert math.isfinite(term.value), (name, term.name)
        assert math.isfinite(term.u95), (name, term.name)
        assert term.u95 >= 0.0, (name, term.name)
    for part in limit.parts:
        assert math.isfinite(part.si), (name, part.name)
        assert part.u95 >= 0.0, (name, part.name)
    for move in limit.moves:
        assert move.mass > 0.0, (name, move)
    assert limit.shown, name
    for text in (
        limit.shown,
        limit.remark,
        limit.reading_text,
        *limit.why,
        *limit.actions,
        *limit.cautions,
        *limit.source,
    ):
        assert "nan" not in text.lower().split(), (name, text)
        assert "inf" not in text.lower().split(), (name, text)
        assert "None" not in text, (name, text)
    if limit.shown_low is not None and limit.shown_high is not None and limit.key != "wind.drift":
        assert limit.shown_low <= limit.shown_high + 1e-12 or limit.verdict is not Verdict.WITHIN, name
    if limit.verdict is Verdict.WITHIN:
        assert limit.reading is not None or limit.remark, name
    if limit.kind != "limit":
        assert limit.verdict in (Verdict.NONE, Verdict.UNKNOWN, Verdict.NOT_FITTED), (name, limit.verdict)
    if limit.verdict is Verdict.UNKNOWN:
        assert limit.missing or limit.remark or limit.why, name
    for path in limit.missing:
        assert field_at(path) is not None, (name, path)
    if limit.starred:
        assert limit.basis is not Basis.STATED or limit.shown.endswith("*") or limit.parts, name


def _shown_is_safe(limit: Limit) -> None:
    """A shown edge lies on the safe side of its worked-out one."""
    slack = 1e-6 * max(1.0, *(abs(x) for x in _numbers(limit))) if _numbers(limit) else 0.0
    if (
        limit.kind == "limit"
        and limit.high is not None
        and limit.shown_high is not None
        and limit.shown_high > 0.0
    ):
        assert limit.shown_high <= limit.high + slack, limit.name
    if limit.kind == "limit" and limit.low is not None and limit.shown_low is not None:
        assert limit.shown_low >= limit.low - slack, limit.name


def _anything(scene: Scene) -> None:
    limits = catalogue.work_out(scene.sheet())
    assert {limit.key for limit in limits} == set(catalogue.ORDER)
    for limit in limits:
        _sound(limit)
        _shown_is_safe(limit)
    json.dumps([result(limit) for limit in limits], allow_nan=False)


test_any_boat_on_any_day, test_any_boat_on_any_day_long = sweep(scenes(), gate=90)(_anything)


def _bare(scene: Scene) -> None:
    """Almost nothing is known: everything is a guess or unknown, and says so."""
    _anything(scene)


test_gaps_everywhere, test_gaps_everywhere_long = sweep(scenes(most_gaps=80, logged=False), gate=45)(_bare)


@pytest.mark.parametrize("kind", BALLASTS)
@pytest.mark.parametrize("hull", ["flooding", "dry"])
@settings(max_examples=2, suppress_health_check=QUIET)
@given(scene=scenes(most_gaps=2))
def test_every_ballast_in_every_hull(scene, kind, hull):
    _anything(scene.changed("boat", "ballast.kind", kind).changed("boat", "boat.hull", hull))


@pytest.mark.parametrize(
    ("root", "path", "word"),
    [("boat", "radio.band", w) for w in BANDS] + [("site", "water", w) for w in WATERS]
    + [("kit", "pack.0.chemistry", w) for w in CHEMISTRIES] + [("boat", "controls.tail", w) for w in ("cross", "x", "other")]
    + [("boat", "boat.dives_by", w) for w in ("weight", "planes")],
)  # fmt: skip
@settings(max_examples=2, suppress_health_check=QUIET)
@given(scene=scenes(most_gaps=2))
def test_every_band_water_chemistry_and_tail(scene, root, path, word):
    _anything(scene.changed(root, path, word))


@pytest.mark.parametrize("celsius", [0, 0.1, 4, 25, 34.9, 35])
@settings(max_examples=4, suppress_health_check=QUIET)
@given(scene=scenes(most_gaps=2))
def test_from_ice_to_a_hot_summer(scene, celsius):
    _anything(scene.changed("today", "water.temperature", f"{celsius} degC"))


# -- one way only ----------------------------------------------------------------------------------------------------


def _one(scene: Scene, key: str, item: str | None = None) -> Limit | None:
    for limit in catalogue.work_out(scene.sheet(), (key,)):
        if item is None or limit.item == item:
            return limit
    return None


def _known(*limits: Limit | None) -> bool:
    return all(x is not None and x.verdict not in (Verdict.UNKNOWN, Verdict.NOT_FITTED) for x in limits)


def _pair(low: float, high: float) -> st.SearchStrategy[tuple[float, float]]:
    return st.tuples(st.floats(low, high), st.floats(low, high)).map(lambda two: (min(two), max(two)))


MONOTONE = settings(max_examples=18, suppress_health_check=QUIET)


def _running(scene: Scene, chemistry: str = "lithium ion") -> Scene:
    """With a pack of known charge and a plan, so that there is an endurance to speak of."""
    for root, path, value in (
        ("kit", "pack.0.measured", None), ("kit", "pack.0.chemistry", chemistry), ("kit", "pack.0.capacity", "8 A h"),
        ("today", "plan.0.pack", "A"), ("boat", "power.drive_packs", ["A"]), ("boat", "power.idle", "0.2 A"),
        ("boat", "power.cruise", "1.5 A"), ("boat", "power.full", "4.5 A"), ("kit", "pack.0.cells", 3),
        ("boat", "power.blow", "1.5 A"), ("boat", "power.receiver_pack", "from drive"), ("boat", "power.motor", None),
        ("today", "plan.0.throttle", {"slow": "60 %", "half": "30 %", "full": "10 %"}),
    ):  # fmt: skip
        scene = scene.changed(root, path, value)
    seen = replace(scene.observed, charged_full={"A": 5.0}, charge_per_minute={"A": ()}, no_load={})
    return replace(scene, observed=seen, readings={})


@MONOTONE
@given(scenes(most_gaps=3), _pair(0.0, 12.0))
def test_more_wind_never_lowers_the_least_tip_height(scene, winds):
    blown = [
        scene.changed("today", "air.look", None).changed("today", "air.wind", _text(w, "m/s")) for w in winds
    ]
    breeze, gale = (_one(one, "antenna.tip_height") for one in blown)
    assume(_known(breeze, gale))
    # From waves of three boat lengths on she rides them, and half the crest is left: a step of the rule itself.
    assume(len({_rides(one) for one in blown}) == 1)
    assert gale.shown_low >= breeze.shown_low - 1e-9


def _rides(scene: Scene) -> bool:
    sheet = scene.sheet()
    length = sheet.maybe("boat.length")
    return length is not None and sheet.of(waves).state.length >= 3.0 * length.si


@MONOTONE
@given(scenes(most_gaps=3), _pair(0.5, 35.0))
def test_colder_water_never_lengthens_endurance(scene, celsius):
    scene = _running(scene, "sealed lead-acid")
    cold, warm = (
        _one(scene.changed("today", "water.temperature", f"{t:.3f} degC"), "battery.endurance")
        for t in celsius
    )
    assume(_known(cold, warm))
    assert cold.shown_high <= warm.shown_high + 1e-9


@MONOTONE
@given(scenes(most_gaps=3), _pair(0.3, 12.0))
def test_a_deeper_bottom_never_makes_the_keel_shallower(scene, metres):
    # not where a pool's clarity is taken from its bottom, or the bottom is the wave's own
    scene = scene.changed("today", "water.clarity", "1.2 m")
    shallow, deep = (
        _one(scene.changed("site", "bottom", f"{m:.4f} m"), "depth.keel", "failsafe proved") for m in metres
    )
    assume(_known(shallow, deep))
    terms = [{t.name: t.safe for t in one.terms} for one in (shallow, deep)]
    assume(terms[0].keys() == terms[1].keys())
    assert deep.shown_high >= shallow.shown_high - 1e-9


@MONOTONE
@given(scenes(most_gaps=3), _pair(0.1, 6.0))
def test_clearer_water_never_makes_the_keel_shallower(scene, metres):
    dim, clear = (
        _one(scene.changed("today", "water.clarity", f"{m:.4f} m ± 0.05 m"), "depth.keel") for m in metres
    )
    assume(_known(dim, clear))
    assert clear.shown_high >= dim.shown_high - 1e-9


@MONOTONE
@given(scenes(most_gaps=3), _pair(1.0, 120.0))
def test_a_longer_plan_never_leaves_more_cycles(scene, minutes):
    scene = _running(scene)
    if scene.at("boat", "ballast.kind") in ("none", "gas", "snort_blower", "unknown", None):
        scene = scene.changed("boat", "ballast.kind", "piston")
    for name in ("fill_time", "empty_time"):
        scene = scene.changed("boat", f"ballast.{name}", "30 s")
    short, long = (
        _one(scene.changed("today", "plan.0.minutes", f"{m:.3f} min"), "ballast.cycles") for m in minutes
    )
    assume(_known(short, long))
    assert long.value <= short.value + 1e-9


@MONOTONE
@given(scenes(most_gaps=3), _pair(0.2, 20.0))
def test_a_bigger_pack_never_runs_shorter(scene, capacity):
    kit = _running(scene)
    small, big = (
        _one(kit.changed("kit", "pack.0.capacity", f"{c:.4f} A h"), "battery.endurance") for c in capacity
    )
    assume(_known(small, big))
    assert big.shown_high >= small.shown_high - 1e-9


@MONOTONE
@given(scenes(most_gaps=3), _pair(0.3, 20.0))
def test_a_thicker_wall_never_carries_less(scene, millimetres):
    scene = scene.changed("boat", "cylinder.roundness", "0.2 mm")
    thin, thick = (
        next(
            (t for t in one.terms if t.name == "tube"), None
        ) if (one := _one(scene.changed("boat", "cylinder.wall", f"{w:.4f} mm"), "tube.depth")) and _known(one) else None
        for w in millimetres
    )  # fmt: skip
    assume(thin is not None and thick is not None)
    assert thick.value >= thin.value - 1e-6


@MONOTONE
@given(scenes(most_gaps=3), _pair(1.0, 200.0))
def test_further_away_the_signal_never_carries_deeper(scene, metres):
    near, far = (
        _one(scene.changed("today", "plan.0.distance", f"{m:.3f} m"), "radio.control_depth") for m in metres
    )
    assume(_known(near, far))
    assert far.shown_high <= near.shown_high + 1e-9


# -- a wider ± never loosens -----------------------------------------------------------------------------------------

WIDENED = [
    # path, and a limit its ± counts in
    ("today", "water.clarity", "m", "depth.keel", "failsafe proved"),
    ("site", "bottom", "m", "depth.keel", "failsafe proved"),
    ("boat", "boat.dived_balance", "g", "depth.keel", "failsafe proved"),
    ("boat", "cylinder.wall", "mm", "tube.depth", ""),
    ("boat", "cylinder.inside_diameter", "mm", "tube.depth", ""),
    ("boat", "cap.0.thickness", "mm", "tube.depth", ""),
    ("boat", "radio.signal_lost_at.depth", "m", "radio.control_depth", ""),
    ("boat", "cylinder.air", "L", "cylinder.leak_down", ""),
    ("boat", "controls.plane_time", "s", "failsafe.delay", ""),
    ("boat", "boat.dived_balance", "g", "plan.dive_angle", ""),
]


@pytest.mark.parametrize(("root", "path", "unit", "key", "item"), WIDENED)
@settings(max_examples=12, suppress_health_check=QUIET)
@given(scene=scenes(most_gaps=2), shares=_pair(0.001, 0.5))
def test_a_wider_spread_never_loosens_a_shown_limit(scene, shares, root, path, unit, key, item):
    held = scene.at(root, path)
    assume(isinstance(held, str) and held not in ("unknown",))
    number = float(held.split()[0])
    found = []
    for share in shares:
        text = f"{number:.6g} {unit} ± {share * abs(number) + 1e-6:.6g} {unit}"
        found.append(_one(scene.changed(root, path, text), key, item))
    narrow, wide = found
    assume(_known(narrow, wide))
    assume({t.name for t in narrow.terms} == {t.name for t in wide.terms})
    if narrow.shown_high is not None and wide.shown_high is not None:
        assert wide.shown_high <= narrow.shown_high + 1e-9
    if narrow.shown_low is not None and wide.shown_low is not None:
        assert wide.shown_low >= narrow.shown_low - 1e-9


READ = (
    ("battery.rest_voltage", "A"),
    ("ballast.fill_time", ""),
    ("trim.pitch", "dived"),
    ("terminals.drop", "motor"),
)


@settings(max_examples=25, suppress_health_check=QUIET)
@given(scenes(most_gaps=2), st.sampled_from(READ), st.floats(0, 1), _pair(0.0, 5.0))
def test_a_wider_reading_never_makes_a_verdict_better(scene, where, share, spreads):
    order = [Verdict.OUTSIDE, Verdict.TOO_CLOSE, Verdict.WITHIN]
    key, (low, high) = where[0], READINGS[where]
    taken = Num(low + share * (high - low), 0.0, Basis.MEASURED)
    scene = _running(scene, "lithium polymer")
    verdicts = []
    for u95 in spreads:
        one = replace(scene, readings={where: replace(taken, u95=u95)})
        verdicts.append(
            next((x.verdict for x in catalogue.work_out(one.sheet(), (key,)) if x.item == where[1]), None)
        )
    assume(all(v in order for v in verdicts))
    assert order.index(verdicts[1]) <= order.index(verdicts[0])


# -- what the sweeps found once --------------------------------------------------------------------------------------


def test_a_need_between_the_tank_and_its_shown_step_is_short_by_the_step():
    # The tank of 420.9 mL is shown as 420; she needs 420.6: OUTSIDE, and the lead makes up what the shown tank lacks.
    sheet = worked.sheet("tansy", boat__ballast__volume="420.9 mL", boat__dived_balance="64.5 g ± 0.1 g")
    (found,) = catalogue.work_out(sheet, ("ballast.enough",))
    assert 420e-6 < found.value < found.high
    assert found.verdict is Verdict.OUTSIDE
    assert found.moves[0].mass == pytest.approx((found.value - 420e-6) * 999.6, rel=1e-3)


def test_a_seal_whose_hold_the_vacuum_uses_up_holds_nothing():
    hot = worked.sheet("tansy", today__closed__tansy="58 degC", today__water__temperature="1 degC")
    (found,) = catalogue.work_out(hot, ("seals.shaft",))
    assert found.shown_high == 0.0
    assert found.high >= 0.0
    assert found.verdict is Verdict.OUTSIDE


def test_rest_volts_that_the_load_alone_would_take_are_no_reading():
    taken = {("battery.rest_voltage", "D2"): Num(0.08, 0.0, Basis.MEASURED)}
    (found,) = catalogue.work_out(worked.sheet("tansy", readings=taken), ("battery.load_voltage",))
    assert found.verdict is Verdict.UNKNOWN
    assert "0.08 V at rest" in found.remark


@pytest.mark.parametrize("key", ["seals.shaft", "tube.depth"])
def test_air_too_hot_to_be_computed_is_not_taken_for_milder(key):
    (found,) = catalogue.work_out(worked.sheet("tansy", today__closed__tansy="69 degC"), (key,))
    assert found.verdict is Verdict.UNKNOWN
    assert "60 degC" in " ".join((found.remark, *found.why))
