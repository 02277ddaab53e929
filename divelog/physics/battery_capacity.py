"""What of the label's capacity a pack gives: rate, temperature, age, time on the shelf."""

import math

from divelog.physics.battery_chemistry import FACTS, Chemistry
from divelog.physics.electrical import AMPERE_HOUR, DAY, HOUR, MONTH, Points, need_celsius
from divelog.physics.electrical import piecewise as _line
from divelog.physics.errors import OutOfRangeError
from divelog.physics.ranges import need_not_negative, need_positive, need_within
from divelog.physics.si import ZERO_CELSIUS, Amperes, Coulombs, Kelvin, Ratio, Seconds

LEAD_KNEE_RATE: Ratio = 1.2
"""Current over capacity, A per A h, from which lead-acid falls faster than Peukert's law."""

LEAD_KNEE_EXPONENT: Ratio = 0.55
"""Slope beyond the knee. Knee and slope are our own fit, on the safe side of a data sheet of a 12 V 14 A h
sealed pack (amperes to 9.60 V at 25 degC, 5 min to 8 h), where the plain law is 12 to 42 % too hopeful."""

_HIGHEST_RATE: dict[Chemistry, float] = {
    Chemistry.LEAD_ACID: 4.0,
    Chemistry.NICKEL_METAL_HYDRIDE: 3.0,
    Chemistry.NICKEL_CADMIUM: 3.0,
}
_HIGHEST_RATE_LITHIUM = 10.0
"""A per A h. Lead-acid: the span checked. Nickel and lithium: common practice, no source; a lithium pack's
own sheet rules below it."""

_LEAD_SHORT: Points = (
    (0.0, 0.80), (5.0, 0.85), (10.0, 0.88), (15.0, 0.92), (20.0, 0.97), (25.0, 1.0),
)  # fmt: skip
_LEAD_MIDDLE: Points = (
    (0.0, 0.82), (5.0, 0.87), (10.0, 0.89), (15.0, 0.93), (20.0, 0.98), (25.0, 1.0),
)  # fmt: skip
_LEAD_LONG: Points = (
    (0.0, 0.84), (5.0, 0.88), (10.0, 0.90), (15.0, 0.94), (20.0, 0.99), (25.0, 1.0),
)  # fmt: skip
"""Share of the 25 degC capacity by degC for discharges under 30 min, 30 to 60 min, over 60 min. Source: a
battery maker's table for valve-regulated packs; no credit is taken above 25 degC (the table goes on to
1.05-1.10). Two data sheets at the 20 h rate (85 % at 0 degC; 90 % at 10 degC) agree within 2 points."""

END_OF_LIFE: Ratio = 0.80
"""Tested over rated capacity under which a pack is replaced (a storage-battery maintenance handbook)."""

DO_NOT_RUN: Ratio = 0.70
"""Tested over rated capacity under which a pack does not run (common practice, no source)."""

PACK_TIME_CONSTANT: Seconds = HOUR
"""Cooling of a dry pack in a closed cylinder, m·c/(h·A) for about 1.9 kg (assumed)."""


