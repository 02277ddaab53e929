"""Which kinds of event a line can write besides its answer."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from divelog.checks.model import Line

KINDS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "happened": ("opened", "fitted", "mass.moved", "radio.changed", "knocked"),
        "switched": ("switched",),
        "failsafe.tripped": ("failsafe.tripped",),
        "opened": ("opened",),
        "water.found": ("water.found",),
        "run.ended": (),
        "run.deepest": (),
        "run.volts": (),
        "marks": ("mark.named", "incident", "signal"),
        "serviced": ("serviced",),
        "charged": ("charged",),
        "defect": ("defect.opened",),
        "defect.closed": ("defect.closed",),
        "fitted": ("fitted",),
        "boat.received": ("boat.received",),
        "trim": ("measured",),
        "signal-depth": ("measured",),
    }
)
"""Name of a writer -> kinds of event it makes. The end of a run is nobody's: it is written once and then only corrected."""


def kinds_of(line: Line) -> frozenset[str]:
    """Every kind of event that a line's answers can write."""
    found = {kind for name in line.writes for kind in KINDS.get(name, ())}
    for question in line.questions:
        if question.measures or any(ask.measures for ask in question.ask):
            found.add("measured")
    return frozenset(found)
