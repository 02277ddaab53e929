"""``divelog next``: what to measure next, and what it would buy."""

from __future__ import annotations

from argparse import Namespace

from divelog import __version__
from divelog.commands.asked import question as asked_of
from divelog.commands.out import data, say, tell
from divelog.exits import Exit
from divelog.text import shown

MOST = 3
"""Guides told unless all are asked for."""


def run_next(words: Namespace) -> int:
    """The three measurements that would move or narrow a limit of the first page most; all of them with ``--all``."""
    from divelog.limits import catalogue
    from divelog.limits.guides import GUIDES
    from divelog.limits.report import counts
    from divelog.limits.sensitivity import measure_next

    question = asked_of(words)
    if question is None:
        return Exit.FAULT
    session, asked = question.session, question.asked
    sheet = session.sheet(asked, question.facts)
    limits = catalogue.work_out(sheet)
    gains = measure_next(sheet, limits, len(GUIDES) if words.all else MOST)
    tally = counts(limits)
    if words.json:
        data(
            {
                "schema": "divelog.next/1", "program": __version__, "boat": asked.slug, "at": asked.at.isoformat(),
                "next": [
                    {
                        "guide": g.guide.id, "title": g.guide.title, "needs": g.guide.needs, "how": list(g.guide.how),
                        "paths": list(g.guide.paths), "key": g.key, "item": g.item or None, "now": g.now,
                        "then": g.then or None, "share": g.relative,
                    }
                    for g in gains
                ],
                "counts": {"assumed_inputs": tally["assumed_inputs"], "inputs": tally["inputs"]},
            }
        )  # fmt: skip
    else:
        for number, g in enumerate(gains, 1):
            info = catalogue.info(g.key)
            title = info.title if info is not None else g.key
            buys = f"{g.now}, then {g.then}" if g.then else "an input it lacks"
            say(f"{number}  {shown(g.guide.title)}")
            say(f"   {shown(title)}{f' ({shown(g.item)})' if g.item else ''}: {shown(buys)}")
            say(f"   with {shown(g.guide.needs)}")
            for line in g.guide.how:
                say(f"   - {shown(line)}")
        if not gains:
            say("nothing worth a trip: no measurement would move or narrow a limit of the first page")
        tell(f"{tally['assumed_inputs']} of {tally['inputs']} inputs are assumed (*)")
    for notice in session.notices:
        tell(shown(notice))
    return Exit.NOT_WITHIN if words.strict and gains else Exit.DONE
