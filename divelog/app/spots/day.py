"""The day and the plan, one field after another; the limits above move as they are typed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from divelog import units
from divelog.app.frames import framed
from divelog.app.look import answers, plate, rows
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Kind, Page, Part, at, joined
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import Status, cut
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.app.spots.limits import _figure, keel_remark
from divelog.app.typed import Typed
from divelog.limits.model import Limit
from divelog.profiles.document import Fact, State
from divelog.profiles.schema import LOOKS
from divelog.text import shown


@dataclass(frozen=True, slots=True)
class Asks:
    """One field: its path in the day, its title, how it is answered."""

    path: str
    title: str
    unit: str = ""
    dimension: str = ""
    choices: Callable[[Spot], tuple[tuple[str, str], ...]] | None = None
    """Pairs of words and value."""
    need: bool = True
    note: str = ""


def _sites(spot: Spot) -> tuple[tuple[str, str], ...]:
    return tuple(
        (d.text_at("name") or s, s) for s, d in spot.desk.session.shelf.sites.items() if not d.faults
    )


def _looks(spot: Spot) -> tuple[tuple[str, str], ...]:
    return tuple((look, look) for look in LOOKS)


def _packs(spot: Spot) -> tuple[tuple[str, str], ...]:
    return tuple((pack, pack) for pack in spot.desk.sheet().texts("power.drive_packs"))


DAY_FIELDS: tuple[Asks, ...] = (
    Asks("site", "Where", choices=_sites),
    Asks("water.temperature", "Water, surface", "degC", "temperature", note="a hand down, in the shade"),
    Asks("air.look", "It looks like", choices=_looks, need=False),
    Asks("water.clarity", "Plate is lost at", "m", "length", need=False),
    Asks("air.temperature", "Air", "degC", "temperature", need=False, note="Enter leaves it"),
)
PLAN_FIELDS: tuple[Asks, ...] = (
    Asks("plan.pack", "Pack", choices=_packs),
    Asks("plan.depth", "Keel down to", "m", "length"),
    Asks("plan.distance", "As far off as", "m", "length"),
    Asks("plan.minutes", "For", "min", "time"),
)


class Day(Spot):
    """Water and plan: asked once a day for all boats, and once for each boat."""

    place = Place.LIMITS

    def __init__(self, shell: Shell, only_plan: bool = False) -> None:
        super().__init__(shell)
        self.fields = PLAN_FIELDS if only_plan else (*DAY_FIELDS, *PLAN_FIELDS)
        self.at = 0
        self.typed = Typed()
        self.chosen = ""
        self.fault = ""
        self.dirty_day = False
        self.dirty_plan = False

    @property
    def typing(self) -> bool:  # type: ignore[override]
        """Letters are the unit once a number stands."""
        return bool(self.typed.text)

    # -- facts --------------------------------------------------------------------------------------------------

    def _rules(self) -> str:
        """The site's own rules, told on arrival: once it is chosen, until the plan is asked."""
        if self._in_plan() or self.at == 0:
            return ""
        held = self._held(DAY_FIELDS[0])
        site = self.desk.session.shelf.sites.get(str(held.value)) if held is not None else None
        return shown("; ".join(site.texts_at("rules"))) if site is not None else ""

    def _path(self, field: Asks) -> str:
        if field.path.startswith("plan."):
            entry = self.desk.facts().plan_id()
            return f"plan[{entry}].{field.path.removeprefix('plan.')}"
        return field.path

    def _held(self, field: Asks) -> Fact | None:
        """What stands for a field now: the draft, today's log, or an older day (carried, with its age)."""
        return self.desk.day().facts.get(self._path(field))

    def _is_today(self, fact: Fact) -> bool:
        return fact.on in ("", self.desk.now().date().isoformat())

    def _words(self, field: Asks) -> tuple[str, str]:
        """The value and the remark beside it."""
        fact = self._held(field)
        if fact is None or fact.state is not State.KNOWN:
            return "", field.note
        text = fact.typed
        if field.path == "site":
            site = self.desk.session.shelf.sites.get(str(fact.value))
            text = site.text_at("name") if site is not None else str(fact.value)
        age = "" if self._is_today(fact) else f"of {fact.on}"
        return shown(text), age

    # -- drawing ------------------------------------------------------------------------------------------------

    def draw(self, layout: Layout) -> Page:
        """Two numbers that move, the fields, and the plate under the present one."""
        group = PLAN_FIELDS if self._in_plan() else DAY_FIELDS
        first_of_group = self.fields.index(group[0])
        items = []
        for index, field in enumerate(group, start=first_of_group):
            value, remark = self._words(field)
            done = index < self.at
            status = (Status.DONE if value else Status.UNKNOWN) if done else None
            words = value if not self._carried(field) else f"was {value}, {remark}"
            items.append(rows.Row(field.title, status, limit=words or remark))
        blocks = [
            Block(self._two(layout), row=3, rank=4),
            Block(rows.listed(layout, 0, items, focus=self.at - first_of_group), row=9, rank=KEPT),
            Block(self._plate(layout), row=15, rank=KEPT),
        ]
        rules = self._rules()
        if rules and not self.fault:
            blocks.append(Block(answers.note(layout, 0, "Rules", cut(rules, layout.measure)), row=20, rank=2))
        if self.fault:
            blocks.append(
                Block(answers.note(layout, 0, "Fault", cut(self.fault, layout.measure)), row=21, rank=8)
            )
        first = (Key("Enter", "keep"), Key("b", "back one line"), Key("u", "don't know"), None)
        return framed(
            self,
            layout,
            blocks,
            place="Limits: day",
            what="her plan" if self._in_plan() else "once for all boats",
            first=first,
        )

    def _in_plan(self) -> bool:
        return self.at < len(self.fields) and self.fields[self.at].path.startswith("plan.")

    def _carried(self, field: Asks) -> bool:
        fact = self._held(field)
        return fact is not None and not self._is_today(fact)

    def _two(self, layout: Layout) -> Part:
        back, keel = self.desk.limit("battery.endurance"), self.desk.limit("depth.keel", "under control")
        right = layout.limit if layout.limit is not None else layout.reading
        return joined(
            (
                at(0, layout.title, "Back at the bank"),
                at(0, right, "Deepest keel", kind=Kind.AFTER),
                _figure(layout, layout.title, back, ("min after launch", "min"), right - 2),
                _figure(layout, right, keel, ("m", "m"), None),
                self._binds(layout, keel, right),
            )
        )

    def _binds(self, layout: Layout, keel: Limit | None, right: int) -> Part:
        if layout.gauge is None:
            return ()
        below = 4 if layout.figure_step(3) == 3 else 7
        return at(below, right, cut(keel_remark(keel), layout.edge - right), kind=Kind.AFTER)

    def _plate(self, layout: Layout) -> Part:
        if self.at >= len(self.fields):
            return ()
        field = self.fields[self.at]
        if field.choices is not None:
            options = field.choices(self)[:9]
            return answers.choices(
                layout, 0, [(str(n), shown(words)) for n, (words, _) in enumerate(options, 1)]
            )
        text = self.typed.text
        return plate.text_plate(layout, 0, text) + at(
            1, layout.title, f"in {field.unit}, or with another unit after it"
        )

    # -- keys ---------------------------------------------------------------------------------------------------

    def press(self, key: str) -> bool:
        """Digits and letters type; Enter keeps; b goes back; u leaves it unknown."""
        self.fault = ""
        if self.at >= len(self.fields):
            self._close()
            return True
        field = self.fields[self.at]
        if field.choices is not None and key.isdecimal():
            options = field.choices(self)
            if 1 <= int(key) <= min(9, len(options)):
                self.chosen = key
                self._preview(field, options[int(key) - 1][1])
                self._next(field)
            return True
        if field.choices is None:
            taken = self.typed.take(key)
            if taken is not None:
                self.typed = taken
                self._try(field)
                return True
        if key == "enter":
            self._enter(field)
            return True
        if key == "b":
            self.at = max(0, self.at - 1)
            self.typed, self.chosen = Typed(), ""
            return True
        if key == "u":
            self._put(field, Fact(None, State.UNKNOWN, typed="unknown", origin="typed"))
            self._next(field)
            return True
        if key == "escape":
            self._keep()
            return False
        return False

    def _try(self, field: Asks) -> None:
        """While typing: the draft moves with every key that makes a value; nothing is said of half-typed text."""
        try:
            self._preview(field, self.typed.value)
        except (units.UnitFaultError, KeyError):
            self.desk.draft.pop(self._path(field), None)

    def _preview(self, field: Asks, text: str) -> None:
        typed = text
        if field.unit and text.replace(",", ".").replace(".", "", 1).lstrip("+-").isdecimal():
            typed = f"{text} {field.unit}"
        prefix = "" if field.path.startswith("plan.") else "today."
        path, fact = self.desk.facts().typed(prefix + field.path, typed)
        self.desk.draft[path.removeprefix("today.")] = fact

    def _put(self, field: Asks, fact: Fact) -> None:
        self.desk.draft[self._path(field)] = fact

    def _enter(self, field: Asks) -> None:
        held = self._held(field)
        if field.choices is None and self.typed.value:
            try:
                self._preview(field, self.typed.value)
            except units.UnitFaultError as wrong:
                self.fault = shown(f"{wrong.found}; wanted {wrong.wanted}")
                return
            except KeyError:
                self.fault = "no such field"
                return
        elif held is None and field.need and field.choices is not None:
            options = field.choices(self)
            if len(options) != 1:
                self.fault = "a digit chooses; u where you do not know"
                return
            self._preview(field, options[0][1])
        elif held is None and field.need:
            self.fault = "a value, or u where you do not know"
            return
        elif held is not None and not self._is_today(held):
            if field.path == "site" or field.path.startswith("plan."):
                self._put(field, Fact(held.value, held.state, held.basis, "", held.typed, "carried"))
            elif field.need:
                self.fault = "read it again today; u where you do not know"
                return
        self._next(field)

    def _next(self, field: Asks) -> None:
        """Keep what was answered, on disk, before the next question shows."""
        if field.path.startswith("plan."):
            self.dirty_plan = True
        else:
            self.dirty_day = True
        self._keep()
        self.typed, self.chosen = Typed(), ""
        self.at += 1
        if self.at >= len(self.fields):
            self._close()
        elif self.fields[self.at] is PLAN_FIELDS[0] and len(_packs(self)) == 1:
            self._preview(PLAN_FIELDS[0], _packs(self)[0][1])
            self._next(PLAN_FIELDS[0])

    def _keep(self) -> None:
        self.desk.draft = {
            p: f
            for p, f in self.desk.draft.items()
            if p.startswith("plan[") == self.dirty_plan or self.dirty_day
        }
        if self.dirty_day:
            self.desk.keep_day()
        if self.dirty_plan:
            self.desk.keep_plan()
        self.dirty_day = self.dirty_plan = False
        self.desk.draft = {}

    def _close(self) -> None:
        self.shell.pop()


def day(shell: Shell) -> Spot:
    """Water first, then the plan."""
    return Day(shell)


def plan(shell: Shell) -> Spot:
    """The plan only: the water was entered for another boat."""
    return Day(shell, only_plan=True)
