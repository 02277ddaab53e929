"""From a walk's question to what its page shows: words, plate, verdict, what is open."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from divelog.app.check_page import CheckView
from divelog.app.display import bounds_of, fitted_reading, gauge_reading, in_display, limit_words
from divelog.app.look.words import Status
from divelog.checks import walk as walks
from divelog.checks.asking import LineState
from divelog.checks.model import Kind, Line
from divelog.checks.state import Mark
from divelog.checks.steps import END, START, Step
from divelog.checks.view import view as look_at
from divelog.limits import catalogue
from divelog.limits.model import Limit, Verdict
from divelog.text import shown

if TYPE_CHECKING:
    from divelog.app.spots.checks import Checks

SIGNS: dict[Mark, Status] = {
    Mark.DONE: Status.DONE, Mark.WITHIN: Status.WITHIN, Mark.OUTSIDE: Status.OUTSIDE, Mark.TOO_CLOSE: Status.TOO_CLOSE,
    Mark.UNKNOWN: Status.UNKNOWN, Mark.SKIPPED: Status.SKIPPED, Mark.NOT_FITTED: Status.NOT_FITTED,
    Mark.TO_PROVE: Status.TO_PROVE,
}  # fmt: skip
VERDICTS = {
    Verdict.OUTSIDE: Status.OUTSIDE, Verdict.TOO_CLOSE: Status.TOO_CLOSE, Verdict.UNKNOWN: Status.UNKNOWN,
    Verdict.WITHIN: Status.WITHIN, Verdict.TO_PROVE: Status.TO_PROVE, Verdict.NO_READING: Status.NO_READING,
}  # fmt: skip
_LOOK = "that was quick: look again, then Enter"


def question_view(
    spot: Checks, line: Line, step: Step, mine: Sequence[LineState], place: int, states: Sequence[LineState]
) -> CheckView:
    """What the page of one question shows."""
    question = step.question
    assert spot.walk is not None
    seen = look_at(spot.walk, spot.around())
    asking = spot.asking is not None or spot.note_open
    margin = tuple((SIGNS.get(s.mark) if s.mark is not None else None, shown(s.line.name)) for s in mine)
    options = tuple((str(n), shown(words)) for n, words in enumerate(spot.options(), 1))
    outcome = spot.outcome
    view = {
        "question": shown(line.do if step.member is not None else seen.say),
        "how": shown(line.how if not question.say or step.member is not None else ""),
        "critical": seen.critical,
        "margin": margin,
        "present": place,
        "unit": shown(question.unit),
        "target": _target(spot, line, step),
    }
    if asking:
        return CheckView(
            question=spot.asking_words or "A note, in your own words",
            how="A digit, or your own words." if spot.asking is not None else "",
            margin=margin,
            present=place,
            kind="text",
            typed=shown(spot.typed.text),
            options=(),
            note=spot.fault or _reasons(spot),
        )
    found = CheckView(
        **view,  # type: ignore[arg-type]
        kind=_kind(question.kind),
        typed=shown(spot.typed_text if outcome is not None else spot.typed.text),
        options=options if question.kind in (Kind.CHOICE, Kind.WORDS) else (),
        chosen=spot.chosen,
        chosen_words=shown(spot.chosen_words() or (spot.typed.text if question.kind is Kind.WORDS else "")),
        cautions=_cautions(spot, line, outcome is not None),
        note=_note(spot, line, step),
        open_word=_open(states)[0],
        open_words=_open(states)[1],
        members=tuple(
            (Status.DONE if said is not None else None, shown(words), shown(_said(said)))
            for words, said in seen.members
        ),
        member=step.index,
    )
    return found if outcome is None else _with_verdict(found, spot)


def _reasons(spot: Checks) -> str:
    from divelog.app.spots.checks import REASONS

    return "   ".join(f"{n} {words}" for n, words in enumerate(REASONS, 1)) if spot.asking is not None else ""


def _kind(kind: Kind) -> str:
    if kind in (Kind.VALUE, Kind.HOLD):
        return "value"
    if kind is Kind.WORDS:
        return "choice"
    return str(kind.value)


def _target(spot: Checks, line: Line, step: Step) -> str:
    """The limit of a setting, before it is reached; or the estimate a line shows."""
    question = step.question
    key, item = (question.limit, question.item) if question.show == "before" else ("", "")
    if not key and line.shows:
        key, item = line.shows, line.shows_item
    if not key:
        return ""
    limit = spot.desk.limit(key, item or None) or spot.desk.limit(key)
    info = catalogue.info(key)
    if limit is None or info is None:
        return ""
    words = limit_words(limit, info)
    return shown(
        f"{words} {info.display}" if not words.endswith(info.display) and words[-1:].isdigit() else words
    )


def _note(spot: Checks, line: Line, step: Step) -> str:
    assert spot.walk is not None
    if spot.fault:
        return spot.fault
    if spot.walk.look_again:
        return _LOOK
    if step.part == END:
        left = walks.hold_left(spot.walk, spot.around())
        return (
            f"hold it: {left:.0f} s to go, then the second reading" if left > 0 else "now the second reading"
        )
    if step.part == START:
        return f"the first reading; then {step.question.seconds:.0f} s without touching"
    rest = spot.rest(line)
    if rest > 0:
        return f"rested in {rest / 60:.0f} min; this line may come later: u"
    return spot.said


def _cautions(spot: Checks, line: Line, judged: bool) -> tuple[str, ...]:
    """The hazard of a line, shown where it stands and not again in the outing."""
    if not line.caution:
        return ()
    return (shown(line.caution),)


def _open(states: Sequence[LineState]) -> tuple[str, str]:
    left = [shown(s.line.name) for s in states if s.asked]
    if not left:
        return "Open", ""
    words = ", ".join(left[:6]) + (f" and {len(left) - 6} more" if len(left) > 6 else "")
    return f"Open {len(left)}", words


def _said(answer: str | None) -> str:
    return "" if answer in (None, "done", "each") else str(answer)


def _with_verdict(view: CheckView, spot: Checks) -> CheckView:
    from dataclasses import replace

    done = spot.outcome
    assert done is not None
    judged = done.judged
    status = VERDICTS.get(judged.verdict) if judged.verdict is not None else None
    limit: Limit | None = judged.limit
    bounds = reading = None
    words = ""
    if limit is not None and view.kind in ("value", "count"):
        info = catalogue.info(limit.key)
        if info is not None:
            bounds, reading = bounds_of(limit, info), gauge_reading(limit, info)
            words = _bank_words(limit)
    steps = [("1", "read again")]
    if done.line.id == "pack-volts":
        steps.append(("2", "another pack, or fewer minutes"))
    actions = "; ".join(shown(a) for a in judged.actions[:2])
    return replace(
        view, verdict=status, sentence=shown(judged.words or "Not as it should be."), bounds=bounds, reading=reading,
        bounds_words=words, next_steps=tuple(steps), note=actions, members=view.members,
    )  # fmt: skip


def _bank_words(limit: Limit) -> str:
    info = catalogue.info(limit.key)
    assert info is not None
    if limit.shown_low is not None and limit.shown_high is None:
        return f"{fitted_reading(f'{in_display(limit.shown_low, info):g}', '')[0]} at least"
    if limit.shown_high is not None and limit.shown_low is None:
        return f"{in_display(limit.shown_high, info):g} at most"
    return ""
