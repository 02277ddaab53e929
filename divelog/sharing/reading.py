"""Bytes of a bundle -> everything in it, read and checked; with a single fault nothing of it is given out."""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Mapping
from dataclasses import replace
from datetime import datetime

import msgspec

from divelog.checks.model import CheckList
from divelog.checks.reading import read_list
from divelog.journal.drafting import encode_data
from divelog.journal.events import Event
from divelog.journal.merging import in_order
from divelog.journal.payload import text
from divelog.journal.reading import bare_lines, decode_line, nested_too_deep
from divelog.profiles.document import Document, Fault
from divelog.profiles.reading import read_document
from divelog.profiles.schema import SCHEMAS
from divelog.sharing.archive import unpacked
from divelog.sharing.judging import looser_than_usual, taken_out
from divelog.sharing.making import FOR_ALL, hers_to_measure
from divelog.sharing.model import BASELINES, BOAT, FORMAT, LISTS, LOG, MANIFEST, VERSION, Looked, Manifest
from divelog.sharing.private import MACHINE
from divelog.text import is_slug, shown

MOST_EVENTS = 200_000
MOST_FAULTS = 50

_MANIFEST = msgspec.json.Decoder(Manifest)
_NEVER = MACHINE | {"corrected"}
"""Kinds no bundle carries: a correction from a stranger could reach events that are not his."""
WITH_PACK = frozenset({"run.started", "run.ended", "plan.set", "charged"})
THEIRS = " (theirs)"


class _Faults:
    def __init__(self, file: str) -> None:
        self.file = file
        self.found: list[Fault] = []

    def __call__(self, member: str, line: int, found: str, wanted: str, path: str = "") -> None:
        if len(self.found) < MOST_FAULTS:
            place = f"{self.file}: {member}" if member else self.file
            self.found.append(Fault(place, line, path, shown(found, 160), wanted))


def look(raw: bytes, file: str, now: datetime) -> Looked:
    """Everything in a bundle. Never raises for what the bytes hold; `now` is the moment it would be received."""
    members, wrong = unpacked(raw, file)
    whole_digest = "sha256:" + hashlib.sha256(raw).hexdigest()
    if wrong:
        return Looked(wrong, digest=whole_digest)
    fault = _Faults(file)
    manifest = _manifest(members, fault)
    if manifest is None:
        return Looked(tuple(fault.found), digest=whole_digest)
    _digests(manifest, members, fault)
    boat = read_document(members[BOAT], BOAT, SCHEMAS["boat"]) if BOAT in members else None
    if boat is None:
        fault(BOAT, 0, "nothing", "the profile of the boat")
    else:
        for one in boat.faults:
            fault(BOAT, one.line, one.found, one.wanted, one.path)
    lists, texts = _lists(members, fault)
    events = _events(manifest, members, fault, now)
    if fault.found or boat is None:
        return Looked(tuple(fault.found), manifest, digest=whole_digest)
    return Looked(
        (), manifest, boat, lists, texts, tuple(events), LOG in members, looser_than_usual(boat), taken_out(boat),
        whole_digest,
    )  # fmt: skip


def _manifest(members: Mapping[str, bytes], fault: _Faults) -> Manifest | None:
    raw = members.get(MANIFEST)
    if raw is None:
        fault(MANIFEST, 0, "nothing", "a manifest: a file made by `divelog share`")
        return None
    if nested_too_deep(raw.replace(b"\n", b" ")):
        fault(MANIFEST, 0, "nesting beyond reason", "a manifest")
        return None
    try:
        manifest = _MANIFEST.decode(raw)
    except (ValueError, RecursionError) as error:
        newer = _newer(raw)
        if newer:
            fault(MANIFEST, 0, *newer)
        else:
            fault(MANIFEST, 0, str(error)[:120], "a manifest: a file made by `divelog share`")
        return None
    if manifest.format != FORMAT:
        fault(MANIFEST, 0, f'the format "{manifest.format[:40]}"', f'"{FORMAT}"')
        return None
    if manifest.version > VERSION:
        fault(MANIFEST, 0, f"version {manifest.version}", f"version {VERSION}: it comes from a newer program")
        return None
    if not is_slug(manifest.boat.slug):
        fault(
            MANIFEST,
            0,
            f'the file name "{manifest.boat.slug[:60]}"',
            "small letters, digits and -",
            "boat.slug",
        )
    return manifest


class _Version(msgspec.Struct):
    version: int


