"""Measure next: what would widen a limit first, with what it would buy; then everything else that can be measured."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from divelog.app.display import SHORT
from divelog.app.frames import framed
from divelog.app.look import answers, rows
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Page, Part, Role, at
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import cut
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.limits.guides import GUIDES, Guide
from divelog.limits.sensitivity import Gain, measure_next
from divelog.text import shown

A_PAGE = 9


@dataclass(frozen=True, slots=True)
class Offer:
    """One thing to measure: its title, what it would buy or what it needs, and how it is opened."""

    title: str
    words: str
    open: Callable[[Shell], Spot]
    gains: bool = False


def gain_words(gain: Gain) -> str:
    """``deepest keel 0.8 m, then 0.9 m``, or what it ends: an unknown, a guess."""
    name = "deepest keel" if gain.key == "depth.keel" else SHORT.get(gain.key, gain.key)
    if not gain.then:
        return f"{name} lacks it"
    if gain.now == "a guess":
        return f"{name} rests on a guess"
    was, then = gain.now.replace("give or take", "+/-"), gain.then.removeprefix("give or take ")
    return f"{name} {was}, then {then}"


def _guide(guide: Guide) -> Callable[[Shell], Spot]:
    def opened(shell: Shell) -> Spot:
        from divelog.app.spots.measure import Measure

        return Measure(shell, guide)

    return opened


def _leak(shell: Shell) -> Spot:
    from divelog.app.spots.leak_test import LeakTest

    return LeakTest(shell)


def _tank(shell: Shell) -> Spot:
    from divelog.app.spots.tank_trim import TankTrim

    return TankTrim(shell)


def offers(gains: tuple[Gain, ...]) -> tuple[Offer, ...]:
    """All of them, the greatest gain first."""
    found = [Offer(g.guide.title, gain_words(g), _guide(g.guide), True) for g in gains]
    found.append(Offer("leak test", "gauge, thermometer: with a timer", _leak))
    found.append(Offer("tank trim", "waterline, coins, pitch and list", _tank))
    taken = {g.guide.id for g in gains}
    found += [Offer(g.title, g.needs, _guide(g)) for g in GUIDES if g.id not in taken]
    return tuple(found)


class MeasureList(Spot):
    """Nine to a page; a digit opens the guide."""

    place = Place.LIMITS

    def __init__(self, shell: Shell) -> None:
        super().__init__(shell)
        self.place = shell.here
        self.top = 0
        self.found: tuple[Offer, ...] = ()

    def enter(self) -> None:
        """Ranked anew: something may have been measured."""
        if self.desk.slug is not None:
            self.found = offers(measure_next(self.desk.sheet(), self.desk.limits(), len(GUIDES)))
            self.top = min(self.top, (len(self.found) - 1) // A_PAGE * A_PAGE)

    def draw(self, layout: Layout) -> Page:
        """What it would buy stands beside each."""
        if self.desk.slug is None:
            return framed(
                self, layout, [Block(answers.sentence(layout, 0, "Take a boat first: 1 in places."), row=4)]
            )
        page = self.found[self.top : self.top + A_PAGE]
        part: Part = ()
        row = 0
        right = layout.limit if layout.limit is not None else layout.reading
        gained = [o for o in page if o.gains]
        for n, one in enumerate(page, 1):
            if row and gained and one is next((o for o in page if not o.gains), None):
                row += 1
            part += rows.number(layout, row, str(n))
            room = (right if not one.gains or not layout.margin else layout.edge) - layout.title - 1
            part += at(row, layout.title, cut(one.title, room), Role.BOLD if one.gains else Role.TEXT)
            column = right
            if one.gains and layout.margin:
                row, column = row + 1, layout.reading
            part += at(row, column, cut(shown(one.words), layout.edge - column))
            row += 1
        blocks = [Block(part, row=4, rank=KEPT)]
        if not any(o.gains for o in self.found):
            text = "Nothing would move a number of the first page today; all of it can be measured anew."
            blocks.append(Block(answers.sentence(layout, 0, text), row=19, rank=2))
        elif gained:
            text = "As shown now, and as it would be if the value is what it is thought to be."
            blocks.append(Block(answers.sentence(layout, 0, text), row=19, rank=2))
        what = f"{self.top + 1} to {self.top + len(page)} of {len(self.found)}"
        return framed(
            self, layout, blocks, place="Measure next", what=what,
            first=(Key("1-9", "guide"), Key("down", "further"), Key("up", "back"), None),
            second=(Key("?", "keys"), None, None, None),
        )  # fmt: skip

    def press(self, key: str) -> bool:
        """A digit opens, arrows turn the page."""
        if key.isdecimal() and key != "0":
            index = self.top + int(key) - 1
            if index < min(len(self.found), self.top + A_PAGE):
                self.shell.push(self.found[index].open(self.shell))
            return True
        if key in ("down", "pagedown", "space"):
            self.top = self.top + A_PAGE if self.top + A_PAGE < len(self.found) else self.top
            return True
        if key in ("up", "pageup"):
            self.top = max(0, self.top - A_PAGE)
            return True
        return False
