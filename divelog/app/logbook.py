"""The log as a person reads it: which lines stand in the list, and what stands on the page of one of them. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from types import MappingProxyType
from typing import Any

from divelog.app.frames import clock_words, date_words, moment_words
from divelog.app.phrases import clause, listed, plain, quantity_words, spaced
from divelog.app.sentences import Around, said, water_words
from divelog.history.incidents import Incident, Signal, Trip
from divelog.history.runs import Run
from divelog.journal.events import Event
from divelog.journal.loading import LoadedJournal
from divelog.journal.payload import Quantity, channels_wrong, mapping, number, quantity, text
from divelog.session.entries import SHAPES
from divelog.session.spent import Spent

TITLES: Mapping[str, str] = MappingProxyType(
    {
        "log.opened": "log", "boat.filed": "profile", "boat.received": "received", "boat.handed_over": "handed over",
        "measured": "measured", "day.opened": "day", "day.closed": "day", "plan.set": "plan", "check.started": "list",
        "check.ended": "list", "check.answered": "answer", "check.skipped": "skipped", "check.paused": "paused",
        "check.resumed": "carried on", "launch.called": "launch", "opened": "opened", "closed": "closed up",
        "fitted": "fitted", "mass.moved": "moved", "radio.changed": "radio", "switched": "switched", "knocked": "knock",
        "run.started": "run", "run.ended": "run ended", "mark": "mark", "mark.named": "mark", "incident": "incident",
        "signal": "signal", "failsafe.tripped": "failsafe", "water.found": "water", "charged": "charged",
        "serviced": "serviced", "defect.opened": "defect", "defect.closed": "defect", "defect.overruled": "overruled",
        "stored": "laid up",
        "note": "note", "corrected": "correction", "clock.jumped": "clock",
    }
)  # fmt: skip
"""What a line is, in a word or two: at most thirteen columns."""

_LOUD = frozenset({"incident", "signal", "defect.opened"})

_IN_A_WALK = frozenset(
    {
        "check.answered",
        "check.skipped",
        "check.paused",
        "check.resumed",
        "check.ended",
        "measured",
        "switched",
        "closed",
    }
)
_OF_A_RUN = frozenset({"run.ended", "mark", "mark.named", "measured"})
_OWN = frozenset({"log.opened"})


@dataclass(frozen=True, slots=True)
class Fact:
    """One line of a page: a word at the left, and what it says."""

    word: str
    text: str
    loud: bool = False


def title_of(event: Event) -> str:
    """What a line is."""
    return TITLES.get(event.what, "newer") if event.known else "newer"


def loud(event: Event) -> bool:
    """Whether a line stands out: what went wrong, and a failsafe that tripped for real or did the wrong thing."""
    if event.what == "failsafe.tripped" and event.known:
        data = event.payload()
        return data.get("real") is True or bool(channels_wrong(data))
    return event.what in _LOUD


def chosen(log: LoadedJournal, every: bool) -> tuple[Event, ...]:
    """The lines of the list, newest first. In short: a list walked, or a run, is one line and holds its own.

    ``every``: each line as it was written, corrections and void ones too. Nothing is decoded.
    """
    if every:
        return tuple(reversed(log.lines))
    started = {event.id for event in log.events if event.what == "run.started"}
    walking: set[str | None] = set()
    kept: list[Event] = []
    for event in log.events:
        what = event.what
        if what == "check.started":
            walking.add(event.boat)
        elif what == "failsafe.tripped" and event.boat in walking and not loud(event):
            continue
        elif what in _IN_A_WALK and event.boat in walking:
            if what == "check.ended":
                walking.discard(event.boat)
            continue
        elif what in _OWN or (what in _OF_A_RUN and event.run in started):
            continue
        kept.append(event)
    kept.reverse()
    return tuple(kept)


def run_ends(events: Iterable[Event]) -> dict[str, Event]:
    """The end of each run by the run's identifier."""
    return {event.run: event for event in events if event.what == "run.ended" and event.run is not None}


def rest_of(title: str, words: str) -> str:
    """A sentence without the word that stands in its title already."""
    if words.casefold().startswith(title.casefold()):
        rest = words[len(title) :].lstrip(":, ")
        return rest or words
    return words


# -- a run ----------------------------------------------------------------------------------------------------------


