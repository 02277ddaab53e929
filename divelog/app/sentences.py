"""Every kind of event in plain words: what a line of the log says, and the figure beside it.

One function a kind. Words of strangers are made harmless where a line is drawn or printed (`divelog.text.shown`); here
they are only put together. Anything of the wrong kind in an event reads as missing, never as nought.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from divelog.app.measured_words import NAMES, figure_of, name_of
from divelog.app.phrases import amount, clause, listed, plain, proof_words, quantity_words, spaced
from divelog.journal.events import Event
from divelog.journal.payload import Quantity, channels_wrong, mapping, number, quantity, text, texts
from divelog.text import shown

Data = Mapping[str, Any]
_NAMES: Mapping[str, str] = MappingProxyType({})
_EVENTS: Mapping[str, Event] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Said:
    """An event in words, and its figure (empty where it has none)."""

    words: str
    figure: str = ""


@dataclass(frozen=True, slots=True)
class Around:
    """What an event may be said with: names of sites by slug, and the ends of runs by the run's identifier."""

    sites: Mapping[str, str] = field(default_factory=lambda: _NAMES)
    ends: Mapping[str, Event] = field(default_factory=lambda: _EVENTS)


def said(event: Event, around: Around | None = None) -> Said:
    """What an event says. One from a newer version is named as that and keeps its secrets."""
    if not event.known:
        return Said(f"{event.what}, from a newer version of the program")
    found = KINDS[event.what](event, event.payload(), around or Around())
    return Said(shown(found.words), shown(found.figure))


def _log_opened(event: Event, data: Data, around: Around) -> Said:
    after = mapping(data.get("after"))
    why = text(after.get("why"))
    begun = f"the log goes on in a new file, because {why}" if why else "log opened"
    device = text(data.get("device"))
    return Said(clause(begun, f"on {device}" if device and not why else ""), text(data.get("program")) or "")


def _filed(event: Event, data: Data, around: Around) -> Said:
    changed = texts(data.get("changed"))
    return Said(
        f"profile changed: {listed([spaced(c) for c in changed])}" if changed else "profile written down"
    )


def _received(event: Event, data: Data, around: Around) -> Said:
    claimed = texts(data.get("claimed"))
    return Said(
        clause(
            clause("received", text(data.get("from")) or "", sep=" from "),
            text(data.get("condition")) or "",
            f"claimed, not proved: {proof_words(claimed)}" if claimed else "",
            sep="; ",
        )
    )


def _handed_over(event: Event, data: Data, around: Around) -> Said:
    taker = text(data.get("to")) or ""
    return Said(clause(clause("handed over", taker, sep=" to "), text(data.get("condition")) or "", sep="; "))


def _measured(event: Event, data: Data, around: Around) -> Said:
    path = text(data.get("path")) or "something"
    item = text(data.get("item"))
    value_ = quantity(data.get("value"))
    if path in NAMES and value_ is not None:
        return Said(f"measured: {name_of(path)}", figure_of(path, value_))
    name = clause(spaced(path.removeprefix("boat.")).replace(".", " "), item or "", sep=" ")
    value = data.get("value")
    dimension = _dimension(path)
    figure = amount(value, dimension) or (text(value) or "")
    return Said(f"measured: {name}", figure)


def _dimension(path: str) -> str:
    from divelog.profiles.facts import field_at  # here, not on top: a program start draws no log

    for whole in (path, f"boat.{path}", f"kit.{path}", f"today.{path}"):
        found = field_at(whole)
        if found is not None:
            return found.dimension
    return ""


def _day_opened(event: Event, data: Data, around: Around) -> Said:
    slug = text(data.get("site")) or ""
    site = around.sites.get(slug, spaced(slug)) or "no site named"
    water = spaced(text(data.get("water")) or "")
    return Said(clause(f"day at {site}", water), amount(data.get("temperature"), "temperature"))


def _day_closed(event: Event, data: Data, around: Around) -> Said:
    return Said("packed up")


def _plan(event: Event, data: Data, around: Around) -> Said:
    depth = amount(data.get("depth"), "length")
    minutes = quantity(data.get("minutes"))
    time = f"{minutes.si / 60.0:.0f} min" if minutes is not None and minutes.si is not None else ""
    far = amount(data.get("distance"), "length")
    words = clause("plan", text(data.get("pack")) or "", sep=": ")
    return Said(clause(words, time, f"{far} off" if far else ""), f"keel {depth}" if depth else "")


def _list(data: Data) -> str:
    from divelog.checks.shipped import title_of

    name = text(data.get("list")) or ""
    return title_of(name) or spaced(name) or "a list"


