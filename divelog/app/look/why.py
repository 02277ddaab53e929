"""Derivation and inputs: numbers that add up by hand, and what the ± comes from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from divelog.app.look.gauge import READING, READING_ASCII
from divelog.app.look.layout import Layout
from divelog.app.look.page import Kind, Part, Role, at, joined
from divelog.app.look.rows import FOCUS
from divelog.app.look.words import cut, size

RIGHT = 24
"""Numbers of a derivation end before this column of the 80-column grid."""
_HOW = 26
_SHARE_BAR = 5
_BAR = 12


def derivation(layout: Layout, row: int, lines: Sequence[tuple[str, str, str]], *, column: int = 0) -> Part:
    """Lines of (what, number with unit, how): the number right-aligned to 24, bold, the how from 26.

    `column` moves the block to a second page. At 40 columns the how has no room.
    """
    edge = layout.edge_for(column)
    right = column + RIGHT if layout.margin else edge
    left = column + layout.sign
    parts: list[Part] = []
    for n, (what, number, how) in enumerate(lines):
        figures = cut(number, right - left)
        start = right - size(figures)
        parts.append(at(row + n, left, cut(what, start - 1 - left)))
        parts.append(at(row + n, start, figures, Role.BOLD, Kind.RIGHT))
        if layout.margin:
            parts.append(at(row + n, column + _HOW, cut(how, edge - column - _HOW)))
    return joined(parts)


@dataclass(frozen=True, slots=True)
class Input:
    """What a result rests on: its value, how it is known, its share of the ± (0 to 1; None: none)."""

    name: str
    value: str
    known: str = ""
    share: float | None = None


def rests_on(
    layout: Layout, row: int, inputs: Sequence[Input], *, focus: int | None = None, heading: bool = True
) -> Part:
    """The inputs with their share of the ± as per cent and a bar; give them largest first.

    Two lines of one input never collide: each is cut before the next stop.
    """
    parts: list[Part] = []
    if heading:
        parts.append(at(row, layout.sign, "Rests on", Role.BOLD))
        if layout.gauge is not None:
            parts.append(at(row, layout.gauge, "share of the +/-", Role.BOLD))
        row += 1
    for n, item in enumerate(inputs):
        parts.append(_input(layout, row + n, item, focused=n == focus))
    return joined(parts)


def _input(layout: Layout, row: int, item: Input, *, focused: bool) -> Part:
    role = Role.BOLD if focused else Role.TEXT
    parts = [at(row, 0, FOCUS, Role.BOLD, Kind.MARK) if focused else ()]
    value_at = layout.title if layout.margin else 16
    kind = Kind.WORDS if layout.margin else Kind.AFTER
    parts.append(at(row, layout.sign, cut(item.name, value_at - layout.sign - 1), role))
    per_cent = "" if item.share is None else f"{100 * item.share:.0f} %"
    if layout.gauge is None:
        room = layout.edge - value_at - 6
        parts.append(at(row, value_at, cut(item.value, room), kind=kind))
        parts.append(at(row, layout.edge - size(per_cent), per_cent, Role.BOLD, Kind.RIGHT))
        return joined(parts)
    parts.append(at(row, value_at, cut(item.value, layout.until(value_at)), kind=kind))
    parts.append(at(row, layout.reading, cut(item.known, layout.gauge - 1 - layout.reading)))
    if item.share is not None:
        parts.append(at(row, layout.gauge + 4 - size(per_cent), per_cent, Role.BOLD, Kind.RIGHT))
        ink = READING if layout.blocks else READING_ASCII
        parts.append(at(row, layout.gauge + _SHARE_BAR, ink * bar_cells(item.share), Role.ACCENT, Kind.CHART))
    return joined(parts)


def bar_cells(share: float) -> int:
    """Cells of a bar of 12 for a share of 0 to 1: anything above nothing shows at least one."""
    if share <= 0:
        return 0
    return min(max(1, int(_BAR * share + 0.5)), _BAR)
