"""The leak-down limit: most corrected fall of a test gauge, and the shortest hold that gauge can resolve."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

from divelog import units
from divelog.limits import water
from divelog.limits.cylinder_air import (
    air_volume,
    bore_and_caps,
    cold_pressure,
    heaviness,
    outside_pressure,
    plan_depth,
    pressures,
)
from divelog.limits.model import Limit, Part, Verdict
from divelog.limits.registry import key
from divelog.limits.rounding import down, judge, text
from divelog.limits.sheet import NotFittedError, Sheet, UnknownError
from divelog.limits.tube_strength import weakest, weakest_unrecorded
from divelog.physics import cylinder_leak as physics
from divelog.physics.si import GRAVITY
from divelog.physics.tube_caps import gauge_held, ring_hold
from divelog.physics.water import viscosity
from divelog.profiles.document import Num

STEP: Final = 50.0
HOLDS: Final = (600.0, 1200.0, 1800.0, 3600.0)
"""Holds offered, s; the first is the usual one."""

SHORT: Final = 60.0
SHORT_ITEM: Final = "60 s"
GENTLE: Final = 5_000.0
GREATEST: Final = 20_000.0
VACUUM: Final = 10_000.0
SHARE: Final = 0.8
"""Of the builder's figure, the most a test goes to."""

GAUGE_STEP: Final = 500.0
GAUGE_MARK: Final = 500.0
"""A test stops at a mark of half a kilopascal."""

BAROMETER_U95: Final = 58.0
THERMOMETER_U95: Final = 0.4
NO_THERMOMETER_U95: Final = 1.0


@dataclass(frozen=True, slots=True)
class Noise:
    """What the instruments add: u95 of a corrected fall, Pa, the gauge's step, and whether she has a thermometer."""

    u95: float
    step: float
    thermometer: bool


def test_method(s: Sheet) -> str:
    """``pressure`` or ``vacuum``: the first of the two she can stand."""
    for method in s.texts("cylinder.test_by"):
        if method in ("pressure", "vacuum"):
            return method
    if not s.texts("cylinder.test_by"):
        raise UnknownError("boat.cylinder.test_by")
    raise NotFittedError("tested by immersion only: the towel decides")


def test_gauge(s: Sheet, method: str) -> float:
    """Gauge pressure of the test, Pa, negative for a vacuum."""
    own = s.stated("cylinder.most_gauge")
    if method == "vacuum":
        most = min(VACUUM, SHARE * own.si) if own else VACUUM
        part = weakest_unrecorded(s)
        if part is not None and part < most:
            weakest(s)
            most = part
        return -down(most, GAUGE_MARK)
    if own is None:
        return GENTLE
    service = max(state.gauge for state in s.of(pressures))
    return down(min(max(GENTLE, service), SHARE * own.si, GREATEST), GAUGE_MARK)


def _meter(s: Sheet, reads: str) -> str | None:
    """Id of a meter of the kit that reads a quantity."""
    for meter in s.ids("kit.meter"):
        fact = s.fact(f"kit.meter[{meter}].reads")
        if fact is not None and fact.value == reads:
            return meter
    return None


def _meter_step(s: Sheet, meter: str | None, dimension: str) -> float | None:
    words = None if meter is None else s.word(f"kit.meter[{meter}].step")
    if words is None:
        return None
    try:
        step = units.parse(words, dimension).si
    except units.UnitFaultError:
        return None
    return step if step > 0.0 else None


def noise(s: Sheet, method: str) -> Noise:
    """u95 of a corrected fall read with the kit's gauge and thermometer."""
    step = _meter_step(s, _meter(s, "pressure"), "pressure")
    if step is None:
        step = s.assume("gauge step", GAUGE_STEP, 0.0, "Pa", "0.5 kPa, no gauge in the kit").si
    meter = _meter(s, "temperature")
    fine = _meter_step(s, meter, "temperature difference")
    thermometer = (
        NO_THERMOMETER_U95 if meter is None else max(THERMOMETER_U95, physics.step_u95(fine) if fine else 0.0)
    )
    s.assume(
        "thermometer inside",
        thermometer,
        0.0,
        "K",
        "± of a reading" if meter else "none: ± of the room's air",
    )
    u95 = physics.fall_u95(
        gauge=physics.step_u95(step),
        barometer=BAROMETER_U95,
        thermometer=thermometer,
        pressure=s.of(outside_pressure).si + test_gauge(s, method),
        temperature=s.num("today.air.temperature").si,
    )
    return Noise(u95, step, meter is not None)