def _check_started(event: Event, data: Data, around: Around) -> Said:
    return Said(clause(_list(data), spaced(text(data.get("phase")) or "")))


def _check_ended(event: Event, data: Data, around: Around) -> Said:
    left = text(data.get("left"))
    if data.get("complete") is True:
        return Said(f"{_list(data)}: done")
    open_lines = texts(data.get("open"))
    words = clause(f"{_list(data)}: left", f"because {left}" if left else "")
    return Said(words, f"{len(open_lines)} open" if open_lines else "")


def _line(data: Data) -> str:
    listed_in = _list(data)
    return f"{spaced(text(data.get('line')) or 'a line')} ({listed_in[:1].lower()}{listed_in[1:]})"


def _answer(data: Data) -> str:
    answer = data.get("answer")
    if isinstance(answer, list):
        pairs = [mapping(each) for each in answer]
        return listed(
            [clause(text(p.get("member")) or "", text(p.get("answer")) or "", sep=" ") for p in pairs if p]
        )
    if isinstance(answer, bool):
        return "done" if answer else ""
    if isinstance(answer, int | float):
        return f"{answer:g}"
    return text(answer) or ""


def _check_answered(event: Event, data: Data, around: Around) -> Said:
    limit = mapping(data.get("limit"))
    value = quantity(data.get("value"))
    figure = (value.typed or f"{value.si:g}") if value is not None and value.si is not None else ""
    verdict = {"outside": "OUTSIDE"}.get(
        text(data.get("verdict")) or "", spaced(text(data.get("verdict")) or "")
    )
    against = text(limit.get("shown"))
    words = clause(
        verdict, f"limit {against}" if verdict and against else "", _answer(data) if not figure else ""
    )
    gives, fails = texts(data.get("gives")), texts(data.get("fails"))
    proved = clause(
        f"proved: {proof_words(gives)}" if gives else "",
        f"undone: {proof_words(fails)}" if fails else "",
        sep="; ",
    )
    return Said(clause(clause(_line(data), words, sep=": "), proved, sep="; "), figure)


def _check_skipped(event: Event, data: Data, around: Around) -> Said:
    state = {"unknown": "can't tell"}.get(text(data.get("state")) or "", text(data.get("state")) or "skipped")
    reason = text(data.get("reason"))
    return Said(f"{_line(data)}: {clause(state, reason or '')}")


def _check_paused(event: Event, data: Data, around: Around) -> Said:
    return Said(f"paused: {_line(data)}")


def _check_resumed(event: Event, data: Data, around: Around) -> Said:
    away = number(data.get("seconds"))
    return Said(f"carried on: {_line(data)}", f"after {away / 60.0:.0f} min" if away is not None else "")


def _launch(event: Event, data: Data, around: Around) -> Said:
    still = texts(data.get("open"))
    reasons = [text(why) or "no reason" for why in mapping(data.get("because")).values()]
    items = listed([spaced(each) for each in still])
    words = f"launch called, open: {items}" if still else "launch called, nothing open"
    over = f"; goes with a defect because {listed(reasons)}" if reasons else ""
    return Said(words + over, f"{len(still)} open" if still else "")


def _opened(event: Event, data: Data, around: Around) -> Said:
    which = listed(texts(data.get("which"))) or "she"
    lifted = ", ring taken out" if data.get("lifted") is True else ""
    return Said(f"opened: {which}{lifted}", text(data.get("place")) or "")


def _closed(event: Event, data: Data, around: Around) -> Said:
    which = texts(data.get("which"))
    count = number(data.get("count"))
    many = f"{count:.0f} closures" if count is not None else f"{len(which)} closures"
    ballast = text(data.get("ballast"))
    air = amount(data.get("air_temperature"), "temperature")
    return Said(
        clause("closed up", many, f"ballast {ballast}" if ballast else ""), f"in {air}" if air else ""
    )


def _fitted(event: Event, data: Data, around: Around) -> Said:
    part = text(data.get("part")) or "a part"
    item = text(data.get("item")) or ""
    old, new = text(data.get("old")) or "", text(data.get("new")) or ""
    change = f"{old} out, {new} in" if old and new else f"{new}" if new else f"{old} out" if old else ""
    seals = texts(data.get("seals"))
    words = clause(clause(part, item, sep=" "), change, f"seals touched: {listed(seals)}" if seals else "")
    mass = quantity(data.get("mass_change"))
    return Said(f"fitted: {words}", _signed(mass))


def _signed(mass: Quantity | None) -> str:
    if mass is None or mass.si is None or not mass.si:
        return ""
    return f"{1000.0 * mass.si:+.0f} g"