def run_facts(run: Run, charge: Spent | None, parts: Sequence[Event], sites: Mapping[str, str]) -> list[Fact]:
    """Everything a run left behind, in the order people ask for it; ``parts`` are the events that carry it."""
    facts = [Fact("When", _when(run), True)]
    site = sites.get(run.site or "", run.site or "")
    facts.append(Fact("Where", clause(site or "no day was opened", spaced(run.water_kind or ""))))
    facts.append(Fact("Pack", _pack(run, charge)))
    deep = quantity_words(run.deepest, "length", spread=True) if run.deepest is not None else "nobody wrote"
    facts.append(Fact("Deepest", clause(deep, run.deepest.how or "" if run.deepest is not None else "")))
    if run.limits:
        limits = mapping(run.limits)
        minutes, keel = number(limits.get("minutes")), number(limits.get("keel"))
        words = clause(
            f"{minutes:.0f} min" if minutes is not None else "",
            f"keel {keel:.1f} m" if keel is not None else "",
        )
        facts.append(Fact("Limits", f"at most {words}" if words else "unknown"))
    turned = clause(
        f"{run.shaft_time / 60.0:.0f} min" if run.shaft_time is not None else "",
        f"{run.cycles} ballast cycles" if run.cycles is not None else "",
    )
    if turned:
        facts.append(Fact("Shaft", turned))
    facts.append(_water(run))
    facts += [Fact("Incident", f"{clock_words(i.at)} {incident_words(i)}", True) for i in run.incidents]
    facts += [Fact("Signal", f"{clock_words(s.at)} {signal_words(s)}") for s in run.signals]
    facts += [Fact("Failsafe", f"{clock_words(t.at)} {trip_words(t)}", bool(t.wrong)) for t in run.trips]
    facts += [
        Fact("Mark", f"{clock_words(m.at)} {mark_words(m.named or m.kind, m.words)}") for m in run.marks
    ]
    facts.append(_after(run))
    facts += [Fact("Answered", words) for words in _answers(parts)]
    return facts


def _when(run: Run) -> str:
    if run.start is None:
        return f"ended {clock_words(run.end)}; its start is not here" if run.end is not None else "no time"
    if run.end is None:
        return f"{clock_words(run.start)}, still on"
    length = f"{run.minutes:.0f} min" if run.minutes is not None else "no length"
    wall = " by the clock on the wall" if run.by_wall else ""
    reason = f"; ended: {run.reason}" if run.reason else ""
    return f"{clock_words(run.start)} to {clock_words(run.end)}, {length}{wall}{reason}"


def _pack(run: Run, charge: Spent | None) -> str:
    used = ""
    if charge is not None:
        amount = f"{plain(charge.si, 'charge')} A h, give or take {plain(charge.u95, 'charge')}"
        used = f"{amount}, {charge.how}"
    return clause(run.pack or "nobody wrote which", used or "what it took is not known", sep="; ")


def _water(run: Run) -> Fact:
    water = run.water
    if water is None:
        return Fact("Water", "nobody wrote whether she was dry")
    data = {
        "word": water.word, "si": water.amount.si, "end": water.end, "looked": water.looked, "flooded": water.flooded,
    }  # fmt: skip
    how = {"opened": "opened", "window": "through the window"}.get(water.looked or "", "")
    allowed = f"{plain(water.allowance, 'volume')} mL allowed" if water.allowance is not None else ""
    return Fact("Water", clause(water_words(data), how, allowed), water.over)


def incident_words(incident: Incident) -> str:
    """A depth incident: its step, how deep and how that is known, why, what worked, what broke."""
    depth = quantity_words(incident.depth, "length", spread=True) if incident.depth is not None else ""
    words = clause(incident.step or "a depth incident", depth, incident.source or "")
    extra = clause(
        incident.cause or "",
        f"what worked: {incident.worked}" if incident.worked else "",
        f"damage: {incident.damage}" if incident.damage else "",
        sep="; ",
    )
    return clause(words, extra, sep=": ")


def signal_words(signal: Signal) -> str:
    """A glitch, a drop, a loss or a return, and how far off she was."""
    return clause(signal.kind or "unnamed", _far(signal.distance))


def trip_words(trip: Trip) -> str:
    """A failsafe that tripped, and which channels did the wrong thing."""
    return clause(trip.trigger or "tripped", f"WRONG: {listed(trip.wrong)}" if trip.wrong else "")


def _far(distance: Quantity | None) -> str:
    return (
        f"{quantity_words(distance, 'length')} off"
        if distance is not None and distance.si is not None
        else ""
    )


