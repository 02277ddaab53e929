"""State of charge from the resting pack's volts, and back; and where the volts say nothing.

All tables are volts a cell with nothing connected. Sources disagree by ten points of charge and more;
the table kept is the one that reads low, so the error lies on the safe side.
"""

import math
from dataclasses import dataclass

from divelog.physics.battery_chemistry import Chemistry
from divelog.physics.electrical import HOUR, ROOM, Points, need_celsius
from divelog.physics.electrical import piecewise as _line
from divelog.physics.electrical import swapped as _swapped
from divelog.physics.errors import OutOfRangeError
from divelog.physics.ranges import need_positive, need_within
from divelog.physics.si import Kelvin, Ratio, Seconds, Volts

_LEAD: Points = (
    (11.80 / 6, 0.0),
    (12.00 / 6, 0.25),
    (12.30 / 6, 0.50),
    (12.60 / 6, 0.75),
    (12.90 / 6, 1.0),
)
"""Sealed lead-acid with absorbed acid, 25 degC. Source: public charge table for such packs (12.9, 12.6,
12.3, 12.0, under 11.8 V); a vehicle owner's manual has 12.8-13.2, 12.6, 12.3, 12.0 V."""

LEAD_TEMPERATURE_COEFFICIENT = 0.0002
"""Volts a cell a kelvin, ± 0.0006 (95 %). From the standard entropies of the cell reaction (CRC tables):
+0.207 mV/K. Never the -22 mV/K of a 12 V charger's compensation: that would call a flat cold pack full."""

_COBALT: Points = ((3.50, 0.0), (3.80, 0.30), (3.90, 0.55), (4.00, 0.75), (4.10, 0.87), (4.20, 1.0))
"""Lithium cells of 4.20 V. Source: a public note on lithium-ion volts against charge; it lies below the
graphite-silicon/NMC811 cell of Chen et al. 2020 throughout."""

_IRON_PHOSPHATE: Points = ((2.50, 0.0), (2.785, 0.05), (2.980, 0.10), (3.168, 0.20), (3.206, 0.30))
"""Lithium iron phosphate below its plateau. Source: cell model of Prada et al. 2013, as computed with
PyBaMM 26.10.1.1."""

_PLATEAU: tuple[Volts, Volts] = (3.206, 3.33)
_NICKEL_UNKNOWN: tuple[Volts, Volts] = (1.20, 1.35)

LEAST_REST_AFTER_RUN: Seconds = 600.0
"""Ten minutes with nothing connected (common practice, no source); a reading then is low, so safe."""

