"""Which input costs a limit its ±, how it moves with one input, and what a measurement would buy.

First order, numerically: each input is moved by its own 95 % half-width and the key worked out again (JCGM 100:2008,
5.1.3). One thermometer or one scale stands at one path, so what it enters twice is moved together.
"""

from __future__ import annotations

import math
from collections.abc import Sequence, Set
from dataclasses import dataclass, replace

from divelog.limits import catalogue
from divelog.limits.guides import GUIDES, Guide
from divelog.limits.keel import FAILSAFE_PROVED
from divelog.limits.model import Input, Limit, Verdict
from divelog.limits.registry import KEYS
from divelog.limits.sheet import Sheet
from divelog.profiles.document import Basis, Num
from divelog.profiles.facts import field_at

_FIRST_PAGE = (
    "battery.endurance", "depth.keel", "buoyancy.trim_change", "battery.rest_voltage", "antenna.tip_height",
    "recovery.time_to_surface",
)  # fmt: skip

_TRIED = (0.02, 0.2, 1.0, 5.0, 30.0)
"""Values (SI) put where nothing is known, to see whether a result looks there at all."""

WORTH_A_TRIP = 0.05
"""Share of a ± that a measurement must take off to be named at all."""


@dataclass(frozen=True, slots=True)
class Share:
    """One input of a result: how far it moves it (SI), and its share of the squared ±, 0 to 1."""

    input: Input
    moves: float
    share: float


@dataclass(frozen=True, slots=True)
class Gain:
    """What a guide would buy: the limit it helps most, shown now and then.

    ``relative`` is how far it moves the shown limit, as a share of it; ``narrows`` by which share of its ± it narrows a
    result whose shown limit it does not move.
    """

    guide: Guide
    key: str
    item: str
    now: str
    then: str
    relative: float
    narrows: float = 0.0


def number_of(limit: Limit) -> float | None:
    """The number of a result that its ± belongs to: its value; the limit itself where that is what is worked out."""
    for found in (limit.value, limit.high, limit.low):
        if found is not None:
            return found
    return None


def one(sheet: Sheet, key: str, item: str) -> Limit | None:
    """One result of a sheet."""
    found = [r for r in catalogue.work_out(sheet, (key,)) if r.item == item]
    return found[0] if found else None


def shares(sheet: Sheet, limit: Limit) -> tuple[Share, ...]:
    """Shares of the ± by input, greatest first; inputs that move nothing come last."""
    base = number_of(limit)
    moved = [
        (
            entry,
            0.0 if base is None or entry.si is None or entry.u95 <= 0 else _moves(sheet, limit, entry, base),
        )
        for entry in limit.inputs
    ]
    total = math.fsum(step * step for _, step in moved)
    rows = [Share(entry, step, step * step / total if total > 0 else 0.0) for entry, step in moved]
    return tuple(sorted(rows, key=lambda r: -r.share))


def _moves(sheet: Sheet, limit: Limit, entry: Input, base: float) -> float:
    """How far an input moves the number at its high end; at its low end where the high one cannot be."""
    for sign in (1.0, -1.0):
        other = one(sheet.varied({entry.path: sign * entry.u95}), limit.key, limit.item)
        number = number_of(other) if other is not None else None
        if number is not None:
            return sign * (number - base)
    return 0.0


def response(
    sheet: Sheet, limit: Limit, entry: Input, steps: int = 8, reach: float = 2.0
) -> tuple[tuple[float, float], ...]:
    """How the result moves when one input moves over ``reach`` times its ± each way: (input SI, result SI).

    Only where the input can be: within the range of its field, and a figure of the method on its side of nought.
    """
    if entry.si is None:
        return ()
    width = entry.u95 or abs(entry.si) * 0.1 or 1.0
    points = []
    for index in range(-steps, steps + 1):
        delta = reach * width * index / steps
        if not _can_be(entry, entry.si + delta):
            continue
        other = one(sheet.varied({entry.path: delta}), limit.key, limit.item)
        number = number_of(other) if other is not None else None
        if number is not None:
            points.append((entry.si + delta, number))
    return tuple(points)


def _can_be(entry: Input, si: float) -> bool:
    """Whether an input may have a value: in its field's range; what is above nought and cannot be under it stays above."""
    found = field_at(entry.path)
    if (found is None or found.low == 0.0) and entry.si is not None and entry.si > 0.0 and si <= 0.0:
        return False
    return found is None or found.holds(si)


def _room(limit: Limit) -> float | None:
    """How much a shown limit allows, so that more is better whatever its sense."""
    if limit.verdict in (Verdict.UNKNOWN, Verdict.NOT_FITTED):
        return None
    if limit.shown_high is not None and limit.shown_low is not None:
        return limit.shown_high - limit.shown_low
    if limit.shown_high is not None:
        return limit.shown_high
    if limit.shown_low is not None:
        return -limit.shown_low
    return None


