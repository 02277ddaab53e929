"""What wears, as series out of the log: readings over the counter that wears the part, cut at every change of it.

The words and the arithmetic are `divelog.upkeep.wear`; here stand the paths, the parts that cut, and the counters.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime

from divelog.clock import day_month
from divelog.history.care import Change
from divelog.history.folding import History
from divelog.history.measured import Measured
from divelog.journal.events import Event
from divelog.journal.payload import mapping, number, quantity, text
from divelog.limits.model import Limit
from divelog.physics.statistics import Conditions
from divelog.session.care import HOUR, Counted, Use
from divelog.upkeep.wear import Cut, LimitLine, Point, Quantity, Wear, baseline_of, time_limit, wear

_BALLAST_PARTS = frozenset({"pump", "valve", "piston", "hose"})
_SHAFT_PARTS = frozenset({"shaft", "coupling", "propeller", "controller", "seal"})
_SHAFT_SERVICE = ("shaft", "seal.shaft", "coupling", "motor", "brushes")
_SEALS = frozenset({"seal", "port", "cap", "cylinder"})
RESISTANCE_LIMIT = 2.0
"""A pack may reach this many times its first resistance: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Followed:
    """One quantity that is followed: its name, its title on a row, the limit it is set beside, and what is written
    down when it is seen to (empty where nothing is)."""

    name: str
    title: str
    quantity: Quantity
    limit: str = ""
    item: str = ""
    service: str = ""
    ballast: bool = False
    """True where the ballast's own running wears it, not the shaft's."""


@dataclass(frozen=True, slots=True)
class Series:
    """A followed quantity with everything the log holds of it, oldest first; values in the quantity's unit."""

    followed: Followed
    wear: Wear
    times: tuple[datetime, ...] = ()


Cuts = Callable[[Change], bool]


def _ballast(change: Change) -> bool:
    if change.kind == "fitted":
        return change.part in _BALLAST_PARTS
    return change.kind == "serviced" and change.part in ("ballast", "ballast_seals", "valves", "overhaul")


def _shaft(change: Change) -> bool:
    if change.kind == "fitted":
        return change.part in _SHAFT_PARTS
    return change.kind == "serviced" and (change.part or "").startswith((*_SHAFT_SERVICE, "overhaul"))


def _joints(change: Change) -> bool:
    if change.kind == "fitted":
        return change.part in ("pack", "controller")
    return change.kind == "serviced" and change.part in ("terminals", "joints", "overhaul")


def _radio(change: Change) -> bool:
    return change.kind == "radio.changed" or (change.kind == "fitted" and change.part == "receiver")


def _pack(item: str) -> Cuts:
    return lambda change: (
        change.kind == "fitted" and change.part == "pack" and item in (change.new, change.item)
    )


def _sealed(change: Change) -> bool:
    return (change.kind == "fitted" and change.part in _SEALS) or bool(change.seals)


def _short(path: str) -> str:
    return path.removeprefix("boat.").removeprefix("kit.")


def _readings(history: History, path: str, item: str | None) -> list[Measured]:
    return [
        each
        for each in history.measured
        if _short(each.path) == path
        and each.value is not None
        and each.value.si is not None
        and each.item == item
    ]


def _condition(conditions: Mapping[str, object], name: str) -> float | None:
    held = conditions.get(name)
    found = quantity(held)
    return found.si if found is not None else number(held)


def _point(reading: Measured, at: float, factor: float, *, by_volts: bool = True) -> Point:
    value = reading.value
    assert value is not None
    assert value.si is not None
    water = text(reading.conditions.get("water"))
    volts = _condition(reading.conditions, "volts") if by_volts else None
    temperature = _condition(reading.conditions, "temperature")
    return Point(at, value.si / factor, (value.u95 or 0.0) / factor, Conditions(volts, temperature, water))


def shaft_meter(use: Use) -> Callable[[datetime], float]:
    """Shaft hours by a moment."""
    return lambda at: use.hours_at(at.astimezone(UTC))


def ballast_meter(use: Use, cycle: float | None) -> tuple[Callable[[datetime], float], bool]:
    """Hours the pump or piston ran by a moment: cycles times the seconds of one. Where a run has no count of cycles, or
    nobody knows how long one takes, shaft hours stand in, and the second value is False."""
    if not cycle or any(run.cycles is None for run in use.runs):
        return shaft_meter(use), False
    ran = Counted((run.end, (run.cycles or 0) * cycle / HOUR) for run in use.runs)
    return (lambda at: ran.by(at.astimezone(UTC))), True


