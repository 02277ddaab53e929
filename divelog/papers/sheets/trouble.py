"""The page of trouble: the four lists that are read and done, kept dry in the box."""

from __future__ import annotations

from divelog.checks import trouble
from divelog.checks.model import Line
from divelog.papers.sheets.given import Given
from divelog.papers.sheets.model import Paper, Steps
from divelog.proofs.table import RULES
from divelog.text import shown

ORDER = ("signal-lost", "leak-found", "boat-stuck", "pack-hot")
KEY_PRESSED = "mark-it"
"""The line that the key of the screen answers; on paper a watch does it."""
_FOOT = (
    "People first. Nobody goes in after a boat.",
    "Emergency call in most of Europe: 112. Local numbers, rules of the water and trained people come before this page.",
)


def trouble_page(given: Given) -> Paper:
    """All lists of trouble on one page, with this boat's own times and with what is not proved left standing."""
    parts = []
    for name in ORDER:
        checklist = given.lists.get(name)
        if checklist is None:
            continue
        steps: list[tuple[str, str, str]] = []
        last = ""
        for step in trouble.steps(checklist, given.around):
            words, how = step.words, step.how
            if step.line is not None and step.line.only_if:
                words, how = step.line.do, f"{_only_if(step.line, given)} {step.how}".strip()
            if step.caution:
                how = f"{how} Caution: {step.caution}".strip()
            if step.id == KEY_PRESSED:
                words = "Start your watch now"
            when = _when(step.at)
            steps.append((when if when != last else "", shown(words), shown(how)))
            last = when
        parts.append(Steps(shown(checklist.title), tuple(steps)))
    under = "Read and do, one at a time. Times count from the start of your watch."
    return Paper("trouble", "Trouble", given.name, given.made, under, tuple(parts), (), _FOOT)


def _only_if(line: Line, given: Given) -> str:
    """A step that rests on proofs: a paper lies in the box longer than they stand, so it asks and does not claim."""
    titles = " and ".join(f'"{RULES[name].title}"' for name in line.only_if)
    return f"ONLY if {titles} are proved today. If not, or in doubt: the set stays ON."


def _when(seconds: float) -> str:
    if seconds <= 0:
        return ""
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes}:{rest:02d}" if minutes else f"{rest} s"
