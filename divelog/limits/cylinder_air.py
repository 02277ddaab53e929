"""The cylinder's shut-in air over one outing: its gauge pressure in every state she passes through."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

from divelog.limits import water
from divelog.limits.refusal import in_words
from divelog.limits.rounding import rss
from divelog.limits.sheet import Sheet, UnknownError
from divelog.physics.cylinder import ClosedAir, inside_air
from divelog.physics.water_air import WEATHER_U95, air_pressure
from divelog.profiles.document import Basis, Num

CLOSING_U95: Final = 2.0
"""Kelvin the air inside may differ from the air it was closed in."""

BAROMETER_DRIFT: Final = 500.0
"""Pascals the barometer moves between closing and now where it is read once, 95 %."""

SUN: Final = 15.0
"""Kelvin a closed cylinder warms over the air, lying in the sun on the bank (assumed)."""

HUMIDITY: Final = (0.6, 0.2)
"""Humidity at closing, and its ±, where nobody measured it."""

HUMIDITY_READ: Final = 0.05
HEAVIEST_WATER: Final = 1025.0


@dataclass(frozen=True, slots=True)
class State:
    """One state of an outing: the gauge, Pa, and how far it may lie below and above, 95 %."""

    name: str
    gauge: float
    below: float
    above: float

    @property
    def least(self) -> float:
        """The low end."""
        return self.gauge - self.below

    @property
    def most(self) -> float:
        """The high end."""
        return self.gauge + self.above


def outside_pressure(s: Sheet) -> Num:
    """The air around her today, Pa absolute: a barometer, or the standard day at the site's height."""
    read = s.stated("today.air.pressure")
    if read is not None:
        return read
    height = s.num("site.altitude")
    return s.assume(
        "barometer", air_pressure(height.si), WEATHER_U95, "Pa", "the standard day at the site's height"
    )


def closing_humidity(s: Sheet) -> Num:
    """Relative humidity shut in, 0 to 1."""
    read = s.stated("today.air.humidity")
    if read is not None:
        return replace(read, u95=read.u95 or HUMIDITY_READ)
    return s.assume("humidity at closing", *HUMIDITY, "1", "60 %, give or take 20")


@dataclass(frozen=True, slots=True)
class Shared:
    """Ballast that shares the air: water in when she is empty and full, m3, over what was in at closing."""

    empty: float = 0.0
    full: float = 0.0
    beside: float = 0.0
    """Air of a tank outside the cylinder that breathes into it, at closing, m3."""


def shared_ballast(s: Sheet) -> Shared | None:
    """How her ballast moves the shut-in air; None where it does not."""
    inside = s.flag("ballast.inside_cylinder") is True
    vented = s.fact("ballast.vent") is not None and s.word("ballast.vent") == "into cylinder"
    if s.word("ballast.kind") == "none" or not (inside or vented):
        return None
    volume = s.num("ballast.volume").si
    share = {"empty": 0.0, "part full": 0.5, "full": 1.0}[s.need_word("ballast.start_state")]
    return Shared(-share * volume, (1.0 - share) * volume, 0.0 if inside else (1.0 - share) * volume)


def air_volume(s: Sheet) -> Num:
    """Free air at closing, m3, with the ballast in its start state."""
    return s.num("cylinder.air")


@in_words
def _state(s: Sheet, name: str, temperature: float, taken: float, beside: float, *, shared: bool) -> State:
    closed, humidity, volume, outside = (
        s.num("closed"),
        s.of(closing_humidity),
        air_volume(s),
        s.of(outside_pressure),
    )

    def gauge(dt: float = 0.0, dh: float = 0.0, dv: float = 0.0) -> float:
        damp = min(1.0, max(0.0, humidity.si + dh))
        start = ClosedAir(outside.si, closed.si + dt, damp, volume.si + beside + dv)
        return inside_air(start, temperature=temperature, outside=outside.si, taken=taken).gauge

    # each end is moved the way that costs it: hotter and damper at closing lowers, colder and drier raises
    here, spread = gauge(), max(CLOSING_U95, closed.u95)
    squeeze = volume.u95 if shared else 0.0
    pushed = _effects(gauge, here, spread, humidity.u95, squeeze, low=True)
    pulled = _effects(gauge, here, spread, humidity.u95, squeeze, low=False)
    return State(name, here, pushed, pulled)


