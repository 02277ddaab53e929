"""Which services a boat has, and how often: by size and item, with her own file laid over it.

Intervals are common practice, no source. In salt or grit they are halved, by counting those hours twice.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from types import MappingProxyType

from divelog.upkeep.intervals import Allowed, IntervalFaultError, parse_interval, shorter

SIZES = ("S", "M", "L")
_NONE: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class SealEntry:
    """One seal of the boat's file: its id, whether it moves, and when it was fitted, if anybody wrote it."""

    id: str
    moves: bool
    fitted: date | None = None


@dataclass(frozen=True, slots=True)
class UpkeepFacts:
    """What the schedule needs to know of a boat.

    size is S, M or L; upkeep her own intervals by item; kept the items with a service written down,
    so that rarer ones show up once somebody looks after them.
    """

    size: str
    seals: tuple[SealEntry, ...] = ()
    ballast: bool = True
    upkeep: Mapping[str, str] = field(default_factory=lambda: _NONE)
    kept: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Service:
    """One item of the schedule: key, title, interval, and whether it is a proof rather than a service."""

    item: str
    title: str
    interval: tuple[Allowed, ...]
    proof: bool = False
    seal: bool = False


@dataclass(frozen=True, slots=True)
class ScheduleFault:
    """An interval of the boat's file that cannot be read; the usual one counts instead."""

    path: str
    found: str
    wanted: str


@dataclass(frozen=True, slots=True)
class _Usual:
    title: str
    by_size: tuple[str, str, str]
    always: bool = False
    proof: bool = False


def _all(title: str, interval: str, *, always: bool = False, proof: bool = False) -> _Usual:
    return _Usual(title, (interval, interval, interval), always, proof)


_USUAL: Mapping[str, _Usual] = MappingProxyType(
    {
        "shaft_grease": _Usual("shaft grease", ("3 h or 30 d", "4 h or 30 d", "6 h or 30 d"), always=True),
        "dry_long": _all("long leak test", "30 d or 10 runs", always=True, proof=True),
        "joints": _all("drop at each joint", "30 d", always=True, proof=True),
        "linkages": _all("linkages", "10 h or 6 mo", always=True),
        "ballast": _all("ballast", "10 h", always=True),
        "terminals": _all("battery terminals", "30 d", always=True),
        "shaft_tube": _all("shaft tube, clean and repack", "20 h or 12 mo"),
        "coupling": _all("coupling, propeller nut and thrust face", "5 h"),
        "ballast_seals": _all("ballast seals", "12 mo"),
        "strainer": _all("ballast strainer", "7 wet d"),
        "valves": _all("vent and blow valves", "10 h or 6 mo"),
        "gas_bottle": _all("gas bottle", "12 mo"),
        "snort_valve": _all("snort float valve", "6 mo"),
        "hoses": _all("hoses and clips", "12 mo"),
        "servos": _all("servos", "50 h or 12 mo"),
        "brushes": _all("brushes and suppression", "25 h or 12 mo"),
        "deck": _all("deck and fasteners", "6 mo"),
        "rescue_gear": _all("rescue gear", "12 mo"),
        "charger": _all("charger and leads", "12 mo"),
        "capacity_test": _all("capacity test of the packs", "6 mo"),
        "depth_sensor": _all("depth sensor against a rule", "30 d"),
        "overhaul": _all("whole boat", "50 h or 12 mo"),
    }
)
MOVING_SEAL = "25 h or 12 mo"
STILL_SEAL = "12 mo or 50 closings"


def seal_item(identity: str) -> str:
    """Item of a seal: ``seal.aft_cap`` for the seal ``aft cap``."""
    return "seal." + identity.strip().replace(" ", "_")


def _wished(facts: UpkeepFacts, item: str, faults: list[ScheduleFault]) -> tuple[Allowed, ...] | None:
    text = facts.upkeep.get(item)
    if text is None:
        return None
    try:
        return parse_interval(text)
    except IntervalFaultError as fault:
        faults.append(ScheduleFault(f"upkeep.{item}", fault.found, fault.wanted))
        return None


def schedule(facts: UpkeepFacts) -> tuple[tuple[Service, ...], tuple[ScheduleFault, ...]]:
    """Every service of a boat in a fixed order, and the intervals of her file that cannot be read.

    Always: shaft grease, her seals, the long leak test, the joints, linkages, ballast (if she has any) and
    terminals. Others once her file names an interval or a service of them is written down. A proof's
    period may only be shortened.
    """
    faults: list[ScheduleFault] = []
    found: list[Service] = []
    place = SIZES.index(facts.size) if facts.size in SIZES else 1
    for item, usual in _USUAL.items():
        wanted = usual.always or item in facts.kept or item in facts.upkeep
        if not wanted or (item.startswith("ballast") and not facts.ballast):
            continue
        standard = parse_interval(usual.by_size[place])
        own = _wished(facts, item, faults)
        if own is not None and usual.proof:
            own = shorter(standard, own)
        found.append(Service(item, usual.title, own or standard, proof=usual.proof))
        if item == "shaft_grease":
            found.extend(_seals(facts, faults))
    known = {service.item for service in found} | set(_USUAL)
    for item in facts.upkeep:
        if item in known:
            continue
        own = _wished(facts, item, faults)
        if own is not None:
            found.append(Service(item, item.replace("_", " "), own))
    return tuple(found), tuple(faults)


def _seals(facts: UpkeepFacts, faults: list[ScheduleFault]) -> list[Service]:
    services = []
    for seal in facts.seals:
        item = seal_item(seal.id)
        usual = parse_interval(MOVING_SEAL if seal.moves else STILL_SEAL)
        own = _wished(facts, item, faults)
        services.append(Service(item, f"{seal.id} seal", own or usual, seal=True))
    return services
