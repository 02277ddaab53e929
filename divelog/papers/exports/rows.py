"""Runs and events as rows for a spreadsheet, and events back out of such rows."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import Protocol

import msgspec

from divelog.clock import stamp
from divelog.history.runs import Run
from divelog.journal.events import Event
from divelog.journal.reading import MAX_LINE, decode_line
from divelog.text import csv_cell, from_csv_cell

RUN_COLUMNS = (
    "run", "boat", "start", "end", "minutes", "site", "water", "pack", "deepest_m", "deepest_u95_m", "deepest_how",
    "shaft_h", "cycles", "charge_Ah", "charge_u95_Ah", "charge_how", "water_found", "water_found_mL", "water_end",
    "looked", "incidents", "signals", "marks", "reason", "answered",
)  # fmt: skip
EVENT_COLUMNS = ("id", "what", "v", "when", "happened", "boat", "run", "by", "up_s", "boot", "data")


class Charged(Protocol):
    """Charge a run took: C, its 95 % half-width, and how it is known."""

    @property
    def si(self) -> float:
        """In C."""

    @property
    def u95(self) -> float:
        """95 % half-width in C."""

    @property
    def how(self) -> str:
        """The method in words."""


def _cell(value: object, digits: int = 4) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.{digits}g}"
    return csv_cell(str(value))


def _stamp(moment: datetime | None) -> str | None:
    return moment.isoformat() if moment is not None else None


def runs_csv(rows: Iterable[tuple[Run, Charged | None]]) -> str:
    """Runs as RFC 4180 rows with a head; what a spreadsheet would take for a formula is made harmless."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(RUN_COLUMNS)
    for run, charge in rows:
        deep, water = run.deepest, run.water
        writer.writerow(
            _cell(value) for value in (
                run.id, run.boat, _stamp(run.start), _stamp(run.end),
                run.minutes, run.site, run.water_kind, run.pack, deep.si if deep else None, deep.u95 if deep else None,
                deep.how if deep else None, run.shaft_time / 3600.0 if run.shaft_time is not None else None, run.cycles,
                charge.si / 3600.0 if charge else None, charge.u95 / 3600.0 if charge else None,
                charge.how if charge else None, water.word if water else None,
                water.amount.si * 1e6 if water and water.amount.si is not None else None, water.end if water else None,
                water.looked if water else None, ", ".join(i.step or "incident" for i in run.incidents),
                len(run.signals), len(run.marks), run.reason, run.answered,
            )
        )  # fmt: skip
    return out.getvalue()


def ascii_json(data: bytes) -> str:
    """JSON bytes with every character outside ASCII written as an escape: the same JSON, safe for any terminal."""
    text = data.decode("utf-8", "backslashreplace")
    if text.isascii() and "\x7f" not in text:
        return text
    return "".join(
        c if " " <= c < "\x7f" else json.dumps(c)[1:-1] if c != "\x7f" else "\\u007f" for c in text
    )


def event_lines(events: Iterable[Event]) -> Iterator[str]:
    """Rows of events, the head first, each with its line feed."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(EVENT_COLUMNS)
    yield out.getvalue()
    for event in events:
        out.seek(0)
        out.truncate()
        up = "" if event.up is None else repr(event.up)
        texts = (event.happened, event.boat, event.run, event.by)
        writer.writerow((
            csv_cell(event.id), csv_cell(event.what), event.v, stamp(event.when), *(csv_cell(t or "") for t in texts), up,
            csv_cell(event.boot or ""), csv_cell(ascii_json(bytes(event.data)), MAX_LINE),
        ))  # fmt: skip
        yield out.getvalue()


def events_csv(events: Iterable[Event]) -> str:
    """All events as RFC 4180 rows with a head."""
    return "".join(event_lines(events))


def events_back(text: str) -> list[Event]:
    """Events out of the rows that `events_csv` wrote.

    Raises:
        ValueError: the rows are no such export.
    """
    csv.field_size_limit(2 * MAX_LINE)
    reader = csv.reader(io.StringIO(text, newline=""))
    if tuple(next(reader, ())) != EVENT_COLUMNS:
        raise ValueError("the first row does not name the columns of an export of events")
    found = []
    for row in reader:
        if len(row) != len(EVENT_COLUMNS):
            raise ValueError(f"a row of {len(row)} cells, wanted {len(EVENT_COLUMNS)}")
        cell = dict(zip(EVENT_COLUMNS, map(from_csv_cell, row), strict=True))
        line: dict[str, object] = {
            "id": cell["id"],
            "what": cell["what"],
            "v": int(cell["v"]),
            "when": cell["when"],
        }
        for key in ("happened", "boat", "run", "by", "boot"):
            if cell[key]:
                line[key] = cell[key]
        if cell["up_s"]:
            line["up"] = float(cell["up_s"])
        line["data"] = msgspec.Raw(cell["data"].encode())
        found.append(decode_line(msgspec.json.encode(line)))
    return found
