"""A run's curve as a page: verdict, signs of what happened, depth, a value below it, minutes, and the moment in hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from divelog.app.curve_words import (
    DEPTH,
    RunCurve,
    headline,
    missing,
    moment_words,
    near,
    values_words,
    verdicts,
)
from divelog.app.logbook import Fact
from divelog.app.look import rows
from divelog.app.look.curve import Window, depth_plot, signs, time_axis, value_plot, width_for
from divelog.app.look.layout import STANDARD, Layout
from divelog.app.look.page import Kind, Part, Role, at, joined, page
from divelog.app.look.words import Status, cut, wrap
from divelog.text import shown

NUMBERED = "1234567890"


@dataclass(frozen=True, slots=True)
class Rows:
    """Rows of the parts of a curve's page, from its first row."""

    title: int | None
    signs: int
    upper: int
    upper_rows: int
    lower: int | None
    lower_rows: int
    axis: int
    moment: int
    words: int
    words_rows: int


def rows_for(layout: Layout, lower: bool) -> Rows:
    """Where everything stands in a layout; without a lower plot the upper one is taller."""
    if layout.second is not None:
        title, upper, more, gap, words_rows = True, 15, 7, 1, 3
    elif layout.gauge is not None:
        title, upper, more, gap, words_rows = True, 7, 3, 1, 2
    elif layout.margin:
        title, upper, more, gap, words_rows = True, 5, 2, 0, 2
    else:
        title, upper, more, gap, words_rows = False, 4, 0, 0, 0
    if not lower and more:
        upper, more = upper + more + 1, 0
    start = 2 if title else 1
    after = start + upper
    below = after + 1 if more else None
    axis = after + (1 + more if more else 0)
    moment = axis + 1 + gap
    return Rows(
        0 if title else None, start - 1, start, upper, below, more, axis, moment, moment + 1, words_rows
    )


def sign_of(number: int) -> str:
    """The digit of something that happened; from the eleventh on a plus."""
    return NUMBERED[number - 1] if number <= len(NUMBERED) else "+"


def curve_part(layout: Layout, one: RunCurve, window: Window, cursor: int | None, below: str | None) -> Part:
    """Everything but the frame, from row 0."""
    where = rows_for(layout, below is not None)
    parts: list[Part] = []
    if where.title is not None:
        parts.append(_title(layout, where.title, one))
    moments = [(each.at, sign_of(n)) for n, each in enumerate(one.happened, 1)]
    parts.append(signs(where.signs, window, moments))
    upper = one.upper
    if upper == DEPTH:
        parts.append(
            depth_plot(layout, where.upper, where.upper_rows, window, one.curve(DEPTH), one.deepest, cursor)
        )
    elif upper is not None:
        parts.append(value_plot(layout, where.upper, where.upper_rows, window, one.curve(upper), cursor))
    if below is not None and where.lower is not None:
        parts.append(value_plot(layout, where.lower, where.lower_rows, window, one.curve(below), cursor))
    parts.append(time_axis(where.axis, window))
    if cursor is not None:
        parts.append(_moment(layout, where, one, window, cursor))
    if layout.second is not None:
        parts.append(_beside(layout, one))
    return joined(parts)


def _title(layout: Layout, row: int, one: RunCurve) -> Part:
    room = layout.edge - layout.title
    part = at(row, layout.title, cut(headline(one, room), room), Role.BOLD)
    if one.mapping.charger or one.limits.keel is None or one.found.deepest is None:
        return part
    over = bool(one.found.below_keel)
    return part + rows.status(layout, row, Status.OUTSIDE if over else Status.WITHIN, block=over)


def _moment(layout: Layout, where: Rows, one: RunCurve, window: Window, cursor: int) -> Part:
    middle = sum(window.span(cursor)) / 2
    moment, values = moment_words(one, middle), values_words(one, window, cursor)
    if not layout.margin:
        return at(where.moment, layout.sign, cut(f"{moment}: {values}", layout.edge - 1), Role.BOLD)
    part = at(where.moment, layout.sign, cut(moment, layout.number - 1))
    part += at(where.moment, layout.title, cut(values, layout.edge - layout.title), Role.BOLD)
    here = near(one, window, cursor)
    row = where.words
    if here:
        for number, each in here:
            for n, line in enumerate(wrap(shown(each.words), layout.measure)):
                if row >= where.words + where.words_rows:
                    return part
                part += at(row, layout.number, sign_of(number), Role.BOLD) if n == 0 else ()
                part += at(row, layout.title, line, Role.BOLD if each.loud else Role.TEXT)
                row += 1
        return part
    for line in wrap(fitting(_rest(one), layout.measure, where.words_rows), layout.measure)[
        : where.words_rows
    ]:
        part += at(row, layout.title, line)
        row += 1
    return part


def _rest(one: RunCurve) -> list[str]:
    """What is missing first, then the other verdicts."""
    return [*missing(one), *(f"{words}." for words, _ in verdicts(one)[1:])]


def fitting(sentences: Sequence[str], measure: int, most: int) -> str:
    """The whole sentences that have room in so many lines, in order."""
    said = ""
    for each in sentences:
        longer = f"{said} {each}".strip()
        if len(wrap(longer, measure)) <= most:
            said = longer
    return said


def facts_of(one: RunCurve) -> list[Fact]:
    """The whole of it in words: verdicts, what happened and what was read then, what is missing."""
    found = [Fact("Readings", words, loud) for words, loud in verdicts(one)]
    narrow = one.whole(400)
    for number, each in enumerate(one.happened, 1):
        column = narrow.column(each.at)
        read = values_words(one, narrow, column) if 0 <= column < narrow.width else "outside the file"
        found.append(Fact(sign_of(number), f"{moment_words(one, each.at)} {each.words}; {read}", each.loud))
    found += [Fact("Missing", words) for words in missing(one)]
    rows_words = f"{one.found.rows} rows, read by {one.mapping.name}"
    return [*found, Fact("File", rows_words)]


def _beside(layout: Layout, one: RunCurve) -> Part:
    """What happened and what was read, on the second page of a wide terminal."""
    assert layout.second is not None
    left, measure = layout.second, layout.width - 1 - layout.second - 3
    part: Part = ()
    row = 0
    for fact in facts_of(one):
        lead = fact.word if len(fact.word) == 1 else ""
        for n, line in enumerate(wrap(shown(fact.text), measure)):
            if row > 30:
                return part
            part += at(row, left, lead, Role.BOLD) if n == 0 else ()
            part += at(row, left + 3, line, Role.BOLD if fact.loud else Role.TEXT, Kind.AFTER)
            row += 1
    return part


def curve_text(one: RunCurve, *, blocks: bool = True) -> list[str]:
    """The curve as plain lines of at most 79 columns, with everything it says below it."""
    layout = STANDARD if blocks else STANDARD.ascii()
    below = one.others[0] if one.others else None
    window = one.whole(width_for(layout))
    drawn = page(layout, curve_part(layout, one, window, None, below)).text().rstrip("\n").split("\n")
    where = rows_for(layout, below is not None)
    lines = [line.rstrip() for line in drawn[where.signs : where.axis + 1]]
    said = []
    before = ""
    for fact in facts_of(one):
        word = fact.word if fact.word != before else ""
        before = fact.word
        for n, line in enumerate(wrap(shown(fact.text), 66)):
            said.append(f"{word if n == 0 else '':<12}{line}".rstrip())
    return [*lines, "", *said]
