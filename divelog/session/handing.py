"""A boat passed on from this home, and one taken into it. Everything is checked before the first byte is written.

Order of writing when a boat is taken in, so that a fault in between never lends her a proof she has not earned:
``boat.received`` first (it spends every proof), then her log, then her lists, then her profile.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from divelog.files import StorageError, exists, list_folder, read_capped, write_atomic
from divelog.journal.events import Event
from divelog.journal.loading import load, load_all
from divelog.journal.payload import mapping
from divelog.profiles.document import Document, Fault
from divelog.profiles.toml import MOST_BYTES
from divelog.profiles.writing import WritingError, text_of
from divelog.session.filing import file_boat, note_filed
from divelog.session.session import Asked, ReadOnlyError, Session
from divelog.sharing.archive import MOST_FILE, packed
from divelog.sharing.making import Given, Made, journal_of, make
from divelog.sharing.model import Looked, Wishes
from divelog.sharing.reading import look, renamed
from divelog.text import check_slug, is_slug, slug

_STARTS = frozenset({"log.opened", "boat.received", "boat.filed", "clock.jumped"})
"""Kinds that a taking-in which was cut short may have left behind; a log of nothing else is no log."""


class HandingError(Exception):
    """A boat cannot be passed on or taken in as asked; the message is a plain sentence. Nothing was written."""


# -- passing on -----------------------------------------------------------------------------------------------------


def folder_of(session: Session) -> Path:
    """Where bundles are put, and looked for: ``shared`` in the home."""
    return session.home.root / "shared"


def bundle(session: Session, name: str, boat: Document, wishes: Wishes) -> Made:
    """The members of a boat's bundle.

    Raises HandingError where her file has faults or cannot be written anew.
    """
    if boat.faults:
        raise HandingError(f"her file has a fault: {boat.faults[0].sentence()}")
    now = session.clock.now()
    asked = Asked(name, boat, None, None, now)
    log = session.log(name)
    facts = session.facts(asked)
    given = Given(
        name,
        boat,
        log.events,
        session.proofs(name, boat, now),
        facts.measured,
        _own_lists(session),
        now,
        len(log.corrections),
    )
    try:
        return make(given, wishes)
    except WritingError as error:
        raise HandingError(f"her file cannot be written anew: {error}") from error


def _own_lists(session: Session) -> dict[str, bytes]:
    """The owner's own list files, those that can be read."""
    found: dict[str, bytes] = {}
    folder = session.home.checklists
    for name in list_folder(folder, session.disk, within=session.home.root)[:60]:
        stem = name.removesuffix(".toml")
        if name.endswith(".toml") and is_slug(stem):
            try:
                found[stem] = read_capped(folder / name, MOST_BYTES, session.disk, within=session.home.root)
            except StorageError:
                continue
    return found


def write_bundle(session: Session, made: Made, path: Path, over: bool = False) -> None:
    """One file, in one step; one that is there already is left alone unless `over`."""
    if not over and exists(path, session.disk):
        raise HandingError(f"{path} is there already; choose another name, or say to write over it")
    write_atomic(path, packed(made.members), session.disk)


def handed_over(session: Session, name: str, made: Made, to: str) -> Event:
    """``boat.handed_over``: she has left this hand, with what was claimed of her then."""
    manifest = made.manifest
    data: dict[str, Any] = {
        "to": to,
        "condition": manifest.condition,
        "defects": [one.words for one in manifest.defects],
        "claimed": [one.proof for one in manifest.claimed],
    }
    return session.append("boat.handed_over", data, boat=name)


# -- taking in ------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Taking:
    """How a boat would be taken in: her file name and name here, and what stands in the way of it."""

    found: Looked
    slug: str
    name: str
    same_name: str = ""
    """A boat of this home that has her name or file name already."""
    own_log: bool = False
    """True where this home's logbook has a log under her file name, though no boat."""
    lacking: tuple[str, ...] = ()
    """Packs, bottles and transmitters of hers that the kit here does not have."""
    here: int = 0
    """Lines of her log that this logbook has already."""
    faults: tuple[Fault, ...] = ()

    @property
    def collides(self) -> bool:
        """True where it must be asked under which name she is taken in."""
        return bool(self.same_name) or self.own_log


def read_bundle(session: Session, path: Path) -> Looked:
    """A bundle, read and checked. Raises StorageError where the file cannot be read."""
    return look(read_capped(path, MOST_FILE, session.disk), path.name, session.clock.now())


def plan(session: Session, found: Looked, under: str = "", over: bool = False) -> Taking:
    """How she would be taken in, under her own name or another; nothing is written.

    Raises HandingError where the name cannot be one.
    """
    if not found.whole or found.manifest is None or found.boat is None:
        return Taking(found, "", "", faults=found.faults)
    name = under.strip() or found.boat.text_at("name")
    try:
        wanted = slug(name) if under.strip() else check_slug(found.manifest.boat.slug)
    except ValueError as error:
        raise HandingError(str(error)) from error
    same = ""
    for known, boat in session.shelf.boats.items():
        if known == wanted or boat.text_at("name").casefold() == name.casefold():
            same = known
    if over and same:
        wanted = same
    log = load(session.home, wanted, session.disk)
    own_log = not same and any(e.boat == wanted and e.what not in _STARTS for e in log.lines)
    events = found.events
    everything = load_all(session.home, session.disk)
    ids = {event.id for event in everything.lines}
    return Taking(
        found, wanted, name, same, own_log, _lacking(session, found.boat),
        sum(event.id in ids for event in events), _foreign(events, ids),
    )  # fmt: skip


