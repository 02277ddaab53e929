"""Limits of the closed cylinder: its inside pressure and its heat; leak-down and water found stand beside."""

from __future__ import annotations

from typing import Final

from divelog.limits import cylinder_damp, cylinder_leak
from divelog.limits.cylinder_air import (
    State,
    bore_and_caps,
    cold_pressure,
    heaviness,
    plan_depth,
    pressures,
)
from divelog.limits.model import Limit, Part, Verdict
from divelog.limits.registry import key
from divelog.limits.rounding import down, judge, text, up, worst
from divelog.limits.sheet import Sheet, UnknownError
from divelog.limits.tube_strength import weakest, weakest_unrecorded
from divelog.physics import cylinder as physics
from divelog.physics.si import GRAVITY, ZERO_CELSIUS
from divelog.physics.tube_caps import gauge_held, ring_hold
from divelog.profiles.document import Num

__all__ = ["cold_pressure", "cylinder_damp", "cylinder_leak", "pressures"]

STEP: Final = 100.0
LIP_DRINKS: Final = -5_000.0
"""Vacuum a moving lip or packed gland may stand before water is drawn past it (common practice)."""

FRICTION_CAP: Final = 5_000.0
HELD_CAP: Final = 20_000.0
"""Most gauge for caps held by friction, and by screws, rods, catches or glue, where no builder's figure stands."""


def signed(pascals: float, decimals: int = 1) -> str:
    """A gauge pressure with its sign, in kPa without the unit."""
    words = f"{pascals / 1e3:+.{decimals}f}"
    return words.replace("-", "+") if float(words) == 0.0 else words


def _low_edge(s: Sheet) -> tuple[float | None, str]:
    edges: list[tuple[float, str]] = []
    for seal in s.ids("seal"):
        if s.flag(f"seal[{seal}].moves") and s.word(f"seal[{seal}].kind") in ("lip", "gland"):
            edges.append((LIP_DRINKS, f"a vacuum draws water past the moving seal {seal}"))
            break
    part = weakest_unrecorded(s)
    if part is not None:
        try:
            head = s.of(heaviness) * GRAVITY * s.of(plan_depth).si
        except UnknownError:
            head = 0.0
        if not edges or head - part > edges[0][0]:
            weakest(s)
            edges.append((head - part, "vacuum and depth together load the weakest part of the tube"))
    return max(edges, default=(None, "no edge known on the side of a vacuum"))


def _high_edge(s: Sheet) -> tuple[float, str, bool]:
    own = s.stated("cylinder.most_gauge")
    if own is not None:
        return own.si, "the builder's figure", False
    bore, held, assumed = bore_and_caps(s)
    if held == "friction":
        edge = min(FRICTION_CAP, gauge_held(ring_hold(bore=bore), bore=bore))
        return edge, "caps held by friction: a third of what a greased ring holds", assumed
    s.assume("what the caps stand", HELD_CAP, 0.0, "Pa", f"20 kPa for caps held by {held}", star=True)
    return HELD_CAP, f"caps held by {held}", True


def _why(states: tuple[State, ...], s: Sheet, low: str, high: str) -> tuple[str, ...]:
    named = {state.name: state for state in states}
    closed, water_now = s.num("closed").si - ZERO_CELSIUS, s.num("today.water.temperature").si - ZERO_CELSIUS
    cold = named["cold"]
    deeper = physics.gauge_as_depth(-cold.gauge, density=s.of(heaviness))
    lines = [
        f"Closed at {closed:.0f} degC; at {water_now:.0f} degC {abs(cold.gauge) / 1e3:.1f} kPa "
        + (f"below air = {deeper:.2f} m deeper for every seal" if cold.gauge < 0.0 else "above air")
    ]
    if "full" in named:
        lines.append(f"Tank full squeezes it to {signed(named['full'].gauge, 0)} kPa")
    lines.append(f"In the sun on the bank, closed up, {signed(max(x.gauge for x in states[1:]), 0)} kPa")
    lines.append(f"Low edge: {low}. High edge: {high}")
    return tuple(lines)


