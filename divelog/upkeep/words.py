"""Due rows and wear in the words of a screen or a sheet."""

from __future__ import annotations

from divelog.clock import day_month
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
        text += f"; due {day_month(row.due, full=True)} {row.due.year}"
        if row.due_by != DAYS and row.soonest is not None and row.latest is not None:
            text += f" at the recent rate ({day_month(row.soonest, full=True)} to {day_month(row.latest, full=True)})"
    return text