def cut_words(change: Change) -> str:
    """``piston renewed 12 March``: the change a series begins anew at."""
    part = (change.part or "part").replace("_", " ").replace("seal.", "seal ")
    done = {"fitted": "renewed", "serviced": "seen to", "radio.changed": "changed"}.get(
        change.kind, "changed"
    )
    name = "radio" if change.kind == "radio.changed" else part
    return f"{name} {done} {day_month(change.at, full=True)}"


STEP_AT_A_CUT = 1e-6
"""Hours by which everything after a change is moved on: so a reading before it and one after it are told apart even
where the part did not run in between. Nobody sees a millionth of an hour."""


def cut_apart(
    points: Sequence[tuple[datetime, Point]], changes: Sequence[tuple[datetime, Cut]]
) -> tuple[list[Point], list[Cut]]:
    """Points and cuts on one counter that grows at every cut."""
    ordered = sorted(changes, key=lambda each: each[0])
    times = [at for at, _ in ordered]
    moved = [replace(cut, at=cut.at + STEP_AT_A_CUT * n) for n, (_, cut) in enumerate(ordered, 1)]
    placed = [replace(point, at=point.at + STEP_AT_A_CUT * bisect_right(times, at)) for at, point in points]
    return placed, moved


def limit_line(limit: Limit | None, factor: float, *, upper: bool = True) -> LimitLine | None:
    """The limit of a key in a quantity's unit; None where it is not known."""
    if limit is None:
        return None
    value, shown = (limit.high, limit.shown_high) if upper else (limit.low, limit.shown_low)
    if shown is None:
        return None
    return LimitLine((value if value is not None else shown) / factor, shown / factor)


Lookup = Callable[[str, str], Limit | None]


def all_series(
    history: History,
    events: Sequence[Event],
    boat: str,
    use: Use,
    lookup: Lookup,
    *,
    pump: str = "pump",
    cycle: float | None = None,
    packs: Sequence[str] | None = None,
) -> tuple[Series, ...]:
    """Every followed quantity of a boat with at least one reading.

    ``lookup(key, item)`` gives the limit in force today; ``pump`` is piston or pump, as she has it, and ``cycle`` the
    seconds of one fill and one emptying. ``packs``: those that sit in her (None: every pack of the log).
    """
    made = _Maker(history, boat, use, lookup)
    made.times(pump, cycle)
    made.no_load()
    made.joints()
    made.paces(events)
    made.resistances(packs)
    made.leak()
    return tuple(made.found)


