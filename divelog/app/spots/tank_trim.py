"""Tank trim: waterline, coins, pitch and list in one go, and which lead to move where."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from divelog.app.asking import Ask
from divelog.app.frames import framed
from divelog.app.look import answers
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Page, Part, Role, at
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import cut, wrap
from divelog.app.measure_asks import METALS, spread_words
from divelog.app.measuring import coins_told, conditions_told, with_events
from divelog.app.questions import Questions, how_to
from divelog.app.shell import Shell
from divelog.limits import catalogue
from divelog.limits.model import Limit
from divelog.limits.sheet import NotFittedError, UnknownError
from divelog.physics.errors import OutOfRangeError
from divelog.profiles.document import Basis, Num
from divelog.session.day import quantity
from divelog.text import shown

NEEDS = "a tank, coins, a telephone's level"
HOW = (
    "Running packs in, bubbles out; let her take the water's cold.",
    "Ballast empty: the waterline at her middle, from the keel.",
    "Ballast full: coins over the middle till she sinks; one off.",
    "Then how she lies: level along, then across.",
)
ANGLE_U95 = math.radians(0.5)
"""95 % of an angle by a telephone's level, two differences taken (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing found: its event, and the sentence about it."""

    event: dict[str, Any]
    title: str
    words: str


class TankTrim(Questions):
    """Questions afloat and dived, then advice; everything is written down by one Enter."""

    place = Place.LIMITS

    def __init__(self, shell: Shell) -> None:
        super().__init__(shell)
        self.place = shell.here
        self.found: tuple[Finding, ...] = ()
        self.advice: tuple[str, ...] = ()
        self.cautions: tuple[str, ...] = ()
        self.ready = False
        self._to_keep: list[dict[str, Any]] = []

    @property
    def questions(self) -> tuple[Ask, ...]:
        """An angle of nought needs no side."""
        found = [
            Ask("draught", "Waterline above the keel", "mm", "length", need=False, low=0.005, high=1.5),
            Ask(
                "coins",
                "Coins that stay on her",
                "g",
                "mass",
                need=False,
                low=0.0,
                note="Enter leaves the coins out",
            ),
        ]
        if self._known("coins"):
            found += [
                Ask("last", "The coin that sank her", "g", "mass", low=0.0001),
                Ask("metal", "The coins are", choices=METALS),
            ]
        found.append(Ask("pitch", "Pitch, dived", "deg", "angle", need=False, low=0.0, high=math.radians(60)))
        if self._angle("pitch"):
            found.append(Ask("pitch side", "Her bow is", choices=(("up", "up"), ("down", "down"))))
        found.append(Ask("list", "List, dived", "deg", "angle", need=False, low=0.0, high=math.radians(60)))
        if self._angle("list"):
            found.append(Ask("list side", "Lower is", choices=(("starboard", "starboard"), ("port", "port"))))
        if self.desk.slug is not None and self.desk.sheet().maybe("today.water.temperature") is None:
            found.append(Ask("water", "Water, surface", "degC", "temperature", low=271.0, high=313.15))
        return tuple(found)

    def _known(self, name: str) -> bool:
        answer = self.told.get(name)
        return answer is not None and answer.known

    def _angle(self, name: str) -> float:
        answer = self.told.get(name)
        return 0.0 if answer is None or answer.num is None else answer.num.si

    # -- worked out ---------------------------------------------------------------------------------------------

    def complete(self) -> None:
        """Findings, then the lead to move by them."""
        try:
            self._work_out()
        except (OutOfRangeError, UnknownError, NotFittedError, ValueError) as error:
            self.back()
            self.line.fault = shown(str(error))

    def _work_out(self) -> None:
        found: list[Finding] = []
        conditions = conditions_told(self.told, self.desk)
        draught = self.told["draught"]
        if draught.num is not None:
            num = Num(draught.num.si, draught.num.u95 or 0.001)
            found.append(
                self._finding(
                    "boat.draught",
                    "",
                    num,
                    "waterline",
                    spread_words(num.si, num.u95, "mm", "length"),
                    conditions,
                )
            )
        if self._known("coins"):
            balance = coins_told(self.told, self.desk)
            num = Num(balance.value, balance.u95, Basis.MEASURED)
            words = spread_words(num.si, num.u95, "g", "mass")
            found.append(self._finding("boat.dived_balance", "", num, "dived balance", words, conditions))
        readings = {}
        for name, minus in (("pitch", "down"), ("list", "port")):
            if self.told[name].num is None:
                continue
            sign = -1.0 if self._angle(name) and self.told[f"{name} side"].word == minus else 1.0
            num = Num(sign * self._angle(name), self.told[name].num.u95 or ANGLE_U95)  # type: ignore[union-attr]
            readings[f"trim.{name}", "dived"] = num
            side = f" {self._side(name)}" if self._angle(name) else ""
            words = f"{math.degrees(abs(num.si)):.1f} deg{side}"
            found.append(self._finding(f"trim.{name}", "dived", num, name, words, conditions))
        self.found = tuple(found)
        self.advice, self.cautions = self._advice(readings) if found else ((), ())
        self._to_keep = [one.event for one in found]
        self.ready = True

    def _side(self, name: str) -> str:
        word = self.told[f"{name} side"].word
        return f"bow {word}" if name == "pitch" else f"{word} down"

    def _finding(
        self, path: str, item: str, num: Num, title: str, words: str, conditions: dict[str, Any]
    ) -> Finding:
        event: dict[str, Any] = {
            "path": path, "value": quantity(num, words.replace(", give or take ", " ± ")), "conditions": conditions,
            "method": "tank trim",
        }  # fmt: skip
        if item:
            event["item"] = item
        return Finding(event, title, words)

    def _advice(self, readings: dict[tuple[str, str], Num]) -> tuple[tuple[str, ...], tuple[str, ...]]:
        events = [one.event for one in self.found if one.event["path"].startswith("boat.")]
        facts = with_events(self.desk, events)
        if "water" in self.told:
            num = self.told["water"].num
            assert num is not None
            path, fact = facts.typed("today.water.temperature", f"{num.si} K")
            facts = facts.with_sets({path: fact})
        sheet = self.desk.session.sheet(self.desk.asked(), facts, readings)
        said: list[str] = []
        cautions: list[str] = []
        for limit in catalogue.work_out(sheet, ("buoyancy.trim_change", "trim.pitch", "trim.list")):
            if limit.item not in ("", "dived") or (
                limit.key != "buoyancy.trim_change" and limit.reading is None
            ):
                continue
            said.append(_advised(limit))
            cautions += [c for c in limit.cautions if c not in cautions]
        return tuple(said), tuple(cautions)

    # -- drawing ------------------------------------------------------------------------------------------------

    def draw(self, layout: Layout) -> Page:
        """The questions, or what to move."""
        if self.ready:
            first = (Key("Enter", "keep"), Key("b", "back one line", "back"), Key("r", "again"))
            return framed(
                self, layout, self._result(layout), place=f"{self.place.title}: tank trim", first=first
            )
        keys = (
            Key("Enter", "keep"),
            Key("b", "back one line", "back"),
            Key("r", "again"),
            Key("u", "can't tell"),
        )
        return framed(
            self,
            layout,
            self.asking(layout, how_to(layout, NEEDS, HOW)),
            place=f"{self.place.title}: tank trim",
            first=keys,
        )

    def _result(self, layout: Layout) -> list[Block]:
        part: Part = ()
        for row, one in enumerate(self.found):
            part += at(row, layout.title, cut(one.title, layout.until(layout.title)))
            part += at(row, layout.reading, cut(one.words, layout.edge - layout.reading), Role.BOLD)
        blocks = [Block(part or answers.sentence(layout, 0, "Nothing was read."), row=4, rank=KEPT)]
        moves: Part = ()
        row = 0
        for text in self.advice:
            for n, line in enumerate(wrap(shown(text), layout.measure)):
                moves += at(row, layout.title, line, Role.BOLD if n == 0 else Role.TEXT)
                row += 1
        if moves:
            head = at(0, layout.sign, "Move", Role.BOLD) if layout.margin else ()
            blocks.append(Block(head + moves, row=10, rank=8))
        if self.cautions:
            blocks.append(
                Block(answers.cautions(layout, 0, [shown(c) for c in self.cautions]), row=18, rank=6)
            )
        return blocks

    # -- keys ---------------------------------------------------------------------------------------------------

    def press(self, key: str) -> bool:
        """Enter keeps a line, then all of it."""
        if not self.ready:
            return self.typed(key)
        if key == "enter":
            while self._to_keep:
                self.desk.keep("measured", self._to_keep[0])
                self._to_keep.pop(0)
            self.shell.pop()
        elif key == "b":
            self.ready = False
            self.back()
        elif key == "r":
            self.ready = False
            self.again()
        return key not in ("escape", "?", "/")


def _advised(limit: Limit) -> str:
    """A result as advice: what to move, or that all is well."""
    names = {"trim.pitch": "Pitch", "trim.list": "List", "buoyancy.trim_change": "Lead"}
    name = names[limit.key]
    if limit.missing:
        return f"{name}: needs {', '.join(p.split('.', 1)[-1].replace('_', ' ') for p in limit.missing[:2])}"
    if limit.key == "buoyancy.trim_change":
        return f"{name}: {limit.shown}" + (f" ({limit.remark})" if limit.remark else "")
    return (
        f"{name}: {limit.actions[0]}"
        if limit.actions and limit.moves
        else f"{name}: level enough, {limit.reading_text}"
    )
