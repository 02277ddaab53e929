"""What ten answers come to: three numbers, how much is assumed, what to prove first and what to measure next."""

from __future__ import annotations

from divelog.app import ten_kept
from divelog.app.display import number_of
from divelog.app.frames import framed
from divelog.app.look import answers, figures
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Kind, Page, Part, Role, at, below
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import cut
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.app.spots.measure_list import gain_words
from divelog.limits.model import Limit, Verdict
from divelog.profiles.document import Basis
from divelog.text import shown

PROVE_FIRST = (
    "failsafe: half a metre of water, hook in hand, transmitter off",
    "then ten minutes on a string, and the towel",
)


class FirstNumbers(Spot):
    """Lies on Boats once she is written down."""

    place = Place.BOATS

    def __init__(self, shell: Shell, made: str) -> None:
        super().__init__(shell)
        self.made = made
        self.look = ten_kept.first_look(self.desk.session, made)

    def draw(self, layout: Layout) -> Page:
        """Three numbers large or in words, then what would help most."""
        look = self.look
        right = layout.limit if layout.limit is not None else layout.reading
        top = at(0, layout.title, cut("Back, charged full", right - layout.title - 2), Role.BOLD)
        top += at(0, right, "Deepest keel", Role.BOLD, Kind.AFTER)
        top += _large(layout, layout.title, look.endurance, ("min after launch", "min"), right - 2)
        top += _large(layout, right, look.keel, ("m",), None)
        trim = at(0, layout.title, "Trim", Role.BOLD) + at(
            0, layout.reading, cut(_trim(look.trim), layout.edge - layout.reading), Role.BOLD
        )
        blocks = [Block(top, row=3, rank=KEPT), Block(trim, row=8, rank=8)]
        said = f"{look.assumed} of {look.inputs} inputs are assumed (*){', ' + look.water if look.water else ''}."
        blocks.append(Block(answers.sentence(layout, 0, said), row=10, rank=8))
        first = answers.note(layout, 0, "Prove first", PROVE_FIRST[0], loud=True)
        first += answers.sentence(layout, below(first), PROVE_FIRST[1])
        blocks.append(Block(first, row=12, rank=7))
        if look.gains:
            part = at(0, layout.sign, "Measure", Role.BOLD) if layout.margin else ()
            for row, gain in enumerate(look.gains):
                part += at(row, layout.title, cut(gain.guide.title, layout.measure), Role.BOLD)
                if layout.limit is not None:
                    room = layout.edge - layout.limit
                    part += at(row, layout.limit, cut(shown(gain_words(gain)), room))
            blocks.append(Block(part, row=16, rank=6))
        keys = (Key("Enter", "limits"), Key("m", "measure"), Key("f", "her file"), Key("a", "all boats"))
        return framed(self, layout, blocks, place="Boats", what="written down", first=keys)

    def press(self, key: str) -> bool:
        """Enter opens her limits."""
        if key == "enter":
            self.shell.go(Place.LIMITS)
        elif key == "m":
            self.shell.below("measure")
        elif key == "f":
            self.shell.below("her file")
        elif key == "a":
            self.shell.go(Place.BOATS)
        else:
            return False
        return True


def _large(layout: Layout, column: int, limit: Limit | None, unit: tuple[str, ...], end: int | None) -> Part:
    if (
        limit is None
        or limit.verdict is Verdict.UNKNOWN
        or not number_of(limit.shown).rstrip("*").replace(".", "").isdecimal()
    ):
        return at(3, column, "unknown", Role.BOLD, Kind.AFTER)
    text = number_of(limit.shown).rstrip("*")
    star = "*" if limit.starred or limit.basis is Basis.ASSUMED else ""
    return figures.figure(layout, 1, column, text, step=3, unit=tuple(f"{u}{star}" for u in unit), end=end)


def _trim(limit: Limit | None) -> str:
    if limit is None or limit.verdict is Verdict.UNKNOWN:
        return "unknown until the coins are laid on her"
    return shown(limit.shown)
