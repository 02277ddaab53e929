"""A boat, her events and her standing -> the members of a bundle. Pure."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

import msgspec

from divelog import __version__
from divelog.checks.reading import read_list
from divelog.clock import stamp
from divelog.history.folding import History, fold
from divelog.journal.chain import digest
from divelog.journal.events import FIRST, Event, encode
from divelog.journal.payload import text
from divelog.profiles.document import Document, Fact
from divelog.profiles.reading import read_document
from divelog.profiles.schema import SCHEMAS
from divelog.profiles.writing import WritingError, text_of, with_facts
from divelog.proofs.model import ProofReport
from divelog.sharing.model import (
    ABOUT,
    BASELINES,
    BOAT,
    FORMAT,
    LISTS,
    LOG,
    MANIFEST,
    VERSION,
    Claim,
    Incidents,
    Left,
    Manifest,
    Member,
    Named,
    Open,
    Wishes,
)  # fmt: skip
from divelog.sharing.private import Scrubber, comments_in, private_in
from divelog.sharing.words import about

FOR_ALL = frozenset({"day.opened", "day.closed"})
"""Kinds of no boat that a shared log needs: where she ran, in which water."""
_GREASED = "power.terminals.greased"
"""A word that is measured and holds on its own day only."""
_NOT_HERS = frozenset(
    {"kit", "pack", "bottle", "transmitter", "meter", "site", "today", "plan", "closed", "settings"}
)


def hers_to_measure(path: str | None) -> bool:
    """Whether a measured path is about the boat herself: packs, sites and days are their owner's."""
    return path is not None and re.split(r"[.\[]", path.strip(), maxsplit=1)[0] not in _NOT_HERS


@dataclass(frozen=True, slots=True)
class Given:
    """What a bundle is made of. `events` are of this boat and of none, after corrections, in order of time;
    `measured` the newest measured facts by whole path; `lists` the owner's list files, name to bytes."""

    slug: str
    boat: Document
    events: Sequence[Event]
    report: ProofReport
    measured: Mapping[str, Fact]
    lists: Mapping[str, bytes]
    now: datetime
    corrections: int = 0


@dataclass(frozen=True, slots=True)
class Made:
    """The members of a bundle and its manifest; `odd` are sentences about what could not go in."""

    members: Mapping[str, bytes]
    manifest: Manifest
    odd: tuple[str, ...] = ()


def make(given: Given, wishes: Wishes) -> Made:
    """The bundle. Raises WritingError where her profile cannot be written so that it reads back."""
    odd: list[str] = []
    scrubber = Scrubber(wishes.let_out, _ids(given.boat))
    scrubber.counts["comments"] += comments_in(given.boat.text)
    document = scrubber.document(with_measured(given.boat, given.measured, odd))
    history = fold(given.events, given.now)
    hers = _hers(history, given.slug)
    events = [event for event in given.events if hers(event)]
    ahead = sum(max(event.at, event.when) >= given.now for event in events)
    events = [event for event in events if max(event.at, event.when) < given.now]
    scrubber.counts["ahead"] += ahead
    baselines = [event for event in events if event.what == "measured"]
    rest = [event for event in events if event.what != "measured"] if wishes.log else []
    incidents = sum(event.what == "incident" for event in events)
    if not wishes.incidents and wishes.log:
        rest = [event for event in rest if event.what != "incident"]
        scrubber.counts["incidents"] += incidents
    members = {
        BOAT: text_of(replace(document, file=BOAT)).encode(),
        BASELINES: journal_of(_clean(baselines, scrubber)),
    }
    if wishes.log:
        scrubber.counts["corrections"] += given.corrections
        members[LOG] = journal_of(_clean(rest, scrubber))
    for name, raw in given.lists.items() if wishes.lists else ():
        faults = read_list(raw, f"{name}.toml").faults
        if faults:
            odd.append(f"the list {name} stays here, it has a fault: {faults[0].sentence()}")
            continue
        name_of_private = private_in(raw.decode("utf-8", "replace"))
        if name_of_private is None or not scrubber.leaves(name_of_private):
            members[f"{LISTS}{name}.toml"] = raw
    condition = scrubber.text(wishes.condition.strip())[:2000]
    manifest = Manifest(
        format=FORMAT,
        version=VERSION,
        program=__version__,
        made=stamp(given.now),
        boat=Named(given.slug, document.text_at("name")[:200]),
        condition=condition,
        runs=sum(run.boat == given.slug for run in history.runs),
        claimed=_claims(given.report),
        dry_depth=given.report.dry_depth,
        defects=tuple(
            Open(scrubber.text(d.words)[:2000], stamp(d.at), d.stops_launch)
            for d in history.open_defects(given.slug)
        )[:500],
        incidents=Incidents(incidents, incidents if wishes.log and wishes.incidents else 0),
        left_out=tuple(Left(name, count) for name, count in sorted(scrubber.counts.items()) if count),
        files=(),
    )
    members[ABOUT] = about(manifest).encode()
    listed = tuple(
        Member(name, len(data), hashlib.sha256(data).hexdigest()) for name, data in sorted(members.items())
    )
    manifest = msgspec.structs.replace(manifest, files=listed)
    members[MANIFEST] = msgspec.json.format(msgspec.json.encode(manifest), indent=2) + b"\n"
    return Made(members, manifest, tuple(odd))


