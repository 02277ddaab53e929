"""Derivation and inputs: numbers that add up by hand, and what the ± comes from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from divelog.app.look.gauge import READING, READING_ASCII
from divelog.app.look.layout import Layout
from divelog.app.look.page import Kind, Part, Role, at, joined
from divelog.app.look.rows import FOCUS
from divelog.app.look.words import size, whole_words, wrap

_SHARE_BAR = 5
_BAR = 12


@dataclass(frozen=True, slots=True)
class Input:
    """What a result rests on: its value, how it is known, its share of the ± (0 to 1; None: none).

    `title` is the name at full length, `said` what else is known of it.
    """

    name: str
    value: str
    known: str = ""
    share: float | None = None
    title: str = ""
    said: str = ""


def rests_on(
    layout: Layout, row: int, inputs: Sequence[Input], *, focus: int | None = None, heading: bool = True
) -> Part:
    """The inputs with their share of the ± as per cent and a bar; give them largest first.

    Two columns of one input never collide: each is cut between words before the next stop. The heading says the one in
    focus at length.
    """
    parts: list[Part] = []
    if heading:
        parts.append(at(row, layout.sign, "Rests on", Role.BOLD))
        if focus is not None and layout.gauge is not None and focus < len(inputs):
            item = inputs[focus]
            words = f"{item.title or item.name}: {item.said}" if item.said else item.title
            parts.append(at(row, layout.title, whole_words(words, layout.gauge - 1 - layout.title)))
        if layout.gauge is not None:
            parts.append(at(row, layout.gauge, "share of the +/-", Role.BOLD))
        row += 1
    for n, item in enumerate(inputs):
        parts.append(_input(layout, row + n, item, focused=n == focus))
    return joined(parts)


BESIDE_ROWS = 23
_BESIDE_EACH = 3


def fit_beside(focus: int) -> int:
    """The first input to give to ``rests_beside`` so that the one in focus is among those drawn."""
    return max(0, focus - (BESIDE_ROWS - 1) // (1 + _BESIDE_EACH) + 1)


def rests_beside(layout: Layout, inputs: Sequence[Input], *, focus: int | None = None) -> Part:
    """The same on the second page of a wide terminal, at rows 0 up to ``BESIDE_ROWS``: the name with the share at its
    right edge, then value and basis in words, what else is known of the one in focus."""
    left = layout.second
    if left is None:
        return ()
    edge = layout.edge_for(left)
    parts = [at(0, left, "Rests on", Role.BOLD), at(0, edge - 16, "share of the +/-", Role.BOLD, Kind.RIGHT)]
    row = 1
    for n, item in enumerate(inputs):
        words = f"{item.value}, {item.known}" if item.known else item.value
        if n == focus and item.said:
            words = f"{words}: {item.said}"
        lines = wrap(words, edge - left - 3)
        if len(lines) > _BESIDE_EACH:
            lines = (
                *lines[: _BESIDE_EACH - 1],
                whole_words(" ".join(lines[_BESIDE_EACH - 1 :]), edge - left - 3),
            )
        if row + 1 + len(lines) > BESIDE_ROWS:
            break
        role = Role.BOLD if n == focus else Role.TEXT
        per_cent = "" if item.share is None else f"{100 * item.share:.0f} %"
        name = whole_words(item.title or item.name, edge - left - 7)
        parts.append(at(row, left, FOCUS, Role.BOLD, Kind.MARK) if n == focus else ())
        parts.append(at(row, left + 1, name, role, Kind.CHART))
        parts.append(at(row, edge - size(per_cent), per_cent, Role.BOLD, Kind.RIGHT))
        parts += [at(row + 1 + k, left + 3, line, kind=Kind.CHART) for k, line in enumerate(lines)]
        row += 1 + len(lines)
    return joined(parts)


def _input(layout: Layout, row: int, item: Input, *, focused: bool) -> Part:
    role = Role.BOLD if focused else Role.TEXT
    parts = [at(row, 0, FOCUS, Role.BOLD, Kind.MARK) if focused else ()]
    value_at = layout.title if layout.margin else 16
    kind = Kind.WORDS if layout.margin else Kind.AFTER
    parts.append(at(row, layout.sign, whole_words(item.name, value_at - layout.sign - 1), role))
    per_cent = "" if item.share is None else f"{100 * item.share:.0f} %"
    if layout.gauge is None:
        room = layout.edge - value_at - 6
        parts.append(at(row, value_at, whole_words(item.value, room), kind=kind))
        parts.append(at(row, layout.edge - size(per_cent), per_cent, Role.BOLD, Kind.RIGHT))
        return joined(parts)
    parts.append(at(row, value_at, whole_words(item.value, layout.until(value_at)), kind=kind))
    parts.append(at(row, layout.reading, whole_words(item.known, layout.gauge - 1 - layout.reading)))
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
