"""Why a number is what it is: derivation, what it rests on, source, and what would move it."""

from __future__ import annotations

from divelog import units
from divelog.app.display import STATUS, in_display, number_of, plain
from divelog.app.frames import framed
from divelog.app.look import answers, figures, why
from divelog.app.look.charts import Response, response_chart
from divelog.app.look.frame import BACK, Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Kind, Page, Part, Role, at, joined
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import cut, wrap
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.limits import catalogue
from divelog.limits.guides import BY_PATH
from divelog.limits.model import Limit, Verdict
from divelog.limits.sensitivity import Share, one, response, shares
from divelog.profiles.document import Basis
from divelog.profiles.facts import bare, field_at
from divelog.text import shown

_USUAL = ("mm", "mL", "g", "degC", "uS/cm", "V", "A", "A h", "kPa", "%", "deg", "s", "K", "mohm", "m/s", "g/kg", "MHz", "dB",
          "rpm", "cm^2", "hPa", "paces")  # fmt: skip


def value_text(path: str, si: float | None, u95: float, unit: str) -> str:
    """An input's value in a usual unit."""
    if si is None:
        return "missing"
    field = field_at(path)
    if field is not None and field.dimension:
        symbols = [u for u in _USUAL if u in units.allowed(field.dimension)] or list(
            units.allowed(field.dimension)
        )[:1]
        for symbol in [*symbols, *units.allowed(field.dimension)]:
            unit_row = units.find(symbol, field.dimension)
            number = (si - unit_row.offset) / unit_row.factor
            if 1 <= abs(number) < 2000 or symbol == symbols[-1] and len(symbols) == 1 or si == 0:
                spread = f", +/- {plain(u95 / unit_row.factor)}" if u95 else ""
                return f"{plain(number)} {symbol}{spread}"
    spread = f", +/- {u95:.3g}" if u95 else ""
    return f"{si:.4g} {unit}{spread}".replace(f" {unit},", f" {unit},").strip()


def title_of(path: str) -> str:
    """A path in plain words: the last parts, without root and underscores."""
    plain_path = bare(path)
    for root in ("boat.", "today.plan.", "today.", "kit.", "site.", "settings."):
        if plain_path.startswith(root):
            plain_path = plain_path.removeprefix(root)
            break
    return plain_path.replace("_", " ").replace(".", " ")


