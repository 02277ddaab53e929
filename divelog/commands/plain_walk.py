"""A list, asked line by line: question, how, choices by number, the limit of a setting; the verdict, sign word first.

The walk is that of the screens: each answer is on disk before the next prompt.
"""

from __future__ import annotations

from collections.abc import Callable

from divelog.app.spots.checks import REASONS, Checks
from divelog.checks import launch as launching
from divelog.checks import walk as walks
from divelog.checks.answering import Answered
from divelog.checks.entry import RefusedError
from divelog.checks.model import Kind
from divelog.checks.state import Mark, Walk
from divelog.checks.view import View, pause_view, view
from divelog.checks.walk import Stepped
from divelog.commands.plain_talk import EndedError, Talk
from divelog.limits.model import Verdict
from divelog.papers.sheets.figures import MARKS, VERDICTS, edge
from divelog.text import shown

COMMANDS = {
    "s": "skip", "u": "unknown", "x": "not fitted", "b": "back", "p": "pause", "w": "why", "n": "note", "?": "help",
}  # fmt: skip
HELP = (
    "Words at any question, or their first letter: skip, unknown, not fitted (x), back, pause, why, note, help (?); and quit."
    " Where a question wants words, begin these with a colon, as :skip."
)
_KEEP = ("", "keep", "y", "yes")
_DONE = ("", "done", "y", "yes")