def _newer(raw: bytes) -> tuple[str, str] | None:
    """What a manifest of a later version is told, whatever else it holds."""
    try:
        version = msgspec.json.decode(raw, type=_Version).version
    except (ValueError, RecursionError):
        return None
    if version <= VERSION:
        return None
    return f"version {version}", f"version {VERSION}: it comes from a newer program"


def _digests(manifest: Manifest, members: Mapping[str, bytes], fault: _Faults) -> None:
    named = {one.name: one for one in manifest.files}
    for name in sorted({*named, *members} - {MANIFEST}):
        if name not in members:
            fault(name, 0, "nothing", "the file that the manifest names")
        elif name not in named:
            fault(name, 0, "a file that the manifest does not name", "the files of the manifest")
        elif hashlib.sha256(members[name]).hexdigest() != named[name].sha256:
            fault(name, 0, "a file that was changed since it was packed", "the digest of the manifest")


def _lists(
    members: Mapping[str, bytes], fault: _Faults
) -> tuple[tuple[CheckList, ...], tuple[tuple[str, str], ...]]:
    lists, texts = [], []
    for name in sorted(name for name in members if name.startswith(LISTS)):
        found = read_list(members[name], name)
        for one in found.faults:
            fault(name, one.line, one.found, one.wanted, one.path)
        lists.append(found)
        texts.append((name[len(LISTS) : -len(".toml")], members[name].decode()))
    return tuple(lists), tuple(texts)


def _events(manifest: Manifest, members: Mapping[str, bytes], fault: _Faults, now: datetime) -> list[Event]:
    found: list[Event] = []
    seen: set[str] = set()
    for name in (BASELINES, LOG):
        raw = members.get(name, b"")
        if raw and not raw.endswith(b"\n"):
            fault(name, 0, "a line that was cut off", "whole lines")
            continue
        if raw.count(b"\n") > MOST_EVENTS:
            fault(name, 0, f"{raw.count(bytes([10]))} lines", f"at most {MOST_EVENTS}")
            continue
        for number, line in enumerate(bare_lines(raw) if raw else (), 1):
            if len(fault.found) >= MOST_FAULTS:
                return []
            try:
                event = decode_line(line)
                max(event.at.timestamp(), event.when.timestamp())  # times at the ends of the calendar raise
            except (ValueError, OverflowError) as wrong:
                fault(name, number, str(wrong), "an event of her log")
                continue
            reason = _reason(event, name, manifest, now)
            if reason is None and event.id in seen:
                reason = ("an event that stands here already", "every event once")
            if reason is not None:
                fault(name, number, *reason)
            seen.add(event.id)
            found.append(event)
    return in_order(found)


def _reason(event: Event, member: str, manifest: Manifest, now: datetime) -> tuple[str, str] | None:
    """Why an event has no place in a bundle, as found and wanted."""
    if member == BASELINES and event.what != "measured":
        return f'an event of kind "{event.what}"', 'events of kind "measured"'
    if event.what in _NEVER:
        return f'an event of kind "{event.what}"', "events that a bundle may carry"
    if event.boat is not None and event.boat != manifest.boat.slug:
        return f'an event of "{event.boat[:40]}"', f"events of {manifest.boat.slug}"
    if event.boat is None and event.what not in (*FOR_ALL, "charged"):
        return f'an event of kind "{event.what}" of no boat', f"events of {manifest.boat.slug}"
    if event.what == "measured" and not hers_to_measure(text(event.payload().get("path"))):
        return "a measurement of something else than the boat", "measurements of her"
    if event.at >= now or event.when >= now:
        return (
            f"an event of {event.when.date()} that lies ahead",
            "events from before now; is this clock right?",
        )
    return None


def renamed(
    found: Looked, slug: str, name: str, packs: Collection[str] = ()
) -> tuple[Document, tuple[Event, ...]]:
    """Her profile and events under another name. Packs of hers that share a name with one of `packs` are told apart:
    what the last owner's D2 went through says nothing of the D2 here."""
    assert found.boat is not None
    facts = dict(found.boat.facts)
    facts["name"] = replace(facts["name"], value=name, typed=name)
    events = []
    for event in found.events:
        fields: dict[str, object] = {}
        if event.boat is not None:
            fields["boat"] = slug
        if event.what in WITH_PACK:
            data = event.payload()
            if text(data.get("pack")) in packs:
                fields["data"] = encode_data({**data, "pack": f"{data['pack']}{THEIRS}"})
        events.append(msgspec.structs.replace(event, **fields))
    return replace(found.boat, facts=facts), tuple(events)
