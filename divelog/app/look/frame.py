"""What frames every page: header, waterline with the six places, and the key rows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Kind, Part, Role, at, joined
from divelog.app.look.words import cut, cut_name, size

MARK, MARK_ASCII = "▀", "="


@dataclass(frozen=True, slots=True)
class Key:
    """A key and what it does; `short` stands in where the label has no room."""

    key: str
    label: str
    short: str = ""


TROUBLE = Key("t", "trouble")
PLACES = Key("Esc", "places")
BACK = Key("Esc", "back")
KEYS = Key("?", "keys")

Slots = Sequence[Key | None]
"""Up to five keys, one for each stop of the 80-column grid."""


def header(
    layout: Layout,
    *,
    boat: str,
    place: str,
    what: str = "",
    date: str = "",
    time: str = "",
    keep_date: bool = False,
) -> Part:
    """Row 0: the boat, the place in words, what of it, date and clock to the right edge.

    Without room the date goes first; with `keep_date` (where it is to be confirmed) `what` is cut instead.
    `what` has no room at 40 columns.
    """
    right = layout.edge
    boats = 14 if layout.margin else 12
    if not layout.margin:
        return (
            at(0, layout.sign, cut_name(boat, boats), Role.BOLD)
            + at(0, 14, cut(place, right - 14 - size(time) - 1), Role.BOLD, Kind.AFTER)
            + at(0, right - size(time), time, kind=Kind.RIGHT)
        )
    room = right - layout.reading
    clock = f"{date}  {time}" if date and time else date or time
    if not keep_date and size(what) + size(clock) + 2 > room:
        clock = time or date
    return (
        at(0, layout.sign, cut_name(boat, boats), Role.BOLD)
        + at(
            0,
            layout.title,
            cut(place, layout.until(layout.title) if what else right - layout.title - size(clock) - 2),
            Role.BOLD,
        )
        + at(0, layout.reading, cut(what, room - size(clock) - 2))
        + at(0, right - size(clock), clock, kind=Kind.RIGHT)
    )


def waterline(layout: Layout, here: Place, *, names: bool = False) -> Part:
    """Row 1: six marks, the present place a bar. With `names` the places are open: digits and names under it.

    At 40 columns the names take the marks' row as well.
    """
    mark = MARK if layout.blocks else MARK_ASCII
    if names and not layout.margin:
        return joined(
            _name(1 + (place - 1) // 3, (1, 14, 27)[(place - 1) % 3], place, here, Kind.AFTER)
            for place in Place
        )
    marks = joined(
        at(1, column, mark * layout.bar, Role.ACCENT, Kind.MARK)
        if place is here
        else at(1, column, mark, Role.QUIET, Kind.MARK)
        for place, column in zip(Place, layout.marks, strict=True)
    )
    if not names:
        return marks
    return marks + joined(
        _name(2, column, place, here, Kind.MARK) for place, column in zip(Place, layout.marks, strict=True)
    )


def _name(row: int, column: int, place: Place, here: Place, kind: Kind) -> Part:
    role = Role.BOLD if place is here else Role.TEXT
    return at(row, column, str(int(place)), Role.BOLD, kind) + at(
        row, column + 2, place.title, role, Kind.LABEL
    )


def keys(layout: Layout, first: Slots, second: Slots = ()) -> Part:
    """The two key rows. Slot 5 (`t`, `Esc`) is the thumb's corner and always keeps its stop.

    At 60 columns there are four stops: the fourth slot moves into a free third one or is left out. At 40
    there is one row of three: the first key, then the two of the corner. Keys left out still work; the
    page of all keys (`?`) tells them.
    """
    rows = [_five(first), _five(second)]
    if len(layout.keys) == 1:
        one = [rows[0][0] or rows[1][0], rows[0][4], rows[1][4]]
        return _key_row(layout, layout.keys[0], one)
    if len(layout.key_stops) == 4:
        rows = [[r[0], r[1], r[2] or r[3], r[4]] for r in rows]
    return _key_row(layout, layout.keys[0], rows[0]) + _key_row(layout, layout.keys[1], rows[1])


def places_keys(layout: Layout) -> Part:
    """The key rows while the places are open."""
    return keys(layout, (Key("1-6", "go there"),), (None, None, None, None, Key("Esc", "stay here", "stay")))


def key_lines(layout: Layout, row: int, lines: Sequence[tuple[str, str]], *, strong: int = 0) -> Part:
    """Keys one under another at the left edge, words at the reading edge; the first `strong` wholly bold."""
    words = layout.title if layout.margin else 14
    kind = Kind.WORDS if layout.margin else Kind.AFTER
    return joined(
        at(row + n, layout.sign, key, Role.BOLD)
        + at(row + n, words, cut(label, layout.edge - words), Role.BOLD if n < strong else Role.QUIET, kind)
        for n, (key, label) in enumerate(lines)
    )


def _five(slots: Slots) -> list[Key | None]:
    return (list(slots) + [None] * 5)[:5]


def _key_row(layout: Layout, row: int, slots: Sequence[Key | None]) -> Part:
    used = [(c, key) for c, key in zip(layout.key_stops, slots, strict=True) if key is not None]
    parts: list[Part] = []
    for n, (column, key) in enumerate(used):
        end = used[n + 1][0] - 2 if n + 1 < len(used) else layout.edge
        room = end - column - size(key.key) - 1
        label = key.label if size(key.label) <= room else cut(key.short or key.label, room)
        parts.append(at(row, column, key.key, Role.BOLD))
        parts.append(at(row, column + size(key.key) + 1, label, Role.QUIET, Kind.LABEL))
    return joined(parts)
