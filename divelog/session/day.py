"""The day in force: out of a file, out of the log, or as it is being typed.

A day is one document of root ``today``. ``day.opened`` and ``plan.set`` hold the same facts as events, each number with
its text as typed, so that a screen, a script and the log mean the same day.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from divelog.journal.payload import quantity as quantity_of
from divelog.profiles.document import Basis, Document, Fact, FactValue, Num, State
from divelog.profiles.facts import field_at
from divelog.profiles.fields import Kind

_DAY_PATHS: Mapping[str, str] = MappingProxyType(
    {
        "temperature": "water.temperature",
        "clarity": "water.clarity",
        "salinity": "water.salinity",
        "conductivity": "water.conductivity",
    }
)
_AIR = ("temperature", "look", "wind", "wind_height", "from", "humidity", "pressure")
_PLAN_NUMBERS = ("depth", "distance", "minutes", "dive_angle")


def quantity(num: Num, typed: str = "", how: str = "") -> dict[str, Any]:
    """A number as events hold it."""
    found: dict[str, Any] = {"si": num.si, "u95": num.u95}
    if typed:
        found["typed"] = typed
    if how:
        found["how"] = how
    return found


def fact_data(fact: Fact) -> Any:
    """A fact as event data."""
    if fact.state is not State.KNOWN:
        return {"si": None, "state": fact.state.value}
    if isinstance(fact.value, Num):
        return quantity(fact.value, fact.typed)
    if isinstance(fact.value, tuple):
        return [list(v) if isinstance(v, tuple) else v for v in fact.value]
    return fact.value


def fact_of(path: str, data: Any, on: str) -> Fact | None:
    """Event data as a fact at a whole path; None where it is of another kind."""
    field = field_at(path)
    if field is None or data is None:
        return None
    if isinstance(data, dict) and data.get("state") in ("unknown", "skipped"):
        return Fact(None, State.UNKNOWN, on=on, origin="the log")
    if field.kind is Kind.TEXT and isinstance(data, str):
        return Fact(data, on=on, typed=data, origin="the log")
    if field.kind is Kind.CHOICE and isinstance(data, str) and field.says(data):
        return Fact(data, on=on, typed=data, origin="the log")
    found = quantity_of(data)
    if found is None or found.si is None or not field.holds(found.si):
        return None
    if field.kind is Kind.QUANTITY:
        spread = found.u95 if found.u95 is not None else field.u95
        return Fact(Num(found.si, spread), on=on, typed=found.typed or "", origin="the log")
    if field.kind is Kind.COUNT:
        return Fact(found.si, on=on, typed=f"{found.si:g}", origin="the log")
    return None


def day_event(facts: Mapping[str, Fact]) -> dict[str, Any]:
    """Data of ``day.opened`` out of the facts of a day."""
    data: dict[str, Any] = {}
    site = facts.get("site")
    if site is not None and isinstance(site.value, str):
        data["site"] = site.value
    for key, path in _DAY_PATHS.items():
        if path in facts:
            data[key] = fact_data(facts[path])
    air = {key: fact_data(facts[f"air.{key}"]) for key in _AIR if f"air.{key}" in facts}
    if air:
        data["air"] = air
    return data


def plan_event(facts: Mapping[str, Fact], entry: str) -> dict[str, Any]:
    """Data of ``plan.set`` out of the facts of a boat's plan."""
    data: dict[str, Any] = {}
    pack = facts.get(f"plan[{entry}].pack")
    if pack is not None and isinstance(pack.value, str):
        data["pack"] = pack.value
    for key in _PLAN_NUMBERS:
        fact = facts.get(f"plan[{entry}].{key}")
        if fact is not None:
            data[key] = fact_data(fact)
    throttle = {
        key: fact_data(facts[f"plan[{entry}].throttle.{key}"])
        for key in ("slow", "half", "full")
        if f"plan[{entry}].throttle.{key}" in facts
    }
    if throttle:
        data["throttle"] = throttle
    blows = facts.get(f"plan[{entry}].blows")
    if blows is not None and isinstance(blows.value, float):
        data["blows"] = blows.value
    return data


def day_facts(data: Mapping[str, Any], on: str) -> dict[str, Fact]:
    """Facts of a day out of ``day.opened``."""
    facts: dict[str, Fact] = {}

    def put(path: str, value: Any) -> None:
        fact = fact_of(f"today.{path}", value, on)
        if fact is not None:
            facts[path] = fact

    if isinstance(data.get("site"), str):
        facts["site"] = Fact(data["site"], on=on, typed=data["site"], origin="the log")
    for key, path in _DAY_PATHS.items():
        put(path, data.get(key))
    air = data.get("air")
    if isinstance(air, Mapping) and "si" in air:
        put("air.temperature", air)
    elif isinstance(air, Mapping):
        for key in _AIR:
            put(f"air.{key}", air.get(key))
    return facts


def plan_facts(data: Mapping[str, Any], entry: str, on: str) -> dict[str, Fact]:
    """Facts of a boat's plan out of ``plan.set``."""
    facts: dict[str, Fact] = {}
    if isinstance(data.get("pack"), str):
        facts[f"plan[{entry}].pack"] = Fact(data["pack"], on=on, typed=data["pack"], origin="the log")
    for key in (*_PLAN_NUMBERS, "blows"):
        fact = fact_of(f"today.plan[{entry}].{key}", data.get(key), on)
        if fact is not None:
            facts[f"plan[{entry}].{key}"] = fact
    throttle = data.get("throttle")
    if isinstance(throttle, Mapping):
        for key in ("slow", "half", "full"):
            fact = fact_of(f"today.plan[{entry}].throttle.{key}", throttle.get(key), on)
            if fact is not None:
                facts[f"plan[{entry}].throttle.{key}"] = fact
    return facts


def today_document(facts: Mapping[str, Fact], entries: tuple[str, ...], name: str = "the day") -> Document:
    """A day's document out of its facts."""
    return Document("today", name, MappingProxyType(dict(facts)), MappingProxyType({"plan": entries}))


def with_facts(day: Document, facts: Mapping[str, Fact], entry: str = "") -> Document:
    """A day with some facts put in, and a plan entry if it is new."""
    entries = day.entries.get("plan", ())
    if entry and entry not in entries:
        entries = (*entries, entry)
    return replace(
        day,
        facts=MappingProxyType({**day.facts, **facts}),
        entries=MappingProxyType({**day.entries, "plan": entries}),
    )


def measured_fact(value: FactValue, typed: str, on: str, origin: str) -> Fact:
    """A fact out of the log, of measured basis."""
    if isinstance(value, Num):
        value = replace(value, basis=Basis.MEASURED)
    return Fact(value, State.KNOWN, Basis.MEASURED, on, typed, origin)
