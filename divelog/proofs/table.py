"""The table: which proofs there are, how long each holds, and what spends it.

Rules are common practice, no source. To add a proof: a row in ``PROOFS``, its causes in ``effects``, a line of a
checklist that names it in ``gives``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

DAY = 86_400.0
CLOSING_UP = ("faces", "start_state", "closed")
SEALED = (*CLOSING_UP, "dry_short")


@dataclass(frozen=True, slots=True)
class Rule:
    """How long a proof holds by itself: to the end of the outing, for so many seconds, for so many runs."""

    proof: str
    title: str
    outing: bool = False
    seconds: float | None = None
    runs: int | None = None
    season: bool = False
    item: str = ""
    """``pack`` or ``bottle`` where the proof belongs to one of them."""


PROOFS: tuple[Rule, ...] = (
    Rule("faces", "seal faces", outing=True),
    Rule("start_state", "ballast start state", outing=True),
    Rule("closed", "closures", outing=True),
    Rule("dry_short", "short leak test", outing=True),
    Rule("dry_long", "long leak test", seconds=30 * DAY, runs=10),
    Rule("trim", "trim", season=True),
    Rule("failsafe_bench", "failsafe on the bench", outing=True),
    Rule("failsafe_wet", "comes up by herself", seconds=90 * DAY),
    Rule("directions", "directions", outing=True),
    Rule("level_keeper", "level keeper", outing=True),
    Rule("range", "range", outing=True),
    Rule("full_power", "full power", outing=True),
    Rule("pack", "pack", seconds=DAY, item="pack"),
    Rule("supply", "receiver supply", seconds=90 * DAY),
    Rule("joints", "joints", seconds=30 * DAY),
    Rule("ballast_cycle", "ballast cycle", outing=True),
    Rule("leak_alarm", "leak alarm", outing=True),
    Rule("depth_zero", "depth zero", outing=True),
    Rule("gas", "gas", item="bottle"),
    Rule("look", "ten minutes and a look"),
)
RULES: Mapping[str, Rule] = {rule.proof: rule for rule in PROOFS}
DRY_DEPTH = "dry_depth"
PRINTED_SECONDS = 60 * DAY
"""A printed pressure part keeps a proved depth for sixty days."""

IDLE_SPENDS = ("dry_long", "look", "pack", "joints", "ballast_cycle")
IDLE_SECONDS = 30 * DAY
OUTING_IDLE = 4 * 3600.0

FITTED: Mapping[str, tuple[tuple[str, ...], ...]] = {
    # part of a ``fitted`` event -> proofs spent
    "seal": ((*SEALED, "dry_long", "look", "dry_depth"),),
    "port": ((*SEALED, "dry_long", "look", "dry_depth"),),
    "cap": ((*SEALED, "dry_long", "look", "dry_depth"),),
    "cylinder": ((*SEALED, "dry_long", "look", "dry_depth"),),
    "shaft": (("directions",),),
    "coupling": (("directions",),),
    "linkage": (("directions",),),
    "servo": (("directions",),),
    "receiver": (("failsafe_bench", "failsafe_wet", "directions", "range", "supply", "level_keeper"),),
    "controller": (("failsafe_bench", "failsafe_wet", "directions", "range", "supply", "level_keeper"),),
    "regulator": (("failsafe_bench", "failsafe_wet", "directions", "range", "supply", "level_keeper"),),
    "pump": (("ballast_cycle", "failsafe_wet", "trim"),),
    "valve": (("ballast_cycle", "failsafe_wet", "trim"),),
    "piston": (("ballast_cycle", "failsafe_wet", "trim"),),
    "hose": (("ballast_cycle", "failsafe_wet", "trim"),),
}
ELECTRONICS = frozenset({"receiver", "controller", "regulator"})
IN_CYLINDER = frozenset({"pump", "valve", "piston", "hose"})

RADIO: Mapping[str, tuple[str, ...]] = {
    "bound": ("failsafe_bench", "failsafe_wet", "directions", "range", "full_power"),
    "receiver": ("failsafe_bench", "failsafe_wet", "directions", "range", "full_power"),
    "memory": ("failsafe_bench", "failsafe_wet", "directions", "level_keeper"),
    "mixing": ("failsafe_bench", "failsafe_wet", "directions", "level_keeper"),
    "transmitter cells": ("range", "full_power"),
    "aerial": ("range", "full_power"),
}

INCIDENT: Mapping[str, tuple[str, ...]] = {
    "limit exceeded": ("directions", "dry_short"),
    "touched bottom": ("directions", "dry_short"),
    "stuck": ("directions", "dry_short"),
    "went down uncontrolled": ("failsafe_bench", "failsafe_wet", "ballast_cycle"),
    "came up uncontrolled": ("ballast_cycle",),
    "lost and found": (
        "directions", "dry_short", "dry_long", "look", "pack", "failsafe_bench", "failsafe_wet", "ballast_cycle",
    ),
}  # fmt: skip
DEEP_INCIDENTS = frozenset({"limit exceeded", "touched bottom", "stuck", "lost and found"})
"""Steps that spend ``dry_long`` where she went deeper than she was proved dry."""

FILED: Mapping[str, tuple[str, ...]] = {
    "failsafe": ("failsafe_bench", "failsafe_wet"),
    "controls": ("directions", "level_keeper"),
    "ballast": ("ballast_cycle", "start_state"),
    "cylinder": ("closed", "dry_short", "dry_long"),
}
SALT = frozenset({"brackish", "salt_pool", "sea"})


@dataclass(frozen=True, slots=True)
class BoatFacts:
    """What the fold must know of the boat; everything else stands in the events."""

    fitted: frozenset[str]
    """Proofs that this boat has a line for."""
    packs: tuple[str, ...] = ()
    """Packs to answer for even where none was proved: the one in use."""
    bottles: tuple[str, ...] = ()
    many_memories: bool = True
    printed: bool = False
    season: tuple[int, int] = (3, 1)
    """Month and day on which the season starts."""
    shorter: tuple[tuple[str, float | None, int | None], ...] = ()
    """Periods (seconds, runs) of the boat's own, taken only where shorter."""
    enclosed_site: bool = False
    """A pool or tank: range and full power are not required."""


def fitted_proofs(
    *,
    level_keeper: bool | None,
    leak_probe: bool | None,
    depth_sensor: bool | None,
    ballast: str | None,
    inside_cylinder: bool | None,
    dry_test: bool | None,
    joints: bool | None,
) -> frozenset[str]:
    """Proofs that apply to a boat with these parts. Unknown (None) keeps the proof."""
    absent: set[str] = set()
    if level_keeper is False:
        absent.add("level_keeper")
    if leak_probe is False:
        absent.add("leak_alarm")
    if depth_sensor is not True:
        absent.add("depth_zero")
    if ballast == "none":
        absent |= {"ballast_cycle", "start_state"}
    if ballast is not None and ballast != "gas":
        absent.add("gas")
    if inside_cylinder is False:
        absent.add("start_state")
    if dry_test is False:
        absent.add("dry_short")
    if joints is False:
        absent.add("joints")
    return frozenset(rule.proof for rule in PROOFS if rule.proof not in absent)
