"""What a person types about an event, as the event's data: one table of fields a kind, every text parsed and checked.

Used by the command line (``record``, ``correct``) and by the page of what happened, so that both write the same shapes.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from divelog import units
from divelog.checks.words import amount
from divelog.journal.kinds import DEPTH_SOURCES, FIELDS, LADDER
from divelog.profiles.facts import field_at
from divelog.profiles.schema import LOOKS


class EntryError(ValueError):
    """What was typed does not make an event; the message is a plain sentence."""


@dataclass(frozen=True, slots=True)
class Field:
    """One field of an event: how its text is read, and which words it takes (empty: any)."""

    kind: str
    """text, list, flag, count, number, quantity, seconds, value, flags (a table of yes and no) or words (a table)."""
    dimension: str = ""
    unit: str = ""
    """Unit meant where only a number is typed."""
    of: tuple[str, ...] = ()
    need: bool = False


def _q(dimension: str, unit: str, *, need: bool = False) -> Field:
    return Field("quantity", dimension, unit, need=need)


def _t(*of: str, need: bool = False) -> Field:
    return Field("text", of=of, need=need)


def _l(*of: str, need: bool = False) -> Field:
    return Field("list", of=of, need=need)


_FLAG = Field("flag")
PARTS = (
    "seal", "port", "cap", "cylinder", "shaft", "coupling", "linkage", "servo", "propeller", "receiver", "controller",
    "regulator", "pump", "valve", "piston", "hose", "pack", "meter", "other",
)  # fmt: skip
RADIO = ("bound", "memory", "mixing", "receiver", "transmitter cells", "aerial")
KNOCKS = ("dropped", "hit", "jolted", "heat")
SIGNALS = ("glitch", "drop", "lost", "back")

SHAPES: Mapping[str, Mapping[str, Field]] = MappingProxyType(
    {
        "boat.received": {"from": _t(), "condition": _t(), "defects": _l(), "claimed": _l()},
        "boat.handed_over": {"to": _t(), "condition": _t(), "defects": _l(), "claimed": _l()},
        "measured": {
            "path": _t(need=True), "item": _t(), "value": Field("value", need=True), "conditions": Field("words"),
            "method": _t(),
        },
        "day.opened": {
            "site": _t(need=True), "water": _t("rain", "fresh", "brackish", "salt_pool", "sea", "unknown"),
            "temperature": _q("temperature", "degC"), "salinity": _q("salinity", "g/kg"),
            "conductivity": _q("conductivity", "uS/cm"), "clarity": _q("length", "m"), "air": Field("words"), "helper": _t(),
        },
        "day.closed": {"site": _t()},
        "plan.set": {
            "pack": _t(), "pack_mass_change": _q("mass", "g"), "depth": _q("length", "m"),
            "distance": _q("length", "m"), "minutes": _q("time", "min"),
        },
        "opened": {"which": _l(need=True), "lifted": _FLAG, "place": _t()},
        "closed": {
            "which": _l(), "count": Field("count"), "air_temperature": _q("temperature", "degC"),
            "humidity": _q("share", "%"), "ballast": _t("empty", "part full", "full"), "gauge": _q("pressure", "kPa"),
        },
        "fitted": {
            "part": _t(*PARTS, need=True), "item": _t(), "old": _t(), "new": _t(), "mass_change": _q("mass", "g"),
            "seals": _l(), "inside_cylinder": _FLAG, "cost": _t(),
        },
        "mass.moved": {"piece": _t(), "mass": _q("mass", "g", need=True), "from": _t(), "to": _t()},
        "radio.changed": {"changed": _l(*RADIO, need=True)},
        "switched": {
            "device": _t("transmitter", "boat", need=True), "to": _t("on", "off", need=True),
            "for": _t("failsafe", "home", "none"),
        },
        "knocked": {"kind": _t(*KNOCKS, need=True)},
        "run.started": {"pack": _t(), "transmitter": _t(), "receiver": _t()},
        "run.ended": {
            "pack": _t(), "volts": _q("voltage", "V"), "deepest": _q("length", "m"), "cycles": Field("number"),
            "shaft_time": Field("seconds", "time", "min"), "dived_time": Field("seconds", "time", "min"),
            "reason": _t(),
        },
        "mark": {"kind": _t()},
        "mark.named": {"of": _t(need=True), "kind": _t(), "text": _t()},
        "incident": {
            "step": _t(*LADDER, need=True), "depth": _q("length", "m"), "source": _t(*DEPTH_SOURCES), "cause": _t(),
            "worked": _t(), "damage": _t(),
        },
        "signal": {
            "kind": _t(*SIGNALS, need=True), "distance": _q("length", "m"), "depth": _q("length", "m"),
            "motor_on": _FLAG, "pump_on": _FLAG,
        },
        "failsafe.tripped": {
            "trigger": _t(), "real": _FLAG, "channels": Field("flags"), "seconds": Field("seconds", "time", "s"),
        },
        "water.found": {
            "word": Field("water"), "si": Field("volume"), "end": _t("fore", "aft", "middle", "none"),
            "allowance": Field("seconds", "volume", "mL"), "looked": _t("opened", "window", "not"), "flooded": _FLAG,
        },
        "charged": {
            "pack": _t(need=True), "charge": _q("charge", "A h"), "volts": _q("voltage", "V"),
            "to": _t("full", "storage"),
        },
        "serviced": {
            "item": _t(need=True), "consumable": _t(), "hours_at": _q("time", "h"), "seals": _l(), "cost": _t(),
        },
        "defect.opened": {"defect": _t(need=True), "stops_launch": _FLAG},
        "defect.closed": {"of": _t(need=True), "check": _t(), "words": _t()},
        "defect.overruled": {"of": _t(need=True), "reason": _t(need=True)},
        "stored": {"packs": _t(), "rings": _t(), "vents": _t()},
        "note": {"text": _t(need=True), "private": _FLAG, "about": _t()},
    }
)  # fmt: skip
"""Fields that may be typed, by kind. Kinds that are not here are written by the program, or answered in a check."""

IN_A_RUN = frozenset(
    {"run.ended", "mark", "mark.named", "incident", "signal", "failsafe.tripped", "water.found"}
)
"""Kinds that carry a run."""


def shape_of(what: str) -> Mapping[str, Field]:
    """The fields of a kind.

    Raises:
        EntryError: nobody may write that kind, or there is none.
    """
    found = SHAPES.get(what)
    if found is not None:
        return found
    if what in FIELDS:
        raise EntryError(f"{what} is written by the program itself, or by answering a check; it is not typed")
    near = difflib.get_close_matches(what, SHAPES, n=3)
    hint = f"; perhaps {' or '.join(near)}" if near else f"; kinds: {', '.join(sorted(SHAPES))}"
    raise EntryError(f"there is no kind of event called {what[:40]!r}{hint}")


def typed_data(
    what: str, pairs: Iterable[tuple[str, str]], base: Mapping[str, Any] | None = None
) -> dict[str, Any]:
    """The data of an event out of ``PATH=TEXT`` pairs, over ``base`` (the data that is being corrected).

    Raises:
        EntryError: a field there is not, a text that cannot be read, or a field that is needed and not given.
    """
    shape = shape_of(what)
    data: dict[str, Any] = dict(base or {})
    for path, words in pairs:
        _put(what, shape, data, path.strip(), words.strip())
    lacking = [name for name, field in shape.items() if field.need and data.get(name) in (None, "", [])]
    if lacking:
        raise EntryError(f"{what} needs {lacking[0]}; fields: {', '.join(shape)}")
    return data


def _put(what: str, shape: Mapping[str, Field], data: dict[str, Any], path: str, words: str) -> None:
    name, _, rest = path.partition(".")
    field = shape.get(name)
    if field is None:
        near = difflib.get_close_matches(name, shape, n=2)
        hint = f"; perhaps {' or '.join(near)}" if near else ""
        raise EntryError(f"{what} has no field called {name[:40]!r}{hint}; fields: {', '.join(shape)}")
    if rest:
        _inside(name, field, data, rest, words)
        return
    if field.kind == "water":
        _water(data, words)
    elif field.kind == "volume":
        data.update(quantity_of(name, words, "volume", "mL"))
    elif field.kind == "value":
        data[name] = _value(data, words)
    elif field.kind == "quantity" and isinstance(data.get(name), dict) and "how" in data[name]:
        data[name] = {**quantity_of(name, words, field.dimension, field.unit), "how": data[name]["how"]}
    else:
        data[name] = _read(name, field, words)


def _inside(name: str, field: Field, data: dict[str, Any], rest: str, words: str) -> None:
    """A path inside a field: ``deepest.how=seen``, ``channels.throttle=yes``, ``conditions.volts=7.6 V``."""
    held = data.get(name)
    inner = dict(held) if isinstance(held, dict) else {}
    if field.kind == "quantity" and rest == "how":
        if name == "deepest" and words not in DEPTH_SOURCES:
            raise EntryError(f"{name}.how is one of {', '.join(DEPTH_SOURCES)}; found {words[:40]!r}")
        inner["how"] = words
    elif field.kind == "flags":
        inner[rest] = _flag(f"{name}.{rest}", words)
    elif field.kind == "words":
        inner[rest] = _condition(rest, words)
    else:
        raise EntryError(f"{name} has nothing called {rest[:40]!r} inside")
    data[name] = inner


def _condition(name: str, words: str) -> Any:
    known = {"volts": ("voltage", "V"), "temperature": ("temperature", "degC"), "current": ("current", "A")}
    if name in known:
        return quantity_of(name, words, *known[name])
    if name == "look" and words not in LOOKS:
        raise EntryError(f"look is one of: {', '.join(LOOKS)}; found {words[:40]!r}")
    return words


def _read(name: str, field: Field, words: str) -> Any:
    match field.kind:
        case "list":
            items = [part.strip() for part in words.split(",") if part.strip()]
            for item in items:
                _one_of(name, field, item)
            return items
        case "flag":
            return _flag(name, words)
        case "count" | "number":
            return _count(name, words)
        case "quantity":
            return quantity_of(name, words, field.dimension, field.unit)
        case "seconds":
            return quantity_of(name, words, field.dimension, field.unit)["si"]
        case "flags" | "words":
            raise EntryError(f"{name} is a table: write {name}.THING=TEXT")
        case _:
            _one_of(name, field, words)
            return words


def _one_of(name: str, field: Field, words: str) -> None:
    if field.of and words not in field.of:
        raise EntryError(f"{name} is one of {', '.join(field.of)}; found {words[:40]!r}")


def _flag(name: str, words: str) -> bool:
    folded = words.casefold()
    if folded in ("yes", "true"):
        return True
    if folded in ("no", "false"):
        return False
    raise EntryError(f"{name} is yes or no; found {words[:40]!r}")


def _count(name: str, words: str) -> int:
    if not (words.isascii() and words.isdecimal() and len(words) <= 9):
        raise EntryError(f"{name} is a whole number; found {words[:40]!r}")
    return int(words)


def quantity_of(name: str, words: str, dimension: str, unit: str) -> dict[str, Any]:
    """A quantity as events hold it; ``unknown`` and ``not fitted`` are states, never nought."""
    if words in ("unknown", "not fitted", "skipped"):
        return {"si": None, "state": words}
    try:
        found = units.parse(words, dimension, typed=True, assume_unit=unit or None)
    except units.UnitFaultError as error:
        raise EntryError(f"{name}: {error}") from error
    bare = found.typed.replace(",", ".").lstrip("+-").replace(".", "", 1).isdecimal()
    typed = f"{found.typed} {unit}".strip() if bare else found.typed
    return {"si": found.si, "u95": found.u95, "typed": typed}


def _value(data: Mapping[str, Any], words: str) -> dict[str, Any]:
    path = str(data.get("path", ""))
    for whole in (path, f"boat.{path}", f"kit.{path}", f"today.{path}"):
        field = field_at(whole)
        if field is not None and field.dimension:
            return quantity_of("value", words, field.dimension, "")
    raise EntryError(f"give path before value; {path[:40]!r} is no path that is measured in a unit")


def _water(data: dict[str, Any], words: str) -> None:
    """A word of the table (a drop, a teaspoon), or a volume."""
    found = amount(words)
    if found is None:
        read = quantity_of("word", words, "volume", "")
        data.update(read)
        data["word"] = words
        return
    data.update({"word": words, "si": found.si, "u95": found.u95, "typed": words})
