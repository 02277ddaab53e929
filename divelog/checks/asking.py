"""Which line of a walk is asked now, and how every other one stands.

A line that was rightly answered stays so until something spends a proof it gave; a line of closing up starts again with
its phase after a long break, or once she was opened.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime

from divelog.checks.applies import applies
from divelog.checks.around import Around
from divelog.checks.model import CheckList, Line, Phase
from divelog.checks.state import Mark, Record, Walk, run_ended_at, seconds_of
from divelog.clock import span
from divelog.journal.events import Event
from divelog.journal.payload import text, texts
from divelog.proofs.effects import Effects, sheet_of
from divelog.proofs.outing import Outings
from divelog.proofs.table import CLOSING_UP, RULES, BoatFacts

LONG_BREAK = 600.0
"""Seconds away after which closing up starts again."""

_RIGHT_VERDICTS = (None, "within")


def is_closing(phase: Phase) -> bool:
    """Whether she is closed in this phase."""
    return any(name in CLOSING_UP for line in phase.lines for name in line.gives)


def with_item(proof: str, around: Around) -> str | None:
    """A proof's name with its item, as ``pack:D2``; None where the item is not known."""
    item = RULES[proof].item
    if not item:
        return proof
    path = "plan.pack" if item == "pack" else "boat.ballast.gas.bottle"
    name = around.word(path)
    if name is None and item == "pack":
        packs = around.words_at("boat.power.drive_packs")
        name = packs[0] if packs else None
    return f"{proof}:{name}" if name else None


@dataclass(frozen=True, slots=True)
class Spent:
    """What has been spent since a walk was begun, and when closing up last started again."""

    effects: tuple[tuple[str, str, float, str], ...]
    """Proof, item (empty: every one), UTC seconds, event."""
    restarted: float
    """UTC seconds of the last opening or long break; 0 where there was none."""
    restarting: str = ""
    """The event of it."""
    sheets: Mapping[str, str] = field(default_factory=dict)
    """Event -> the sheet of paper it was typed in from; those of one sheet keep its order."""

    def since(self, proof: str, record: Record) -> bool:
        """Whether something spent a proof after a line was answered."""
        own = next((item for name, _, item in (g.partition(":") for g in record.gives) if name == proof), "")
        return any(
            name == proof and (not item or not own or item == own) and self._after(seconds, event, record)
            for name, item, seconds, event in self.effects
        )

    def _after(self, seconds: float, event: str, record: Record) -> bool:
        sheet = self.sheets.get(event)
        if sheet is not None and sheet == self.sheets.get(record.event):
            return event > record.event
        return (seconds, event) > (record.at.timestamp(), record.event)

    def started_again(self, record: Record) -> bool:
        """Whether closing up started again after a line was answered; of one instant the later event is the later."""
        return (self.restarted, self.restarting) >= (record.at.timestamp(), record.event)


def spent_since(walk: Walk, around: Around) -> Spent:
    """What the events since the walk's start have spent."""
    if walk.began is None:
        return Spent((), 0.0)
    found: Spent | None = around.kept.get(f"spent since {walk.check}")
    if found is None:
        found = around.kept[f"spent since {walk.check}"] = _spent(walk, walk.began, around)
    return found


def _spent(walk: Walk, start: datetime, around: Around) -> Spent:
    began = start.astimezone(UTC)
    since: list[Event] = []
    before: dict[str, Event] = {}
    for event in reversed(around.events):
        if event.at >= began:
            since.append(event)
        elif event.what in ("day.opened", "plan.set"):
            before.setdefault(event.what, event)
        if event.at < began and len(before) == 2:
            break
    memories = around.word("boat.radio.memories") != "false"
    found = Effects(
        [*before.values(), *reversed(since)], BoatFacts(frozenset(), many_memories=memories)
    ).found
    mine = _own_fails(walk, since)
    effects = tuple(
        (e.proof, e.item, e.stamp.seconds, e.stamp.event)
        for e in found
        if not e.stamp.gives
        and e.stamp.seconds >= began.timestamp()
        and "~" not in e.stamp.event
        and (e.stamp.event, e.proof) not in mine
    )
    restarted, restarting = max(((_restart(e, walk), e.id) for e in since), default=(0.0, ""))
    return Spent(effects, restarted, restarting, {e.id: sheet for e in since if (sheet := sheet_of(e))})


def _own_fails(walk: Walk, events: list[Event]) -> set[tuple[str, str]]:
    """Proofs that wrong answers of this walk took away: the other lines of the proof were right and stay so."""
    found: set[tuple[str, str]] = set()
    for event in events:
        if event.what == "check.answered":
            data = event.payload()
            if text(data.get("check")) == walk.check:
                found.update((event.id, name.partition(":")[0]) for name in texts(data.get("fails")))
    return found


def _restart(event: Event, walk: Walk) -> float:
    if event.what == "opened" and event.boat in (walk.slug, None):
        return event.at.timestamp()
    if event.what == "check.resumed":
        data = event.payload()
        away = seconds_of(data.get("seconds"))
        if text(data.get("check")) == walk.check and away is not None and away > LONG_BREAK:
            return event.at.timestamp()
    return 0.0


