"""What each guide of *measure it now* asks, and values with their ± in words."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType

from divelog import units
from divelog.app.asking import Ask
from divelog.app.desk import Desk
from divelog.limits.guides import GUIDES, Guide
from divelog.limits.sheet import Sheet

METALS = (("steel, a magnet holds it", "steel"), ("brass, bronze, copper", "brass"))
GUIDE_BY_ID: Mapping[str, Guide] = MappingProxyType({g.id: g for g in GUIDES})


def spread_words(si: float, u95: float, unit: str, dimension: str, *, lead: str = ", give or take ") -> str:
    """A value with its ± in a unit, with the decimals the ± leaves: ``38.2 s, give or take 0.8``."""
    row = units.find(unit, dimension)
    value, width = (si - row.offset) / row.factor, abs(u95 / row.factor)
    if width <= 0.0 or not math.isfinite(width):
        return f"{value:.4g} {unit}"
    # The ± keeps one figure, two where it begins with 1: then rounding it moves it by 5 % at most.
    power = math.floor(math.log10(width) + 1e-9)
    decimals = max(0, -power + (1 if width / 10.0**power < 2.0 else 0))
    return f"{units.number_text(value, decimals)} {unit}{lead}{units.number_text(width, decimals)}"


def _repeats(guide: Guide) -> tuple[Ask, ...]:
    count = guide.repeats
    return tuple(
        Ask(
            f"reading {n}",
            f"{_ORDER[n]} reading" if count > 1 else "Reading",
            guide.unit,
            guide.dimension,
            guide.clock,
        )
        for n in range(1, count + 1)
    )


_ORDER = ("", "First", "Second", "Third", "Fourth", "Fifth")
_VOLTS = Ask(
    "volts",
    "Volts at the plug, pump running",
    "V",
    "voltage",
    need=False,
    note="Enter leaves it",
    low=0.5,
    high=300,
)
_WATER = Ask("water", "Water, surface", "degC", "temperature", low=271.0, high=313.15)
_METAL = Ask("metal", "The coins are", choices=METALS)


def _known(ask: Ask, held: str) -> Ask:
    """A question whose answer stands already: Enter takes it."""
    return replace(ask, need=False, note=f"Enter takes {held}") if held else ask


def asks(guide: Guide, desk: Desk) -> tuple[Ask, ...]:
    """The questions of a guide for the boat in hand."""
    sheet = desk.sheet()
    found = _ASKS[guide.id](sheet) if guide.id in _ASKS else _repeats(guide)
    needs_water = guide.result in ("coins", "displaced", "righting") or guide.id == "ballast volume"
    if needs_water and sheet.maybe("today.water.temperature") is None:
        found = (*found, _WATER)
    return found


def _held(sheet: Sheet, path: str, unit: str, dimension: str) -> str:
    found = sheet.stated(path)
    return "" if found is None else spread_words(found.si, found.u95, unit, dimension)


_ASKS: Mapping[str, Callable[[Sheet], tuple[Ask, ...]]] = MappingProxyType(
    {
        "displaced": lambda s: (
            _known(Ask("mass", "Mass, ballast empty", "kg", "mass", low=0.05), _held(s, "boat.mass", "kg", "mass")),
            _known(
                Ask("ballast", "Ballast she takes", "mL", "volume", low=0.0),
                "none" if s.word("boat.ballast.kind") == "none" else _held(s, "boat.ballast.volume", "mL", "volume"),
            ),
            Ask("coins", "Coins she still carries, dived", "g", "mass", low=0.0),
            Ask("last", "The coin that sank her", "g", "mass", low=0.0001),
            _METAL,
        ),
        "ballast volume": lambda s: (
            Ask("full", "Weighed full, or what a blow gave", "kg", "mass", more=(("volume", "mL"),), low=0.0),
            Ask("empty", "Weighed empty", "kg", "mass", need=False, note="Enter where you caught a blow", low=0.0),
        ),
        "dived balance": lambda s: (
            Ask("coins", "Coins that stay on her", "g", "mass", low=0.0),
            Ask("last", "The coin that sank her", "g", "mass", low=0.0001),
            _METAL,
        ),
        "air inside": lambda s: (
            _known(
                Ask("length", "Inside length", "mm", "length", low=0.02),
                _held(s, "boat.cylinder.inside_length", "mm", "length"),
            ),
            _known(
                Ask("bore", "Bore", "mm", "length", low=0.01),
                _held(s, "boat.cylinder.inside_diameter", "mm", "length"),
            ),
            Ask("contents", "Contents, dunked in a jug", "mL", "volume", low=0.0),
        ),
        "fill time": lambda s: (*_repeats(GUIDE_BY_ID["fill time"]), _VOLTS),
        "empty time": lambda s: (*_repeats(GUIDE_BY_ID["empty time"]), _VOLTS),
        "signal depth": lambda s: (
            *_repeats(GUIDE_BY_ID["signal depth"]),
            Ask("distance", "How far off, along the water", "m", "length", low=0.1, high=500),
            Ask("conductivity", "What a stick says of the water", "uS/cm", "conductivity", need=False,
                note="Enter takes the place's"),
        ),
        "gas a blow": lambda s: (
            Ask("before", "The bottle before", "g", "mass", low=0.001),
            Ask("after", "After five blows", "g", "mass", low=0.001),
        ),
        "pack resistance": lambda s: (
            Ask("volts 1", "Volts, small load", "V", "voltage", low=0.5),
            Ask("current 1", "Amperes with it", "A", "current", low=0.0),
            Ask("volts 2", "Volts, large load", "V", "voltage", low=0.5),
            Ask("current 2", "Amperes with it", "A", "current", low=0.0),
        ),
        "charge put back": lambda s: (
            Ask("charge", "The charger put back", "A h", "charge", low=1.0),
            Ask("minutes", "Since it was last full she ran", "min", "time", low=30.0),
        ),
        "speed": lambda s: (
            Ask("course", "Between the marks", "paces", "paces", more=(("length", "m"),), need=False, low=0.5,
                note="Enter takes ten paces"),
            Ask("reading 1", "One way", "s", "time", clock=True, low=0.5),
            Ask("reading 2", "The other way", "s", "time", clock=True, low=0.5),
        ),
        "righting": lambda s: (
            Ask("coin", "Mass laid on her", "g", "mass", low=0.0001),
            Ask("across", "From the middle line", "mm", "length", low=0.001),
            Ask("angle", "List it makes, dived", "deg", "angle", low=0.001, high=math.radians(25)),
            _METAL,
        ),
        "clarity": lambda s: (
            Ask("reading 1", "Plate gone at", "m", "length", low=0.0),
            Ask("reading 2", "Seen again at", "m", "length", low=0.0),
        ),
        "own pace": lambda s: (Ask("reading 1", "Twenty paces are", "m", "length", low=2.0, high=60.0),),
    }
)  # fmt: skip


def shown_number(text: str) -> tuple[str, str]:
    """The number and the unit of a value in words: ``38.2 s, give or take 0.8`` -> ``38.2``, ``s``."""
    number, _, unit = text.partition(", ")[0].partition(" ")
    return number, unit
