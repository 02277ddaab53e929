"""Somebody who presses any key on any page, and remembers which pages were in front."""

from __future__ import annotations

import importlib
import pkgutil
import random
from collections.abc import Callable

import divelog.app.spots
from divelog.app.look.layout import SMALL, STANDARD, TINY, Place
from divelog.app.look.page import Page
from divelog.app.shell import Shell
from divelog.app.spot import Spot

KEYS = [
    *("enter", "down", "up", "space", "escape", "backspace", "left", "right", "pageup", "pagedown", "home", "end", "tab"),
    *"0123456789abcdefghijklmnopqrstuvwxyz?+-/.,!*#",
    *"\u00b2\u00bd\u2460\u0663\uff11\u00e9\u00df\u0130\u202e\u0301\ufffd\U0001f6a2",  # keys and signs of other keyboards
]  # fmt: skip
WEIGHTS = [12, 9, 3, 3, 4, 1, *([1] * (len(KEYS) - 6))]

Look = Callable[[Spot, Page], None]


def every_spot() -> set[str]:
    """Names of all pages there are."""
    for module in pkgutil.iter_modules(divelog.app.spots.__path__):
        importlib.import_module(f"divelog.app.spots.{module.name}")

    def below(kind: type[Spot]) -> set[type[Spot]]:
        return {kind, *(one for sub in kind.__subclasses__() for one in below(sub))}

    return {kind.__name__ for kind in below(Spot) if not kind.__abstractmethods__}


def look_at(shell: Shell, look: Look, layouts: tuple = (STANDARD,)) -> None:
    """Draw the page in front in some sizes."""
    for layout in layouts:
        look(shell.front, shell.draw(layout))


def openings(shell: Shell) -> list[Callable[[], None]]:
    """Every way to a page: places, pages below, each boat."""

    def place(where: Place) -> Callable[[], None]:
        return lambda: shell.go(where)

    def extra(name: str) -> Callable[[], None]:
        return lambda: shell.below(name)

    return [*(place(where) for where in Place), *(extra(name) for name in shell._extras)]


def roam(
    shell: Shell, look: Look, seed: int, keys: int, layouts: tuple = (STANDARD, SMALL, TINY),
    advance: Callable[[float], None] | None = None,
) -> set[str]:  # fmt: skip
    """From every opening some keys at random, each page drawn; names of the pages that were in front."""
    pick = random.Random(seed)
    seen: set[str] = set()
    ways = openings(shell)
    boats = list(shell.desk.boats)
    for way in ways:
        shell.change_boat(pick.choice(boats))
        way()
        look_at(shell, look, layouts)
        for _ in range(keys):
            seen.add(type(shell.front).__name__)
            key = pick.choices(KEYS, WEIGHTS)[0]
            shell.press(key)
            if advance is not None:
                advance(pick.choice((0.5, 3.0, 3.0, 45.0)))
            if pick.random() < 0.1:
                shell.tick()
            shell.asked_to_leave = False
            look_at(shell, look, (pick.choice(layouts),))
        seen.add(type(shell.front).__name__)
    return seen
