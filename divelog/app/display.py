"""A limit as a row of a page: reading, limit in words, gauge, in the unit people read it in."""

from __future__ import annotations

import re

from divelog import units
from divelog.app.look import gauge
from divelog.app.look.rows import Row
from divelog.app.look.words import Status
from divelog.limits import catalogue
from divelog.limits.model import KeyInfo, Limit, Verdict
from divelog.text import shown

STATUS = {
    Verdict.WITHIN: Status.WITHIN,
    Verdict.OUTSIDE: Status.OUTSIDE,
    Verdict.TOO_CLOSE: Status.TOO_CLOSE,
    Verdict.NO_READING: Status.NO_READING,
    Verdict.UNKNOWN: Status.UNKNOWN,
    Verdict.TO_PROVE: Status.TO_PROVE,
    Verdict.NOT_FITTED: Status.NOT_FITTED,
}

SHORT = {
    "battery.rest_voltage": "rest volts", "wind.waves": "waves", "depth.keel": "planned depth",
    "radio.check_distance": "range", "cylinder.pressure": "cylinder", "recovery.time_to_surface": "up by herself",
    "antenna.tip_height": "aerial tip", "ballast.fill_time": "ballast fill", "ballast.empty_time": "ballast empty",
    "ballast.cycles": "ballast cycles", "cylinder.water_found": "water found", "buoyancy.dived": "dived balance",
    "buoyancy.reserve": "reserve", "ballast.enough": "ballast enough", "failsafe.delay": "failsafe delay",
    "failsafe.excursion": "depth lost", "trim.pitch": "pitch", "trim.list": "list", "trim.righting": "righting",
    "trim.soak_time": "soak", "cylinder.leak_down": "leak test", "cylinder.heat": "heat inside",
    "tube.depth": "tube and caps", "seals.gland": "ring", "seals.shaft": "shaft seal",
    "shaft.no_load_current": "no load", "battery.load_voltage": "load volts", "battery.spread": "cell spread",
    "receiver.supply": "receiver volts", "terminals.drop": "joint", "terminals.leakage": "terminals wet",
    "antenna.clear_length": "clear of the mast", "radio.control_depth": "tip under", "radio.range": "how far",
    "plan.dive_angle": "steepest dive", "plan.speed_surfaced": "speed surfaced", "plan.speed_dived": "speed dived",
    "wind.drift": "drift ashore", "lift.mass": "to lift", "battery.endurance": "minutes",
    "buoyancy.trim_change": "trim",
}  # fmt: skip
"""Titles of rows: at most twenty columns."""


def dimension_of(info: KeyInfo) -> str:
    """The kind of quantity a key's numbers are."""
    if info.reads:
        return info.reads
    for dimension in units.DIMENSIONS.values():
        if dimension.si == info.unit and info.display in units.allowed(dimension.name):
            return dimension.name
    return ""


def in_display(si: float, info: KeyInfo) -> float:
    """An SI number in the unit people read."""
    dimension = dimension_of(info)
    try:
        return units.to_unit(si, info.display, dimension) if dimension else si
    except units.UnitFaultError:
        return si


def plain(value: float) -> str:
    """A number with as many decimals as it needs, three figures at most beyond the point's place."""
    size = abs(value)
    decimals = 0 if size >= 20 or float(value).is_integer() else 1 if size >= 2 else 2
    text = units.number_text(value, decimals)
    return text.rstrip("0").rstrip(".") if "." in text and text[0] not in "+" else text


_LEADS = ("at most ", "at least ", "above ", "about ")
_READING_CELLS = 11


def bare_shown(shown_text: str) -> str:
    """A shown text without the words that its sense adds anyway."""
    for lead in _LEADS:
        shown_text = shown_text.removeprefix(lead)
    return shown_text


def number_of(shown_text: str) -> str:
    """The number of a shown text without its unit: ``0.8 m`` -> ``0.8``."""
    return bare_shown(shown_text).split(" ", 1)[0]


def fitted_reading(text: str, unit: str) -> tuple[str, bool]:
    """A reading cut down to its eleven columns: the words after it go, then the unit (True: it must stand in the
    title), then decimals of numbers of two figures."""
    if len(text) <= _READING_CELLS:
        return text, False
    at_unit = text.find(f" {unit}")
    if unit and at_unit > 0:
        text = text[: at_unit + len(unit) + 1]
    if len(text) <= _READING_CELLS:
        return text, False
    text = text.removesuffix(f" {unit}")
    if len(text) > _READING_CELLS:
        text = re.sub(
            r"([+-]?\d{2,})\.\d+",
            lambda m: f"{float(m[0]):+.0f}" if m[0][0] in "+-" else f"{float(m[0]):.0f}",
            text,
        )
    return text, True


