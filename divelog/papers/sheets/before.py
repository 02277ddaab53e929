"""The run sheet, and the list before the dive: what goes to the water on one page each, and is typed back by number."""

from __future__ import annotations

from divelog.checks.around import Around
from divelog.checks.asking import line_states
from divelog.checks.judge import item_of
from divelog.checks.model import Kind, Line
from divelog.history.defects import overruled_now
from divelog.limits.model import Verdict
from divelog.papers.sheets.answers import newest
from divelog.papers.sheets.figures import big, edge, limit_row, pond_limits
from divelog.papers.sheets.given import Given
from divelog.papers.sheets.lines import applying, blank, has_reading
from divelog.papers.sheets.model import Bigs, Blank, Blanks, Paper, Part, Row, Rows, Space, Words
from divelog.papers.sheets.numbering import BACK, LAUNCHED, MARKS, MOMENTS, Numbered, code, numbered
from divelog.proofs.model import State
from divelog.proofs.table import RULES
from divelog.text import shown

BEFORE, AFTER = "before-dive", "after-run"
_SPACES = {
    LAUNCHED: (Space(),),
    MARKS: (Space(),),
    BACK: (Space(),),
}
_ROOM = 30
_LINES = 18
"""More rows than these on a page, and there is less room between them."""
_STARRED = "* rests on an assumption."
_INFORMS = (
    "These figures inform; the person decides. Local law, the owner of the water and makers' sheets come first. "
    "Nobody goes in after a boat. Bold lines are critical. Do the lines in their order: typed back, it is the order done.",
)


def rows_of(given: Given) -> tuple[Numbered, ...]:
    """The numbers of this boat's sheets."""
    return numbered(given.lists[BEFORE], given.lists[AFTER])


def _type_in(rows: tuple[Numbered, ...]) -> str:
    return f"Sheet {code(rows)}. Type it back by number: divelog type-in."


def run_sheet(given: Given, empty: bool = False) -> Paper:
    """Three large numbers, the limits of the water, and a numbered blank for every reading.

    ``empty``: the day is not known yet; numbers and limits are written in by hand.
    """
    rows = rows_of(given)
    around = given.around
    pack = around.word("plan.pack") or ""
    minutes = given.limit("battery.endurance", pack) or given.limit("battery.endurance")
    keel = given.limit("depth.keel", "under control")
    volts = given.limit("battery.rest_voltage", pack) or given.limit("battery.rest_voltage")
    numbers = Bigs(
        (
            big("Back at the bank", minutes, "min after launch", empty),
            big("Deepest keel", keel, "m", empty),
            big(
                f"Least in the pack{f', {shown(pack, 20)}' if pack and not empty else ''}", volts, "V", empty
            ),
        )
    )
    shown_above = [one.name for one in (minutes, keel, volts) if one is not None] + [
        "depth.keel:failsafe proved"
    ]
    parts: list[Part] = [numbers]
    lines = [r for r in rows if r.line is not None]
    before = [r for r in lines if r.list == BEFORE and r.line is not None and _wanted(r.line, around)]
    after = [r for r in lines if r.list == AFTER and r.line is not None and _after(r.line, around)]
    beside = {q.limit for r in before if r.line is not None for q in r.line.questions if q.show == "before"}
    listed = [one for one in pond_limits(given.limits, shown_above) if one.key not in beside]
    if empty:
        parts.append(
            Rows("Limits", tuple(Row("", limit_row(one).name, "", "") for one in listed), "Write them in.", 2)
        )
    else:
        parts.append(Rows("Limits", tuple(limit_row(one) for one in listed), _open_words(given), 2))
    parts.append(
        Blanks(
            "Read before the dive", tuple(_short(r, around, not empty) for r in before), short=True, columns=2
        )
    )
    moments = tuple(Blank(r.number, dict(MOMENTS)[r.moment], _SPACES[r.moment]) for r in rows if r.moment)
    parts.append(Blanks("While she is out", moments, short=True, columns=3))
    parts.append(Blanks("After the run", tuple(_short(r, around, False) for r in after), short=True))
    dense = len(listed) + 2 * len(before) + len(after) > _ROOM
    starred = () if empty or not any(one.starred for one in given.limits) else (_STARRED,)
    return Paper(
        "run",
        "Run sheet",
        given.name,
        given.made,
        given.where(empty),
        tuple(parts),
        (),
        (*starred, *_INFORMS, _type_in(rows)),
        dense=dense,
    )


