"""Measure it now: what comes out of the answers to a guide, what it would change, and how it is kept."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Any

from divelog import units
from divelog.app.asking import Answer
from divelog.app.desk import Desk
from divelog.app.display import SHORT
from divelog.app.measure_asks import GUIDE_BY_ID, spread_words
from divelog.calibration.measured import measured_facts
from divelog.clock import Ids, moment
from divelog.journal.drafting import draft
from divelog.limits import catalogue, water
from divelog.limits.balance import dived_mass
from divelog.limits.guides import Guide
from divelog.limits.model import Limit, Verdict
from divelog.limits.sheet import NotFittedError, Sheet, UnknownError
from divelog.physics import measuring
from divelog.physics import water as water_physics
from divelog.physics.buoyancy_lead import BRASS_DENSITY, STEEL_DENSITY
from divelog.physics.measuring import Found
from divelog.profiles.document import Basis, Fact, Num
from divelog.profiles.facts import Facts
from divelog.profiles.writing import with_facts
from divelog.session.day import quantity
from divelog.session.filing import keep_document

_DENSITIES = {"steel": STEEL_DENSITY, "brass": BRASS_DENSITY}
_WHOLE_DAY = "today."


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a guide found: where it belongs, the value, and in what it was measured."""

    guide: Guide
    path: str
    item: str
    num: Num
    text: str
    """The value and its ± in words."""
    typed: str
    conditions: Mapping[str, Any] = field(default_factory=lambda: MappingProxyType({}))

    @property
    def event(self) -> dict[str, Any]:
        """Data of the ``measured`` event."""
        data: dict[str, Any] = {
            "path": self.path,
            "value": quantity(self.num, self.typed),
            "method": self.guide.id,
        }
        if self.item:
            data["item"] = self.item
        if self.conditions:
            data["conditions"] = dict(self.conditions)
        return data

    @property
    def everybody(self) -> bool:
        """True for what belongs to the person, a pack or a place and not to this boat."""
        return not self.path.startswith(("boat.", "shaft.", "joint."))


# -- what comes of it -----------------------------------------------------------------------------------------------


class _Told:
    """The answers of a guide, read back."""

    def __init__(self, guide: Guide, told: Mapping[str, Answer], desk: Desk) -> None:
        self.guide, self.told, self.desk, self.sheet = guide, told, desk, desk.sheet()

    def si(self, name: str, otherwise: str = "") -> float:
        answer = self.told.get(name)
        if answer is not None and answer.num is not None:
            return answer.num.si
        return self.sheet.si(otherwise)

    def found(self, name: str, otherwise: str) -> Found:
        answer = self.told.get(name)
        num = answer.num if answer is not None and answer.num is not None else self.sheet.num(otherwise)
        return Found(num.si, num.u95)

    def readings(self) -> list[float]:
        return [a.num.si for name, a in self.told.items() if name.startswith("reading") and a.num is not None]

    def reach(self, near: float) -> float:
        """What the way of measuring reaches: the guide's, or the worst ± of a reading where that is more."""
        widths = [
            a.num.u95 for name, a in self.told.items() if name.startswith("reading") and a.num is not None
        ]
        return max(self.guide.u95_of(near), *widths, 0.0)

    def temperature(self) -> float:
        return self.si("water", "today.water.temperature")

    def density(self) -> float:
        try:
            salt = self.sheet.of(water.salinity).si
        except UnknownError:
            salt = 0.0
        return water_physics.density(self.temperature(), salt)

    def metal(self) -> float:
        return _DENSITIES[self.told["metal"].word]

    def coins(self) -> Found:
        return measuring.coins(self.si("coins"), self.si("last"), self.density(), self.metal())

    def scale(self, *names: str) -> float:
        widths = [self.told[n].num for n in names if n in self.told]
        return max((w.u95 for w in widths if w is not None), default=0.0)


def _repeated(told: _Told) -> Found:
    readings = told.readings()
    if told.guide.result == "least":
        return measuring.least(readings, reach=told.reach(min(readings, default=0.0)))
    if told.guide.result == "greatest":
        return measuring.greatest(readings, reach=told.reach(max(readings, default=0.0)))
    near = sum(readings) / len(readings) if readings else 0.0
    return measuring.mean(readings, reach=told.reach(near))


def _displaced(told: _Told) -> Found:
    none = told.sheet.word("boat.ballast.kind") == "none" and not told.told["ballast"].known
    ballast = Found(0.0, 0.0) if none else told.found("ballast", "boat.ballast.volume")
    return measuring.displaced(told.found("mass", "boat.mass"), ballast, told.coins(), told.density())


def _ballast(told: _Told) -> Found:
    full, empty = told.told["full"], told.told["empty"]
    if full.dimension == "volume":
        return Found(full.si, max(told.guide.u95_of(full.si), full.num.u95 if full.num else 0.0))
    if empty.num is None:
        raise units.UnitFaultError("one weighing", "both weighings, full and empty; or the first in mL")
    return measuring.ballast_by_weighing(full.si, empty.si, told.scale("full", "empty"), told.density())


