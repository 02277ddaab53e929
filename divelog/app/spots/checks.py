"""Checks: one question at a time, from the first line to "ready to dive", and after the run.

The walk itself is in ``checks.walk``; here its questions are drawn, keys become answers, and what an answer writes is on
disk before the next question shows.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date

from divelog.app.check_page import blocks
from divelog.app.check_view import question_view, reason_view
from divelog.app.frames import framed
from divelog.app.look import answers, figures
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Page, Part, Role, below, joined
from divelog.app.look.stack import KEPT, Block
from divelog.app.offers import offers
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.app.typed import Typed
from divelog.checks import walk as walks
from divelog.checks.after import run_to_close
from divelog.checks.answering import Answered
from divelog.checks.around import Around
from divelog.checks.asking import line_states
from divelog.checks.entry import RefusedError
from divelog.checks.judge import item_of
from divelog.checks.library import read_library
from divelog.checks.model import CheckList, Kind, Line
from divelog.checks.state import Walk
from divelog.checks.steps import Step
from divelog.checks.view import View, pause_view, step_choices
from divelog.checks.view import view as look_at
from divelog.checks.walk import Stepped
from divelog.files import StorageError
from divelog.limits.model import Verdict
from divelog.session.around import around
from divelog.session.session import ReadOnlyError
from divelog.text import shown

BEFORE, AFTER = "before-dive", "after-run"
ORDER = (
    BEFORE, AFTER, "evening-before", "at-home", "leak-test", "tank-trim", "bench", "storage", "season", "commissioning",
    "hand-over",
)  # fmt: skip
"""Lists that are answered, as they are offered."""
REASONS = ("no time", "no tool for it here", "done another way", "not wanted today")


class Checks(Spot):
    """A walk of one list, or the choice of a list."""

    place = Place.CHECKS

    def __init__(self, shell: Shell) -> None:
        super().__init__(shell)
        self.walk: Walk | None = None
        self._cautioned: dict[tuple[str, date, str], tuple[str, str, str]] = {}
        self.typed = Typed()
        self.chosen = ""
        self.outcome: Answered | None = None
        self.typed_text = ""
        self.reads = 1
        self.fault = ""
        self.said = ""
        self.asking: Callable[[str], Stepped] | None = None
        """A reason is asked, and this keeps it."""
        self.asking_words = ""
        self.choosing = False
        self.note_open = False
        self._around: tuple[tuple[object, ...], Around] | None = None
        self._now: tuple[Walk, Around, tuple[Line, Step] | None] | None = None

    # -- what the walk stands in --------------------------------------------------------------------------------

    def around(self) -> Around:
        """The moment, kept until an event, the draft or the second changes."""
        desk = self.desk
        slug = desk.slug or ""
        token = (
            slug,
            len(desk.session.log(slug).events),
            desk.now().replace(microsecond=0),
            desk.document().digest,
        )
        if self._around is None or self._around[0] != token:
            self._around = (token, around(desk.session, desk.asked()))
        return self._around[1]

    def enter(self) -> None:
        """Carry on with what is open: the after-run list first, then the list before the dive."""
        self.keep_rest()
        if self.desk.slug is None or self.desk.document().faults or self.choosing:
            return
        if (
            self.walk is not None
            and not self.walk.ended
            and self.walk.slug == self.desk.slug
            and not self._stale()
        ):
            return
        self._clear()
        self.said = ""
        name, run = self._wanted()
        self.open(name, run)

    def _stale(self) -> bool:
        """A walk that the log has left behind: its run was started or answered elsewhere."""
        name, run = self._wanted()
        assert self.walk is not None
        mine = self.walk.checklist.list
        return mine in (BEFORE, AFTER) and (mine, self.walk.run) != (name, run)

    def _wanted(self) -> tuple[str, str | None]:
        """Which list is asked now: the after-run list of a run that nobody answered for, else before the dive."""
        slug = self.desk.slug or ""
        run = run_to_close(self.desk.session.log(slug).events, slug)
        return (AFTER, run) if run is not None else (BEFORE, None)

    def open(self, name: str, run: str | None = None) -> None:
        """Take a list in hand, where it was left if it was begun."""
        library = read_library(self.desk.session.home.checklists, self.desk.session.disk)
        if library.faults:
            self.fault = shown(f"your own list is left out: {library.faults[0].sentence()}")
        checklist = library.get(name, self.desk.document())
        if checklist is None:
            self.choosing = True
            return
        resumed = walks.resume(checklist, self.around(), run)
        self.walk = resumed if resumed is not None else Walk(checklist, self.desk.slug or "", run)
        self.choosing = False

    # -- keeping ------------------------------------------------------------------------------------------------

    def keep_step(self, stepped: Stepped) -> None:
        """Put what a step writes on disk, one after another; the walk moves on with each.

        Where nothing of it could be kept, the walk stands where it stood and what was typed is still there; where a part
        was kept, the walk has moved on and keeps the rest before it asks anything.
        """
        before, (self.walk, pending) = self.walk, stepped
        try:
            self.keep_rest()
        except (StorageError, ReadOnlyError):
            if self.walk.unsaved == pending:
                self.walk = before
            else:
                self._clear()
            raise

    def keep_rest(self) -> None:
        """Keep what the walk has not on disk yet."""
        while self.walk is not None and self.walk.unsaved:
            one = self.walk.unsaved[0]
            event = self.desk.keep(one.what, one.data, run=one.run, happened=one.happened)
            self.walk = walks.saved(self.walk, event, self.around())

    def _begun(self) -> Walk:
        """The walk, begun on disk with its first answer."""
        assert self.walk is not None
        if not self.walk.check:
            self.keep_step(walks.begin(self.walk.checklist, self.around(), self.walk.run))
        return self.walk

    def _clear(self) -> None:
        self.typed, self.chosen, self.outcome, self.typed_text, self.reads = Typed(), "", None, "", 1
        self.asking, self.asking_words, self.note_open, self.fault = None, "", False, ""

    # -- the question -------------------------------------------------------------------------------------------

    def now(self) -> tuple[Line, Step] | None:
        """The line and question asked now, kept until the walk or the moment is another: a key asks it many times."""
        walk = self.walk
        if walk is None or walk.paused:
            return None
        moment = self.around()
        if self._now is None or self._now[0] is not walk or self._now[1] is not moment:
            self._now = (walk, moment, walks.asked_now(walk, moment))
        return self._now[2]

    @property
    def typing(self) -> bool:  # type: ignore[override]
        """Letters are text in a text line, in a reason and in a note, and the unit of a number begun."""
        if self._wording:
            return True
        now = self.now()
        return bool(self.typed.text) or (
            now is not None and now[1].question.kind is Kind.TEXT and self.outcome is None
        )

    def options(self) -> tuple[str, ...]:
        """Choices of the question asked now."""
        now = self.now()
        if now is None:
            return ()
        return step_choices(now[1], self.around())

    # -- drawing ------------------------------------------------------------------------------------------------

    def draw(self, layout: Layout) -> Page:
        """The page as it stands."""
        if self.desk.slug is None:
            return framed(
                self, layout, [Block(answers.sentence(layout, 0, "Take a boat first: 1 in places."), row=4)]
            )
        if self.desk.document().faults:
            return framed(
                self, layout, [Block(answers.sentence(layout, 0, "Mend the fault in her file first."), row=4)]
            )
        if self.choosing or self.walk is None:
            return self._choose(layout)
        if self.walk.paused and not self._wording:
            return self._paused(layout)
        seen = look_at(self.walk, self.around())
        if seen.line is None and not self._wording:
            return self._over(layout)
        return self._question(layout, seen)

    @property
    def _wording(self) -> bool:
        """A reason or a note is being typed."""
        return self.asking is not None or self.note_open

    def _question(self, layout: Layout, seen: View) -> Page:
        assert self.walk is not None
        moment = shown(seen.phase.moment.split(":")[0]) if seen.phase is not None else ""
        title = _title(self.walk.checklist)
        if self._wording:
            return framed(
                self, layout, blocks(reason_view(self, seen), layout), place=title, what=moment,
                first=(Key("Enter", "keep"), Key("Esc", "back"), None, None),
            )  # fmt: skip
        seen = self.caution_once(seen)
        return framed(
            self, layout, blocks(question_view(self, seen), layout), place=title, what=f"{moment}, {seen.number} of {seen.of}",
            first=(Key("Enter", "keep"), Key("b", "back one line", "back"), Key("s", "skip"), Key("u", "can't tell")),
            second=(Key("p", "pause"), Key("x", "not fitted"), Key("w", "why"), Key("n", "note")),
        )  # fmt: skip

    def caution_once(self, seen: View) -> View:
        """A caution is said at the first line of a day that has it, for one boat; the lines after it leave it out."""
        assert self.walk is not None
        assert seen.line is not None
        if not seen.caution:
            return seen
        now = self.around()
        run = next((e.id for e in reversed(now.events) if e.what == "run.started"), "")
        mine = (self.walk.checklist.list, run, seen.line.id)
        first = self._cautioned.setdefault((self.walk.slug, now.moment.wall.date(), seen.caution), mine)
        return seen if first == mine else replace(seen, caution="")

    def _paused(self, layout: Layout) -> Page:
        assert self.walk is not None
        here = self.around()
        stood = pause_view(self.walk, here)
        parts = figures.figure(
            layout, 0, layout.title, str(int(stood.away // 60)), step=5, unit=("minutes away", "min")
        )
        words = [f"Carrying on asks again: {shown(stood.asks)}" if stood.asks else "Nothing is left to ask."]
        left = sum(1 for one in line_states(self.walk, here) if one.asked)
        words.append(f"{left} lines are left; every other boat is in reach.")
        text: list[Part] = []
        row = below(parts) + 1
        for sentence in words:
            part = answers.sentence(layout, row, sentence, most=2)
            text.append(part)
            row = max((p.row for p in part), default=row) + 1
        return framed(
            self, layout, [Block(parts + joined(text), row=4, rank=KEPT)], place="Paused", what=shown(self.walk.checklist.title),
            first=(Key("Enter", "carry on"), Key("a", "another boat"), Key("v", "other lists"), None),
            second=(Key("?", "keys"), Key("z", "leave the list"), Key("n", "note"), None),
        )  # fmt: skip

    def _over(self, layout: Layout) -> Page:
        """Nothing is left to ask: before launch, or the list is done."""
        assert self.walk is not None
        if self.walk.checklist.before_run:
            words = answers.sentence(layout, 0, "Enter shows what is open before launch.")
            return framed(
                self, layout, [Block(words, row=4)],
                first=(Key("Enter", "what is open", "open"), Key("b", "back one line"), Key("v", "other lists"), None),
            )  # fmt: skip
        text = f"{shown(self.walk.checklist.title)}: every line is answered."
        return framed(
            self, layout, [Block(answers.sentence(layout, 0, text, role=Role.BOLD), row=4, rank=KEPT),
                           Block(answers.sentence(layout, 0, self.said), row=6)],
            first=(Key("Enter", "boats"), Key("v", "other lists"), Key("g", "log"), Key("k", "upkeep")),
        )  # fmt: skip

    def _choose(self, layout: Layout) -> Page:
        from divelog.checks.shipped import title_of

        options = [(_digit(n), shown(title_of(name))) for n, name in enumerate(ORDER, 1)]
        part = answers.choices(layout, 0, options)
        return framed(self, layout, [Block(part, row=4, rank=KEPT)], place="Checks", what="which list?",
                      first=(Key("1-9", "a list"), None, None, None))  # fmt: skip

    # -- keys ---------------------------------------------------------------------------------------------------

    def press(self, key: str) -> bool:
        """Keys of the list, of a reason, of a pause, or of the question."""
        if self.desk.slug is None or self.desk.document().faults:
            return False
        if self.choosing or self.walk is None:
            return self._press_choice(key)
        if self._wording:
            return self._press_reason(key)
        if self.walk.paused:
            return self._press_paused(key)
        if self.now() is None:
            return self._press_over(key)
        return self._press_question(key)

    def _press_choice(self, key: str) -> bool:
        digits = {_digit(n): name for n, name in enumerate(ORDER, 1)}
        if key in digits:
            name = digits[key]
            run = self._wanted()[1] if name == AFTER else None
            self._clear()
            self.open(name, run)
            return True
        if key == "escape" and self.walk is not None:
            self.choosing = False
            return True
        return False

    def _press_paused(self, key: str) -> bool:
        assert self.walk is not None
        if key == "enter":
            self._clear()
            self.keep_step(walks.carry_on(self.walk, self.around()))
            return True
        if key == "v":
            self.choosing = True
            return True
        if key == "z":
            self._ask(
                "Why is the list left?", lambda reason: walks.leave(self._begun(), self.around(), reason)
            )
            return True
        return False

    def _press_over(self, key: str) -> bool:
        assert self.walk is not None
        if key == "v":
            self.choosing = True
            return True
        if key == "b":
            self.keep_step(walks.back(self.walk, self.around()))
            return True
        if key == "enter":
            if self.walk.checklist.before_run:
                self.shell.below("launch")
            else:
                self.walk = None
                self.shell.go(Place.BOATS)
            return True
        return False

    def _press_reason(self, key: str) -> bool:
        if key == "enter":
            words = self.typed.value
            if words.isdecimal() and 1 <= int(words) <= len(REASONS) and not self.note_open:
                words = REASONS[int(words) - 1]
            try:
                if self.note_open:
                    self.keep_step(walks.note(self._begun(), self.around(), words))
                elif self.asking is not None:
                    self.keep_step(self.asking(words))
                self._clear()
            except RefusedError as refused:
                self.fault = shown(str(refused))
            return True
        if key == "escape" and not self.typed.text:
            self._clear()
            return True
        taken = Typed(self.typed.text, words=True).take(key)
        if taken is not None:
            self.typed = taken
        return True

    def _ask(self, words: str, keep: Callable[[str], Stepped]) -> None:
        self._clear()
        self.asking, self.asking_words = keep, words

    def _press_question(self, key: str) -> bool:
        now = self.now()
        assert now is not None
        assert self.walk is not None
        line, step = now
        if self.outcome is not None:
            return self._press_outcome(key)
        kind = step.question.kind
        self.fault = ""
        if kind is Kind.TEXT:
            taken = Typed(self.typed.text, words=True).take(key)
            if taken is not None:
                self.typed = taken
                return True
            if key == "enter":
                self._enter(self.typed.value)
                return True
            return key != "escape"
        options = self.options()
        if options and key.isdecimal() and not self.typed.text and kind in (Kind.CHOICE, Kind.WORDS):
            self._digit_pressed(key, options)
            if self.chosen and len(options) <= 9 and self._at_once(line, step):
                self._enter(self.chosen_words())
            return True
        if kind not in (Kind.DONE, Kind.CHOICE):
            taken = self.typed.take(key)
            if taken is not None:
                self.typed, self.chosen = taken, ""
                return True
        if key == "enter":
            self._enter(self.chosen_words() or self.typed.value)
            return True
        return self._press_letter(key, line)

    def _at_once(self, line: Line, step: Step) -> bool:
        """A digit alone answers a member of a list, a further question, and what does not lose the boat."""
        further = bool(line.questions) and step.question is not line.questions[0]
        return step.member is not None or further or line.quick or not line.critical

    def _digit_pressed(self, key: str, options: tuple[str, ...]) -> None:
        """A digit shows its choice on the plate; two digits where there are more than nine."""
        held = self.chosen + key if len(options) > 9 and self.chosen else key
        number = int(held)
        if number == 0 and len(options) >= 10 and not self.chosen:
            number = 10
        if 1 <= number <= len(options):
            self.chosen = str(number)

    def chosen_words(self) -> str:
        """The words of the choice on the plate."""
        options = self.options()
        return options[int(self.chosen) - 1] if self.chosen and int(self.chosen) <= len(options) else ""

    def _enter(self, text: str) -> None:
        """Judge an answer. What is right is kept at once; anything else shows its verdict and is kept by a second Enter."""
        walk = self._begun()
        here = self.around()
        try:
            done = walks.preview(walk, here, text)
        except RefusedError as refused:
            self.fault = shown(str(refused))
            return
        self.typed_text = text
        if done.judged.verdict in (None, Verdict.WITHIN):
            self._answer(text, done)
        else:
            self.outcome = done

    def _answer(self, text: str, done: Answered) -> None:
        assert self.walk is not None
        stepped = walks.answer(self.walk, self.around(), text, self.reads)
        if not stepped[1]:
            self.walk = stepped[0]  # within a second on a critical line: one second look
            self.fault = ""
            return
        self.keep_step(stepped)
        self._clear()
        self.said = (
            shown(done.judged.words) if done.judged.verdict is Verdict.WITHIN and done.judged.words else ""
        )
        if (
            self.walk is not None
            and self.walk.checklist.before_run
            and not self.walk.ended
            and self.now() is None
        ):
            self.shell.below("launch")

    def _press_outcome(self, key: str) -> bool:
        """The verdict is on the page: keep it, read again, or take one of the next steps."""
        assert self.outcome is not None
        if key == "enter":
            self._answer(self.typed_text, self.outcome)
            if self.walk is not None and self.walk.look_again:
                self._answer(self.typed_text, self.outcome)
            return True
        if key in ("r", "1"):
            reads = self.reads + 1
            self._clear()
            self.reads = reads
            return True
        if offers(self.outcome.judged.actions).changes_plan(key):
            self._clear()
            self.shell.below("plan")
            return True
        if key == "b":
            self._clear()
            return True
        if key == "w":
            return self._why()
        if key.isdecimal() or key in (".", ","):
            reads = self.reads + 1
            self._clear()
            self.reads = reads
            self.typed = self.typed.take(key) or self.typed
            return True
        if key in ("s", "x", "u", "p", "n"):
            outcome = self.outcome
            self.outcome = None
            return self._press_letter(key, outcome.line)
        return False

    def _press_letter(self, key: str, line: Line) -> bool:
        assert self.walk is not None
        if key == "b":
            self.keep_step(walks.back(self.walk, self.around()))
            self._clear()
            return True
        if key == "s":
            self._ask("Why is it left out?", lambda reason: walks.skip(self._begun(), self.around(), reason))
            return True
        if key == "x":
            self._ask(
                "Why has she no such part?",
                lambda reason: walks.not_fitted(self._begun(), self.around(), reason),
            )
            return True
        if key == "u":
            self.keep_step(walks.unknown(self._begun(), self.around()))
            self._clear()
            return True
        if key == "p":
            self.keep_step(walks.pause(self._begun(), self.around()))
            self._clear()
            return True
        if key == "n":
            self._clear()
            self.note_open = True
            return True
        if key == "r":
            self._clear()
            return True
        if key == "w":
            return self._why()
        if key == "m":
            self.shell.below("measure")
            return True
        if key == "v":
            self.choosing = True
            return True
        if key == "a":
            if self.walk.check:
                self.keep_step(walks.pause(self.walk, self.around()))
            self._clear()
            self.shell.go(Place.BOATS)
            return True
        return False

    def _why(self) -> bool:
        """The limit the line is judged by or shows; where it has none, the line's own reason."""
        now = self.now()
        if now is None:
            return False
        assert self.walk is not None
        line, step = now
        seen = look_at(self.walk, self.around())
        limit = seen.target or seen.beside
        if limit is None and step.question.limit:
            member = step.member.id if step.member is not None else ""
            item = item_of(step.question, self.around(), member)
            limit = self.desk.limit(step.question.limit, item or None)
        if limit is None:
            self.said = shown(line.why)
            return True
        from divelog.app.spots.why import Why

        self.shell.push(Why(self.shell, limit.key, limit.item))
        return True


def _digit(number: int) -> str:
    return "1234567890+"[number - 1]


def _title(checklist: CheckList) -> str:
    return "Checks" if checklist.list == BEFORE else shown(checklist.title)[:19]


__all__ = ["Checks"]