class _Maker:
    def __init__(self, history: History, boat: str, use: Use, lookup: Lookup) -> None:
        self.history, self.boat, self.use, self.lookup = history, boat, use, lookup
        self.shaft = shaft_meter(use)
        self.found: list[Series] = []

    def _add(
        self,
        followed: Followed,
        points: Sequence[tuple[datetime, Point]],
        cuts: Cuts,
        meter: Callable[[datetime], float],
        limit: LimitLine | None,
    ) -> None:
        if not points:
            return
        changes = [
            (each.at, Cut(meter(each.at), cut_words(each), each.at.date()))
            for each in self.history.changes
            if each.boat == self.boat and cuts(each)
        ]
        placed, moved = cut_apart(points, changes)
        made = wear(followed.quantity, placed, moved, limit)
        self.found.append(Series(followed, made, tuple(at for at, _ in points)))

    def _measured(
        self,
        path: str,
        item: str | None,
        factor: float,
        meter: Callable[[datetime], float],
        *,
        by_volts: bool = True,
    ) -> list[tuple[datetime, Point]]:
        return [
            (each.at, _point(each, meter(each.at), factor, by_volts=by_volts))
            for each in _readings(self.history, path, item)
            if each.boat in (None, self.boat)
        ]

    def times(self, pump: str, cycle: float | None) -> None:
        """Fill and empty time, over the hours the ballast ran."""
        meter, own = ballast_meter(self.use, cycle)
        per = f"a {pump} hour" if own else "a shaft hour"
        for way in ("fill", "empty"):
            words = Quantity(
                way.capitalize(), "s", "slower", "quicker", per, per[2:].replace(" ", "-") + "s", 0.3, 1
            )
            followed = Followed(
                f"ballast.{way}_time",
                f"ballast {way}",
                words,
                f"ballast.{way}_time",
                service="ballast",
                ballast=True,
            )
            points = self._measured(f"ballast.{way}_time", None, 1.0, meter)
            limit = limit_line(self.lookup(f"ballast.{way}_time", ""), 1.0)
            if limit is None:
                base = baseline_of([p for _, p in points])
                limit = (
                    LimitLine(time_limit(base), float(int(time_limit(base)))) if base is not None else None
                )
            self._add(followed, points, _ballast, meter, limit)

    def no_load(self) -> None:
        """Current of the motor turning free, over shaft hours."""
        for way in ("ahead", "astern"):
            words = Quantity("No load", "A", "more", "less", "a shaft hour", "shaft-hours", 0.01, 2)
            followed = Followed(f"shaft.no_load.{way}", f"no load {way}", words, "shaft.no_load_current", way)
            limit = limit_line(self.lookup("shaft.no_load_current", way), 1.0)
            self._add(
                followed,
                self._measured(f"shaft.no_load.{way}", None, 1.0, self.shaft),
                _shaft,
                self.shaft,
                limit,
            )

    def joints(self) -> None:
        """Drop at each joint, over shaft hours."""
        items = dict.fromkeys(
            e.item for e in self.history.measured if _short(e.path) == "joint.drop" and e.item
        )
        for item in items:
            words = Quantity("Drop", "mV", "more", "less", "a shaft hour", "shaft-hours", 1.0, 0)
            followed = Followed(
                f"joint.drop:{item}", f"{item} joint", words, "terminals.drop", item, "terminals"
            )
            limit = limit_line(self.lookup("terminals.drop", item), 1e-3)
            points = self._measured("joint.drop", item, 1e-3, self.shaft, by_volts=False)
            self._add(followed, points, _joints, self.shaft, limit)

    def paces(self, events: Sequence[Event]) -> None:
        """Paces of the range check, over runs' shaft hours: fewer is worse."""
        words = Quantity(
            "Range", "paces", "fewer", "more", "a shaft hour", "shaft-hours", 1.0, 0, upper=False
        )
        followed = Followed("radio.check_paces", "range check", words, "radio.check_distance")
        points = []
        for event in events:
            if event.what != "check.answered" or not event.known or event.boat != self.boat:
                continue
            data = event.payload()
            value = quantity(data.get("value"))
            if (
                mapping(data.get("limit")).get("key") != "radio.check_distance"
                or value is None
                or value.si is None
            ):
                continue
            points.append((event.local, Point(self.shaft(event.at), value.si, value.u95 or 0.0)))
        limit = limit_line(self.lookup("radio.check_distance", ""), 1.0, upper=False)
        self._add(followed, points, _radio, self.shaft, limit)

    def resistances(self, packs: Sequence[str] | None) -> None:
        """Resistance of each pack, over shaft hours; at most twice what it was first."""
        items = dict.fromkeys(
            e.item for e in self.history.measured if _short(e.path) == "pack.resistance" and e.item
        )
        for item in items:
            if packs is not None and item not in packs:
                continue
            words = Quantity("Resistance", "mohm", "more", "less", "a shaft hour", "shaft-hours", 1.0, 0)
            followed = Followed(f"pack.resistance:{item}", f"pack {item} ohms", words, item=item)
            points = self._measured("pack.resistance", item, 1e-3, self.shaft, by_volts=False)
            most = RESISTANCE_LIMIT * points[0][1].value if points else 0.0
            limit = LimitLine(most, float(int(most))) if most >= 1.0 else None
            self._add(followed, points, _pack(item), self.shaft, limit)

    def leak(self) -> None:
        """Water found over hours in the water, a run at a time. What is sweat and what leak its own limit says."""
        words = Quantity("Water", "mL/h", "more", "less", "a shaft hour", "shaft-hours", 0.05, 2)
        points = []
        for run in self.history.runs:
            found = run.water
            if (
                run.boat != self.boat
                or found is None
                or found.amount.si is None
                or not run.minutes
                or run.end is None
            ):
                continue
            hours = run.minutes / 60.0
            value = found.amount.si * 1e6 / hours
            spread = (found.amount.u95 or 0.0) * 1e6 / hours
            points.append((found.at, Point(self.shaft(found.at), value, spread)))
        self._add(Followed("water.found", "water found", words), points, _sealed, self.shaft, None)