def _air(told: _Told) -> Found:
    length = told.si("length", "boat.cylinder.inside_length")
    return measuring.air_inside(length, told.si("bore", "boat.cylinder.inside_diameter"), told.si("contents"))


def _speed(told: _Told) -> Found:
    course = told.told["course"]
    metres = (
        course.si
        if course.dimension == "length"
        else (course.si if course.known else 10.0) * told.sheet.si("settings.own_pace")
    )
    return measuring.speed(metres, told.readings())


def _righting(told: _Told) -> Found:
    mass = (
        told.sheet.of(dived_mass).si
        if "water" not in told.told
        else told.sheet.si("boat.mass") + told.density() * _taken(told)
    )
    return measuring.righting(
        told.si("coin"), told.si("across"), told.si("angle"), mass, told.density(), told.metal()
    )


def _taken(told: _Told) -> float:
    return 0.0 if told.sheet.word("boat.ballast.kind") == "none" else told.sheet.si("boat.ballast.volume")


_WORK: Mapping[str, Callable[[_Told], Found]] = MappingProxyType(
    {
        "displaced": _displaced,
        "ballast volume": _ballast,
        "dived balance": _Told.coins,
        "air inside": _air,
        "gas a blow": lambda t: measuring.gas_of_a_blow(
            t.si("before"), t.si("after"), t.scale("before", "after")
        ),
        "pack resistance": lambda t: measuring.resistance(
            t.si("volts 1"), t.si("current 1"), t.si("volts 2"), t.si("current 2")
        ),
        "charge put back": lambda t: measuring.charge_rate(t.si("charge"), t.si("minutes")),
        "speed": _speed,
        "righting": _righting,
        "own pace": lambda t: measuring.pace(t.readings()[0]),
    }
)


def work_out(guide: Guide, told: Mapping[str, Answer], desk: Desk) -> Outcome:
    """The value that answers give.

    Raises OutOfRangeError (readings that cannot be so, in words), UnknownError (a figure of the boat is missing) and
    UnitFaultError.
    """
    read = _Told(guide, told, desk)
    found = _WORK.get(guide.id, _repeated)(read)
    path, item = _where(guide, desk)
    unit, dimension = ("A", "current") if guide.id == "charge put back" else (guide.unit, guide.dimension)
    num = Num(found.value, found.u95, Basis.MEASURED)
    text = spread_words(num.si, num.u95, unit, dimension)
    typed = spread_words(num.si, num.u95, unit, dimension, lead=" ± ")
    return Outcome(guide, path, item, num, text, typed, MappingProxyType(_conditions(read)))


def _where(guide: Guide, desk: Desk) -> tuple[str, str]:
    """The path of the event and its item."""
    path = guide.paths[0]
    if guide.id == "water" and desk.day_is_open():
        path = guide.paths[1]
    if path.startswith("pack."):
        return path, desk.sheet().facts.canonical(path).partition("[")[2].partition("]")[0]
    if path.startswith("site."):
        return path, desk.day().text_at("site")
    if path.startswith(_WHOLE_DAY):
        return path, desk.now().date().isoformat()
    return path, ""


def _conditions(told: _Told) -> dict[str, Any]:
    """What it was measured in: only what is known."""
    sheet = told.sheet
    found: dict[str, Any] = {}
    for name in ("volts", "distance"):
        answer = told.told.get(name)
        if answer is not None and answer.num is not None:
            found[name] = quantity(answer.num, answer.typed)
    answer = told.told.get("water")
    temperature = (
        answer.num
        if answer is not None and answer.num is not None
        else sheet.maybe("today.water.temperature")
    )
    if temperature is not None:
        found["temperature"] = quantity(Num(temperature.si, temperature.u95 or 0.5))
    word = sheet.word("site.water")
    if word is not None:
        found["water"] = word
    if told.guide.id == "dived balance":
        _maybe(found, "salinity", sheet, water.salinity)
    if told.guide.id == "signal depth":
        stick = told.told.get("conductivity")
        if stick is not None and stick.num is not None:
            found["conductivity"] = quantity(stick.num, stick.typed)
        else:
            _maybe(found, "conductivity", sheet, water.conductivity_25)
    return found


def coins_told(told: Mapping[str, Answer], desk: Desk) -> Found:
    """Dived balance out of answers named coins, last and metal (and water, where no day is open)."""
    return _Told(GUIDE_BY_ID["dived balance"], told, desk).coins()


def conditions_told(told: Mapping[str, Answer], desk: Desk) -> dict[str, Any]:
    """What a tank trim was done in: temperature, water and salt."""
    return _conditions(_Told(GUIDE_BY_ID["dived balance"], told, desk))


