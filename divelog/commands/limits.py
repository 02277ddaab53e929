"""``divelog limits``, ``explain``, ``keys`` and ``units``: numbers and where they come from."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterable
from typing import Any

from divelog import __version__, units
from divelog.commands.asked import pair
from divelog.commands.asked import question as asked_of
from divelog.commands.out import data, say, tell
from divelog.exits import CallError, Exit
from divelog.limits.model import KeyInfo, Limit, Verdict
from divelog.profiles.document import Document, Num
from divelog.profiles.facts import field_at, slug_or_empty
from divelog.text import shown

SIGNS = {
    Verdict.WITHIN: "+ within", Verdict.OUTSIDE: "X OUTSIDE", Verdict.TOO_CLOSE: "~ too close",
    Verdict.NO_READING: ". no reading", Verdict.UNKNOWN: "? unknown", Verdict.TO_PROVE: "! to prove",
    Verdict.NOT_FITTED: "/ not fitted", Verdict.NONE: "  -",
}  # fmt: skip
_OPEN = (Verdict.OUTSIDE, Verdict.TOO_CLOSE, Verdict.UNKNOWN, Verdict.TO_PROVE)


def run_limits(words: Namespace) -> int:
    """Limits, verdicts on readings, as text or one JSON object."""
    from divelog.limits import catalogue, readings
    from divelog.limits.report import counts, result

    if words.only:
        unknown = [name for name in words.only if catalogue.info(name) is None]
        if unknown:
            raise CallError(f"no key called {unknown[0]!r}; `divelog keys` lists them")
    question = asked_of(words)
    if question is None:
        return Exit.FAULT
    session, asked, facts = question.session, question.asked, question.facts
    sheet = session.sheet(asked, facts)
    taken: dict[tuple[str, str], Num] = {}
    answers: dict[tuple[str, str], str] = {}
    for text in words.reading:
        where, value = pair(text)
        name, _, item = where.partition(":")
        info = catalogue.info(name)
        if info is None:
            raise CallError(f"no key called {name!r}; `divelog keys` lists them")
        try:
            from divelog.checks.words import amount

            word = amount(value)
            if word is not None and info.reads == "volume":
                taken[name, item] = word
                answers[name, item] = value
                continue
            taken[name, item] = readings.read(sheet, info, value)
        except units.UnitFaultError as error:
            raise CallError(f"--reading {name}: {error}") from error
    if taken:
        sheet = session.sheet(asked, facts, taken, answers)
    limits = catalogue.work_out(sheet, words.only)
    if words.json:
        data(
            {
                "schema": "divelog.limits/1",
                "program": __version__,
                "boat": asked.slug,
                "profile": asked.boat.digest,
                "site": slug_or_empty(facts.site.text_at("name")) or None,
                "at": asked.at.isoformat(),
                "today": _today_data(facts.today),
                "results": [result(limit) for limit in limits],
                "counts": counts(limits),
            }
        )
    else:
        for row in table(limits, words.why):
            say(row)
        tally = counts(limits)
        tell(f"{tally['assumed_inputs']} of {tally['inputs']} inputs are assumed (*)")
    for notice in session.notices:
        tell(shown(notice))
    return Exit.NOT_WITHIN if words.strict and any(x.verdict in _OPEN for x in limits) else Exit.DONE


def _today_data(today: Document) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for path, fact in sorted(today.facts.items()):
        if isinstance(fact.value, Num):
            field = field_at(f"today.{path}")
            unit = units.DIMENSIONS[field.dimension].si if field is not None else ""
            found[path] = {
                "si": fact.value.si, "u95": fact.value.u95, "unit": unit, "basis": fact.basis.value,
            }  # fmt: skip
        elif isinstance(fact.value, str | bool | float):
            found[path] = fact.value
    return found


def table(limits: Iterable[Limit], why: bool) -> list[str]:
    """Rows of plain text: sign, title, reading, limit."""
    rows = []
    for one in limits:
        title = f"{one.title} ({one.item})" if one.item else one.title
        shown_text = words_of(one)
        reading = one.reading_text or (f"{_reading(one)}" if one.reading is not None else "")
        rows.append(
            f"{SIGNS[one.verdict]:<13}{shown(title)[:38]:<39}{shown(reading)[:14]:<15}{shown_text}".rstrip()
        )
        if why:
            rows.extend(f"{'':<13}  {shown(line)}" for line in one.why)
            rows.extend(f"{'':<13}  source: {shown(line)}" for line in one.source)
            rows.extend(f"{'':<13}  caution: {shown(line)}" for line in one.cautions)
        if one.missing:
            rows.append(f"{'':<13}  missing: {', '.join(one.missing)}")
    return rows


def words_of(one: Limit) -> str:
    """The limit in words: at most, at least, a band; with a remark."""
    from divelog.limits import catalogue

    info = catalogue.info(one.key)
    sense = info.sense if info is not None else ""
    lead = {"max": "at most ", "min": "at least "}.get(sense, "")
    if sense in ("estimate", "advice") and one.shown_low is not None and one.shown_high is None:
        lead = "at least "
    shown_text = one.shown.removeprefix(lead)
    if (
        one.shows_reading
        or one.verdict in (Verdict.UNKNOWN, Verdict.NOT_FITTED)
        or not (shown_text and shown_text[0] in "0123456789+-.")
    ):
        lead = ""
    remark = f"  ({shown(one.remark)})" if one.remark else ""
    return f"{lead}{shown(shown_text)}{remark}"


def _reading(one: Limit) -> str:
    from divelog.limits import catalogue

    assert one.reading is not None
    info = catalogue.info(one.key)
    if info is None:
        return f"{one.reading.si:g}"
    dimension = info.reads or next((d.name for d in units.DIMENSIONS.values() if d.si == info.unit), "")
    unit = info.reading_unit or info.display
    try:
        return f"{units.to_unit(one.reading.si, unit, dimension):.4g} {unit}"
    except (units.UnitFaultError, KeyError):
        return f"{one.reading.si:.4g} {info.unit}"


def run_explain(words: Namespace) -> int:
    """Formula, inputs, range and source of one key."""
    from divelog.limits import catalogue

    info = catalogue.info(words.key)
    if info is None:
        raise CallError(f"no key called {words.key!r}; `divelog keys` lists them")
    if words.json:
        data({"schema": "divelog.explain/1", **key_data(info), "formula": list(info.formula), "valid": info.valid,
              "source": list(info.sources)})  # fmt: skip
        return Exit.DONE
    say(f"{info.key}  {info.title}")
    say(f"  {info.kind}, {info.sense}, in {info.display}, shown to {info.step}; worked out for: {info.where}")
    for label, lines in (("items", [info.items] if info.items else []), ("how", info.formula),
                         ("holds", [info.valid] if info.valid else []), ("needs", info.needs),
                         ("source", info.sources)):  # fmt: skip
        for number, line in enumerate(lines):
            say(f"  {label if number == 0 else '':<8}{line}")
    return Exit.DONE


def key_data(info: KeyInfo) -> dict[str, Any]:
    """One key as ``divelog.keys/1`` has it."""
    return {
        "key": info.key, "item": info.items or None, "kind": info.kind, "sense": info.sense, "unit": info.unit,
        "display": info.display, "step": info.step, "needs": list(info.needs), "where": info.where, "title": info.title,
        "reads": info.reads or None,
    }  # fmt: skip


def run_keys(words: Namespace) -> int:
    """All keys, with sense, unit and rounding."""
    from divelog.limits import catalogue

    infos = [one.info for one in catalogue.every_key()]
    if words.json:
        data({"schema": "divelog.keys/1", "keys": [key_data(i) for i in infos]})
        return Exit.DONE
    for info in infos:
        say(f"{info.key:<26}{info.sense:<10}{info.display:<10}{info.step:<16}{info.title}")
    return Exit.DONE


def run_units(words: Namespace) -> int:
    """Units that may be written, by kind of quantity."""
    kinds = {
        name: list(dict.fromkeys(units.allowed(name))) for name in units.DIMENSIONS if units.allowed(name)
    }
    if words.json:
        data({"schema": "divelog.units/1", "units": kinds})
        return Exit.DONE
    for name, symbols in kinds.items():
        say(f"{name:<24}{', '.join(symbols):<40}  as {units.DIMENSIONS[name].example!r}")
    say("Any other unit by its English name, as inHg or fathom, with ^ for powers and * / between names.")
    return Exit.DONE