def mark_words(kind: str | None, words: str | None) -> str:
    """A mark, in the words put to it afterwards."""
    return clause(kind or "", words or "", sep=": ") or "no words put to it yet"


def _after(run: Run) -> Fact:
    if run.still_on:
        return Fact("List", "she is still out")
    if run.after_run is None:
        return Fact("List", "the list after this run is not answered", True)
    still = f"; open: {listed([spaced(each) for each in run.after_run.open])}" if run.after_run.open else ""
    if run.after_run.complete:
        return Fact("List", f"the list after this run is answered{still}")
    why = run.after_run.reason or "nobody said why"
    return Fact("List", f"the list after this run was left: {why}{still}", True)


def _answers(parts: Sequence[Event]) -> list[str]:
    lists = [event for event in parts if event.what in ("check.answered", "check.skipped")]
    found = []
    for event in lists:
        one = said(event)
        found.append(clause(one.words, one.figure))
    return found


# -- a list that was walked -----------------------------------------------------------------------------------------


def walk_facts(events: Sequence[Event], at: int) -> list[Fact]:
    """A list that was walked, from its ``check.started`` at an index to its end: each answer with its time."""
    begun = events[at]
    facts = [Fact("List", said(begun).words, True), Fact("When", _moment(begun))]
    for event in events[at + 1 :]:
        if event.boat != begun.boat:
            continue
        if event.what == "check.started":
            break
        if event.what not in _OWN:
            one = said(event)
            bad = text(event.payload().get("verdict")) in ("outside", "too_close") if event.known else False
            facts.append(Fact(clock_words(event.local), clause(one.words, one.figure), bad or loud(event)))
        if event.what == "check.ended":
            break
    return facts


# -- any event ------------------------------------------------------------------------------------------------------


def event_facts(event: Event, log: LoadedJournal, around: Around) -> list[Fact]:
    """One event in plain words, with everything it holds, and who corrected it."""
    one = said(event, around)
    facts = [Fact("What", clause(one.words, one.figure), True), Fact("When", _moment(event))]
    if event.happened is not None:
        facts.append(Fact("Written", moment_words(event.when, True)))
    if event.by:
        facts.append(Fact("By", event.by))
    shape = SHAPES.get(event.what, {})
    for key, value in event.payload().items():
        kind = shape.get(key)
        words = amount_words(value, kind.dimension) if kind is not None and kind.dimension else ""
        facts.append(Fact(spaced(str(key))[:11], words or value_words(value)))
    correction = log.changed.get(event.id) or log.voided.get(event.id)
    if correction is not None:
        found = next((each for each in log.corrections if each.id == correction), None)
        words = said(found).words if found is not None else "corrected"
        when = f"{date_words(found.local, True)}: " if found is not None else ""
        facts.append(Fact("Corrected", when + words, True))
    facts.append(Fact("Event", f"{event.id}, {event.what}"))
    return facts


def _moment(event: Event) -> str:
    words = moment_words(event.local, True)
    doubt = event.half_width
    return f"{words}, give or take {doubt / 60:.0f} min" if doubt else words


def amount_words(value: Any, dimension: str) -> str:
    """A quantity of an event with its unit and its ±; a time from two minutes up in minutes."""
    found = quantity(value)
    if found is None:
        return ""
    if dimension == "time" and not found.typed and found.si is not None and found.si >= 120.0:
        return f"{found.si / 60.0:.0f} min"
    return clause(quantity_words(found, dimension, spread=True), found.how or "")


def value_words(value: Any, depth: int = 0) -> str:
    """A value of an event in words, as deep as anybody can read."""
    if depth > 3:
        return "more"
    if isinstance(value, dict):
        found = quantity(value)
        if found is not None and (found.typed or found.si is None):
            return clause(found.typed or found.state or "unknown", found.how or "")
        return (
            clause(*(f"{spaced(str(k))} {value_words(v, depth + 1)}" for k, v in value.items())) or "nothing"
        )
    if isinstance(value, list):
        return clause(*(value_words(each, depth + 1) for each in value[:20])) or "nothing"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if value is None:
        return "unknown"
    if isinstance(value, float):
        return f"{value:.6g}"
    return str(value)


def day_words(moment: datetime, now: datetime) -> str:
    """The day of a line: ``Tue 4 May``, and the year instead of the weekday where it is another."""
    words = date_words(moment, moment.year != now.year)
    return words if moment.year == now.year else words.split(" ", 1)[1]