def rate_factor(
    *,
    chemistry: Chemistry,
    capacity: Coulombs,
    current: Amperes,
    exponent: Ratio | None = None,
    rated_time: Seconds | None = None,
) -> Ratio:
    """Share of the label's capacity a steady current gets out, at 25 degC.

    Peukert's law in its rated form: t = H·(C/(H·I))^k, so f = (C/(H·I))^(k-1) above the rated current C/H,
    and 1 at or below it. Lead-acid above 1.2 A per A h: f(knee)·(knee/I)^0.55.

    Args:
        chemistry: the pack's.
        capacity: C, of the label, coulombs.
        current: I, A; the *mean* current of a plan. Never chain the law through bands of current: it holds
            for one steady current (Doerffel & Sharkh 2006, J. Power Sources 155:395-400).
        exponent: k, 1 to 2; default the chemistry's.
        rated_time: H, s; default the chemistry's.

    Returns:
        0 to 1.

    Uncertainty: see `rate_factor_u95`; within -16 % to +2 % of one data sheet over C/8 to 3.6C.

    Raises:
        OutOfRangeError: current over 4 (lead-acid), 3 (nickel), 10 (lithium) A per A h, where nothing was
            checked; capacity or current not above zero; exponent outside 1 to 2.

    Trap: the form I^k·t = C counts in ampere and differs by (C/H)^(k-1).
    """
    facts = FACTS[chemistry]
    hours = (facts.rated_time if rated_time is None else rated_time) / HOUR
    k = facts.rate_exponent if exponent is None else exponent
    need_positive("pack's capacity", capacity / AMPERE_HOUR, "A h")
    need_positive("current", current, "A")
    need_positive("rated time", hours, "h")
    need_within("rate exponent", k, 1.0, 2.0)
    rate = current / (capacity / AMPERE_HOUR)
    highest = _HIGHEST_RATE.get(chemistry, _HIGHEST_RATE_LITHIUM)
    if rate > highest:
        raise OutOfRangeError(
            f"{current:.3g} A from {capacity / AMPERE_HOUR:.3g} A h is over {highest:g} times its "
            "capacity an hour; what such a current leaves is not known here."
        )
    if rate * hours <= 1.0:
        return 1.0
    if chemistry is Chemistry.LEAD_ACID and rate > LEAD_KNEE_RATE:
        at_knee = min(1.0, (hours * LEAD_KNEE_RATE) ** (1.0 - k))
        return float(at_knee * (LEAD_KNEE_RATE / rate) ** LEAD_KNEE_EXPONENT)
    return float((hours * rate) ** (1.0 - k))


def rate_factor_u95(
    *,
    chemistry: Chemistry,
    capacity: Coulombs,
    current: Amperes,
    exponent_u95: Ratio | None = None,
    rated_time: Seconds | None = None,
) -> Ratio:
    """u95 of ln f of `rate_factor` from that of the exponent: u95(k)·ln(I·H/C); 0 at or below C/H.

    Args as there; `exponent_u95` default the chemistry's (0 for lithium, whose law is not leant on).
    """
    facts = FACTS[chemistry]
    hours = (facts.rated_time if rated_time is None else rated_time) / HOUR
    spread = facts.rate_exponent_u95 if exponent_u95 is None else exponent_u95
    need_positive("pack's capacity", capacity / AMPERE_HOUR, "A h")
    need_positive("current", current, "A")
    need_positive("rated time", hours, "h")
    need_not_negative("± of the rate exponent", spread)
    return spread * max(0.0, math.log(current * hours * AMPERE_HOUR / capacity))


def rate_exponent(
    *, slow_capacity: Coulombs, slow_time: Seconds, fast_capacity: Coulombs, fast_time: Seconds
) -> Ratio:
    """Exponent of Peukert's law from two rated points, k = 1 - ln(C_fast/C_slow)/ln(I_fast/I_slow), I = C/t.

    Raises:
        OutOfRangeError: a figure not above zero, the fast point not faster, or k outside 1 to 2.
    """
    for name, charge in (("slow capacity", slow_capacity), ("fast capacity", fast_capacity)):
        need_positive(name, charge / AMPERE_HOUR, "A h")
    for name, time in (("slow time", slow_time), ("fast time", fast_time)):
        need_positive(name, time / HOUR, "h")
    ratio = (fast_capacity / fast_time) / (slow_capacity / slow_time)
    if not ratio > 1.0:
        raise OutOfRangeError("The second rated point must be at a greater current than the first.")
    k = 1.0 - math.log(fast_capacity / slow_capacity) / math.log(ratio)
    need_within("rate exponent of these two points", k, 1.0, 2.0)
    return k


