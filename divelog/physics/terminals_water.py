"""Current between exposed battery terminals in water, what grease does to it, and the isolation test.

A terminal that stands out of the battery's top is a half-space electrode: its resistance goes with its size,
not its area, so a film must be whole to help.
"""

import math

from divelog.physics.electrical import AMPERE_HOUR, HOUR
from divelog.physics.errors import OutOfRangeError
from divelog.physics.ranges import need_not_negative, need_positive, need_within
from divelog.physics.si import Amperes, Coulombs, Metres, Ohms, Ratio, SiemensPerMetre, SquareMetres, Volts

POLARISATION: Volts = 1.5
"""Volts the electrodes take before current flows, ± 1.4 (assumed): copper into solution against hydrogen from
neutral water is 0.75 V, water to oxygen 1.23 V, chloride to chlorine 1.77 V (standard potentials, from
memory), over-potentials 0.3 to 1 V."""

BARE_LOG_U95: float = 0.8
"""u95 of ln(current), bare terminals: area 0.5, polarisation 0.2, bubbles and films 0.5, conductivity 0.2."""

GREASED_LOG_U95: float = 2.0 * math.hypot(0.4, 0.7)
"""The same where a share of the metal is greased: the share is known to 1.4."""

CURRENT_LIMIT: Amperes = 0.010
"""Most current between terminals (common practice, no source)."""

SHARE_LIMIT: Ratio = 0.002
"""Most charge lost in an hour, of the label's (common practice, no source)."""

BARE_LIMIT: Amperes = 0.002
"""Most current when the terminals were not greased this outing (common practice, no source)."""

CHLORIDE_LIMIT: SiemensPerMetre = 0.3
"""3 mS/cm: above it in salt water no grease is trusted (common practice, no source)."""

LEAST_CONDUCTIVITY: SiemensPerMetre = 1e-3
MOST_CONDUCTIVITY: SiemensPerMetre = 6.0
_MOST_VOLTS: Volts = 60.0


def electrode_radius(area: SquareMetres) -> Metres:
    """Radius of the hemisphere of the same area, a = √(A/2π).

    `area` all exposed metal of one terminal, m²: both sides, screw head, bare wire and link ends. A tab of
    6 × 0.8 × 8 mm is within 3 % of its driven-rod form; over an aspect of 5 use the rod form.
    """
    need_positive("exposed metal of a terminal", area * 1e6, "mm²")
    return math.sqrt(area / (2.0 * math.pi))


def water_resistance(
    *, conductivity: SiemensPerMetre, area: SquareMetres, gap: Metres, other_area: SquareMetres | None = None
) -> Ohms:
    """Resistance of the water between two terminals, R = (1/(2πσ))·(1/a1 + 1/a2 - 2/s).

    Equal terminals: (1/(πσ))·(1/a - 1/s).

    Args:
        conductivity: σ at the water's own temperature, S/m; 0.001 to 6.
        area: exposed metal of a terminal, m².
        gap: s between centres, m; at least 4 times the larger radius.
        other_area: of the other terminal; default the same.

    Uncertainty: see `BARE_LOG_U95`; the gap term is +0.6 % at s = 4a against the exact two-sphere series.
    A box of water tighter than 3 s raises R.

    Raises:
        OutOfRangeError: inputs out of range; terminals closer than 4 radii (they act as plates, and R is
        less).

    Source: potential of a hemisphere on an insulating plane, 1/(2πσa), and superposition (textbooks of field
    theory).
    """
    need_within("conductivity", conductivity, LEAST_CONDUCTIVITY, MOST_CONDUCTIVITY, "S/m")
    first = electrode_radius(area)
    second = first if other_area is None else electrode_radius(other_area)
    largest = max(first, second)
    if not (gap >= 4.0 * largest and math.isfinite(gap)):
        raise OutOfRangeError(
            f"Terminals {gap * 1e3:.3g} mm apart are too close for this: at least {4e3 * largest:.3g} mm; "
            "nearer, more current flows than it would say."
        )
    return (1.0 / first + 1.0 / second - 2.0 / gap) / (2.0 * math.pi * conductivity)


