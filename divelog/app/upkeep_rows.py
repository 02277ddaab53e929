"""Upkeep as rows of a page: what is due, what wears and how packs hold, in three groups. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from divelog.app.look import gauge
from divelog.app.look.rows import Row
from divelog.app.look.words import Status
from divelog.app.phrases import plain
from divelog.physics.electrical import AMPERE_HOUR
from divelog.session.tending import Holding, Tended
from divelog.session.wearing import Series
from divelog.upkeep.due import DueRow, DueVerdict
from divelog.upkeep.wear import WearVerdict
from divelog.upkeep.wear_words import line
from divelog.upkeep.words import allowance, reading, sentence

DUE = {
    DueVerdict.OUTSIDE: Status.OUTSIDE, DueVerdict.TOO_CLOSE: Status.TOO_CLOSE, DueVerdict.TO_PROVE: Status.TO_PROVE,
    DueVerdict.WITHIN: Status.WITHIN, DueVerdict.UNKNOWN: Status.UNKNOWN,
}  # fmt: skip
WEAR = {
    WearVerdict.OUTSIDE: Status.OUTSIDE, WearVerdict.TOO_CLOSE: Status.TOO_CLOSE, WearVerdict.WITHIN: Status.WITHIN,
    WearVerdict.NO_READING: Status.NO_READING,
}  # fmt: skip
TIMES_FROM = 0.75
"""Where the scale of a fill or empty time begins, as a share of its limit."""


@dataclass(frozen=True, slots=True)
class Item:
    """One row of upkeep: what it is, how it stands, and what is written down when it is done (empty: nothing)."""

    name: str
    title: str
    row: Row
    share: float = 0.0
    service: str = ""
    due: DueRow | None = None
    series: Series | None = None
    holding: Holding | None = None

    @property
    def status(self) -> Status:
        """How it stands."""
        return self.row.status or Status.UNKNOWN

    @property
    def group(self) -> int:
        """0 OUTSIDE, 1 too close and to prove, 2 the rest."""
        return {Status.OUTSIDE: 0, Status.TOO_CLOSE: 1, Status.TO_PROVE: 1}.get(self.status, 2)


def items_of(tended: Tended) -> tuple[Item, ...]:
    """Every row, worst group first; in a group by the share used, unknown ones last."""
    found = [due_item(row) for row in tended.care.rows]
    found += [item for each in tended.series if (item := wear_item(each)) is not None]
    found += [pack_item(each) for each in tended.packs]
    last = {Status.UNKNOWN: 1, Status.NO_READING: 1}
    return tuple(sorted(found, key=lambda item: (item.group, last.get(item.status, 0), -item.share)))


def due_item(due: DueRow) -> Item:
    """A service or a proof."""
    row = Row(due.title, DUE[due.verdict])
    if due.verdict is DueVerdict.TO_PROVE and not due.because.startswith("over ") or due.used is None:
        row = replace(row, limit=due.because)
    else:
        bounds, value = gauge.at_most(due.allowed), gauge.one(due.used)
        row = replace(row, reading=reading(due), limit=allowance(due), bounds=bounds, value=value)
    return Item(due.item, due.title, row, due.share, "" if due.proof else due.item, due=due)


def wear_item(series: Series) -> Item | None:
    """A quantity beside its limit; None where it has none."""
    found, followed = series.wear, series.followed
    newest, limit = found.newest, found.limit
    if limit is None:
        return None
    upper = found.quantity.upper
    bounds = gauge.at_most(limit.shown) if upper else gauge.at_least(limit.shown)
    if followed.ballast:
        bounds = gauge.at_most(limit.shown, far=TIMES_FROM * limit.shown)
    shown = f"{limit.shown:.{found.quantity.decimals}f}"
    shown = shown.rstrip("0").rstrip(".") if "." in shown else shown
    if newest is None:
        words = f"{'at most' if upper else 'at least'} {shown}"
        row = Row(followed.title, Status.NO_READING, limit=words, bounds=bounds)
        return Item(followed.name, followed.title, row, 0.0, followed.service, series=series)
    row = Row(
        followed.title,
        WEAR[found.verdict],
        reading=f"{newest.value:.{found.quantity.decimals}f} {found.quantity.unit}",
        limit=f"{'at most' if upper else 'at least'} {shown}",
        bounds=bounds,
        value=gauge.one(newest.value, newest.u95),
    )
    share = newest.value / limit.shown if upper else limit.shown / max(newest.value, 1e-9)
    return Item(followed.name, followed.title, row, share, followed.service, series=series)


def pack_item(holding: Holding) -> Item:
    """What a pack holds against what it must hold."""
    title = f"pack {holding.pack}"
    if holding.measured is None or holding.least is None:
        words = "no capacity test" if holding.measured is None else "no label to compare with"
        return Item(f"pack:{holding.pack}", title, Row(title, Status.UNKNOWN, limit=words), holding=holding)
    value, least = holding.measured.si / AMPERE_HOUR, holding.least / AMPERE_HOUR
    u95 = holding.measured.u95 / AMPERE_HOUR
    status = Status.OUTSIDE if value < least else Status.TOO_CLOSE if value - u95 < least else Status.WITHIN
    row = Row(
        title,
        status,
        reading=f"{plain(holding.measured.si, 'charge')} A h",
        limit=f"at least {least:.1f}",
        bounds=gauge.at_least(least),
        value=gauge.one(value, u95),
    )
    return Item(f"pack:{holding.pack}", title, row, least / max(value, 1e-9), holding=holding)


def grouped(items: Sequence[Item]) -> list[Row | None]:
    """Rows with their digits, an empty row between the groups."""
    found: list[Row | None] = []
    before: int | None = None
    for number, item in enumerate(items, 1):
        if before is not None and item.group != before:
            found.append(None)
        before = item.group
        found.append(replace(item.row, number=str(number)))
    return found


def told(item: Item) -> str:
    """One row in a sentence: its wear, or what is used of what and the day it falls due; empty where the row says all."""
    if item.series is not None:
        return spoken([item])
    due = item.due
    if due is None:
        return ""
    name = f"{item.title[:1].upper()}{item.title[1:]}"
    if due.verdict is DueVerdict.TO_PROVE:
        return f"{name} is to prove: {due.because}."
    if due.used is None:
        return f"{name}: {due.because}. d and its digit begin the count when it is done."
    if due.verdict is DueVerdict.OUTSIDE:
        return f"{name} is due: {sentence(due)}."
    return f"{name}: {sentence(due)}."


def spoken(items: Sequence[Item]) -> str:
    """What wear says of the first of some items that has anything to say; empty where none has."""
    for item in items:
        if item.series is not None and item.series.wear.trend is not None:
            return line(item.series.wear)
    return ""
