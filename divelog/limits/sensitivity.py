"""Which input costs a limit its ±, how it moves with one input, and what a measurement would buy.

First order, numerically: each input is moved by its own 95 % half-width and the key worked out again (JCGM 100:2008,
5.1.3). One thermometer or one scale stands at one path, so what it enters twice is moved together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from divelog.limits import catalogue
from divelog.limits.guides import GUIDES, Guide
from divelog.limits.model import Input, Limit, Verdict
from divelog.limits.sheet import Sheet

_FIRST_PAGE = (
    "battery.endurance", "depth.keel", "buoyancy.trim_change", "battery.rest_voltage", "antenna.tip_height",
    "recovery.time_to_surface",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Share:
    """One input of a result: how far it moves it (SI), and its share of the squared ±, 0 to 1."""

    input: Input
    moves: float
    share: float


@dataclass(frozen=True, slots=True)
class Gain:
    """What a guide would buy: the limit it helps most, shown now and then."""

    guide: Guide
    key: str
    item: str
    now: str
    then: str
    relative: float


def number_of(limit: Limit) -> float | None:
    """The number of a result that moves: what was worked out, else its edge."""
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
    moved: list[tuple[Input, float]] = []
    for entry in limit.inputs:
        if entry.si is None or entry.u95 <= 0 or base is None:
            moved.append((entry, 0.0))
            continue
        other = one(sheet.varied({entry.path: entry.u95}), limit.key, limit.item)
        number = number_of(other) if other is not None else None
        moved.append((entry, 0.0 if number is None else number - base))
    total = sum(step * step for _, step in moved)
    rows = [Share(entry, step, step * step / total if total > 0 else 0.0) for entry, step in moved]
    return tuple(sorted(rows, key=lambda r: -r.share))


def response(
    sheet: Sheet, limit: Limit, entry: Input, steps: int = 8, reach: float = 2.0
) -> tuple[tuple[float, float], ...]:
    """How the result moves when one input moves over ``reach`` times its ± each way: (input SI, result SI)."""
    if entry.si is None:
        return ()
    width = entry.u95 or abs(entry.si) * 0.1 or 1.0
    points = []
    for index in range(-steps, steps + 1):
        delta = reach * width * index / steps
        other = one(sheet.varied({entry.path: delta}), limit.key, limit.item)
        number = number_of(other) if other is not None else None
        if number is not None:
            points.append((entry.si + delta, number))
    return tuple(points)


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
    """Guides ranked by how much they would move a shown limit of the first page; then those that end an unknown."""
    first = [x for x in limits if x.key in _FIRST_PAGE and x.item != "failsafe proved"]
    gains: list[Gain] = []
    for guide in GUIDES:
        best = _best(sheet, first, guide)
        if best is not None:
            gains.append(best)
    gains.sort(key=lambda g: -g.relative)
    return tuple(gains[:most])


def _best(sheet: Sheet, limits: Sequence[Limit], guide: Guide) -> Gain | None:
    paths = {sheet.facts.canonical(p) for p in guide.paths}
    best: Gain | None = None
    for limit in limits:
        if any(path in paths for path in limit.missing):
            found = Gain(guide, limit.key, limit.item, "unknown", "", 1.0)
            best = found if best is None or found.relative > best.relative else best
            continue
        inputs = [i for i in limit.inputs if i.path in paths and i.u95 > 0 and i.si is not None]
        if not inputs:
            continue
        spreads = {i.path: min(i.u95, guide.u95_of(i.si or 0.0)) for i in inputs}
        if all(spreads[i.path] >= i.u95 * 0.999 for i in inputs):
            continue
        then = one(sheet.varied(None, spreads), limit.key, limit.item)
        before, after = _room(limit), _room(then) if then is not None else None
        if then is None or before is None or after is None or after <= before:
            continue
        relative = (after - before) / max(abs(before), abs(after), 1e-9)
        if best is None or relative > best.relative:
            best = Gain(guide, limit.key, limit.item, limit.shown, then.shown, relative)
    return best