def _wanted(line: Line, around: Around) -> bool:
    return has_reading(line) and line in applying((line,), around)


def _after(line: Line, around: Around) -> bool:
    """Lines after the run; the marks too, though there are none yet."""
    marks = any(q.kind is Kind.EACH and "marks" in q.of for q in line.questions)
    return marks or (
        line in applying((line,), around) and any(q.kind is not Kind.DONE for q in line.questions)
    )


def _short(row: Numbered, around: Around, figures: bool) -> Blank:
    assert row.line is not None
    found = blank(row.number, row.line, around, figures=figures, answers=False, brief=True)
    if not found.spaces:
        return Blank(found.number, found.say, (Space("what each was"),), critical=found.critical)
    return found


def _open_words(given: Given) -> str:
    """What is not proved now, in one sentence."""
    found = []
    for proof in given.around.report.proofs:
        if proof.required and proof.state not in (State.PROVED, State.NOT_FITTED):
            title = RULES[proof.proof].title if proof.proof in RULES else proof.proof
            found.append(f"{title} {proof.item}".strip())
    reasons = overruled_now(given.around.events, given.made.date())
    defects = []
    for one in given.around.report.defects:
        why = reasons.get(one.event)
        defects.append(
            f"{shown(one.what, 60)} ({f'overruled: {shown(why, 80)}' if why else 'stops the launch'})"
        )
    if not found and not defects:
        return ""
    return shown(f"To prove: {', '.join([*defects, *dict.fromkeys(found)])}.", 400)


def list_sheet(given: Given, empty: bool = False) -> Paper:
    """The list before the dive with this boat's figures. ``empty``: without what was answered today."""
    rows = {r.line.id: r.number for r in rows_of(given) if r.line is not None and r.list == BEFORE}
    around, checklist = given.around, given.lists[BEFORE]
    states = {one.line.id: one for one in line_states(given.walk, around)}
    said = newest(e for e in given.events if e.boat == given.slug)
    parts: list[Blanks | Words] = []
    for phase in checklist.phases:
        lines = applying(phase.lines, around)
        blanks = tuple(
            blank(
                rows[line.id],
                line,
                around,
                states.get(line.id),
                given.walk.record(line.id),
                answers=not empty,
                last=said.get((BEFORE, line.id)),
            )
            for line in lines
        )
        if blanks:
            parts.append(Blanks(shown(phase.moment), blanks))
    readings = _readings(given, rows)
    if readings:
        parts.append(Words("Limits of the readings: read first, then look here", ("; ".join(readings),)))
    cautions = tuple(
        dict.fromkeys(
            shown(line.caution)
            for line in applying(tuple(checklist.lines()), around)
            if line.caution and line.caution not in _INFORMS[0]
        )
    )
    foot = (*_INFORMS, _type_in(rows_of(given)))
    title = shown(checklist.title)
    dense = sum(len(part.rows) for part in parts if isinstance(part, Blanks)) > _LINES
    return Paper(
        "list",
        title,
        given.name,
        given.made,
        given.where(empty and not given.day_open),
        tuple(parts),
        cautions,
        foot,
        dense=dense,
    )


def _readings(given: Given, rows: dict[str, int]) -> tuple[str, ...]:
    """Limits that a reading is held against after it was read: number, and the limit with its key's title."""
    found = []
    for line in applying(tuple(given.lists[BEFORE].lines()), given.around):
        for question in line.questions:
            if not question.limit or question.show != "after":
                continue
            limit = given.around.lookup(question.limit, item_of(question, given.around), None, None)
            words = edge(limit)
            if limit is not None and limit.verdict is not Verdict.NOT_FITTED:
                found.append(f"{rows[line.id]} {shown(limit.title)} {words or 'unknown'}")
    return tuple(found)
