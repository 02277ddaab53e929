"""Limits today: two numbers large, trim in words, seven rows; a digit opens why."""

from __future__ import annotations

from collections.abc import Sequence

from divelog.app.display import SHORT, limit_row, number_of
from divelog.app.frames import framed
from divelog.app.look import answers, figures, rows
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Kind, Page, Part, Role, at, joined
from divelog.app.look.rows import Row
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import Status, cut
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.clock import day_month
from divelog.limits.model import Limit, Verdict
from divelog.limits.report import counts
from divelog.limits.sensitivity import Gain
from divelog.text import shown

ROWS: tuple[tuple[str, str], ...] = (
    ("battery.rest_voltage", ""),
    ("wind.waves", ""),
    ("depth.keel", "under control"),
    ("radio.check_distance", ""),
    ("failsafe", ""),
    ("cylinder.pressure", ""),
    ("recovery.time_to_surface", ""),
)
"""The seven rows of the first page, opened by 4 to 9 and 0."""

FIRST_PAGE = frozenset(
    {
        "battery.endurance",
        "depth.keel",
        "buoyancy.trim_change",
        *(k for k, _ in ROWS if k != "failsafe"),
        "failsafe.delay",
    }
)

ON_TOP = ("battery.endurance", "depth.keel", "buoyancy.trim_change")


class Limits(Spot):
    """The page between the bench and the water."""

    place = Place.LIMITS

    def __init__(self, shell: Shell) -> None:
        super().__init__(shell)
        self.focus: int | None = None
        self.from_row = 0

    def enter(self) -> None:
        """The day is asked before anything else; who puts it off with Esc sees the limits as they are, and d asks it."""
        from divelog.app.spots.day import Day

        if isinstance(self.shell.put_away, Day):
            return
        if self.desk.slug is not None and not self.desk.read_only and not self.desk.day_is_open():
            self.shell.below("day")
        elif self.desk.slug is not None and not self.desk.read_only and self._plan_open():
            self.shell.below("plan")

    def _plan_open(self) -> bool:
        sheet = self.desk.sheet()
        plan = self.desk.last_of("plan.set")
        today = (
            plan is not None and plan.boat == self.desk.slug and plan.local.date() == self.desk.now().date()
        )
        return not today or sheet.stated("plan.depth") is None

    def numbered(self) -> list[Limit | None]:
        """Limits by the digit that opens them: 1, 2, 3, then the seven rows (None where there is none)."""
        desk = self.desk
        found: list[Limit | None] = [
            desk.limit(ON_TOP[0]),
            desk.limit("depth.keel", self._keel_item()),
            desk.limit(ON_TOP[2]),
        ]
        for key, item in ROWS:
            found.append(desk.limit("failsafe.delay") if key == "failsafe" else desk.limit(key, item or None))
        return found

    def _keel_item(self) -> str:
        return "under control"

    def draw(self, layout: Layout) -> Page:
        """The page; everything listed where there is room."""
        if self.desk.slug is None:
            return framed(
                self, layout, [Block(answers.sentence(layout, 0, "Take a boat first: 1 in places."), row=4)]
            )
        blocks = [
            Block(self._two(layout), row=3, rank=KEPT),
            Block(self._listed(layout), row=10, rank=KEPT),
            Block(self._next(layout), row=20, rank=2),
        ]
        extra: Part = ()
        if layout.second is not None:
            blocks[2] = Block(self._next(layout), row=34, rank=2)
            blocks.insert(2, Block(self._rest(layout), row=20, rank=3))
        return framed(
            self, layout, blocks, what=self._where(), place="Limits today", extra=extra,
            first=(Key("1-0", "why"), Key("m", "measure it now"), Key("d", "water, plan", "water"), Key("c", "checks")),
            second=(Key("?", "keys"), Key("a", "another boat"), Key("e", "all limits", "all"), Key("n", "note")),
        )  # fmt: skip

    def _where(self) -> str:
        sheet = self.desk.sheet()
        site = shown(self.desk.site().text_at("name"))
        temperature = sheet.maybe("today.water.temperature")
        return f"{site}, {temperature.si - 273.15:.0f} degC" if temperature is not None and site else site

    def _two(self, layout: Layout) -> Part:
        back, keel = self.desk.limit("battery.endurance"), self.desk.limit("depth.keel", self._keel_item())
        right = layout.limit if layout.limit is not None else layout.reading
        parts = [rows.number(layout, 0, "1"), at(0, layout.title, "Back at the bank", Role.BOLD)]
        parts.append(
            at(0, right - 2, "2", Role.BOLD, Kind.AFTER) + at(0, right, "Deepest keel", Role.BOLD, Kind.AFTER)
        )
        parts.append(_figure(layout, layout.title, back, ("min after launch", "min"), right - 2))
        parts.append(_figure(layout, right, keel, ("m", "m"), None))
        if layout.gauge is not None:
            below = 5 if layout.figure_step(3) == 3 else 7
            parts.append(at(below, layout.title, cut(back_remark(self), right - layout.title - 4)))
            parts.append(at(below, right, cut(keel_remark(keel), layout.edge - right), kind=Kind.AFTER))
        return joined(parts)

    def _listed(self, layout: Layout) -> Part:
        items: list[Row | None] = [trim_row(self.desk.limit("buoyancy.trim_change")), None]
        for index, (key, item) in enumerate(ROWS):
            digit = str((index + 4) % 10)
            if key == "failsafe":
                items.append(failsafe_row(self, digit))
            else:
                limit = self.desk.limit(key, item or None)
                items.append(limit_row(limit, digit, SHORT[key]) if limit is not None else None)
        if layout.gauge is None:
            items.remove(None)
        return rows.listed(layout, 0, items, focus=None if self.focus is None else self.focus)

    def _rest(self, layout: Layout) -> Part:
        first = {*ON_TOP, *(key for key, _ in ROWS)}
        rest = [
            one
            for one in self.desk.limits()
            if one.key not in first and one.verdict is not Verdict.NOT_FITTED
        ]
        return rows.listed(layout, 0, [limit_row(one) for one in rest[:13]], block=False)

    def _next(self, layout: Layout) -> Part:
        tally = counts([one for one in self.desk.limits() if one.key in FIRST_PAGE])
        text = f"{tally['assumed_inputs']} of {tally['inputs']} inputs are assumed (*)"
        best = self.desk.measure_next()
        if layout.limit is None or layout.gauge is None:
            return answers.note(layout, 0, "Measure", next_words(best, layout.measure) if best else text)
        part = at(0, layout.sign, "Measure next", Role.BOLD)
        room = layout.limit - layout.title - 2
        part += at(0, layout.title, next_words(best, room) or "nothing worth a trip")
        return part + at(0, layout.limit, text)

    def press(self, key: str) -> bool:
        """Digits open why; e lists every limit."""
        if self.desk.slug is None:
            return False
        if key.isdecimal():
            found = self.numbered()
            index = (int(key) - 1) % 10
            limit = found[index] if index < len(found) else None
            if limit is not None:
                self.shell.push(self._why(limit))
            return True
        if key == "e":
            self.shell.below("every limit")
            return True
        if key == "d":
            self.shell.below("day")
            return True
        if key == "m":
            self.shell.below("measure")
            return True
        if key == "r":
            self.shell.below("rehearsal")
            return True
        return False

    def _why(self, limit: Limit) -> Spot:
        from divelog.app.spots.why import Why

        return Why(self.shell, limit.key, limit.item)