def _maybe(found: dict[str, Any], name: str, sheet: Sheet, figure: Callable[[Sheet], Num]) -> None:
    try:
        held = sheet.of(figure)
    except (UnknownError, NotFittedError):
        return
    found[name] = quantity(held)


# -- what it changes ------------------------------------------------------------------------------------------------


def with_outcome(desk: Desk, outcome: Outcome) -> Facts:
    """The facts as they will stand once the outcome is kept."""
    facts = desk.sheet().facts
    if outcome.path.startswith("site."):
        site = with_facts(facts.site, {outcome.path.removeprefix("site."): _fact(outcome)})
        return replace(facts, site=site)
    if outcome.path.startswith(_WHOLE_DAY):
        day = with_facts(facts.today, {outcome.path.removeprefix(_WHOLE_DAY): _fact(outcome)})
        return replace(facts, today=day)
    return with_events(desk, [outcome.event], everybody=outcome.everybody)


def with_events(desk: Desk, data: Sequence[Mapping[str, Any]], *, everybody: bool = False) -> Facts:
    """The facts as they will stand once these ``measured`` events are written; nothing is written here."""
    asked = desk.asked()
    now, ids = moment(desk.session.clock), Ids()
    boat = None if everybody else asked.slug
    new = [draft("measured", one, now, ids, by="operator", boat=boat) for one in data]
    events = [e for e in desk.session.log(asked.slug).events if e.at.timestamp() <= asked.at.timestamp()]
    fresh = replace(desk.sheet().facts, measured=MappingProxyType({}))
    return fresh.with_measured(measured_facts(fresh, [*events, *new], asked.at.date()))


def _fact(outcome: Outcome) -> Fact:
    return Fact(outcome.num, basis=Basis.MEASURED, typed=outcome.typed, said=True, origin="measured")


_FIRST = (
    "battery.endurance",
    "depth.keel",
    "buoyancy.trim_change",
    "battery.rest_voltage",
    "antenna.tip_height",
)


def changes(desk: Desk, outcome: Outcome) -> tuple[tuple[str, str, str], ...]:
    """Limits that read otherwise then: title, shown now, shown then; the first page's first."""
    sheet = desk.session.sheet(desk.asked(), with_outcome(desk, outcome))
    return limit_changes(desk.limits(), catalogue.work_out(sheet))


def limit_changes(now: Sequence[Limit], then: Sequence[Limit]) -> tuple[tuple[str, str, str], ...]:
    """Limits that read otherwise in the second of two workings: title, shown now, shown then; the first page's first."""
    before = {(x.key, x.item): x for x in now}
    found = []
    for after in then:
        was = before.get((after.key, after.item))
        if was is not None and _said(was) != _said(after):
            rank = _FIRST.index(after.key) if after.key in _FIRST else len(_FIRST)
            found.append((rank, _title(after), _said(was), _said(after)))
    found.sort(key=lambda row: row[0])
    return tuple((title, was, after) for _, title, was, after in found)


def _title(limit: Limit) -> str:
    if limit.key == "depth.keel":
        return "deepest keel" if limit.item == "under control" else "keel, once proved"
    name = SHORT.get(limit.key, limit.title)
    return f"{name} {limit.item}" if limit.item else name


def _said(limit: Limit) -> str:
    star = "*" if limit.starred and not limit.shown.endswith("*") else ""
    return "unknown" if limit.verdict is Verdict.UNKNOWN else f"{limit.shown}{star}"


# -- keeping --------------------------------------------------------------------------------------------------------


def keep(desk: Desk, outcome: Outcome) -> None:
    """Write the outcome down: an event, and what it belongs to. Raises StorageError, ReadOnlyError, WritingError."""
    if outcome.path.startswith(_WHOLE_DAY):
        desk.draft = {outcome.path.removeprefix(_WHOLE_DAY): _fact(outcome)}
        try:
            desk.keep_day()
        finally:
            desk.draft = {}
    if outcome.path.startswith("site.") and outcome.item in desk.session.shelf.sites:
        site = desk.session.shelf.sites[outcome.item]
        keep_document(
            desk.session,
            outcome.item,
            site,
            with_facts(site, {outcome.path.removeprefix("site."): _fact(outcome)}),
        )
    desk.keep("measured", outcome.event, everybody=outcome.everybody)


def where_words(desk: Desk, outcome: Outcome) -> str:
    """Where the outcome goes, in words."""
    if outcome.path.startswith("site."):
        site = desk.session.shelf.sites.get(outcome.item)
        return (
            f"Into the log and into the file of {site.text_at('name')}."
            if site is not None
            else "Into the log."
        )
    if outcome.path.startswith(_WHOLE_DAY):
        return "For every boat, today."
    if outcome.path.startswith("pack."):
        return f"Pack {outcome.item}, whichever boat it is in."
    return (
        "Into the log; it counts before her file does."
        if not outcome.everybody
        else "For every boat, from now on."
    )
