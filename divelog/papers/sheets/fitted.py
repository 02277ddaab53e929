"""Tables of what she is made of, for whoever takes her over: seals, packs, failsafe, weights, the water of her trim."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from divelog.journal.payload import mapping, text
from divelog.papers.sheets.figures import day_words, plain_fact
from divelog.papers.sheets.given import Given
from divelog.papers.sheets.model import Table
from divelog.profiles.document import Document, Fact
from divelog.text import shown
from divelog.upkeep.due import DueRow
from divelog.upkeep.words import sentence

_SEALS = "seal"
_PACK = ("chemistry", "cells", "capacity", "measured.capacity", "measured.on", "resistance", "bought")


def seals(given: Given, boat: Document) -> Table:
    """Each seal of her file: what it is, when it was fitted, what it has done since."""
    dues = {row.item: row for row in given.dues}
    rows = []
    for entry in boat.entries.get(_SEALS, ()):
        say = _sayer(boat, f"{_SEALS}[{entry}].")
        kind = ", ".join(one for one in (say("kind").replace("_", " "), say("rubber"), say("grease")) if one)
        rows.append(
            (
                shown(entry, 30),
                shown(say("where"), 60),
                shown(kind, 60),
                shown(say("fitted") or "date not written down", 30),
                shown(age(given, dues.get(f"{_SEALS}.{entry}"), _fitted_on(boat, entry)), 80),
            )
        )
    return Table(
        "Seals",
        ("seal", "where", "kind, rubber, grease", "fitted", "since"),
        (15, 24, 22, 16, 23),
        tuple(rows),
    )


def _fitted_on(boat: Document, entry: str) -> date | None:
    fact = boat.facts.get(f"{_SEALS}[{entry}].fitted")
    return fact.value if fact is not None and isinstance(fact.value, date) else None


def age(given: Given, row: DueRow | None, fitted: date | None) -> str:
    """How long a seal has been in: as upkeep counts it, else by its date."""
    if row is not None and row.used is not None:
        return sentence(row)
    if fitted is not None:
        return f"{(given.made.date() - fitted).days} d"
    return row.because if row is not None else ""


def pack_names(given: Given) -> tuple[str, ...]:
    """Her packs, those that drive first."""
    receiver = given.boat.text_at("power.receiver_pack")
    found = [*given.boat.texts_at("power.drive_packs")]
    return tuple(dict.fromkeys(found + ([receiver] if receiver and receiver != "from drive" else [])))


def pack_fact(given: Given, pack: str, name: str) -> Fact | None:
    """A fact of a pack out of the kit, as stated or measured."""
    return given.around.facts.get(f"kit.pack[{pack}].{name}")


def packs(given: Given) -> Table:
    """Each pack: chemistry, label, what it held when it was measured, and what it did."""
    rows = []
    for pack in pack_names(given):
        said = {name: plain_fact(pack_fact(given, pack, name)) for name in _PACK}
        cells = said["cells"].removesuffix(".0")
        measured, on, bought = said["measured.capacity"], said["measured.on"], said["bought"]
        used = given.history.pack(pack)
        did = (
            f"{_count(len(used.runs), 'run')}, {used.minutes / 60:.1f} h"
            if used is not None
            else "none in this log"
        )
        rows.append(
            (
                shown(pack, 20),
                shown(f"{said['chemistry'] or 'unknown'}, {cells or '?'} cells", 60),
                shown(said["capacity"] or "unknown", 20),
                shown(f"{measured}, {on}".strip(", ") if measured else "never", 50),
                shown(said["resistance"] or "unknown", 20),
                shown(did + (f"; bought {bought}" if bought else ""), 60),
            )
        )
    heads = ("pack", "chemistry", "label", "measured", "resistance", "used")
    return Table("Packs", heads, (8, 26, 11, 20, 13, 22), tuple(rows))


def _count(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"


def failsafe(given: Given, boat: Document) -> Table:
    """What each channel does at each trigger, and when that was last seen."""
    rows = []
    trips = [one for one in given.history.trips if one.boat == given.slug]
    for entry in boat.entries.get("failsafe", ()):
        say = _sayer(boat, f"failsafe[{entry}].")
        does = boat.facts.get(f"failsafe[{entry}].does")
        pairs = does.value if does is not None and isinstance(does.value, tuple) else ()
        words = "; ".join(f"{_plain(pair[0])} {_plain(pair[1])}" for pair in pairs if isinstance(pair, tuple))
        last = next((one for one in reversed(trips) if one.trigger == entry), None)
        seen = "never in this log"
        if last is not None:
            wrong = f"; WRONG: {', '.join(_plain(one) for one in last.wrong)}" if last.wrong else ""
            real = " for real" if last.real else ""
            seen = f"{day_words(last.at)}{real}: {len(last.channels) - len(last.wrong)} of {len(last.channels)} right{wrong}"
        power = say("powered_from")
        hold = say("hold")
        rows.append(
            (
                shown(entry, 30),
                shown(words, 200),
                shown(hold or "not said", 20),
                shown(power or "not said", 40),
                shown(seen, 120),
            )
        )
    delay = given.around.number("boat.radio.failsafe_delay")
    note = f"First movement {delay.si:.1f} s after the signal is gone." if delay is not None else ""
    heads = ("when", "what each does", "for", "powered from", "last seen")
    return Table("Failsafe", heads, (13, 34, 10, 16, 27), tuple(rows), note)


def weights(given: Given, boat: Document) -> tuple[Table, ...]:
    """Where the lead is: as her file has it, and where pieces lie that were moved in the log."""
    lead = []
    for entry in boat.entries.get("lead", ()):
        say = _sayer(boat, f"lead[{entry}].")
        lead.append((shown(entry, 60), shown(say("mass"), 30), shown(say("x"), 30), shown(say("z"), 30)))
    none = (("no piece of lead is in her file", "", "", ""),)
    heads = ("lead", "mass", "forward of the middle", "above the keel")
    found = [Table("Weights", heads, (37, 18, 25, 20), tuple(lead) or none)]
    moves: dict[str, tuple[str, str, str, str, str]] = {}
    for event in given.events:
        if event.what != "mass.moved" or event.boat != given.slug:
            continue
        data = event.payload()
        piece = text(data.get("piece")) or "lead"
        mass = text(mapping(data.get("mass")).get("typed")) or ""
        ways = [text(data.get(way)) or "not said" for way in ("from", "to")]
        moves[piece] = (
            shown(piece, 40), shown(mass, 30), shown(ways[1], 40), shown(ways[0], 40), day_words(event.local),
        )  # fmt: skip
    if moves:
        ways_heads = ("piece", "mass", "now", "moved from", "on")
        found.append(
            Table("Moved since, by her log", ways_heads, (24, 14, 24, 22, 16), tuple(moves.values()))
        )
    return tuple(found)


def trimmed_in(boat: Document) -> str:
    """The water and the day of her trim, in one sentence; what is not known is said to be."""
    site, water = boat.text_at("trimmed_at.site"), boat.text_at("trimmed_at.water")
    facts = boat.facts
    temperature, salinity = (
        plain_fact(facts.get(f"trimmed_at.{name}")) for name in ("temperature", "salinity")
    )
    on = plain_fact(facts.get("trimmed_at.on"))
    said = [
        f"{water} water" if water else "water not written down",
        temperature or "temperature not written down",
        *([f"salinity {salinity}"] if salinity else []),
        *([site] if site else []),
        *([on] if on else []),
    ]
    return ", ".join(said)


def _sayer(boat: Document, head: str) -> Callable[[str], str]:
    return lambda name: plain_fact(boat.facts.get(head + name))


def _plain(word: object) -> str:
    return str(word).replace("_", " ")