def _mass(event: Event, data: Data, around: Around) -> Said:
    piece = text(data.get("piece")) or "lead"
    start, end = text(data.get("from")), text(data.get("to"))
    way = clause(f"from {start}" if start else "", f"to {end}" if end else "", sep=" ")
    return Said(clause(f"moved: {piece}", way, sep=" "), amount(data.get("mass"), "mass"))


def _radio(event: Event, data: Data, around: Around) -> Said:
    names = {"bound": "bound again"}
    return Said(
        f"radio: {listed([names.get(c, c + ' changed') for c in texts(data.get('changed'))]) or 'changed'}"
    )


def _switched(event: Event, data: Data, around: Around) -> Said:
    device = text(data.get("device")) or "something"
    why = text(data.get("for"))
    purpose = f" for {why}" if why not in (None, "", "none") else ""
    return Said(f"{device} switched {text(data.get('to')) or 'over'}{purpose}")


def _knocked(event: Event, data: Data, around: Around) -> Said:
    kind = text(data.get("kind")) or "knocked"
    return Said({"heat": "over an hour in the heat, above 40 degC"}.get(kind, f"{kind} (a knock)"))


def deepest_words(value: object) -> str:
    """``0.9 m, seen``."""
    found = quantity(value)
    if found is None:
        return ""
    return clause(quantity_words(found, "length"), found.how or "")


def _run_started(event: Event, data: Data, around: Around) -> Said:
    end = around.ends.get(event.id)
    pack = text(data.get("pack")) or ""
    if end is None:
        return Said(clause("run begun", pack), "no end yet")
    from divelog.clock import span

    plain_times = event.happened is None and end.happened is None
    found = (
        span(event.at, end.at, event.up, end.up, event.boot, end.boot)
        if plain_times
        else span(event.at, end.at)
    )
    done = end.payload()
    minutes = f"{found.seconds / 60.0:.0f} min" if found.seconds >= 0 else "no length"
    return Said(clause("run", minutes, text(done.get("pack")) or pack), deepest_words(done.get("deepest")))


def _run_ended(event: Event, data: Data, around: Around) -> Said:
    reason = text(data.get("reason"))
    return Said(clause("run ended", reason or "", sep=": "), deepest_words(data.get("deepest")))


def _mark(event: Event, data: Data, around: Around) -> Said:
    return Said(clause("mark", text(data.get("kind")) or "", sep=": "))


def _mark_named(event: Event, data: Data, around: Around) -> Said:
    return Said(
        f"mark in words: {clause(text(data.get('kind')) or '', text(data.get('text')) or '')}".rstrip(": ")
    )


def _incident(event: Event, data: Data, around: Around) -> Said:
    cause, worked = text(data.get("cause")), text(data.get("worked"))
    damage = text(data.get("damage"))
    words = clause(
        text(data.get("step")) or "a depth incident",
        f"because {cause}" if cause else "",
        f"what worked: {worked}" if worked else "",
        f"damage: {damage}" if damage else "",
        sep="; ",
    )
    source = text(data.get("source")) or ""
    return Said(words, clause(amount(data.get("depth"), "length"), source))


_SIGNALS = {
    "glitch": "a glitch of the signal",
    "drop": "the signal dropped",
    "lost": "SIGNAL LOST",
    "back": "seen again",
}


def _signal(event: Event, data: Data, around: Around) -> Said:
    kind = text(data.get("kind")) or ""
    on = [name for name, key in (("motor", "motor_on"), ("pump", "pump_on")) if data.get(key) is True]
    far = amount(data.get("distance"), "length")
    words = _SIGNALS.get(kind, f"signal: {kind}" if kind else "something with the signal")
    return Said(clause(words, f"{listed(on)} on" if on else ""), f"{far} off" if far else "")


def _tripped(event: Event, data: Data, around: Around) -> Said:
    trigger = text(data.get("trigger")) or ""
    real = data.get("real")
    how = " for real" if real is True else " on purpose" if real is False else ""
    wrong = channels_wrong(data)
    right = "every channel right" if mapping(data.get("channels")) and not wrong else ""
    seconds = quantity(data.get("seconds"))
    figure = f"{seconds.si:.1f} s" if seconds is not None and seconds.si is not None else ""
    return Said(
        clause(f"failsafe tripped{how}", trigger, f"WRONG: {listed(wrong)}" if wrong else right), figure
    )


def water_words(data: Data) -> str:
    """What was found inside: ``a teaspoon, aft``; *not looked* is said, never nought."""
    if data.get("looked") == "not":
        return "not looked for water"
    if data.get("flooded") is True:
        return "flooded"
    word = text(data.get("word"))
    found = word or amount(data, "volume") or "water, how much nobody wrote"
    end = text(data.get("end"))
    return clause(found, end if end not in (None, "none") else "")


