"""The fold: (events of a boat, her facts, a moment) -> how every proof stands. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime

from divelog.journal.events import Event
from divelog.journal.payload import stops_launch
from divelog.proofs import table
from divelog.proofs.effects import Effects
from divelog.proofs.model import Effect, OpenDefect, Proof, ProofReport, State
from divelog.proofs.outing import Outings
from divelog.proofs.table import DRY_DEPTH, PROOFS, BoatFacts, Rule

_CLOCK_SLACK = 300.0


@dataclass(frozen=True, slots=True)
class Question:
    """The moment asked about: wall clock, and the clock that counts sleep where it is known."""

    now: datetime
    up: float | None = None
    boot: str | None = None
    named: bool = False
    """A person named this moment: that the log goes on after it says nothing against the clock."""


@dataclass(slots=True)
class _Line:
    """One (proof, item): its last giving and the first spending after it."""

    given: Effect | None = None
    spent: Effect | None = None


@dataclass(slots=True)
class _Depths:
    """Standing dry depths: depth, when it was given, and by which event."""

    standing: list[tuple[float, float, str]] = field(default_factory=list)

    def value(self) -> tuple[float, str] | None:
        best = max(self.standing, default=None, key=lambda d: d[0])
        return (best[0], best[2]) if best is not None else None


def fold_proofs(events: Sequence[Event], facts: BoatFacts, question: Question) -> ProofReport:
    """How every proof of a boat stands at a moment.

    ``events``: of this boat and of none, after corrections, any order. An event that took place after ``now`` is not
    there yet.
    """
    now = question.now.astimezone(UTC).timestamp()
    seen = [e for e in events if e.known and e.at.timestamp() <= now]
    ordered = sorted(seen, key=lambda e: (e.at.timestamp(), e.id))
    walk = _Walk(ordered, facts, now)
    outings = Outings(ordered)
    doubt = clock_doubt(events, question)
    jumps = [e for e in ordered if e.what == "clock.jumped" and _jumped(e)]
    claimed = _claimed(ordered)
    proofs = [
        _state(rule, item, walk, outings, facts, question, doubt, jumps, claimed)
        for rule in PROOFS
        for item in _items(rule, walk, facts)
    ]
    depth = walk.depths.value()
    return ProofReport(
        tuple(proofs),
        depth[0] if depth is not None else None,
        depth[1] if depth is not None else "",
        open_defects(ordered),
        doubt,
    )


class _Walk:
    """Walks all effects in order."""

    def __init__(self, events: Sequence[Event], facts: BoatFacts, now: float) -> None:
        self.lines: dict[tuple[str, str], _Line] = {}
        self.depths = _Depths()
        self.run_ends = sorted(
            (e.at.timestamp() + e.half_width, e.id) for e in events if e.what == "run.ended" and e.known
        )
        self.now = now
        self.printed = facts.printed
        for effect in Effects(events, facts, now).found:
            if effect.stamp.seconds > now and "~" in effect.stamp.event:
                continue  # an idle instant still to come
            self._take(effect)
        self._age_depths(now)

    def _age_depths(self, at: float) -> None:
        if self.printed:
            self.depths.standing = [d for d in self.depths.standing if at < d[1] + table.PRINTED_SECONDS]

    def _take(self, effect: Effect) -> None:
        if effect.proof == DRY_DEPTH:
            self._take_depth(effect)
        elif effect.proof == "dry_long?":
            self._age_depths(effect.stamp.seconds)
            proved = self.depths.value()
            if effect.depth is None or proved is None or effect.depth > proved[0] + 1e-9:
                self._spend("dry_long", "", effect)
        elif effect.stamp.gives:
            self.lines[effect.proof, effect.item] = _Line(effect)
        else:
            self._spend(effect.proof, effect.item, effect)

    def _spend(self, proof: str, item: str, effect: Effect) -> None:
        for (kind, which), line in self.lines.items():
            if kind == proof and (not item or which == item) and line.spent is None:
                line.spent = effect

    def _take_depth(self, effect: Effect) -> None:
        if effect.stamp.gives:
            if effect.depth is not None:
                self.depths.standing.append((effect.depth, effect.stamp.seconds, effect.stamp.event))
        elif effect.depth is None:
            self.depths.standing.clear()
        else:
            kept = effect.depth
            self.depths.standing = [(min(d, kept), at, event) for d, at, event in self.depths.standing]


def _items(rule: Rule, walk: _Walk, facts: BoatFacts) -> tuple[str, ...]:
    if not rule.item:
        return ("",)
    asked = facts.packs if rule.item == "pack" else facts.bottles
    given = tuple(item for kind, item in walk.lines if kind == rule.proof and item)
    return tuple(dict.fromkeys((*asked, *given))) or ("",)


def _state(
    rule: Rule, item: str, walk: _Walk, outings: Outings, facts: BoatFacts, question: Question, doubt: str,
    jumps: Sequence[Event], claimed: tuple[float, frozenset[str]],
) -> Proof:  # fmt: skip
    required = not (facts.enclosed_site and rule.proof in ("range", "full_power"))
    if rule.proof not in facts.fitted:
        return Proof(rule.proof, item, State.NOT_FITTED, required=False)
    line = walk.lines.get((rule.proof, item))
    received, named = claimed
    given = line.given if line is not None else None
    name = f"{rule.proof}:{item}" if item else rule.proof
    if (name in named or rule.proof in named) and (given is None or given.stamp.seconds <= received):
        since = datetime.fromtimestamp(received, UTC)
        return Proof(rule.proof, item, State.CLAIMED, since, "", "claimed by the last owner", required)
    if line is None or given is None:
        return Proof(rule.proof, item, State.NEVER, required=required)
    end = _end(rule, given, line, walk, outings, facts)
    if end is not None and _over(end, given, walk.now, question):
        seconds, because, event = end
        since = datetime.fromtimestamp(seconds, UTC)
        return Proof(rule.proof, item, State.TO_PROVE, since, event, because, required)
    timed = rule.outing or rule.seconds is not None or rule.season
    if timed and (doubt or _jump_after(jumps, given)):
        since = datetime.fromtimestamp(walk.now, UTC)
        return Proof(rule.proof, item, State.TO_PROVE, since, "", "the clock was changed", required)
    since = datetime.fromtimestamp(given.stamp.seconds, UTC)
    return Proof(rule.proof, item, State.PROVED, since, given.stamp.event, "", required)


def _end(
    rule: Rule, given: Effect, line: _Line, walk: _Walk, outings: Outings, facts: BoatFacts
) -> tuple[float, str, str] | None:
    """The earliest of everything that ends a giving: (UTC seconds, why, event). Equal instants: the event."""
    ends: list[tuple[float, int, str, str]] = []
    if line.spent is not None:
        ends.append((line.spent.stamp.seconds, 0, line.spent.because, line.spent.stamp.event.split("~")[0]))
    at = given.stamp.seconds
    own_seconds, own_runs = next(((s, r) for name, s, r in facts.shorter if name == rule.proof), (None, None))
    seconds = min((s for s in (rule.seconds, own_seconds) if s is not None), default=None)
    runs = min((r for r in (rule.runs, own_runs) if r is not None), default=None)
    if rule.outing and given.local is not None:
        when, because, event = outings.end(at, given.local)
        ends.append((when, 1, because, event))
    if seconds is not None:
        ends.append((at + seconds, 2, f"older than {_period(seconds)}", ""))
    if runs is not None:
        after = [r for r in walk.run_ends if r[0] > at]
        if len(after) >= runs:
            ends.append((after[runs - 1][0], 2, f"{runs} runs since", after[runs - 1][1]))
    if rule.season:
        ends.append((_season_after(at, facts.season), 2, "a new season", ""))
    if not ends:
        return None
    when, _, because, event = min(ends)
    return when, because, event


def _over(end: tuple[float, str, str], given: Effect, now: float, question: Question) -> bool:
    when, because, event = end
    if event or because.startswith("outing"):
        return when <= now or bool(event and not because.startswith("outing"))
    if (
        given.up is not None
        and question.up is not None
        and given.boot
        and given.boot == question.boot
        and because.startswith("older")
    ):
        return question.up - given.up >= when - given.stamp.seconds
    return when <= now


def _period(seconds: float) -> str:
    return f"{seconds / 3600:g} h" if seconds <= table.DAY else f"{seconds / table.DAY:g} d"


def _season_after(at: float, season: tuple[int, int]) -> float:
    moment = datetime.fromtimestamp(at, UTC)
    month, day = season
    start = datetime(moment.year, month, day, tzinfo=UTC)
    if start.timestamp() <= at:
        start = datetime(moment.year + 1, month, day, tzinfo=UTC)
    return start.timestamp()


def clock_doubt(events: Sequence[Event], question: Question) -> str:
    """Why the clock cannot be believed, or an empty text."""
    if question.now.astimezone(UTC).year < 2015:
        return "the clock says a year before 2015"
    if question.named:
        return ""
    newest = max((e.when.timestamp() for e in events if e.what != "corrected"), default=None)
    if newest is not None and question.now.timestamp() < newest - _CLOCK_SLACK:
        return "the log holds lines from later than now"
    return ""


def _jumped(event: Event) -> bool:
    data = event.payload()
    try:
        before = datetime.fromisoformat(str(data.get("before")))
        after = datetime.fromisoformat(str(data.get("after")))
        return abs((after - before).total_seconds()) > _CLOCK_SLACK
    except (ValueError, TypeError):
        return True


def _jump_after(jumps: Sequence[Event], given: Effect) -> bool:
    return any(j.boot and j.boot == given.boot and j.at.timestamp() > given.stamp.seconds for j in jumps)


def _claimed(events: Sequence[Event]) -> tuple[float, frozenset[str]]:
    received = [e for e in events if e.what == "boat.received" and e.known]
    if not received:
        return 0.0, frozenset()
    named = received[-1].payload().get("claimed")
    names = frozenset(str(name) for name in named) if isinstance(named, list) else frozenset()
    return received[-1].at.timestamp(), names


def open_defects(events: Sequence[Event]) -> tuple[OpenDefect, ...]:
    """Defects that stop launch, opened and not closed."""
    closed = {str(e.payload().get("of")) for e in events if e.what == "defect.closed" and e.known}
    found = []
    for event in events:
        if not event.known or event.id in closed:
            continue
        if stops_launch(event):
            found.append(OpenDefect(event.id, event.at, defect_words(event)))
    return tuple(found)


def defect_words(event: Event) -> str:
    """An open defect in a few words."""
    data = event.payload()
    if event.what == "defect.opened":
        return str(data.get("defect", "a defect"))
    if event.what == "water.found":
        return "flooded" if data.get("flooded") is True else "water inside"
    if event.what == "incident":
        return str(data.get("step", "an incident"))
    return "failsafe: a channel was wrong"
