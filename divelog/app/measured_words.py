"""Figures of a run that an instrument gave, in words."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from divelog.app.phrases import clause, plain, quantity_words, spaced
from divelog.journal.payload import Quantity

NAMES: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "run.deepest": ("deepest", "length"),
        "run.below_limit": ("below the keel limit", "time"),
        "run.below_plan": ("below the plan", "time"),
        "run.under_volts": ("under the least volts", "time"),
        "run.charge_used": ("charge used", "charge"),
        "run.charge_put_back": ("charge put back", "charge"),
        "run.end_volts": ("volts at the end", "voltage"),
        "run.lowest_volts": ("lowest volts", "voltage"),
        "run.greatest_current": ("most amps", "current"),
        "run.warmest": ("warmest", "temperature"),
        "run.weakest_signal": ("weakest signal", "share"),
        "run.seconds_logged": ("logged for", "time"),
    }
)
"""Path -> what it is called, and its dimension."""

_WITHIN = {"run.below_limit": "within the keel limit", "run.below_plan": "", "run.under_volts": ""}


def figure_of(path: str, value: Quantity) -> str:
    """The figure with its unit and ±; times from two minutes up in minutes."""
    dimension = NAMES.get(path, ("", ""))[1]
    if dimension == "time" and value.si is not None:
        return f"{value.si:.0f} s" if value.si < 120.0 else f"{plain(value.si / 60.0, '')} min"
    return quantity_words(value, dimension, spread=True)


def name_of(path: str) -> str:
    """What a figure is called."""
    found = NAMES.get(path)
    return found[0] if found is not None else spaced(path.removeprefix("run.")).replace(".", " ")


def measured_words(path: str, value: Quantity) -> str:
    """``deepest 0.95 m, give or take 0.05``, and how it was had where it was no plain sensor.

    A limit that was never passed: the keel's is said so, of the others nothing is said.
    """
    if path in _WITHIN and value.si == 0.0:
        return _WITHIN[path]
    how = value.how if value.how not in (None, "sensor") else ""
    return clause(f"{name_of(path)} {figure_of(path, value)}", how or "")
