"""Why a number is what it is: derivation, what it rests on, source, and what would move it."""

from __future__ import annotations

from divelog.app.display import STATUS, in_display, number_of, plain
from divelog.app.frames import framed
from divelog.app.look import answers, figures, why
from divelog.app.look.charts import Response, response_chart
from divelog.app.look.frame import BACK, Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Kind, Page, Part, Role, at, joined, moved
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import size, whole_words, wrap
from divelog.app.names import known_words, said_beside, said_value, short_title, title_of, usual_unit
from divelog.app.reasons import Line, because, lines, reasons
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.app.spots.measure_list import gain_words
from divelog.limits import catalogue, sensitivity
from divelog.limits.guides import BY_PATH, Guide
from divelog.limits.model import Input, KeyInfo, Limit, Verdict
from divelog.limits.sensitivity import Gain, Share, one, response, shares
from divelog.limits.sheet import Sheet
from divelog.text import shown

VIEWS = ("list", "chart", "in full")
"""What stands under the derivation, in the order `v` goes through: the inputs, how it moves, every word."""

_SENSE = {"max": "At most", "min": "At least", "band": "Between"}


class Why(Spot):
    """One limit, questioned. Up and down walk the inputs; plus and minus try one out, never saved."""

    place = Place.LIMITS

    def __init__(self, shell: Shell, key: str, item: str) -> None:
        super().__init__(shell)
        self.key, self.item = key, item
        self.place = shell.here
        self.focus = 0
        self.top = 0
        self.view = VIEWS[0]
        self.wide = self.longer = False
        self.nudges: dict[str, float] = {}
        self._drawn: tuple[Sheet, object, tuple[tuple[float, float], ...]] | None = None
        self._worked: tuple[Sheet, dict[str, float], Limit | None, tuple[Share, ...], Gain | None] | None = (
            None
        )

    # -- worked out ---------------------------------------------------------------------------------------------

    def limit(self) -> Limit | None:
        """The limit, with what is being tried."""
        return self._now()[0]

    def _parts(self, limit: Limit) -> tuple[Share, ...]:
        """Shares of its ±, greatest first."""
        return self._now()[1]

    def _now(self) -> tuple[Limit | None, tuple[Share, ...], Gain | None]:
        """The limit, its shares and what would better it, worked out once until a fact or a trial changes."""
        sheet = self.desk.sheet()
        if self._worked is None or self._worked[0] is not sheet or self._worked[1] != self.nudges:
            tried = sheet.varied(self.nudges) if self.nudges else sheet
            limit = one(tried, self.key, self.item)
            parts = shares(tried, limit) if limit is not None else ()
            gain = sensitivity.buys(sheet, limit) if limit is not None and not self.nudges else None
            self._worked = (sheet, dict(self.nudges), limit, parts, gain)
        return self._worked[2:]

    # -- drawn --------------------------------------------------------------------------------------------------

    def draw(self, layout: Layout) -> Page:
        """Number, derivation, inputs with their share, source, next; all of it where there is room."""
        limit, rests, _ = self._now()
        info = catalogue.info(self.key)
        if limit is None or info is None:
            return framed(
                self, layout, [Block(answers.sentence(layout, 0, "Nothing is worked out here."), row=4)]
            )
        self.focus = min(self.focus, max(0, len(rests) - 1))
        blocks = [Block(self._top(layout, limit, info), row=3, rank=KEPT)]
        extra: Part = ()
        self.wide = layout.second is not None  # then all of it stands there, and arrows walk the inputs
        if self.wide:
            blocks.append(Block(self._in_full(layout, limit, info, (), 26), row=11, rank=6))
            extra = self._beside(layout, info, rests)
        elif self.view == "in full":
            blocks.append(Block(self._in_full(layout, limit, info, rests, self._rows(layout)), row=8, rank=6))
        else:
            blocks += self._short(layout, limit, info, rests)
        walks = "further" if self._turning() else "inputs"
        first = (
            Key("down", walks, "more" if walks == "further" else ""),
            Key("+ -", "try another", "try"),
            Key("v", self._after()) if not self.wide or self.longer else None,
            Key("m", "measure it") if rests and self._guide(rests[self.focus].input.path) else None,
        )
        return framed(
            self, layout, blocks, place=f"{self.place.title}: why",
            what="trying: not saved" if self.nudges else shown(limit.item or info.title),
            first=first, extra=extra,
            second=(Key("?", "keys"), Key("f", "her file"), Key("0", "as it was") if self.nudges else None, None),
        )  # fmt: skip

    def _turning(self) -> bool:
        """Whether the arrows turn the words, and do not walk the inputs."""
        return self.view == "in full" and (self.longer or not self.wide)

    def _after(self) -> str:
        """The view that `v` brings; with the chart beside there are two."""
        if self.wide:
            return VIEWS[0] if self.view == VIEWS[2] else VIEWS[2]
        return VIEWS[(VIEWS.index(self.view) + 1) % len(VIEWS)]

    def _rows(self, layout: Layout) -> int:
        """Rows of the page in full under the number."""
        return layout.keys[0] - 1 - (8 if layout.margin else 7)

    def _short(self, layout: Layout, limit: Limit, info: KeyInfo, rests: tuple[Share, ...]) -> list[Block]:
        listed = self.view == "list"
        cautioned = bool(limit.cautions) and listed  # the chart takes their rows
        middle = (
            self._inputs(layout, rests, 4 if cautioned else 5)
            if listed
            else self._response(layout, info, rests)
        )
        blocks = [
            Block(_listed(layout, lines([because(limit)], layout.measure), 4, heads=False), row=8, rank=6),
            Block(middle, row=13, rank=5),
        ]
        if listed:
            source, last = self._notes(layout, limit)
            blocks.append(Block(source, row=18 if cautioned else 19, rank=3))
            blocks.append(Block(last, row=20, rank=4, close=not cautioned))
        return blocks

    def _notes(self, layout: Layout, limit: Limit) -> tuple[Part, Part]:
        """Source; and the first caution, or what to do next: a row each."""
        room = layout.measure if layout.margin else layout.edge - layout.sign - 8
        source = "; ".join(limit.source)
        first = answers.note(layout, 0, "Source", whole_words(source, room)) if source else ()
        if limit.cautions:
            return first, answers.cautions(layout, 0, [whole_words(limit.cautions[0], room)])
        words = "; ".join((*limit.actions, *self._advice()))
        return first, answers.note(layout, 0, "Next", whole_words(words, room)) if words else ()

    def _advice(self) -> tuple[str, ...]:
        """What the best measurement for it would buy, or that none is worth a trip."""
        limit, _, gain = self._now()
        if gain is not None:
            return (f"{gain.guide.title}: {gain_words(gain)}",)
        trip = limit is not None and not self.nudges and limit.u95 > 0.0
        return ("nothing worth a trip",) if trip else ()

    def _top(self, layout: Layout, limit: Limit, info: KeyInfo) -> Part:
        sense = _SENSE.get(info.sense, "About")
        title = limit.title if layout.margin else f"{sense}: {limit.title}"
        part = at(0, layout.title, whole_words(title, layout.edge - layout.title), Role.BOLD)
        if layout.margin:
            part += at(0, layout.sign, sense, Role.BOLD)
        text = number_of(limit.shown)
        right = layout.limit if layout.limit is not None else layout.reading
        if text.rstrip("*").replace(".", "", 1).isdecimal() and limit.verdict is not Verdict.UNKNOWN:
            unit = (info.display, info.display)
            part += figures.figure(layout, 1, layout.title, text.rstrip("*"), step=3, unit=unit)
        else:
            words = wrap(shown(limit.shown or "unknown"), right - layout.title - 2)
            part += joined(at(2 + n, layout.title, line, Role.BOLD) for n, line in enumerate(words[:3]))
        room = layout.edge - right
        value = _value(limit, info)
        value = value if size(value) <= room else value.replace("give or take", "+/-")
        part += at(2, right, whole_words(value, room), kind=Kind.AFTER)
        status = self._status(limit, info)
        status = status if size(status) <= room else status.removeprefix("shown: the ")
        part += at(3, right, whole_words(status, room), kind=Kind.AFTER)
        return part

    def _status(self, limit: Limit, info: KeyInfo) -> str:
        if self.nudges:
            written = one(self.desk.sheet(), self.key, self.item)
            return f"as it stands: {written.shown}" if written is not None else ""
        if info.kind == "limit":
            return f"shown: the safe end, {info.step}"
        status = STATUS.get(limit.verdict)
        return status.word if status is not None else info.kind

    def _in_full(
        self, layout: Layout, limit: Limit, info: KeyInfo, rests: tuple[Share, ...], room: int
    ) -> Part:
        """Everything, in rows of whole words, from the row it was turned to."""
        columns = layout.measure if layout.margin else layout.edge - layout.title
        rows = lines(reasons(limit, info, rests, self._advice()), columns)
        self.longer = len(rows) > room
        self.top = max(0, min(self.top, len(rows) - room))
        return _listed(layout, rows[self.top :], room)

    def _items(self, rests: tuple[Share, ...]) -> list[why.Input]:
        found = []
        for row in rests:
            entry = row.input
            known = "being tried" if entry.path in self.nudges else known_words(entry)
            said = said_beside(entry)
            share = row.share if entry.u95 > 0 and row.share >= 0.005 else None
            found.append(
                why.Input(
                    short_title(entry.path),
                    shown(said_value(entry)),
                    known,
                    share,
                    shown(title_of(entry.path)),
                    shown(said),
                )
            )
        return found

    def _inputs(self, layout: Layout, rests: tuple[Share, ...], room: int) -> Part:
        first = max(0, self.focus - room + 1)
        return why.rests_on(layout, 0, self._items(rests[first : first + room]), focus=self.focus - first)

    def _beside(self, layout: Layout, info: KeyInfo, rests: tuple[Share, ...]) -> Part:
        """The second page: the inputs, and how it moves with the one in focus."""
        first = why.fit_beside(self.focus)
        part = why.rests_beside(layout, self._items(rests[first:]), focus=self.focus - first)
        chart = self._response(layout, info, rests, column=(layout.second or 1) - layout.sign)
        return moved(part, 3) + moved(chart, 27)

    def _response(
        self, layout: Layout, info: KeyInfo, rests: tuple[Share, ...], column: int | None = None
    ) -> Part:
        if not rests:
            return ()
        start = layout.title if column is None else column + layout.sign
        room = layout.edge_for(start) - start
        entry = rests[self.focus].input
        name = title_of(entry.path)
        points = self._points(entry)
        if len(points) < 2 or entry.si is None:
            return at(0, start, whole_words(f"{name}: no number to try", room))
        symbol, scale, offset = usual_unit(entry)
        drawn = tuple(((x - offset) / scale, in_display(y, info)) for x, y in points)
        now = (entry.si - offset) / scale
        title = at(0, start, whole_words(f"How it moves with {name}", room), Role.BOLD)
        return title + response_chart(layout, 1, Response(drawn, now, symbol, info.display), column=column)

    def _points(self, entry: Input) -> tuple[tuple[float, float], ...]:
        """How the number moves with one input, the others as they are tried; worked out once."""
        limit = self.limit()
        token = (entry.path, entry.si, tuple(sorted(self.nudges.items())))
        sheet = self.desk.sheet()
        if self._drawn is None or self._drawn[0] is not sheet or self._drawn[1] != token:
            tried = sheet.varied(self.nudges) if self.nudges else sheet
            found = response(tried, limit, entry, steps=8) if limit is not None else ()
            self._drawn = (sheet, token, found)
        return self._drawn[2]

    # -- keys ---------------------------------------------------------------------------------------------------

    def press(self, key: str) -> bool:
        """Walk, try, turn, measure."""
        rests = self._now()[1]
        self.focus = min(self.focus, max(0, len(rests) - 1))
        if key in ("down", "up"):
            step = 1 if key == "down" else -1
            if self._turning():
                self.top = max(0, self.top + step)
            else:
                self.focus = min(max(self.focus + step, 0), max(0, len(rests) - 1))
        elif key in ("+", "=", "-", "_"):
            if rests:
                self._try(rests[self.focus].input, 1.0 if key in ("+", "=") else -1.0)
        elif key == "0":
            self.nudges.clear()
        elif key == "v":
            self.view, self.top = self._after(), 0
        elif key == "m" and rests:
            self._measure(rests[self.focus].input.path)
        elif key == "f":
            self._file(rests[self.focus].input.path if rests else "")
        elif key == "w":
            self.shell.pop()
        else:
            return False
        return True

    def _try(self, entry: Input, way: float) -> None:
        """Move an input by half its ±, or a fortieth of it."""
        if entry.si is None:
            return
        width = entry.u95 or abs(entry.si) * 0.05 or 0.01
        self.nudges[entry.path] = self.nudges.get(entry.path, 0.0) + way * width / 2

    def _file(self, path: str) -> None:
        from divelog.app.spots.edit import opened_at

        for spot in opened_at(self.shell, path):
            self.shell.push(spot)

    def _guide(self, path: str) -> Guide | None:
        canonical = self.desk.facts().canonical
        return next((guide for short, guide in BY_PATH.items() if canonical(short) == path), None)

    def _measure(self, path: str) -> None:
        guide = self._guide(path)
        if guide is not None:
            from divelog.app.spots.measure import Measure

            self.shell.push(Measure(self.shell, guide))


def _value(limit: Limit, info: KeyInfo) -> str:
    """The number its ± belongs to, with it."""
    number = sensitivity.number_of(limit)
    if number is None or not info.display:
        return ""
    value, other = in_display(number, info), in_display(number + limit.u95, info)
    spread = f", give or take {plain(abs(other - value))}" if limit.u95 else ""
    return f"{plain(value)} {info.display}{spread}"


def _listed(layout: Layout, rows: tuple[Line, ...], most: int, *, heads: bool = True) -> Part:
    """Rows with their headings in the margin; two points end the last where more would follow."""
    parts = []
    for n, row in enumerate(rows[:most]):
        words = row.words
        if n == most - 1 and len(rows) > most:
            words = whole_words(f"{words} {rows[n + 1].words}", max(size(words), 12))
        if heads and layout.margin:
            parts.append(at(n, layout.sign, row.heading, Role.BOLD))
        parts.append(at(n, layout.title, words))
    return joined(parts)


__all__ = ["BACK", "Why"]