def _lacking(session: Session, boat: Document) -> tuple[str, ...]:
    kit = session.shelf.kit.entries
    packs = [*boat.texts_at("power.drive_packs"), boat.text_at("power.receiver_pack")]
    wanted = {
        "pack": [p for p in packs if p not in ("", "from drive")],
        "bottle": [boat.text_at("ballast.gas.bottle")],
        "transmitter": [boat.text_at("radio.transmitter")],
    }
    return tuple(
        f"{kind} {each}"
        for kind, names in wanted.items()
        for each in dict.fromkeys(names)
        if each and each not in kit.get(kind, ())
    )


def _references(event: Event) -> Iterable[str]:
    """Identifiers of other events that an event speaks of."""
    if event.run is not None:
        yield event.run
    data = event.payload()
    for key in ("of", "check", "plan", "id"):
        value = data.get(key)
        if isinstance(value, str):
            yield value
    yield from (str(key) for key in mapping(data.get("because")))


def _foreign(events: Collection[Event], ids: Collection[str]) -> tuple[Fault, ...]:
    """Lines that speak of events of this logbook which are not in the bundle: no stranger may end or close those."""
    own = {event.id for event in events}
    found = []
    for event in events:
        reached = next((each for each in _references(event) if each in ids and each not in own), None)
        if reached is not None:
            what = f"a line ({event.what}) about an event of your own logbook"
            found.append(Fault("her log", 0, event.id, what, "lines about her own events"))
    return tuple(found[:50])


@dataclass(frozen=True, slots=True)
class Taken:
    """What was written."""

    slug: str
    received: Event
    lines: int
    lists: tuple[str, ...] = ()
    lists_kept: tuple[str, ...] = ()
    """Lists of hers that were not taken because this home has a file of that name."""


def take(
    session: Session, taking: Taking, *, over: bool = False, lists: bool = False, giver: str = ""
) -> Taken:
    """Take her in. Raises HandingError (nothing was written), StorageError, ReadOnlyError.

    Her proofs arrive as claimed: ``boat.received`` spends every one of them.
    """
    found, manifest = taking.found, taking.found.manifest
    if taking.faults or not found.whole or manifest is None:
        raise HandingError("there are faults in it; nothing was taken")
    if taking.same_name and not over:
        raise HandingError(
            f"there is a boat called {taking.same_name} here; take her in under another name, or over that one"
        )
    if taking.own_log and not over:
        raise HandingError(
            f"the logbook here has a log of {taking.slug}; take her in under another name, or over that one"
        )
    if session.journal is None:
        raise ReadOnlyError("the home cannot be written; nothing is kept")
    own_packs = () if over else session.shelf.kit.entries.get("pack", ())
    document, events = renamed(found, taking.slug, taking.name, own_packs)
    try:
        text = text_of(document)
    except WritingError as error:
        raise HandingError(f"her file cannot be written under that name: {error}") from error
    ids = {event.id for event in load_all(session.home, session.disk).lines}
    fresh = [event for event in events if event.id not in ids]
    data: dict[str, Any] = {
        "condition": manifest.condition,
        "defects": [one.words for one in manifest.defects],
        "claimed": [one.proof for one in manifest.claimed],
        "bundle": found.digest,
    }
    if giver:
        data["from"] = giver
    if taking.same_name:
        note_filed(session)  # what her file says now is in the log before another takes its place
    received = session.append("boat.received", data, boat=taking.slug)
    told = found.has_log and not manifest.incidents.withheld and (over or len(fresh) == len(events))
    if not told:  # her log, as it comes in here, does not open them by itself
        for one in manifest.defects:
            session.append(
                "defect.opened", {"defect": one.words, "stops_launch": one.stops_launch}, boat=taking.slug
            )
    if fresh:
        _write_log(session, taking.slug, found.digest, fresh)
    written, kept = _write_lists(session, found.list_texts) if lists else ((), ())
    file_boat(session, taking.slug, text)
    session.forget()
    return Taken(taking.slug, received, len(fresh), written, kept)


def _write_log(session: Session, name: str, digest: str, events: Iterable[Event]) -> None:
    folder = session.home.journal_folder(name)
    stem = f"received-{digest.removeprefix('sha256:')[:12]}"
    path = folder / f"{stem}.jsonl"
    number = 1
    while exists(path, session.disk):
        number += 1
        path = folder / f"{stem}-{number}.jsonl"
    write_atomic(path, journal_of(events), session.disk, within=session.home.root)


def _write_lists(
    session: Session, texts: Iterable[tuple[str, str]]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    written, kept = [], []
    for name, text in texts:
        path = session.home.checklists / f"{check_slug(name)}.toml"
        if exists(path, session.disk):
            kept.append(name)
            continue
        write_atomic(path, text.encode(), session.disk, within=session.home.root)
        written.append(name)
    return tuple(written), tuple(kept)


def bundles(session: Session) -> tuple[Path, ...]:
    """Bundles that lie in the folder of the home, by name."""
    folder = folder_of(session)
    return tuple(folder / name for name in list_folder(folder, session.disk) if name.endswith(".zip"))


def name_for(session: Session, boat: str) -> Path:
    """A free name for a boat's bundle of today."""
    stem = f"{boat}-{session.clock.now().date().isoformat()}"
    path = folder_of(session) / f"{stem}.zip"
    number = 1
    while exists(path, session.disk):
        number += 1
        path = folder_of(session) / f"{stem}-{number}.zip"
    return path
