"""Log: everything that was written down of a boat (or of all), newest first, of any length; Enter opens a line."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from divelog.app.form import typing_keys
from divelog.app.frames import clock_words, framed
from divelog.app.logbook import chosen, day_words, loud, matches, rest_of, run_ends, title_of
from divelog.app.look import answers, plate, rows
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Page, Part, joined
from divelog.app.look.stack import KEPT, Block
from divelog.app.phrases import clause
from divelog.app.sentences import Around, said
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.app.typed import Typed
from divelog.clock import day_month
from divelog.journal.events import Event
from divelog.journal.loading import LoadedJournal
from divelog.journal.merging import in_order
from divelog.text import shown

A_LOOK = 3000
"""Lines looked through at once; a rare word goes on being looked for at every tick."""


@dataclass(slots=True)
class Found:
    """Lines of the list as far as they are known: all of them, or those that match, found as they are needed."""

    lines: tuple[Event, ...]
    query: str
    around: Around
    hits: list[int] = field(default_factory=list)
    looked: int = 0

    def at(self, index: int) -> Event | None:
        """The line at a place of the list, if it is known."""
        if not self.query:
            return self.lines[index] if 0 <= index < len(self.lines) else None
        return self.lines[self.hits[index]] if 0 <= index < len(self.hits) else None

    @property
    def known(self) -> int:
        """How many lines the list has, as far as is known."""
        return len(self.hits) if self.query else len(self.lines)

    @property
    def done(self) -> bool:
        """True where the whole log was looked through."""
        return not self.query or self.looked >= len(self.lines)


class Log(Spot):
    """The list. Only the lines on the screen are put into words."""

    place = Place.LOG

    def __init__(self, shell: Shell, everybody: bool = False) -> None:
        super().__init__(shell)
        self.everybody = everybody
        self.every = False
        self.query = ""
        self.typed: Typed | None = None
        self.focus = 0
        self.top = 0
        self._found: tuple[tuple[object, ...], Found] | None = None
        self._room = 16

    @property
    def typing(self) -> bool:  # type: ignore[override]
        """True while the word to look for is typed."""
        return self.typed is not None

    # -- lines --------------------------------------------------------------------------------------------------

    def _slugs(self) -> tuple[str, ...]:
        if self.everybody:
            return self.desk.boats
        return (self.desk.slug,) if self.desk.slug is not None else ()

    def log_of(self, event: Event) -> LoadedJournal:
        """The log a line stands in."""
        slugs = self._slugs()
        slug = event.boat if event.boat in slugs else slugs[0]
        assert slug is not None
        return self.desk.session.log(slug)

    def found(self) -> Found:
        """The lines of the list; made anew when the log, the filter or the choice of lines changes."""
        logs = tuple(self.desk.session.log(slug) for slug in self._slugs())
        token = (*(log.lines for log in logs), self.every, self.query)
        kept = self._found
        same = kept is not None and len(kept[0]) == len(token)
        if kept is None or not same or any(a is not b for a, b in zip(kept[0], token, strict=True)):
            sites = {
                slug: site.text_at("name") or slug for slug, site in self.desk.session.shelf.sites.items()
            }
            ends: dict[str, Event] = {}
            for log in logs:
                ends |= run_ends(log.events)
            self._found = (token, Found(merged(logs, self.every), self.query, Around(sites, ends)))
        assert self._found is not None
        return self._found[1]

    def _look(self, found: Found, wanted: int) -> None:
        """Look on for matches until enough are known for the screen, or one look is used up."""
        until = min(len(found.lines), found.looked + A_LOOK)
        while not found.done and len(found.hits) <= wanted and found.looked < until:
            event = found.lines[found.looked]
            if matches(event, found.query, found.around, self._name(event)):
                found.hits.append(found.looked)
            found.looked += 1

    def _name(self, event: Event) -> str:
        if event.boat is None:
            return "all boats"
        return self.desk.name(event.boat) if event.boat in self.desk.boats else event.boat

    def enter(self) -> None:
        """Back from a page: stay on the line."""
        self.typed = None

    # -- drawing ------------------------------------------------------------------------------------------------

    def draw(self, layout: Layout) -> Page:
        """The lines that have room, and the filter."""
        if not self._slugs():
            return framed(
                self, layout, [Block(answers.sentence(layout, 0, "Take a boat first: 1 in places."), row=4)]
            )
        found = self.found()
        per = 1 if layout.margin else 2
        bottom = layout.keys[0] - 2
        room = max(1, (bottom - layout.first + (0 if self.typed is not None or self.query else 1)) // per)
        self._room = room
        self._look(found, max(self.focus, self.top) + room)
        self.focus = min(self.focus, max(0, found.known - 1))
        self.top = min(max(self.top, self.focus - room + 1), self.focus)
        blocks = [Block(self._lines(layout, found, room, per), row=3, rank=KEPT)]
        below = self._below(layout, found)
        if below:
            blocks.append(Block(below, row=bottom, rank=KEPT))
        first = (
            Key("Enter", "open"),
            Key("f", "find"),
            Key("v", "in short" if self.every else "all lines", "all"),
            Key("n", "note"),
        )
        return framed(
            self, layout, blocks, boat="All boats" if self.everybody else "", what=self._what(found),
            first=first, second=(Key("?", "keys"), Key("a", "another boat"), None, None),
            own_keys=typing_keys(layout) if self.typed is not None else None,
        )  # fmt: skip

    def _what(self, found: Found) -> str:
        count = f"{found.known} lines" if found.known != 1 else "1 line"
        if found.query:
            return f"{count} found" + ("" if found.done else " so far")
        return count if self.every else f"{count} in short"

    def _lines(self, layout: Layout, found: Found, room: int, per: int) -> Part:
        if found.known == 0:
            words = (
                "Nothing found."
                if found.query and found.done
                else "Looking on."
                if found.query
                else "Nothing written yet."
            )
            return answers.sentence(layout, 0, words)
        parts = []
        day: date | None = None
        now = self.desk.now()
        for n in range(room):
            event = found.at(self.top + n)
            if event is None:
                break
            one = said(event, found.around)
            moment = event.local
            lead = day_words(moment, now) if moment.date() != day else ""
            day = moment.date()
            title = title_of(event)
            what = self._name(event) if self.everybody else f"{clock_words(moment)} {title}"
            if not layout.margin:  # no room for the day at the left
                what = f"{day_month(moment)} {what}"
            words = rest_of(title, one.words) if not self.everybody else one.words
            if self.every:
                log = self.log_of(event)
                words = (
                    f"void: {words}"
                    if event.id in log.voided
                    else f"corrected: {words}"
                    if event.id in log.changed
                    else words
                )
            figure = one.figure
            if layout.gauge is None:
                words, figure = clause(figure, words, sep="; "), ""
            item = rows.Entry(shown(what), words, figure, lead=lead, strong=loud(event))
            parts.append(rows.entry(layout, n * per, item, focused=self.top + n == self.focus))
        return joined(parts)

    def _below(self, layout: Layout, found: Found) -> Part:
        if self.typed is not None:
            return answers.note(layout, 0, "Find", "") + plate.text_plate(layout, 0, self.typed.text)
        if self.query:
            how = (
                "Esc shows all again"
                if found.done
                else f"looked through {found.looked} of {len(found.lines)} lines"
            )
            return answers.note(layout, 0, "Find", f"{shown(self.query)}: {how}")
        return ()

    # -- keys ---------------------------------------------------------------------------------------------------

    def press(self, key: str) -> bool:
        """Arrows walk, Enter opens, f finds, v shows every line."""
        if self.typed is not None:
            return self._type(key)
        if not self._slugs():
            return False
        steps = {"down": 1, "up": -1, "pagedown": self._room, "pageup": -self._room}
        if key in steps:
            self._walk(steps[key])
        elif key == "home":
            self.focus = self.top = 0
        elif key == "end":
            self.focus = max(0, self.found().known - 1)
        elif key == "enter":
            self._open()
        elif key == "f":
            self.typed = Typed(self.query, words=True)
        elif key == "v":
            self.every, self.focus, self.top = not self.every, 0, 0
        elif key == "escape" and self.query:
            self.query, self.focus, self.top = "", 0, 0
        else:
            return False
        return True

    def _type(self, key: str) -> bool:
        assert self.typed is not None
        if key == "enter":
            self.query, self.typed, self.focus, self.top = self.typed.value, None, 0, 0
            return True
        taken = self.typed.take(key)
        if taken is not None:
            self.typed = taken
        elif key == "escape":
            self.typed = None
        return True

    def _walk(self, step: int) -> None:
        found = self.found()
        self._look(found, self.focus + max(step, 0) + self._room)
        self.focus = min(max(self.focus + step, 0), max(0, found.known - 1))

    def _open(self) -> None:
        self._look(self.found(), self.focus)
        event = self.found().at(self.focus)
        if event is not None:
            from divelog.app.spots.log_page import page_of

            self.shell.push(page_of(self.shell, event, self.found().around))

    def tick(self) -> None:
        """Go on looking for a rare word."""
        if self.query:
            found = self.found()
            self._look(found, self.top + self._room)


def merged(logs: tuple[LoadedJournal, ...], every: bool) -> tuple[Event, ...]:
    """The lines of one log, or of several with what they share once; newest first."""
    if len(logs) == 1:
        return chosen(logs[0], every)
    once = {event.id: event for log in logs for event in chosen(log, every)}
    return tuple(reversed(in_order(once.values())))
