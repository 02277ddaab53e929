"""What a page of the program is: it draws itself as a page model and takes keys. No framework here."""

from __future__ import annotations

from abc import ABC, abstractmethod
from typing import TYPE_CHECKING

from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Page

if TYPE_CHECKING:
    from divelog.app.desk import Desk
    from divelog.app.shell import Shell


class Spot(ABC):
    """One page: a place of the outing, or a page below one.

    ``press`` returns True where it took the key; what it leaves goes to the shell (Esc, places, short ways).
    A key is a printable character, or one of: enter, space, backspace, escape, up, down, left, right, pageup,
    pagedown, home, end, tab.
    """

    place: Place = Place.BOATS
    typing: bool = False
    """True while letters are text: then the shell's short ways stand back."""

    def __init__(self, shell: Shell) -> None:
        self.shell = shell

    @property
    def desk(self) -> Desk:
        """What all pages share."""
        return self.shell.desk

    @abstractmethod
    def draw(self, layout: Layout) -> Page:
        """The page as it stands now; pure and quick."""

    @abstractmethod
    def press(self, key: str) -> bool:
        """Take a key; False where it means nothing here."""

    def enter(self) -> None:  # noqa: B027  most pages need nothing here
        """The page comes to the front: read again what may have changed."""

    def tick(self) -> None:  # noqa: B027
        """A second has passed."""
