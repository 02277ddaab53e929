"""Walks through the lists: each line as it is answered, with what it proves and what else it writes."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

from sample_crew import Against, Boat
from sample_log import Log, celsius, grams, millimetres, num, seconds, volts

NOTHING: Mapping[str, str] = MappingProxyType({})
CONTROL_BACK = "control back in 5 s, no lurch"
MARK = {"tansy": 20.0, "bulrush": -10.0, "juniper": 5.0}
"""Gauge pressure of the short hold, kPa."""
VERSION = 1
"""Of every list in the story."""


class Walk:
    """One walk through a list, from its start to its end."""

    def __init__(
        self, log: Log, boat: Boat, name: str, phase: str, run: str | None = None, paper: bool = False
    ) -> None:
        self.log, self.boat, self.name, self.run, self.paper = log, boat, name, run, paper
        self.phase = phase
        self.check = ""
        if not paper:  # a printed sheet has no start: its figures are typed in afterwards
            start = {"list": name, "version": VERSION, "phase": phase}
            self.check = log.put("check.started", start, boat.slug, run)
        self.open: list[str] = []

    def put(self, what: str, data: Mapping[str, object]) -> str:
        """An event beside the answers."""
        return self.log.put(what, data, self.boat.slug, self.run)

    def line(
        self,
        line: str,
        answer: object = "done",
        *,
        value: Mapping[str, object] | None = None,
        limit: str | Against | None = None,
        verdict: str | None = None,
        gives: Sequence[str] = (),
        fails: Sequence[str] = (),
        took: float | None = None,
        dry_depth: float | None = None,
        more: bool = False,
    ) -> str:
        """One answer. `limit` is a name in the boat's own table; `more` says that the line has another question."""
        spent = took if took is not None else float(self.log.dice.randint(4, 26))
        self.log.clock.wait(spent)
        data: dict[str, object] = {"list": self.name, "line": line}
        if not self.paper:
            data |= {"check": self.check}
        if answer is not None:
            data["answer"] = answer
        if value is not None:
            data["value"] = value
        if limit is not None:
            held = self.boat.limits[limit] if isinstance(limit, str) else limit
            data["limit"] = held.data()
            verdict = verdict or "within"
        if verdict is not None:
            data["verdict"] = verdict
        if not self.paper:
            data["seconds"] = spent
        if fails:
            data["fails"] = list(fails)
        if not more:
            data["gives"] = list(gives)
        if dry_depth is not None:
            data["dry_depth"] = dry_depth
        return self.put("check.answered", data)

    def each(
        self,
        line: str,
        members: Sequence[str],
        answer: str = "done",
        *,
        gives: Sequence[str] = (),
        took: float = 12.0,
    ) -> str:
        """One answer a member; of a printed sheet, all in one."""
        rows: list[dict[str, str]] = []
        verdict = None if answer == "done" else "within"
        kept = ""
        for member in members:
            rows.append({"member": member, "answer": answer})
            last = member == members[-1]
            if last or not self.paper:
                kept = self.line(line, list(rows), verdict=verdict, gives=gives, took=took, more=not last)
        return kept

    def skip(self, line: str, reason: str, state: str = "skipped") -> None:
        """One line left out, with a reason."""
        self.log.clock.wait(5.0)
        self.open.append(line)
        data = {"list": self.name, "line": line, "state": state, "reason": reason}
        self.put("check.skipped", data | ({} if self.paper else {"check": self.check}))

    def pause(self, line: str, away: float | None = None, again: str | None = None) -> None:
        """Somebody talks: the list is stopped at a line, and carried on if `away` seconds are given."""
        self.log.clock.wait(8.0)
        self.put("check.paused", {"list": self.name, "line": line, "check": self.check})
        if away is not None:
            self.log.clock.wait(away - 1.0)
            data = {"list": self.name, "line": again or line, "seconds": away, "check": self.check}
            self.put("check.resumed", data)

    def end(self, left: str | None = None, still: Sequence[str] = (), phase: str | None = None) -> None:
        """The list is done, or left with a reason; a printed sheet has no end, but that of a run's own list."""
        if self.paper and self.run is None:
            return
        self.log.clock.wait(2.0)
        data: dict[str, object] = {"list": self.name, "version": VERSION, "phase": phase or self.phase}
        data |= {"complete": left is None, "open": [*self.open, *still]}
        self.put("check.ended", data if left is None else data | {"left": left})