def _claims(report: ProofReport) -> tuple[Claim, ...]:
    return tuple(
        Claim(p.name[:200], stamp(p.since) if p.since is not None else "") for p in report.proofs if p.stands
    )


def _ids(boat: Document) -> frozenset[str]:
    """Names of her parts and packs, which are no serial numbers."""
    named = {entry for entries in boat.entries.values() for entry in entries}
    return frozenset({*named, *boat.texts_at("power.drive_packs"), *boat.texts_at("cylinder.closures")})


def _hers(history: History, slug: str) -> Callable[[Event], bool]:
    """Tells events of hers, of the days she ran on, and the charges of her packs."""
    runs = [run for run in history.runs if run.boat == slug]
    days = {moment.date() for run in runs for moment in (run.start, run.end) if moment is not None}
    packs = {run.pack for run in runs if run.pack}

    def hers(event: Event) -> bool:
        if event.boat is not None or not event.known:
            if (
                event.what == "measured"
                and event.known
                and not hers_to_measure(text(event.payload().get("path")))
            ):
                return False
            return event.boat == slug
        if event.what in FOR_ALL:
            return event.local.date() in days
        return event.what == "charged" and text(event.payload().get("pack")) in packs

    return hers


def _clean(events: Iterable[Event], scrubber: Scrubber) -> list[Event]:
    found = (scrubber.event(event, _profile) for event in events)
    return [event for event in found if event is not None]


def _profile(raw: bytes) -> Document:
    return read_document(raw, "the log", SCHEMAS["boat"])


def journal_of(events: Iterable[Event]) -> bytes:
    """Events as a journal file holds them, each line with the digest of the one before."""
    lines: list[bytes] = []
    prev = FIRST
    for event in events:
        line = encode(msgspec.structs.replace(event, prev=prev))
        prev = digest(line)
        lines.append(line + b"\n")
    return b"".join(lines)


def with_measured(boat: Document, measured: Mapping[str, Fact], odd: list[str]) -> Document:
    """Her profile with the newest measured values in it. One that does not fit stays out, with a sentence."""
    ours = {path.removeprefix("boat."): fact for path, fact in measured.items() if path.startswith("boat.")}
    ours = {path: fact for path, fact in ours.items() if "[" not in path or path in boat.facts}
    greased = ours.get(_GREASED)
    if greased is not None and greased.value == "this outing":
        ours[_GREASED] = replace(greased, value="some time ago", typed="some time ago")
    whole = with_facts(boat, ours)
    try:
        text_of(whole)
    except WritingError:
        whole = boat
        for path, fact in ours.items():
            tried = with_facts(whole, {path: fact})
            try:
                text_of(tried)
            except WritingError as error:
                odd.append(f"boat.{path} as measured did not go into her file: {error}")
            else:
                whole = tried
    return whole
