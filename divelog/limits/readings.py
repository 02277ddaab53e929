"""What a person typed as a reading -> a number with its ±, from the meter in the kit where nobody said one."""

from __future__ import annotations

import math

from divelog import units
from divelog.limits.model import KeyInfo
from divelog.limits.sheet import NotFittedError, Sheet, UnknownError
from divelog.profiles.document import Basis, Num

_CELL_MOST = {
    "lithium polymer": 4.45, "lithium ion": 4.45, "lithium iron phosphate": 3.9, "sealed lead-acid": 2.6,
    "nickel metal hydride": 1.75, "nickel cadmium": 1.75,
}  # fmt: skip
"""Volts a cell that no such cell shows, even on the charger; common practice, no source."""

_KINDS = {
    "voltage": "voltage", "current": "current", "pressure": "pressure", "temperature": "temperature", "mass": "mass",
    "conductivity": "conductivity", "time": "time", "length": "length",
}  # fmt: skip
_HAND = {"time": 0.3, "length": 0.001, "angle": math.radians(0.5), "mass": 0.001}
"""95 % of a reading by hand where no meter is named: a stopwatch key, a rule, a protractor, kitchen scales."""

_PACK_KEYS = ("battery.rest_voltage", "battery.load_voltage")


def meter_u95(sheet: Sheet, dimension: str, si: float) -> float:
    """95 % half-width of a reading by the kit's meter of that kind; by hand where there is none."""
    for meter in sheet.ids("kit.meter"):
        if sheet.word(f"meter[{meter}].reads") != _KINDS.get(dimension):
            continue
        accuracy = sheet.stated(f"meter[{meter}].accuracy")
        step_text = sheet.word(f"meter[{meter}].step")
        step = 0.0
        if step_text:
            kind = "temperature difference" if dimension == "temperature" else dimension
            try:
                step = units.parse(step_text, kind).si
            except units.UnitFaultError:
                step = 0.0
        base = accuracy.si * abs(si) if accuracy is not None and dimension != "temperature" else 0.0
        return max(base, step / math.sqrt(3))
    return _HAND.get(dimension, 0.0)


def read(sheet: Sheet, info: KeyInfo, typed: str) -> Num:
    """A typed reading of a key; raises UnitFaultError in words a person can act on."""
    if not info.reads:
        raise units.UnitFaultError(
            f"a reading of {info.key}", "a key that is read; this one is only worked out"
        )
    quantity = units.parse(
        typed, info.reads, typed=True, assume_unit=info.reading_unit or info.display or None
    )
    u95 = quantity.u95 if quantity.said else meter_u95(sheet, info.reads, quantity.si)
    reason = impossible(sheet, info, quantity.si)
    if reason:
        raise units.UnitFaultError(typed.strip()[:40], reason)
    return Num(quantity.si, u95, Basis.MEASURED)


def impossible(sheet: Sheet, info: KeyInfo, si: float) -> str:
    """Why a reading cannot be one, or an empty text: a slip of the keyboard is likelier than such a pack."""
    if info.key in _PACK_KEYS:
        try:
            cells, chemistry = sheet.num("pack.cells").si, sheet.need_word("pack.chemistry")
        except (UnknownError, NotFittedError):
            return ""
        most = cells * _CELL_MOST.get(chemistry, 4.45)
        if not 0 <= si <= most:
            return f"volts that {cells:g} cells of {chemistry} can show, 0 to {most:.1f} V"
    if (
        info.reads in ("length", "time", "mass", "current", "paces")
        and si < 0
        and info.sense in ("max", "min")
    ):
        return "nought or more"
    return ""
