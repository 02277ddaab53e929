"""Before launch: what is open, in the order it is told, and the person's own words. The program only informs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from divelog.checks.applies import is_critical
from divelog.checks.around import Around
from divelog.checks.asking import current, line_states
from divelog.checks.endings import list_end
from divelog.checks.entry import RefusedError
from divelog.checks.state import Mark, Pending, Walk
from divelog.limits import catalogue
from divelog.limits.model import Limit, Verdict
from divelog.proofs.model import OpenDefect, State
from divelog.proofs.table import RULES

READY = "ready to dive"
"""What a person says. The program never does."""

ORDER = (Mark.OUTSIDE, Mark.TO_PROVE, Mark.TOO_CLOSE, Mark.SKIPPED, Mark.NOT_FITTED, Mark.UNKNOWN)


@dataclass(frozen=True, slots=True)
class OpenItem:
    """One thing that is open: how it stands, and in a few words what."""

    mark: Mark
    name: str
    words: str = ""
    """Why, or what was found."""
    critical: bool = False
    line: str = ""

    def sentence(self) -> str:
        """As the row of open items says it: "range to prove", "volts too close"."""
        status = "OUTSIDE" if self.mark is Mark.OUTSIDE else self.mark.value
        return f"{self.name} {status}"


@dataclass(frozen=True, slots=True)
class Launch:
    """The glance before launch."""

    items: tuple[OpenItem, ...]
    defects: tuple[OpenDefect, ...]
    """They stop the launch until closed, or overruled with a reason each."""

    @property
    def words(self) -> str:
        """One row: NOTHING OPEN, or how many and which."""
        if not self.items and not self.defects:
            return "NOTHING OPEN"
        names = [f"{defect.what}, not mended" for defect in self.defects]
        names += [item.sentence() for item in self.items]
        return f"OPEN {len(names)}: {', '.join(names)}"


def launch(walk: Walk, around: Around, limits: Iterable[Limit] = ()) -> Launch:
    """What is open now. ``limits``: all limits of the boat on the day; those of the pond are told where they are not within."""
    lines = _of_lines(walk, around)
    # A proof whose line was read and found outside or too close is told once, as that.
    told = {
        proof
        for item in lines
        if item.mark in (Mark.OUTSIDE, Mark.TOO_CLOSE)
        for proof in _gives(walk, item.line)
    }
    proofs = [item for item in _of_proofs(around, lines, walk) if item.line not in told]
    to_prove = {item.line for item in proofs}
    kept = [
        item
        for item in lines
        if not (_gives(walk, item.line) & to_prove) or item.mark in (Mark.OUTSIDE, Mark.TOO_CLOSE)
    ]
    read = {q.limit for line in walk.checklist.lines() for q in line.questions if q.limit}
    seen = [*kept, *(replace(item, line="") for item in proofs), *_of_limits(limits, read)]
    return Launch(
        tuple(sorted(seen, key=lambda item: (ORDER.index(item.mark), not item.critical))),
        around.report.defects,
    )


def _gives(walk: Walk, line: str) -> set[str]:
    found = walk.checklist.line(line)
    return set(found.gives) if found is not None else set()


def _of_lines(walk: Walk, around: Around) -> list[OpenItem]:
    found = []
    for one in line_states(walk, around):
        mark = one.mark
        if one.asked or mark is None or mark in (Mark.DONE, Mark.WITHIN, Mark.TO_PROVE):
            continue
        record = walk.record(one.line.id)
        words = record.reason if record is not None else ""
        found.append(OpenItem(mark, one.line.name, words, is_critical(one.line, around), one.line.id))
    return found


def _of_proofs(around: Around, lines: Sequence[OpenItem], walk: Walk) -> list[OpenItem]:
    found = []
    for proof in around.report.proofs:
        if not proof.required or proof.state in (State.PROVED, State.NOT_FITTED):
            continue
        reasons = [
            i.words
            for i in lines
            if proof.proof in _gives(walk, i.line) and i.mark is not Mark.UNKNOWN and i.words
        ]
        because = proof.because or ("never" if proof.state is State.NEVER else proof.state.value)
        words = f"skipped: {reasons[0]}" if reasons else because
        title = RULES[proof.proof].title if proof.proof in RULES else proof.proof
        name = f"{title} {proof.item}" if proof.item else title
        found.append(OpenItem(Mark.TO_PROVE, name, words, True, proof.proof))
    return found


_MARKS = {Verdict.OUTSIDE: Mark.OUTSIDE, Verdict.TOO_CLOSE: Mark.TOO_CLOSE, Verdict.UNKNOWN: Mark.UNKNOWN}


def _of_limits(limits: Iterable[Limit], read: set[str]) -> list[OpenItem]:
    """Limits of the pond that the plan or the day breaks; those a line of the list reads are told by their line."""
    found = []
    for limit in limits:
        info = catalogue.info(limit.key)
        if info is None or info.where != "pond" or limit.key in read or limit.kind != "limit":
            continue
        mark = _MARKS.get(limit.verdict)
        if mark is not None and not (limit.key == "depth.keel" and limit.item != "under control"):
            title = limit.title[:1].lower() + limit.title[1:]
            found.append(OpenItem(mark, title, limit.shown, mark is Mark.OUTSIDE))
    return found


def call(
    walk: Walk,
    around: Around,
    words: str = READY,
    because: Mapping[str, str] | None = None,
    limits: Iterable[Limit] = (),
) -> tuple[Walk, tuple[Pending, ...]]:
    """The person's own call: the list ends, and the log keeps the words with everything that is open.

    ``because``: a reason for each open defect, by the id of its event.

    Raises:
        RefusedError: lines are still to be asked, nothing was said, or a defect stops the launch and nobody said why not.
    """
    line = current(walk, around)
    if walk.unsaved or line is not None:
        raise RefusedError(
            f"still to be asked: {line.name}" if line is not None else "something is not saved yet"
        )
    if walk.ended:
        raise RefusedError("this list has ended")
    if not words.strip():
        raise RefusedError("say it in words")
    reasons = {event: why.strip() for event, why in (because or {}).items() if why.strip()}
    found = launch(walk, around, limits)
    for defect in found.defects:
        if defect.event not in reasons:
            raise RefusedError(f"{defect.what} stops the launch: close it, or say why it may be overruled")
    named = {defect.event for defect in found.defects}
    data = {
        "open": [item.sentence() for item in found.items],
        "defects": [defect.event for defect in found.defects],
        "because": {event: why for event, why in reasons.items() if event in named},
        "words": words.strip(),
    }
    states = line_states(walk, around)
    pending = (*list_end(walk, around, states), Pending("launch.called", data))
    return replace(walk, unsaved=pending), pending
