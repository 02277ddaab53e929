"""Upkeep: what is due and what wears, worst first in three groups; a digit opens its history, d says it was done."""

from __future__ import annotations

from dataclasses import replace

from divelog.app.desk import Desk
from divelog.app.frames import framed
from divelog.app.look import answers, rows
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Page, Role, joined
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import Status
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.app.upkeep_rows import Item, grouped, items_of, spoken, told
from divelog.history.folding import fold
from divelog.history.tracing import Trace, traces
from divelog.journal.events import Event
from divelog.journal.merging import in_order
from divelog.session.tending import Tended, tend
from divelog.text import shown

A_PAGE = 9
SMALL_PRINT = (
    "Wear is worked out from six like readings up; it starts afresh at every change of part. Nothing here foretells a"
    " failure."
)


class Tending:
    """Upkeep of boats, kept until their log or the hour changes."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._kept: dict[str, tuple[tuple[object, ...], Tended, tuple[Item, ...]]] = {}

    def of(self, slug: str) -> tuple[Tended, tuple[Item, ...]]:
        """What is due for a boat, with its rows."""
        desk = self._desk
        events = desk.session.log(slug).events
        token = (events, desk.now().replace(minute=0, second=0, microsecond=0), desk.document(slug))
        kept = self._kept.get(slug)
        if kept is None or kept[0][0] is not events or kept[0][1:] != token[1:]:
            limits = {(one.key, one.item): one for one in desk.limits(slug)}
            made = tend(
                desk.session, slug, desk.now(), desk.sheet(slug), lambda key, item: limits.get((key, item))
            )
            kept = self._kept[slug] = (token, made, items_of(made))
        return kept[1], kept[2]


def write_done(desk: Desk, item: Item, tended: Tended, slug: str) -> tuple[str, str]:
    """Write that an item was seen to now, with the hours it was done at; the margin word and the words for the page."""
    if not item.service:
        return "Not so", f"{item.title} is read, or proved by its list: c goes to Checks"
    seal = item.service.removeprefix("seal.").replace("_", " ") if item.service.startswith("seal.") else ""
    data: dict[str, object] = {"item": item.service, "hours_at": {"si": tended.care.use.hours * 3600.0}}
    if seal:
        data["seals"] = [seal]  # a seal seen to was lifted: its dry tests are to be made again
    desk.keep("serviced", data, slug=slug)
    lifted = "; the seal was lifted, so she is to be proved dry again" if seal else ""
    return "Kept", f"{item.title} done now, at {tended.care.use.hours:.1f} h{lifted}"


class Upkeep(Spot):
    """The rows of one boat."""

    place = Place.UPKEEP

    def __init__(self, shell: Shell) -> None:
        super().__init__(shell)
        self.tending = Tending(shell.desk)
        self.focus = 0
        self.top = 0
        self.doing = False
        self.said: tuple[str, str] | None = None
        self._page = A_PAGE

    def enter(self) -> None:
        """Nothing half said."""
        self.doing = False

    def _items(self) -> tuple[Item, ...]:
        assert self.desk.slug is not None
        return self.tending.of(self.desk.slug)[1]

    # -- drawing ------------------------------------------------------------------------------------------------

    def draw(self, layout: Layout) -> Page:
        """Nine rows, and what wear says of the first that speaks."""
        if self.desk.slug is None:
            return framed(
                self, layout, [Block(answers.sentence(layout, 0, "Take a boat first: 1 in places."), row=4)]
            )
        tended, items = self.tending.of(self.desk.slug)
        self.focus = min(self.focus, max(0, len(items) - 1))
        self._page = A_PAGE if layout.margin else A_PAGE - 1
        self.top = self.focus // self._page * self._page
        page = items[self.top : self.top + self._page]
        listed = grouped(page)
        if layout.gauge is None and not layout.margin:
            listed = [row for row in listed if row is not None]
        places = [n for n, row in enumerate(listed) if row is not None]
        focus = places[self.focus - self.top] if page else None
        blocks = [Block(rows.listed(layout, 0, listed, focus=focus), row=4, rank=KEPT)]
        if not items:
            blocks = [Block(answers.sentence(layout, 0, "Nothing is followed yet."), row=4, rank=KEPT)]
        blocks += self._below(layout, page)
        first = (Key("1-9", "history"), Key("d", "done now"), Key("n", "note"), Key("v", "every boat"))
        more = None
        if len(items) > self._page:
            more = Key("down", f"{self.top + len(page)} of {len(items)}", "more")
        return framed(
            self, layout, blocks, what=use_words(tended), first=first,
            second=(Key("?", "keys"), Key("a", "another boat"), more, None),
        )  # fmt: skip

    def _below(self, layout: Layout, page: tuple[Item, ...]) -> list[Block]:
        if self.doing:
            ask = answers.note(
                layout, 0, "Done now", "which one? Its digit; Esc for none", loud=True, role=Role.BOLD
            )
            return [Block(ask, row=18, rank=KEPT)]
        if self.said:
            word, text = self.said
            return [Block(answers.note(layout, 0, word, shown(text), loud=True), row=18, rank=KEPT)]
        focused = page[self.focus - self.top : self.focus - self.top + 1]
        said = told(focused[0]) if focused else ""
        # Before anybody moves, wear speaks first.
        words = (said if self.focus else "") or spoken(page) or said
        blocks = []
        if words:
            blocks.append(Block(answers.sentence(layout, 0, shown(words)), row=16, rank=4))
        blocks.append(Block(answers.sentence(layout, 0, SMALL_PRINT), row=19, rank=2))
        return blocks

    # -- keys ---------------------------------------------------------------------------------------------------

    def press(self, key: str) -> bool:
        """Digits open or, after d, say what was done."""
        if self.desk.slug is None:
            return False
        self.said = None
        if key.isdecimal() and key != "0":
            self._digit(int(key))
            return True
        if self.doing:
            self.doing = False
            return key == "escape"
        if key in ("down", "up"):
            step = 1 if key == "down" else -1
            self.focus = min(max(self.focus + step, 0), max(0, len(self._items()) - 1))
            return True
        if key in ("pagedown", "pageup"):
            step = self._page if key == "pagedown" else -self._page
            self.focus = min(max(self.focus + step, 0), max(0, len(self._items()) - 1))
            return True
        if key == "enter" and self._items():
            self._open(self._items()[self.focus])
            return True
        if key == "d":
            self.doing = True
            return True
        if key == "v":
            self.shell.below("upkeep of all")
            return True
        return False

    def _digit(self, digit: int) -> None:
        items = self._items()
        index = self.top + digit - 1
        if index >= len(items):
            return
        if not self.doing:
            self._open(items[index])
            return
        assert self.desk.slug is not None
        self.doing = False
        self.said = write_done(self.desk, items[index], self.tending.of(self.desk.slug)[0], self.desk.slug)

    def _open(self, item: Item) -> None:
        from divelog.app.spots.wear import ItemPage

        self.shell.push(ItemPage(self.shell, item.name, self.tending))


def use_words(tended: Tended) -> str:
    """``14.6 h, 31 runs``; a star where hours of a run nobody timed are a guess."""
    use = tended.care.use
    star = "*" if any(run.guessed for run in use.runs) else ""
    runs = len(use.runs)
    return f"{use.hours:.1f} h{star}, {runs} {'run' if runs == 1 else 'runs'}"


class EveryBoat(Spot):
    """Each boat with what is worst about her; a digit goes to her rows."""

    place = Place.UPKEEP

    def __init__(self, shell: Shell) -> None:
        super().__init__(shell)
        self.tending = Tending(shell.desk)
        self.top = 0
        self._traced: tuple[list[tuple[Event, ...]], tuple[Trace, ...]] | None = None

    def draw(self, layout: Layout) -> Page:
        """Boats in their own order, up to two things each."""
        room = 4 if layout.gauge is not None else 3 if layout.margin else 1
        entries = []
        row = 0
        blocked = False
        for number, slug in enumerate(self.desk.boats[self.top : self.top + room], 1):
            entry = self._entry(slug, str(number))
            block = entry.status is Status.OUTSIDE and not blocked
            blocked = blocked or block
            if layout.gauge is None:
                entry = replace(entry, more="")
            entries.append(rows.entry(layout, row, entry, block=block))
            row += 2 + len(entry.under)
        left = len(self.desk.boats) - self.top - room
        blocks = [Block(joined(entries), row=4, rank=KEPT)]
        if left > 0:
            blocks.append(Block(answers.sentence(layout, 0, f"and {left} more: down"), row=20, rank=3))
        shared = self.shared()
        if shared:
            more = f"; and {len(shared) - 1} more" if len(shared) > 1 else ""
            words = f"{shared[0].words()}{more}."
            words = f"{words[:1].upper()}{words[1:]}"
            blocks.append(Block(answers.note(layout, 0, "Shared", shown(words), loud=True), row=18, rank=6))
        return framed(
            self, layout, blocks, boat="All boats", place="Upkeep", what="what is worst",
            first=(Key("1-9", "her upkeep"), None, None, None), second=(Key("?", "keys"), None, None, None),
        )  # fmt: skip

    def shared(self) -> tuple[Trace, ...]:
        """Faults that two boats share with one pack, set or receiver."""
        logs = [self.desk.session.log(slug).events for slug in self.desk.boats]
        if self._traced is None or any(a is not b for a, b in zip(self._traced[0], logs, strict=True)):
            events = {event.id: event for log in logs for event in log}
            self._traced = (logs, traces(fold(in_order(events.values())).runs))
        return self._traced[1]

    def _entry(self, slug: str, number: str) -> rows.Entry:
        name = shown(self.desk.name(slug))
        if self.desk.document(slug).faults:
            return rows.Entry(name, "fault in her file", "", Status.UNKNOWN, number=number, strong=True)
        tended, items = self.tending.of(slug)
        bad = [item for item in items if item.group < 2]
        under = tuple(shown(_short(item)) for item in bad[:2])
        status = items[0].status if bad else Status.WITHIN
        words = f"{len(bad)} to see to" if bad else "nothing due"
        return rows.Entry(name, words, use_words(tended), status, number=number, under=under, strong=True)

    def press(self, key: str) -> bool:
        """A digit takes that boat."""
        if key.isdecimal() and key != "0":
            index = self.top + int(key) - 1
            if index < len(self.desk.boats):
                self.shell.change_boat(self.desk.boats[index])
                self.shell.go(Place.UPKEEP)
            return True
        if key in ("down", "pagedown") and self.top + 1 < len(self.desk.boats):
            self.top += 1
            return True
        if key in ("up", "pageup"):
            self.top = max(0, self.top - 1)
            return True
        return False


def _short(item: Item) -> str:
    """``shaft grease 4.3 of 4 h``."""
    row, due = item.row, item.due
    if due is not None and due.used is not None and row.reading:
        return f"{item.title} {due.used:.3g} of {due.allowed:g} {due.unit}"
    return f"{item.title} {row.reading}, {row.limit}" if row.reading else f"{item.title}: {row.limit}"
