"""Events -> what each gives and spends, in the order it takes effect.

Doubt never helps: a time that may be wrong by w spends at t + w and gives at t - w. Only lines of one sheet of paper,
all under one time, keep the order they have on it.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import Any

from divelog.journal.events import Event
from divelog.journal.kinds import SHEET
from divelog.journal.payload import channels_wrong, over_allowance
from divelog.proofs import table
from divelog.proofs.model import Effect, Past, Stamp
from divelog.proofs.table import DRY_DEPTH, PROOFS, BoatFacts

_ALL = tuple(rule.proof for rule in PROOFS)
_DEPTH_KEPT = 0.5
"""Metres: what "above 0.5 m" leaves of a proved depth."""


def _name(text: Any) -> tuple[str, str]:
    proof, _, item = str(text).partition(":")
    return proof, item


def _number(value: Any) -> float | None:
    if isinstance(value, dict):
        value = value.get("si")
    return float(value) if isinstance(value, int | float) and not isinstance(value, bool) else None


def _list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else []


def sheet_of(event: Event) -> str:
    """The sheet an event was typed in from with the time it stands under; one without a doubt needs none."""
    if not event.half_width:
        return ""
    sheet = event.payload().get(SHEET)
    return f"{sheet} {event.happened}" if isinstance(sheet, str) and sheet else ""


_NO_PAST = Past()


def _order(effect: Effect) -> tuple[float, str, bool]:
    stamp = effect.stamp
    return stamp.seconds, stamp.event, stamp.gives


class Effects:
    """Collects the effects of one boat's events up to a moment; ``past`` is what is known of earlier ones."""

    def __init__(
        self, events: Sequence[Event], facts: BoatFacts, until: float = float("inf"), past: Past = _NO_PAST
    ) -> None:
        self.facts = facts
        self.found: list[Effect] = []
        self.pack, self.site, self.water = past.pack, past.site, past.water
        self.past = past
        self.started: dict[str, Event] = {}
        self.ended: dict[str, tuple[Event, dict[str, Any]]] = {}
        for event in events:
            if event.what == "run.started":
                self.started[event.id] = event
            elif event.what == "run.ended" and event.run:
                self.ended[event.run] = (event, event.payload())
        for event in events:
            self._take(event)
        for run, event in self.started.items():
            if run not in self.ended:
                self._spend(event, ("pack", "gas", "depth_zero"), "a run that never ended")
        self.found.extend(idle_effects(events, until, past))
        self.found.sort(key=_order)

    def left(self, events: Sequence[Event], until: float) -> Past:
        """What later events must know of these, all of which took effect by ``until``."""
        depths = {run: seen_depth(data) for run, (_, data) in self.ended.items()}
        ends = run_ends(events)
        idle = ends[-1] if ends else self.past.idle
        if idle is not None and any(start.seconds > idle[0] for start in self.started.values()):
            idle = None
        dry = {run: depth for run, depth in depths.items() if depth is not None}
        return Past(self.pack, self.site, self.water, MappingProxyType(dry), idle, until)

    def waiting(self, events: Iterable[Event]) -> set[str]:
        """Runs that an end of theirs yet to come would make different: all that began, and those looked into."""
        looked = {event.run for event in events if event.what == "water.found" and event.run}
        return {*self.started, *looked, *self.ended}

    def _spend(
        self,
        event: Event,
        proofs: Iterable[str],
        because: str,
        item: str = "",
        depth: float | None = _DEPTH_KEPT,
    ) -> None:
        seconds = event.seconds + event.half_width
        for proof in proofs:
            stamp = Stamp(seconds, event.id, False)
            left = depth if proof == DRY_DEPTH else None
            self.found.append(Effect(stamp, proof, item, because, left, sheet=sheet_of(event)))

    def _give(self, event: Event, proof: str, item: str = "", depth: float | None = None) -> None:
        stamp = Stamp(event.seconds - event.half_width, event.id, True)
        self.found.append(
            Effect(
                stamp,
                proof,
                item,
                "",
                depth,
                event.local,
                event.up if not event.happened else None,
                event.boot,
                sheet_of(event),
            )
        )

    def _take(self, event: Event) -> None:
        if not event.known:
            return
        handler = getattr(self, "_on_" + event.what.replace(".", "_"), None)
        if handler is not None:
            handler(event, event.payload())

    # -- checks -------------------------------------------------------------------------------------------------

    def _on_check_answered(self, event: Event, data: dict[str, Any]) -> None:
        gives = [_name(text) for text in _list(data.get("gives"))]
        fails = [_name(text) for text in _list(data.get("fails"))]
        line = str(data.get("line", ""))
        for proof, item in fails:
            self._spend(event, (proof,), f"{line} was wrong", item)
        if any(proof == "range" for proof, _ in (*gives, *fails)):
            self._spend(event, ("full_power",), "range check done")
        for proof, item in gives:
            self._give(event, proof, item)
        depth = _number(data.get("dry_depth"))
        if depth is not None:
            self._give(event, DRY_DEPTH, depth=depth)

    def _on_check_resumed(self, event: Event, data: dict[str, Any]) -> None:
        away = _number(data.get("seconds"))
        if away is not None and away > 600:
            self._spend(event, table.CLOSING_UP, "a break of more than ten minutes")

    # -- work on the boat ---------------------------------------------------------------------------------------

    def _on_opened(self, event: Event, data: dict[str, Any]) -> None:
        which = ", ".join(str(w) for w in _list(data.get("which"))) or "she was"
        self._spend(event, table.SEALED, f"{which} opened")
        if data.get("lifted") is True:
            self._spend(event, ("dry_long",), f"{which}: seal lifted")

    def _on_fitted(self, event: Event, data: dict[str, Any]) -> None:
        part = str(data.get("part", "other"))
        because = f"{part} fitted"
        for proofs in table.FITTED.get(part, ()):
            self._spend(event, proofs, because)
        if _list(data.get("seals")) and part not in ("seal", "port", "cap", "cylinder"):
            self._spend(event, table.FITTED["seal"][0], because)
        if part in table.IN_CYLINDER and data.get("inside_cylinder") is not False:
            self._spend(event, ("dry_long",), because)
        change = _number(data.get("mass_change"))
        if change:
            self._spend(event, ("trim",) if part in table.ELECTRONICS else ("trim", "failsafe_wet"), because)

    def _on_serviced(self, event: Event, data: dict[str, Any]) -> None:
        if _list(data.get("seals")):
            self._spend(event, (*table.SEALED, "dry_long"), "seal lifted for service")

    def _on_charged(self, event: Event, data: dict[str, Any]) -> None:
        pack = str(data.get("pack", ""))
        self._spend(event, ("pack",), f"{pack} charged", pack)

    def _on_mass_moved(self, event: Event, data: dict[str, Any]) -> None:
        self._spend(event, ("trim", "failsafe_wet"), f"{data.get('piece', 'lead')} moved")

    def _on_radio_changed(self, event: Event, data: dict[str, Any]) -> None:
        for what in _list(data.get("changed")):
            self._spend(event, table.RADIO.get(str(what), ()), f"radio: {what}")

    def _on_switched(self, event: Event, data: dict[str, Any]) -> None:
        if data.get("device") == "transmitter" and data.get("to") == "off" and data.get("for") != "failsafe":
            spent = ("full_power", "directions") if self.facts.many_memories else ("full_power",)
            self._spend(event, spent, "transmitter switched off")

    def _on_knocked(self, event: Event, data: dict[str, Any]) -> None:
        kind = str(data.get("kind", "hit"))
        self._spend(
            event, ("dry_short",) if kind == "heat" else ("dry_short", "directions", "level_keeper"), kind
        )

    def _on_stored(self, event: Event, data: dict[str, Any]) -> None:
        self._spend(event, table.IDLE_SPENDS, "stored")

    def _on_boat_received(self, event: Event, data: dict[str, Any]) -> None:
        self._spend(event, _ALL, "received from another hand")
        self._spend(event, (DRY_DEPTH,), "received from another hand", depth=None)

    def _on_boat_filed(self, event: Event, data: dict[str, Any]) -> None:
        for path in _list(data.get("changed")):
            head = str(path).removeprefix("boat.").split(".", 1)[0].split("[", 1)[0]
            self._spend(event, table.FILED.get(head, ()), f"her file changed: {path}")

    # -- the day and the run ------------------------------------------------------------------------------------

    def _on_day_opened(self, event: Event, data: dict[str, Any]) -> None:
        site = str(data.get("site", ""))
        if self.site and site != self.site:
            self._spend(event, ("range",), "another site")
        self.site, self.water = site, str(data.get("water", ""))

    def _on_plan_set(self, event: Event, data: dict[str, Any]) -> None:
        balance = _number(data.get("dived_balance"))
        shift = _number(data.get("trim_shift"))
        if shift is not None and balance is not None and abs(shift) > abs(balance) / 2:
            self._spend(event, ("trim",), "this water shifts her trim")
        pack = str(data.get("pack", ""))
        if self.pack and pack and pack != self.pack:
            self._spend(event, ("pack",), f"pack {pack} instead of {self.pack}")
            change = _number(data.get("pack_mass_change"))
            if change is None or balance is None or abs(change) > abs(balance) / 4:
                self._spend(event, ("trim",), f"pack {pack} instead of {self.pack}")
        self.pack = pack or self.pack

    def _on_signal(self, event: Event, data: dict[str, Any]) -> None:
        if data.get("kind") in ("drop", "lost") and event.run:
            self._spend(event, ("range",), f"signal {data['kind']}")

    def _on_failsafe_tripped(self, event: Event, data: dict[str, Any]) -> None:
        if channels_wrong(data):
            self._spend(event, table.INCIDENT["went down uncontrolled"], "failsafe: a channel was wrong")

    def _on_incident(self, event: Event, data: dict[str, Any]) -> None:
        step = str(data.get("step", ""))
        self._spend(event, table.INCIDENT.get(step, ()), step)
        if step in table.DEEP_INCIDENTS and step != "lost and found":
            depth = _number(data.get("depth"))
            raw = data.get("depth")
            u95 = raw.get("u95") if isinstance(raw, dict) else 0.0
            reach = None if depth is None else depth + (float(u95) if isinstance(u95, int | float) else 0.0)
            self.found.append(
                Effect(
                    Stamp(event.seconds + event.half_width, event.id, False),
                    "dry_long?",
                    "",
                    step,
                    reach,
                )
            )

    def _on_run_ended(self, event: Event, data: dict[str, Any]) -> None:
        self._spend(event, ("pack", "gas", "depth_zero"), "run ended")
        if self.water in table.SALT:
            self._spend(event, ("joints",), f"a run in {self.water.replace('_', ' ')} water")

    def _on_water_found(self, event: Event, data: dict[str, Any]) -> None:
        if data.get("flooded") is True:
            self._spend(event, _ALL, "flooded")
            self._spend(event, (DRY_DEPTH,), "flooded", depth=None)
        elif over_allowance(data):
            self._spend(event, ("dry_short", "dry_long", "look", DRY_DEPTH), "water found inside")
        elif data.get("looked") in ("opened", "window") and _number(data.get("si")) is not None:
            self._dry(event)

    def _dry(self, event: Event) -> None:
        run = event.run or ""
        ended = self.ended.get(run)
        depth = self.past.dry.get(run) if ended is None else seen_depth(ended[1])
        if depth is not None:
            self._give(event, DRY_DEPTH, depth=depth)


