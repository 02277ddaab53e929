"""The database: tables, views and the table of questions, made in memory and given out as the bytes of one file."""

from __future__ import annotations

import sqlite3
from contextlib import closing

from divelog.papers.exports.book import Book
from divelog.papers.exports.questions import BASE, QUESTIONS
from divelog.papers.exports.tables import TABLES, fill


def _columns(columns: str) -> list[str]:
    return [name.strip() for name in columns.split(",")]


def schema() -> list[str]:
    """Statements that make every table and view, empty."""
    made = []
    for table, columns in TABLES.items():
        names = ", ".join(f'"{name}"' for name in _columns(columns))
        made.append(f'CREATE TABLE "{table}" ({names})')
    made.append("CREATE TABLE questions (number INTEGER PRIMARY KEY, question, view, reads)")
    made += [
        f'CREATE INDEX "{table}_by_boat" ON "{table}" (boat)'
        for table in ("runs", "events", "closings", "answers")
    ]
    made.append("CREATE INDEX runs_by_run ON runs (run)")
    made += [f'CREATE VIEW "{name}" AS {sql.strip()}' for name, sql in BASE]
    made += [f'CREATE VIEW "{one.view}" AS {one.sql.strip()}' for one in QUESTIONS]
    return made


def database(book: Book) -> bytes:
    """One SQLite file. Values are parameters: no text of the log is ever part of a statement."""
    with closing(sqlite3.connect(":memory:")) as made:
        for statement in schema():
            made.execute(statement)
        for table, rows in fill(book).items():
            marks = ", ".join("?" * len(_columns(TABLES[table])))
            made.executemany(f'INSERT INTO "{table}" VALUES ({marks})', rows)
        made.executemany(
            "INSERT INTO questions VALUES (?, ?, ?, ?)",
            [(q.number, q.question, q.view, q.reads) for q in QUESTIONS],
        )
        made.commit()
        return made.serialize()