def _effects(
    gauge: Callable[..., float], here: float, spread: float, damp: float, squeeze: float, *, low: bool
) -> float:
    sign = 1.0 if low else -1.0
    volumes = (gauge(dv=squeeze) - here, gauge(dv=-squeeze) - here) if squeeze else (0.0,)
    volume = min(0.0, *volumes) if low else max(0.0, *volumes)
    return rss(gauge(dt=sign * spread) - here, gauge(dh=sign * damp) - here, volume, BAROMETER_DRIFT)


def cold_state(s: Sheet) -> State:
    """Cooled to the water, ballast empty."""
    shared = s.of(shared_ballast)
    taken, beside = (shared.empty, shared.beside) if shared else (0.0, 0.0)
    return _state(s, "cold", s.num("today.water.temperature").si, taken, beside, shared=bool(taken))


def pressures(s: Sheet) -> tuple[State, ...]:
    """Every state: closed, cold, tank full, warm on the bank with the ballast empty and full."""
    shared = s.of(shared_ballast)
    water = s.num("today.water.temperature").si
    bank = (
        s.num("today.air.temperature").si + s.assume("sun on the bank", SUN, 0.0, "K", "15 K over the air").si
    )
    states = [State("closed", 0.0, 0.0, 0.0), s.of(cold_state)]
    empty, full, beside = (shared.empty, shared.full, shared.beside) if shared else (0.0, 0.0, 0.0)
    if shared:
        states.append(_state(s, "full", water, full, beside, shared=bool(full)))
    states.append(_state(s, "bank", bank, empty, beside, shared=bool(empty)))
    if shared:
        states.append(_state(s, "bank, full", bank, full, beside, shared=bool(full)))
    return tuple(states)


def cold_pressure(s: Sheet) -> Num:
    """Least gauge pressure inside over the outing, Pa: cooled to the water with the ballast empty.

    Ballast water in the shared air only raises it; the moment of closing, at 0, is the least where the water is
    warmer than the air shut in.
    """
    cold = s.of(cold_state)
    basis = max(
        (s.num("closed"), s.of(closing_humidity), s.num("today.water.temperature")),
        key=lambda n: n.basis.rank,
    ).basis
    value = min(0.0, cold.gauge)
    return Num(value, value - min(0.0, cold.least), basis)


def bore_and_caps(s: Sheet) -> tuple[float, str, bool]:
    """Bore at the rings, m, how the weakest cap is held, and whether that is assumed."""
    bore = s.num("cylinder.inside_diameter").si
    names = s.ids("cap")
    if not names:
        s.assume("how the caps are held", 0.0, 0.0, "", "friction, the worst", star=True)
        return bore, "friction", True
    holds = [
        (s.need_word(f"cap[{n}].held_by"), s.basis_of(f"cap[{n}].held_by") is Basis.ASSUMED) for n in names
    ]
    for held, assumed in sorted(holds, key=lambda h: h[1]):
        if held == "friction":
            return bore, held, assumed
    return bore, holds[0][0], False


def heaviness(s: Sheet) -> float:
    """Density of the water, kg/m3; the heaviest usual where it is not known, the safe end."""
    try:
        return s.of(water.density).si
    except UnknownError:
        return s.assume("density", HEAVIEST_WATER, 0.0, "kg/m^3", "sea water, the safe end").si


def plan_depth(s: Sheet) -> Num:
    """Keel depth planned, m, or the deepest she is allowed; UnknownError names the plan."""
    plan = s.maybe("plan.depth")
    if plan is None:
        plan = s.stated("my_limits.deepest")
    if plan is None:
        raise UnknownError(s.facts.canonical("plan.depth"))
    return plan
