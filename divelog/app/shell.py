"""The frame around the pages: which place is in front, what lies on top of it, Esc and the short ways."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager

from divelog.app.desk import Desk
from divelog.app.look.layout import STANDARD, Layout, Place
from divelog.app.look.page import Page
from divelog.app.running import Watch
from divelog.app.spot import Spot
from divelog.files import StorageError
from divelog.session.session import ReadOnlyError

Maker = Callable[["Shell"], Spot]

_SHORT_WAYS = {"c": Place.CHECKS, "g": Place.LOG, "k": Place.UPKEEP, "d": Place.LIMITS}


class Shell:
    """Keeps one spot for each place, and a stack of pages on top of the one in front."""

    def __init__(self, desk: Desk, makers: dict[Place, Maker], extras: dict[str, Maker]) -> None:
        self.desk = desk
        self._makers = makers
        self._extras = extras
        self._spots: dict[Place, Spot] = {}
        self._stack: list[Spot] = []
        self.put_away: Spot | None = None
        """The page that was just taken away, while the one below it comes to the front."""
        self.here = Place.BOATS
        self.places_open = False
        self.asked_to_leave = False
        self.bell_wanted = False
        self.watch = Watch(desk)
        """Runs that are on, whatever page is in front."""
        self.suspend: Callable[[], AbstractContextManager[None]] | None = None
        """Hands the terminal to another program, such as the person's editor; None where that cannot be."""

    # -- where we are -------------------------------------------------------------------------------------------

    @property
    def front(self) -> Spot:
        """The page in front."""
        return self._stack[-1] if self._stack else self.spot(self.here)

    def spot(self, place: Place) -> Spot:
        """The spot of a place, made when first asked for."""
        if place not in self._spots:
            self._spots[place] = self._makers[place](self)
        return self._spots[place]

    def go(self, place: Place) -> None:
        """Bring a place to the front; pages on top of the old one are put away."""
        self._stack.clear()
        self.places_open = False
        self.here = place
        self.spot(place).enter()

    def push(self, spot: Spot) -> None:
        """Lay a page on top."""
        self.places_open = False
        self._stack.append(spot)
        spot.enter()

    def pop(self) -> None:
        """Take the page on top away."""
        self.put_away = self._stack.pop() if self._stack else None
        self.front.enter()
        self.put_away = None

    def front_is_below(self, spot: Spot) -> bool:
        """True where a page lies on top of a place, so that Esc goes back and not to the places."""
        return spot in self._stack

    def below(self, name: str) -> None:
        """Open an extra page by name (trouble, note, keys, leave …)."""
        if name in self._extras:
            self.push(self._extras[name](self))

    def change_boat(self, slug: str) -> None:
        """Make another boat the current one; pages of the old one are put away."""
        self.desk.choose(slug)
        self._stack.clear()
        self._spots = {place: spot for place, spot in self._spots.items() if place is Place.BOATS}

    # -- drawing and keys ---------------------------------------------------------------------------------------

    def draw(self, layout: Layout) -> Page:
        """The page in front."""
        return self.front.draw(layout)

    def draw_text(self) -> str:
        """The page in front as plain text at 80 x 24."""
        return self.draw(STANDARD).text()

    def press(self, key: str) -> None:
        """One key. A storage fault becomes a page that says what is kept and what is not."""
        try:
            self._press(key)
        except (StorageError, ReadOnlyError) as error:
            from divelog.app.spots.not_kept import NotKept

            self.push(NotKept(self, error))

    def _press(self, key: str) -> None:
        if self.places_open:
            self.places_open = False
            if key.isdecimal() and 1 <= int(key) <= len(Place):
                self.go(Place(int(key)))
            elif key == "q":
                self.below("leave")
            return
        if self.front.press(key):
            return
        if key == "escape":
            if self._stack:
                self.pop()
            else:
                self.places_open = True
        elif self.front.typing:
            return
        elif key in ("?", "/"):
            self.below("keys")
        elif key == "t":
            self.below("trouble")
        elif key == "n":
            self.below("note")
        elif key == "a":
            self.go(Place.BOATS)
        elif key == "q":
            self.below("leave")
        elif key in _SHORT_WAYS and self.desk.slug is not None:
            self.go(_SHORT_WAYS[key])

    def tick(self) -> None:
        """A second has passed."""
        self.bell_wanted = self.watch.rings() or self.bell_wanted
        self.front.tick()