def measure_next(sheet: Sheet, limits: Sequence[Limit], most: int = 3) -> tuple[Gain, ...]:
    """Guides ranked by how far they would move a shown limit of the first page; those that end an unknown come first.

    What a guide would buy is worked out again with its paths measured at the value they are thought to have and with the
    ± the guide reaches, so what is promised is what comes of it if the value is right.
    """
    first = [x for x in limits if x.key in _FIRST_PAGE and x.item != FAILSAFE_PROVED]
    found = (_best(sheet, first, guide) for guide in GUIDES)
    gains = sorted((gain for gain in found if gain is not None), key=_rank, reverse=True)
    return tuple(gains[:most])


def measured_by(sheet: Sheet, guide: Guide, limit: Limit) -> dict[str, Num]:
    """Inputs of a result that a guide would know better, at their value and with its ±; empty where it brings nothing."""
    paths = {sheet.facts.canonical(path) for path in guide.paths}
    found = {}
    for entry in limit.inputs:
        if entry.path in paths and entry.si is not None:
            u95 = min(guide.u95_of(entry.si), entry.u95) if entry.u95 > 0 else guide.u95_of(entry.si)
            if u95 < 0.999 * entry.u95 or entry.basis is Basis.ASSUMED:
                found[entry.path] = Num(entry.si, u95, Basis.MEASURED)
    return found


def _best(sheet: Sheet, limits: Sequence[Limit], guide: Guide) -> Gain | None:
    paths = {sheet.facts.canonical(path) for path in guide.paths}
    best: Gain | None = None
    for limit in limits:
        found = _gain(sheet, limit, guide, paths)
        if found is not None and (best is None or _rank(found) > _rank(best)):
            best = found
    return best


def buys(sheet: Sheet, limit: Limit) -> Gain | None:
    """The guide that would widen or narrow this very result most; None where nothing is worth a trip."""
    found = (_best(sheet, (limit,), guide) for guide in GUIDES)
    return max((gain for gain in found if gain is not None), key=_rank, default=None)


def _gain(sheet: Sheet, limit: Limit, guide: Guide, paths: Set[str]) -> Gain | None:
    if not paths.isdisjoint(limit.missing):
        return Gain(guide, limit.key, limit.item, "unknown", "", 1.0)
    measured = measured_by(sheet, guide, limit)
    then = one(sheet.known_better(measured), limit.key, limit.item) if measured else None
    if then is None:
        return _guessed(sheet, limit, guide, paths)
    before, after = _room(limit), _room(then)
    if before is not None and after is not None and after > before:
        relative = (after - before) / max(abs(before), abs(after), 1e-9)
        return Gain(guide, limit.key, limit.item, limit.shown, then.shown, relative)
    if before is not None and after is not None and after < before:
        return None
    narrows = (limit.u95 - then.u95) / limit.u95 if limit.u95 > 0 and number_of(then) is not None else 0.0
    if narrows < WORTH_A_TRIP:
        return _guessed(sheet, limit, guide, paths)
    return Gain(guide, limit.key, limit.item, _spread(limit), _spread(then), 0.0, narrows)


def _guessed(sheet: Sheet, limit: Limit, guide: Guide, paths: Set[str]) -> Gain | None:
    """A guide that puts a measurement in the place of a guess: what it would buy, nobody can say beforehand."""
    if limit.basis is not Basis.ASSUMED or any(sheet.fact(path) is not None for path in paths):
        return None
    _, asked = sheet.asked_by(KEYS[limit.key])
    for path in sorted(paths):
        entry = next((i for i in limit.inputs if i.path == path and i.si is not None), None)
        if ("fact", path) not in asked or (entry is not None and entry.basis is not Basis.ASSUMED):
            continue  # not asked, or learnt from her log: no guess of this one
        if _matters(sheet, limit, path, entry):
            return Gain(guide, limit.key, limit.item, "a guess", "measured", 0.0)
    return None


def _matters(sheet: Sheet, limit: Limit, path: str, entry: Input | None) -> bool:
    """Whether a measured value at a path could change this very result, other items of its key aside."""
    base = number_of(limit)
    if entry is not None and base is not None:
        return _moves(sheet, limit, _wide(entry), base) != 0.0
    field = field_at(path)
    for si in _TRIED:
        if field is None or field.holds(si):
            then = one(sheet.known_better({path: Num(si, 0.1 * si, Basis.MEASURED)}), limit.key, limit.item)
            if then is not None and _told(then) != _told(limit):
                return True
    return False


def _told(limit: Limit) -> tuple[object, ...]:
    """What one sees of a result."""
    return (number_of(limit), limit.u95, limit.shown, limit.verdict, limit.basis)


def _wide(entry: Input) -> Input:
    """An input with some ± to move it by, where its rule gives none."""
    return entry if entry.u95 > 0 or entry.si is None else replace(entry, u95=0.2 * abs(entry.si))


def _rank(gain: Gain) -> tuple[float, float]:
    return gain.relative, gain.narrows


def _spread(limit: Limit) -> str:
    """The ± of a result in words, in SI."""
    return f"give or take {limit.u95:.2g} {limit.unit}"
