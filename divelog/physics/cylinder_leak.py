"""Leak tests of a closed cylinder: from a gauge that falls to water that comes in.

One law serves pressure and vacuum: slow laminar flow of air along a leak, dP/dt = -(k/V)(P^2 - P_a^2).
Pressures are absolute unless a name says gauge; every u95 is 95 %.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, TypeAlias

from divelog.physics.errors import OutOfRangeError
from divelog.physics.si import (
    STANDARD_ATMOSPHERE,
    ZERO_CELSIUS,
    CubicMetres,
    CubicMetresPerSecond,
    GaugePascals,
    Kelvin,
    KelvinDifference,
    Kilograms,
    KilogramsPerCubicMetre,
    Metres,
    Pascals,
    PascalSeconds,
    Ratio,
    Seconds,
)

Throughput: TypeAlias = float
"""Gas flow as pressure times volume a second, Pa m3/s, at the temperature of the test's start."""
LeakConductance: TypeAlias = float
"""k of dP/dt = -(k/V)(P^2 - P_a^2), m3/(Pa s)."""
MolesPerSecond: TypeAlias = float

GAS_CONSTANT: Final = 8.314462618
"""Molar gas constant, J/(mol K) (CODATA 2018)."""

LEAK_FACTOR: Final[Ratio] = 3.0
"""Factor kept between the water an air leak predicts and the water allowed.

Up: short sharp leaks pass about 1.9 times as much, and seals loaded the other way can open; down to nothing:
surface tension shuts fine greasy pores. No source holds it closer for a model's seals (common practice, no
source).
"""

LEAST_HOLD: Final[Seconds] = 180.0
"""Shortest hold worth reading: three minutes (common practice, no source)."""

GREATEST_HOLD: Final[Seconds] = 3600.0
"""Beyond an hour the room decides, not the leak: towel or bubbles then (common practice, no source)."""

HOLD_SIGMAS: Final[Ratio] = 3.0
"""Standard deviations the allowed fall must stand over the noise; 10 for proof by the tenfold resolution of
pressure-decay practice."""

