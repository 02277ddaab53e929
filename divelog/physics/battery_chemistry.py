"""What differs between battery chemistries: the tables, each with its source."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from divelog.physics.electrical import HOUR, Points
from divelog.physics.si import Ratio, Seconds, Volts


class Chemistry(StrEnum):
    """A pack's chemistry, in the words of the kit file."""

    LEAD_ACID = "sealed lead-acid"
    LITHIUM_POLYMER = "lithium polymer"
    LITHIUM_ION = "lithium ion"
    LITHIUM_IRON_PHOSPHATE = "lithium iron phosphate"
    NICKEL_METAL_HYDRIDE = "nickel metal hydride"
    NICKEL_CADMIUM = "nickel cadmium"

    @property
    def is_nickel(self) -> bool:
        """Nickel metal hydride or nickel cadmium."""
        return self in _NICKEL

    @property
    def is_lithium(self) -> bool:
        """Any lithium chemistry."""
        return self in _LITHIUM

    @property
    def is_lithium_cobalt(self) -> bool:
        """The 4.20 V lithium cells: polymer and ion (cobalt, nickel-manganese-cobalt)."""
        return self in _LITHIUM_COBALT


_NICKEL = frozenset({Chemistry.NICKEL_METAL_HYDRIDE, Chemistry.NICKEL_CADMIUM})
_LITHIUM_COBALT = frozenset({Chemistry.LITHIUM_POLYMER, Chemistry.LITHIUM_ION})
_LITHIUM = _LITHIUM_COBALT | {Chemistry.LITHIUM_IRON_PHOSPHATE}


@dataclass(frozen=True, slots=True)
class ChemistryFacts:
    """The figures of one chemistry; every default here is to be shown as assumed.

    rated_time           time of the discharge the label's capacity is counted at
    rate_exponent        exponent of Peukert's law in its rated form, and its u95
    cut_off              volts a cell under load: up to C/5, up to 1C, above
    temperature_points   (degC, share of the 25 degC capacity); lead-acid has its own three bands
    monthly_loss         share of the charge lost in a month at 20 degC
    first_day_loss       share lost in the first day off the charger
    charge_efficiency    charge out over charge in, and its u95
    rest_full            volts a cell at rest when full, for want of a reading
    """

    rated_time: Seconds
    rate_exponent: Ratio
    rate_exponent_u95: Ratio
    cut_off: tuple[Volts, Volts, Volts]
    temperature_points: Points
    monthly_loss: Ratio
    first_day_loss: Ratio
    charge_efficiency: Ratio
    charge_efficiency_u95: Ratio
    rest_full: Volts


# Rated times: common practice (labels of small packs): 20 h lead-acid, 5 h nickel, 1 h lithium.
# Exponents: lead-acid 1.20 from two data sheets of small sealed packs (12 V 14 A h, table to 9.60 V at
# 25 degC; 12 V 40 A h), which both give 60 % of the 20 h figure at the 1 h rate (k = 1.206). Nickel 1.07
# and lithium 1.05: a public knowledge page on Peukert's law (NiMH 1.05-1.10, lithium about 1.05); the
# ± of nickel is that range.
# Cut-offs: lead-acid, the rating cut-offs of the 40 A h sheet (1.80 to 1.60 V by rate); nickel 1.2-0.9 V by
# rate, a cell maker's NiMH data sheet; lithium, absolute 3.0-3.3 V (cobalt) and 2.5 V (iron phosphate) with a
# margin, common practice, no source.
# Temperature: from memory of makers' curves, ± 0.05.
# Monthly and first-day losses: a reference page on self-discharge (lead-acid 4-6 %, NiCd 15-20 %, NiMH 30 %,
# lithium ion 2-3 %); first day about 10 % (a radio handbook, nickel chapter), NiMH a little more.
# Charge efficiency: a battery design site (lead-acid about 0.85, lithium over 0.99); nickel 0.65-0.85, a
# reference page on coulombic efficiency.
_LEAD = ChemistryFacts(
    rated_time=20 * HOUR,
    rate_exponent=1.20,
    rate_exponent_u95=0.10,
    cut_off=(1.75, 1.70, 1.60),
    temperature_points=(),
    monthly_loss=0.05,
    first_day_loss=0.0,
    charge_efficiency=0.85,
    charge_efficiency_u95=0.14,
    rest_full=2.13,
)
_LITHIUM_COBALT_FACTS = ChemistryFacts(
    rated_time=1 * HOUR,
    rate_exponent=1.05,
    rate_exponent_u95=0.0,
    cut_off=(3.50, 3.40, 3.30),
    temperature_points=((0.0, 0.85), (10.0, 0.95), (20.0, 1.00)),
    monthly_loss=0.03,
    first_day_loss=0.0,
    charge_efficiency=0.99,
    charge_efficiency_u95=0.02,
    rest_full=4.15,
)
_IRON_PHOSPHATE = ChemistryFacts(
    rated_time=1 * HOUR,
    rate_exponent=1.05,
    rate_exponent_u95=0.0,
    cut_off=(3.00, 2.90, 2.80),
    temperature_points=((0.0, 0.80), (10.0, 0.93), (20.0, 1.00)),
    monthly_loss=0.03,
    first_day_loss=0.0,
    charge_efficiency=0.99,
    charge_efficiency_u95=0.02,
    rest_full=3.40,
)
_NIMH = ChemistryFacts(
    rated_time=5 * HOUR,
    rate_exponent=1.07,
    rate_exponent_u95=0.03,
    cut_off=(1.10, 1.00, 0.90),
    temperature_points=((0.0, 0.88), (10.0, 0.95), (20.0, 1.00)),
    monthly_loss=0.30,
    first_day_loss=0.13,
    charge_efficiency=0.70,
    charge_efficiency_u95=0.20,
    rest_full=1.35,
)
_NICD = ChemistryFacts(
    rated_time=5 * HOUR,
    rate_exponent=1.07,
    rate_exponent_u95=0.03,
    cut_off=(1.10, 1.00, 0.90),
    temperature_points=((0.0, 0.88), (10.0, 0.95), (20.0, 1.00)),
    monthly_loss=0.20,
    first_day_loss=0.10,
    charge_efficiency=0.70,
    charge_efficiency_u95=0.20,
    rest_full=1.35,
)

FACTS: Mapping[Chemistry, ChemistryFacts] = MappingProxyType(
    {
        Chemistry.LEAD_ACID: _LEAD,
        Chemistry.LITHIUM_POLYMER: _LITHIUM_COBALT_FACTS,
        Chemistry.LITHIUM_ION: _LITHIUM_COBALT_FACTS,
        Chemistry.LITHIUM_IRON_PHOSPHATE: _IRON_PHOSPHATE,
        Chemistry.NICKEL_METAL_HYDRIDE: _NIMH,
        Chemistry.NICKEL_CADMIUM: _NICD,
    }
)
"""Every chemistry's figures."""

THIN_PLATE_RATE_EXPONENT: Ratio = 1.11
"""Exponent of thin-plate, high-rate sealed lead-acid packs (± 0.06): least squares over a discharge
table of ten models, 8 to 126 A h, gives 1.114."""
