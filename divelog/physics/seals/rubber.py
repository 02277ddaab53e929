"""Rubbers: how they expand and swell, which grease suits them, how long they keep, when a ring is past it."""

from datetime import date
from enum import Enum
from types import MappingProxyType
from typing import Final

from divelog.physics.errors import OutOfRangeError
from divelog.physics.si import Metres, PerKelvin, Ratio


class Rubber(Enum):
    """What a ring or lip is made of."""

    NITRILE = "nitrile"
    EPDM = "EPDM"
    SILICONE = "silicone"
    FLUOROCARBON = "fluorocarbon"
    POLYURETHANE = "polyurethane"
    CHLOROPRENE = "chloroprene"
    NATURAL = "natural rubber"
    STYRENE_BUTADIENE = "styrene butadiene"
    HYDROGENATED_NITRILE = "hydrogenated nitrile"
    BUTYL = "butyl"
    UNKNOWN = "unknown"


class Grease(Enum):
    """What is put on it, by what the grease is made of."""

    PETROLEUM = "petroleum"
    LITHIUM_SOAP = "lithium soap"
    SILICONE = "silicone"
    PTFE_ON_PFPE = "PTFE on PFPE"
    PTFE_ON_MINERAL = "PTFE on mineral oil"
    VEGETABLE = "vegetable or animal"
    UNKNOWN = "unknown"


class Match(Enum):
    """Whether a grease suits a rubber."""

    SUITS = "suits"
    AVOID = "avoid"
    NO = "no"
    UNKNOWN = "unknown"


EXPANSION: Final = MappingProxyType(
    {
        Rubber.NITRILE: 1.6e-4,
        Rubber.EPDM: 1.6e-4,
        Rubber.FLUOROCARBON: 1.6e-4,
        Rubber.SILICONE: 2.5e-4,
    }
)
"""Linear expansion, 1/K: rubber handbooks, from memory; 1.1 to 1.8e-4 is common, silicone more."""

WATER_SWELL: Final = MappingProxyType(
    {
        Rubber.NITRILE: 0.05,
        Rubber.EPDM: 0.02,
        Rubber.SILICONE: 0.02,
        Rubber.FLUOROCARBON: 0.05,
    }
)
"""Most growth of volume after a season in water, as a ratio: from memory, upper ends."""

_S, _A, _N = Match.SUITS, Match.AVOID, Match.NO
_ORDER = (
    Grease.PETROLEUM,
    Grease.LITHIUM_SOAP,
    Grease.SILICONE,
    Grease.PTFE_ON_PFPE,
    Grease.PTFE_ON_MINERAL,
    Grease.VEGETABLE,
)
_TABLE = {
    Rubber.NITRILE: (_S, _S, _S, _S, _S, _A),
    Rubber.EPDM: (_N, _N, _S, _S, _N, _A),
    Rubber.SILICONE: (_A, _A, _N, _S, _A, _A),
    Rubber.FLUOROCARBON: (_S, _S, _S, _S, _S, _S),
    Rubber.POLYURETHANE: (_S, _S, _S, _S, _S, _A),
    Rubber.CHLOROPRENE: (_A, _A, _S, _S, _A, _A),
    Rubber.NATURAL: (_N, _N, _S, _S, _N, _A),
}

_SHELF_YEARS = {
    Rubber.STYRENE_BUTADIENE: 3,
    Rubber.POLYURETHANE: 5,
    Rubber.NITRILE: 15,
    Rubber.HYDROGENATED_NITRILE: 15,
    Rubber.CHLOROPRENE: 15,
    Rubber.EPDM: None,
    Rubber.FLUOROCARBON: None,
    Rubber.SILICONE: None,
    Rubber.BUTYL: None,
}

UNLIMITED_SHOWN_YEARS = 25
"""What is shown where the standard sets no end (a public reproduction of the standard says so)."""

RENEW_AT_SET: Ratio = 0.4
"""Compression set from which a ring is renewed: common practice, no source."""


def match(rubber: Rubber, grease: Grease) -> Match:
    """Whether a grease suits a rubber; the maker's sheet rules.

    Like swells like: petroleum swells EPDM and natural rubber, silicone grease swells silicone rubber. A
    rubber not known takes PTFE on PFPE, or silicone grease unless it may be silicone rubber itself; anything
    else with it is unknown.

    Source: SAE paper 820143 (EPDM not for petroleum fluids), rubber selection charts (nitrile, lithium soap,
    silicone grease not on silicone rubber); the rest from memory.
    """
    if grease is Grease.UNKNOWN:
        return Match.UNKNOWN
    if grease is Grease.PTFE_ON_PFPE:
        return Match.SUITS
    row = _TABLE.get(rubber)
    if row is not None:
        return row[_ORDER.index(grease)]
    if rubber is Rubber.UNKNOWN and grease is Grease.SILICONE:
        return Match.SUITS
    return Match.UNKNOWN


def compression_set(free: Metres, found: Metres, depth: Metres) -> Ratio:
    """Share of the squeeze a ring has kept for good, (d2 new - d2 found)/(d2 new - h); 0 new, 1 flat.

    free is its own section when new, found the section half an hour after it was taken out, depth that of
    its groove, all metres. Compared with its own new section, not the nominal one.
    Source: the form of ISO 815-1 and ASTM D395, from memory.

    Raises:
        OutOfRangeError: the groove is not shallower than the new ring, or found lies outside h to new (a
            swollen ring is not one that has set).
    """
    if not 0.0 < depth < free:
        raise OutOfRangeError("The groove must be shallower than the new ring's section.")
    if not depth <= found <= free:
        raise OutOfRangeError(
            f"The section found, {found * 1e3:.4g} mm, must lie between the groove's depth of "
            f"{depth * 1e3:.4g} mm and the new {free * 1e3:.4g} mm."
        )
    return (free - found) / (free - depth)


def quarter_end(year: int, quarter: int) -> date:
    """Last day of a cure quarter, from which storage is counted: 2Q12 is 30 June 2012."""
    if quarter not in (1, 2, 3, 4):
        raise OutOfRangeError(f"The cure quarter is {quarter}; there are four in a year.")
    month, day = {1: (3, 31), 2: (6, 30), 3: (9, 30), 4: (12, 31)}[quarter]
    return date(year, month, day)


def _years_on(start: date, years: int) -> date:
    try:
        return start.replace(year=start.year + years)
    except ValueError:  # 29 February in a common year
        return start.replace(year=start.year + years, day=28)


def use_by(rubber: Rubber, cured: date) -> date | None:
    """Last day of storage in the packet; None where the standard sets no end.

    Holds under 38 degC and 75 % humidity, in the dark, unstretched, in the packet. It says nothing about
    life once fitted.
    Source: SAE ARP5316/AS5316, three public reproductions; styrene butadiene is 3 or 15 years by source, 3
    taken.

    Raises:
        OutOfRangeError: a rubber the standard does not list, or one not known.
    """
    if rubber not in _SHELF_YEARS:
        raise OutOfRangeError(f"No storage time is known for {rubber.value}.")
    years = _SHELF_YEARS[rubber]
    return None if years is None else _years_on(cured, years)


def shown_use_by(rubber: Rubber, cured: date) -> date:
    """The same, with the 25 years that are shown where there is no end."""
    return use_by(rubber, cured) or _years_on(cured, UNLIMITED_SHOWN_YEARS)


def expansion_of(rubber: Rubber) -> PerKelvin:
    """Linear expansion of a rubber; one not listed takes nitrile's, 1.6e-4 /K (good to 30 %)."""
    return EXPANSION.get(rubber, 1.6e-4)
