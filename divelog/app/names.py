"""Inputs in words: the name of a path, a short name of at most fourteen columns, the value in a usual unit, its basis."""

from __future__ import annotations

from datetime import date

from divelog import units
from divelog.app.display import plain
from divelog.clock import day_month
from divelog.limits.model import Input
from divelog.profiles.document import Basis
from divelog.profiles.facts import bare, field_at

LONGEST = 14
"""Columns of a short name."""

_ROOTS = ("boat.", "today.plan.", "today.", "kit.", "site.", "settings.")
_USUAL = ("mm", "mL", "g", "degC", "uS/cm", "V", "A", "A h", "kPa", "%", "deg", "s", "K", "mohm", "m/s", "g/kg", "MHz", "dB",
          "rpm", "cm^2", "hPa", "paces")  # fmt: skip

_SHORT = {
    "air temperature": "air temp.", "ballast air left": "air left", "ballast at voltage": "timed at volts",
    "ballast empty time": "empty time", "ballast fill time": "fill time", "ballast inside cylinder": "tank inside",
    "ballast pump head": "pump head", "ballast start state": "closed with", "ballast tank baffles": "tank baffles",
    "ballast tank bottom": "tank bottom", "ballast tank height": "tank height", "ballast tank length": "tank length",
    "ballast tank width": "tank width", "ballast timed at": "timed at depth",
    "charge at the end of the plan": "charge at end", "controls bow planes": "bow planes",
    "controls plane area": "plane area", "controls plane span": "plane span", "controls plane time": "plane time",
    "controls sail planes": "sail planes", "cylinder above keel": "tube over keel", "cylinder damp parts": "damp parts",
    "cylinder inside diameter": "bore", "cylinder inside length": "inside length", "cylinder material": "tube material",
    "cylinder most gauge": "most gauge", "cylinder outside length": "outside length",
    "cylinder short test": "short test", "cylinder test by": "tested by", "cylinder's expansion": "tube expands",
    "depth proved dry": "proved dry", "distance to the lee bank": "to lee bank",
    "drop of the receiver's supply": "supply's drop", "expansion of the rest": "rest expands",
    "gain of the boat's aerial": "aerial's gain", "humidity at closing": "humidity",
    "humidity at closing, damp end": "humidity, damp", "humidity at closing, dry end": "humidity, dry",
    "mismatch under water": "mismatch", "motion propeller": "propeller", "motion righting": "righting",
    "motion shaft depth": "shaft depth", "my limits deepest": "own deepest", "my limits depth step": "depth step",
    "my limits leak water": "leak water", "my limits over bottom": "over bottom", "my limits wave height": "own waves",
    "no-load current of the motor": "motor, no load", "pack charge per minute": "charge a min.",
    "pack measured capacity": "capacity found", "pack measured on": "measured on", "pack rate exponent": "rate exponent",
    "pack resistance": "resistance", "pack volts blow": "volts, pump on", "power heat rise": "heat rise",
    "power keep back": "kept back", "power pack in wet": "pack in wet", "power receiver least": "receiver least",
    "power receiver pack": "receiver pack", "power terminals area": "terminals area", "power terminals gap": "terminals gap",
    "power terminals greased": "greased", "power test load": "test load", "radio check paces": "check paces",
    "radio clear length": "clear length", "radio failsafe delay": "failsafe delay", "radio mast forward": "mast forward",
    "radio signal lost at conductivity": "trial water", "radio signal lost at depth": "lost at depth",
    "radio signal lost at distance": "lost at, far", "radio tip above deck": "tip over deck",
    "seal above keel": "over keel", "seal groove bore": "groove bore", "seal groove cap": "groove cap",
    "seal groove diameter": "groove across", "seal groove made": "groove made", "seal groove width": "groove width",
    "seal ring inside": "ring inside", "seal ring section": "ring section", "seal shaft diameter": "shaft across",
    "seal shaft turns": "shaft turns", "shaft no load ahead": "no load, ahead", "shaft no load astern": "no load, back",
    "signal the receiver needs": "signal needed", "sun on the bank": "sun on bank", "thermometer inside": "inside temp.",
    "thrust at full throttle": "full thrust", "transmitter range mode drop": "range mode", "trimmed at site": "trimmed where",
    "trimmed at temperature": "trimmed temp.", "trimmed at water": "trimmed water",
    "volts the electrodes take": "electrode V", "water temperature": "water temp.",
}  # fmt: skip
"""Short names, where the name itself is too long; of any other the last words that fit."""

KNOWN = {
    Basis.MEASURED: "measured", Basis.STATED: "stated", Basis.ASSUMED: "assumed*", Basis.MISSING: "missing",
}  # fmt: skip


def title_of(path: str) -> str:
    """A path in plain words: without root, ids and underscores."""
    plain_path = bare(path)
    for root in _ROOTS:
        if plain_path.startswith(root):
            plain_path = plain_path.removeprefix(root)
            break
    words = plain_path.replace("_", " ").replace(".", " ")
    return "closed at" if words.startswith("closed ") else words


def short_title(path: str) -> str:
    """The name of a path in at most ``LONGEST`` columns, whole words."""
    title = title_of(path)
    found = _SHORT.get(title, title).split(" of pack ", 1)[0]
    if len(found) <= LONGEST:
        return found
    words = found.split(" ")
    while len(words) > 1 and len(" ".join(words)) > LONGEST:
        del words[0]
    return " ".join(words)


def usual_unit(entry: Input) -> tuple[str, float, float]:
    """The unit an input is read in, its symbol, factor and offset to SI: the person's own, else the usual one."""
    field = field_at(entry.path)
    if field is None or not field.dimension:
        return ("kPa", 1e3, 0.0) if entry.unit == "Pa" else (entry.unit.replace("1", ""), 1.0, 0.0)
    allowed = units.allowed(field.dimension)
    own = [symbol for symbol in allowed if entry.said.endswith(f" {symbol}")]
    usual = [symbol for symbol in _USUAL if symbol in allowed]
    if field.dimension == "length" and abs(entry.si or 0.0) >= 1.0:
        usual = ["m"]
    row = units.find((own or usual or list(allowed))[0], field.dimension)
    return row.symbol, row.factor, row.offset


def value_text(entry: Input) -> str:
    """An input's value in a usual unit, with its ±."""
    if entry.si is None:
        return "missing"
    symbol, factor, offset = usual_unit(entry)
    spread = f", +/- {plain(entry.u95 / factor)}" if entry.u95 else ""
    return f"{plain((entry.si - offset) / factor)} {symbol}".strip() + spread


def known_words(entry: Input) -> str:
    """How an input is known: its basis, and its day where it has one."""
    return f"{KNOWN[entry.basis]} {_day(entry.on)}".strip()


def _day(on: str) -> str:
    try:
        day = date.fromisoformat(on[:10])
    except ValueError:
        return on
    return f"{day_month(day)} {day.year}"


def said_value(entry: Input) -> str:
    """The value of an input in a usual unit; what was said, where it is no number."""
    return value_text(entry) if entry.si is not None else entry.said or "missing"


def said_beside(entry: Input) -> str:
    """Words that say more than the value: the rule of an assumption, the runs a figure was learnt from."""
    number = entry.said[:1].isdigit() or entry.said[:1] in "+-."
    return "" if entry.si is None or number else entry.said