def limit_words(limit: Limit, info: KeyInfo) -> str:
    """``at most 40``, ``at least 8.25``, ``-5 to +25``."""
    if limit.shown_low is not None and limit.shown_high is not None:
        text = bare_shown(limit.shown)
        if " to " not in text:  # the shown number is the reading: the band stands in its edges
            text = f"{in_display(limit.shown_low, info):g} to {in_display(limit.shown_high, info):g}"
        text = text.removesuffix(f" {info.display}")
        return shown(text.replace(".0 ", " ").removesuffix(".0"))
    if limit.shown_high is None and limit.shown_low is None:
        return shown(limit.remark or limit.shown)
    lead = ("at least" if limit.shown_high is None else "at most") if info.sense in ("max", "min") else ""
    if not bare_shown(limit.shown)[:1].isdecimal() and limit.shown[:1] not in ("+", "-"):
        return shown(limit.shown)
    edge = limit.shown_low if limit.shown_low is not None else limit.shown_high
    if limit.shows_reading and edge is not None:
        return f"{lead} {in_display(edge, info):g}".strip()
    return f"{lead} {number_of(limit.shown)}".strip()


def reading_words(limit: Limit, info: KeyInfo) -> str:
    """The reading with its unit, or an empty text."""
    if limit.reading_text:
        return limit.reading_text
    if limit.reading is None:
        return ""
    return f"{plain(in_display(limit.reading.si, info))} {info.display}"


def bounds_of(limit: Limit, info: KeyInfo) -> gauge.Bounds | None:
    """The banks of the gauge, in the unit people read."""
    if limit.verdict in (Verdict.UNKNOWN, Verdict.NOT_FITTED, Verdict.NONE):
        return None
    low = None if limit.shown_low is None else in_display(limit.shown_low, info)
    high = None if limit.shown_high is None else in_display(limit.shown_high, info)
    if low is None and high is None:
        return None
    far = None
    if limit.scale is not None:
        far = in_display(limit.scale[0] if high is not None else limit.scale[1], info)
    if low is not None and high is not None:
        return gauge.band(low, high)
    return gauge.Bounds(low=low, high=high, far=far)


def gauge_reading(limit: Limit, info: KeyInfo) -> gauge.Reading | None:
    """The reading on the gauge."""
    if limit.reading is None:
        return None
    value = in_display(limit.reading.si, info)
    other = in_display(limit.reading.si + limit.reading.u95, info)
    return gauge.one(value, abs(other - value))


_PLAIN_ITEMS = ("under control", "steady")
_SHORT_ITEMS = {
    "depth.keel:failsafe proved": "depth by failsafe", "ballast.empty_time:at depth": "empty at depth",
    "failsafe.delay:dive stick over": "delay, stick over", "failsafe.excursion:dive stick over": "lost, stick over",
    "trim.righting:part-filled": "righting, half full",
}  # fmt: skip
"""Titles of rows whose item would not fit."""
"""Items that need no naming: the usual one of a key."""


def limit_row(limit: Limit, number: str = "", title: str = "") -> Row:
    """One limit as a row of a list."""
    info = catalogue.info(limit.key)
    assert info is not None
    name = title or SHORT.get(limit.key, limit.title)
    if limit.item and not title and limit.item not in _PLAIN_ITEMS:
        name = _SHORT_ITEMS.get(limit.name, f"{name} {limit.item}")
    status = STATUS.get(limit.verdict)
    if limit.verdict in (Verdict.UNKNOWN, Verdict.NOT_FITTED):
        why = limit.remark or ("needs " + limit.missing[0].split(".", 1)[-1] if limit.missing else "")
        return Row(shown(name), status, number, limit=shown(why))
    if limit.kind != "limit" and f"{limit.remark} " in _LEADS:
        return Row(shown(name), status, number, limit=shown(f"{limit.remark} {limit.shown}"))
    if limit.kind != "limit" and len(limit.shown) > _READING_CELLS:
        return Row(shown(name), status, number, limit=shown(limit.shown))  # words, with no room for a remark
    if limit.kind != "limit":
        return Row(shown(name), status, number, reading=shown(limit.shown), limit=shown(limit.remark))
    reading, unit_goes = fitted_reading(reading_words(limit, info), info.display)
    if unit_goes and info.display not in name:
        name = f"{name}, {info.display}" if len(name) + len(info.display) < 18 else name
    named = (
        name
        if reading or "volts" in name or not info.display or limit.verdict is Verdict.TO_PROVE
        else f"{name}, {info.display}"
    )
    words = limit_words(limit, info)
    if limit.verdict is Verdict.TO_PROVE and not reading:
        words = shown(f"{words} {info.display}".strip())
        return Row(shown(named), status, number, limit=words)
    if not reading and "volts" not in name and len(f"{name}, {info.display}") > 19:
        named, words = name, f"{words} {info.display}"
    return Row(
        shown(named),
        status,
        number,
        reading=reading,
        limit=words,
        bounds=bounds_of(limit, info),
        value=gauge_reading(limit, info),
    )