def temperature_factor(*, chemistry: Chemistry, temperature: Kelvin, discharge_time: Seconds) -> Ratio:
    """Share of the 25 degC capacity at the pack's temperature, straight lines between table points.

    Args:
        chemistry: the pack's.
        temperature: of the *pack*, K; 0 to 60 degC. No credit above 25 degC (20 degC but for lead-acid).
        discharge_time: how long the discharge lasts, s: lead-acid has three bands (under 30, to 60, over 60
            minutes); others do not use it.

    Uncertainty: ± 0.05.

    Raises:
        OutOfRangeError: below 0 degC (a flat lead-acid pack can freeze) or above 60 degC.

    Source: at the tables.
    """
    need_celsius("pack's temperature", temperature, 0.0, 60.0)
    need_not_negative("discharge time", discharge_time, "s")
    if chemistry is not Chemistry.LEAD_ACID:
        points = FACTS[chemistry].temperature_points
    elif discharge_time < 0.5 * HOUR:
        points = _LEAD_SHORT
    elif discharge_time <= HOUR:
        points = _LEAD_MIDDLE
    else:
        points = _LEAD_LONG
    return _line(points, temperature - ZERO_CELSIUS)


def dry_pack_temperature(*, air: Kelvin, water: Kelvin, elapsed: Seconds) -> Kelvin:
    """Temperature of a dry pack in a closed cylinder, min(air, water + (air - water)·e^(-t/1 h)).

    Args:
        air: where the pack stood, K.
        water: K.
        elapsed: in the water, s.

    A pack in the wet takes the water's temperature within minutes: use that. Source: Newton's law of cooling,
    time constant assumed.
    """
    need_not_negative("time in the water", elapsed, "s")
    return min(air, water + (air - water) * math.exp(-elapsed / PACK_TIME_CONSTANT))


def assumed_health(*, age: Seconds | None, deep_discharged: bool = False) -> Ratio:
    """Tested over rated capacity, for want of a test: ± 0.20.

    New (under half a year) 1.00, to three years 0.90, older or once deeply discharged 0.80; age unknown 0.90.
    Common practice, no source.
    """
    if age is not None:
        need_not_negative("pack's age", age / DAY, "days")
    if deep_discharged:
        return 0.80
    if age is None:
        return 0.90
    years = age / (365.25 * DAY)
    if years < 0.5:
        return 1.00
    return 0.90 if years < 3.0 else 0.80


def charge_after_storage(
    *,
    chemistry: Chemistry,
    state: Ratio,
    elapsed: Seconds,
    temperature: Kelvin = ZERO_CELSIUS + 20.0,
    monthly_loss: Ratio | None = None,
    first_day_loss: Ratio | None = None,
) -> Ratio:
    """State of charge after lying with nothing connected.

    s = (s0 - first day)·(1 - r)^(months·2^((T - 20)/10)), T in degC; the first day's loss grows evenly
    over it.

    Args:
        chemistry: the pack's.
        state: s0 when put down, 0 to 1.
        elapsed: s.
        temperature: of the store, K; -20 to 60 degC.
        monthly_loss: r at 20 degC, 0 to 1; default the chemistry's (safe side of the tables).
        first_day_loss: share lost off the charger in the first day; default the chemistry's.

    Returns:
        0 to 1.

    Source: table of a marine electricity handbook (3 % a month, half of it 10 K colder), data sheets of
    small sealed packs (91, 82, 64 % left after 3, 6, 12 months), a radio handbook (doubling per 10 K).
    """
    facts = FACTS[chemistry]
    loss = facts.monthly_loss if monthly_loss is None else monthly_loss
    first = facts.first_day_loss if first_day_loss is None else first_day_loss
    need_within("state of charge", state, 0.0, 1.0)
    need_within("monthly loss", loss, 0.0, 1.0)
    need_within("first day's loss", first, 0.0, 1.0)
    need_not_negative("time in store", elapsed / DAY, "days")
    need_celsius("store's temperature", temperature, -20.0, 60.0)
    after_first = max(0.0, state - first * min(1.0, elapsed / DAY))
    months = elapsed / MONTH * 2.0 ** ((temperature - ZERO_CELSIUS - 20.0) / 10.0)
    return float(after_first * (1.0 - loss) ** months)


def health_after_test(*, known: Ratio, found: Ratio, full_discharge: bool) -> Ratio:
    """Health after a run or a bench discharge gave a figure.

    A full, controlled discharge replaces the known figure; anything else may only lower it, for a discharge
    that stopped early says nothing of what was left. Common practice, no source.
    """
    for name, value in (("known health", known), ("health found", found)):
        need_within(name, value, 0.0, 1.5)
    return found if full_discharge else min(known, found)
