"""What is due, from counts alone: pure functions that the log feeds.

The log counts; this file judges. Order of rows: outside, too close, to prove, within, unknown, and within each
by the share used.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from enum import Enum
from math import floor
from types import MappingProxyType

from divelog.physics import service as physics
from divelog.physics.errors import OutOfRangeError
from divelog.physics.service import DAYS, Counter, Due, Standing
from divelog.upkeep.intervals import CLOSINGS, HOURS, RUNS, UNIT, WET_DAYS, Allowed
from divelog.upkeep.schedule import Service

_NO_CLOSINGS: Mapping[str, int] = MappingProxyType({})
_NO_PROOFS: Mapping[str, ProofState] = MappingProxyType({})


class DueVerdict(Enum):
    """How an item stands; the words are those of every status."""

    OUTSIDE = "outside"
    TOO_CLOSE = "too_close"
    TO_PROVE = "to_prove"
    WITHIN = "within"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Counts:
    """What happened to one item since its last service.

    since      UTC date of the newest service (or fitting) of that item; None: never written down
    hours      shaft hours since (a run without them counts 0.8 of its length)
    harsh      how many of those were in salt or grit: they count twice
    runs, closings, wet_days   ended runs, closings of its closure, days in the water
    """

    since: date | None = None
    hours: float = 0.0
    harsh: float = 0.0
    runs: int = 0
    closings: int = 0
    wet_days: int = 0


@dataclass(frozen=True, slots=True)
class Lately:
    """What was used in the window the recent rate rests on: its length in days, outings, and counts.

    The window is `physics.service.window_days` of the days since each outing. closings by item, where they differ.
    """

    days: float
    outings: int
    hours: float = 0.0
    harsh: float = 0.0
    runs: int = 0
    wet_days: int = 0
    closings: Mapping[str, int] = field(default_factory=lambda: _NO_CLOSINGS)


@dataclass(frozen=True, slots=True)
class Planned:
    """What the planned run would add. Its shaft hours are 0.8 of its length where nobody knows better."""

    hours: float = 0.0
    runs: int = 1
    wet_days: int = 1
    closings: int = 0
    harsh: bool = False


@dataclass(frozen=True, slots=True)
class ProofState:
    """Whether a proof stands, and what spent it (``never`` where nobody gave it)."""

    stands: bool
    because: str = ""


@dataclass(frozen=True, slots=True)
class Use:
    """One counter of a row."""

    counter: str
    used: float
    allowed: float
    unit: str


@dataclass(frozen=True, slots=True)
class DueRow:
    """One item: the counter that binds with what is used and allowed, the verdict, and when.

    used is None where no service is written down. share is the largest share used (0 where unknown). due is a
    day, with the counter that names it; soonest and latest are to be read, not to be reckoned with.
    """

    item: str
    title: str
    counter: str
    used: float | None
    allowed: float
    unit: str
    verdict: DueVerdict
    share: float = 0.0
    over: float = 0.0
    due: date | None = None
    due_by: str = ""
    soonest: date | None = None
    latest: date | None = None
    uses: tuple[Use, ...] = ()
    because: str = ""
    proof: bool = False


_ORDER = (
    DueVerdict.OUTSIDE,
    DueVerdict.TOO_CLOSE,
    DueVerdict.TO_PROVE,
    DueVerdict.WITHIN,
    DueVerdict.UNKNOWN,
)
NO_SERVICE = "no service written down"
NO_FITTING = "no date it was fitted: counts as due"
FUTURE = "its last service lies in the future: is the date right?"


def _used(counts: Counts, counter: str, today: date) -> float:
    if counter == DAYS:
        return float((today - counts.since).days) if counts.since is not None else 0.0
    if counter == HOURS:
        return physics.harsh_use(counts.hours, counts.harsh)
    return float({RUNS: counts.runs, CLOSINGS: counts.closings, WET_DAYS: counts.wet_days}[counter])


def _rate(lately: Lately | None, item: str, counter: str) -> float | None:
    if lately is None or lately.days <= 0.0:
        return None
    closings = lately.closings.get(item, 0)
    total = {
        HOURS: lately.hours + lately.harsh,
        RUNS: float(lately.runs),
        CLOSINGS: float(closings),
        WET_DAYS: float(lately.wet_days),
        DAYS: lately.days,
    }[counter]
    return total / lately.days


def _planned(plan: Planned | None, counter: str) -> float:
    if plan is None or counter == DAYS:
        return 0.0
    hours = plan.hours * (physics.HARSH if plan.harsh else 1.0)
    return {
        HOURS: hours,
        RUNS: float(plan.runs),
        CLOSINGS: float(plan.closings),
        WET_DAYS: float(plan.wet_days),
    }[counter]


def _counter(
    service: Service,
    allowed: Allowed,
    counts: Counts,
    today: date,
    lately: Lately | None,
    plan: Planned | None,
) -> Counter:
    return Counter(
        name=allowed.counter,
        used=_used(counts, allowed.counter, today),
        allowed=allowed.most,
        rate=_rate(lately, service.item, allowed.counter),
        outings=lately.outings if lately is not None else 0,
        planned=_planned(plan, allowed.counter),
    )


def _without(service: Service, because: str, verdict: DueVerdict) -> DueRow:
    first = service.interval[0]
    return DueRow(
        item=service.item,
        title=service.title,
        counter=first.counter,
        used=None,
        allowed=first.most,
        unit=first.unit,
        verdict=verdict,
        because=because,
        proof=service.proof,
    )


def _verdict(service: Service, found: Due, proof: ProofState | None) -> tuple[DueVerdict, str]:
    if proof is not None and not proof.stands:
        return DueVerdict.TO_PROVE, proof.because or "never"
    if found.standing is Standing.DUE:
        if service.proof:
            return DueVerdict.TO_PROVE, f"over {found.binds.allowed:g} {UNIT[found.binds.name]}"
        return DueVerdict.OUTSIDE, ""
    return (DueVerdict.TOO_CLOSE if found.standing is Standing.SOON else DueVerdict.WITHIN), ""


def due_row(
    service: Service,
    counts: Counts | None,
    today: date,
    *,
    lately: Lately | None = None,
    plan: Planned | None = None,
    proof: ProofState | None = None,
) -> DueRow:
    """How one item stands today (a UTC date). No service written down is unknown, never nothing used.

    A proof that does not stand is to prove, whatever its counters; a service at its interval is outside, not past
    it. Counts that fall (a fault of the log) are unknown, in words.
    """
    if counts is None or counts.since is None:
        if service.proof:
            because = proof.because if proof is not None and proof.because else "never"
            return _without(service, because, DueVerdict.TO_PROVE)
        return _without(service, NO_FITTING if service.seal else NO_SERVICE, DueVerdict.UNKNOWN)
    if counts.since > today:
        return _without(service, FUTURE, DueVerdict.UNKNOWN)
    try:
        counters = [_counter(service, each, counts, today, lately, plan) for each in service.interval]
        found = physics.due(counters)
    except OutOfRangeError as fault:
        return _without(service, str(fault), DueVerdict.UNKNOWN)
    verdict, because = _verdict(service, found, proof)
    binds, forecast = found.binds, found.forecast
    if verdict is DueVerdict.TO_PROVE:
        forecast = None
    return DueRow(
        item=service.item,
        title=service.title,
        counter=binds.name,
        used=binds.used,
        allowed=binds.allowed,
        unit=UNIT[binds.name],
        verdict=verdict,
        share=found.share,
        over=found.over,
        due=forecast.on(today) if forecast is not None else None,
        due_by=forecast.counter if forecast is not None else "",
        soonest=_day(today, forecast.soonest) if forecast is not None else None,
        latest=_day(today, forecast.latest) if forecast is not None else None,
        uses=tuple(Use(each.name, each.used, each.allowed, UNIT[each.name]) for each in counters),
        because=because,
        proof=service.proof,
    )


def _day(today: date, days: float | None) -> date | None:
    return None if days is None else today + timedelta(days=floor(days))


def due_rows(
    services: Iterable[Service],
    counts: Mapping[str, Counts],
    today: date,
    *,
    lately: Lately | None = None,
    plan: Planned | None = None,
    proofs: Mapping[str, ProofState] = _NO_PROOFS,
) -> tuple[DueRow, ...]:
    """Every item of a schedule, worst first."""
    rows = (
        due_row(each, counts.get(each.item), today, lately=lately, plan=plan, proof=proofs.get(each.item))
        for each in services
    )
    return tuple(sorted(rows, key=lambda row: (_ORDER.index(row.verdict), -row.share)))