def leakage_current(*, volts: Volts, resistance: Ohms, polarisation: Volts = POLARISATION) -> Amperes:
    """Current between the terminals, I = max(0, V - V_pol)/R.

    `volts` of the pack, 0 to 60. In salt water bubbles and films cut it to a half or less: an upper
    figure. An ammeter in the load's lead cannot see it. Source: Ohm's law; `POLARISATION`.
    """
    need_within("pack voltage", volts, 0.0, _MOST_VOLTS, "V")
    need_positive("water's resistance", resistance, "ohm")
    need_not_negative("polarisation", polarisation, "V")
    return max(0.0, volts - polarisation) / resistance


def conductivity_at_current(
    *, current: Amperes, volts: Volts, area: SquareMetres, gap: Metres, polarisation: Volts = POLARISATION
) -> SiemensPerMetre:
    """Conductivity at which a current flows, σ = I·(1/a - 1/s)/(π·(V - V_pol)); equal terminals.

    Raises:
        OutOfRangeError: no current flows at these volts in any water; terminals too close.
    """
    need_positive("current", current, "A")
    if not polarisation < volts <= _MOST_VOLTS:
        raise OutOfRangeError(
            f"At {volts:.3g} V no current flows in any water, or the pack is over {_MOST_VOLTS:g} V."
        )
    at_unity = water_resistance(conductivity=1.0, area=area, gap=gap)
    return current * at_unity / (volts - polarisation)


def greased_area(*, area: SquareMetres, showing: Ratio) -> SquareMetres:
    """Metal left showing in one bare patch: A·ε.

    The radius, and so the current, falls only with √ε: 95 % covered is 4.8 times less, not 20. `showing` ε,
    above 0 to 1: 0.1 greased this outing, 0.5 some time ago, 1 never (assumed).
    """
    need_positive("exposed metal of a terminal", area * 1e6, "mm²")
    need_positive("share left showing", showing)
    need_within("share left showing", showing, 0.0, 1.0)
    return area * showing


def pinhole_ratio(*, area: SquareMetres, holes: int, hole_radius: Metres) -> Ratio:
    """Current through a film with pinholes over that of the bare terminal (one terminal, far from the other).

    R = R_bare + 1/(4σ·n·r): discs in parallel upon the bare electrode. 100 holes of 0.1 mm in 118 mm², 2.7
    % of the area, still pass 59 %. σ cancels. Source: resistance of a disc, 1/(4σr) (textbook).
    """
    if holes < 0:
        raise OutOfRangeError("The number of holes must not be negative.")
    need_positive("radius of a hole", hole_radius * 1e3, "mm")
    radius = electrode_radius(area)
    if holes == 0:
        return 0.0
    bare = 1.0 / (2.0 * math.pi * radius)
    return bare / (bare + 1.0 / (4.0 * holes * hole_radius))


def leakage_limit(capacity: Coulombs) -> Amperes:
    """Most current between the terminals, min(10 mA, 0.2 % of the label's capacity an hour).

    Common practice, no source: no charge worth speaking of is lost; the plus is eaten (see
    `terminals_electrolysis`).
    """
    need_positive("pack's capacity", capacity / AMPERE_HOUR, "A h")
    return min(CURRENT_LIMIT, SHARE_LIMIT * capacity / HOUR)


def isolation_resistance(*, pack: Volts, to_plus: Volts, to_minus: Volts, meter_resistance: Ohms) -> Ohms:
    """Resistance from the wiring to the hull's metal or the water, R = R_m·(V/(V1 + V2) - 1).

    Both leaks in parallel, from two readings with a meter of input resistance R_m: each pole to the metal.

    Args:
        pack: V across the pack.
        to_plus: V1, plus pole to the metal (size only).
        to_minus: V2, minus pole to the metal (size only).
        meter_resistance: R_m, ohm; usually 10e6.

    Returns:
        Ohm; 0 for V1 + V2 = V (or over it by the meter's error); infinity where both read 0: more than the
        meter can see.

    Trap: one pole alone tells nothing. Aerial leads and depth-sensor housings are paths too.
    Source: two resistors and a meter, Kirchhoff's laws.
    """
    need_positive("pack voltage", pack, "V")
    need_not_negative("reading to plus", to_plus, "V")
    need_not_negative("reading to minus", to_minus, "V")
    need_positive("meter's resistance", meter_resistance, "ohm")
    total = to_plus + to_minus
    if total > 1.1 * pack:
        raise OutOfRangeError(
            f"The two readings add up to {total:.3g} V, more than the pack's {pack:.3g} V; read them again."
        )
    if total == 0.0:
        return math.inf
    return meter_resistance * max(0.0, pack / total - 1.0)
