"""The leak test by hand: what to pump to, how long to hold, and what two readings say of the water that would come in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final

from divelog.clock import Clock, span
from divelog.journal.events import Event
from divelog.journal.payload import mapping, quantity, text
from divelog.limits import cylinder_leak
from divelog.limits.cylinder_air import air_volume, cold_pressure, heaviness, outside_pressure, plan_depth
from divelog.limits.model import Limit, Verdict
from divelog.limits.rounding import down, judge
from divelog.limits.sheet import NotFittedError, Sheet, UnknownError
from divelog.physics import cylinder_leak as physics
from divelog.physics import measuring
from divelog.physics.errors import OutOfRangeError
from divelog.physics.measuring import Found, Leak
from divelog.physics.si import GRAVITY
from divelog.profiles.document import Num
from divelog.session.day import quantity as as_data

START, RESULT = "cylinder.leak_down.start", "cylinder.leak_down"
"""Paths of the two ``measured`` events of a test."""

LONGEST: Final = 3 * 3600.0
"""A hold begun longer ago than this is given up."""

UNREAD_BAROMETER_U95: Final = 100.0
"""Pascals the weather may move the air outside in a hold where nobody reads a barometer (common practice, no source)."""

DEPTH: Final = 1.0
"""Depth the water is worked out for where no plan names one, m."""


@dataclass(frozen=True, slots=True)
class Plan:
    """A test as this boat stands it: gauge pressure (Pa, negative for a vacuum), hold (s), and the limit."""

    method: str
    gauge: float
    hold: float
    limit: Limit | None
    step: float
    blind: bool
    """True where this gauge cannot decide within an hour."""


def plan(sheet: Sheet, limit: Limit | None) -> Plan:
    """What to pump to and how long to hold; raises NotFittedError and UnknownError in words."""
    method = cylinder_leak.test_method(sheet)
    gauge = cylinder_leak.test_gauge(sheet, method)
    step = cylinder_leak.noise(sheet, method).step
    hold, blind = cylinder_leak.HOLDS[0], False
    if limit is not None and limit.verdict is not Verdict.UNKNOWN:
        least = next((p.si for p in limit.parts if p.name == "shortest hold"), hold)
        longer = [h for h in cylinder_leak.HOLDS if h >= least]
        hold = longer[0] if longer else cylinder_leak.HOLDS[-1]
        blind = not longer
    return Plan(method, gauge, hold, limit, step, blind)


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading: gauge, and thermometer and barometer where they were read (None where not)."""

    gauge: Num
    temperature: Num | None = None
    barometer: Num | None = None

    def data(self) -> dict[str, Any]:
        """Conditions of the event."""
        found = {}
        if self.temperature is not None:
            found["temperature"] = as_data(self.temperature)
        if self.barometer is not None:
            found["barometer"] = as_data(self.barometer)
        return found


@dataclass(frozen=True, slots=True)
class Judged:
    """What a hold says."""

    leak: Leak
    allowed: float | None
    verdict: Verdict
    depth: float


def work_out(sheet: Sheet, test: Plan, start: Reading, end: Reading, hold: float) -> Judged:
    """Corrected fall, the water it stands for and the verdict; raises OutOfRangeError, UnknownError in words.

    A temperature or barometer read at one end only counts as not read: a correction by half would mislead.
    """
    warm = None not in (start.temperature, end.temperature)
    weather = None not in (start.barometer, end.barometer)
    outside = sheet.of(outside_pressure).si
    room = sheet.maybe("today.air.temperature")
    inside = start.temperature if warm and start.temperature is not None else room
    if inside is None:
        raise UnknownError("today.air.temperature")

    def read(one: Reading) -> physics.GaugeReading:
        air = one.barometer.si if weather and one.barometer is not None else outside
        kelvin = one.temperature.si if warm and one.temperature is not None else inside.si
        return physics.GaugeReading(one.gauge.si, air, kelvin)

    noise = physics.fall_u95(
        gauge=max(physics.step_u95(test.step), start.gauge.u95, end.gauge.u95),
        barometer=cylinder_leak.BAROMETER_U95 if weather else UNREAD_BAROMETER_U95,
        thermometer=cylinder_leak.THERMOMETER_U95 if warm else cylinder_leak.NO_THERMOMETER_U95,
        pressure=outside + test.gauge,
        temperature=inside.si,
    )
    depth = _or(lambda: sheet.of(plan_depth).si, DEPTH)
    head = _or(lambda: sheet.of(heaviness), 1000.0) * GRAVITY * depth - _or(
        lambda: sheet.of(cold_pressure).si, 0.0
    )
    if head <= 0.0:
        raise OutOfRangeError("The air in her presses outward at that depth: no water comes in.")
    volume = sheet.of(air_volume)
    found = measuring.leak(
        read(start), read(end), hold,
        volume=Found(volume.si, volume.u95), noise_u95=noise, head=head,
        air_viscosity=physics.air_viscosity(inside.si), water_viscosity=_or(lambda: sheet.of(cylinder_leak.thickness), 1.3e-3),
    )  # fmt: skip
    allowed = None
    verdict = Verdict.UNKNOWN
    if test.limit is not None and test.limit.shown_high is not None:
        allowed = down(test.limit.shown_high * hold / cylinder_leak.HOLDS[0], cylinder_leak.STEP)
        verdict = judge(Num(max(0.0, found.fall.value), found.fall.u95), None, allowed)
        if verdict is Verdict.WITHIN and test.blind:
            verdict = Verdict.TOO_CLOSE
    return Judged(found, allowed, verdict, depth)


def _or(work: Callable[[], float], otherwise: float) -> float:
    try:
        return work()
    except (UnknownError, NotFittedError):
        return otherwise


# -- kept -----------------------------------------------------------------------------------------------------------


def begun(events: tuple[Event, ...], clock: Clock) -> tuple[Event, float] | None:
    """A test whose start stands in the log without an end, and the seconds it has held; None where there is none."""
    started: Event | None = None
    for event in events:
        if event.what == "measured" and event.known:
            path = text(event.payload().get("path"))
            if path == START:
                started = event
            elif path == RESULT:
                started = None
        elif event.what == "opened":
            started = None
    if started is None:
        return None
    held = span(started.when, clock.now(), started.up, clock.up(), started.boot, clock.boot).seconds
    return (started, held) if 0.0 <= held <= LONGEST else None


def reading_of(event: Event) -> Reading | None:
    """The reading a start was written with."""
    data = event.payload()
    conditions = mapping(data.get("conditions"))
    gauge = _num(data.get("value"))
    return (
        None
        if gauge is None
        else Reading(gauge, _num(conditions.get("temperature")), _num(conditions.get("barometer")))
    )


def _num(held: Any) -> Num | None:
    found = quantity(held)
    return None if found is None or found.si is None else Num(found.si, found.u95 or 0.0)


def result_data(start: Reading, end: Reading, hold: float, judged: Judged) -> dict[str, Any]:
    """Data of the ``measured`` event of a whole test."""
    fall = judged.leak.fall
    water_rate = judged.leak.water
    return {
        "path": RESULT,
        "value": {"si": fall.value, "u95": fall.u95, "typed": f"{fall.value / 1e3:.2f} kPa ± {fall.u95 / 1e3:.2f}"},
        "conditions": {
            "hold": hold, "start": as_data(start.gauge), "end": as_data(end.gauge),
            "water_rate": {"si": water_rate.value, "u95": water_rate.u95}, "depth": judged.depth, **end.data(),
        },
        "method": "leak test",
    }  # fmt: skip
