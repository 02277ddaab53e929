"""Sixty ways a model submarine is lost, and where each shows before she is: the one table of this folder.

The failures are common practice, no source: what builders and skippers tell of lost boats. A row either names the places
that say so and what they say (each case in this folder brings the situation about), or stands among the unshowable with
the reason and with what the program does instead.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

SUBJECTS = ("water in", "ballast and trim", "radio", "power", "mechanical", "people and place")
_NOWHERE: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Failure:
    """One way she is lost.

    signs     what a person is told before the loss, by place; empty where no check can show it
    because   why no check can show it
    instead   places where the program speaks of it all the same: a line asked, a caution, a list for trouble
    """

    number: int
    subject: str
    words: str
    signs: Mapping[str, str] = field(default_factory=lambda: _NOWHERE)
    because: str = ""
    instead: tuple[str, ...] = ()


def _of(subject: str, *rows: tuple[int, str, dict[str, str]]) -> tuple[Failure, ...]:
    return tuple(Failure(number, subject, words, MappingProxyType(signs)) for number, words, signs in rows)


OUTSIDE, TO_PROVE = "outside", "to prove"

WATER_IN = _of(
    "water in",
    (1, "the cylinder floods: a little more each run", {
        "after-run/water": OUTSIDE, "defect": "water inside", "proof dry_short": TO_PROVE, "proof dry_long": TO_PROVE,
        "proof look": TO_PROVE}),
    (2, "hair or grit lies across a ring", {"before-dive/press": OUTSIDE, "proof dry_short": TO_PROVE,
        "launch seal faces": TO_PROVE}),
    (3, "a still ring is old and flat", {"due seal.aft_cap": OUTSIDE}),
    (4, "the grease swells the rubber", {"caution seals.gland": "swells"}),
    (5, "the shaft seal is dry or worn", {"bench/no-load": OUTSIDE, "due shaft_grease": OUTSIDE}),
    (6, "water comes in beside a tube, at no seal", {"leak-test/hold": OUTSIDE, "proof dry_long": TO_PROVE}),
    (7, "a bellows or gland of a rod splits", {"leak-test/beads": OUTSIDE, "due seal.rod": OUTSIDE}),
    (8, "a port, plug or drain is left loose", {"before-dive/count": OUTSIDE, "proof closed": TO_PROVE}),
    (9, "a hatch is not latched", {"launch catch": "skipped", "tank-trim/waterline": OUTSIDE}),
    (10, "she pulls a vacuum and drinks past the shaft", {"cylinder.pressure": OUTSIDE,
        "before-dive/start-state": OUTSIDE, "proof start_state": TO_PROVE}),
    (11, "pressure inside pushes a cap off", {"cylinder.pressure": OUTSIDE}),
    (12, "a leak is taken for sweat, or sweat for a leak", {"after-run/water": OUTSIDE}),
    (13, "water stands in the air line or snort", {"before-dive/cycle": OUTSIDE, "due snort_valve": OUTSIDE}),
    (14, "a hose comes off or splits", {"due hoses": OUTSIDE, "launch closures": TO_PROVE}),
    (15, "a valve is fouled", {"bench/ballast-air": OUTSIDE, "proof ballast_cycle": TO_PROVE, "due valves": OUTSIDE}),
)  # fmt: skip

BALLAST_AND_TRIM = _of(
    "ballast and trim",
    (16, "the pump grows slower", {"wear ballast.fill_time": OUTSIDE, "before-dive/cycle": OUTSIDE,
        "proof ballast_cycle": TO_PROVE}),
    (17, "the piston runs past its end or jams", {"tank-trim/cycle": OUTSIDE, "due ballast": OUTSIDE}),
    (18, "a vent stands open", {"bench/ballast-way": OUTSIDE, "defect": "ballast control: wrong",
        "before-dive/cycle": OUTSIDE, "due linkages": OUTSIDE}),
    (19, "the blow valve weeps", {"view gas_by_cycle": "loses gas idle", "before-dive/gas": OUTSIDE}),
    (20, "the gas runs out with the tank full", {"ballast.cycles": OUTSIDE}),
    (21, "cold gas is too weak to blow", {"depth.keel:under control": OUTSIDE, "binds depth.keel": "gas"}),
    (22, "other water shifts her trim", {"buoyancy.dived": OUTSIDE, "proof trim": TO_PROVE}),
    (23, "a new pack or a repair shifts her trim", {"proof trim": TO_PROVE, "proof failsafe_wet": TO_PROVE}),
    (24, "trapped air wanders", {"tank-trim/dived-pitch": OUTSIDE, "proof trim": TO_PROVE}),
    (25, "lead or foam comes loose", {"tank-trim/list": OUTSIDE, "proof trim": TO_PROVE}),
    (26, "foam drinks or is crushed", {"before-dive/residual": OUTSIDE}),
    (27, "a neutral boat has no way up", {"tank-trim/dived-balance": OUTSIDE, "tank-trim/comes-up": OUTSIDE,
        "proof failsafe_wet": TO_PROVE}),
    (28, "the failsafe gives up before the tank is empty", {"ballast.empty_time:at depth": OUTSIDE}),
)  # fmt: skip

RADIO = _of(
    "radio",
    (29, "the aerial's tip goes under", {"before-dive/tip": OUTSIDE, "depth.keel:under control": OUTSIDE,
        "binds depth.keel": "radio"}),
    (30, "the aerial lead is nicked, folded or wound up", {"before-dive/paces": OUTSIDE, "proof range": TO_PROVE,
        "wear radio.check_paces": OUTSIDE}),
    (31, "the failsafe is lost at a re-bind", {"proof failsafe_bench": TO_PROVE, "proof failsafe_wet": TO_PROVE,
        "proof range": TO_PROVE}),
    (32, "the failsafe drives her: it was set for something else", {"before-dive/signal-off": OUTSIDE,
        "proof failsafe_bench": TO_PROVE, "defect": "failsafe: a channel was wrong"}),
    (33, "another boat's memory is on the set", {"before-dive/name": OUTSIDE, "proof directions": TO_PROVE}),
    (34, "a control works the wrong way", {"before-dive/surfaces": OUTSIDE, "proof directions": TO_PROVE}),
    (35, "the set is left at reduced power", {"before-dive/full-power": OUTSIDE, "proof full_power": TO_PROVE}),
    (36, "two sets share a channel", {"launch peg": "skipped"}),
    (37, "motor or pump drowns the signal", {"view faults_with_motor_or_pump": "worse with the pump on",
        "due brushes": OUTSIDE}),
    (38, "the set's cells are old or mixed", {"evening-before/set-cells": OUTSIDE,
        "defect": "transmitter cells: mixed", "proof range": TO_PROVE}),
    (39, "one set fails in several boats", {"view faults_follow": "tx-a in two boats"}),
)  # fmt: skip

POWER = _of(
    "power",
    (40, "the receiver's pack is flat or half dead", {"battery.endurance:R1": "unknown"}),
    (41, "the drive pack sags in a blow", {"evening-before/load-volts": OUTSIDE, "wear pack.resistance:D2": OUTSIDE}),
    (42, "the supply of the receiver dips", {"bench/receiver-volts": OUTSIDE, "proof supply": TO_PROVE}),
    (43, "the regulator overheats closed up", {"bench/heat": OUTSIDE}),
    (44, "terminals are green or loose", {"evening-before/drop": OUTSIDE, "proof joints": TO_PROVE,
        "wear joint.drop:motor": OUTSIDE, "defect": "corrosion: yes, the switch"}),
    (46, "a fuse goes, or trips for nothing", {"terminals.drop:fuse": OUTSIDE, "evening-before/drop": OUTSIDE}),
    (47, "a lithium pack is hurt and smokes later", {"battery.spread:D2": OUTSIDE, "before-dive/pack-volts": OUTSIDE,
        "proof pack": TO_PROVE}),
)  # fmt: skip

MECHANICAL = _of(
    "mechanical",
    (48, "weed or line winds round the shaft", {"noted": "propeller shaft: line", "bench/no-load": OUTSIDE}),
    (49, "hard astern unscrews the propeller", {"due coupling": OUTSIDE}),
    (50, "the coupling slips", {"evening-before/coupling": OUTSIDE, "defect": "shaft coupling: slips"}),
    (51, "a linkage is fouled or off", {"bench/links": OUTSIDE, "defect": "linkage: upper starboard not home",
        "before-dive/surfaces": OUTSIDE}),
    (52, "a servo is drowned or stripped", {"bench/cross-rise": OUTSIDE, "proof directions": TO_PROVE,
        "due servos": OUTSIDE}),
    (53, "the level keeper works the wrong way", {"before-dive/keeper": OUTSIDE, "proof level_keeper": TO_PROVE}),
    (54, "the depth gauge lies", {"before-dive/depth-zero": OUTSIDE, "proof depth_zero": TO_PROVE}),
)  # fmt: skip

PEOPLE_AND_PLACE = _of(
    "people and place",
    (55, "a step is lost in an interruption", {"proof faces": TO_PROVE, "proof start_state": TO_PROVE,
        "asked next": "faces"}),
    (56, "she is dropped or knocked off her cradle", {"proof dry_short": TO_PROVE, "proof directions": TO_PROVE}),
    (57, "lost with no name inside", {"her file": "boat.owner_inside", "evening-before/name-inside": "asked"}),
    (59, "weed holds her down however good the failsafe", {"caution recovery.time_to_surface": "weed"}),
    (60, "a known defect goes out again", {"defect": "slack rod", "call": "refused"}),
)  # fmt: skip

UNSHOWABLE = (
    Failure(45, "power", "reversed polarity, or the wrong setting of the charger",
            because="it happens at the charger or at the plug in one move of tired hands; nothing is off the moment before",
            instead=("bench/fuse", "evening-before/charge", "at-home/charge", "hand-over/chemistry", "pack-hot")),
    Failure(58, "people and place", "another craft runs her down",
            because="no reading of the boat tells what others will do while she is under",
            instead=("before-dive/clear", "signal-lost", "leak-found")),
)  # fmt: skip

SHOWN = (*WATER_IN, *BALLAST_AND_TRIM, *RADIO, *POWER, *MECHANICAL, *PEOPLE_AND_PLACE)
FAILURES = tuple(sorted((*SHOWN, *UNSHOWABLE), key=lambda one: one.number))
