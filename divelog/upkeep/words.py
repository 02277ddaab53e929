"""Due rows and wear in the words of a screen or a sheet."""

from __future__ import annotations

from datetime import date

from divelog.physics.service import DAYS
from divelog.upkeep.due import DueRow, DueVerdict, Use
from divelog.upkeep.intervals import CLOSINGS, HOURS, UNIT


def amount(value: float, counter: str) -> str:
    """A count with its unit: 4.3 h, 23 d, 1 closing."""
    if counter == HOURS:
        return f"{value:.3g} h" if value < 100 else f"{value:.0f} h"
    count = f"{value:g}"
    if counter == CLOSINGS and count == "1":
        return "1 closing"
    if counter == "runs" and count == "1":
        return "1 run"
    return f"{count} {UNIT[counter]}"


def reading(row: DueRow) -> str:
    """What is used, for the reading's column; empty where nothing is known."""
    return "" if row.used is None else amount(row.used, row.counter)


def allowance(row: DueRow) -> str:
    """What is allowed, for the limit's column."""
    if row.counter == CLOSINGS:
        return f"at most {row.allowed:g}"
    return f"every {amount(row.allowed, row.counter)}"


_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip


def _day(day: date) -> str:
    """Day and month in English, whatever the machine speaks."""
    return f"{day.day} {_MONTHS[day.month - 1]}"


def _of(use: Use) -> str:
    return f"{use.used:.3g} of {use.allowed:g} {use.unit}"


def sentence(row: DueRow) -> str:
    """One item in one line: what is used of what, when it falls due, or why it is not known."""
    if row.verdict is DueVerdict.TO_PROVE:
        return f"to prove: {row.because}"
    if row.used is None:
        return row.because
    if row.verdict is DueVerdict.OUTSIDE:
        return f"{amount(row.used, row.counter)} since, {allowance(row)}"
    text = _of(Use(row.counter, row.used, row.allowed, row.unit))
    others = [_of(use) for use in row.uses if use.counter != row.counter]
    if others:
        text += f"; {', '.join(others)}"
    if row.due is not None:
        text += f"; due {_day(row.due)} {row.due.year}"
        if row.due_by != DAYS and row.soonest is not None and row.latest is not None:
            text += f" at the recent rate ({_day(row.soonest)} to {_day(row.latest)})"
    return text
