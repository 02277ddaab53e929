"""A boat taken into a home: her proofs are claims, other boats are untouched, and a fault in between lends her nothing."""

from __future__ import annotations

import hashlib
import json
import shutil

import pytest

from divelog.files import DISK, StorageError
from divelog.history.folding import fold
from divelog.home import Home
from divelog.journal.loading import load, load_all
from divelog.journal.verifying import verify
from divelog.journal.writing import Journal
from divelog.proofs import State
from divelog.session.handing import HandingError, plan, take
from divelog.session.session import ReadOnlyError, Session
from divelog.session.shelf import read_shelf
from divelog.sharing.archive import packed


@pytest.fixture
def other(tmp_path, home, clock):
    """Another person's home: the same kit, Bulrush with a log of her own, no Tansy."""
    root = tmp_path / "other"
    shutil.copytree(home.root, root, ignore=shutil.ignore_patterns("logbook", "tansy.toml"))
    made = Home(root)
    with Journal(made, device="desk", clock=clock) as journal:
        journal.append("run.started", {"pack": "P1"}, boat="bulrush")
        journal.append("charged", {"pack": "D2", "to": "storage"})
    clock.advance(60)
    return made


@pytest.fixture
def writing(other, clock):
    with Journal(other, device="desk", clock=clock) as journal:
        yield Session(other, clock, read_shelf(other), journal)


def taken(writing, read, made, **how):
    found = read(packed(made.members))
    assert found.faults == ()
    taking = plan(writing, found, how.pop("under", ""), how.get("over", False))
    assert taking.faults == ()
    return take(writing, taking, **how)


@pytest.mark.parametrize("log", [False, True])
def test_every_proof_is_a_claim(writing, read, made, clock, log):
    taken(writing, read, made(log=log))
    clock.advance(60)
    report = writing.proofs("tansy", writing.shelf.boats["tansy"], clock.now())
    assert [p.name for p in report.proofs if p.stands] == []
    assert report.get("trim").state is State.CLAIMED
    assert report.dry_depth is None
    assert [d.what for d in report.defects] != []


def test_her_log_is_whole_here(writing, read, made, other, clock):
    taken(writing, read, made(log=True))
    assert all(verdict.whole for verdict in verify(other))
    runs = [run for run in fold(load(other, "tansy").events).runs if run.boat == "tansy"]
    assert [round(run.minutes or 0) for run in runs] == [42, 45]
    assert [run.site for run in runs] == ["withy-pond", "withy-pond"]


def test_other_boats_and_packs_are_untouched(writing, read, made, other):
    before = load(other, "bulrush").lines
    taken(writing, read, made(log=True))
    assert load(other, "bulrush").lines == before
    history = fold(load_all(other).events)
    here = history.pack("D2")
    assert here is not None
    assert here.runs == ()
    assert [charge.to for charge in here.charges] == ["storage"]
    theirs = history.pack("D2 (theirs)")
    assert theirs is not None
    assert len(theirs.runs) == 2


def test_baselines_come_in_with_their_own_time(writing, read, made, other):
    taken(writing, read, made())
    measured = [e for e in load(other, "tansy").events if e.what == "measured"]
    assert [e.payload()["path"] for e in measured] == ["boat.dived_balance", "boat.ballast.fill_time"]
    assert all(e.at.date().isoformat() == "2032-05-04" for e in measured)


def test_the_giver_is_named_only_here(writing, read, made, other):
    taken(writing, read, made(), giver="Rowan Example")
    event = next(e for e in load(other, "tansy").events if e.what == "boat.received")
    assert event.payload()["from"] == "Rowan Example"


def test_a_name_that_is_taken(session, read, made, home, clock):
    found = read(packed(made(log=True).members))
    with Journal(home, device="laptop", clock=clock) as journal:
        writing = Session(home, clock, read_shelf(home), journal)
        taking = plan(writing, found)
        assert taking.collides
        assert taking.here > 0
        with pytest.raises(HandingError, match="another name"):
            take(writing, taking)
        for odd in ("...", "con", "☃"):
            with pytest.raises(HandingError):
                plan(writing, found, odd)
        again = plan(writing, found, "Grey Heron")
        assert (again.slug, again.name, again.collides) == ("grey-heron", "Grey Heron", False)
        assert take(writing, again).lines == 0  # every line of hers is here, as Tansy's
    assert Home(home.root).boat_file("grey-heron").exists()


