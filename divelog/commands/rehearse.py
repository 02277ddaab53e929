"""``divelog rehearse``: her path from the signal lost to the mast out, as a plain chart or one JSON object."""

from __future__ import annotations

import math
from argparse import Namespace
from collections.abc import Sequence
from typing import Any

from divelog import __version__
from divelog.app.look.layout import STANDARD
from divelog.app.look.page import below, page
from divelog.app.rehearsal_chart import rehearsal_chart
from divelog.commands.asked import question
from divelog.commands.limits import SIGNS
from divelog.commands.out import data, say, tell
from divelog.exits import CallError, Exit
from divelog.limits.model import Verdict
from divelog.limits.rehearsal import SOURCE, Rehearsal, assumed, work_out
from divelog.limits.rehearsal_figures import CASES, CaseWords, case_named
from divelog.limits.report import input_data
from divelog.profiles.document import Num
from divelog.profiles.facts import slug_or_empty
from divelog.text import shown

_OPEN = (Verdict.OUTSIDE, Verdict.TOO_CLOSE, Verdict.UNKNOWN)
_INDENT = " " * 13


def run_rehearse(words: Namespace) -> int:
    """The cases asked for; without one, the chart of a steady dive and a line for each other case."""
    cases = [_case(text) for text in words.case]
    asks = question(words)
    if asks is None:
        return Exit.FAULT
    sheet = asks.session.sheet(asks.asked, asks.facts)
    found = [work_out(sheet, one) for one in cases or CASES]
    if words.json:
        data(
            {
                "schema": "divelog.rehearsal/1",
                "program": __version__,
                "boat": asks.named.slug,
                "profile": asks.named.boat.digest,
                "site": slug_or_empty(asks.facts.site.text_at("name")) or None,
                "at": asks.asked.at.isoformat(),
                "source": list(SOURCE),
                "cases": [case_data(one) for one in found],
            }
        )
    else:
        name = asks.named.boat.text_at("name") or asks.named.slug
        for row in text_of(name.upper(), found if cases else found[:1], () if cases else found[1:]):
            say(row)
        tell(f"{assumed(found[0])} of {len(found[0].inputs)} inputs are assumed (*)")
    for notice in asks.session.notices:
        tell(shown(notice))
    return Exit.NOT_WITHIN if words.strict and any(one.verdict in _OPEN for one in found) else Exit.DONE


def _case(text: str) -> CaseWords:
    found = case_named(text)
    if found is None:
        known = ", ".join(one.name for one in CASES)
        raise CallError(f"no case called {text[:40]!r}; cases are: {known}")
    return found


def text_of(boat: str, drawn: Sequence[Rehearsal], others: Sequence[Rehearsal]) -> list[str]:
    """Rows of plain text: a chart with its sentences for each case drawn, then a line for each of the others."""
    rows: list[str] = []
    for one in drawn:
        rows.append(shown(f"{boat}  {one.case.name}: {one.case.says}"))
        if one.does:
            rows.append(f"then: {one.does}")
        if one.path:
            rows.append("")
            part = rehearsal_chart(STANDARD.ascii(), 0, one)
            lines = page(STANDARD.ascii(), part).text().splitlines()[: below(part)]
            rows += [line.rstrip() for line in lines]
            rows.append("")
        rows += _told(one, one.sentences)
        rows += [f"{_INDENT}caution: {shown(line)}" for line in one.cautions]
        rows.append("")
    for one in others:
        rows += _told(one, (one.case.name, *one.sentences[:2]))
    while rows and not rows[-1]:
        rows.pop()
    return rows


def _told(one: Rehearsal, lines: Sequence[str]) -> list[str]:
    """The sign and word of the verdict beside the first line, the others under it."""
    first, *rest = (shown(line) for line in lines)
    return [f"{SIGNS[one.verdict]:<13}{first}", *(f"{_INDENT}{line}" for line in rest)]


def case_data(one: Rehearsal) -> dict[str, Any]:
    """One case as ``divelog.rehearsal/1`` has it; SI, depths of the keel, pitch bow up."""
    return {
        "case": one.case.name,
        "says": one.case.says,
        "does": one.does or None,
        "verdict": one.verdict.value,
        "sentences": list(one.sentences),
        "cautions": list(one.cautions),
        "deepest": _number(one.deepest),
        "lowest": _number(one.lowest),
        "turns_up": one.turns_up,
        "surfaced": _number(one.surfaced),
        "touched": one.touched,
        "ends": one.ends or None,
        "plan": one.plan,
        "tip": one.tip,
        "bottom": one.bottom,
        "most": one.most,
        "aerial": one.aerial,
        "missing": list(one.missing),
        "columns": ["time", "depth", "pitch", "speed", "u95"],
        "path": [[m.time, m.depth, m.pitch, m.speed, m.u95] for m in one.path],
        "inputs": [input_data(i) for i in one.inputs],
    }


def _number(num: Num | None) -> dict[str, float | None] | None:
    if num is None:
        return None
    return {"si": num.si, "u95": num.u95 if math.isfinite(num.u95) else None}
