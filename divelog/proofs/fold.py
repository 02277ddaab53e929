"""The fold: (events of a boat, her facts, a moment) -> how every proof stands. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from operator import itemgetter
from types import MappingProxyType

from divelog.journal.events import Event
from divelog.journal.payload import stops_launch
from divelog.proofs import table
from divelog.proofs.effects import Effects, run_ends
from divelog.proofs.model import Effect, OpenDefect, Past, Proof, ProofReport, State
from divelog.proofs.outing import Outings, midnight
from divelog.proofs.settled import OF_USE, Settled, cut_at
from divelog.proofs.table import DRY_DEPTH, PROOFS, RULES, BoatFacts, Rule

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

    def keep_deeper(self) -> None:
        """Let go of each that is no deeper than one before it: where none ages, it will never be the deepest."""
        kept: list[tuple[float, float, str]] = []
        for each in self.standing:
            if not kept or each[0] > kept[-1][0]:
                kept.append(each)
        self.standing = kept

    def value(self) -> tuple[float, str] | None:
        best = max(self.standing, default=None, key=lambda d: d[0])
        return (best[0], best[2]) if best is not None else None


def fold_proofs(
    events: Sequence[Event], facts: BoatFacts, question: Question, settled: Settled | None = None
) -> ProofReport:
    """How every proof of a boat stands at a moment.

    ``events``: of this boat and of none, after corrections, any order. An event that took place after ``now`` is not
    there yet. ``settled``: what is kept of the first of them, by ``settle``; the answer is the same without it.
    """
    now = question.now.astimezone(UTC).timestamp()
    if settled is not None and not settled.serves(events, rules_of(facts), now):
        settled = None
    late = events if settled is None else events[settled.count :]
    ordered = in_time(late, now)
    walk = _Walk(ordered, facts, now, settled)
    outings = Outings(ordered) if settled is None else Outings(ordered, settled.signs)
    doubt = clock_doubt(late, question, settled.newest if settled is not None else None)
    jumps = _jumps(ordered, settled)
    claimed = _claimed(ordered, settled)
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
        open_defects(ordered, settled),
        doubt,
    )


def in_time(events: Iterable[Event], now: float) -> list[Event]:
    """Events that this program knows and that took place by ``now`` (UTC seconds), in order of time."""
    placed = [(at, e.id, e) for e in events if e.known and (at := e.seconds) <= now]
    placed.sort(key=itemgetter(0, 1))
    return [e for _, _, e in placed]


def rules_of(facts: BoatFacts) -> tuple[bool, bool]:
    """What of a boat decides the effects of events: whether a memory a boat is said, whether anything is printed."""
    return facts.many_memories, facts.printed


def settle(events: Sequence[Event], facts: BoatFacts) -> Settled | None:
    """What is to be kept of all but the last week of a log; None where it is short, or where it cannot be cut.

    ``events`` in order of time, as a loaded journal has them.
    """
    cut = cut_at(events)
    if cut is None:
        return None
    count, until = cut
    early = [event for event in events[:count] if event.known]
    walk = _Walk(early, facts, until)
    outings = Outings(early)
    ends: dict[tuple[str, str], tuple[float, str, str]] = {}
    oldest = float("inf")
    for name, line in walk.lines.items():
        given = line.given
        if given is None:
            continue
        oldest = min(oldest, given.stamp.seconds)
        rule = RULES.get(name[0])
        if rule is not None and rule.outing and given.local is not None and midnight(given.local) <= until:
            ends[name] = outings.end(given.stamp.seconds, given.local)
    stops, closed = _stops(early), _closed(early)
    ids = {event.id for event in early}
    return Settled(
        events=events,
        count=count,
        rules=rules_of(facts),
        past=walk.effects.left(early, until),
        lines=tuple((*name, line.given, line.spent) for name, line in walk.lines.items()),
        ends=MappingProxyType(ends),
        depths=tuple(walk.depths.standing),
        run_ends=tuple(each for each in walk.run_ends if each[0] > oldest),
        signs=outings.since(until - OF_USE),
        jumps=_jumps(early, None),
        claimed=_claimed(early, None),
        stops=tuple(each for each in stops if each.event not in closed),
        closed=frozenset(closed - ids),
        newest=max((e.when.timestamp() for e in events[:count] if e.what != "corrected"), default=None),
        asked=frozenset(walk.effects.waiting(early)),
    )


class _Walk:
    """Walks all effects in order."""

    def __init__(
        self, events: Sequence[Event], facts: BoatFacts, now: float, settled: Settled | None = None
    ) -> None:
        self.lines: dict[tuple[str, str], _Line] = {}
        self.depths = _Depths()
        self.run_ends = run_ends(events)
        self.ends: Mapping[tuple[str, str], tuple[float, str, str]] = {}
        self.now = now
        self.printed = facts.printed
        past = Past()
        if settled is not None:
            past = settled.past
            self.lines = {(proof, item): _Line(given, spent) for proof, item, given, spent in settled.lines}
            self.depths = _Depths(list(settled.depths))
            self.run_ends = [*settled.run_ends, *self.run_ends]
            self.ends = settled.ends
        self.effects = Effects(events, facts, now, past)
        for effect in self.effects.found:
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
            if kind != proof or (item and which != item) or line.spent is not None:
                continue
            if line.given is None or not effect.is_before(line.given):
                line.spent = effect

    def _take_depth(self, effect: Effect) -> None:
        if effect.stamp.gives:
            if effect.depth is not None:
                self._age_depths(effect.stamp.seconds)
                self.depths.standing.append((effect.depth, effect.stamp.seconds, effect.stamp.event))
        elif effect.depth is None:
            self.depths.standing.clear()
        else:
            kept = effect.depth
            self.depths.standing = [(min(d, kept), at, event) for d, at, event in self.depths.standing]
        if not self.printed:
            self.depths.keep_deeper()


def _items(rule: Rule, walk: _Walk, facts: BoatFacts) -> tuple[str, ...]:
    if not rule.item:
        return ("",)
    asked = facts.packs if rule.item == "pack" else facts.bottles
    given = tuple(item for kind, item in walk.lines if kind == rule.proof and item)
    return tuple(dict.fromkeys((*asked, *given))) or ("",)


def _state(
    rule: Rule, item: str, walk: _Walk, outings: Outings, facts: BoatFacts, question: Question, doubt: str,
    jumps: Iterable[tuple[str | None, float]], claimed: tuple[float, frozenset[str]],
) -> Proof:  # fmt: skip
    ashore = bool(rule.item and item) and item not in (facts.packs if rule.item == "pack" else facts.bottles)
    required = not ashore and not (facts.enclosed_site and rule.proof in ("range", "full_power"))
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
        over = walk.ends.get((rule.proof, given.item))
        settled = over is not None and at <= walk.effects.past.until
        when, because, event = over if over is not None and settled else outings.end(at, given.local)
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


def clock_doubt(events: Sequence[Event], question: Question, before: float | None = None) -> str:
    """Why the clock cannot be believed, or an empty text; ``before``: when the newest of other lines was written."""
    if question.now.astimezone(UTC).year < 2015:
        return "the clock says a year before 2015"
    if question.named:
        return ""
    newest = max((e.when.timestamp() for e in events if e.what != "corrected"), default=before)
    if newest is not None and before is not None:
        newest = max(newest, before)
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


def _jumps(events: Sequence[Event], settled: Settled | None) -> tuple[tuple[str | None, float], ...]:
    """Jumps of the clock: which start of the machine, and when (UTC seconds)."""
    found = tuple((e.boot, e.seconds) for e in events if e.what == "clock.jumped" and e.known and _jumped(e))
    return found if settled is None else (*settled.jumps, *found)


def _jump_after(jumps: Iterable[tuple[str | None, float]], given: Effect) -> bool:
    return any(boot and boot == given.boot and at > given.stamp.seconds for boot, at in jumps)


def _claimed(events: Sequence[Event], settled: Settled | None) -> tuple[float, frozenset[str]]:
    received = [e for e in events if e.what == "boat.received" and e.known]
    if not received:
        return (0.0, frozenset()) if settled is None else settled.claimed
    named = received[-1].payload().get("claimed")
    names = frozenset(str(name) for name in named) if isinstance(named, list) else frozenset()
    return received[-1].seconds, names


def open_defects(events: Sequence[Event], settled: Settled | None = None) -> tuple[OpenDefect, ...]:
    """Defects that stop launch, opened and not closed."""
    closed: set[str] = _closed(events)
    found = _stops(events)
    if settled is not None:
        closed |= settled.closed
        found = [*settled.stops, *found]
    return tuple(each for each in found if each.event not in closed)


def _closed(events: Iterable[Event]) -> set[str]:
    return {str(e.payload().get("of")) for e in events if e.what == "defect.closed" and e.known}


def _stops(events: Iterable[Event]) -> list[OpenDefect]:
    return [OpenDefect(e.id, e.at, defect_words(e)) for e in events if stops_launch(e)]


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