class Lines:
    """One walk, in words. ``checks`` is the place of the screens that holds it."""

    def __init__(self, checks: Checks, talk: Talk) -> None:
        self.checks, self.talk = checks, talk
        self._phase = ""
        self._asked_before = False
        """The question stands already: it is not said once more after a help or a refusal."""
        self._warned = ("", "")

    def open(self, name: str, run: str | None = None) -> bool:
        """Take a list in hand, where it was left; False where there is none of that name."""
        self.checks.open(name, run)
        walk = self.checks.walk
        if walk is None:
            return False
        self.talk.say("", shown(walk.checklist.title))
        if self.checks.fault:
            self.talk.say(self.checks.fault)
        return True

    def ask_all(self) -> bool:
        """Ask until nothing is left; False where the person paused."""
        while True:
            walk = self._walk()
            if walk.paused:
                if not self._carry_on():
                    return False
                continue
            seen = view(walk, self.checks.around())
            if seen.line is None or seen.step is None:
                return True
            if not self._asked_before:
                self._say(seen)
            self._asked_before = False
            if not self._take(seen, self.talk.ask(": ").strip()):
                return False

    def _walk(self) -> Walk:
        assert self.checks.walk is not None
        if not self.checks.walk.check:
            self._keep(walks.begin(self.checks.walk.checklist, self.checks.around(), self.checks.walk.run))
        return self.checks.walk

    def _keep(self, stepped: Stepped) -> None:
        self.checks.keep_step(stepped)

    def _carry_on(self) -> bool:
        here = pause_view(self._walk(), self.checks.around())
        minutes = int(here.away // 60)
        self.talk.say(f"Paused in {shown(here.phase)}, line {here.number}; {minutes} minutes away.")
        if here.restarts:
            self.talk.say("This part starts again.")
        self.talk.say(f"Carrying on asks again: {shown(here.asks)}")
        reply = (
            self.talk.ask("Enter carries on; leave leaves the list for good; anything else waits: ")
            .strip()
            .casefold()
        )
        if reply == "leave":
            self._with_reason("Why is the list left?", walks.leave)
            return False
        if reply:
            return False
        self._keep(walks.carry_on(self._walk(), self.checks.around()))
        return True

    # -- the question -------------------------------------------------------------------------------------------

    def _say(self, seen: View) -> None:
        line, step = seen.line, seen.step
        assert line is not None
        assert step is not None
        talk = self.talk
        if seen.phase is not None and seen.phase.id != self._phase:
            self._phase = seen.phase.id
            if seen.phase.moment != self._walk().checklist.title:
                talk.say("", shown(seen.phase.moment))
        place = f"{seen.number} of {seen.of}" if seen.number else "again"
        critical = ", loses the boat if wrong" if seen.critical else ""
        member = f", {step.index + 1} of {step.of}" if step.member is not None else ""
        again = ", once more before launch" if seen.again else ""
        talk.say("", f"{place}{critical}{again}. {shown(line.do)}{member}")
        if seen.say != line.do:
            talk.say(shown(seen.say, 300))
        if seen.how and step.index == 0 and step.part != "end":
            talk.say(f"How: {shown(seen.how)}")
        caution = self.checks.caution_once(seen).caution
        if caution and (line.id, caution) != self._warned:  # a line of many questions says it once
            self._warned = (line.id, caution)
            talk.say(f"Caution: {shown(caution)}")
        if seen.answered:
            talk.say(f"Answered before: {shown(seen.answered, 80)}")
        for words, limit in (("Limit", seen.target), ("Shown", seen.beside)):
            if limit is not None:
                talk.say(f"{words}: {shown(limit.title)}, {edge(limit) or shown(limit.remark or 'unknown')}")
        if step.part == "start":
            talk.say(f"The first reading; then {step.question.seconds:.0f} s without touching.")
        if step.part == "end":
            wait = f"; {seen.hold_left:.0f} s are still to come" if seen.hold_left > 0 else ""
            talk.say(f"The second reading{wait}.")
        if seen.rest_left > 0:
            talk.say(f"Rested in {seen.rest_left / 60:.0f} min; this line may come later: unknown.")
        talk.choices(seen.choices)
        kind = step.question.kind
        if kind in (Kind.VALUE, Kind.HOLD):
            talk.say(f"A number in {shown(seen.unit)}, or with another unit after it.")
        elif kind is Kind.WORDS:
            talk.say("Or an amount, as 3 mL.")
        elif kind is Kind.DONE:
            talk.say("Enter where it is done.")
        elif kind is Kind.TEXT:
            talk.say("In words.")
        elif kind is Kind.COUNT:
            talk.say("A count.")

    def _take(self, seen: View, text: str) -> bool:
        """One typed line: a word of ours, or an answer. False where the person paused."""
        command = self._command(seen, text)
        try:
            if command == "pause":
                self._keep(walks.pause(self._walk(), self.checks.around()))
                return False
            if command:
                self._do(seen, command)
            else:
                return self._answer(seen, text)
        except RefusedError as refused:
            self.talk.say(f"Not taken: {shown(str(refused), 300)}")
            self._asked_before = True
        return True

    def _command(self, seen: View, text: str) -> str:
        assert seen.step is not None
        colon = text.startswith(":")
        if seen.step.question.kind is Kind.TEXT and not colon:
            return ""
        word = text[1:].strip().casefold() if colon else text.casefold()
        if word == "quit":
            raise EndedError
        if word in {one.casefold() for one in seen.choices}:
            return ""
        return COMMANDS.get(word, word if word in COMMANDS.values() else "")

    def _do(self, seen: View, command: str) -> None:
        assert seen.line is not None
        here = self.checks.around()
        match command:
            case "skip":
                self._with_reason("Why is it left out?", walks.skip)
                self.talk.say(MARKS[Mark.SKIPPED])
            case "not fitted":
                self._with_reason("Why has she no such part?", walks.not_fitted)
                self.talk.say(MARKS[Mark.NOT_FITTED])
            case "unknown":
                self._keep(walks.unknown(self._walk(), here))
                self.talk.say(MARKS[Mark.UNKNOWN])
            case "back":
                self._keep(walks.back(self._walk(), here))
            case "note":
                self._keep(walks.note(self._walk(), here, self.talk.ask("A note, in your own words: ")))
                self._asked_before = True
            case "why":
                limit = seen.target or seen.beside
                self.talk.say(
                    shown(seen.line.why),
                    *(shown(one, 300) for one in (limit.why if limit is not None else ())),
                )
                self._asked_before = True
            case _:
                self.talk.say(HELP)
                self._asked_before = True

    def _with_reason(self, question: str, step: Callable[..., Stepped]) -> None:
        self.talk.say(question)
        self.talk.choices(REASONS)
        words = self.talk.ask("A number, or your own words: ").strip()
        if words.isdecimal() and 1 <= int(words) <= len(REASONS):
            words = REASONS[int(words) - 1]
        self._keep(step(self._walk(), self.checks.around(), words))

    # -- the answer ---------------------------------------------------------------------------------------------

    def _answer(self, seen: View, text: str) -> bool:
        """Judge an answer and keep it; False where the person paused at its verdict."""
        assert seen.step is not None
        if seen.step.question.kind is Kind.DONE and text.casefold() not in _DONE:
            raise RefusedError("Enter says that it is done; skip, unknown or not fitted where it is not")
        reads = 1
        while True:
            done = walks.preview(self._walk(), self.checks.around(), text)
            if done.judged.right:
                break
            self._verdict(done)
            reply = self.talk.ask("Enter keeps it; or read again and type the new reading: ").strip()
            if reply.casefold() in _KEEP:
                break
            if reply.casefold() in ("r", "read again", "again"):
                reply = self.talk.ask("The new reading: ").strip()
            elif self._command(seen, reply):
                return self._take(seen, reply)
            text, reads = reply, reads + 1
        stepped = walks.answer(self._walk(), self.checks.around(), text, reads)
        if not stepped[1]:  # within a second on a critical line
            self.checks.walk = stepped[0]
            self.talk.ask("That was quick: look again, then Enter: ")
            stepped = walks.answer(self._walk(), self.checks.around(), text, reads)
        self._keep(stepped)
        if done.judged.right:
            sign = VERDICTS[Verdict.WITHIN] if done.judged.words else MARKS[Mark.DONE]
            self.talk.say(f"{sign}  {shown(done.judged.words)}".rstrip() if done.complete else "kept")
        return True

    def _verdict(self, done: Answered) -> None:
        verdict = done.judged.verdict
        assert verdict is not None
        loud = "  <<<" if verdict is Verdict.OUTSIDE else ""
        self.talk.say(f"{VERDICTS[verdict]}  {shown(done.judged.words)}{loud}")
        for action in done.judged.actions:
            self.talk.say(f"Next: {shown(action)}")

    # -- before launch ------------------------------------------------------------------------------------------

    def launch(self) -> bool:
        """What is open, a reason for each defect that stops her, and the person's own call. True where it was made."""
        walk, here, limits = self._walk(), self.checks.around(), self.checks.desk.limits()
        glance = launching.launch(walk, here, limits)
        count = len(glance.items) + len(glance.defects)
        self.talk.say("", "Before launch", f"OPEN {count}" if count else "NOTHING OPEN")
        for defect in glance.defects:
            self.talk.say(f"X OUTSIDE  {shown(defect.what)}: stops the launch  <<<")
        for item in glance.items:
            loud = "  <<<" if item.mark is Mark.OUTSIDE else ""
            self.talk.say(f"{MARKS[item.mark]}  {shown(item.name)}  {shown(item.words)}".rstrip() + loud)
        because = dict(self.checks.desk.overruled())
        for defect in glance.defects:
            if defect.event in because:
                self.talk.say(f"Overruled: {shown(because[defect.event], 300)}")
                continue
            why = self.talk.ask(f"Why may {shown(defect.what, 80)} be overruled? Enter waits: ").strip()
            if not why:
                return False
            because[defect.event] = why
        said = self.talk.ask(
            'Say "ready to dive" in your own voice and press Enter; back, or pause to wait: '
        ).strip()
        if said.casefold() in ("b", "back"):
            self._keep(walks.back(walk, here))
            return self.ask_all() and self.launch()
        if said.casefold() not in ("", "ready to dive"):
            return False
        try:
            self._keep(launching.call(walk, self.checks.around(), because=because, limits=limits))
        except RefusedError as refused:
            self.talk.say(f"Not taken: {shown(str(refused), 300)}")
            return False
        return True