TOWEL_HANDLING_U95: Final[Kilograms] = 40e-6
"""What handling a bagged towel adds, 0.04 g (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class GaugeReading:
    """One reading of a leak test: gauge Pa, barometer Pa, temperature K of the air inside (or the wall)."""

    gauge: GaugePascals
    outside: Pascals
    temperature: Kelvin

    @property
    def absolute(self) -> Pascals:
        """Pressure inside, Pa absolute."""
        return self.gauge + self.outside


def air_viscosity(temperature: Kelvin) -> PascalSeconds:
    """Viscosity of dry air near one atmosphere, Pa s.

    eta = 0.0266958 sqrt(M T) / (s^2 Omega(T e)) + eta_1(density), M 28.9586 g/mol, s 0.360 nm, 1/e 103.3 K,
    ln Omega = sum b_i (ln T*)^i; of eta_1 the terms linear in density, at 101 325 Pa (0.08 %).
    -10 to 60 degC; 1 % (published), 0.01 % against the whole formula.
    Source: Lemmon and Jacobsen 2004, Int. J. Thermophys. 25, 21.
    """
    if not ZERO_CELSIUS - 10.0 <= temperature <= ZERO_CELSIUS + 60.0:
        raise OutOfRangeError(f"Air at {temperature - ZERO_CELSIUS:.1f} degC is outside -10 to 60 degC.")
    log = math.log(temperature / 103.3)
    omega = math.exp(0.431 + log * (-0.4623 + log * (0.08406 + log * (0.005341 - log * 0.00331))))
    dilute = 0.0266958 * math.sqrt(28.9586 * temperature) / (0.360**2 * omega)
    # reduced density of an ideal gas at one atmosphere over the critical 10.4477 mol/L
    delta = STANDARD_ATMOSPHERE / (GAS_CONSTANT * temperature) / 10_447.7
    tau = 132.6312 / temperature
    dense = (10.72 * tau**0.2 - 8.876 * tau**0.6) * delta
    return float((dilute + dense) * 1e-6)


def corrected_fall(start: GaugeReading, end: GaugeReading) -> Pascals:
    """Fall of absolute pressure that temperature and barometer do not explain, Pa: P_1 - P_2 T_1/T_2.

    Negative: a rise (a vacuum test's leak, or air that came in). Correct absolute pressures, never gauges: 1
    K is 0.41 kPa at +20 kPa. Source: ideal gas law; 40 CFR 1065.644 uses the same p/T.
    """
    _check_reading(start)
    _check_reading(end)
    return start.absolute - end.absolute * start.temperature / end.temperature


def throughput(*, volume: CubicMetres, fall: Pascals, time: Seconds) -> Throughput:
    """Air lost (positive) or taken in (negative) by a small corrected fall: V fall / time, Pa m3/s.

    For a fall under a tenth of the gauge pressure. u95: V u95(fall)/time and 10 % of it for V, in squares.
    Source: 40 CFR 1065.644 in pressure-volume units.
    """
    _check_above("volume", volume)
    _check_above("time", time)
    return volume * fall / time


def moles(flow: Throughput, *, temperature: Kelvin) -> MolesPerSecond:
    """The same flow in moles: flow / (R T), mol/s. Source: ideal gas law, 40 CFR 1065.644."""
    _check_above("temperature", temperature)
    return flow / (GAS_CONSTANT * temperature)


def conductance(
    *, volume: CubicMetres, start: Pascals, end: Pascals, outside: Pascals, time: Seconds
) -> LeakConductance:
    """Size k of a laminar leak from a fall of any size, m3/(Pa s); pressure and vacuum alike.

    k = V/(2 P_a t) ln{ (P_1 - P_a)(P_2 + P_a) / [(P_1 + P_a)(P_2 - P_a)] }, the law dP/dt = -(k/V)(P^2 -
    P_a^2) solved for k. ``start`` and ``end`` absolute Pa on one side of ``outside``, the end already
    corrected for temperature. Source: laminar leak law q = pi r^4 (p1^2 - p2^2)/(16 eta l), leak-detection
    texts.
    """
    _check_above("volume", volume)
    _check_above("time", time)
    _check_above("outside pressure", outside)
    if (start - outside) * (end - outside) <= 0.0 or min(start, end) <= 0.0:
        raise OutOfRangeError("Start and end pressure must lie on the same side of the air outside.")
    ratio = (start - outside) * (end + outside) / ((start + outside) * (end - outside))
    return volume / (2.0 * outside * time) * math.log(ratio)


def flow_through(k: LeakConductance, *, inside: Pascals, outside: Pascals) -> Throughput:
    """Air passing a leak of size k: k (P^2 - P_a^2), Pa m3/s, outward positive. Source: as
    ``conductance``."""
    return k * (inside**2 - outside**2)


def false_fall(*, start: Pascals, pumped: Pascals, temperature: Kelvin) -> tuple[KelvinDifference, Pascals]:
    """Warming by quick pumping, K, and the fall as that heat goes, Pa: what a first reading too early shows.

    T ((P_2/P_1)^(2/7) - 1), and P_2 (1 - T/(T + rise)). Both are upper ends (no heat lost while pumping).
    Wait ten minutes, or until two readings three minutes apart agree (common practice).
    Source: adiabatic compression of a diatomic gas.
    """
    _check_above("start pressure", start)
    _check_above("temperature", temperature)
    if pumped < start:
        raise OutOfRangeError("Pumped pressure lies under the start.")
    rise = temperature * ((pumped / start) ** (2.0 / 7.0) - 1.0)
    return rise, pumped * rise / (temperature + rise)


def water_through(
    k: LeakConductance, *, head: Pascals, air_viscosity: PascalSeconds, water_viscosity: PascalSeconds
) -> CubicMetresPerSecond:
    """Water the same leak lets in under a head: 2 k (mu_air/mu_water) head, m3/s.

    ``head`` pressure across the seal, inward, Pa. True to a factor of 3 up, and down to nothing; show it so.
    Source: laminar flow along one path, liquid against gas.
    """
    _check_above("air viscosity", air_viscosity)
    _check_above("water viscosity", water_viscosity)
    if head < 0.0:
        raise OutOfRangeError("Pressure across the seal is outward: no water comes in.")
    return 2.0 * k * air_viscosity / water_viscosity * head


def allowed_throughput(
    *,
    water: CubicMetresPerSecond,
    head: Pascals,
    test: GaugePascals,
    outside: Pascals,
    air_viscosity: PascalSeconds,
    water_viscosity: PascalSeconds,
    factor: Ratio = LEAK_FACTOR,
) -> Throughput:
    """Air flow at the test pressure that stands for the water allowed, Pa m3/s (its size; vacuum too).

    q = (water/factor) mu_water/(2 mu_air head) |(P_a + test)^2 - P_a^2|.
    ``water`` allowed at the dive's ``head``, m3/s; ``test`` gauge pressure, Pa, negative for a vacuum;
    ``factor`` what is kept for the uncertainty of the path. Source: as ``water_through``, turned round.
    """
    for name, value in (
        ("water allowed", water),
        ("pressure across the seal", head),
        ("outside pressure", outside),
        ("air viscosity", air_viscosity),
        ("water viscosity", water_viscosity),
        ("factor", factor),
    ):
        _check_above(name, value)
    if test == 0.0 or test <= -outside:
        raise OutOfRangeError(f"A test at {test / 1000:g} kPa gauge shows no leak.")
    path = water / factor * water_viscosity / (2.0 * air_viscosity * head)
    return path * abs((outside + test) ** 2 - outside**2)


def allowed_fall(flow: Throughput, *, volume: CubicMetres, hold: Seconds) -> Pascals:
    """Most corrected fall (or rise, in a vacuum) in a hold: q t / V, Pa. Source: as ``throughput``."""
    _check_above("volume", volume)
    _check_above("hold", hold)
    return flow * hold / volume


def step_u95(step: float, *, by_eye: bool = False) -> float:
    """u95 of a scale read to a step, in the step's unit: step/sqrt(3) on a display, a whole step by eye.

    Source: JCGM 100:2008, F.2.2.1 (rectangular, half-width step/2), doubled; by eye common practice.
    """
    _check_above("step", step)
    return step if by_eye else step / math.sqrt(3.0)


def fall_u95(
    *,
    gauge: Pascals,
    barometer: Pascals,
    thermometer: KelvinDifference,
    pressure: Pascals,
    temperature: Kelvin,
) -> Pascals:
    """u95 of a corrected fall: sqrt(2 u_g^2 + 2 u_B^2 + 2 (P u_T/T)^2), Pa.

    ``gauge``, ``barometer``, ``thermometer`` the u95 of one reading, Pa, Pa, K; ``pressure`` absolute Pa.
    Two readings, so each counts twice. The thermometer is the floor, not the gauge. Source: JCGM 100:2008,
    5.1.2.
    """
    _check_above("pressure", pressure)
    _check_above("temperature", temperature)
    return math.sqrt(2.0) * math.hypot(gauge, barometer, pressure * thermometer / temperature)


def shortest_hold(
    flow: Throughput, *, noise_u95: Pascals, volume: CubicMetres, sigmas: Ratio = HOLD_SIGMAS
) -> Seconds:
    """Shortest hold in which the allowed fall stands clear of the noise: sigmas (u95/2) V / q, s.

    In proportion to the volume. Over ``GREATEST_HOLD`` this gauge cannot decide.
    Source: detection limit of three standard deviations; the tenfold form from pressure-decay practice (ASTM
    E2930, by number, from memory).
    """
    _check_above("flow", flow)
    _check_above("volume", volume)
    if noise_u95 < 0.0:
        raise OutOfRangeError("The noise of a fall is not below nothing.")
    return sigmas * noise_u95 / 2.0 * volume / flow


def bubble_flow(*, diameter: Metres, interval: Seconds, pressure: Pascals) -> Throughput:
    """Air in a train of bubbles: (pi/6) D^3 P / interval, Pa m3/s.

    ``diameter`` by eye is good to 30 %, so the flow to 100 %: it finds a leak and does not measure one.
    Source: volume of a sphere; the method ASTM E515 (go or no-go only).
    """
    _check_above("diameter", diameter)
    _check_above("interval", interval)
    _check_above("pressure", pressure)
    return math.pi / 6.0 * diameter**3 * pressure / interval


def hole_diameter(
    flow: CubicMetresPerSecond, *, length: Metres, head: Pascals, water_viscosity: PascalSeconds
) -> Metres:
    """Width of one straight round hole that lets this water in: (128 mu L Q / (pi head))^(1/4), m.

    Source: Hagen-Poiseuille.
    """
    for name, value in (("flow", flow), ("length", length), ("head", head), ("viscosity", water_viscosity)):
        _check_above(name, value)
    return float((128.0 * water_viscosity * length * flow / (math.pi * head)) ** 0.25)


def pore_holds(diameter: Metres, *, surface_tension: float) -> Pascals:
    """Pressure that surface tension holds back in a greasy pore: 4 gamma / D, Pa.

    ``surface_tension`` N/m (water 0.0742 at 10 degC). Upper end: a wetted pore holds nothing. Source:
    Young-Laplace.
    """
    _check_above("diameter", diameter)
    _check_above("surface tension", surface_tension)
    return 4.0 * surface_tension / diameter


def found_u95(scale: Kilograms, *, handling: Kilograms = TOWEL_HANDLING_U95) -> Kilograms:
    """u95 of the water found as a towel's two weighings: sqrt(2 u_scale^2 + u_handling^2), kg.

    ``scale`` u95 of one weighing, kg. Bag the towel at once: it dries. Source: JCGM 100:2008, 5.1.2.
    """
    if scale < 0.0 or handling < 0.0:
        raise OutOfRangeError("An uncertainty is not below nothing.")
    return math.sqrt(2.0 * scale**2 + handling**2)


def found_rate(
    mass: Kilograms,
    *,
    time: Seconds,
    density: KilogramsPerCubicMetre,
    head: Pascals,
    planned_head: Pascals,
) -> CubicMetresPerSecond:
    """Water a test let in, carried to the planned head: m/(density t) planned_head/head, m3/s.

    Source: laminar flow, in proportion to the pressure across the seal.
    """
    for name, value in (
        ("time", time),
        ("density", density),
        ("test head", head),
        ("planned head", planned_head),
    ):
        _check_above(name, value)
    if mass < 0.0:
        raise OutOfRangeError("The towel grew lighter: weigh again.")
    return mass / (density * time) * planned_head / head


def _check_reading(reading: GaugeReading) -> None:
    _check_above("temperature", reading.temperature)
    _check_above("inside pressure", reading.absolute)


def _check_above(name: str, value: float) -> None:
    if not value > 0.0:
        raise OutOfRangeError(f"The {name} must be above nothing; it is {value:g}.")
