"""Trouble: four short lists, read and done, one step bold at a time; people first, and nobody goes in after a boat."""

from __future__ import annotations

from collections.abc import Sequence

from divelog.app.form import CHOICE, TEXT, Ask, Form
from divelog.app.frames import framed
from divelog.app.look import answers, frame
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout
from divelog.app.look.page import Page, Role, at
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import cut
from divelog.app.read_do import ReadDo, Step, steps_of
from divelog.app.sentences import said
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.checks.words import amount
from divelog.session.entries import EntryError, quantity_of
from divelog.text import shown

LISTS: tuple[tuple[str, str], ...] = (
    ("signal lost, or out of sight", "signal-lost"), ("leak found", "leak-found"), ("boat stuck", "boat-stuck"),
    ("pack hot", "pack-hot"),
)  # fmt: skip


class Trouble(Spot):
    """Which trouble it is: one key."""

    def __init__(self, shell: Shell) -> None:
        super().__init__(shell)
        self.place = shell.here

    def draw(self, layout: Layout) -> Page:
        """Four lines, large enough for wet hands to meet one."""
        title = at(0, layout.title, "People first. What is it?", Role.BOLD)
        part = title + answers.choices(layout, 2, [(str(n), words) for n, (words, _) in enumerate(LISTS, 1)])
        blocks = [Block(part, row=4, rank=KEPT)]
        blocks.append(
            Block(
                answers.sentence(layout, 0, "Nobody goes in after a boat.", role=Role.BOLD), row=12, rank=KEPT
            )
        )
        keys = frame.keys(layout, (Key("1-4", "steps"),), (frame.KEYS, None, None, None, frame.BACK))
        return framed(self, layout, blocks, place="Trouble", own_keys=keys)

    def press(self, key: str) -> bool:
        """A digit opens its steps."""
        if key not in ("1", "2", "3", "4"):
            return key == "t"
        name = LISTS[int(key) - 1][1]
        self.shell.pop()
        if name != "signal-lost":
            self.shell.push(TroubleSteps(self.shell, name))
            return True
        out = self.shell.watch.out(self.desk.slug) if self.desk.slug is not None else None
        if out is not None:
            from divelog.app.spots.run import lose_signal

            lose_signal(self.shell, out)
        else:
            self.shell.below("signal lost")
        return True


class TroubleSteps(Spot):
    """One list: Enter does a step."""

    def __init__(self, shell: Shell, name: str) -> None:
        super().__init__(shell)
        self.place = shell.here
        self.walk = ReadDo(shell.desk, steps_of(shell.desk, name))

    def draw(self, layout: Layout) -> Page:
        """Every step, the present one bold with how to do it, and the caution."""
        steps = self.walk.steps.steps
        items = [(str(n), shown(step.words)) for n, step in enumerate(steps, 1)]
        room = {True: 13}.get(layout.gauge is not None, 10 if layout.margin else 6)
        listed = answers.steps(layout, 0, items, present=self.walk.done, most=room)
        blocks = [Block(listed, row=4, rank=KEPT)]
        if self.walk.whole:
            blocks.append(
                Block(
                    answers.note(layout, 0, "Done", "every step; Enter goes back", loud=True), row=18, rank=7
                )
            )
        elif steps[self.walk.done].how:
            blocks.append(
                Block(answers.note(layout, 0, "How", shown(steps[self.walk.done].how)), row=18, rank=4)
            )
        if self.walk.fault:
            words = shown(cut(f"{self.walk.fault} The steps go on.", layout.measure))
            blocks.append(Block(answers.note(layout, 0, "Not kept", words, loud=True), row=19, rank=7))
        blocks.append(Block(answers.cautions(layout, 0, [self.walk.steps.caution]), row=20, rank=8))
        return framed(
            self, layout, blocks, place="Trouble", what=shown(self.walk.steps.title.lower()),
            first=(Key("Enter", "back" if self.walk.whole else "done"), None, None, None),
            second=(Key("?", "keys"), None, None, None),
        )  # fmt: skip

    def press(self, key: str) -> bool:
        """Enter does the present step; one that asks for words opens its few questions."""
        if key == "enter":
            if self.walk.whole:
                self.shell.pop()
                return True
            step = self.walk.do(0.0)
            if step is not None and self.desk.slug is not None and not self.walk.fault:
                self._ask(step)
            return True
        if key == "escape" and not self.walk.whole:
            self.walk.end("put away")
        return False

    def _ask(self, step: Step) -> None:
        if "water.found" in step.writes:
            self.shell.push(WaterFound(self.shell))
        elif "defect" in step.writes:
            from divelog.app.spots.happened import DefectFound

            self.shell.push(DefectFound(self.shell))


class WaterFound(Form):
    """How much, which end, and how somebody looked."""

    title = "water found"

    def asks(self) -> Sequence[Ask]:
        """Three questions."""
        ends = (("fore", "fore"), ("aft", "aft"), ("middle", "middle"), ("nobody can tell", "none"))
        looked = (("through the window", "window"), ("opened her", "opened"), ("not inside", "not"))
        how = "bone dry, mist, a drop, a teaspoon, an egg-cup, a cup, or so many mL"
        return (
            Ask("word", "How much water", TEXT, how=how, short="Water"),
            Ask("end", "Which end", CHOICE, ends, short="End"),
            Ask("looked", "How did you look", CHOICE, looked, short="Looked"),
        )

    def _read_amount(self, words: str) -> dict[str, object]:
        found = amount(words)
        if found is not None:
            return {"word": words, "si": found.si, "u95": found.u95, "typed": words}
        return {"word": words, **quantity_of("water", words, "volume", "mL")}

    def check(self, ask: Ask, words: str) -> None:
        """An amount that is none of the words and no volume is said at once."""
        if ask.name == "word":
            try:
                self._read_amount(words)
            except EntryError as error:
                raise EntryError("one of these words, or a volume with its unit, as 5 mL") from error

    def write(self) -> str:
        """``water.found``, with what was allowed."""
        limit = self.desk.limit("cylinder.water_found")
        data = {
            **self._read_amount(str(self.value("word"))), "end": self.value("end"), "looked": self.value("looked"),
            "allowance": limit.shown_high if limit is not None else None,
        }  # fmt: skip
        out = self.shell.watch.out(self.desk.slug) if self.desk.slug is not None else None
        found = said(self.desk.keep("water.found", data, run=out.start.id if out is not None else None))
        return f"{found.words}, {found.figure}" if found.figure else found.words
