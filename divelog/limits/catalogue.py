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
from divelog.limits.sheet import Asked, Sheet

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


def every_key() -> tuple[Key, ...]:
    """Every key, in the order shown."""
    return tuple(KEYS[name] for name in ORDER)


def info(name: str) -> KeyInfo | None:
    """What a key is, or None where there is none of that name."""
    found = KEYS.get(name)
    return found.info if found is not None else None


class Keeper:
    """Results kept from one sheet of a boat to the next: only what looked at something that changed is worked out again.

    What a result looked at, missing facts and shared figures with it, is what its sheet recorded (`Sheet.asked_by`), so
    the results are those of `work_out`, always.
    """

    def __init__(self) -> None:
        self._sheet: Sheet | None = None
        self._kept: dict[str, tuple[tuple[Limit, ...], frozenset[Asked]]] = {}
        self.worked = 0
        """Keys worked out at the last call."""

    def work_out(self, sheet: Sheet) -> tuple[Limit, ...]:
        """All results of a sheet, in order."""
        if sheet.nudges or sheet.spreads:  # something is being tried out: nothing of it is kept
            return work_out(sheet)
        changed = self._changed(sheet)
        if self._sheet is not None and self._sheet is not sheet:
            sheet.keep_figures(self._sheet, changed)
        self.worked = 0
        found: list[Limit] = []
        for one in every_key():
            kept = self._kept.get(one.info.key)
            if kept is None or not changed.isdisjoint(kept[1]):
                kept = self._kept[one.info.key] = sheet.asked_by(one)
                self.worked += 1
            found.extend(kept[0])
        self._sheet = sheet
        return tuple(found)

    def _changed(self, sheet: Sheet) -> frozenset[Asked]:
        """What anybody looked at that is not as it was; everything is forgotten where short paths mean something else."""
        before = self._sheet
        if before is None or before is sheet:
            return frozenset()
        if before.facts.meant != sheet.facts.meant:
            self._kept.clear()
            self._sheet = None
            return frozenset()
        return sheet.changed_since(before, lambda: {x for _, asked in self._kept.values() for x in asked})


def work_out(sheet: Sheet, only: Collection[str] = ()) -> tuple[Limit, ...]:
    """All results of a sheet, in order; ``only`` keeps some keys."""
    return tuple(limit for one in every_key() if not only or one.info.key in only for limit in one(sheet))
