"""What the log counts for upkeep: services, hours, runs, closings and wet days since, and how proofs stand.

The log counts here; `divelog.upkeep` judges. Days are those of UTC, so that a clock put forward is no day.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time
from itertools import accumulate
from operator import itemgetter
from types import MappingProxyType

from divelog.history.folding import History
from divelog.history.runs import Run
from divelog.journal.events import Event
from divelog.journal.payload import text, texts
from divelog.limits.sheet import Sheet
from divelog.physics.service import window_days
from divelog.proofs.model import ProofReport
from divelog.proofs.table import SALT
from divelog.upkeep.due import Counts, DueRow, Lately, Planned, ProofState, due_rows
from divelog.upkeep.schedule import ScheduleFault, SealEntry, Service, UpkeepFacts, schedule, seal_item

SHAFT_SHARE = 0.8
"""Share of a run the shaft turns where nobody timed it: common practice, no source."""

HOUR = 3600.0
_SEAL_PARTS = frozenset({"seal", "cap", "port"})
_RENEWED: Mapping[str, frozenset[str]] = MappingProxyType(
    {
        "coupling": frozenset({"coupling", "propeller"}),
        "ballast": frozenset({"pump", "piston"}),
        "valves": frozenset({"valve"}),
        "hoses": frozenset({"hose"}),
        "servos": frozenset({"servo"}),
        "linkages": frozenset({"linkage"}),
    }
)
"""Items that begin anew where one of these parts was fitted."""


@dataclass(frozen=True, slots=True)
class RunUse:
    """What one ended run used: when it ended (UTC), shaft hours, whether in salt, and whether its hours are a guess."""

    end: datetime
    hours: float
    salt: bool
    guessed: bool
    cycles: int | None
    site: str | None
    day: date


class Counted:
    """Amounts that came at moments, ready to be summed up to any: a long log asks for thousands."""

    def __init__(self, amounts: Iterable[tuple[datetime, float]]) -> None:
        ordered = sorted(amounts, key=itemgetter(0))
        self._at = [at for at, _ in ordered]
        self._sums = list(accumulate((amount for _, amount in ordered), initial=0.0))

    @property
    def whole(self) -> float:
        """All of it."""
        return self._sums[-1]

    def by(self, at: datetime) -> float:
        """What came by a moment, that moment with it."""
        return self._sums[bisect_right(self._at, at)]


@dataclass(frozen=True, slots=True)
class Use:
    """All use of one boat: her ended runs, closings by closure, services and givings by item, newest last."""

    runs: tuple[RunUse, ...] = ()
    closings: Mapping[str, tuple[datetime, ...]] = field(default_factory=lambda: MappingProxyType({}))
    bases: Mapping[str, datetime] = field(default_factory=lambda: MappingProxyType({}))
    """Newest service (or fitting, or giving of a proof) by item, in UTC."""
    serviced: frozenset[str] = frozenset()
    _hours: Counted = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_hours", Counted((run.end, run.hours) for run in self.runs))

    @property
    def hours(self) -> float:
        """Shaft hours in all."""
        return self._hours.whole

    def hours_at(self, at: datetime) -> float:
        """Shaft hours by a moment."""
        return self._hours.by(at)


@dataclass(frozen=True, slots=True)
class Care:
    """What is due for one boat, worst first, with what it was counted from."""

    rows: tuple[DueRow, ...]
    services: tuple[Service, ...]
    faults: tuple[ScheduleFault, ...]
    use: Use


def run_use(run: Run) -> RunUse | None:
    """What an ended run used; None for one still on."""
    if run.end is None:
        return None
    guessed = run.shaft_time is None
    seconds = (
        SHAFT_SHARE * 60.0 * (run.minutes or 0.0) if run.shaft_time is None else max(0.0, run.shaft_time)
    )
    end = run.end.astimezone(UTC)
    return RunUse(end, seconds / HOUR, run.water_kind in SALT, guessed, run.cycles, run.site, run.end.date())


def used(events: Iterable[Event], history: History, boat: str) -> Use:
    """All use of a boat; ``events`` of this boat and of none, in order of time."""
    runs = tuple(found for run in history.runs if run.boat == boat and (found := run_use(run)) is not None)
    closings: dict[str, list[datetime]] = {}
    bases: dict[str, datetime] = {}
    serviced: set[str] = set()
    for event in events:
        if not event.known or event.boat != boat:
            continue
        if event.what == "closed":
            for name in dict.fromkeys(texts(event.payload().get("which"))):
                closings.setdefault(name, []).append(event.at)
        elif event.what == "serviced":
            item = text(event.payload().get("item")) or ""
            bases[item] = event.at
            serviced.add(item)
        elif event.what == "fitted":
            _fitted(event, closings, bases)
        elif event.what == "check.answered":
            for name in texts(event.payload().get("gives")):
                bases[name] = event.at
    return Use(
        tuple(sorted(runs, key=lambda run: run.end)),
        MappingProxyType({name: tuple(times) for name, times in closings.items()}),
        MappingProxyType(bases),
        frozenset(serviced),
    )


def _fitted(event: Event, closings: dict[str, list[datetime]], bases: dict[str, datetime]) -> None:
    data = event.payload()
    part = text(data.get("part")) or ""
    named = [*texts(data.get("seals"))]
    if part in _SEAL_PARTS:
        new = text(data.get("item")) or text(data.get("new"))
        named += [new] if new else []
        for name in dict.fromkeys(named):
            closings.setdefault(name, []).append(event.at)
            bases[seal_item(name)] = event.at
    else:
        for name in named:
            bases[seal_item(name)] = event.at
    for item, parts in _RENEWED.items():
        if part in parts:
            bases[item] = event.at


def upkeep_facts(sheet: Sheet, kept: frozenset[str] = frozenset()) -> UpkeepFacts:
    """What the schedule must know of a boat."""
    seals = tuple(
        SealEntry(each, sheet.flag(f"seal[{each}].moves") is not False, sheet.day_of(f"seal[{each}].fitted"))
        for each in sheet.ids("seal")
    )
    own = dict(sheet.words("upkeep"))
    return UpkeepFacts(sheet.size, seals, sheet.word("ballast.kind") != "none", MappingProxyType(own), kept)


def counts_of(service: Service, use: Use, seals: Mapping[str, SealEntry]) -> Counts | None:
    """What happened to one item since its newest service or fitting; None where none is written down."""
    base = use.bases.get(service.item)
    seal = seals.get(service.item)
    if seal is not None and seal.fitted is not None:
        filed = datetime.combine(seal.fitted, time(), UTC)
        base = filed if base is None else max(base, filed)
    if base is None:
        return None
    since = [run for run in use.runs if run.end > base]
    closed = use.closings.get(seal.id, ()) if seal is not None else ()
    return Counts(
        since=base.date(),
        hours=sum(run.hours for run in since),
        harsh=sum(run.hours for run in since if run.salt),
        runs=len(since),
        closings=sum(1 for at in closed if at > base),
        wet_days=len({run.end.date() for run in since}),
    )


def lately(use: Use, today: date, seals: Mapping[str, SealEntry]) -> Lately:
    """What was used in the window the recent rate rests on: 60 days, or back to the tenth last outing, at most 180."""
    outings = {(run.day, run.site): (today - run.end.date()).days for run in use.runs}
    days = window_days([float(max(0, ago)) for ago in outings.values()])
    inside = [run for run in use.runs if (today - run.end.date()).days <= days]
    closings = {
        item: sum(1 for at in use.closings.get(seal.id, ()) if (today - at.date()).days <= days)
        for item, seal in seals.items()
    }
    return Lately(
        days=days,
        outings=len({(run.day, run.site) for run in inside}),
        hours=sum(run.hours for run in inside),
        harsh=sum(run.hours for run in inside if run.salt),
        runs=len(inside),
        wet_days=len({run.end.date() for run in inside}),
        closings=MappingProxyType(closings),
    )


def planned(minutes: float | None, use: Use, water: str | None, today: date) -> Planned | None:
    """What the planned run would add; None where no run is planned. ``minutes`` of the plan, ``water`` of the day."""
    if minutes is None:
        return None
    wet = any(run.end.date() == today for run in use.runs)
    return Planned(SHAFT_SHARE * minutes / 60.0, 1, 0 if wet else 1, 1, water in SALT)


def care(
    events: Sequence[Event],
    history: History,
    boat: str,
    sheet: Sheet,
    report: ProofReport,
    now: datetime,
    plan: float | None = None,
    water: str | None = None,
) -> Care:
    """What is due for a boat at a moment: the same rows for every screen, sheet and script.

    ``events`` and ``history`` of this boat and of none, what lies after ``now`` left out; ``plan`` the minutes of a run
    planned today.
    """
    use = used([event for event in events if event.at <= now], history, boat)
    facts = upkeep_facts(sheet, use.serviced)
    services, faults = schedule(facts)
    seals = {seal_item(seal.id): seal for seal in facts.seals}
    today = now.astimezone(UTC).date()
    counts = {s.item: found for s in services if (found := counts_of(s, use, seals)) is not None}
    proofs = {s.item: _proof(report, s.item) for s in services if s.proof}
    rows = due_rows(
        services,
        counts,
        today,
        lately=lately(use, today, seals),
        plan=planned(plan, use, water, today),
        proofs=proofs,
    )
    return Care(rows, services, faults, use)


def _proof(report: ProofReport, item: str) -> ProofState:
    found = report.get(item)
    return ProofState(found.stands, found.because or "never")
