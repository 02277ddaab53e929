"""Rows, JSON Lines and the database: what goes out comes back, and nothing in it runs, hides or escapes."""

from __future__ import annotations

import csv
import io
import json
import sqlite3
from contextlib import closing
from pathlib import Path

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from divelog.history.folding import fold
from divelog.journal.loading import load_files
from divelog.journal.reading import read_journal
from divelog.journal.verifying import check_chain
from divelog.papers.exports.database import database
from divelog.papers.exports.filling import safe
from divelog.papers.exports.lines import event_lines
from divelog.papers.exports.rows import RUN_COLUMNS, ascii_json, events_back, events_csv, runs_csv
from divelog.papers.exports.tables import TABLES, money
from divelog.text import from_csv_cell

WORKED = (Path(__file__).resolve().parents[1] / "data" / "worked_journal.jsonl").read_bytes()
EVENTS = load_files({"tansy/worked.jsonl": WORKED}).events
HOSTILE = (
    "=1+1",
    "+A1",
    "-cmd",
    "@SUM(A1)",
    "\t=1",
    "\r=1",
    "  =1",
    '"=1',
    "'=1",
    "\uff1d1",
    "\x1b]0;x\x07",
    'a,b\n"c"',
    "\u202eabc",
)


FINITE = st.floats(allow_nan=False, allow_infinity=False)


def same(one, other) -> bool:
    fields = ("id", "what", "v", "when", "happened", "boat", "run", "by", "up", "boot")
    return all(getattr(one, f) == getattr(other, f) for f in fields) and one.payload() == other.payload()


def test_events_come_back_out_of_their_rows():
    back = events_back(events_csv(EVENTS))
    assert len(back) == len(EVENTS) == 39
    assert all(same(one, other) for one, other in zip(EVENTS, back, strict=True))


def test_events_come_back_out_of_json_lines_as_a_journal():
    raw = b"".join(event_lines(EVENTS))
    assert raw.isascii()
    file = read_journal("tansy/export.jsonl", raw)
    assert file.reports == ()
    assert check_chain(file) == []
    assert all(same(one, other) for one, other in zip(EVENTS, file.events, strict=True))


@given(st.dictionaries(st.text(max_size=20), st.one_of(st.text(max_size=60), FINITE), max_size=4),
       st.text(alphabet=st.characters(codec="utf-8"), max_size=40))  # fmt: skip
def test_any_data_comes_back_exactly(data, word):
    clean = {k.encode("utf-8", "replace").decode(): v for k, v in data.items()}
    clean["word"] = word
    event = msgspec.structs.replace(EVENTS[0], data=msgspec.Raw(msgspec.json.encode(clean)))
    (row,) = events_back(events_csv([event]))
    assert row.payload() == event.payload()
    (line,) = read_journal("x", b"".join(event_lines([event]))).events
    assert line.payload() == event.payload()


@pytest.mark.parametrize("text", HOSTILE)
def test_no_cell_is_a_formula(text):
    event = msgspec.structs.replace(EVENTS[0], by=text, boat=None, run=text[:60])
    row = list(csv.reader(io.StringIO(events_csv([event]), newline="")))[1]
    for cell in row:
        if cell == "+1":
            continue  # a plain number stays one
        assert not cell.lstrip(' "\u00a0\u3000`').startswith(("=", "+", "@", "\t", "\r", "\uff1d", "-"))
        assert not any(ord(c) < 32 or 0x7F <= ord(c) < 0xA0 for c in cell)
    run = fold(EVENTS).runs[0]
    cells = list(csv.reader(io.StringIO(runs_csv([(run, None)]), newline="")))
    assert tuple(cells[0]) == RUN_COLUMNS
    assert from_csv_cell(cells[1][0]) == run.id


def test_the_two_worked_runs_as_rows():
    rows = list(csv.DictReader(io.StringIO(runs_csv((run, None) for run in fold(EVENTS).runs))))
    assert [(r["minutes"], r["deepest_m"], r["deepest_how"], r["shaft_h"], r["water_found_mL"], r["incidents"]) for r in rows] == [
        ("42", "0.9", "seen", "0.5", "0", ""), ("45", "1.2", "guessed", "0.5333", "5", "touched bottom"),
    ]  # fmt: skip