LEAST_REST_AFTER_CHARGE_LEAD: Seconds = 4 * HOUR
"""Lead-acid reads high for hours after a charge: refuse before this (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class RestCharge:
    """State of charge as the resting volts tell it, 0 to 1.

    state     the single figure, or None where the volts cannot give one
    least     the low end of what it may be (95 %); most the high end
    """

    state: Ratio | None
    least: Ratio
    most: Ratio


def cell_volts(*, volts: Volts, cells: int) -> Volts:
    """Volts a cell of a pack of `cells` in series.

    Raises:
        OutOfRangeError: no cells, or volts not above zero.
    """
    if cells < 1:
        raise OutOfRangeError(f"A pack has at least one cell; {cells} was given.")
    need_positive("pack's rest voltage", volts, "V")
    return volts / cells


def state_of_charge(
    *, chemistry: Chemistry, volts: Volts, cells: int, temperature: Kelvin = ROOM
) -> RestCharge:
    """State of charge from rest volts.

    Straight lines through the chemistry's table, at E = volts / cells; lead-acid first brought to 25 degC
    by +0.2 mV a cell a kelvin. For cells of different volts give the lowest cell as a pack of one.

    Uncertainty (95 %): lead-acid +0.20 / -0.05 at half charge and over, +0.20 / -0.10 below (spread of
    five public tables); lithium ± 0.07 from 3.9 V, +0.25 / -0.05 below (spread of two published cell models
    and a table; near empty, under 3.70 V, the table may read 0.08 high); iron phosphate under its plateau
    ± 0.20, on it 0.30 to 0.95, above it 0.95 to 1; nickel only "nearly empty" under 1.20 V a cell (at most
    0.2) and otherwise nothing (1.25 V from 10 to over 80 % used: an encyclopaedia article on NiMH).

    Args:
        chemistry: the pack's.
        volts: rest volts of the pack, nothing connected.
        cells: in series.
        temperature: of the pack, K; 0 to 40 degC.

    Raises:
        OutOfRangeError: temperature outside 0 to 40 degC; volts no resting cell of the chemistry can show
            (just charged, wrong charger, dead or deeply discharged cell, wrong number of cells).

    Traps: volts under load are not rest volts; a receiver left on is a load.
    """
    need_celsius("pack's temperature", temperature, 0.0, 40.0)
    cell = cell_volts(volts=volts, cells=cells)
    if chemistry is Chemistry.LEAD_ACID:
        return _lead(cell - LEAD_TEMPERATURE_COEFFICIENT * (temperature - ROOM))
    if chemistry.is_lithium_cobalt:
        return _cobalt(cell)
    if chemistry is Chemistry.LITHIUM_IRON_PHOSPHATE:
        return _iron_phosphate(cell)
    return _nickel(cell)


def _lead(cell: Volts) -> RestCharge:
    if cell > 2.20:
        raise OutOfRangeError(
            f"{cell:.3f} V a cell is the surface of a fresh charge, not rest; "
            "let it stand, or draw 2 % of its capacity and wait ten minutes."
        )
    if cell < 1.90:
        raise OutOfRangeError(
            f"{cell:.3f} V a cell is a deeply discharged pack or a dead cell; do not run it."
        )
    state = _line(_LEAD, cell)
    return _banded(state, down=0.05 if state >= 0.5 else 0.10, up=0.20)


def _cobalt(cell: Volts) -> RestCharge:
    if cell > 4.23:
        raise OutOfRangeError(
            f"{cell:.3f} V a cell is over 4.23 V: stop, wrong charger or another chemistry."
        )
    _refuse_dead_lithium(cell)
    state = _line(_COBALT, cell)
    return _banded(state, down=0.07, up=0.07) if cell >= 3.9 else _banded(state, down=0.05, up=0.25)


def _iron_phosphate(cell: Volts) -> RestCharge:
    if cell > 3.70:
        raise OutOfRangeError(
            f"{cell:.3f} V a cell is over 3.70 V: stop, wrong charger or another chemistry."
        )
    _refuse_dead_lithium(cell)
    if cell >= _PLATEAU[1]:
        return RestCharge(state=None, least=0.95, most=1.0)
    if cell >= _PLATEAU[0]:
        return RestCharge(state=None, least=0.30, most=0.95)
    return _banded(_line(_IRON_PHOSPHATE, cell), down=0.20, up=0.20)


def _nickel(cell: Volts) -> RestCharge:
    if cell > 1.60:
        raise OutOfRangeError(f"{cell:.3f} V a cell is on the charger or another number of cells, not rest.")
    return RestCharge(state=None, least=0.0, most=0.2 if cell < _NICKEL_UNKNOWN[0] else 1.0)


def _refuse_dead_lithium(cell: Volts) -> None:
    if cell < 2.5:
        raise OutOfRangeError(
            f"{cell:.3f} V a cell is under 2.5 V: a lithium cell so low is not run and not charged."
        )


def _banded(state: Ratio, *, down: Ratio, up: Ratio) -> RestCharge:
    return RestCharge(state=state, least=max(0.0, state - down), most=min(1.0, state + up))


def rest_voltage(*, chemistry: Chemistry, state: Ratio, cells: int, temperature: Kelvin = ROOM) -> Volts:
    """Rest volts of the pack at a state of charge: the inverse of `state_of_charge`.

    Args:
        chemistry: the pack's.
        state: 0 to 1.
        cells: in series.
        temperature: of the pack, K; 0 to 40 degC.

    Raises:
        OutOfRangeError: nickel anywhere and iron phosphate over 0.30, where volts say nothing; state or
            temperature out of range.
    """
    need_within("state of charge", state, 0.0, 1.0)
    need_celsius("pack's temperature", temperature, 0.0, 40.0)
    if cells < 1:
        raise OutOfRangeError(f"A pack has at least one cell; {cells} was given.")
    if chemistry is Chemistry.LEAD_ACID:
        cell = _line(_swapped(_LEAD), state) + LEAD_TEMPERATURE_COEFFICIENT * (temperature - ROOM)
    elif chemistry.is_lithium_cobalt:
        cell = _line(_swapped(_COBALT), state)
    elif chemistry is Chemistry.LITHIUM_IRON_PHOSPHATE and state <= _IRON_PHOSPHATE[-1][1]:
        cell = _line(_swapped(_IRON_PHOSPHATE), state)
    else:
        raise OutOfRangeError(
            f"The rest volts of {chemistry} say nothing at {state:.0%}: count the charge since full."
        )
    return cells * cell


def least_rest_voltage(
    *, chemistry: Chemistry, state: Ratio, cells: int, temperature: Kelvin = ROOM
) -> Volts:
    """The least the resting pack shows at a state of charge, also where `rest_voltage` refuses.

    Iron phosphate over 0.30: the low edge of its plateau. Nickel from 0.20: 1.20 V a cell, under which a
    resting cell is nearly empty; below 0.20 nothing is known and it refuses. For the sag a pack may have
    at the end of a plan, where the low end is the safe one.

    Raises:
        OutOfRangeError: nickel under 0.20; state or temperature out of range.
    """
    if chemistry is Chemistry.LITHIUM_IRON_PHOSPHATE:
        return rest_voltage(chemistry=chemistry, state=min(state, 0.30), cells=cells, temperature=temperature)
    if chemistry.is_nickel and 0.2 <= state <= 1.0 and cells >= 1:
        return cells * _NICKEL_UNKNOWN[0]
    return rest_voltage(chemistry=chemistry, state=state, cells=cells, temperature=temperature)


def volts_tell_charge(chemistry: Chemistry) -> bool:
    """Whether rest volts can stand for the charge over the whole span: lead-acid and 4.20 V lithium."""
    return chemistry is Chemistry.LEAD_ACID or chemistry.is_lithium_cobalt


def lead_rest_u95(*, since_charge: Seconds = math.inf, since_run: Seconds = math.inf) -> Ratio:
    """u95 of a lead-acid state of charge by volts, by how long the pack has rested, for charge used.

    After a charge: under 4 h refused, 4 to 8 h 0.24, from 8 h 0.20. After a run: under 10 min refused, then
    0.30, from 4 h 0.20 (it reads low, the safe side). The wider of the two counts. infinity: not lately.
    Source: rest 6-8 h, better 24 h (a battery maker's page on open-circuit tests, a cart manual); the
    figures are common practice, no source.

    Raises:
        OutOfRangeError: the pack has not rested long enough.
    """
    if not since_charge >= LEAST_REST_AFTER_CHARGE_LEAD:
        raise OutOfRangeError(
            "Within 4 h of a charge a lead-acid pack reads high; wait, or count the charge."
        )
    if not since_run >= LEAST_REST_AFTER_RUN:
        raise OutOfRangeError("Let the pack rest ten minutes after a run before its volts are read.")
    after_charge = 0.24 if since_charge < 8 * HOUR else 0.20
    after_run = 0.30 if since_run < 4 * HOUR else 0.20
    return max(after_charge, after_run)