def _water(event: Event, data: Data, around: Around) -> Said:
    looked = text(data.get("looked"))
    how = {"opened": "opened", "window": "through the window"}.get(looked or "", "")
    allowance = number(data.get("allowance"))
    si = number(data.get("si"))
    over = "; more than allowed" if si is not None and si > (allowance or 0.0) else ""
    figure = f"{plain(si, 'volume')} mL" if si is not None else ""
    return Said(f"water: {clause(water_words(data), how)}{over}", figure)


def _charged(event: Event, data: Data, around: Around) -> Said:
    to = {"full": "charged full", "storage": "put to storage"}.get(text(data.get("to")) or "", "charged")
    return Said(f"{text(data.get('pack')) or 'a pack'} {to}", amount(data.get("charge"), "charge"))


def _serviced(event: Event, data: Data, around: Around) -> Said:
    item = spaced(text(data.get("item")) or "something").replace("seal.", "seal ")
    used, seals = text(data.get("consumable")), texts(data.get("seals"))
    hours = quantity(data.get("hours_at"))
    figure = f"at {hours.si / 3600.0:.1f} h" if hours is not None and hours.si is not None else ""
    return Said(
        clause(f"serviced: {item}", used or "", f"seals lifted: {listed(seals)}" if seals else ""), figure
    )


def _defect(event: Event, data: Data, around: Around) -> Said:
    stops = "stops launch" if data.get("stops_launch") is True else ""
    return Said(f"defect: {text(data.get('defect')) or 'no words'}", stops)


def _defect_closed(event: Event, data: Data, around: Around) -> Said:
    words, check = text(data.get("words")), text(data.get("check"))
    return Said(
        clause(clause("defect closed", words or "", sep=": "), f"proved by {spaced(check)}" if check else "")
    )


def _defect_overruled(event: Event, data: Data, around: Around) -> Said:
    return Said(f"defect overruled for the next launch: {text(data.get('reason')) or 'no reason'}")


def _state(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict):
        return listed([clause(str(k), _state(v), sep=" ") for k, v in value.items()])
    return listed(texts(value))


def _stored(event: Event, data: Data, around: Around) -> Said:
    pairs = [f"{key} {_state(data.get(key))}" for key in ("packs", "rings", "vents") if _state(data.get(key))]
    return Said(clause("laid up", clause(*pairs), sep=": "))


def _note(event: Event, data: Data, around: Around) -> Said:
    about = text(data.get("about"))
    return Said(
        clause("note", text(data.get("text")) or "", sep=": "),
        about or ("" if data.get("private") is False else "private"),
    )


def _corrected(event: Event, data: Data, around: Around) -> Said:
    why = text(data.get("why"))
    done = "an event made void" if data.get("void") is True else "an event corrected"
    return Said(clause(done, f"because {why}" if why else ""))


def _jumped(event: Event, data: Data, around: Around) -> Said:
    before, after = text(data.get("before")) or "", text(data.get("after")) or ""
    if before and after:
        return Said(f"the clock was set from {_clock(before)} to {_clock(after)}")
    return Said("the clock was set")


def _clock(stamp: str) -> str:
    return stamp[:16].replace("T", " ")


KINDS: Mapping[str, Callable[[Event, Data, Around], Said]] = MappingProxyType(
    {
        "log.opened": _log_opened,
        "boat.filed": _filed,
        "boat.received": _received,
        "boat.handed_over": _handed_over,
        "measured": _measured,
        "day.opened": _day_opened,
        "day.closed": _day_closed,
        "plan.set": _plan,
        "check.started": _check_started,
        "check.ended": _check_ended,
        "check.answered": _check_answered,
        "check.skipped": _check_skipped,
        "check.paused": _check_paused,
        "check.resumed": _check_resumed,
        "launch.called": _launch,
        "opened": _opened,
        "closed": _closed,
        "fitted": _fitted,
        "mass.moved": _mass,
        "radio.changed": _radio,
        "switched": _switched,
        "knocked": _knocked,
        "run.started": _run_started,
        "run.ended": _run_ended,
        "mark": _mark,
        "mark.named": _mark_named,
        "incident": _incident,
        "signal": _signal,
        "failsafe.tripped": _tripped,
        "water.found": _water,
        "charged": _charged,
        "serviced": _serviced,
        "defect.opened": _defect,
        "defect.closed": _defect_closed,
        "defect.overruled": _defect_overruled,
        "stored": _stored,
        "note": _note,
        "corrected": _corrected,
        "clock.jumped": _jumped,
    }
)
"""One sentence-maker for every kind of event."""
