"""Results as plain data for ``--json``, and the counts beside them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import Any

from divelog.limits.model import Input, Limit, Verdict
from divelog.profiles.document import Basis
from divelog.profiles.facts import field_at

_COUNTED = ("within", "outside", "too_close", "no_reading", "unknown", "to_prove", "not_fitted")


def result(limit: Limit) -> dict[str, Any]:
    """One result; numbers in SI."""
    found: dict[str, Any] = {
        "key": limit.key,
        "item": limit.item or None,
        "kind": limit.kind,
        "title": limit.title,
        "unit": limit.unit,
        "low": limit.low,
        "high": limit.high,
        "value": limit.value,
        "u95": limit.u95,
        "shown_low": limit.shown_low,
        "shown_high": limit.shown_high,
        "shown": limit.shown,
        "starred": limit.starred,
        "basis": limit.basis.value,
        "missing": list(limit.missing),
        "inputs": [input_data(i) for i in limit.inputs],
        "why": list(limit.why),
        "source": list(limit.source),
        "cautions": list(limit.cautions),
        "reading": None if limit.reading is None else {"si": limit.reading.si, "u95": limit.reading.u95},
        "verdict": None if limit.verdict is Verdict.NONE else limit.verdict.value,
        "actions": list(limit.actions),
        "remark": limit.remark,
    }
    if limit.binds:
        found["binds"] = list(limit.binds)
        found["next"] = limit.next
        found["terms"] = {
            t.name: [t.value, t.u95, t.safe, *(["waived"] if t.waived else [])] for t in limit.terms
        }
    if limit.parts:
        found["parts"] = [{"name": p.name, "si": p.si, "u95": p.u95, "shown": p.shown} for p in limit.parts]
    if limit.moves:
        found["moves"] = [
            {"what": m.what, "mass": m.mass, "u95": m.u95, "from": m.start, "to": m.end} for m in limit.moves
        ]
    return found


def input_data(one: Input) -> dict[str, Any]:
    """One input of a result."""
    return {
        "path": one.path, "si": one.si, "u95": one.u95, "unit": one.unit, "basis": one.basis.value, "on": one.on or None,
        "said": one.said or None,
    }  # fmt: skip


def counts(limits: Iterable[Limit]) -> dict[str, int]:
    """How many results stand how, and how many of their inputs are assumed."""
    limits = tuple(limits)
    tally = Counter(limit.verdict.value for limit in limits)
    inputs = {
        i.path: i
        for limit in limits
        for i in limit.inputs
        if i.basis is not Basis.MISSING and i.si is not None and field_at(i.path) is not None
    }
    assumed = sum(1 for i in inputs.values() if i.basis is Basis.ASSUMED)
    return {
        **{name: tally.get(name, 0) for name in _COUNTED},
        "assumed_inputs": assumed,
        "inputs": len(inputs),
    }