@dataclass(frozen=True)
class Dive:
    """The readings of one walk before a dive."""

    pack: str
    volts: float = 0.0
    """At rest, at the boat's own plug."""
    air: float = 14.0
    """Where she is closed, degC."""
    water: float = 11.0
    fall: float = 0.1
    """Of the short hold, kPa."""
    tip: int = 120
    paces: int = 48
    fill: float = 38.0
    empty: float = 35.0
    running: float = 0.0
    """Volts with the pump running."""
    out: int = 20
    """Tower left showing, mm."""
    bottle: float = 0.0
    """Grams on the scales."""
    skips: Mapping[str, str] = field(default_factory=lambda: NOTHING)
    opened: str = "nothing"
    pause: tuple[str, float] | None = None
    """A line somebody talks into, and for how many seconds."""
    kind: str = "fresh"


class BeforeDive:
    """The walk before a dive, phase by phase; `only` lines are asked, all where nobody says."""

    def __init__(
        self, log: Log, boat: Boat, dive: Dive, enclosed: bool, peg: bool, paper: bool = False
    ) -> None:
        self.boat, self.dive, self.enclosed, self.peg = boat, dive, enclosed, peg
        self.walk = Walk(log, boat, "before-dive", "open-boat", paper=paper)

    def _ask(self, only: Collection[str] | None, line: str) -> bool:
        if self.dive.pause is not None and self.dive.pause[0] == line:
            self.walk.pause(line, self.dive.pause[1])
        wanted = only is None or line in only
        if line in self.dive.skips and (wanted or self.walk.paper):
            self.walk.skip(line, self.dive.skips[line])
            return False
        return wanted

    def open_boat(self, only: Collection[str] | None = None) -> None:
        """At home or at the bank, with the hull open."""
        walk, boat, dive = self.walk, self.boat, self.dive
        if self._ask(only, "undone"):
            walk.line("undone", dive.opened)
        many = boat.at("radio.memory") != "none"
        if not many and self.peg and self._ask(only, "peg"):
            walk.line("peg")
        if many and self._ask(only, "name"):
            walk.line("name", boat.at("radio.memory"), verdict="within")
        if self._ask(only, "signal-off"):
            walk.each(
                "signal-off", [*boat.channels, CONTROL_BACK], "right", gives=["failsafe_bench"], took=15.0
            )
            walk.put("switched", {"device": "transmitter", "to": "off", "for": "failsafe"})
            tripped = {
                "trigger": "signal lost",
                "real": False,
                "channels": dict.fromkeys(boat.channels, True),
            }
            walk.put("failsafe.tripped", tripped)
        if self._ask(only, "pack-volts"):
            held = boat.limits["pack-volts"].of(dive.pack)
            walk.line("pack-volts", None, value=volts(dive.volts), limit=held, gives=[f"pack:{dive.pack}"])
        if boat.at("ballast.kind") == "gas" and self._ask(only, "gas"):
            value = grams(dive.bottle, 0.1)
            walk.line("gas", None, value=value, verdict="within", gives=["gas:G1"])
            weighed = {"path": "bottle.weighed", "item": "G1", "value": value, "method": "before-dive/gas"}
            walk.put("measured", weighed)
        if "leak" in boat.triggers and self._ask(only, "leak-probe"):
            walk.line("leak-probe", gives=["leak_alarm"])

    def closing_up(self, only: Collection[str] | None = None, until: str | None = None) -> None:
        """Closing up: nobody talks. `until` is a line that is not reached."""
        walk, boat, dive = self.walk, self.boat, self.dive
        lines = ["faces", "leads", "start-state", "count", "press", "inside", "catch"]
        for line in lines[: lines.index(until)] if until else lines:
            asked = {"press": self._short_test()}.get(line, line)
            if asked is None or not self._ask(only, asked):
                continue
            match line:
                case "faces":
                    walk.line("faces", gives=["faces"], took=float(walk.log.dice.randint(60, 150)))
                case "leads":
                    walk.each("leads", boat.at("boat.upper_joins"), took=6.0)
                case "start-state":
                    if boat.at("ballast.inside_cylinder"):
                        state = boat.at("ballast.start_state")
                        walk.line("start-state", state, verdict="within", gives=["start_state"])
                case "count":
                    count = str(len(boat.at("cylinder.closures")))
                    walk.line("count", count, verdict="within", gives=["closed"])
                case "press":
                    self._press(asked)
                case "inside":
                    walk.line("inside", None, value=celsius(dive.air, 1.0))
                case _:
                    if boat.at("boat.top_held_by") != "not fitted":
                        walk.line("catch")
        if until is None and (only is None or "count" in only or self.walk.paper):
            closed: dict[str, object] = {
                "which": boat.at("cylinder.closures"),
                "count": len(boat.at("cylinder.closures")),
                "air_temperature": celsius(dive.air, 1.0),
            }
            walk.put("closed", closed | ({"ballast": "empty"} if boat.has_pump else {}))

    def _short_test(self) -> str | None:
        tests = self.boat.at("cylinder.test_by")
        return {"pressure": "press", "vacuum": "draw", "immersion": "dip"}[tests[0]]

    def _press(self, line: str) -> None:
        if line == "dip":
            self.walk.line("dip", "no bead", verdict="within", gives=["dry_short"], took=75.0)
            return
        mark = MARK[self.boat.slug]
        left = mark - (self.dive.fall if mark > 0 else -self.dive.fall)
        start = num(1000 * mark, 290.0, f"{mark:g} kPa", "pressure gauge")
        self.walk.line(line, None, value=start, took=25.0, more=True)
        fall = num(1000 * self.dive.fall, 410.0, f"{mark:g} kPa to {left:g} kPa", "pressure gauge")
        self.walk.line(line, None, value=fall, limit=line, gives=["dry_short"], took=62.0)

    def edge(self, only: Collection[str] | None = None) -> None:
        """At the water's edge, closed."""
        walk, boat, dive = self.walk, self.boat, self.dive
        if self._ask(only, "tip"):
            walk.line("tip", None, value=millimetres(dive.tip, 3.0), limit="tip")
        if self._ask(only, "surfaces"):
            walk.each("surfaces", list(boat.at("controls.directions")), "right", gives=["directions"])
        if boat.at("controls.level_keeper") == "fitted" and self._ask(only, "keeper"):
            walk.line("keeper", "rises", verdict="within", gives=["level_keeper"])
        if not self.enclosed:
            if self._ask(only, "paces"):
                paces = num(dive.paces, 0.1 * dive.paces, f"{dive.paces} paces")
                walk.line("paces", None, value=paces, limit="paces", gives=["range"], took=140.0)
            if self._ask(only, "full-power"):
                walk.line("full-power", "full", verdict="within", gives=["full_power"])
        if boat.has_pump and self._ask(only, "cycle"):
            self._cycle()
        if boat.has_pump and self._ask(only, "residual"):
            walk.line("residual", None, value=millimetres(dive.out, 2.0), limit="residual")
        if boat.at("boat.depth_sensor") == "fitted" and self._ask(only, "depth-zero"):
            walk.line(
                "depth-zero", None, value=num(0.01, 0.01, "1 cm"), verdict="within", gives=["depth_zero"]
            )
        if self._ask(only, "clear"):
            walk.line("clear")

    def _cycle(self) -> None:
        walk, dive = self.walk, self.dive
        state: dict[str, object] = {"temperature": round(dive.water + 273.15, 2), "water": dive.kind}
        if dive.running:
            state = {"volts": dive.running, **state}
        for way, value in (("fill", dive.fill), ("empty", dive.empty)):
            limit, last = self.boat.limits[way], way == "empty"
            gives = ["ballast_cycle"] if last else []
            took = round(value + 8)
            if last or not walk.paper:
                walk.line(
                    "cycle", None, value=seconds(value), limit=limit, gives=gives, took=took, more=not last
                )
            timed = {"path": f"ballast.{way}_time", "value": seconds(value), "conditions": state}
            walk.put("measured", timed | {"method": "before-dive/cycle"})


SECOND_SHUT = ("undone", "name", "pack-volts", "gas", "surfaces", "full-power", "depth-zero")
"""Lines of a second run with nothing opened, the set switched off between."""
SECOND_OPENED = (*SECOND_SHUT, "faces", "leads", "start-state", "count", "press", "draw", "dip")
