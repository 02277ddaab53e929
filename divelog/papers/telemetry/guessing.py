"""The first rows of a file, and what its columns may be: a draft for a person to look at, never taken unseen.

Only words of the field and units are looked for; nothing is known here of any instrument's own way of writing.
"""

from __future__ import annotations

import csv
import re
from collections import Counter
from dataclasses import replace
from datetime import datetime
from itertools import pairwise

from divelog import units
from divelog.papers.telemetry.drafting import USUAL, Draft, Seen, Taken, once
from divelog.papers.telemetry.mapping import FACTORS, GIVES, SEPARATORS
from divelog.papers.telemetry.model import TelemetryError
from divelog.papers.telemetry.rows import MOST_LINE

HEAD_BYTES = 1 << 16
LOOKED_AT = 60
MOST_COLUMNS = 40
SAMPLES = 3

_WORDS: dict[str, tuple[str, ...]] = {
    "depth": ("depth", "deep", "dive"),
    "volts": ("volts", "volt", "voltage", "u"),
    "current": ("current", "amps", "amp", "i"),
    "charge": ("charge", "capacity", "consumed", "mah", "ah"),
    "temperature": ("temperature", "temp", "degrees"),
    "pressure": ("pressure", "press"),
    "signal": ("signal", "link", "rssi"),
    "throttle": ("throttle", "motor"),
}
_TIME = (
    "time",
    "t",
    "elapsed",
    "seconds",
    "clock",
    "date",
    "timestamp",
    "sec",
    "ms",
    "min",
    "minutes",
    "millis",
)
_CLOCKS = {
    "s": "seconds", "sec": "seconds", "secs": "seconds", "seconds": "seconds", "ms": "milliseconds", "msec": "milliseconds",
    "millis": "milliseconds", "milliseconds": "milliseconds", "min": "minutes", "minutes": "minutes", "h": "hours",
    "hours": "hours", "hrs": "hours",
}  # fmt: skip
_UNITS = {
    "c": "degC", "degc": "degC", "f": "degF", "pct": "%", "percent": "%", "v": "V", "mv": "mV", "a": "A", "amp": "A",
    "amps": "A", "ma": "mA", "ah": "A h", "mah": "mA h", "kpa": "kPa", "pa": "Pa",
}  # fmt: skip
_NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d+)?")
_DAYTIME = re.compile(r"\d{1,2}:\d{2}(:\d{2}([.,]\d+)?)?")
_PIECES = re.compile(r"[^\W\d_]+|%|°C", re.UNICODE)
_MANY_MILLISECONDS = 20.0
"""A clock whose usual step is at least this, in whole numbers, is taken to count milliseconds."""


def first_lines(head: bytes) -> list[str]:
    """The whole lines of the beginning of a file, as text.

    Raises:
        TelemetryError: it is no plain text.
    """
    if head.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise TelemetryError("the file is in UTF-16; save it as plain text in UTF-8")
    if b"\0" in head:
        raise TelemetryError("this is no plain text")
    text = head.removeprefix(b"\xef\xbb\xbf").decode("utf-8", "replace")
    lines = text.split("\n")
    if len(head) >= HEAD_BYTES:
        lines.pop()  # cut by us
    return [line.removesuffix("\r")[:MOST_LINE] for line in lines[:LOOKED_AT]]


def guess(head: bytes) -> Draft:
    """What the beginning of a file looks like.

    Raises:
        TelemetryError: there are no rows of at least two cells in it.
    """
    lines = first_lines(head)
    separator, count = _separator(lines)
    table = [(n, _cells(line, separator)) for n, line in enumerate(lines)]
    rows = [(n, cells) for n, cells in table if len(cells) == count and not lines[n].startswith("#")]
    named = not any(_value(cell) for cell in rows[0][1])
    body = [cells for _, cells in rows[1 if named else 0 :]]
    if not body:
        raise TelemetryError("the file has a head and no rows")
    names = [cell.strip() for cell in rows[0][1]] if named else [""] * count
    comma = separator != "," and _commas(body) > 0
    columns = []
    for n in range(min(count, MOST_COLUMNS)):
        first = tuple(cells[n].strip() for cells in body[:SAMPLES])
        own = names[n] and names[n].casefold() not in {name.casefold() for name in names[:n]}
        columns.append(Seen(names[n] if own else str(n + 1), names[n], first))
    time = _time_place(columns, body)
    taken = tuple(each if n == time else replace(each, taken=_taken(each)) for n, each in enumerate(columns))
    counts, sure = _counts(columns[time], body, time) if time is not None else ("seconds", False)
    draft = Draft(separator, comma, rows[0][0], named, once(taken), time, counts, sure)
    gives = {each.taken.gives for each in draft.columns if each.taken is not None}
    charger = "depth" not in gives and _rises(draft, body)
    begins = counts not in FACTORS or time is None or _starts_near_nought(body, time, counts)
    return replace(draft, charger=charger, from_launch=begins and not charger)


