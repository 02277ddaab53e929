"""Log: everything that was written down of a boat (or of all), newest first, of any length; Enter opens a line."""

from __future__ import annotations

from datetime import date

from divelog.app.frames import clock_words, framed
from divelog.app.log_search import Found, Hay, query_of, words_of_runs
from divelog.app.logbook import chosen, day_words, loud, rest_of, run_ends, title_of
from divelog.app.look import answers, frame, plate, rows
from divelog.app.look.frame import BACK, Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Page, Part, joined
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import whole_words
from divelog.app.phrases import clause
from divelog.app.sentences import Around, said
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.app.typed import Typed
from divelog.clock import day_month
from divelog.journal.events import Event
from divelog.journal.loading import LoadedJournal
from divelog.journal.merging import in_order


class Log(Spot):
    """The list. Only the lines on the screen are put into words."""

    place = Place.LOG

    def __init__(self, shell: Shell, everybody: bool = False) -> None:
        super().__init__(shell)
        self.everybody = everybody
        self.every = False
        self.only_runs = False
        self.query = ""
        self.typed: Typed | None = None
        self.focus = 0
        self.top = 0
        self._hay: tuple[tuple[object, ...], Hay] | None = None
        self._found: Found | None = None
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
        hay, kept = self.hay(), self._found
        if (
            kept is None
            or kept.hay is not hay
            or (kept.query, kept.only_runs) != (self.query, self.only_runs)
        ):
            self._found = kept = Found(hay, self.query, self.only_runs, query_of(self.query))
        return kept

    def hay(self) -> Hay:
        """Every line of the list, and the words it is found by; kept from one search to the next."""
        logs = tuple(self.desk.session.log(slug) for slug in self._slugs())
        token = (*(log.lines for log in logs), self.every, self.desk.session.shelf)
        kept = self._hay
        same = kept is not None and len(kept[0]) == len(token)
        if kept is None or not same or any(a is not b for a, b in zip(kept[0], token, strict=True)):
            sites = {
                slug: site.text_at("name") or slug for slug, site in self.desk.session.shelf.sites.items()
            }
            ends: dict[str, Event] = {}
            for log in logs:
                ends |= run_ends(log.events)

            def runs() -> dict[str, str]:
                once = (
                    logs[0].events
                    if len(logs) == 1
                    else in_order({event.id: event for log in logs for event in log.events}.values())
                )
                return words_of_runs(once, sites)

            self._hay = kept = (token, Hay(merged(logs, self.every), Around(sites, ends), runs, self._name))
        return kept[1]

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
        room = max(1, (bottom - layout.first + (0 if self.typed is not None or self._left_out else 1)) // per)
        self._room = room
        found.look(max(self.focus, self.top) + room, whole=found.looked == 0)
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
            first=first, second=(Key("?", "keys"), Key("a", "another boat"),
                    Key("r", "every kind" if self.only_runs else "only runs", "every" if self.only_runs else "runs"),
                    None),
            own_keys=_finding(layout) if self.typed is not None else None,
        )  # fmt: skip

    def _what(self, found: Found) -> str:
        if not found.all:
            return (
                f"{found.known} of {len(found.lines)} lines found"
                if found.done
                else f"{found.known} lines found so far"
            )
        count = f"{found.known} lines" if found.known != 1 else "1 line"
        return count if self.every else f"{count} in short"

    @property
    def _left_out(self) -> bool:
        """Whether some lines are left out of the list."""
        return bool(self.query) or self.only_runs

    def _lines(self, layout: Layout, found: Found, room: int, per: int) -> Part:
        if found.known == 0:
            words = (
                "Nothing found."
                if self._left_out and found.done
                else "Looking on."
                if self._left_out
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
            item = rows.Entry(
                whole_words(
                    what, layout.until(layout.title) if layout.margin else layout.edge - layout.title
                ),
                whole_words(words, _room(layout, bool(figure))),
                whole_words(figure, layout.edge - layout.gauge) if layout.gauge is not None else "",
                lead=lead,
                strong=loud(event),
            )
            parts.append(rows.entry(layout, n * per, item, focused=self.top + n == self.focus))
        return joined(parts)

    def _below(self, layout: Layout, found: Found) -> Part:
        if self.typed is not None:
            lead = answers.note(layout, 0, "Find", "") if layout.margin else ()
            return lead + plate.text_plate(layout, 0, self.typed.text)
        if self._left_out:
            how = (
                f"{found.known} of {len(found.lines)}; Esc shows all"
                if found.done
                else f"{found.known} so far, {found.looked} of {len(found.lines)} seen"
            )
            word = "Runs" if self.only_runs else "Find"
            room = (layout.measure if layout.margin else layout.edge - layout.sign - len(word) - 1) - len(how)
            asked = f"{whole_words(self.query, room - 2)}: " if self.query else ""
            return answers.note(layout, 0, word, asked + how)
        return ()

    # -- keys ---------------------------------------------------------------------------------------------------

    def press(self, key: str) -> bool:
        """Arrows walk, Enter opens, f finds, r leaves only runs, v shows every line, Esc shows all again."""
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
        elif key == "r":
            self.only_runs, self.focus, self.top = not self.only_runs, 0, 0
        elif key == "escape" and self._left_out:
            self.query, self.only_runs, self.focus, self.top = "", False, 0, 0
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
        found.look(self.focus + max(step, 0) + self._room)
        self.focus = min(max(self.focus + step, 0), max(0, found.known - 1))

    def _open(self) -> None:
        self.found().look(self.focus)
        event = self.found().at(self.focus)
        if event is not None:
            from divelog.app.spots.log_page import page_of

            self.shell.push(page_of(self.shell, event, self.found().around))

    def tick(self) -> None:
        """Go on looking, to the end: a rare word is found, and the count becomes whole."""
        if self._left_out:
            self.found().look(self.top + self._room, whole=True)


def _finding(layout: Layout) -> Part:
    """Keys while letters are text: only Enter and Esc act."""
    return frame.keys(layout, (Key("Enter", "find"),), (None, None, None, None, BACK))


def _room(layout: Layout, figure: bool) -> int:
    """Columns for the words of a line."""
    if not layout.margin:
        return layout.edge - layout.title
    return (layout.gauge - 1 if layout.gauge is not None and figure else layout.edge) - layout.reading


def merged(logs: tuple[LoadedJournal, ...], every: bool) -> tuple[Event, ...]:
    """The lines of one log, or of several with what they share once; newest first."""
    if len(logs) == 1:
        return chosen(logs[0], every)
    once = {event.id: event for log in logs for event in chosen(log, every)}
    return tuple(reversed(in_order(once.values())))
