"""How long a pack lasts with the way home kept, and the least charge to start with.

Charge in coulombs, currents in ampere, times in seconds.
"""

import math
from dataclasses import dataclass

from divelog.physics.electrical import AMPERE_HOUR, HOUR
from divelog.physics.errors import OutOfRangeError
from divelog.physics.ranges import need_not_negative, need_positive, need_within
from divelog.physics.si import Amperes, Coulombs, Ratio, Seconds

LEAST_KEPT: Ratio = 0.20
"""Kept share of the capacity, whatever lower is asked."""

USUAL_KEPT: Ratio = 0.30
RECOVERY_MARGIN: Ratio = 1.5
CLIMB_TIME: Seconds = 60.0
WAIT_TIME: Seconds = 1800.0
TEMPERATURE_SPREAD: Ratio = 0.10
"""u95 of the capacity from temperature (table's own ± 0.05 doubled for the pack's unknown temperature)."""


def recovery_charge(
    *,
    blows: float,
    blow_current: Amperes,
    blow_time: Seconds,
    climb_current: Amperes,
    hotel: Amperes,
    climb_time: Seconds = CLIMB_TIME,
    wait_time: Seconds = WAIT_TIME,
) -> Coulombs:
    """Charge to bring her home: blow the ballast, climb, wait afloat with the receiver alive.

    Q = N·I_blow·t_blow + I_climb·t_climb + I_h·t_wait. Common practice, no source.
    """
    for name, value, unit in (
        ("number of blows kept", blows, ""),
        ("blow current", blow_current, "A"),
        ("blow time", blow_time, "s"),
        ("climbing current", climb_current, "A"),
        ("climbing time", climb_time, "s"),
        ("idle current", hotel, "A"),
        ("waiting time", wait_time, "s"),
    ):
        need_not_negative(name, value, unit)
    return blows * blow_current * blow_time + climb_current * climb_time + hotel * wait_time


@dataclass(frozen=True, slots=True)
class ChargeBudget:
    """What a pack holds and must keep, coulombs.

    healthy    label's capacity times health: what a slow discharge gives
    effective  of that, at this rate and temperature
    recovery   to bring her home, without margin
    kept       the greater of the kept share of `effective` and 1.5 times `recovery`
    """

    healthy: Coulombs
    effective: Coulombs
    recovery: Coulombs
    kept: Coulombs

    def now(self, state: Ratio) -> Coulombs:
        """Charge left at a state of charge: what is used counts whole, the rate's loss stays at the bottom.

        max(0, effective - (1 - s)·healthy); safer than s·effective, and equal at s = 1.
        """
        need_within("state of charge", state, 0.0, 1.0)
        return max(0.0, self.effective - (1.0 - state) * self.healthy)


def charge_budget(
    *,
    capacity: Coulombs,
    health: Ratio,
    rate: Ratio,
    temperature: Ratio,
    recovery: Coulombs,
    kept_share: Ratio = USUAL_KEPT,
) -> ChargeBudget:
    """Capacity at work and what of it is kept.

    C_eff = C·h·f_R·f_T; Q_keep = max(φ·C_eff, 1.5·Q_rec), φ never under 0.20.

    Args:
        capacity: C of the label, coulombs.
        health: h, tested over rated.
        rate: f_R of `battery_capacity.rate_factor`.
        temperature: f_T of `battery_capacity.temperature_factor`.
        recovery: Q_rec of `recovery_charge`, coulombs.
        kept_share: φ, 0 to 1.

    Common practice, no source (use no more than 70 %).
    """
    need_positive("pack's capacity", capacity / AMPERE_HOUR, "A h")
    need_within("health", health, 0.0, 1.5)
    need_within("share for the rate", rate, 0.0, 1.0)
    need_within("share for the temperature", temperature, 0.0, 1.0)
    need_not_negative("charge to bring her home", recovery / AMPERE_HOUR, "A h")
    need_within("share kept back", kept_share, 0.0, 1.0)
    healthy = capacity * health
    effective = healthy * rate * temperature
    kept = max(max(LEAST_KEPT, kept_share) * effective, RECOVERY_MARGIN * recovery)
    return ChargeBudget(healthy=healthy, effective=effective, recovery=recovery, kept=kept)