def _separator(lines: list[str]) -> tuple[str, int]:
    """The sign between cells, and how many cells a row has: what most lines agree on."""
    best: tuple[float, int, str] | None = None
    wanted = [line for line in lines if line.strip() and not line.startswith("#")]
    for sign in (SEPARATORS["tab"], SEPARATORS["semicolon"], SEPARATORS["comma"], SEPARATORS["blank"]):
        counts = Counter(len(_cells(line, sign)) for line in wanted)
        more = {count: times for count, times in counts.items() if count > 1}
        if not more:
            continue
        count = max(more, key=lambda c: (more[c], c))
        share = more[count] / len(wanted)
        if best is None or share > best[0] + 1e-9:
            best = (share, count, sign)
    if best is None:
        raise TelemetryError("no rows of two or more cells can be seen in it")
    return best[2], best[1]


def _cells(line: str, separator: str) -> list[str]:
    if separator == " " and '"' not in line:
        return line.split()
    try:
        return next(csv.reader([line], delimiter=separator, skipinitialspace=True), [])
    except csv.Error:
        return []


def _value(cell: str) -> bool:
    """Whether a cell is a number or a time, not a name."""
    cell = cell.strip()
    return bool(_NUMBER.fullmatch(cell) or _DAYTIME.fullmatch(cell)) or _date(cell) is not None


def _date(cell: str) -> datetime | None:
    try:
        return datetime.fromisoformat(cell) if "-" in cell and len(cell) >= 16 else None
    except ValueError:
        return None


def _commas(body: list[list[str]]) -> int:
    return sum("," in cell and bool(_NUMBER.fullmatch(cell.strip())) for cells in body for cell in cells)


def _pieces(name: str) -> list[str]:
    return [piece.casefold() for piece in _PIECES.findall(name)]


def _unit(pieces: list[str], name: str, dimension: str) -> str | None:
    """A unit of a dimension out of the words of a head, as ``depth [cm]`` or ``volts_mV``."""
    whole = re.findall(r"[\[(]\s*([^\])]+?)\s*[\])]", name)
    for piece in [
        *whole,
        *reversed(re.split(r"[\s_\[\]()/,:]+", name)),
        *(_UNITS.get(p, "") for p in reversed(pieces)),
    ]:
        if not piece:
            continue
        for text in (piece, _UNITS.get(piece.casefold(), "")):
            if text and text in units.allowed(dimension):
                return text
        found = units.in_table(piece, dimension)
        if found is not None:
            return found.symbol if piece.casefold() not in _TIME else None
    return None


def _taken(seen: Seen) -> Taken | None:
    """What a column may be, by the words of its head; else by its unit alone where only one quantity has it."""
    if not any(_NUMBER.fullmatch(cell) for cell in seen.first if cell) and any(seen.first):
        return None
    pieces = _pieces(seen.name)
    for gives, wanted in _WORDS.items():
        if any(piece in wanted for piece in pieces):
            unit = _unit(pieces, seen.name, GIVES[gives][0])
            return Taken(gives, unit or USUAL[gives], unit is not None)
    for gives in ("volts", "current", "charge", "temperature", "depth", "pressure"):
        unit = _unit(pieces, seen.name, GIVES[gives][0])
        if unit is not None:
            return Taken(gives, unit, gives != "depth")
    return None


def _time_place(columns: list[Seen], body: list[list[str]]) -> int | None:
    for n, seen in enumerate(columns):
        if any(_DAYTIME.fullmatch(cell) or _date(cell) for cell in seen.first):
            return n
    for n, seen in enumerate(columns):
        pieces = _pieces(seen.name)
        if pieces and pieces[0] in _TIME and _never_falls(body, n):
            return n
    return next((n for n in range(len(columns)) if not columns[n].name and _never_falls(body, n)), None)


def _numbers(body: list[list[str]], place: int) -> list[float]:
    found = []
    for cells in body:
        cell = cells[place].strip()
        if _NUMBER.fullmatch(cell):
            found.append(float(cell.replace(",", ".")))
    return found


def _never_falls(body: list[list[str]], place: int) -> bool:
    values = _numbers(body, place)
    return (
        len(values) == len(body) and values == sorted(values) and (len(values) == 1 or values[-1] > values[0])
    )


def _counts(seen: Seen, body: list[list[str]], place: int) -> tuple[str, bool]:
    """What the clock counts, and whether the file says so."""
    if any(_date(cell) for cell in seen.first):
        return "date and time", True
    if any(_DAYTIME.fullmatch(cell) for cell in seen.first):
        return "time of day", True
    for piece in reversed(_pieces(seen.name)):
        if piece in _CLOCKS:
            return _CLOCKS[piece], True
    values = _numbers(body, place)
    steps = sorted(b - a for a, b in pairwise(values) if b > a)
    usual = steps[len(steps) // 2] if steps else 0.0
    whole = all(value == int(value) for value in values)
    return ("milliseconds" if whole and usual >= _MANY_MILLISECONDS else "seconds"), False


def _rises(draft: Draft, body: list[list[str]]) -> bool:
    place = next(
        (n for n, each in enumerate(draft.columns) if each.taken and each.taken.gives == "volts"), None
    )
    if place is None:
        return False
    values = _numbers(body, place)
    return len(values) > 1 and values[-1] > values[0]


def _starts_near_nought(body: list[list[str]], place: int, counts: str) -> bool:
    values = _numbers(body, place)
    return bool(values) and abs(values[0]) * FACTORS[counts] <= 60.0
