"""A person at the keyboard, for tests: reads what is asked, answers as somebody with a sound boat would, counts keys."""

from __future__ import annotations

from collections.abc import Awaitable, Callable

from divelog.app.shell import Shell
from divelog.app.spots.checks import Checks
from divelog.checks.judge import wanted
from divelog.checks.model import Kind

Press = Callable[[str], Awaitable[None]]
NAMED = {"enter", "space", "escape", "down", "up", "backspace", "pagedown", "pageup"}

READINGS: dict[str, dict[str, str]] = {
    "tansy": {"pack-volts": "8.45", "tip": "120", "paces": "50", "residual": "20", "inside": "19", "press": "20",
              "fill": "36", "empty": "37", "volts": "7.9", "deepest": "0.4"},
    "bulrush": {"pack-volts": "6.41", "tip": "70", "paces": "40", "residual": "50", "inside": "16", "draw": "-10",
                "fill": "46", "empty": "54", "volts": "6.2", "deepest": "0.1",
              # lists of the bench, the tank, the winter
              "steady": "18", "hold": "-10", "low": "2.5", "towel": "20", "string": "0.5", "no-load": "6.2",
              "ahead": "0.6", "astern": "0.6", "load-volts": "6.3", "drop": "12", "receiver-volts": "4.9", "heat": "31",
              "seconds": "1.0", "control": "1", "water": "12", "waterline": "0", "list": "0", "pitch": "0",
              "dived-balance": "45", "dived-pitch": "0", "righting": "2", "comes-up": "14", "packs-out": "6.2",
              "capacity": "9.1 A h", "weigh": "900", "mast": "160", "clear": "40", "first-depth": "0.4",
              "signal-depth": "0.6", "distance": "20"},
}  # fmt: skip


class Person:
    """Presses keys through ``press`` and counts them."""

    def __init__(self, shell: Shell, press: Press, wait: Callable[[float], None]) -> None:
        self.shell = shell
        self._press = press
        self._wait = wait
        self.keys = 0
        self.lines: list[str] = []
        self.said: list[str] = []
        self.instead: dict[str, str | list[str]] = {}
        """What is typed in place of the usual, by line or by line and question, as ``mend`` or ``marks.step``; of a
        list one each time, then the usual again."""

    async def type(self, *words: str) -> None:
        """Press keys; a longer word is typed letter by letter. A second or two passes with each."""
        for word in words:
            for key in [word] if word in NAMED or len(word) == 1 else word:
                self._wait(1.5)
                await self._press(key)
                self.keys += 1

    async def day(self, depth: str, minutes: str = "40") -> None:
        """The day and the plan, on the page that asks them."""
        sites = [s for s, d in self.shell.desk.session.shelf.sites.items() if not d.faults]
        await self.type(str(sites.index("withy-pond") + 1), "11", "enter", "3", "1.1", "enter", "enter")
        await self.plan(depth, minutes)

    async def plan(self, depth: str, minutes: str = "40") -> None:
        """The plan of the boat in hand."""
        if len(self.shell.desk.sheet().texts("power.drive_packs")) > 1:
            await self.type("1")
        await self.type(depth, "enter", "35", "enter", minutes, "enter")

    async def list(self, boat: str) -> None:
        """Every line of the list in front, to its end."""
        for _ in range(200):
            spot = self.shell.front
            if not isinstance(spot, Checks) or spot.now() is None:
                return
            await self._one(spot, boat)
        raise AssertionError("the list never ends")

    async def _one(self, spot: Checks, boat: str) -> None:
        now = spot.now()
        assert now is not None
        line, step = now
        if not self.lines or self.lines[-1] != line.id:
            self.lines.append(line.id)
        question = step.question
        readings = READINGS[boat]
        own = self._own(line.id, question.name)
        if own is not None:
            await self.type(own, *(["enter"] if question.kind not in (Kind.CHOICE, Kind.WORDS) else []))
            if spot.chosen:
                await self.type("enter")
        elif question.kind is Kind.DONE:
            await self.type("enter")
        elif question.kind in (Kind.CHOICE, Kind.WORDS):
            options = spot.options()
            right = wanted(question, spot.around()) or ()
            number = next((n for n, option in enumerate(options, 1) if option in right), 1)
            if question.name == "how":
                number = options.index("seen") + 1
            await self.type(str(number))
            if spot.chosen:
                await self.type("enter")
        elif question.kind is Kind.TEXT:
            await self.type(spot.desk.name() if line.id == "name" else "x", "enter")
        elif question.kind is Kind.COUNT:
            await self.type("4", "enter")
        elif question.kind is Kind.HOLD:
            if step.part == "end":
                self._wait(10 + (question.seconds or 60))
            await self.type(readings[line.id], "enter")
        else:
            name = {"ballast.fill_time": "fill", "ballast.empty_time": "empty"}.get(
                question.measures, line.id
            )
            if name not in readings and question.name in readings:
                name = question.name
            await self.type(readings.get(name, "1"), "enter")
        if spot.outcome is not None:
            self.said.append(f"{line.id}: {spot.outcome.judged.words}")
            await self.type("enter")
        assert not spot.fault, (line.id, spot.fault)
        if spot.walk is not None and spot.walk.look_again:
            await self.type("enter")

    def _own(self, line: str, question: str) -> str | None:
        """What is typed here in place of the usual, if anything."""
        names = (f"{line}.{question}", line) if question in ("", "answer") else (f"{line}.{question}",)
        for name in names:
            found = self.instead.get(name)
            if isinstance(found, list):
                found = found.pop(0) if found else None
            if found is not None:
                return found
        return None