def seen_depth(ended: Mapping[str, Any]) -> float | None:
    """Keel depth in m that a run was seen to reach, less its ±, out of its `run.ended`; None where nobody saw."""
    deepest = ended.get("deepest")
    if not isinstance(deepest, dict) or deepest.get("how") not in ("sensor", "seen"):
        return None
    depth = _number(deepest)
    u95 = _number({"si": deepest.get("u95")}) or 0.0
    return depth - u95 if depth is not None and depth - u95 > 0 else None


def run_ends(events: Iterable[Event]) -> list[tuple[float, str]]:
    """Ends of runs in order: UTC seconds at the latest, and the event."""
    return sorted((e.seconds + e.half_width, e.id) for e in events if e.what == "run.ended" and e.known)


def idle_effects(
    events: Sequence[Event], now: float = float("inf"), past: Past = _NO_PAST
) -> Iterator[Effect]:
    """Thirty, sixty, ninety … days after each run's end with no run between: spent as by an event."""
    ends = [*((past.idle,) if past.idle is not None else ()), *run_ends(events)]
    starts = sorted(e.seconds for e in events if e.what == "run.started" and e.known)
    for index, (seconds, event) in enumerate(ends):
        until = ends[index + 1][0] if index + 1 < len(ends) else None
        after = bisect_right(starts, seconds)
        following = starts[after] if after < len(starts) else None
        until = min((u for u in (until, following) if u is not None), default=None)
        instant, count = seconds + table.IDLE_SECONDS, 1
        while count <= 240 and instant <= now and (until is None or instant < until):
            if instant > past.until:
                for proof in table.IDLE_SPENDS:
                    stamp = Stamp(instant, f"{event}~{count:03d}", False)
                    yield Effect(stamp, proof, "", f"{30 * count} d idle")
            instant, count = instant + table.IDLE_SECONDS, count + 1