@dataclass(frozen=True, slots=True)
class LineState:
    """How one line stands, and whether it is asked."""

    line: Line
    phase: Phase
    mark: Mark | None
    """None: nothing is known of it yet."""
    asked: bool
    since: datetime | None = None
    """When it was answered, or since when its proofs stand."""


def line_states(walk: Walk, around: Around) -> tuple[LineState, ...]:
    """Every line that applies, in order."""
    spent = spent_since(walk, around)
    return tuple(
        _state(walk, around, spent, line, phase)
        for phase in walk.checklist.phases
        for line in phase.lines
        if applies(line, around, walk.asking)
    )


def _state(walk: Walk, around: Around, spent: Spent, line: Line, phase: Phase) -> LineState:
    record = walk.record(line.id)
    if record is not None:
        if not record.right:
            return LineState(line, phase, record.mark, False, record.at)
        if not stays(record, line, phase, spent):
            return LineState(line, phase, Mark.TO_PROVE if line.gives else None, True, record.at)
        return LineState(line, phase, record.mark, False, record.at)
    if line.always or not walk.checklist.only_undone:
        return LineState(line, phase, None, True)
    if line.gives:
        return _standing(line, phase, around)
    before = answered_in_outing(walk, line, around)
    return LineState(line, phase, Mark.DONE if before else None, before is None, before)


def stays(record: Record, line: Line, phase: Phase, spent: Spent) -> bool:
    """Whether a right answer still counts."""
    if line.gives:
        return not any(spent.since(proof, record) for proof in line.gives)
    return not is_closing(phase) or not spent.started_again(record)


def _standing(line: Line, phase: Phase, around: Around) -> LineState:
    proofs = []
    for name in line.gives:
        whole = with_item(name, around)
        proofs.append(around.report.get(whole or name))
    if proofs and all(proof.stands for proof in proofs):
        since = max((p.since for p in proofs if p.since is not None), default=None)
        return LineState(line, phase, Mark.DONE, False, since)
    return LineState(line, phase, None, True)


_LINE_SAID = ("check.answered", "check.skipped")
"""What a line was last said to be: skipped after a right answer, it is asked anew."""


def answered_in_outing(walk: Walk, line: Line, around: Around) -> datetime | None:
    """When a line that gives nothing was rightly answered before in this outing; None where it was not."""
    began = walk.began or around.moment.wall
    outings: Outings | None = None
    for event in reversed(around.recent):
        if event.what not in _LINE_SAID or not event.known or event.at >= began:
            continue
        data = event.payload()
        if text(data.get("list")) != walk.checklist.list or text(data.get("line")) != line.id:
            continue
        if event.what == "check.skipped" or data.get("verdict") not in _RIGHT_VERDICTS:
            return None
        if outings is None:
            outings = Outings(around.recent)
        end, _, _ = outings.end(event.at.timestamp(), event.local)
        return event.local if end > around.moment.wall.timestamp() else None
    return None


def current(walk: Walk, around: Around, states: tuple[LineState, ...] | None = None) -> Line | None:
    """The line asked now; None where nothing is left to ask, or the walk is over."""
    if walk.ended:
        return None
    states = line_states(walk, around) if states is None else states
    if walk.at or walk.partial_line:
        chosen = walk.checklist.line(walk.at or walk.partial_line)
        if chosen is not None and any(one.line.id == chosen.id for one in states):
            return chosen
    open_ = [one.line for one in states if one.asked]
    ready = [line for line in open_ if rest_left(walk, line, around) <= 0]
    if ready or open_:
        return (ready or open_)[0]
    return next((line for line in again_lines(walk, states)), None)


def again_lines(walk: Walk, states: tuple[LineState, ...]) -> tuple[Line, ...]:
    """Lines to ask once more before launch: those that give nothing, unless they were the last to be asked.

    Those that give a proof are asked again by themselves once it is spent.
    """
    if not walk.checklist.before_run:
        return ()
    firsts: dict[str, int] = {}
    lasts: dict[str, int] = {}
    for place, identity in enumerate(walk.trail):
        firsts.setdefault(identity, place)
        lasts[identity] = place
    again = {one.line.id for one in states if one.line.again and not one.line.gives}
    newest = max((place for identity, place in firsts.items() if identity not in again), default=-1)
    return tuple(
        one.line for one in states if one.line.id in again and lasts.get(one.line.id, -1) < max(newest, 0)
    )


def rest_left(walk: Walk, line: Line, around: Around) -> float:
    """Seconds of rest still to go before a line should be answered; 0 where it may be."""
    if not line.wait:
        return 0.0
    ended = run_ended_at(walk, around)
    if ended is None:
        return line.wait
    return max(0.0, line.wait - (around.moment.wall - ended).total_seconds())


def seconds_since(event: Event | None, around: Around) -> float:
    """Seconds since an event, by the clock that counts sleep where one start of the machine holds both ends."""
    if event is None:
        return 0.0
    moment = around.moment
    found = span(event.when, moment.wall, event.up, moment.up, event.boot, moment.boot)
    return max(0.0, found.seconds)


def shares_proof(checklist: CheckList, proof: str, around: Around, walk: Walk) -> tuple[Line, ...]:
    """Every line of the list that this boat has and that names a proof."""
    return tuple(one for one in checklist.lines() if proof in one.gives and applies(one, around, walk.asking))
