"""What a paper is made of, gathered by whoever asks for one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from divelog.checks.around import Around
from divelog.checks.model import CheckList
from divelog.checks.state import Walk
from divelog.history.folding import History
from divelog.journal.events import Event
from divelog.limits.model import Limit
from divelog.papers.sheets.figures import day_words
from divelog.profiles.document import Document, Fact
from divelog.text import shown
from divelog.upkeep.due import DueRow


@dataclass(frozen=True)
class Given:
    """One boat at one moment. ``limits``: all of them on the day; ``walk``: the walk before the dive that is on, or an
    empty one; ``history``, ``dues`` and ``measured`` of this boat; ``corrections``: how many the log has."""

    slug: str
    boat: Document
    around: Around
    limits: tuple[Limit, ...]
    lists: Mapping[str, CheckList]
    walk: Walk
    history: History
    dues: Sequence[DueRow] = ()
    measured: Mapping[str, Fact] | None = None
    events: Sequence[Event] = ()
    """Hers and those of no boat, after corrections, in order of time; none ahead of the moment."""
    day_open: bool = False
    """Whether the day's water was entered today: older figures are another day's."""

    @property
    def made(self) -> datetime:
        """The moment it is made."""
        return self.around.moment.wall

    @property
    def name(self) -> str:
        """The boat's name in capitals."""
        return shown(self.boat.text_at("name") or self.slug, 40).upper()

    @property
    def place(self) -> str:
        """The site of the day, by name; empty where none is known."""
        return shown(self.around.facts.site.text_at("name"), 60)

    def limit(self, key: str, item: str = "") -> Limit | None:
        """One limit; the first of its key where no item is named."""
        found = [one for one in self.limits if one.key == key]
        return next((one for one in found if one.item == item), found[0] if found and not item else None)

    def where(self, blank: bool = False) -> str:
        """Site and day of a paper, or blanks for both."""
        if blank:
            return "Site ____________________   Date ____________"
        water = self.around.number("today.water.temperature") if self.day_open else None
        degrees = f", {water.si - 273.15:.0f} degC" if water is not None else ""
        return f"{self.place or 'no site'}{degrees}, {day_words(self.made)}"