def thickness(s: Sheet) -> float:
    """Viscosity of the water, Pa s; as fresh where its salt is not known, the safe end."""
    try:
        return s.of(water.density).si * s.of(water.viscosity).si
    except UnknownError:
        return viscosity(s.num("today.water.temperature").si)


@dataclass(frozen=True, slots=True)
class Flow:
    """Air flow at the test gauge that stands for the water allowed, and what it was made of."""

    air: float
    water: float
    """Water allowed, m3/s, before the factor."""
    depth: float
    minutes: float


def allowed_flow(s: Sheet, method: str) -> Flow:
    """The water that may come in, as air at the test gauge."""
    minutes = s.num("plan.minutes").si
    if minutes <= 0.0:
        raise UnknownError(s.facts.canonical("plan.minutes"), because="a plan of no minutes lets nothing in")
    depth = s.of(plan_depth)
    density = s.of(heaviness)
    leak = s.num("my_limits.leak_water").si / minutes
    flow = physics.allowed_throughput(
        water=leak,
        head=density * GRAVITY * depth.si - s.of(cold_pressure).si,
        test=test_gauge(s, method),
        outside=s.of(outside_pressure).si,
        air_viscosity=physics.air_viscosity(s.num("today.air.temperature").si),
        water_viscosity=s.of(thickness),
    )
    return Flow(flow, leak, depth.si, minutes)


def _kilopascals(pascals: float) -> str:
    return text(pascals, "kPa", "pressure", STEP)


def _cautions(s: Sheet, gauge: float) -> tuple[str, ...]:
    if gauge < 0.0:
        return ("A vacuum loads the tube as water does: stop at the mark, never on a bladder.",)
    bore, held, _ = bore_and_caps(s)
    strap = held == "friction" and gauge > gauge_held(ring_hold(bore=bore), bore=bore)
    first = (
        "Strap the caps first: friction alone does not hold them." if strap else "Caps can fly: stand aside."
    )
    return (first, "Face and hands out of line; a relief valve set below the mark, never a bare compressor.")


@key(
    "cylinder.leak_down",
    "Leak test: most fall",
    kind="limit",
    sense="max",
    unit="Pa",
    display="kPa",
    step="0.05 kPa down",
    where="bench",
    needs=(
        "boat.cylinder.test_by", "boat.cylinder.air", "boat.cylinder.most_gauge", "today.plan.depth",
        "today.plan.minutes", "boat.my_limits.leak_water", "kit.meter.step",
    ),
    items="the usual hold · 60 s",
    formula=(
        "water allowed over the run, a third of it, as air at the test gauge: "
        "mu_water/(2 mu_air head) |(Pa + Pt)^2 - Pa^2|",
        "fall = flow x hold / air volume; shortest hold = 3 s.d. of the reading x volume / flow",
    ),
    valid="2 to 60 kPa, a hold of at least 3 min, bags and pistons locked, temperature within 3 K",
    sources=(
        "laminar leak law, leak-detection texts", "40 CFR 1065.644 (temperature correction)",
        "factor 3 for the path: common practice, no source", "Lemmon and Jacobsen 2004 (air viscosity)",
    ),
    reads="pressure",
    reading_unit="kPa",
)  # fmt: skip
def cylinder_leak_down(s: Sheet) -> Iterable[Limit]:
    """The usual hold, and the short form of closing up."""
    method = test_method(s)
    gauge, flow, seen = test_gauge(s, method), allowed_flow(s, method), noise(s, method)
    yield _long(s, gauge, flow, seen)
    if s.word("cylinder.short_test") in ("pressure", "vacuum"):
        yield _short(s, gauge, flow, seen)


