"""The commissioning report: every function she has with its last reading, its limit then, the verdict, when and by whom."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection

from divelog.checks.model import CheckList, Line
from divelog.papers.sheets.answers import Answer, newest
from divelog.papers.sheets.figures import VERDICTS, day_words, edge, plain_fact, reading_words
from divelog.papers.sheets.given import Given
from divelog.papers.sheets.leaving import SIGN, SIGN_HERE, boat_ids, defects, left_words, proofs, words_of
from divelog.papers.sheets.lines import applying
from divelog.papers.sheets.model import Pairs, Paper, Part, Row, Rows, Table, Words
from divelog.sharing.private import GONE, Scrubber
from divelog.text import shown

LISTS = ("commissioning", "bench", "leak-test", "tank-trim", "evening-before", "before-dive")
"""Lists whose lines are functions of a boat, in the order they are proved."""
NOBODY_BY_NAME = ("", "operator", "trial")
"""What stands as the writer of an event where nobody gave a name."""
NEVER = ". no reading"
_HEADS = ("stands", "function", "reading", "limit then", "when", "by")
_WIDTHS = (14, 30, 18, 15, 13, 10)
_HEAD = (
    "hull",
    "dives_by",
    "length",
    "mass",
    "height",
    "displaced",
    "draught",
    "trimmed_at",
    "dived_balance",
)


def commissioning(given: Given, let_out: Collection[str] = ()) -> Paper:
    """How a new, received or overhauled boat stands."""
    scrubber = Scrubber(let_out, boat_ids(given.boat))
    document = scrubber.document(given.boat)
    tables = functions(given, scrubber)
    measured = tuple(
        (words_of(path.removeprefix("boat.")), shown(f"{plain_fact(fact)}, {fact.on}".rstrip(", "), 120))
        for path, fact in sorted((given.measured or {}).items())
        if path.startswith("boat.")
    )
    head = tuple(
        (words_of(p), shown(plain_fact(document.facts[p]), 120)) for p in _HEAD if p in document.facts
    )
    parts: list[Part] = [
        Pairs("Boat", head, narrow=True),
        Words("In short", (_counted(tables),)),
        defects(given, scrubber),
        *tables,
        proofs(given),
        Rows("Limits today and readings", _limits(given), "A star rests on an assumption."),
        Pairs("Measured", measured or (("", "nothing yet"),)),
        Words("Left out of this report", (left_words(scrubber) or "nothing",)),
        Words("Signed", SIGN_HERE[:1], lined=True),
    ]
    return Paper(
        "commissioning", "Commissioning report", given.name, given.made, given.where(), tuple(parts), (), (SIGN,),
    )  # fmt: skip


def functions(given: Given, scrubber: Scrubber) -> tuple[Table, ...]:
    """A table a list: every line she has, with what was last said to it. A line of two lists stands once."""
    answers = newest(e for e in given.events if e.boat == given.slug)
    seen: set[tuple[str, str]] = set()
    found = []
    for name in LISTS:
        checklist = given.lists.get(name)
        if checklist is None:
            continue
        rows: list[tuple[str, ...]] = []
        loud: set[int] = set()
        for line in applying(tuple(checklist.lines()), given.around):
            if (line.id, line.do) in seen or line.walk or line.always:
                continue
            seen.add((line.id, line.do))
            answer = _last(line, given, answers)
            if answer is not None and answer.loud:
                loud.add(len(rows))
            rows.append(_row(line, answer, scrubber, given))
        if rows:
            found.append(_table(checklist, rows, frozenset(loud)))
    return tuple(found)


def _table(checklist: CheckList, rows: list[tuple[str, ...]], loud: frozenset[int]) -> Table:
    return Table(f"Functions: {shown(checklist.title)}", _HEADS, _WIDTHS, tuple(rows), loud=loud)


def _last(line: Line, given: Given, answers: dict[tuple[str, str], Answer]) -> Answer | None:
    """The newest answer to a line, in whichever list that has the same line it was given."""
    found = []
    for name in LISTS:
        checklist = given.lists.get(name)
        same = checklist.line(line.id) if checklist is not None else None
        answer = answers.get((name, line.id))
        if same is not None and same.do == line.do and answer is not None:
            found.append(answer)
    return max(found, key=lambda one: one.at, default=None)


def _row(line: Line, answer: Answer | None, scrubber: Scrubber, given: Given) -> tuple[str, ...]:
    if answer is None:
        return NEVER, shown(line.do, 120), "", "", "", ""
    when = f"{day_words(answer.at)}, {answer.at:%H:%M}"
    if answer.doubt:
        when += f" ± {max(1, round(answer.doubt / 60)):.0f} min"
    reading = scrubber.text(answer.reading(line))
    return answer.sign, shown(line.do, 120), reading, answer.limit, when, _who(answer.by, scrubber)


def _who(by: str, scrubber: Scrubber) -> str:
    if by in NOBODY_BY_NAME:
        return by
    return GONE if scrubber.leaves("by") else shown(by, 40)


def _counted(tables: tuple[Table, ...]) -> str:
    """How many functions stand how, worst first."""
    counts = Counter(row[0] for table in tables for row in table.rows)
    order = (
        "X OUTSIDE",
        "~ too close",
        "? unknown",
        "- skipped",
        NEVER,
        "+ within",
        "= done",
        "/ not fitted",
    )
    said = [f"{counts[sign]} {sign[2:]}" for sign in order if counts[sign]]
    return f"{sum(counts.values())} functions: {', '.join(said)}."


def _limits(given: Given) -> tuple[Row, ...]:
    rows = []
    for one in given.limits:
        if one.kind == "limit" and one.verdict.value != "not_fitted":
            item = f", {one.item}" if one.item else ""
            rows.append(
                Row(
                    VERDICTS[one.verdict],
                    shown(f"{one.title}{item}", 60),
                    reading_words(one),
                    edge(one),
                    one.verdict.value == "outside",
                )
            )
    return tuple(rows)
