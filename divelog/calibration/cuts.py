"""Where a series begins anew: changes of part and services after which readings are not compared with those before.

A `fitted` names its ``part``; a part of no name of its own is ``other`` with an ``item`` (motor, hull). A `serviced`
names its ``item``, ``overhaul`` being the whole boat. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from divelog.calibration.model import Parts
from divelog.journal.events import Event
from divelog.journal.payload import text

BALLAST_PARTS = frozenset({"pump", "valve", "piston", "hose"})
SHAFT_PARTS = frozenset({"shaft", "coupling"})
DRAW_PARTS = frozenset({"shaft", "coupling", "propeller", "controller"})
JOINT_PARTS = frozenset({"pack", "controller"})
OVERHAUL = "overhaul"
_SHAFT_SERVICES = ("shaft", "coupling", "motor", "brushes")


def _moves(data: Mapping[str, Any], parts: Parts) -> bool:
    """Whether a seal that was fitted turns or slides; one that nobody names may."""
    named = text(data.get("item")) or text(data.get("new")) or ""
    return parts.moving_seals is None or not named or named in parts.moving_seals


def _other(data: Mapping[str, Any], *names: str) -> bool:
    words = (text(data.get("item")) or "").casefold()
    return data.get("part") == "other" and any(name in words for name in names)


def cuts_no_load(event: Event, parts: Parts) -> bool:
    """Shaft, moving seal, coupling, motor, their grease, or the meter that reads the current."""
    data = event.payload()
    if event.what == "fitted":
        part = data.get("part")
        return (
            part in SHAFT_PARTS
            or part == "meter"
            or (part == "seal" and _moves(data, parts))
            or _other(data, "motor")
        )
    item = text(data.get("item")) or ""
    if item.startswith("seal."):
        named = item.removeprefix("seal.").replace("_", " ")
        return parts.moving_seals is None or named in parts.moving_seals
    return item == OVERHAUL or item.startswith(_SHAFT_SERVICES)


def cuts_draw(fitted: Event, parts: Parts) -> bool:
    """Motor, propeller, shaft, moving seal or hull: what she takes to move. A service is no such change."""
    data = fitted.payload()
    part = data.get("part")
    return part in DRAW_PARTS or (part == "seal" and _moves(data, parts)) or _other(data, "motor", "hull")


def cuts_joints(event: Event, parts: Parts) -> bool:
    """Joints cleaned, or what stands at their ends changed, or the meter."""
    data = event.payload()
    if event.what == "fitted":
        return data.get("part") in JOINT_PARTS or data.get("part") == "meter"
    return text(data.get("item")) in ("terminals", "joints", OVERHAUL)


def cuts_times(event: Event, parts: Parts) -> bool:
    """Pump, piston, valve or hose, or the ballast's own service."""
    data = event.payload()
    if event.what == "fitted":
        return data.get("part") in BALLAST_PARTS
    return text(data.get("item")) in ("ballast", "ballast_seals", "valves", OVERHAUL)
