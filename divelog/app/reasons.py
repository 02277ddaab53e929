"""Everything behind a number, in lines of whole words: for the page that shows it in full."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from divelog.app.look.words import wrap
from divelog.app.names import known_words, said_beside, said_value, title_of
from divelog.limits.model import KeyInfo, Limit
from divelog.limits.sensitivity import Share
from divelog.text import shown


@dataclass(frozen=True, slots=True)
class Reason:
    """One heading and what stands beside it, a paragraph a piece."""

    heading: str
    pieces: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Line:
    """One row: the heading on the first of its rows."""

    heading: str
    words: str


def because(limit: Limit) -> Reason:
    """The derivation with its numbers put in, and what is missing."""
    missing = tuple(f"needs {title_of(path)}" for path in limit.missing)
    words = tuple(one for one in (limit.remark, limit.shown) if one)
    return Reason("Because", (*limit.why, *missing) or words[:1])


def reasons(
    limit: Limit, info: KeyInfo, rests: Sequence[Share] = (), advice: Sequence[str] = ()
) -> tuple[Reason, ...]:
    """Derivation, formula, valid range, inputs, source, cautions and what to do (with ``advice``), those there are."""
    found = (
        because(limit),
        Reason("Formula", info.formula),
        Reason("Holds for", (info.valid,) if info.valid else ()),
        Reason("Rests on", tuple(_input(row) for row in rests)),
        Reason("Source", limit.source or info.sources),
        Reason("Caution", limit.cautions),
        Reason("Next", (*limit.actions, *advice)),
    )
    return tuple(one for one in found if one.pieces)


def _input(row: Share) -> str:
    entry = row.input
    words = f"{title_of(entry.path)}: {said_value(entry)}, {known_words(entry)}"
    if said_beside(entry):
        words += f" ({said_beside(entry)})"
    if entry.u95 > 0 and row.share >= 0.005:
        words += f"; {100 * row.share:.0f} % of the +/-"
    return words


def lines(found: Sequence[Reason], columns: int) -> tuple[Line, ...]:
    """Rows of at most so many columns, broken between words."""
    rows: list[Line] = []
    for one in found:
        heading = one.heading
        if heading == "Caution" and rows:
            rows.append(Line("", ""))  # never close under other words
        for piece in one.pieces:
            for words in wrap(shown(piece), columns):
                rows.append(Line(heading, words))
                heading = ""
    return tuple(rows)
