"""Metal lost and gas made by a current through water.

The plus is eaten; the minus is protected, and only gasses and scales. Full current efficiency is the safe
figure. Hydrogen burns from 4 % in air: vent the casing and lift hatches outdoors, no sparks or switches. In
salt water a coated plus makes chlorine: outdoors, face away. Gloves for acid and corrosion products, rinse,
wash hands.
"""

import math
from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType

from divelog.physics.electrical import need_celsius
from divelog.physics.ranges import need_not_negative, need_positive
from divelog.physics.si import (
    STANDARD_ATMOSPHERE,
    Amperes,
    Coulombs,
    CubicMetres,
    Kelvin,
    Kilograms,
    Pascals,
    Ratio,
    Seconds,
)

FARADAY: float = 96_485.332_12
"""C/mol (exact, rounded; SI 2019)."""

GAS_CONSTANT: float = 8.314_462_618
"""J/(mol K) (exact, rounded; SI 2019)."""

HYDROGEN_FLAMMABLE: Ratio = 0.04
HYDROGEN_WORK_LIMIT: Ratio = 0.01
"""Share of hydrogen in air it burns from, and under which one works (public safety pages on battery
rooms)."""

WORN_SHARE: Ratio = 0.30
"""Share of a terminal's mass whose loss ends its life (common practice, no source)."""


class Anode(StrEnum):
    """What the plus terminal is made of."""

    COPPER = "copper"
    LEAD = "lead"
    IRON = "iron"
    ALUMINIUM = "aluminium"


class Gas(StrEnum):
    """A gas made at a terminal."""

    HYDROGEN = "hydrogen"
    OXYGEN = "oxygen"
    CHLORINE = "chlorine"


_ANODES: Mapping[Anode, tuple[float, int]] = MappingProxyType(
    {
        Anode.COPPER: (63.546e-3, 2),
        Anode.LEAD: (207.2e-3, 2),
        Anode.IRON: (55.845e-3, 2),
        Anode.ALUMINIUM: (26.982e-3, 3),
    }
)
"""Molar mass, kg/mol (standard atomic weights, IUPAC), and electrons an atom gives."""

_ELECTRONS: Mapping[Gas, int] = MappingProxyType({Gas.HYDROGEN: 2, Gas.OXYGEN: 4, Gas.CHLORINE: 2})


def metal_lost(*, anode: Anode, charge: Coulombs) -> Kilograms:
    """Mass gone from the plus terminal, m = Q·M/(z·F).

    Copper 1.186 g, lead 3.865 g, iron 1.042 g, aluminium 0.336 g an A h. Lead soon goes coated and then
    makes gas instead. Source: Faraday's laws.
    """
    need_not_negative("charge", charge, "C")
    molar, electrons = _ANODES[anode]
    return charge * molar / (electrons * FARADAY)


def gas_made(
    *,
    gas: Gas,
    charge: Coulombs,
    temperature: Kelvin = 298.15,
    pressure: Pascals = STANDARD_ATMOSPHERE,
) -> CubicMetres:
    """Volume of gas, V = Q/(z·F)·R·T/p.

    Hydrogen at the minus 0.456 L an A h (25 degC), oxygen or chlorine at a plus that is not eaten 0.228 or
    0.456. The same holds for each cell of a lead-acid pack that is overcharged. Source: Faraday's laws,
    ideal gas.
    """
    need_not_negative("charge", charge, "C")
    need_celsius("gas temperature", temperature, -20.0, 100.0)
    need_positive("pressure", pressure, "Pa")
    return charge / (_ELECTRONS[gas] * FARADAY) * GAS_CONSTANT * temperature / pressure


def terminal_life(*, anode: Anode, mass: Kilograms, current: Amperes) -> Seconds:
    """Time in the wet until 30 % of a terminal's metal is gone; infinity without current."""
    need_positive("terminal's mass", mass * 1e3, "g")
    need_not_negative("current", current, "A")
    if current == 0.0:
        return math.inf
    return WORN_SHARE * mass / metal_lost(anode=anode, charge=current)