def charge_u95(*, budget: ChargeBudget, health_u95: Ratio, rate_u95: Ratio, state_u95: Ratio) -> Coulombs:
    """u95 of the charge in the pack, √{[C_eff·√(U_h² + U_k² + 0.10²)]² + [C·h·U_s]²}, coulombs.

    Args:
        budget: of `charge_budget`.
        health_u95: U_h: 0.05 tested this year, else 0.20.
        rate_u95: U_k of `battery_capacity.rate_factor_u95`.
        state_u95: U_s: 0.03 charged full since the last run; by volts 0.05, under half 0.10.

    Source: first-order propagation (JCGM 100).
    """
    for name, value in (("health", health_u95), ("rate", rate_u95), ("state of charge", state_u95)):
        need_not_negative(f"± of the {name}", value)
    of_capacity = budget.effective * math.hypot(health_u95, rate_u95, TEMPERATURE_SPREAD)
    return math.hypot(of_capacity, budget.healthy * state_u95)


@dataclass(frozen=True, slots=True)
class Endurance:
    """Minutes to be back by, in seconds.

    typical  (Q_now - Q_keep)/typical draw: half of runs last longer
    keeping  (Q_now - Q_keep)/draw nine runs in ten stay under
    home     (Q_now - U_Q - 1.5·Q_rec)/same draw: the way home is left even at the bad end of the charge
    """

    typical: Seconds
    keeping: Seconds
    home: Seconds

    @property
    def least(self) -> Seconds:
        """The shorter of the two that count: the time to plan with."""
        return min(self.keeping, self.home)


def endurance(
    *, budget: ChargeBudget, state: Ratio, charge_u95: Coulombs, typical: Amperes, high: Amperes
) -> Endurance:
    """How long until the reserve is reached; 0 where there is no run in the pack.

    Args:
        budget: of `charge_budget`.
        state: state of charge now.
        charge_u95: of the function of that name, coulombs.
        typical: mean current of a usual run, A.
        high: mean current nine runs in ten stay under, A; at least typical.

    The kept share pays for capacity not known; `home` sees that the way home is left at the bad end.
    Nothing is taken off a second time. Common practice, no source.
    """
    need_positive("typical current", typical, "A")
    if not (high >= typical and math.isfinite(high)):
        raise OutOfRangeError("The current nine runs in ten stay under cannot be less than the typical one.")
    need_not_negative("± of the charge", charge_u95 / AMPERE_HOUR, "A h")
    now = budget.now(state)
    spare = max(0.0, now - budget.kept)
    surest = max(0.0, now - charge_u95 - RECOVERY_MARGIN * budget.recovery)
    return Endurance(typical=spare / typical, keeping=spare / high, home=surest / high)


@dataclass(frozen=True, slots=True)
class LeastCharge:
    """Least state of charge to start with; over 1 not even a full pack will do, so plan a shorter run.

    keeping  so that the kept charge is left
    home     so that the way home is left at the bad end
    """

    keeping: Ratio
    home: Ratio

    @property
    def least(self) -> Ratio:
        """The greater of the two: both must hold."""
        return max(self.keeping, self.home)


def least_charge(
    *, budget: ChargeBudget, charge_u95: Coulombs, high: Amperes, planned: Seconds
) -> LeastCharge:
    """Least state of charge for a planned time: the inverse of `endurance`.

    s = 1 - (C_eff - Q_keep - I·t)/(C·h), and the same with U_Q + 1.5·Q_rec for Q_keep. Not below 0.

    Args:
        budget: of `charge_budget`.
        charge_u95: coulombs.
        high: mean current nine runs in ten stay under, A.
        planned: s; 0 for the reserve alone, after a run.
    """
    need_positive("healthy capacity", budget.healthy / AMPERE_HOUR, "A h")
    need_not_negative("current", high, "A")
    need_not_negative("planned time", planned / HOUR, "h")
    need_not_negative("± of the charge", charge_u95 / AMPERE_HOUR, "A h")
    used = high * planned

    def state(left: Coulombs) -> Ratio:
        return max(0.0, 1.0 - (budget.effective - left - used) / budget.healthy)

    return LeastCharge(keeping=state(budget.kept), home=state(charge_u95 + RECOVERY_MARGIN * budget.recovery))
