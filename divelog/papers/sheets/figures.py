"""Limits, signs and times in the words of a paper."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date

from divelog import units
from divelog.checks.state import Mark
from divelog.clock import day_month
from divelog.limits import catalogue
from divelog.limits.model import Limit, Verdict
from divelog.papers.sheets.model import Big, Row
from divelog.profiles.document import Fact, State
from divelog.profiles.facts import plain_value
from divelog.text import shown

VERDICTS = {
    Verdict.WITHIN: "+ within", Verdict.OUTSIDE: "X OUTSIDE", Verdict.TOO_CLOSE: "~ too close",
    Verdict.NO_READING: ". no reading", Verdict.UNKNOWN: "? unknown", Verdict.TO_PROVE: "! to prove",
    Verdict.NOT_FITTED: "/ not fitted", Verdict.NONE: "",
}  # fmt: skip
MARKS = {
    Mark.DONE: "= done", Mark.WITHIN: "+ within", Mark.OUTSIDE: "X OUTSIDE", Mark.TOO_CLOSE: "~ too close",
    Mark.UNKNOWN: "? unknown", Mark.SKIPPED: "- skipped", Mark.NOT_FITTED: "/ not fitted", Mark.TO_PROVE: "! to prove",
}  # fmt: skip
_NUMBER = re.compile(r"[+-]?\d+(?:\.\d+)?")


def day_words(at: date) -> str:
    """A date in English, whatever the machine speaks: ``4 May 2032``."""
    return f"{day_month(at)} {at.year}"


def edge(limit: Limit | None) -> str:
    """A limit as it is shown, with the word for its end; empty where none is known."""
    if limit is None or limit.verdict in (Verdict.UNKNOWN, Verdict.NOT_FITTED):
        return ""
    if limit.shows_reading:
        return shown(limit.shown)
    return between(limit.shown, limit.shown_low, limit.shown_high)


def between(words: str, low: object, high: object) -> str:
    """The words of a limit with the word for its end, where it has one end and they do not say so themselves."""
    if not words or words.startswith("at ") or " to " in words or (low is None) == (high is None):
        return shown(words)
    return shown(f"at least {words}" if high is None else f"at most {words}")


def plain_fact(fact: Fact | None) -> str:
    """What a file or a measurement says, in the words it was said in; empty where nothing is said."""
    if fact is None:
        return ""
    if fact.state is not State.KNOWN:
        return str(fact.state.value)
    if isinstance(fact.value, bool):
        return "yes" if fact.value else "no"
    if isinstance(fact.value, date):
        return day_words(fact.value)
    if fact.typed:
        return fact.typed
    if isinstance(fact.value, tuple):
        return ", ".join(v if isinstance(v, str) else " ".join(map(str, v)) for v in fact.value)
    return str(plain_value(fact.value))


def reading_words(limit: Limit) -> str:
    """What was read, as it was said, else in the unit people read; empty where nothing was."""
    info = catalogue.info(limit.key)
    if limit.reading_text or limit.reading is None or info is None:
        return shown(limit.reading_text)
    if not info.reads:
        return ""
    try:
        value = units.to_unit(limit.reading.si, info.display, info.reads)
    except units.UnitFaultError:
        return ""
    return f"{value:.3g} {info.display}"


def limit_row(limit: Limit) -> Row:
    """One limit as a row: sign word first."""
    item = limit.item if limit.item not in ("under control", "steady") else ""
    name = f"{limit.title}, {item}" if item else limit.title
    if limit.verdict is Verdict.UNKNOWN:
        why = limit.remark or (f"needs {limit.missing[0].removeprefix('boat.')}" if limit.missing else "")
        return Row(VERDICTS[limit.verdict], shown(name), "", shown(why))
    if limit.kind != "limit":
        return Row("", shown(name), shown(limit.shown), shown(limit.remark))
    return Row(
        VERDICTS[limit.verdict],
        shown(name),
        reading_words(limit),
        edge(limit),
        limit.verdict is Verdict.OUTSIDE,
    )


def pond_limits(limits: Iterable[Limit], left_out: Iterable[str] = ()) -> tuple[Limit, ...]:
    """Those that rule at the water, without those that stand elsewhere on the paper."""
    gone = frozenset(left_out)
    found = []
    for one in limits:
        info = catalogue.info(one.key)
        if (
            info is not None
            and info.where == "pond"
            and one.name not in gone
            and one.verdict is not Verdict.NOT_FITTED
        ):
            found.append(one)
    return tuple(found)


def big(title: str, limit: Limit | None, unit: str, blank: bool) -> Big:
    """A large number out of a limit: its shown number alone, or a blank."""
    if blank or limit is None or limit.verdict is Verdict.UNKNOWN or not limit.shown:
        why = ""
        if limit is not None and not blank:
            why = limit.remark or (f"needs {limit.missing[0].removeprefix('boat.')}" if limit.missing else "")
        return Big(title, "", unit, shown(why or ("" if blank else "unknown")))
    # "8.12 V", "54 min*", or a number inside words: "charged full, at least 9.9 A h".
    found = _NUMBER.search(limit.shown)
    if found is None:
        return Big(title, "", unit, shown(limit.shown))
    lead = limit.shown[: found.start()].removesuffix("at least ").removesuffix("at most ").strip(" ,")
    tail = limit.shown[found.end() :].strip()
    star = "*" if tail.endswith("*") else ""
    remark = ", ".join(part for part in (lead, ", ".join(limit.binds) or limit.remark) if part)
    return Big(title, shown(found[0] + star), shown(tail.removesuffix("*")) or unit, shown(remark, 120))
