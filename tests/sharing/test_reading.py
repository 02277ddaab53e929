"""What a stranger may put into a bundle, and what is refused: nothing in it may reach another boat, a later day or a proof."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from divelog.journal.reading import read_journal
from divelog.sharing.archive import packed
from divelog.sharing.making import journal_of
from divelog.sharing.model import BASELINES, BOAT, LOG, MANIFEST


def repacked(members: dict[str, bytes], change: Callable[[dict], None] | None = None) -> bytes:
    """The members with a manifest that fits them, changed."""
    manifest = json.loads(members[MANIFEST])
    manifest["files"] = [
        {"name": name, "bytes": len(raw), "sha256": hashlib.sha256(raw).hexdigest()}
        for name, raw in sorted(members.items())
        if name != MANIFEST
    ]
    if change is not None:
        change(manifest)
    return packed({**members, MANIFEST: json.dumps(manifest).encode()})


def line(**fields: object) -> bytes:
    event = {"id": "01ca0000-0000-7000-8000-000000000001", "what": "knocked", "when": "2032-05-04T12:00:00+01:00",
             "boat": "tansy", "data": {}}  # fmt: skip
    return json.dumps({**event, **fields}).encode() + b"\n"


REFUSED = {
    "a later day": (line(when="2032-06-01T12:00:00+01:00"), "lies ahead"),
    "a later day that happened": (line(happened="2032-06-01T12:00:00+01:00"), "lies ahead"),
    "another boat": (line(boat="bulrush"), 'an event of "bulrush"'),
    "a correction": (line(what="corrected", data={"id": "x", "void": True}), '"corrected"'),
    "a line of the machine": (line(what="clock.jumped"), '"clock.jumped"'),
    "an opening of a log": (line(what="log.opened"), '"log.opened"'),
    "a run of no boat": (line(boat=None, what="run.started"), "of no boat"),
    "a measured site": (line(what="measured", data={"path": "site.bottom", "value": {"si": 9}}), "something else"),
    "a measured day": (line(what="measured", data={"path": "today.water.clarity", "value": {"si": 9}}), "something else"),
    "a measured pack": (line(what="measured", data={"path": "pack[D2].capacity", "value": {"si": 9}}), "something else"),
    "no event": (b'{"id": 3}\n', "no event"),
    "no line": (b'{"id"', "cut off"),
    "a time that is none": (line(when="9999-12-31T23:59:59-23:00"), ""),
    "nesting": (b'{"id":"a","what":"note","when":"2032-05-04T12:00:00Z","data":' + b"[" * 3000 + b"]" * 3000 + b"}\n", "nested"),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_lines_that_have_no_place(made, read, name):
    raw, words = REFUSED[name]
    members = dict(made(log=True).members)
    found = read(repacked({**members, LOG: members[LOG] + raw}))
    assert found.faults
    assert not found.whole
    assert found.boat is None
    assert found.events == ()
    assert any(words in fault.found for fault in found.faults), [f.sentence() for f in found.faults]


def test_a_line_twice(made, read):
    members = dict(made(log=True).members)
    events = read_journal(LOG, members[LOG]).events
    found = read(repacked({**members, LOG: journal_of([*events, events[0]])}))
    assert any("here already" in fault.found for fault in found.faults)


def test_baselines_hold_measurements_alone(made, read):
    members = dict(made().members)
    found = read(repacked({**members, BASELINES: members[BASELINES] + line()}))
    assert any('"knocked"' in fault.found for fault in found.faults)


def test_an_event_of_a_later_program_is_let_in(made, read):
    members = dict(made(log=True).members)
    found = read(repacked({**members, LOG: members[LOG] + line(what="polished", v=3)}))
    assert found.faults == ()
    assert any(event.what == "polished" and not event.known for event in found.events)


def test_a_member_that_was_changed(made, read):
    members = dict(made().members)
    members[BOAT] += b"# one more line\n"
    found = read(packed(members))
    assert any("changed since it was packed" in fault.found for fault in found.faults)


def test_a_member_that_nobody_named_and_one_that_is_gone(made, read):
    members = dict(made(log=True).members)
    gone = {name: raw for name, raw in members.items() if name != LOG}
    assert any("nothing" in f.found for f in read(packed(gone)).faults)
    more = {**members, "lists/bench.toml": b'format = 1\nlist = "bench"\n'}
    assert any("does not name" in f.found for f in read(packed(more)).faults)


def test_faults_of_her_file_and_of_lists_have_their_lines(made, read):
    members = dict(made().members)
    boat = members[BOAT].replace(b'hull = "flooding"', b'hull = "floating"')
    found = read(
        repacked({**members, BOAT: boat, "lists/bench.toml": b'format = 1\nlist = "bench"\nodd = 1\n'})
    )
    hull = next(f for f in found.faults if f.path == "boat.hull")
    assert hull.line == boat.split(b"\n").index(b'hull = "floating"') + 1
    assert any(f.file.endswith("lists/bench.toml") and f.line == 3 for f in found.faults)


MANIFESTS = {
    "a newer version": (lambda m: m.update(version=2), "newer program"),
    "a newer version of another shape": (lambda m: m.update(version=9, boat=["x"]), "newer program"),
    "another format": (lambda m: m.update(format="something"), "divelog bundle"),
    "a name that is a path": (lambda m: m["boat"].update(slug="../tansy"), "small letters"),
    "a name that is a device": (lambda m: m["boat"].update(slug="con"), "small letters"),
    "a wrong type": (lambda m: m.update(runs="many"), "a manifest"),
    "a number beyond reason": (lambda m: m.update(runs=10**30), "a manifest"),
    "too many claims": (lambda m: m.update(claimed=[{"proof": "x"}] * 500), "a manifest"),
    "no files": (lambda m: m.pop("files"), "a manifest"),
}  # fmt: skip


@pytest.mark.parametrize("name", MANIFESTS)
def test_manifests_that_cannot_be_used(made, read, name):
    change, words = MANIFESTS[name]
    found = read(repacked(dict(made().members), change))
    assert any(words in fault.wanted for fault in found.faults), [f.sentence() for f in found.faults]
    assert found.boat is None


@pytest.mark.parametrize(
    "raw", [b"[" * 100_000, b"{}", b"null", b'{"format":' + b'{"a":' * 5000, b"\xef\xbb\xbf{}"]
)
def test_manifests_that_are_none(made, read, raw):
    found = read(packed({**made().members, MANIFEST: raw}))
    assert found.faults
    assert found.manifest is None


@given(st.binary(max_size=300))
def test_any_bytes_as_log_are_a_fault_or_events(raw):
    from datetime import datetime

    from divelog.sharing.reading import look

    members = {
        MANIFEST: json.dumps({"format": "divelog bundle", "version": 1, "boat": {"slug": "a", "name": "A"}}).encode(),
        BOAT: b"format = 1\n", LOG: raw,
    }  # fmt: skip
    found = look(repacked(members), "f.zip", datetime.fromisoformat("2032-01-01T00:00:00+00:00"))
    assert not found.whole  # her file is none
    assert all(fault.wanted for fault in found.faults)


def test_foreign_text_is_harmless_in_every_fault(made, read):
    members = dict(made().members)
    found = read(repacked(members, lambda m: m.update(format="\x1b]0;x\x07")))
    assert all("\x1b" not in f.found and "\x07" not in f.found for f in found.faults)
