"""Leak test: pump to the mark, hold by the clock, read again; the program corrects for warmth and weather."""

from __future__ import annotations

import math

from divelog.app import leaking
from divelog.app.asking import Answer, Ask
from divelog.app.display import STATUS
from divelog.app.frames import framed
from divelog.app.leaking import Judged, Plan, Reading
from divelog.app.look import answers, figures
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Page, Part, Role, at
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import cut
from divelog.app.questions import Questions, how_to
from divelog.app.shell import Shell
from divelog.limits.sheet import NotFittedError, UnknownError
from divelog.physics.errors import OutOfRangeError
from divelog.profiles.document import Num
from divelog.session.day import quantity as as_data
from divelog.text import shown

_PER_HOUR = 3.6e9
"""m3/s to mL an hour."""


class LeakTest(Questions):
    """Three parts: the start, the hold, the end. The start is on disk before the clock runs."""

    place = Place.LIMITS

    def __init__(self, shell: Shell) -> None:
        super().__init__(shell)
        self.place = shell.here
        self.start: Reading | None = None
        self.started_up: float | None = None
        self.before = 0.0
        """Seconds held already when the page was opened on a test that had begun."""
        self.held: float | None = None
        """Length of the hold once it was ended."""
        self.judged: Judged | None = None
        self._plan: Plan | None = None
        self.refusal = ""

    def enter(self) -> None:
        """What she can stand; a hold that is running goes on."""
        try:
            self._plan = leaking.plan(self.desk.sheet(), self.desk.limit("cylinder.leak_down", ""))
        except (NotFittedError, UnknownError) as error:
            self._plan, self.refusal = None, shown(getattr(error, "because", "") or f"needs {error}")
        if self.start is None and self.desk.slug is not None:
            found = leaking.begun(
                tuple(self.desk.session.log(self.desk.slug).events), self.desk.session.clock
            )
            reading = leaking.reading_of(found[0]) if found is not None else None
            if found is not None and reading is not None:
                self.start, self.before = reading, found[1]
                self.started_up = self.desk.session.clock.up()

    # -- questions ----------------------------------------------------------------------------------------------

    @property
    def questions(self) -> tuple[Ask, ...]:
        """Gauge, thermometer, barometer: first at the start, then at the end."""
        end = self.held is not None
        when = "now, after the hold" if end else "at the start"
        if self._plan is None or (self.start is not None and not end):
            return ()
        name = "end" if end else "start"
        found = [Ask(f"{name} gauge", f"Gauge {when}", "kPa", "pressure", low=-100e3, high=100e3)]
        thermometer = Ask(
            f"{name} temperature", "Air inside, or the wall", "degC", "temperature", need=False,
            note="Enter where you have no thermometer: the hold decides less", low=233.0, high=343.0,
        )  # fmt: skip
        barometer = Ask(
            f"{name} barometer", "Barometer", "hPa", "pressure", need=False, low=45_000.0, high=110_000.0, meter=False,
            note="Enter where you have none; a telephone often has",
        )  # fmt: skip
        start = self.start
        if not end or (start is not None and start.temperature is not None):
            found.append(thermometer)
        if not end or (start is not None and start.barometer is not None):
            found.append(barometer)
        return tuple(found)

    def _reading(self, name: str) -> Reading:
        def num(part: str) -> Num | None:
            answer = self.told.get(f"{name} {part}")
            return None if answer is None else answer.num

        gauge = num("gauge")
        assert gauge is not None
        assert self._plan is not None
        if self._plan.gauge < 0 < gauge.si:
            gauge = Num(-gauge.si, gauge.u95)  # a vacuum gauge often shows its depth without a sign
        return Reading(gauge, num("temperature"), num("barometer"))

    def answered(self, ask: Ask, answer: Answer) -> None:
        """The start is written down as soon as its last answer stands."""
        if self.start is None and self.ask is None:
            reading = self._reading("start")
            data = {
                "path": leaking.START, "value": as_data(reading.gauge, f"{reading.gauge.si / 1e3:g} kPa"),
                "conditions": reading.data(), "method": "leak test",
            }  # fmt: skip
            self.desk.keep("measured", data)
            self.start = reading
            self.started_up, self.before = self.desk.session.clock.up(), 0.0

    def complete(self) -> None:
        """At the end: correct, judge."""
        if self.held is None or self.start is None or self._plan is None:
            return
        try:
            self.judged = leaking.work_out(
                self.desk.sheet(), self._plan, self.start, self._reading("end"), self.held
            )
        except (OutOfRangeError, UnknownError, NotFittedError) as error:
            self.back()
            self.line.fault = shown(str(error))

    def seconds(self) -> float:
        """How long she has held."""
        if self.started_up is None:
            return 0.0
        return self.before + max(0.0, self.desk.session.clock.up() - self.started_up)

    # -- drawing ------------------------------------------------------------------------------------------------

    def draw(self, layout: Layout) -> Page:
        """The part that is meant now."""
        plan = self._plan
        if plan is None:
            blocks = [
                Block(
                    answers.sentence(layout, 0, f"No leak test by gauge: {self.refusal}."), row=4, rank=KEPT
                )
            ]
            return self._framed(layout, blocks, ())
        if self.judged is not None:
            return self._framed(
                layout,
                self._result(layout, self.judged),
                (Key("Enter", "keep"), Key("b", "back one line", "back")),
            )
        if self.start is not None and self.held is None:
            keys = (Key("Enter", "read the end now", "end now"), Key("r", "begin again", "again"))
            return self._framed(layout, self._holding(layout, plan), keys)
        keys4 = (
            Key("Enter", "keep"),
            Key("b", "back one line", "back"),
            Key("r", "again"),
            Key("u", "can't tell"),
        )
        return self._framed(layout, self.asking(layout, self._guide(layout, plan)), keys4)

    def _framed(self, layout: Layout, blocks: list[Block], first: tuple[Key | None, ...]) -> Page:
        return framed(
            self, layout, blocks, place=f"{self.place.title}: leak test", what=self._what(), first=first
        )

    def _what(self) -> str:
        return "" if self._plan is None else f"{self._plan.method}, {self._plan.gauge / 1e3:+g} kPa"

    def _guide(self, layout: Layout, plan: Plan) -> Part:
        verb = "Pump to" if plan.gauge > 0 else "Draw down to"
        how = (
            f"{verb} {plan.gauge / 1e3:+g} kPa and wait ten minutes: pumping warms the air.",
            f"Read, then leave her {plan.hold / 60:.0f} minutes out of the sun and draught.",
            "Read again. Lock bags and pistons: their air counts too.",
        )
        return how_to(layout, "gauge, thermometer inside; a barometer helps", how)

    def _cautions(self, layout: Layout) -> Block:
        limit = self._plan.limit if self._plan is not None else None
        texts = [shown(text) for text in limit.cautions] if limit is not None else []
        return Block(answers.cautions(layout, 0, texts or ["Caps can fly: stand aside."]), row=17, rank=8)

    def asking(self, layout: Layout, guide: Part = ()) -> list[Block]:
        """The questions; before the first reading the cautions stand below them."""
        blocks = super().asking(layout, guide)
        if self.start is None and not self.told and not self.line.fault:
            rest = [b for b in blocks if b.row < 20]
            last = rest[-1]
            return [*rest[:-1], Block(last.part, row=14, rank=last.rank), self._cautions(layout)]
        return blocks

    def _holding(self, layout: Layout, plan: Plan) -> list[Block]:
        left = plan.hold - self.seconds()
        minutes = max(0, math.ceil(left / 60.0 - 1e-9))
        column = figures.column_for(layout, str(minutes), 5)
        part = figures.figure(
            layout, 0, column, str(minutes), step=5, unit=("minutes left to hold", "min left")
        )
        said = "Read the gauge without touching her." if left > 0 else "Long enough: read the end."
        words = f"Held {self.seconds() / 60:.0f} of {plan.hold / 60:.0f} minutes. {said}"
        blocks = [Block(part, row=5, rank=KEPT), Block(answers.sentence(layout, 0, words), row=12, rank=KEPT)]
        if plan.blind:
            text = "This gauge cannot decide within an hour: a towel weighed before and after can."
            blocks.append(Block(answers.note(layout, 0, "Note", text), row=15, rank=6))
        text = "You may leave this page: the start is in the log and the clock goes on."
        blocks.append(Block(answers.sentence(layout, 0, text), row=18, rank=3))
        return blocks

    def _result(self, layout: Layout, judged: Judged) -> list[Block]:
        assert self.held is not None
        fall = judged.leak.fall
        right = layout.limit if layout.limit is not None else layout.reading
        part = at(0, layout.title, cut("Fall, corrected for warmth and weather", layout.measure), Role.BOLD)
        number = f"{fall.value / 1e3:.2f}"
        part += figures.figure(layout, 1, layout.title, number, step=3, unit="kPa", end=right)
        if layout.margin:
            part += at(2, right, cut(f"give or take {fall.u95 / 1e3:.2f}", layout.edge - right))
            part += at(3, right, f"in {self.held / 60:.0f} min")
        blocks = [Block(part, row=3, rank=KEPT)]
        status = STATUS[judged.verdict]
        text = f"{number} kPa, give or take {fall.u95 / 1e3:.2f}. "
        if judged.allowed is None:
            text = "No limit to judge it by: water, plan and air of the cylinder are needed."
        else:
            text += f"At most {judged.allowed / 1e3:.2f} kPa in {self.held / 60:.0f} minutes."
        blocks.append(Block(answers.verdict(layout, 0, status, text), row=9, rank=KEPT))
        blocks.append(Block(answers.note(layout, 0, "Water", _rate(judged)), row=13, rank=7))
        blocks.append(
            Block(answers.note(layout, 0, "Next", cut(self._next(judged), layout.measure)), row=17, rank=6)
        )
        text = "Within says the water is harmless, not that she is dry: the towel is the finer test."
        blocks.append(Block(answers.sentence(layout, 0, text), row=19, rank=4))
        return blocks

    def _next(self, judged: Judged) -> str:
        name = judged.verdict.name
        if name == "OUTSIDE":
            return "find it with bubbles, mend it, hold again"
        if name == "TOO_CLOSE":
            return "hold longer, or weigh a towel after ten minutes in the water"
        return "the leak test list, under Checks, gives the proof"

    # -- keys ---------------------------------------------------------------------------------------------------

    def press(self, key: str) -> bool:
        """Enter goes on; the hold runs whether or not the page is in front."""
        if self._plan is None:
            return False
        if self.judged is not None:
            if key == "enter":
                assert self.start is not None
                assert self.held is not None
                data = leaking.result_data(self.start, self._reading("end"), self.held, self.judged)
                self.desk.keep("measured", data)
                self.shell.pop()
            elif key == "b":
                self.judged = None
                self.back()
            return key not in ("escape", "?", "/")
        if self.start is not None and self.held is None:
            if key == "enter":
                self.held = self.seconds()
                self.line.clear(self.ask)
                return True
            if key == "r":
                self.told.clear()
                self.start, self.started_up, self.before = None, None, 0.0
                self.line.clear(self.ask)
                return True
            return False
        return self.typed(key)


def _rate(judged: Judged) -> str:
    """Water an hour at the planned depth, with its ± and the worst an unknown path may make of it."""
    rate, worst = judged.leak.water, judged.leak.worst
    value, spread, most = (x * _PER_HOUR for x in (rate.value, rate.u95, worst))
    at_depth = f"at {judged.depth:.1f} m"
    if spread >= value:
        return f"under {_two(value + spread)} mL an hour {at_depth}; by an unlucky path up to {_two(most)}"
    return f"{_two(value)} mL an hour {at_depth}, give or take {_two(spread)}; by an unlucky path up to {_two(most)}"


def _two(value: float) -> str:
    return f"{value:.2g}" if value < 100 else f"{value:.0f}"