@pytest.mark.parametrize("rows", ["", "id,what\n", "a\nb\n", events_csv([]) + "x,y\n"])
def test_rows_that_are_no_export_are_refused_in_words(rows):
    with pytest.raises(ValueError, match="row"):
        events_back(rows)


@given(st.text(max_size=200))
def test_json_in_ascii_is_the_same_json(text):
    raw = json.dumps({"a": text.encode("utf-8", "replace").decode()}, ensure_ascii=False).encode()
    made = ascii_json(raw)
    assert made.isascii()
    assert json.loads(made) == json.loads(raw)


def test_the_database_holds_every_event_and_its_columns(read, log):
    log.outing(0, 30, 0.5)
    book = read()
    with closing(sqlite3.connect(":memory:")) as base:
        base.deserialize(database(book))
        assert base.execute("SELECT count(*) FROM events").fetchone() == (len(book.events),)
        for table, columns in TABLES.items():
            names = [row[1] for row in base.execute(f"PRAGMA table_info({table})")]
            assert names == [c.strip() for c in columns.split(",")]


@pytest.mark.parametrize("text", [*HOSTILE, "'); DROP TABLE runs; --", "x\0y"])
def test_no_text_reaches_a_statement_or_a_terminal(read, log, text):
    log.put("note", {"text": text, "private": False, "about": text})
    log.put("incident", {"step": "stuck", "cause": text})
    with closing(sqlite3.connect(":memory:")) as base:
        base.deserialize(database(read()))
        (cause,) = base.execute("SELECT cause FROM incidents").fetchone()
        assert base.execute("SELECT count(*) FROM runs").fetchone() == (0,)
    assert not any((ord(c) < 32 and c != "\n") or 0x7F <= ord(c) < 0xA0 for c in cause)


@pytest.mark.parametrize(
    ("value", "cell"),
    [
        (True, 1),
        (False, 0),
        (float("nan"), None),
        (float("inf"), None),
        (10**30, 1e30),
        (5.000000000000001, 5.0),
        (None, None),
    ],
)
def test_cells(value, cell):
    assert safe(value) == cell


@pytest.mark.parametrize(
    ("words", "found"),
    [("4.50 EUR", (4.5, "EUR")), ("EUR 4.50", (4.5, "EUR")), ("€4", (4.0, "€")), ("twelve", (None, "TWELVE")), ("1 2", (None, "")),
     ("1.2.3", (None, ""))],
)  # fmt: skip
def test_costs_as_typed(words, found):
    assert money(words) == found


@given(st.lists(st.tuples(st.sampled_from(["run.started", "run.ended", "water.found", "measured", "check.answered", "fitted",
                                           "check.ended", "note", "incident", "serviced", "launch.called", "closed"]),
                          st.recursive(st.one_of(st.none(), st.booleans(), st.integers(-10, 10), st.text(max_size=5),
                                                 st.floats(-1e3, 1e3)),
                                       lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(
                                           st.sampled_from(["si", "u95", "pack", "which", "path", "value", "item", "list", "check",
                                                            "limit", "key", "of", "because", "cost", "seals", "gives", "text"]),
                                           inner, max_size=4)), max_leaves=8)), max_size=8))  # fmt: skip
def test_any_events_make_a_database(rows):
    from divelog.papers.exports.book import Book

    events = tuple(
        msgspec.structs.replace(EVENTS[0], id=f"e{n}", what=what, boat="tansy", happened=None,
                                data=msgspec.Raw(msgspec.json.encode(data if isinstance(data, dict) else {"x": data})))
        for n, (what, data) in enumerate(rows)
    )  # fmt: skip
    with closing(sqlite3.connect(":memory:")) as base:
        base.deserialize(database(Book((), events, EVENTS[-1].when)))
        for (view,) in base.execute("SELECT view FROM questions").fetchall():
            base.execute(f"SELECT * FROM {view}").fetchall()