def test_a_log_without_a_boat_is_asked_about_too(writing, read, made, other, clock):
    writing.append("knocked", {"kind": "hit"}, boat="tansy")
    clock.advance(60)
    taking = plan(writing, read(packed(made().members)))
    assert taking.own_log
    with pytest.raises(HandingError, match="has a log"):
        take(writing, taking)


def test_a_taking_in_that_was_cut_short_may_be_done_again(writing, read, made, other, clock):
    writing.append("boat.received", {"claimed": []}, boat="tansy")
    clock.advance(60)
    taken(writing, read, made(log=True))
    assert other.boat_file("tansy").exists()


def test_a_line_about_an_event_of_ours_is_refused(writing, read, made, other):
    """A stranger who knows an identifier of ours must not end our run or close our defect."""
    ours = next(e for e in load(other, "bulrush").lines if e.what == "run.started")
    lines = made(log=True).members
    for fields in ({"run": ours.id, "what": "run.ended"}, {"what": "defect.closed", "data": {"of": ours.id}}):
        event = {
            "id": "01ca0000-0000-7000-8000-000000000001",
            "when": "2032-05-04T12:00:00+01:00",
            "boat": "tansy",
            **fields,
        }
        raw = lines["log.jsonl"] + json.dumps(event).encode() + b"\n"
        manifest = json.loads(lines["manifest.json"])
        for one in manifest["files"]:
            if one["name"] == "log.jsonl":
                one.update(sha256=hashlib.sha256(raw).hexdigest(), bytes=len(raw))
        found = read(packed({**lines, "log.jsonl": raw, "manifest.json": json.dumps(manifest).encode()}))
        assert found.faults == ()
        taking = plan(writing, found)
        assert any("your own logbook" in fault.found for fault in taking.faults)
        with pytest.raises(HandingError):
            take(writing, taking)
    assert not other.boat_file("tansy").exists()


def test_what_cannot_be_written_is_not_taken(other, read, made, clock):
    reading = Session.reading(other, clock, read_shelf(other))
    with pytest.raises(ReadOnlyError):
        take(reading, plan(reading, read(packed(made().members))))
    assert not other.boat_file("tansy").exists()


class Failing:
    """The disk of this machine, whose n-th call of one kind fails."""

    def __init__(self, name: str, at: int) -> None:
        self.name, self.left = name, at
        self.failed = False

    def __getattr__(self, name):
        real = getattr(DISK, name)
        if name != self.name:
            return real

        def call(*args):
            self.left -= 1
            if self.left == 0:
                self.failed = True
                raise OSError(28, "No space left on device")
            return real(*args)

        return call


@pytest.mark.parametrize("call", ["write", "fsync", "replace", "open"])
def test_no_fault_in_between_lends_her_a_proof(other, read, made, clock, tmp_path, call):
    """The n-th call fails, for n = 1, 2, 3 … until none does: she is not there, or she is there with nothing proved."""
    raw = packed(made(log=True).members)
    found = read(raw)
    for n in range(1, 60):
        root = tmp_path / f"{call}-{n}"
        shutil.copytree(other.root, root)
        home, disk = Home(root), Failing(call, n)
        try:
            with Journal(home, device="desk", clock=clock, disk=disk) as journal:
                writing = Session(home, clock, read_shelf(home), journal, disk)
                take(writing, plan(writing, found))
        except (StorageError, ReadOnlyError):
            pass
        clock.advance(1)
        check = Session.reading(home, clock, read_shelf(home))
        document = check.shelf.boats.get("tansy") or found.boat
        report = check.proofs("tansy", document, clock.now())
        assert not any(p.stands for p in report.proofs), n
        assert report.dry_depth is None
        if not disk.failed:
            break
    else:
        raise AssertionError("the disk never stopped failing")


def test_a_link_in_the_place_of_her_folder_is_refused(writing, read, made, other, tmp_path):
    outside = tmp_path / "outside"
    outside.mkdir()
    (other.logbook / "tansy").symlink_to(outside)
    with pytest.raises(StorageError):
        taken(writing, read, made(log=True))
    assert list(outside.iterdir()) == []