def _figure(layout: Layout, column: int, limit: Limit | None, unit: tuple[str, str], end: int | None) -> Part:
    if (
        limit is None
        or limit.verdict is Verdict.UNKNOWN
        or not number_of(limit.shown).replace(".", "").rstrip("*").isdecimal()
    ):
        return at(3, column, "unknown", Role.BOLD, Kind.AFTER)
    text = number_of(limit.shown)
    star = "*" if limit.starred and not text.endswith("*") else ""
    return figures.figure(
        layout, 1, column, text.rstrip("*"), step=3, unit=(unit[0] + star, unit[1] + star), end=end
    )


def back_remark(spot: Spot) -> str:
    """Under the minutes: which pack, how much is kept back."""
    sheet = spot.desk.sheet()
    pack = spot.desk.pack()
    kept = sheet.maybe("power.keep_back")
    return shown(f"pack {pack}, {100 * kept.si:.0f} % kept back") if kept is not None and pack else ""


def keel_remark(keel: Limit | None) -> str:
    """Under the depth: what binds, and what is next."""
    if keel is None:
        return ""
    binds = ", ".join(keel.binds[:2])
    return shown(f"{binds}; next: {keel.next}" if keel.next else binds)


def trim_row(limit: Limit | None) -> Row:
    """Trim is words."""
    if limit is None or limit.verdict is Verdict.UNKNOWN:
        missing = limit.missing[0] if limit is not None and limit.missing else ""
        return Row(
            "Trim", Status.UNKNOWN, "3", limit=shown(f"needs {missing}") if missing else "", strong=True
        )
    remark = limit.remark
    if limit.value is not None:
        grams = abs(limit.value) * 1000
        way = "heavier" if limit.value < 0 else "lighter"
        remark = f"{grams:.0f} g {way}, +/- {limit.u95 * 1000:.0f} g"
    return Row("Trim", None, "3", reading=shown(limit.shown), remark=shown(remark), strong=True)


def failsafe_row(spot: Spot, number: str) -> Row:
    """Both failsafe proofs as one row."""
    report = spot.desk.proofs()
    bench, wet = report.get("failsafe_bench"), report.get("failsafe_wet")
    for proof in (wet, bench):
        if not proof.stands:
            words = (
                proof.because or "never shown in the water"
                if proof.proof == "failsafe_wet"
                else proof.because or "not shown today"
            )
            return Row("failsafe", Status.TO_PROVE, number, limit=shown(words))
    since = wet.since
    return Row(
        "failsafe",
        Status.WITHIN,
        number,
        limit=f"came up by herself {day_month(since)}" if since else "proved",
    )


def next_words(gains: Sequence[Gain], room: int) -> str:
    """What to measure next: the first with what it buys where that fits, else as many whole titles as do."""
    if not gains:
        return ""
    first = gains[0]
    bought = f"{shown(first.guide.title)}: {_from_to(first.now, first.then)}"
    if first.then and len(bought) <= room:
        return bought
    titles = [shown(gain.guide.title) for gain in gains]
    fits = [n for n in range(1, len(titles) + 1) if len(", ".join(titles[:n])) <= room]
    return ", ".join(titles[: fits[-1]]) if fits else cut(titles[0], room)


def _from_to(now: str, then: str) -> str:
    """``25 to 40 min``, ``+/- 3.1 to 1.7 s``: lead and unit once where both share them."""
    lead = "give or take "
    if now.startswith(lead) and then.startswith(lead):
        return f"+/- {_from_to(now.removeprefix(lead), then.removeprefix(lead))}"
    number, _, unit = now.rpartition(" ")
    start = number if number and then.endswith(f" {unit}") else now
    return f"{shown(start)} to {shown(then)}"
