"""Terms of the deepest keel that the ballast sets: where the pump stalls, how long a failsafe tries, how far gas
blows."""

from __future__ import annotations

from divelog.limits import battery, water
from divelog.limits.balance import squeeze
from divelog.limits.ballast_model import (
    SHUT,
    Pump,
    baseline,
    cold_head,
    from_depth,
    kind_of,
    pump,
    shortest_hold,
)
from divelog.limits.battery_load import usual_resistance
from divelog.limits.buoyancy import dived_balance
from divelog.limits.cylinder_air import outside_pressure
from divelog.limits.model import Term
from divelog.limits.rounding import rss
from divelog.limits.sheet import NotFittedError, Sheet, UnknownError
from divelog.physics import ballast as physics
from divelog.physics import ballast_gas, ballast_times
from divelog.physics.errors import OutOfRangeError
from divelog.physics.roots import crossing
from divelog.profiles.document import Basis

HEAD, HOLD, GAS = "pump head", "pump hold", "gas"
RECOVERY_STATE = 0.30
LOAD_SHARE = 1.5
"""Recovery is looked at with 30 % of charge left and half as much again of the pump's current (common practice,
no source)."""

COUNTED = {
    Basis.MEASURED: physics.USABLE_MEASURED,
    Basis.STATED: physics.USABLE_STATED,
    Basis.ASSUMED: physics.USABLE_ASSUMED,
}
SOURCE = "share of a pump's head to count on: common practice, no source; Boyle's law"
GAS_SOURCE = "vapour pressures fitted to reference equations of state (CoolProp)"
DEEPEST = 20.0


def reserve_volts(s: Sheet) -> float:
    """Volts at the plug with the pump running when the pack is down to its recovery reserve."""
    rest = s.of(battery.rest_volts, RECOVERY_STATE)
    resistance = s.of(usual_resistance)
    return rest - LOAD_SHARE * (resistance or 0.0) * s.si("power.blow")


def rises(s: Sheet, keel: float) -> bool:
    """True where she is surely light at a keel depth with her ballast in; False where nobody knows."""
    try:
        balance, shrink = s.of(dived_balance), s.of(squeeze)
    except UnknownError:
        return False
    return balance.si - balance.u95 - shrink.loss(min(max(keel, 0.0), DEEPEST)) > 0.0


def _waived(s: Sheet, keel: float) -> bool:
    return s.proof("failsafe_wet").stands and rises(s, keel)


def _head_term(s: Sheet, one: Pump) -> Term:
    ratio = s.of(reserve_volts) / s.num("ballast.at_voltage").si
    head = physics.head_at_volts(one.head.si, ratio, one.centrifugal)
    counted = COUNTED[one.head.basis]
    cold = s.of(cold_head) if one.vent == "into cylinder" else None
    gauge = cold.si if cold is not None else 0.0
    value = physics.pump_depth(physics.USABLE_MEASURED, head, gauge) + one.bottom
    u95 = rss((physics.USABLE_MEASURED - counted) * head, cold.u95 if cold is not None else 0.0)
    air = f"; cold air inside takes {-gauge:.2f} m" if gauge < -0.005 else ""
    why = f"Pump stalls at {head:.1f} m, {counted:g} of it counted{air}"
    if one.head.basis is not Basis.MEASURED:
        why += "; time it at two depths to count 0.8"
    return Term(HEAD, value, u95, _waived(s, value), one.head.basis, why, SOURCE)


def _hold_term(s: Sheet, one: Pump) -> Term | None:
    hold = s.of(shortest_hold)
    if hold is None:
        return None
    try:
        s.of(baseline, "empty")
    except UnknownError:  # never timed
        return None
    longest = hold.seconds.si / ballast_times.HOLD_SHARE

    def spare(depth: float) -> float:
        """Share of the hold left over; wholly short where the pump stalls."""
        try:
            return longest / from_depth(s, depth) - 1.0
        except OutOfRangeError:
            return -1.0

    if spare(0.0) < 0.0:
        return Term(
            HOLD, 0.0, 0.0, False, one.head.basis, f"{hold.seconds.si:.0f} s never empties her", SOURCE
        )
    if spare(DEEPEST) >= 0.0:
        return None
    depth = crossing(spare, 0.0, DEEPEST)
    value = depth + one.bottom
    why = f"{hold.trigger}: she tries for {hold.seconds.si:.0f} s, half as long again as it takes from here"
    return Term(HOLD, value, 0.0, _waived(s, value), one.head.basis, why, SOURCE)


def _gas_term(s: Sheet) -> Term:
    fluid, bottom = s.need_word("bottle.fluid"), s.num("ballast.tank.bottom").si
    if fluid == "air":
        raise NotFittedError("compressed air is counted by its blows")
    rho, barometer, t = s.of(water.density).si, s.of(outside_pressure).si, s.of(water.temperature)
    try:
        depth = ballast_gas.gas_depth(fluid, t.si, rho, barometer)
        colder = ballast_gas.gas_depth(fluid, t.si - t.u95, rho, barometer)
    except OutOfRangeError as refused:
        raise UnknownError(because=str(refused)) from None
    why = f"{fluid} at {t.si - 273.15:.0f} degC still has half a bar over the water at {depth:.1f} m"
    return Term(GAS, depth + bottom, depth - colder, False, t.basis, why, GAS_SOURCE)


def pump_terms(s: Sheet) -> tuple[Term, ...]:
    """Terms of pump, piston or gas; none where she comes up by being light, nought where she cannot come up at
    all."""
    kind = kind_of(s)
    if kind == "gas":
        return (s.of(_gas_term),)
    shut = kind in ("snort_blower", "air_bladder")
    if not shut:
        one = s.of(pump)
        if one.vent in ("into cylinder", "open hose", "none"):
            found = (_head_term(s, one), _hold_term(s, one))
            return tuple(term for term in found if term is not None)
    s.of(dived_balance)  # names what is missing
    if rises(s, 0.0):
        raise NotFittedError("her ballast is not counted as a way up when dived; she comes up by being light")
    why = "dived, her ballast cannot be emptied, and she is not surely light"
    words = why if shut or s.of(pump).vent == SHUT else why + "; write down where the tank's air comes from"
    return (Term(HEAD, 0.0, 0.0, False, Basis.STATED, words, SOURCE),)
