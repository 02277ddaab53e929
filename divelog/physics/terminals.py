"""Joints of the wiring: resistance from a drop in volts, heat at the contact, the drop allowed.

Four-wire measurement: two leads carry the current, the meter's probes stand on the metal of each part.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import Literal

from divelog.physics.errors import OutOfRangeError
from divelog.physics.ranges import need_not_negative, need_positive, need_within
from divelog.physics.si import Amperes, Kelvin, KelvinDifference, Newtons, Ohms, Pascals, Ratio, Volts, Watts

LEAST_TEST_CURRENT: Amperes = 2.0
"""Under it films break down by tenths of a volt and a bad joint can look good (common practice, no
source)."""

LORENZ_NUMBER = 2.44e-8
"""V²/K² (Wiedemann-Franz law; π²/3·(k/e)² = 2.443e-8)."""

HEAT_LIMIT: Volts = 0.050
"""Most drop of any joint (common practice, no source): keeps the spot under the softening of tin, 0.07 V."""

STOP_DROP: Volts = 0.070
"""Drop at which tin plating softens, 0.07 V (Holm 1967, from memory): no launch above it."""

BODY_RISE: KelvinDifference = 20.0
BODY_RESISTANCE = 30.0
"""Kelvin a joint's body may rise; K/W of a small tab with its wires in still closed air (assumed, 20 to
40)."""

JOINT_POWER: Watts = BODY_RISE / BODY_RESISTANCE
"""Most heat in one joint, 0.667 W."""

OWN_GROWTH: Ratio = 1.5
"""Times its own baseline that a joint may reach (common practice; stationary batteries act at 1.2)."""

DROP_U95: Volts = 0.0004
"""Of a meter with 0.1 mV steps (assumed)."""


def joint_resistance(*, drop: Volts, current: Amperes, zero: Volts = 0.0) -> Ohms:
    """Resistance of one joint, R = (U - U0)/I.

    Args:
        drop: U across the joint, V, read ten seconds after the current is on.
        current: I, A; at least 2.
        zero: U0, reading with the current off (meter's zero, thermal volts), V.

    Raises:
        OutOfRangeError: under 2 A, where no verdict holds; a drop under its zero.

    Source: Ohm's law, four-wire measurement.

    Trap: 0.2 m of 1.5 mm² in series is 27 mV at 10 A by itself. Compare ohms between days, not millivolts.
    """
    _need_test_current(current)
    need_not_negative("drop over its zero", drop - zero, "V")
    return (drop - zero) / current


def joint_resistance_u95(*, drop: Volts, current: Amperes, drop_u95: Volts, current_u95: Amperes) -> Ohms:
    """u95 of `joint_resistance`, √[(u95(U)/I)² + (U·u95(I)/I²)²] (JCGM 100). `drop` less its zero."""
    _need_test_current(current)
    need_not_negative("± of the drop", drop_u95, "V")
    need_not_negative("± of the current", current_u95, "A")
    return math.hypot(drop_u95 / current, drop * current_u95 / current**2)


def joint_power(*, drop: Volts, current: Amperes) -> Watts:
    """Heat made in the joint, P = U·I."""
    need_not_negative("drop", drop, "V")
    need_not_negative("current", current, "A")
    return drop * current


def body_rise(*, power: Watts, thermal_resistance: float = BODY_RESISTANCE) -> KelvinDifference:
    """Kelvin the joint's body stands above the air, P·R_th.

    `thermal_resistance` in K/W: 20 to 40 for a small tab in still closed air (assumed), a fifth of it wet.
    """
    need_not_negative("heat", power, "W")
    need_positive("thermal resistance", thermal_resistance, "K/W")
    return power * thermal_resistance


def _need_test_current(current: Amperes) -> None:
    if not (current >= LEAST_TEST_CURRENT and math.isfinite(current)):
        raise OutOfRangeError(
            f"{current:.3g} A is too little to judge a joint; at least {LEAST_TEST_CURRENT:g} A."
        )


def spot_temperature(*, drop: Volts, surroundings: Kelvin) -> Kelvin:
    """Hottest metal spot of a contact, T² = T0² + U²/(4L), whatever its shape and current.

    Args:
        drop: U over the contact, V; a measured joint holds bulk and film as well, so the figure is an upper
            bound for the spot (a film can heat the body more: see `joint_power`).
        surroundings: T0, K.

    Source: voltage-temperature relation of Kohlrausch and Holm (Holm 1967, from memory; reviewed by Timsit
    2001). Large U: about 3200 K a volt.
    """
    need_not_negative("drop", drop, "V")
    need_positive("temperature around", surroundings, "K")
    return math.sqrt(surroundings**2 + drop**2 / (4.0 * LORENZ_NUMBER))


def drop_at_spot_temperature(*, spot: Kelvin, surroundings: Kelvin) -> Volts:
    """Drop at which the spot reaches a temperature: the inverse of `spot_temperature`."""
    need_positive("temperature around", surroundings, "K")
    need_not_negative("rise of the spot", spot - surroundings, "K")
    return math.sqrt(4.0 * LORENZ_NUMBER * (spot**2 - surroundings**2))


class ContactMetal(StrEnum):
    """Metals a contact is made of."""

    COPPER = "copper"
    TIN = "tin"
    LEAD = "lead"
    BRASS = "brass"


@dataclass(frozen=True, slots=True)
class _Metal:
    resistivity: float
    hardness: Pascals


_METALS: Mapping[ContactMetal, _Metal] = MappingProxyType(
    {
        ContactMetal.COPPER: _Metal(resistivity=1.724e-8, hardness=0.8e9),
        ContactMetal.TIN: _Metal(resistivity=1.15e-7, hardness=0.1e9),
        ContactMetal.LEAD: _Metal(resistivity=2.08e-7, hardness=0.05e9),
        ContactMetal.BRASS: _Metal(resistivity=6.4e-8, hardness=1.3e9),
    }
)
"""Ω m at 20 degC: copper, International Annealed Copper Standard; tin and lead, public resistivity table;
brass and all hardnesses from memory."""


def clean_contact_resistance(*, metal: ContactMetal, force: Newtons) -> Ohms:
    """What one clean contact of like metals reads, R = (ρ/2)·√(πH/F).

    One round spot of radius a has ρ/(2a), and yields until F = H·π·a². Films and grit add 1 to 100 times:
    for saying what clean is, within a factor 2. `force` 1 to 200 N.

    Source: Holm 1967, from memory.
    """
    need_within("contact force", force, 1.0, 200.0, "N")
    facts = _METALS[metal]
    return 0.5 * facts.resistivity * math.sqrt(math.pi * facts.hardness / force)


Binding = Literal["heat of the spot", "heat of the joint", "own baseline"]


@dataclass(frozen=True, slots=True)
class DropLimit:
    """Most drop of a joint at a current, and the terms it is the least of (V).

    own is None without a baseline.
    """

    limit: Volts
    binds: Binding
    spot: Volts
    body: Volts
    own: Volts | None


def permitted_drop(*, current: Amperes, baseline: Ohms | None, drop_u95: Volts = DROP_U95) -> DropLimit:
    """Most drop of a joint, min(50 mV, 0.667 W/I, max(1.5·R·I, R·I + 1.5·u95(U))).

    Args:
        current: I of the test, A; at least 2.
        baseline: R, the joint's own resistance when clean, ohm; None: the third term is left out.
        drop_u95: of one reading, V; a meter without a stated class: twice its step.

    Source: 50 mV and 20 K common practice, no source (a stationary-battery manual quoting IEEE 450 allows new
    joints 10 % over the average); vehicle manuals allow 0.1 V, but for seconds of cranking.

    Trap: two good joints in parallel hide one bad; read again at 60 s, a rising drop is a heating joint.
    """
    _need_test_current(current)
    need_not_negative("± of the drop", drop_u95, "V")
    body = JOINT_POWER / current
    terms: list[tuple[Volts, Binding]] = [(HEAT_LIMIT, "heat of the spot"), (body, "heat of the joint")]
    own = None
    if baseline is not None:
        need_not_negative("joint's baseline", baseline, "ohm")
        own = max(OWN_GROWTH * baseline * current, baseline * current + 1.5 * drop_u95)
        terms.append((own, "own baseline"))
    limit, binds = min(terms, key=lambda term: term[0])
    return DropLimit(limit=limit, binds=binds, spot=HEAT_LIMIT, body=body, own=own)


def joint_worse(*, resistance: Ohms, baseline: Ohms, u95: Ohms) -> bool:
    """Whether a joint has got worse: over 1.5 times its baseline and by more than the readings' scatter.

    R > 1.5·R_base and R - R_base > 1.5·√2·u95(R), u95 of one reading (three times its s.d., both readings).
    Common practice, no source.
    """
    need_not_negative("joint's resistance", resistance, "ohm")
    need_not_negative("joint's baseline", baseline, "ohm")
    need_not_negative("± of the joint's resistance", u95, "ohm")
    return resistance > OWN_GROWTH * baseline and resistance - baseline > 1.5 * math.sqrt(2.0) * u95