class Why(Spot):
    """One limit, questioned. Up and down walk the inputs; plus and minus try one out, never saved."""

    place = Place.LIMITS

    def __init__(self, shell: Shell, key: str, item: str) -> None:
        super().__init__(shell)
        self.key, self.item = key, item
        self.place = shell.here
        self.focus = 0
        self.nudges: dict[str, float] = {}
        self.chart = False
        self._shares: tuple[tuple[str, float], tuple[Share, ...]] | None = None

    def limit(self) -> Limit | None:
        """The limit, with what is being tried."""
        sheet = self.desk.sheet()
        return one(sheet.varied(self.nudges) if self.nudges else sheet, self.key, self.item)

    def _parts(self, limit: Limit) -> tuple[Share, ...]:
        """Shares of the ±, worked out once a limit."""
        token = (f"{limit.shown}{len(limit.inputs)}{sorted(self.nudges.items())}", limit.u95)
        if self._shares is None or self._shares[0] != token:
            sheet = self.desk.sheet()
            found = shares(sheet.varied(self.nudges) if self.nudges else sheet, limit)
            self._shares = (token, found)
        return self._shares[1]

    def draw(self, layout: Layout) -> Page:
        """Number, derivation, inputs with their share, source, next."""
        limit = self.limit()
        info = catalogue.info(self.key)
        if limit is None or info is None:
            return framed(
                self, layout, [Block(answers.sentence(layout, 0, "Nothing is worked out here."), row=4)]
            )
        rests = self._parts(limit)
        self.focus = min(self.focus, max(0, len(rests) - 1))
        cautioned = bool(limit.cautions) and not self.chart  # the chart takes their rows
        room = (4 if cautioned else 5) if layout.height < 30 else 12
        blocks = [
            Block(self._top(layout, limit), row=3, rank=KEPT),
            Block(self._lines(layout, limit), row=8, rank=6),
            Block(
                self._inputs(layout, rests, room) if not self.chart else self._response(layout, limit, rests),
                row=13,
                rank=5,
            ),
            Block(
                self._below(layout, limit),
                row=(18 if cautioned else 19) if layout.height < 30 else 30,
                rank=3,
            ),
        ]
        if cautioned:
            row = 20 if layout.height < 30 else 33
            blocks.append(
                Block(
                    answers.cautions(layout, 0, [cut(shown(limit.cautions[0]), layout.measure)]),
                    row=row,
                    rank=4,
                )
            )
        trying = "trying: not saved" if self.nudges else ""
        first = (
            Key("down", "inputs"),
            Key("+ -", "try another"),
            Key("v", "chart" if not self.chart else "list"),
            Key("m", "measure it"),
        )
        return framed(
            self, layout, blocks, place=f"{self.place.title}: why", what=trying or shown(limit.item or info.title),
            first=first, second=(Key("?", "keys"), Key("f", "her file"), None, None),
        )  # fmt: skip

    def _top(self, layout: Layout, limit: Limit) -> Part:
        info = catalogue.info(self.key)
        assert info is not None
        sense = {"max": "At most", "min": "At least", "band": "Between"}.get(info.sense, "About")
        title = limit.title if layout.margin else f"{sense}: {limit.title}"
        part = at(0, layout.title, cut(title, layout.edge - layout.title), Role.BOLD)
        if layout.margin:
            part += at(0, layout.sign, sense, Role.BOLD)
        text = number_of(limit.shown)
        right = layout.limit if layout.limit is not None else layout.reading
        drawn = text.rstrip("*").replace(".", "", 1).isdigit() and limit.verdict is not Verdict.UNKNOWN
        if drawn:
            part += figures.figure(
                layout, 1, layout.title, text.rstrip("*"), step=3, unit=(info.display, info.display)
            )
        else:
            part += at(
                2, layout.title, cut(shown(limit.shown or "unknown"), right - layout.title - 2), Role.BOLD
            )
        number = next((n for n in (limit.high, limit.low, limit.value) if n is not None), None)
        if number is not None and info.display:
            value, other = in_display(number, info), in_display(number + limit.u95, info)
            spread = f", give or take {plain(abs(other - value))}" if limit.u95 else ""
            part += at(
                2, right, cut(f"{plain(value)} {info.display}{spread}", layout.edge - right), kind=Kind.AFTER
            )
        status = STATUS.get(limit.verdict)
        words = status.word if status is not None else info.kind
        part += at(
            3,
            right,
            cut(f"shown: the safe end, {info.step}" if info.kind == "limit" else words, layout.edge - right),
            kind=Kind.AFTER,
        )
        return part

    def _lines(self, layout: Layout, limit: Limit) -> Part:
        rows: list[Part] = []
        used = 0
        most = 4 if layout.height < 30 else 8
        for line in limit.why:
            for piece in wrap(shown(line), layout.measure):
                if used < most:
                    rows.append(at(used, layout.title, piece))
                    used += 1
        if limit.missing and used < most:
            text = "needs " + ", ".join(title_of(p) for p in limit.missing)
            rows.append(at(used, layout.title, cut(text, layout.measure)))
        return joined(rows)

    def _inputs(self, layout: Layout, rests: tuple[Share, ...], room: int) -> Part:
        items = []
        first = max(0, self.focus - room + 1)
        for row in rests[first : first + room]:
            entry = row.input
            known = {
                Basis.MEASURED: "measured",
                Basis.STATED: "stated",
                Basis.ASSUMED: "assumed*",
                Basis.MISSING: "missing",
            }
            when = f" {entry.on}" if entry.on else ""
            if entry.path in self.nudges:
                when = " being tried"
            value = (
                value_text(entry.path, entry.si, entry.u95, entry.unit)
                if entry.si is not None
                else entry.said
            )
            share = row.share if entry.u95 > 0 and row.share > 0.0005 else None
            items.append(
                why.Input(shown(title_of(entry.path)), shown(value), known[entry.basis] + when, share)
            )
        return why.rests_on(layout, 0, items, focus=self.focus - first)

    def _response(self, layout: Layout, limit: Limit, rests: tuple[Share, ...]) -> Part:
        if not rests:
            return ()
        info = catalogue.info(self.key)
        assert info is not None
        entry = rests[self.focus].input
        points = response(self.desk.sheet(), limit, entry, steps=12)
        if len(points) < 2 or entry.si is None:
            return answers.sentence(layout, 0, f"{title_of(entry.path)} does not move it")
        field = field_at(entry.path)
        symbol = entry.unit
        scale, offset = 1.0, 0.0
        if field is not None and field.dimension:
            symbol = next((u for u in _USUAL if u in units.allowed(field.dimension)), entry.unit)
            unit_row = units.find(symbol, field.dimension)
            scale, offset = unit_row.factor, unit_row.offset
        shown_points = tuple(((x - offset) / scale, in_display(y, info)) for x, y in points)
        now = (entry.si - offset) / scale
        title = at(
            0, layout.title, cut(f"How it moves with {title_of(entry.path)}", layout.measure), Role.BOLD
        )
        return title + response_chart(layout, 1, Response(shown_points, now, symbol, info.display))

    def _below(self, layout: Layout, limit: Limit) -> Part:
        parts = []
        row = 0
        if limit.source and not self.chart:
            parts.append(
                answers.note(layout, row, "Source", cut(shown("; ".join(limit.source)), layout.measure))
            )
            row += 1
        if limit.actions and not limit.cautions:
            parts.append(
                answers.note(layout, row, "Next", cut(shown("; ".join(limit.actions)), layout.measure))
            )
        return joined(parts)

    def press(self, key: str) -> bool:
        """Walk, try, measure."""
        limit = self.limit()
        rests = self._parts(limit) if limit is not None else ()
        if key in ("down", "up"):
            step = 1 if key == "down" else -1
            self.focus = min(max(self.focus + step, 0), max(0, len(rests) - 1))
            return True
        if key in ("+", "=", "-", "_") and rests:
            entry = rests[self.focus].input
            if entry.si is not None:
                width = entry.u95 or abs(entry.si) * 0.05 or 0.01
                half = width / 2 if key in ("+", "=") else -width / 2
                self.nudges[entry.path] = self.nudges.get(entry.path, 0.0) + half
            return True
        if key == "0":
            self.nudges.clear()
            return True
        if key == "v":
            self.chart = not self.chart
            return True
        if key == "m" and rests:
            self._measure(rests[self.focus].input.path)
            return True
        if key == "f":
            self._file(rests[self.focus].input.path if rests else "")
            return True
        if key == "w":
            self.shell.pop()
            return True
        return False

    def _file(self, path: str) -> None:
        from divelog.app.spots.edit import opened_at

        for spot in opened_at(self.shell, path):
            self.shell.push(spot)

    def _measure(self, path: str) -> None:
        wanted = {self.desk.facts().canonical(p): g for p, g in BY_PATH.items()}
        guide = wanted.get(path)
        if guide is not None:
            from divelog.app.spots.measure import Measure

            self.shell.push(Measure(self.shell, guide))


__all__ = ["BACK", "Why"]
