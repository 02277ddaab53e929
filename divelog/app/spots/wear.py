"""The history of one item of upkeep: its readings as a chart where it wears, else when it was seen to or proved."""

from __future__ import annotations

from collections.abc import Sequence

from divelog.app.frames import date_words, framed
from divelog.app.look import answers, charts, rows
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Page, Role, at, joined
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import Status, cut, wrap
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.app.spots.upkeep import Tending, write_done
from divelog.app.upkeep_rows import Item
from divelog.journal.payload import text, texts
from divelog.session.wearing import Series
from divelog.text import shown
from divelog.upkeep.due import DueVerdict
from divelog.upkeep.wear_words import details, line
from divelog.upkeep.words import allowance, sentence


class ItemPage(Spot):
    """One item: chart or dates; d says it was done now."""

    place = Place.UPKEEP

    def __init__(self, shell: Shell, name: str, tending: Tending) -> None:
        super().__init__(shell)
        self.name = name
        self.tending = tending
        self.said: tuple[str, str] | None = None
        self.doing = False

    def item(self) -> Item | None:
        """The item as it stands now."""
        assert self.desk.slug is not None
        return next((item for item in self.tending.of(self.desk.slug)[1] if item.name == self.name), None)

    def draw(self, layout: Layout) -> Page:
        """The chart, or the dates."""
        item = self.item()
        if item is None:
            blocks = [Block(answers.sentence(layout, 0, "This is not followed any more."), row=4, rank=KEPT)]
            return framed(self, layout, blocks, place="Upkeep")
        wears = item.series is not None
        blocks = (
            self._chart(layout, item.series, item) if item.series is not None else self._dates(layout, item)
        )
        if self.doing:
            ask = answers.note(layout, 0, "Done now", "Enter says yes; Esc not", loud=True, role=Role.BOLD)
            blocks = [*blocks[:-1], Block(ask, row=20, rank=KEPT)]
        elif self.said:
            word, words = self.said
            blocks = [
                *blocks[:-1],
                Block(answers.note(layout, 0, word, shown(words), loud=True), row=20, rank=KEPT),
            ]
        done = Key("d", "done now") if item.service else None
        return framed(
            self, layout, blocks, place="Upkeep: wear" if wears else "Upkeep: item", what=shown(item.title),
            first=(done, Key("n", "note"), None, None), second=(Key("?", "keys"), None, None, None),
        )  # fmt: skip

    # -- a chart ------------------------------------------------------------------------------------------------

    def _chart(self, layout: Layout, series: Series, item: Item) -> list[Block]:
        wear = series.wear
        said = line(wear).rstrip(".").split("; ")
        value = said[0].removeprefix(f"{wear.quantity.label} ")
        start = wear.cut.at if wear.cut is not None else 0.0
        points = tuple(charts.Point(p.at - start, p.value, True) for p in wear.before)
        points += tuple(charts.Point(p.at - start, p.value) for p in wear.since)
        limit = wear.limit.shown if wear.limit is not None else None
        drawn = charts.Wear(
            points, wear.quantity.unit, limit, "at most" if wear.quantity.upper else "at least",
            (0.0,) if wear.cut is not None else (), "hours",
        )  # fmt: skip
        top = rows.status(layout, 0, item.status) + at(0, layout.title, cut(value, 31), Role.BOLD)
        if len(said) > 1 and layout.limit is not None and layout.gauge is not None:
            top += at(0, layout.limit, cut(said[1].split(" (")[0], layout.edge - layout.limit))
        names = [("|", shown(wear.cut.why))] if wear.cut is not None else []
        names += [(charts.BEFORE, "before")] if wear.before else []
        key = charts.legend(
            layout, 0, [*names, (charts.SINCE, "since" if wear.cut is not None else "readings")]
        )
        words = [shown(_stopped(each)) for each in (*said[2:3], *details(wear))]
        below = answers.sentence(layout, 0, fitting(words, layout.measure), most=2)
        return [
            Block(top, row=3, rank=KEPT),
            Block(charts.wear_chart(layout, 0, drawn), row=5, rank=KEPT),
            Block(key, row=18, rank=3),
            Block(below, row=19, rank=4, close=True),
        ]

    # -- dates --------------------------------------------------------------------------------------------------

    def _dates(self, layout: Layout, item: Item) -> list[Block]:
        now = self._now(item)
        top = rows.status(layout, 0, item.status, block=item.status is Status.OUTSIDE)
        top += answers.sentence(layout, 0, shown(now), role=Role.BOLD, most=2)
        parts = []
        room = 12 if layout.gauge is not None else 8 if layout.margin else 4
        for row, (when, words) in enumerate(self._past(item)[:room]):
            lead = cut(when, layout.number - 1) if layout.margin else ""
            said = cut(shown(words if layout.margin else f"{when}: {words}"), layout.edge - layout.title)
            parts.append(at(row, layout.sign, lead) + at(row, layout.title, said))
        if not parts:
            parts.append(answers.sentence(layout, 0, "Nothing is written down of it yet."))
        blocks = [Block(top, row=4, rank=KEPT), Block(joined(parts), row=7, rank=KEPT)]
        return [*blocks, Block(answers.sentence(layout, 0, self._rule(item)), row=20, rank=2)]

    def _now(self, item: Item) -> str:
        if item.due is not None:
            words = sentence(item.due)
            return f"{words}; {allowance(item.due)}" if item.due.used is None else words
        row = item.row
        return f"{row.reading}, {row.limit}" if row.reading else row.limit

    def _rule(self, item: Item) -> str:
        if item.due is not None and item.due.verdict is DueVerdict.WITHIN and item.due.due_by:
            return "The day is at the recent rate; a season breaks it."
        if item.holding is not None:
            return "Measured by a capacity test; the kit's file holds it."
        return ""

    def _past(self, item: Item) -> list[tuple[str, str]]:
        """What the log holds of the item, newest first: services, fittings, proofs given."""
        assert self.desk.slug is not None
        seal = item.name.removeprefix("seal.").replace("_", " ") if item.name.startswith("seal.") else ""
        found: list[tuple[str, str]] = []
        for event in self.desk.session.log(self.desk.slug).events:
            if not event.known or event.boat != self.desk.slug:
                continue
            words = ""
            if event.what == "serviced" and event.payload().get("item") == item.name:
                data = event.payload()
                words = ", ".join(
                    w
                    for w in ("seen to", text(data.get("consumable")) or "", text(data.get("cost")) or "")
                    if w
                )
            elif event.what == "fitted" and seal:
                data = event.payload()
                if seal in (text(data.get("item")), text(data.get("new")), *texts(data.get("seals"))):
                    words = "renewed"
            elif event.what == "check.answered" and item.due is not None and item.due.proof:
                data = event.payload()
                if item.name in texts(data.get("gives")):
                    words = "proved"
                elif item.name in texts(data.get("fails")):
                    words = "failed"
            if words:
                found.append((date_words(event.local, True).split(" ", 1)[1], words))
        found.reverse()
        return found

    # -- keys ---------------------------------------------------------------------------------------------------

    def press(self, key: str) -> bool:
        """d, then Enter."""
        if self.doing:
            self.doing = False
            item = self.item()
            if key == "enter" and item is not None and self.desk.slug is not None:
                self.said = write_done(self.desk, item, self.tending.of(self.desk.slug)[0], self.desk.slug)
            return True
        item = self.item()
        if key == "d" and item is not None and item.service:
            self.doing = True
            return True
        return key == "d"


def fitting(sentences: Sequence[str], measure: int, most: int = 2) -> str:
    """The whole sentences that have room in so many lines; the first in any case."""
    said = ""
    for each in sentences:
        longer = f"{said} {each}".strip()
        if said and len(wrap(longer, measure)) > most:
            continue
        said = longer
    return said


def _stopped(words: str) -> str:
    return words if words.endswith((".", "?")) else f"{words}."
