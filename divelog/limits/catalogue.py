"""Every key in its fixed order, and one call that works them all out."""

from __future__ import annotations

from collections.abc import Collection

from divelog.limits import (
    ballast,
    battery,
    buoyancy,
    cylinder,
    keel,
    motion,
    radio,
    seals,
    terminals,
    trim,
    tube,
    waves,
)
from divelog.limits.model import KeyInfo, Limit
from divelog.limits.registry import KEYS, Key
from divelog.limits.sheet import Sheet

_SUBJECTS = (ballast, battery, buoyancy, cylinder, keel, motion, radio, seals, terminals, trim, tube, waves)
"""Imported so that each puts its keys into the registry."""

ORDER: tuple[str, ...] = (
    "battery.endurance",
    "depth.keel",
    "buoyancy.trim_change",
    "battery.rest_voltage",
    "wind.waves",
    "antenna.tip_height",
    "radio.check_distance",
    "cylinder.pressure",
    "recovery.time_to_surface",
    "ballast.fill_time",
    "ballast.empty_time",
    "ballast.cycles",
    "cylinder.water_found",
    "buoyancy.dived",
    "buoyancy.reserve",
    "ballast.enough",
    "failsafe.delay",
    "failsafe.excursion",
    "trim.pitch",
    "trim.list",
    "trim.righting",
    "trim.soak_time",
    "cylinder.leak_down",
    "cylinder.heat",
    "tube.depth",
    "seals.gland",
    "seals.shaft",
    "shaft.no_load_current",
    "battery.load_voltage",
    "battery.spread",
    "receiver.supply",
    "terminals.drop",
    "terminals.leakage",
    "antenna.clear_length",
    "radio.control_depth",
    "radio.range",
    "plan.dive_angle",
    "plan.speed_surfaced",
    "plan.speed_dived",
    "wind.drift",
    "lift.mass",
)


def keys() -> tuple[Key, ...]:
    """Every key, in the order shown."""
    return tuple(KEYS[name] for name in ORDER)


def info(name: str) -> KeyInfo | None:
    """What a key is, or None where there is none of that name."""
    found = KEYS.get(name)
    return found.info if found is not None else None


def work_out(sheet: Sheet, only: Collection[str] = ()) -> tuple[Limit, ...]:
    """All results of a sheet, in order; ``only`` keeps some keys."""
    return tuple(limit for one in keys() if not only or one.info.key in only for limit in one(sheet))
