"""The kinds of event this program knows, their current versions, and what their data may hold.

A kind that is not here, or a version above the current one, comes from a newer program: it is kept and
shown as that, never dropped, and has no effect on anything folded here.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType


def _fields(text: str) -> frozenset[str]:
    return frozenset(text.split())


FIELDS: Mapping[str, frozenset[str]] = MappingProxyType(
    {
        "log.opened": _fields("program device heads after"),
        "boat.filed": _fields("digest changed text"),
        "boat.received": _fields("from condition defects claimed"),
        "boat.handed_over": _fields("to condition defects claimed"),
        "measured": _fields("path item value conditions method"),
        "day.opened": _fields("site water temperature salinity conductivity clarity air helper"),
        "day.closed": _fields("site"),
        "plan.set": _fields(
            "pack pack_mass_change depth distance minutes throttle limits trim_shift dived_balance"
        ),
        "check.started": _fields("list version phase"),
        "check.ended": _fields("list version phase complete left open"),
        "check.answered": _fields(
            "list line answer value limit verdict seconds reads gives fails dry_depth check"
        ),
        "check.skipped": _fields("list line state reason check"),
        "check.paused": _fields("list line check"),
        "check.resumed": _fields("list line seconds check"),
        "launch.called": _fields("open defects because words"),
        "opened": _fields("which lifted place"),
        "closed": _fields("which count air_temperature humidity ballast gauge"),
        "fitted": _fields("part item old new mass_change seals inside_cylinder cost"),
        "mass.moved": _fields("piece mass from to"),
        "radio.changed": _fields("changed"),
        "switched": _fields("device to for"),
        "knocked": _fields("kind"),
        "run.started": _fields("plan pack transmitter receiver limits"),
        "run.ended": _fields("pack volts deepest cycles shaft_time dived_time reason"),
        "mark": _fields("kind"),
        "mark.named": _fields("of kind text"),
        "incident": _fields("step depth source cause worked damage"),
        "signal": _fields("kind distance depth motor_on pump_on"),
        "failsafe.tripped": _fields("trigger real channels seconds"),
        "water.found": _fields("word si u95 typed end allowance looked flooded"),
        "charged": _fields("pack charge volts to"),
        "serviced": _fields("item consumable hours_at seals cost"),
        "defect.opened": _fields("defect stops_launch"),
        "defect.closed": _fields("of check words"),
        "defect.overruled": _fields("of reason"),
        "stored": _fields("packs rings vents"),
        "note": _fields("text private about"),
        "corrected": _fields("id data void happened why"),
        "clock.jumped": _fields("before after"),
    }
)
"""Kind -> keys of its data. Other keys are kept and ignored."""

SHEET = "sheet"
"""A key that data of any kind may hold: the sheet of paper it was typed in from. Events of one sheet that happened at
one time with one doubt took place in the order of their ids."""

VERSIONS: Mapping[str, int] = MappingProxyType(dict.fromkeys(FIELDS, 1))
"""Kind -> current version."""

LADDER: tuple[str, ...] = (
    "beyond plan",
    "limit exceeded",
    "touched bottom",
    "went down uncontrolled",
    "came up uncontrolled",
    "stuck",
    "lost and found",
    "lost",
)
"""Steps of a depth incident, in the words of the log."""

DEPTH_SOURCES: tuple[str, ...] = ("sensor", "seen", "guessed")
"""How a depth is known; only the first two prove anything."""

WITHOUT_BOAT: frozenset[str] = frozenset({"day.opened", "day.closed", "clock.jumped"})
"""Kinds that are for every boat and stand in the kit's journal."""
