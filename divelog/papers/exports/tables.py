"""Tables of the database: their columns, and how each is filled out of a book. Pure: rows of plain values."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

from divelog.history.folding import fold
from divelog.journal.events import Event
from divelog.journal.payload import number, quantity, text, texts
from divelog.papers.exports.book import Book
from divelog.papers.exports.filling import Filling, Row, day, safe, si
from divelog.papers.exports.series import HOUR, Readings, shaft_hours
from divelog.papers.exports.walks import answers, pauses, skips, walks
from divelog.profiles.document import Document, Fact, Num
from divelog.profiles.facts import plain_value

TABLES: Mapping[str, str] = {
    "about": "key, value",
    "boats": "boat, name, hull, ballast, band, length_m, mass_kg, most_gauge_kPa, digest, profile",
    "packs": "pack, chemistry, cells, label_Ah, measured_Ah, measured_on, resistance_mohm, mass_g, bought",
    "sites": "site, name, kind, water, bottom_m, conductivity_uS_cm",
    "events": "id, what, at, day, written, half_width_s, boat, run, by, known, data",
    "days": "id, opened, closed, day, site, water, temperature_C, salinity_g_kg, clarity_m, helper",
    "runs": "run, boat, start, end, day, minutes, by_wall, site, water, temperature_C, pack, transmitter, receiver, bound,"
    " plan_depth_m, deepest_m, deepest_u95_m, deepest_how, shaft_h, shaft_guessed, shaft_h_before, dived_min, cycles,"
    " charge_Ah, charge_u95_Ah, charge_how, volts_after, reason, looked, water_mL, water_word, water_end, over_allowance,"
    " incidents, signals, answered",
    "incidents": "id, at, day, boat, run, step, depth_m, depth_u95_m, source, cause, worked, damage",
    "signals": "id, at, day, boat, run, kind, distance_m, depth_m, motor_on, pump_on",
    "trips": "id, at, day, boat, run, trigger, real, channels, wrong, seconds",
    "waters": "id, at, day, boat, run, word, amount_mL, u95_mL, end, allowance_mL, looked, flooded, over",
    "services": "id, at, day, boat, item, consumable, hours_at_h, seals, cost",
    "changes": "id, at, day, boat, kind, part, item, old, new, mass_change_g, seals",
    "closings": "id, at, day, boat, closure, way, lifted, air_temperature_C, humidity_percent",
    "charges": "id, at, day, pack, charge_Ah, volts, charged_to",
    "measured": "id, at, day, boat, path, item, value, u95, typed, volts, temperature_C, water, method, conditions",
    "readings": "boat, quantity, item, segment, cut, at, day, hours, days, value, u95, volts, temperature_C, method, latest",
    "defects": "id, at, day, boat, what, words, stops_launch, closed, closed_by, proved_by",
    "overrulings": "launch, at, day, boat, defect, words, reason, by",
    "walks": "walk, boat, run, list, phase, start, end, day, complete, left, seconds, away_s, pauses, answers, skips",
    "answers": "id, at, day, boat, run, walk, list, line, answer, value, u95, key, item, shown, verdict, seconds, gives,"
    " fails",
    "skips": "id, at, day, boat, run, walk, list, line, state, reason",
    "pauses": "id, at, day, boat, walk, list, line, away_s",
    "notes": "id, at, day, boat, run, about, site, words, private",
    "costs": "id, at, day, boat, what, cost, amount, currency",
    "parts": "boat, kind, part, since, how",
    "hand_overs": "id, at, day, boat, way, condition, claimed",
    "proofs": "boat, proof, item, state, required, since, because",
    "due": "boat, item, title, verdict, share, due, because",
    "limits": "boat, key, item, title, kind, value, low, high, u95, unit, shown, verdict, missing",
}
"""Table -> its columns."""


def _num(fact: Fact | None, factor: float = 1.0, offset: float = 0.0) -> float | None:
    value = fact.value if fact is not None else None
    if isinstance(value, Num):
        return (value.si - offset) / factor
    return value / factor if isinstance(value, float) else None


def _word(document: Document, path: str) -> str | None:
    fact = document.facts.get(path)
    return None if fact is None else plain_value(fact.value) or fact.state.value


def fill(book: Book) -> dict[str, list[Row]]:
    """Rows of every table, in the order of its columns."""
    history = fold(book.events)  # what lies ahead of this machine's clock is in the log all the same
    by_kind: dict[str, list[Event]] = {}
    for event in book.events:
        if event.known:
            by_kind.setdefault(event.what, []).append(event)
    filling = Filling(book, history, by_kind)
    for name, made in _FILLERS.items():
        filling.rows[name] = [tuple(map(safe, row)) for row in made(filling)]
    return filling.rows


# -- what stands ----------------------------------------------------------------------------------------------------


def _about(f: Filling) -> Iterator[Row]:
    yield "made", f.book.now
    yield "times", "UTC in columns called at, start, end, since; local dates in columns called day"
    yield "questions", "select number, question, view from questions"


def _boats(f: Filling) -> Iterator[Row]:
    for one in f.book.boats:
        b = one.boat
        yield (
            one.slug, b.text_at("name") or one.slug, _word(b, "hull"), _word(b, "ballast.kind"), _word(b, "radio.band"),
            _num(b.facts.get("length")), _num(b.facts.get("mass")), _num(b.facts.get("cylinder.most_gauge"), 1e3),
            b.digest, b.text,
        )  # fmt: skip


def _packs(f: Filling) -> Iterator[Row]:
    kit = f.book.kit
    for pack in kit.entries.get("pack", ()):
        at = f"pack[{pack}]."
        newest = _measured_pack(f, pack)
        yield (
            pack, _word(kit, at + "chemistry"), _num(kit.facts.get(at + "cells")),
            _num(kit.facts.get(at + "capacity"), HOUR),
            newest.get("measured.capacity", _num(kit.facts.get(at + "measured.capacity"), HOUR)),
            newest.get("on", _word(kit, at + "measured.on")),
            newest.get("resistance", _num(kit.facts.get(at + "resistance"), 1e-3)), _num(kit.facts.get(at + "mass"), 1e-3),
            _word(kit, at + "bought"),
        )  # fmt: skip


def _measured_pack(f: Filling, pack: str) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for one in f.history.measured:
        path = one.path.removeprefix("kit.")
        value = si(one.value)
        if one.item != pack or value is None:
            continue
        if path == "pack.measured.capacity":
            found |= {"measured.capacity": value / HOUR, "on": day(one.at)}
        elif path == "pack.resistance":
            found["resistance"] = value / 1e-3
    return found


def _sites(f: Filling) -> Iterator[Row]:
    for slug, site in f.book.sites.items():
        yield (
            slug, site.text_at("name"), _word(site, "kind"), _word(site, "water"), _num(site.facts.get("bottom")),
            _num(site.facts.get("conductivity"), 1e-4),
        )  # fmt: skip


def _proofs(f: Filling) -> Iterator[Row]:
    for one in f.book.boats:
        for p in one.proofs.proofs if one.proofs is not None else ():
            yield one.slug, p.proof, p.item or None, p.state.value, p.required, p.since, p.because or None


def _due(f: Filling) -> Iterator[Row]:
    for one in f.book.boats:
        for row in one.due:
            due = row.due.isoformat() if row.due is not None else None
            yield one.slug, row.item, row.title, row.verdict.value, row.share, due, row.because or None


def _limits(f: Filling) -> Iterator[Row]:
    for one in f.book.boats:
        for x in one.limits:
            yield (
                one.slug, x.key, x.item or None, x.title, x.kind, x.value, x.low, x.high, x.u95, x.unit, x.shown,
                x.verdict.value, ", ".join(x.missing) or None,
            )  # fmt: skip


# -- what happened --------------------------------------------------------------------------------------------------


def _events(f: Filling) -> Iterator[Row]:
    for e in f.book.events:
        yield (
            e.id, e.what, e.at, day(e.local), e.when, e.half_width, e.boat, e.run, e.by, e.known,
            bytes(e.data).decode("utf-8", "backslashreplace"),
        )  # fmt: skip


def _days(f: Filling) -> Iterator[Row]:
    for d in f.history.days:
        yield (
            d.id, d.opened, d.closed, day(d.opened), d.site, d.water, si(d.temperature, 1.0, 273.15), si(d.salinity, 1e-3),
            si(d.clarity), d.helper,
        )  # fmt: skip


def _runs(f: Filling) -> Iterator[Row]:
    bound: dict[str | None, list[Event]] = {}
    for event in f.by_kind.get("radio.changed", ()):
        if "bound" in texts(event.payload().get("changed")):
            bound.setdefault(event.boat, []).append(event)
    hours: dict[str | None, float] = {}
    for run in f.history.runs:
        start = run.start or run.end
        shaft, guessed = shaft_hours(run)
        before = hours.get(run.boat, 0.0)
        f.hours_before[run.id] = before
        hours[run.boat] = before + (shaft or 0.0)
        binding = [e for e in bound.get(run.boat, ()) if start is not None and e.at <= start]
        planned = f.history.plan_at(run.boat or "", start) if start is not None else None
        water = f.history.day_at(start) if start is not None else None
        found, used = run.water, f.book.used.get(run.id)
        yield (
            run.id, run.boat, run.start, run.end, day(start), run.minutes, run.by_wall, run.site, run.water_kind,
            si(water.temperature, 1.0, 273.15) if water is not None else None, run.pack, run.transmitter, run.receiver,
            binding[-1].id if binding else None, si(planned.depth) if planned is not None else None, si(run.deepest),
            run.deepest.u95 if run.deepest is not None else None, run.deepest.how if run.deepest is not None else None,
            shaft, guessed, before, run.dived_time / 60.0 if run.dived_time is not None else None, run.cycles,
            used.si / HOUR if used is not None else None, used.u95 / HOUR if used is not None else None,
            used.how if used is not None else None, si(run.volts), run.reason,
            found.looked if found is not None else None,
            si(found.amount, 1e-6) if found is not None else None, found.word if found is not None else None,
            found.end if found is not None else None, found.over if found is not None else None,
            len(run.incidents), len(run.signals), run.answered,
        )  # fmt: skip


def _incidents(f: Filling) -> Iterator[Row]:
    for i in f.history.incidents:
        yield (
            i.id, i.at, day(i.at), i.boat, i.run, i.step, si(i.depth), i.depth.u95 if i.depth is not None else None,
            i.source, i.cause, i.worked, i.damage,
        )  # fmt: skip


def _signals(f: Filling) -> Iterator[Row]:
    for s in f.history.signals:
        yield s.id, s.at, day(s.at), s.boat, s.run, s.kind, si(s.distance), si(s.depth), s.motor_on, s.pump_on


def _trips(f: Filling) -> Iterator[Row]:
    for t in f.history.trips:
        channels, wrong = ", ".join(t.channels) or None, ", ".join(t.wrong) or None
        yield t.id, t.at, day(t.at), t.boat, t.run, t.trigger, t.real, channels, wrong, t.seconds


def _waters(f: Filling) -> Iterator[Row]:
    for w in f.history.waters:
        yield (
            w.id, w.at, day(w.at), w.boat, w.run, w.word, si(w.amount, 1e-6),
            w.amount.u95 / 1e-6 if w.amount.u95 is not None else None, w.end,
            w.allowance / 1e-6 if w.allowance is not None else None, w.looked, w.flooded, w.over,
        )  # fmt: skip


def _services(f: Filling) -> Iterator[Row]:
    for s in f.history.services:
        yield (
            s.id,
            s.at,
            day(s.at),
            s.boat,
            s.item,
            s.consumable,
            si(s.hours_at, HOUR),
            ", ".join(s.seals) or None,
            s.cost,
        )


def _changes(f: Filling) -> Iterator[Row]:
    for c in f.history.changes:
        yield (
            c.id, c.at, day(c.at), c.boat, c.kind, c.part, c.item, c.old, c.new, si(c.mass_change, 1e-3),
            ", ".join(c.seals) or None,
        )  # fmt: skip


def _closings(f: Filling) -> Iterator[Row]:
    events = [e for kind in ("opened", "closed", "fitted") for e in f.by_kind.get(kind, ())]
    for event in sorted(events, key=lambda e: (e.at, e.id)):
        data = event.payload()
        names = texts(data.get("which"))
        if event.what == "fitted":
            if text(data.get("part")) not in ("seal", "port", "cap"):
                continue
            names = (
                *texts(data.get("seals")),
                *(n for n in (text(data.get("item")) or text(data.get("new")),) if n),
            )
        air, damp = quantity(data.get("air_temperature")), quantity(data.get("humidity"))
        for name in dict.fromkeys(names):
            yield (
                event.id, event.at, day(event.local), event.boat, name, event.what, data.get("lifted") is True,
                si(air, 1.0, 273.15), si(damp, 0.01),
            )  # fmt: skip


def _charges(f: Filling) -> Iterator[Row]:
    for c in f.history.charges:
        yield c.id, c.at, day(c.at), c.pack, si(c.charge, HOUR), si(c.volts), c.to


def _condition(conditions: Mapping[str, Any], name: str, offset: float = 0.0) -> float | None:
    found = quantity(conditions.get(name))
    return si(found, 1.0, offset) if found is not None else number(conditions.get(name))


def _measured(f: Filling) -> Iterator[Row]:
    for m in f.history.measured:
        value = m.value
        yield (
            m.id, m.at, day(m.at), m.boat, m.path, m.item, si(value), value.u95 if value is not None else None,
            value.typed if value is not None else None, _condition(m.conditions, "volts"),
            _condition(m.conditions, "temperature", 273.15), text(m.conditions.get("water")), m.method,
            json.dumps(m.conditions, ensure_ascii=True, sort_keys=True, default=str) if m.conditions else None,
        )  # fmt: skip


def _readings(f: Filling) -> Iterator[Row]:
    yield from Readings(f.book, f.history, f.by_kind, f.hours_before).rows()


def _defects(f: Filling) -> Iterator[Row]:
    for d in f.history.defects:
        closed = d.closed
        yield (
            d.id, d.at, day(d.at), d.boat, d.what, d.words, d.stops_launch, closed.at if closed is not None else None,
            closed.by if closed is not None else None, closed.check if closed is not None else None,
        )  # fmt: skip


def _overrulings(f: Filling) -> Iterator[Row]:
    for d in f.history.defects:
        for o in d.overruled:
            yield o.launch, o.at, day(o.at), d.boat, d.id, d.words, o.reason, o.by


def _notes(f: Filling) -> Iterator[Row]:
    for n in f.history.notes:
        run = f.history.run(n.run) if n.run else None
        here = f.history.day_at(n.at)
        site = run.site if run is not None else here.site if here is not None else None
        about = n.about if n.about in f.book.sites else None
        yield n.id, n.at, day(n.at), n.boat, n.run, n.about, about or site, n.words, n.private


def _costs(f: Filling) -> Iterator[Row]:
    for kind in ("fitted", "serviced"):
        for event in f.by_kind.get(kind, ()):
            data = event.payload()
            raw = data.get("cost")
            found = quantity(raw)
            words = text(raw) or (found.typed if found is not None else None) or (
                f"{found.si:g}" if found is not None and found.si is not None else None
            )  # fmt: skip
            if words:
                what = text(data.get("item")) or text(data.get("part"))
                yield event.id, event.at, day(event.local), event.boat, what, words, *money(words)


def money(words: str) -> tuple[float | None, str]:
    """Amount and currency of a cost as typed (``4.50 EUR``); no amount where it cannot be told."""
    kept = "".join(c if c.isdecimal() or c == "." else " " for c in words[:60]).split()
    currency = "".join(c for c in words[:60] if c.isalpha() or c in "€$£¥").upper()[:12]
    try:
        return (float(kept[0]), currency) if len(kept) == 1 else (None, currency)
    except ValueError:
        return None, currency


def _parts(f: Filling) -> Iterator[Row]:
    """Everything with a date it was put in: seals and parts of boats, packs, cells of transmitters."""
    newest: dict[tuple[str | None, str, str], str | None] = {}
    for change in f.history.changes:
        name = change.item or change.new or change.part
        if change.kind == "fitted" and name:
            newest[change.boat, change.part or "part", name] = day(change.at)
    for one in f.book.boats:
        for seal in one.boat.entries.get("seal", ()):
            stated = _word(one.boat, f"seal[{seal}].fitted")
            logged = newest.pop((one.slug, "seal", seal), None)
            since = max((s for s in (stated, logged) if s and s[:1].isdecimal()), default=None)
            yield one.slug, "seal", seal, since, "fitted" if since else "not written down"
    for (boat, kind, name), since in newest.items():
        yield boat, kind, name, since, "fitted"
    kit = f.book.kit
    for pack in kit.entries.get("pack", ()):
        bought = _word(kit, f"pack[{pack}].bought")
        yield None, "pack", pack, bought, "bought" if bought else "not written down"
    for set_ in kit.entries.get("transmitter", ()):
        fitted = _word(kit, f"transmitter[{set_}].cells_fitted")
        yield None, "transmitter cells", set_, fitted, "fitted" if fitted else "not written down"


def _hand_overs(f: Filling) -> Iterator[Row]:
    for kind, way in (("boat.received", "received"), ("boat.handed_over", "handed over")):
        for event in f.by_kind.get(kind, ()):
            data = event.payload()
            claimed = ", ".join(texts(data.get("claimed"))) or None
            yield event.id, event.at, day(event.local), event.boat, way, text(data.get("condition")), claimed


_FILLERS: Mapping[str, Callable[[Filling], Iterable[Row]]] = {
    "about": _about, "boats": _boats, "packs": _packs, "sites": _sites, "events": _events, "days": _days, "runs": _runs,
    "incidents": _incidents, "signals": _signals, "trips": _trips, "waters": _waters, "services": _services,
    "changes": _changes, "closings": _closings, "charges": _charges, "measured": _measured, "readings": _readings,
    "defects": _defects, "overrulings": _overrulings, "walks": walks, "answers": answers, "skips": skips,
    "pauses": pauses, "notes": _notes, "costs": _costs, "parts": _parts, "hand_overs": _hand_overs, "proofs": _proofs,
    "due": _due, "limits": _limits,
}  # fmt: skip
