"""Small pieces of sentences about events: amounts, lists, names of proofs, as people say them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from divelog import units
from divelog.journal.payload import Quantity, quantity
from divelog.proofs.table import RULES

USUAL: Mapping[str, tuple[str, int]] = MappingProxyType(
    {
        "length": ("m", 2), "time": ("s", 1), "mass": ("g", 0), "volume": ("mL", 2), "temperature": ("degC", 1),
        "pressure": ("kPa", 2), "voltage": ("V", 2), "current": ("A", 2), "charge": ("A h", 2),
        "resistance": ("mohm", 1), "conductivity": ("uS/cm", 0), "salinity": ("g/kg", 1), "share": ("%", 0),
        "angle": ("deg", 1), "paces": ("paces", 0), "speed": ("m/s", 2),
    }
)  # fmt: skip
"""The unit a number is said in where nobody kept the text as typed, and its decimals."""


def amount(value: object, dimension: str, *, spread: bool = False) -> str:
    """A quantity of an event in words: as typed, else in its usual unit; its state where it has no number."""
    found = quantity(value)
    if found is None:
        return ""
    if found.si is None:
        return found.state or "unknown"
    return quantity_words(found, dimension, spread=spread)


def quantity_words(found: Quantity, dimension: str, *, spread: bool = False) -> str:
    """A known quantity in words."""
    if found.si is None:
        return found.state or "unknown"
    ends = f", give or take {plain(found.u95, dimension)}" if spread and found.u95 else ""
    if found.typed:
        return found.typed + ends
    unit = USUAL.get(dimension, ("", 2))[0]
    return f"{plain(found.si, dimension, offset=True)} {unit}".strip() + ends


def plain(si: float, dimension: str, *, offset: bool = False) -> str:
    """A number in its usual unit, without trailing noughts; two figures at least of a small one."""
    unit, decimals = USUAL.get(dimension, ("", 2))
    row = units.find(unit, dimension) if unit else None
    value = si if row is None else (si - (row.offset if offset else 0.0)) / row.factor
    if value and abs(value) < 10.0**-decimals:
        return f"{value:.1g}"
    words = units.number_text(value, decimals)
    return words.rstrip("0").rstrip(".") if "." in words else words


def listed(items: Sequence[str]) -> str:
    """``a, b and c``."""
    return items[0] if len(items) == 1 else f"{', '.join(items[:-1])} and {items[-1]}" if items else ""


def clause(*parts: str, sep: str = ", ") -> str:
    """The parts that say anything, joined."""
    return sep.join(part for part in parts if part)


def spaced(words: str) -> str:
    """An identifier in words: ``failsafe_wet`` and ``pack-volts`` without their joints."""
    return words.replace("_", " ").replace("-", " ")


def proof_words(names: Sequence[str]) -> str:
    """Names of proofs as people say them: ``pack:D2`` is *pack D2*, ``failsafe_wet`` is *comes up by herself*."""
    found = []
    for name in names:
        kind, _, item = name.partition(":")
        found.append(clause(RULES[kind].title if kind in RULES else spaced(kind), item, sep=" "))
    return listed(found)
