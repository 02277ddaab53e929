"""A trip: the plan, the walk before it, the run with what happened under way, and the list after it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from sample_crew import Boat
from sample_log import Log, celsius, metres, minutes, num, volts
from sample_walks import BeforeDive, Dive, Walk

from divelog.proofs.table import RULES

TRANSMITTERS = {"tansy": "tx-a", "bulrush": "tx-b", "bramble": "tx-b", "juniper": "tx-c"}
BALANCE = {"tansy": 0.021, "bulrush": 0.045, "bramble": 0.009, "juniper": 0.118}
"""Dived balance of each boat, kg, as her file has it."""


@dataclass(frozen=True)
class Site:
    """A day at a site, as it is opened."""

    slug: str
    water: str
    temperature: float
    air: float
    look: str = "scaly ripples"
    clarity: float | None = None
    salinity: float | None = None
    """g/kg, where it was read on the day."""
    conductivity: float | None = None
    """mS/cm at 25 degC."""
    helper: str | None = None

    @property
    def enclosed(self) -> bool:
        """A tank or pool: no paces."""
        return self.slug in ("barn-tank", "glasshouse-pool")


def open_day(log: Log, at: str, site: Site) -> None:
    """The day is opened, once for all boats."""
    log.at(at)
    air: dict[str, object] = {"temperature": celsius(site.air, 1.0), "look": site.look}
    data: dict[str, object] = {
        "site": site.slug,
        "water": site.water,
        "temperature": celsius(site.temperature),
    }
    if site.clarity is not None:
        data["clarity"] = metres(site.clarity, 0.1)
    if site.salinity is not None:
        data["salinity"] = num(site.salinity / 1000, 0.0003, f"{site.salinity:g} g/kg")
    if site.conductivity is not None:
        data["conductivity"] = num(site.conductivity / 10, 0.03, f"{site.conductivity:g} mS/cm")
    data["air"] = air
    if site.helper is not None:
        data["helper"] = site.helper
    log.put("day.opened", data)


@dataclass(frozen=True)
class Happening:
    """Something under way: so many minutes after the launch, an event of the boat."""

    minute: float
    what: str
    data: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True)
class Trip:
    """One run: what was planned, and how it went."""

    run: float
    """Minutes."""
    depth: float = 0.7
    """Planned keel, m."""
    distance: float = 30.0
    planned: float = 40.0
    deepest: float = 0.6
    deepest_u95: float = 0.1
    how: str = "seen"
    cycles: int = 4
    shaft: float = 0.72
    """Share of the run with the shaft turning."""
    reason: str = "plan"
    rest: float = 0.0
    """Volts at rest afterwards."""
    water: str = "bone dry"
    end: str = "none"
    looked: str = "opened"
    opened: tuple[str, ...] = ("aft cap",)
    shaft_look: str = "clear"
    marks: tuple[tuple[float, str, str], ...] = ()
    """Minute, kind and words of each mark."""
    under_way: tuple[Happening, ...] = ()
    blows: int | None = None
    shift: float = 0.0
    """Computed shift of her trim in this water, g."""
    pack_mass_change: float | None = None
    still: tuple[str, ...] = ()
    """Proofs that did not stand when the launch was called."""
    after_left: str | None = None
    """Why the list after the run was left."""
    defect: str | None = None


WATER = {"bone dry": (0.0, 0.0), "mist on the wall": (2e-8, 8e-8), "a drop": (5e-8, 2.5e-8),
         "a teaspoon": (5e-6, 1.5e-6)}  # fmt: skip


def set_plan(log: Log, boat: Boat, dive: Dive, trip: Trip) -> str:
    """The plan of one run."""
    data: dict[str, object] = {
        "pack": dive.pack,
        "depth": metres(trip.depth, 0.05),
        "distance": metres(trip.distance, 0.0),
        "minutes": minutes(trip.planned),
        "trim_shift": round(trip.shift / 1000, 6),
        "dived_balance": BALANCE[boat.slug],
    }
    if trip.pack_mass_change is not None:
        data["pack_mass_change"] = round(trip.pack_mass_change / 1000, 6)
    if trip.blows is not None:
        data["blows"] = trip.blows
    return log.put("plan.set", data, boat.slug)


def walk_out(log: Log, boat: Boat, site: Site, dive: Dive, only: Sequence[str] | None = None) -> None:
    """The whole list before the dive, or only those lines."""
    peg = site.slug in ("withy-pond", "sluice-basin")
    walk = BeforeDive(log, boat, replace(dive, water=site.temperature, kind=site.water), site.enclosed, peg)
    walk.open_boat(only)
    walk.closing_up(only)
    walk.edge(only)
    walk.walk.end(phase="waters-edge")


def on_paper(log: Log, boat: Boat, site: Site, dive: Dive) -> None:
    """The list was filled in on its printed sheet; the figures that teach something are typed in."""
    known = replace(dive, water=site.temperature, kind=site.water)
    walk = BeforeDive(log, boat, known, site.enclosed, peg=False, paper=True)
    walk.open_boat(["pack-volts", "gas"])
    walk.closing_up([])
    walk.edge(["paces", "cycle"] if log.clock.now().year > 2031 else ["cycle"])


def go(log: Log, boat: Boat, dive: Dive, trip: Trip, plan: str, full: bool = True) -> str:
    """The launch and the run; returns the id of its start."""
    log.wait(2)
    if full:
        words = [f"{RULES[proof].title} to prove" for proof in trip.still]
        called = {"open": words, "defects": [], "because": {}, "words": "ready to dive"}
        log.put("launch.called", called, boat.slug)
    keel, left = boat.limits["keel"], boat.limits["minutes"]
    start: dict[str, object] = {"plan": plan, "pack": dive.pack, "transmitter": TRANSMITTERS[boat.slug]}
    start["receiver"] = str(boat.at("radio.receiver"))
    log.wait(1)
    limits = {"limits": [keel.data(), left.of(dive.pack).data()]} if full else {}
    run = log.put("run.started", start | limits, boat.slug)
    begun = log.clock.now()
    under_way = [
        *trip.under_way,
        *(Happening(minute, "mark") for minute, _, _ in trip.marks),
    ]
    for each in sorted(under_way, key=lambda one: one.minute):
        spent = (log.clock.now() - begun).total_seconds()
        log.clock.wait(max(0.0, 60 * each.minute - spent))
        log.put(each.what, each.data, boat.slug, run)
    spent = (log.clock.now() - begun).total_seconds()
    log.clock.wait(60 * trip.run - spent)
    ended: dict[str, object] = {
        "pack": dive.pack,
        "deepest": metres(trip.deepest, trip.deepest_u95, trip.how),
        "shaft_time": round(60 * trip.run * trip.shaft),
        "dived_time": round(60 * trip.run * 0.6),
        "reason": trip.reason,
    }
    if boat.has_pump:
        ended["cycles"] = trip.cycles
    if not full:
        ended["volts"] = volts(trip.rest)
    log.put("run.ended", ended, boat.slug, run)
    log.ended = ended
    return run


def after(log: Log, boat: Boat, dive: Dive, trip: Trip, run: str, full: bool = True) -> None:
    """The list after the run."""
    log.wait(3)
    walk = Walk(log, boat, "after-run", "after-run", run, paper=not full)
    if full:
        walk.line("ended", trip.reason)
        walk.line("off")
        walk.put("switched", {"device": "boat", "to": "off", "for": "home"})
        walk.put("switched", {"device": "transmitter", "to": "off", "for": "home"})
    _water(walk, trip, full)
    marks = [mark for of, mark in log.marks if of == run]
    for place, ((_, kind, words), mark) in enumerate(zip(trip.marks, marks, strict=True)):
        if full:
            rows = [{"member": one, "answer": "something else"} for one in marks[: place + 1]]
            walk.line("marks", rows, more=mark != marks[-1])
        walk.put("mark.named", {"of": mark, "kind": kind, "text": words})
    if full:
        _deepest(walk, trip)
        log.wait(10)
        walk.line("volts", None, value=volts(trip.rest), limit=boat.limits["pack-volts"].of(dive.pack))
        whole = log.ended | {"volts": volts(trip.rest)}
        why = "answered in the list after the run"
        walk.put("corrected", {"id": log.last[boat.slug, "run.ended"], "data": whole, "why": why})
        walk.line("shaft", trip.shaft_look)
        walk.line("mend", "nothing" if trip.defect is None else "to be mended", more=trip.defect is not None)
        if trip.defect is not None:
            walk.line("mend", trip.defect)
    if trip.defect is not None:
        walk.put("defect.opened", {"defect": trip.defect, "stops_launch": False})
    walk.end(left=trip.after_left)


def _water(walk: Walk, trip: Trip, full: bool) -> None:
    amount, u95 = WATER[trip.water]
    over = amount > walk.boat.allowance
    looked = {"opened": "opened her", "window": "through the window"}[trip.looked]
    if full or over:
        value = num(amount, u95, trip.water)
        verdict = "outside" if over else "within"
        walk.line("water", trip.water, value=value, limit="water", verdict=verdict, more=full)
    if full:
        if trip.end != "none":
            walk.line("water", trip.end, more=True)
        walk.line("water", looked, more=bool(trip.opened))
        for which in trip.opened:
            walk.line("water", which)
    found: dict[str, object] = {"word": trip.water, "si": amount, "u95": u95, "end": trip.end}
    walk.put("water.found", found | {"allowance": walk.boat.allowance, "looked": trip.looked})
    if trip.opened:
        walk.put("opened", {"which": list(trip.opened), "lifted": False})


def _deepest(walk: Walk, trip: Trip) -> None:
    keel = walk.boat.limits["keel"]
    most = keel.high or 0.0
    verdict = "within" if trip.deepest + trip.deepest_u95 <= most else "too_close"
    verdict = "outside" if trip.deepest > most else verdict
    depth = metres(trip.deepest, trip.deepest_u95, trip.how)
    walk.line("deepest", None, value=depth, limit="keel", verdict=verdict, more=True)
    walk.line("deepest", trip.how)


def outing(
    log: Log, boat: Boat, site: Site, at: str, dive: Dive, trip: Trip, *, paper: bool = False,
    again: Sequence[str] | None = None,
) -> str:  # fmt: skip
    """A whole trip from the plan to the list after it; returns the id of its run."""
    log.at(at)
    plan = set_plan(log, boat, dive, trip)
    if paper:
        on_paper(log, boat, site, dive)
    else:
        walk_out(log, boat, site, dive, again)
    run = go(log, boat, dive, trip, plan, full=not paper)
    after(log, boat, dive, trip, run, full=not paper)
    return run
