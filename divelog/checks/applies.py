"""Which lines of a list apply to a boat here and today: literal matching of facts, nothing else."""

from __future__ import annotations

from divelog.checks.around import Around
from divelog.checks.members import Asking, members
from divelog.checks.model import CheckList, Kind, Line, Needs

_NOBODY = Asking()


def holds(needs: Needs, around: Around) -> bool:
    """True where every path is one of its words, holds one of them, or is unknown."""
    for path, wanted in needs:
        found = around.words_at(path)
        if found is not None and not any(word in wanted for word in found):
            return False
    return True


def known_to_hold(needs: Needs, around: Around) -> bool:
    """The same where an unknown fact does not count."""
    return holds(needs, around) and all(around.words_at(path) is not None for path, _ in needs)


def applies(line: Line, around: Around, asking: Asking = _NOBODY) -> bool:
    """Whether a line is asked of this boat at all. One that does not apply is not shown and proves nothing."""
    if line.not_fitted or not holds(line.needs, around):
        return False
    first = line.questions[0] if line.questions else None
    return first is None or first.kind is not Kind.EACH or bool(members(first, around, asking))


def is_critical(line: Line, around: Around) -> bool:
    """Whether it loses the boat if wrong, here: an unknown fact counts as the worse."""
    return line.critical or bool(line.critical_if) and holds(line.critical_if, around)


def for_this_place(checklist: CheckList, around: Around) -> bool:
    """Whether a list is meant for this kind of site; anywhere where no site is known."""
    if not checklist.places:
        return True
    found = around.words_at("site.kind")
    return found is None or any(word in checklist.places for word in found)


def proofs_of(checklist: CheckList, around: Around) -> frozenset[str]:
    """Proofs that some line of a list gives for this boat."""
    return frozenset(
        name for line in checklist.lines() if applies(line, around) for name in can_give(line, around)
    )


def can_give(line: Line, around: Around, asking: Asking = _NOBODY) -> tuple[str, ...]:
    """Proofs that a line can give here: none where it would go through a list that is empty for this boat."""
    each = [question for question in line.questions if question.kind is Kind.EACH]
    return line.gives if all(members(question, around, asking) for question in each) else ()