@key(
    "cylinder.pressure",
    "Inside pressure over the outing",
    kind="limit",
    sense="band",
    unit="Pa",
    display="kPa",
    step="0.1 kPa inward",
    where="pond",
    needs=(
        "boat.cylinder.air", "today.closed", "today.water.temperature", "today.air.temperature",
        "boat.ballast.start_state", "boat.cap.held_by", "boat.cylinder.most_gauge",
    ),
    formula=(
        "dry air by (T2/T1)(V1/V2), vapour by the same or by saturation at the water, less the air outside",
        "states: closed, cold, tank full, warm on the bank empty and full",
        "low edge: -5 kPa with a moving lip or gland, or what the weakest part leaves at the planned depth",
        "high edge: the builder's figure, else what holds the weakest cap",
    ),
    valid="a perfect seal, 0 to 60 degC inside, ballast under 0.7 of the air",
    sources=(
        "ideal gas law and Dalton's law", "WMO-No. 8, Guide to Meteorological Instruments, 2008 (vapour)",
        "friction of a greased ring: sealing-ring handbooks, from memory", "-5 and +20 kPa: common practice, no source",
    ),
    reads="pressure",
    reading_unit="kPa",
)  # fmt: skip
def cylinder_pressure(s: Sheet) -> Limit:
    """The band of inside gauge pressure, and where her states lie in it."""
    states = s.of(pressures)
    low, low_why = _low_edge(s)
    high, high_why, starred = _high_edge(s)
    shown_low = None if low is None else up(low, STEP)
    shown_high = down(high, STEP)
    least = min(states, key=lambda x: x.least)
    most = max(states, key=lambda x: x.most)
    verdicts = [
        judge(Num(least.gauge, least.below), shown_low, None),
        judge(Num(most.gauge, most.above), None, shown_high),
    ]
    gauge = s.reading("cylinder.pressure")
    if gauge is not None:
        verdicts.append(judge(gauge, shown_low, shown_high))
    verdict = worst(*verdicts)
    # the reading carried is the prediction nearest its edge
    basis = s.of(cold_pressure).basis
    low_is_near = shown_low is not None and least.least - shown_low < shown_high - most.most
    near = Num(least.gauge, least.below, basis) if low_is_near else Num(most.gauge, most.above, basis)
    actions: tuple[str, ...] = ()
    if verdict is not Verdict.WITHIN:
        if verdicts[1] is not Verdict.WITHIN:
            actions += (
                "leave the vent plug out until she is at the water; open it first on the bank",
                "write down how the caps are held",
            )
        if verdicts[0] is not Verdict.WITHIN:
            actions += ("close her at the temperature of the water",)
        if gauge is not None and verdicts[-1] is not Verdict.WITHIN:
            actions += ("release it at the vent plug and read again",)
    edges = f"{signed(shown_high)} kPa"
    return cylinder_pressure.new().but(
        low=low,
        high=high,
        value=near.si,
        u95=near.u95,
        shown_low=shown_low,
        shown_high=shown_high,
        shown=f"at most {edges}" if shown_low is None else f"{signed(shown_low)} to {edges}",
        starred=starred,
        parts=tuple(
            Part(x.name, x.gauge, x.above if x.gauge > 0.0 else x.below, f"{signed(x.gauge)} kPa")
            for x in states
        ),
        reading=gauge or near,
        reading_text=f"{signed(least.gauge)} to {signed(most.gauge)}",
        verdict=verdict,
        why=_why(states, s, low_why, high_why),
        cautions=(
            "Pressure inside throws caps: release it at the vent plug before opening, face and hands out of line.",
        ),
        actions=actions,
    )


COOL: Final = 20.0
"""Kelvin kept under the cut-out of the hottest known part (common practice)."""

MOST_RISE: Final = 25.0
"""Kelvin of warming that is outside by itself (common practice)."""


@key(
    "cylinder.heat",
    "Worst temperature inside",
    kind="limit",
    sense="max",
    unit="K",
    display="degC",
    step="1 degC down",
    where="bench",
    needs=("boat.power.cut_out", "boat.power.heat_rise", "today.water.temperature"),
    formula=(
        "water temperature + the rise measured closed up for ten minutes, at most the cut-out less 20 K",
    ),
    valid="a rise measured with the cylinder closed; more than 25 K of rise is outside by itself",
    sources=("common practice, no source", "the makers' sheets give the cut-out"),
    reads="temperature",
    reading_unit="degC",
)
def cylinder_heat(s: Sheet) -> Limit:
    """Hottest known part in this water against its cut-out."""
    rise, cut_out = s.maybe("power.heat_rise"), s.maybe("power.cut_out")
    too_warm = rise is not None and rise.si > MOST_RISE
    if cut_out is None and not too_warm:
        missing = [p for p, n in (("power.cut_out", cut_out), ("power.heat_rise", rise)) if n is None]
        raise UnknownError(*(s.facts.canonical(p) for p in missing))
    reading = s.reading("cylinder.heat")
    lines: list[str] = []
    part: tuple[Part, ...] = ()
    if rise is not None:
        water_now = s.num("today.water.temperature")
        hottest, u95 = physics.hottest_known(water=water_now.si, rise=rise.si)
        reading = reading or Num(hottest, u95, max(rise.basis, water_now.basis, key=lambda b: b.rank))
        lines.append(f"Water {water_now.si - ZERO_CELSIUS:.0f} degC + {rise.si:.0f} K measured closed")
        part = (Part("rise", rise.si, u95, text(rise.si, "K", "temperature difference", 1.0)),)
    high = None if cut_out is None else cut_out.si - COOL
    shown = None if high is None else down(high - ZERO_CELSIUS, 1.0) + ZERO_CELSIUS
    if cut_out is not None:
        lines.append(f"Cut-out {cut_out.si - ZERO_CELSIUS:.0f} degC less {COOL:.0f}")
    verdict = Verdict.OUTSIDE if too_warm else judge(reading, None, shown)
    bank = _on_the_bank(s, rise)
    return cylinder_heat.new().but(
        high=high,
        value=None if reading is None else reading.si,
        u95=0.0 if reading is None else reading.u95,
        shown_high=shown,
        shown="a rise of at most 25 K" if shown is None else text(shown, "degC", "temperature", 1.0),
        missing=() if rise is not None else (s.facts.canonical("power.heat_rise"),),
        parts=part,
        reading=reading,
        verdict=verdict,
        why=tuple(lines),
        cautions=(*bank, "No bench run closed up; hot parts burn hands."),
        actions=()
        if verdict is Verdict.WITHIN
        else ("measure the rise: probe on the hottest part, closed, ten minutes",),
    )


def _on_the_bank(s: Sheet, rise: Num | None) -> tuple[str, ...]:
    """What a run on the bank would come to; the air behind this caution does not count as an input."""
    air, _ = s.recorded(lambda x: x.maybe("today.air.temperature"))
    if rise is None or not isinstance(air, Num):
        return ()
    there = air.si + 15.0 + rise.si - ZERO_CELSIUS
    return (f"On the bank in the sun, closed up and running, about {there:.0f} degC.",)