def _long(s: Sheet, gauge: float, flow: Flow, seen: Noise) -> Limit:
    volume = air_volume(s)
    least = physics.shortest_hold(flow.air, noise_u95=seen.u95, volume=volume.si)
    least = max(
        physics.LEAST_HOLD, math.ceil((least if seen.thermometer else 2.0 * least) / 60.0 - 1e-9) * 60.0
    )
    usual = HOLDS[0]
    value = physics.allowed_fall(flow.air, volume=volume.si, hold=usual)
    safe = physics.allowed_fall(flow.air, volume=volume.si + volume.u95, hold=usual)
    shown = down(safe, STEP)
    blind = least > physics.GREATEST_HOLD
    offer = next((h for h in HOLDS if h >= least), None)
    offered = None if offer is None else down(safe * offer / usual, STEP)
    if blind or offer is None or offered is None:
        remark = "this gauge cannot decide: towel or bubbles"
    elif offer > usual:
        remark = f"shortest hold {least / 60:.0f} min: hold {offer / 60:.0f} min, {_kilopascals(offered)}"
    else:
        remark = f"shortest hold {least / 60:.0f} min"
    reading = s.own_reading("cylinder.leak_down")
    if reading is not None:
        reading = Num(abs(reading.si), max(reading.u95, seen.u95), reading.basis)
    verdict = judge(reading, None, shown)
    if verdict is Verdict.WITHIN and least > usual:
        verdict = Verdict.TOO_CLOSE
    actions: tuple[str, ...] = ()
    if verdict is Verdict.OUTSIDE:
        actions = ("find the leak with bubbles, mend it, hold again",)
    elif verdict is Verdict.TOO_CLOSE:
        actions = (
            ("weigh a towel after ten minutes in the water",)
            if blind or offer is None
            else (f"hold {offer / 60:.0f} min",)
        )
    allowed = flow.water * flow.minutes * 1e6
    return cylinder_leak_down.new().but(
        high=value,
        u95=value - safe,
        shown_high=shown,
        shown=f"{_kilopascals(shown)} in {usual / 60:.0f} min at {gauge / 1e3:g} kPa",
        remark=remark,
        parts=(
            Part("test gauge", gauge, 0.0, f"{gauge / 1e3:g} kPa"),
            Part("shortest hold", least, 0.0, f"{least / 60:.0f} min"),
            *(
                ()
                if offer is None or offered is None
                else (Part("hold offered", offer, 0.0, f"{offer / 60:.0f} min, {_kilopascals(offered)}"),)
            ),
        ),
        reading=reading,
        verdict=verdict,
        why=(
            f"{allowed:.3g} mL in {flow.minutes / 60:.0f} min at {flow.depth:.1f} m allowed, a third of it to be sure",
            f"that is {_kilopascals(shown)} in 10 min at {gauge / 1e3:g} kPa; this gauge needs {least / 60:.0f} min",
            "A hold within this says the water is harmless, not that she is dry: the towel is the finer test",
        ),
        cautions=_cautions(s, gauge),
        actions=actions,
    )


def _short(s: Sheet, gauge: float, flow: Flow, seen: Noise) -> Limit:
    volume = air_volume(s).si
    # the water a fall of one step in the short hold stands for, at the planned depth
    water_seen = physics.throughput(volume=volume, fall=seen.step, time=SHORT) / flow.air * flow.water
    water_seen /= physics.LEAK_FACTOR
    reading = s.own_reading("cylinder.leak_down", SHORT_ITEM)
    if reading is not None:
        reading = replace(reading, si=abs(reading.si))
    verdict = judge(reading, None, seen.step)
    step_text = text(seen.step, "kPa", "pressure", min(seen.step, 100.0))
    return cylinder_leak_down.new(SHORT_ITEM).but(
        high=seen.step,
        shown_high=seen.step,
        shown=f"{step_text} in 60 s at {gauge / 1e3:g} kPa",
        remark=f"sees {water_seen * 3.6e9:.2g} mL an hour or more",
        reading=reading,
        verdict=verdict,
        why=(
            f"One step of the gauge in 60 s would be {water_seen * 3.6e9:.2g} mL an hour at {flow.depth:.1f} m",
            "It finds a cap that is not home; a smaller leak needs the long hold or the towel",
        ),
        cautions=_cautions(s, gauge),
        actions=("find what is not home", "hold again")
        if verdict in (Verdict.OUTSIDE, Verdict.TOO_CLOSE)
        else (),
    )
