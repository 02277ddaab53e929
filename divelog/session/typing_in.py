"""A filled sheet, typed back by its numbers: the same checks and verdicts as on the screen, at the time on the paper.

Every event carries ``happened`` with its doubt, so that the log never says a thing was written when it was done. All
lines under one time share its doubt, so each event also names the sheet: the order on it is the order they were done. A
line is first tried on a session in memory; only one that can be read whole goes to the disk.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from divelog.checks import walk as walks
from divelog.checks.after import may_start_run, run_to_close
from divelog.checks.answering import Answered
from divelog.checks.applies import applies
from divelog.checks.around import Around
from divelog.checks.asking import line_states
from divelog.checks.endings import list_end
from divelog.checks.entry import RefusedError
from divelog.checks.launch import READY, launch
from divelog.checks.library import read_library
from divelog.checks.members import Asking
from divelog.checks.model import CheckList, Kind, Line
from divelog.checks.state import Mark, Pending, Walk
from divelog.checks.steps import Step
from divelog.checks.walk import Stepped
from divelog.clock import Ids, Moment, moment, stamp
from divelog.history.defects import overruled_now
from divelog.journal.drafting import draft
from divelog.journal.events import Event, Happened
from divelog.journal.kinds import SHEET
from divelog.limits.model import Limit, Verdict
from divelog.papers.sheets.before import AFTER, BEFORE
from divelog.papers.sheets.figures import MARKS
from divelog.papers.sheets.numbering import BACK, LAUNCHED, Numbered, code, numbered
from divelog.papers.sheets.numbering import MARKS as MARKED
from divelog.profiles.document import Document
from divelog.session.around import around
from divelog.session.in_force import limits_in_force
from divelog.session.session import Asked, Session
from divelog.session.typed_when import WhenError, parse_when
from divelog.text import shown

DOUBT = 15 * 60.0
"""Seconds by which the time at the head of a sheet may be wrong where nobody said: common practice, no source."""
WATCH = 2 * 60.0
"""The same for a moment read off a watch and written down at once."""
SPLIT = ";"
_NO_REASON = "launched from paper, no reason written there"
TICKS = ("", "+", "x", "1", "done", "yes", "y")
"""What a tick may be typed as."""


@dataclass(frozen=True, slots=True)
class Kept:
    """One number that was kept: how it stands, in a sign word and a sentence."""

    number: int
    name: str
    sign: str
    words: str = ""

    @property
    def loud(self) -> bool:
        """Whether it is OUTSIDE."""
        return self.sign.startswith("X")


class _Trial(Session):
    """A session whose log grows in memory alone."""

    _ids = Ids()

    def append(
        self, what: str, data: Mapping[str, Any] | None = None, *, boat: str | None = None, run: str | None = None,
        happened: str | None = None,
    ) -> Event:  # fmt: skip
        """Keep an event in memory."""
        event = draft(
            what, data or {}, moment(self.clock), self._ids, by="trial", boat=boat, run=run, happened=happened
        )
        for slug in list(self._logs):
            if boat is None or slug == boat:
                self._logs[slug] = self._logs[slug].plus(event)
        return event


def trial(session: Session, slug: str) -> Session:
    """A session in memory with the log of one boat as it is now."""
    made = _Trial(session.home, session.clock, session.shelf, None, session.disk)
    made._logs[slug] = session.log(slug)
    return made


class SheetTyping:
    """One sheet of one boat being typed. ``at``: the time at its head, with its doubt."""

    def __init__(self, session: Session, slug: str, boat: Document, at: Happened) -> None:
        self.session, self.slug, self.boat = session, slug, boat
        self.at = at if at.half_width else Happened(at.at, DOUBT)
        library = read_library(session.home.checklists, session.disk)
        self.lists: dict[str, CheckList] = {}
        for name in (BEFORE, AFTER):
            found = library.get(name, boat)
            assert found is not None  # both come with the program
            self.lists[name] = found
        self.rows: dict[int, Numbered] = {}
        rows = numbered(self.lists[BEFORE], self.lists[AFTER])
        self.code = code(rows)
        self.rows = {row.number: row for row in rows}
        self.sheet = Ids().new(session.clock.now())
        """Stands in every event of this sheet: their order on it is the order they were done."""
        self._held: dict[datetime, Around] = {}
        self.walks: dict[str, Walk] = {}
        self.run: str | None = None
        self.back: Happened | None = None

    # -- the moment on the paper --------------------------------------------------------------------------------

    def _when(self, name: str) -> Happened:
        return self.back if name == AFTER and self.back is not None else self.at

    def _around(self, name: str) -> Around:
        at = self._when(name).at
        if at not in self._held:  # nothing of it changes until something more is kept
            here = around(self.session, Asked(self.slug, self.boat, None, None, at), from_paper=True)
            self._held[at] = replace(
                here, moment=Moment(at, self.session.clock.up(), self.session.clock.boot)
            )
        return self._held[at]

    def limits(self) -> tuple[Limit, ...]:
        """All limits at the time of the sheet."""
        return self.session.limits(Asked(self.slug, self.boat, None, None, self.at.at))

    def day_words(self) -> str:
        """What to say where the day's water was never entered: then limits are those of another day. Else empty."""
        day = self.at.at.date()
        events = self.session.log(self.slug).events
        opened = next((e for e in reversed(events) if e.what == "day.opened" and e.at <= self.at.at), None)
        if opened is not None and opened.local.date() == day:
            return ""
        last = f"those of {opened.local.date()}" if opened is not None else "those of no water at all"
        return (
            f"No day is open in the log for {day}: limits are {last}. Record day.opened and plan.set first."
        )

    def asks(self, row: Numbered) -> bool:
        """Whether a number is one this boat has."""
        if row.line is None:
            return True
        return applies(row.line, self._around(row.list), self._asking(row.list))

    def _asking(self, name: str) -> Asking:
        return (self.walks.get(name) or Walk(self.lists[name], self.slug, self.run)).asking

    # -- keeping ------------------------------------------------------------------------------------------------

    def _keep(self, name: str, stepped: Stepped) -> None:
        walk, pending = stepped
        self.walks[name] = walk
        for one in pending:
            event = self._append(one, self._when(name))
            self.walks[name] = walks.saved(self.walks[name], event, self._around(name))

    def _append(self, one: Pending, at: Happened) -> Event:
        data = {**one.data, SHEET: self.sheet}
        whole = data.get("data")
        if isinstance(whole, dict):  # of a correction: it stands in place of what it corrects
            data["data"] = {**whole, SHEET: self.sheet}
        self._held.clear()
        return self.session.append(
            one.what, data, boat=self.slug, run=one.run, happened=one.happened or written(at)
        )

    def _walk(self, name: str) -> Walk:
        if name not in self.walks:
            run = self._run_of_list() if name == AFTER else None
            self._keep(name, walks.begin(self.lists[name], self._around(name), run))
        return self.walks[name]

    def _run_of_list(self) -> str:
        run = self.run or run_to_close(self.session.log(self.slug).events, self.slug)
        if run is None:
            number = next(n for n, row in self.rows.items() if row.moment == LAUNCHED)
            raise RefusedError(f"no run of hers is open; write {number} and the time she was launched")
        self.run = run
        return run

    # -- one number ---------------------------------------------------------------------------------------------

    def take(self, number: int, text: str) -> Kept:
        """Keep what stands at a number.

        Raises:
            RefusedError: there is no such number, or what stands there is no answer; the sentence says what is wanted.
        """
        row = self.rows.get(number)
        if row is None:
            raise RefusedError(f"there is no {number} on her sheets")
        if row.moment:
            return self._moment(row, text.strip())
        assert row.line is not None
        if row.list == AFTER:
            self._end_run_if_back()
        walk = self._walk(row.list)
        here = self._around(row.list)
        if not applies(row.line, here, walk.asking):
            raise RefusedError(f"{number} is not asked of her: {shown(row.line.do, 80)}")
        if walk.ended:
            raise RefusedError("this list has ended already")
        now = walks.asked_now(walk, here)
        if now is None or now[0].id != row.line.id or walk.partial:
            self._keep(row.list, walks.go(walk, here, row.line.id))
        left = self._left_out(row, text.strip())
        return left if left is not None else self._answer(row, row.line, text.strip())

    def _left_out(self, row: Numbered, text: str) -> Kept | None:
        """``- reason`` skips, ``/ reason`` is not fitted, ``?`` is unknown."""
        sign, _, reason = text.partition(" ")
        ways: dict[str, tuple[Mark, Callable[[Walk, Around], Stepped]]] = {
            "-": (Mark.SKIPPED, lambda w, a: walks.skip(w, a, reason)),
            "/": (Mark.NOT_FITTED, lambda w, a: walks.not_fitted(w, a, reason)),
            "?": (Mark.UNKNOWN, walks.unknown),
        }
        if sign not in ways:
            return None
        mark, step = ways[sign]
        self._keep(row.list, step(self.walks[row.list], self._around(row.list)))
        assert row.line is not None
        return Kept(row.number, row.line.name, MARKS[mark], shown(reason))

    def _answer(self, row: Numbered, line: Line, text: str) -> Kept:
        first = line.questions[0] if line.questions else None
        alone = first is not None and first.kind is Kind.TEXT and len(line.questions) == 1
        tokens = [text] if alone and text else [one.strip() for one in text.split(SPLIT)] if text else []
        whole, found = list(tokens), list[Answered]()
        while True:
            walk, here = self.walks[row.list], self._around(row.list)
            now = walks.asked_now(walk, here)
            if now is None or now[0].id != line.id or (found and walk.partial_line != line.id):
                break
            typed = self._token(line, now[1], tokens, whole, bool(found))
            if now[1].question.kind is Kind.DONE and typed.casefold() not in TICKS:
                raise RefusedError(
                    "nothing stands after a number that is ticked; - and a reason where it was not done"
                )
            found.append(walks.preview(walk, here, typed))
            self._keep(row.list, walks.answer(walk, here, typed))
        if tokens and not (len(whole) == 1 and found and found[0].step.member is not None):
            raise RefusedError(
                f"{shown(tokens[0], 40)!r} is one answer too many; wanted {len(found)}, with ; between"
            )
        return _kept(row, line, found)

    def _token(self, line: Line, step: Step, tokens: list[str], whole: list[str], begun: bool) -> str:
        """The next answer of a line that has several; one alone counts for every member."""
        question = step.question
        if step.member is not None and len(whole) == 1:
            return whole[0]
        if tokens:
            return tokens.pop(0)
        if question.kind is Kind.DONE or question.optional:
            return ""
        if begun and line.repeat and question is line.questions[0]:
            return question.of[0]
        say = step.member.words if step.member is not None else question.say or line.do
        if begun:
            raise RefusedError(f"one more answer is wanted, after a {SPLIT} : {shown(say, 80)}")
        raise RefusedError(f"nothing stands there; wanted: {shown(say, 80)}")

    # -- the run ------------------------------------------------------------------------------------------------

    def _time(self, text: str) -> Happened:
        """A time of the sheet's day, or with its own date."""
        now = self.session.clock.now()
        end = self.at.at.replace(hour=23, minute=59, second=59)
        try:
            found = parse_when(text, min(now, end))
        except WhenError as wrong:
            raise RefusedError(str(wrong)) from wrong
        return found if found.half_width else Happened(found.at, WATCH)

    def _moment(self, row: Numbered, text: str) -> Kept:
        if row.moment == LAUNCHED:
            at = self._time(text)
            self._launch(at)
            return Kept(row.number, "launched", "= done", f"{at.at:%H:%M}")
        if row.moment == MARKED:
            times = [self._time(one) for one in text.split(SPLIT) if one.strip()]
            if not times:
                raise RefusedError("a mark is a time, as 10:31; with ; between several")
            run = self._run_of_list()
            for at in times:
                self._append(Pending("mark", {"kind": None}, run=run), at)
            return Kept(row.number, "marks", "= done", ", ".join(f"{at.at:%H:%M}" for at in times))
        assert row.moment == BACK
        self._run_of_list()
        self.back = self._time(text)
        return Kept(row.number, "out of the water", "= done", f"{self.back.at:%H:%M}")

    def _launch(self, at: Happened) -> None:
        """The person launched, whatever was open: the log says both."""
        events = self.session.log(self.slug).events
        may, why = may_start_run(events, self.slug)
        if not may:
            raise RefusedError(why)
        walk, here = self._walk(BEFORE), self._around(BEFORE)
        glance = launch(walk, here, self.limits())
        said = overruled_now((e for e in events if e.at <= at.at), at.at.date())
        states = line_states(walk, here)
        still = [f"{one.line.name} to prove" for one in states if one.asked]
        data = {
            "open": [*dict.fromkeys([*(item.sentence() for item in glance.items), *still])],
            "defects": [one.event for one in glance.defects],
            "because": {one.event: said.get(one.event, _NO_REASON) for one in glance.defects},
            "words": READY,
        }
        left = "typed in from a sheet" if still else ""
        ended = list_end(walk, here, states, left)
        for one in (*ended, Pending("launch.called", data)):
            event = self._append(one, at)
            self.walks[BEFORE] = walks.saved(replace(self.walks[BEFORE], unsaved=(one,)), event, here)
        self.run = self._append(Pending("run.started", self._started(events)), at).id

    def _started(self, events: tuple[Event, ...]) -> dict[str, object]:
        facts = self._around(BEFORE)
        plan = next((e for e in reversed(events) if e.what == "plan.set" and e.boat == self.slug), None)
        same_day = plan is not None and plan.local.date() == self.at.at.date()
        pack = facts.word("plan.pack") or next(iter(facts.words_at("boat.power.drive_packs") or ()), None)
        return {
            "plan": plan.id if plan is not None and same_day else None,
            "pack": pack,
            "transmitter": facts.word("boat.radio.transmitter"),
            "receiver": facts.word("boat.radio.receiver"),
            "limits": limits_in_force(self.limits(), pack or ""),
        }

    def _end_run_if_back(self) -> None:
        """The end of the run stands at the time she came out, before anything is answered about it."""
        run = self.run or run_to_close(self.session.log(self.slug).events, self.slug)
        if self.back is None or run is None:
            return
        if not any(e.what == "run.ended" and e.run == run for e in self.session.log(self.slug).events):
            self._append(Pending("run.ended", {}, run=run), self.back)

    def finish(self) -> None:
        """Nothing more stands on the sheet."""
        self._end_run_if_back()

    def open_lines(self) -> tuple[str, ...]:
        """What was left empty of the lists that were begun, by name."""
        found: list[str] = []
        for name, walk in self.walks.items():
            if not walk.ended:
                states = line_states(walk, self._around(name))
                found += [one.line.name for one in states if one.asked and walk.record(one.line.id) is None]
        return tuple(found)


def _kept(row: Numbered, line: Line, found: list[Answered]) -> Kept:
    """The worst verdict of a line, with its words."""
    order = (Verdict.OUTSIDE, Verdict.UNKNOWN, Verdict.TOO_CLOSE)
    worst = next((one for v in order for one in found if one.judged.verdict is v), None)
    if worst is not None and worst.judged.verdict is not None:
        name = {Verdict.OUTSIDE: Mark.OUTSIDE, Verdict.UNKNOWN: Mark.UNKNOWN}.get(
            worst.judged.verdict, Mark.TOO_CLOSE
        )
        return Kept(row.number, line.name, MARKS[name], shown(worst.judged.words))
    within = next((one for one in found if one.judged.verdict is Verdict.WITHIN and one.judged.words), None)
    if within is not None:
        return Kept(row.number, line.name, MARKS[Mark.WITHIN], shown(within.judged.words))
    return Kept(row.number, line.name, MARKS[Mark.DONE])


def written(at: Happened) -> str:
    """A time from paper as events hold it: with its doubt in whole minutes, at least one."""
    minutes = max(1, round(at.half_width / 60.0))
    return f"{stamp(at.at)} ± {minutes} min"
