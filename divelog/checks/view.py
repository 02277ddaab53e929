"""What a page or a sheet of paper shows of a walk: the line asked, its neighbours, its target, what is open."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from divelog.checks.applies import is_critical
from divelog.checks.around import Around
from divelog.checks.asking import LineState, again_lines, line_states, rest_left, seconds_since
from divelog.checks.entry import WATER_CHOICES, choices
from divelog.checks.judge import item_of
from divelog.checks.members import members
from divelog.checks.model import Kind, Line, Phase
from divelog.checks.state import Mark, Walk
from divelog.checks.steps import Step, by_member
from divelog.checks.told import how_of
from divelog.checks.walk import asked_again, asked_now, hold_left
from divelog.limits.model import Limit


@dataclass(frozen=True, slots=True)
class MarginLine:
    """A line at the left edge: its short name, how it stands (None: not known yet), and since when."""

    id: str
    name: str
    mark: Mark | None
    since: datetime | None = None
    present: bool = False
    critical: bool = False


@dataclass(frozen=True, slots=True)
class View:
    """One look at a walk. Everything is None or empty where nothing is asked."""

    line: Line | None = None
    step: Step | None = None
    phase: Phase | None = None
    number: int = 0
    """Place of the line among those of its phase that apply, from 1."""
    of: int = 0
    lines: tuple[MarginLine, ...] = ()
    """Those lines."""
    say: str = ""
    """What is asked: the member, a further question, or the line's own words."""
    how: str = ""
    critical: bool = False
    again: bool = False
    """Asked once more before launch."""
    look_again: bool = False
    choices: tuple[str, ...] = ()
    unit: str = ""
    members: tuple[tuple[str, str | None], ...] = ()
    """Of an each line: words of each member, and what was answered of it."""
    target: Limit | None = None
    """The limit of a setting, shown before."""
    beside: Limit | None = None
    """A limit or estimate shown beside the line, not judged by its answer."""
    hold_left: float = 0.0
    rest_left: float = 0.0
    left: int = 0
    """Lines still to be asked, this one with them."""
    caution: str = ""
    """The hazard of the line; empty where a line answered before it in this walk said the same."""
    open: tuple[str, ...] = ()
    """Short names of the lines still to be asked."""
    changed: str = ""
    answered: str = ""
    """What the line was answered before, when it is asked again."""


def view(walk: Walk, around: Around) -> View:
    """What is asked now, and how the lines around it stand."""
    states = line_states(walk, around)
    now = asked_now(walk, around)
    if now is None:
        return View(lines=_margin(states, "", around))
    line, step = now
    phase = walk.checklist.phase_of(line.id)
    mine = [one for one in states if phase is not None and one.phase.id == phase.id]
    ids = [one.line.id for one in mine]
    open_ = [one for one in states if one.asked]
    question = step.question
    limit = question.limit if question.show == "before" and question.limit else ""
    record = walk.record(line.id)
    before = record.givens[-1] if record is not None and record.givens else None
    return View(
        line=line, step=step, phase=phase, number=ids.index(line.id) + 1 if line.id in ids else 0, of=len(ids),
        lines=_margin(tuple(mine), line.id, around), say=_say(line, step), how=how_of(line, around),
        critical=is_critical(line, around), again=not open_ and line.again and record is not None,
        look_again=walk.look_again, choices=step_choices(step, around), unit=question.unit,
        members=_members(walk, line, step, around),
        target=around.lookup(limit, item_of(question, around, _member(step)), None, None) if limit else None,
        beside=around.lookup(line.shows, around.word(line.shows_item) or "" if line.shows_item else "", None, None)
        if line.shows else None,
        hold_left=hold_left(walk, around), rest_left=rest_left(walk, line, around),
        left=len(open_) or len(again_lines(walk, states)) or 1, open=tuple(one.line.name for one in open_),
        caution=_caution(walk, line), changed=line.changed,
        answered=(before.answer or before.typed) if before is not None else "",
    )  # fmt: skip


def _member(step: Step) -> str:
    return step.member.id if step.member is not None else ""


def _say(line: Line, step: Step) -> str:
    if step.question.say:
        return step.question.say
    return step.member.words if step.member is not None else line.do


def _caution(walk: Walk, line: Line) -> str:
    said = (
        one.caution for phase in walk.checklist.phases for one in phase.lines
        if one.id != line.id and walk.record(one.id) is not None
    )  # fmt: skip
    return "" if line.caution in said else line.caution


def step_choices(step: Step, around: Around) -> tuple[str, ...]:
    """Choices of one question, in their order; of a number, the words taken in its place."""
    if step.question.kind is Kind.WORDS:
        return WATER_CHOICES
    return choices(step.question, around) if step.question.kind is Kind.CHOICE else step.question.or_words


def _members(walk: Walk, line: Line, step: Step, around: Around) -> tuple[tuple[str, str | None], ...]:
    if step.member is None:
        return ()
    question = next((q for q in line.questions if q.kind is Kind.EACH), None)
    if question is None:
        return ()
    partial = walk.partial if walk.partial_line == line.id and not walk.at else ()
    answered = by_member(partial)
    found = []
    for one in members(question, around, walk.asking):
        given = answered.get(one.id)
        whole = given is not None and one.id != step.member.id
        said = (
            ": ".join(g.answer or g.typed for g in given.values() if g.answer or g.typed)
            if whole and given
            else None
        )
        found.append((one.words, said))
    return tuple(found)


def _margin(states: tuple[LineState, ...], present: str, around: Around) -> tuple[MarginLine, ...]:
    return tuple(
        MarginLine(
            one.line.id,
            one.line.name,
            one.mark,
            one.since,
            one.line.id == present,
            is_critical(one.line, around),
        )
        for one in states
    )


@dataclass(frozen=True, slots=True)
class PauseView:
    """A stopped walk: where, since how long, and what carrying on will ask."""

    line: str
    phase: str
    number: int
    away: float
    asks: str
    asks_number: int
    restarts: bool
    """Whether the phase starts again."""


def pause_view(walk: Walk, around: Around) -> PauseView:
    """What the page of a paused walk says."""
    states = line_states(walk, around)
    here = walk.checklist.line(walk.paused_at)
    then = asked_again(walk, around)
    phase = walk.checklist.phase_of(walk.paused_at)
    name = phase.name if phase is not None else walk.checklist.title
    first = next((one.line.id for one in states if phase is not None and one.phase.id == phase.id), None)
    asks = then.id if then is not None else ""
    return PauseView(
        here.do if here is not None else "", name, _place(states, walk.paused_at), seconds_since(walk.last, around),
        then.do if then is not None else "", _place(states, asks),
        bool(then is not None and then.id == first and walk.record(asks) is not None and asks != walk.paused_at),
    )  # fmt: skip


def _place(states: tuple[LineState, ...], identity: str) -> int:
    phase = next((one.phase.id for one in states if one.line.id == identity), None)
    ids = [one.line.id for one in states if one.phase.id == phase]
    return ids.index(identity) + 1 if identity in ids else 0
