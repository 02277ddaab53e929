"""From a walk's question to what its page shows: words, plate, verdict, what is open."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from divelog.app.check_page import CheckView
from divelog.app.display import bounds_of, fitted_reading, gauge_reading, in_display, limit_words
from divelog.app.look.words import Status
from divelog.app.offers import offers
from divelog.checks.model import Kind
from divelog.checks.state import Mark
from divelog.checks.steps import END, START
from divelog.checks.view import View
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


def question_view(spot: Checks, seen: View) -> CheckView:
    """What the page of one question shows. ``seen``: the walk as it stands, a line asked."""
    line, step = seen.line, seen.step
    assert line is not None
    assert step is not None
    question = step.question
    outcome = spot.outcome
    found = CheckView(
        question=shown(line.do),
        how=shown(line.how),
        label=shown(question.say) or ("Once more before launch" if seen.again else ""),
        critical=seen.critical,
        margin=_margin(seen),
        present=max(0, seen.number - 1),
        unit=shown(question.unit),
        target=_target(seen),
        kind=_kind(question.kind),
        typed=shown(spot.typed_text if outcome is not None else spot.typed.text),
        options=tuple((str(n), shown(words)) for n, words in enumerate(seen.choices, 1))
        if question.kind in (Kind.CHOICE, Kind.WORDS)
        else (),
        chosen=spot.chosen,
        chosen_words=shown(spot.chosen_words() or (spot.typed.text if question.kind is Kind.WORDS else "")),
        cautions=(shown(seen.caution),) if seen.caution else (),
        note=_note(spot, seen),
        open_word=f"Open {len(seen.open)}" if seen.open else "Open",
        open_words=_open(seen.open),
        members=tuple(
            (Status.DONE if said is not None else None, shown(words), shown(_said(said)))
            for words, said in seen.members
        ),
        member=step.index,
    )
    return found if outcome is None else _with_verdict(found, spot)


def reason_view(spot: Checks, seen: View) -> CheckView:
    """What the page shows while a reason or a note is typed; the lines stay in sight."""
    return CheckView(
        question=spot.asking_words or "A note, in your own words",
        how="A digit, or your own words." if spot.asking is not None else "",
        margin=_margin(seen),
        present=max(0, seen.number - 1),
        kind="text",
        typed=shown(spot.typed.text),
        note=spot.fault or _reasons(spot),
    )


def _margin(seen: View) -> tuple[tuple[Status | None, str], ...]:
    return tuple(
        (SIGNS.get(one.mark) if one.mark is not None else None, shown(one.name)) for one in seen.lines
    )


def _reasons(spot: Checks) -> str:
    from divelog.app.spots.checks import REASONS

    return "   ".join(f"{n} {words}" for n, words in enumerate(REASONS, 1)) if spot.asking is not None else ""


def _kind(kind: Kind) -> str:
    if kind in (Kind.VALUE, Kind.HOLD):
        return "value"
    if kind is Kind.WORDS:
        return "choice"
    return str(kind.value)


def _target(seen: View) -> str:
    """The limit of a setting, before it is reached; or the estimate a line shows."""
    limit = seen.target or seen.beside
    info = catalogue.info(limit.key) if limit is not None else None
    if limit is None or info is None:
        return ""
    words = limit_words(limit, info)
    return shown(
        f"{words} {info.display}" if not words.endswith(info.display) and words[-1:].isdecimal() else words
    )


def _note(spot: Checks, seen: View) -> str:
    assert seen.step is not None
    if spot.fault:
        return spot.fault
    if seen.look_again:
        return _LOOK
    if seen.step.part == END:
        left = seen.hold_left
        return (
            f"hold it: {left:.0f} s to go, then the second reading" if left > 0 else "now the second reading"
        )
    if seen.step.part == START:
        return f"the first reading; then {seen.step.question.seconds:.0f} s without touching"
    if seen.rest_left > 0:
        return f"rested in {seen.rest_left / 60:.0f} min; this line may come later: u"
    return spot.said


def _open(names: Sequence[str]) -> str:
    words = ", ".join(shown(name) for name in names[:6])
    return f"{words} and {len(names) - 6} more" if len(names) > 6 else words


def _said(answer: str | None) -> str:
    return "" if answer in (None, "done", "each") else str(answer)


def _with_verdict(view: CheckView, spot: Checks) -> CheckView:
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
    found = offers(judged.actions)
    return replace(
        view, verdict=status, sentence=shown(judged.words or "Not as it should be."), bounds=bounds, reading=reading,
        bounds_words=words, next_steps=tuple((digit, shown(said)) for digit, said in found.steps),
        advice=shown(found.advice), members=view.members,
    )  # fmt: skip


def _bank_words(limit: Limit) -> str:
    info = catalogue.info(limit.key)
    assert info is not None
    if limit.shown_low is not None and limit.shown_high is None:
        return f"{fitted_reading(f'{in_display(limit.shown_low, info):g}', '')[0]} at least"
    if limit.shown_high is not None and limit.shown_low is None:
        return f"{in_display(limit.shown_high, info):g} at most"
    return ""
