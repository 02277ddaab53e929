"""A whole life of a logbook: append, correct, crash, reopen, merge, cut, rename; the model is what was kept."""

from __future__ import annotations

import errno
import random
from datetime import UTC, datetime, timedelta
from pathlib import Path

import msgspec
import pytest
from fault_disks import Fault, FaultyDisk, ModelDisk, contents
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    Bundle,
    RuleBasedStateMachine,
    initialize,
    invariant,
    rule,
    run_state_machine_as_test,
)

from divelog.clock import FixedClock, Ids
from divelog.files import How
from divelog.home import Home
from divelog.journal.events import Event, encode
from divelog.journal.loading import load, load_all
from divelog.journal.verifying import verify
from divelog.journal.writing import Journal, NotSavedError

HOME = Home(Path("/people/home"))
T = datetime(2032, 5, 4, 8, 0, tzinfo=UTC)
BOATS = st.sampled_from([None, "tansy", "bulrush"])
DEVICES = ["laptop", "tablet"]


def but_chain(event: Event) -> bytes:
    """What a line says, without which line it follows."""
    return encode(msgspec.structs.replace(event, prev=""))


def told(lines: list[Event]) -> dict[str, dict[str, object]]:
    """Notes after corrections, worked out in another way: each event asks who corrects it, newest first."""
    lines = [event for event in lines if event.what in ("note", "corrected")]
    newest_first = sorted(lines, key=lambda event: (event.when, event.id), reverse=True)
    place = {event.id: number for number, event in enumerate(newest_first)}

    def now(event: Event) -> dict[str, object] | None:
        """Its data now; none if it is void."""
        for other in newest_first:
            if other.what != "corrected":
                continue
            # Of two corrections each may only look at those newer than itself.
            if event.what == "corrected" and place[other.id] >= place[event.id]:
                continue
            says = now(other)
            if says is not None and says.get("id") == event.id:
                return None if says.get("void") else dict(says["data"])  # type: ignore[call-overload]
        return event.payload()

    return {event.id: data for event in lines if event.what == "note" and (data := now(event)) is not None}


class Life(RuleBasedStateMachine):
    """Two devices, one home on a disk that loses what was not synced."""

    events = Bundle("events")

    @initialize(seed=st.integers(0, 2**32))
    def begin(self, seed: int) -> None:
        self.model = ModelDisk()
        self.disk = FaultyDisk(self.model)
        self.disk.make_folder(HOME.root.parent)
        self.disk.fsync_folder(HOME.root.parent.parent)
        self.clock = FixedClock(T)
        self.pick = random.Random(seed)
        self.ids = Ids(self.pick.getrandbits)
        self.open: dict[str, Journal] = {}
        self.kept: dict[str, Event] = {}
        self.maybe: set[str] = set()
        self.lost: set[str] = set()

    def journal(self, device: str) -> Journal:
        if device not in self.open:
            self.open[device] = Journal(HOME, device, clock=self.clock, ids=self.ids, disk=self.disk)
        return self.open[device]

    def write(self, device: str, what: str, data: dict[str, object], boat: str | None) -> Event | None:
        self.clock.advance(1.0)
        try:
            event = self.journal(device).append(what, data, boat=boat)
        except NotSavedError as error:
            self.maybe.add(error.event.id)
            return None
        self.kept[event.id] = event
        return event

    @rule(target=events, device=st.sampled_from(DEVICES), boat=BOATS, words=st.text(max_size=5))
    def append(self, device: str, boat: str | None, words: str) -> Event | None:
        return self.write(device, "note", {"text": words}, boat)

    @rule(target=events, device=st.sampled_from(DEVICES), target_event=events, void=st.booleans())
    def correct(self, device: str, target_event: Event | None, void: bool) -> Event | None:
        """Corrects a note, or a correction."""
        if target_event is None:
            return None
        data: dict[str, object] = {"id": target_event.id, "why": "slip"}
        if target_event.what == "corrected":
            new: dict[str, object] = {**target_event.payload(), "data": {"text": f"twice {len(self.kept)}"}}
        else:
            new = {"text": f"corrected {len(self.kept)}"}
        data |= {"void": True} if void else {"data": new}
        return self.write(device, "corrected", data, target_event.boat)

    @rule(device=st.sampled_from(DEVICES))
    def close(self, device: str) -> None:
        if device in self.open:
            self.open.pop(device).close()

    @rule(ways=st.randoms(use_true_random=False))
    def crash(self, ways: random.Random) -> None:
        self.open.clear()
        self.model.crash(ways.randrange)

    @rule(
        call=st.sampled_from(["write", "fsync", "fsync_folder", "truncate", "open", "status", "names"]),
        number=st.sampled_from([errno.EIO, errno.ENOSPC]),
        written=st.integers(0, 50),
    )
    def trouble(self, call: str, number: int, written: int) -> None:
        self.disk.fail_next(call, Fault(number, written=written))

    @rule()
    def calm(self) -> None:
        self.disk.mend()

    @rule(seconds=st.integers(-100_000, 100_000))
    def set_the_clock(self, seconds: int) -> None:
        self.clock.set_wall(self.clock.now() + timedelta(seconds=seconds))

    @rule()
    def restart_the_machine(self) -> None:
        self.open.clear()
        self.model.crash(self.pick.randrange)
        self.clock.restart(f"{self.pick.getrandbits(48):012x}")

    @rule(boat=st.sampled_from(["tansy", "bulrush"]))
    def copy_as_a_sync_tool_does(self, boat: str) -> None:
        """Each file once more under another name: a merge is a copy."""
        self.calmly()
        folder = HOME.journal_folder(boat)
        if self.disk.look(folder) is None:
            return
        for name, data in contents(self.disk, folder).items():
            copy = folder / f"{name.removesuffix('.jsonl')} (copy).jsonl"
            if name.endswith(".jsonl") and "copy" not in name and self.disk.look(copy) is None:
                self.put(copy, data)

    @rule(boat=st.sampled_from(["tansy", "bulrush"]), device=st.sampled_from(DEVICES))
    def rename_the_device(self, boat: str, device: str) -> None:
        self.calmly()
        self.close(device)
        folder = HOME.journal_folder(boat)
        old, new = folder / f"{device}.jsonl", folder / f"{device}-{len(self.kept)}-old.jsonl"
        if self.disk.look(old) is not None and self.disk.look(new) is None:
            self.disk.replace(old, new)
            self.disk.fsync_folder(folder)

    @rule(
        boat=st.sampled_from(["tansy", "bulrush"]), device=st.sampled_from(DEVICES), back=st.integers(1, 600)
    )
    def cut_a_tail(self, boat: str, device: str, back: int) -> None:
        """Somebody cuts the end of a file that no copy has: what stood there is gone, all else stays."""
        self.calmly()
        self.close(device)
        path = HOME.journal_folder(boat) / f"{device}.jsonl"
        before = {event.id for event in load_all(HOME, self.disk).lines}
        if self.disk.look(path) is None:
            return
        fd = self.disk.open(path, How.APPEND)
        self.disk.truncate(fd, max(self.disk.status(fd).size - back, 0))
        self.disk.fsync(fd)
        self.disk.close(fd)
        after = {event.id for event in load_all(HOME, self.disk).lines}
        gone = (before | set(self.kept)) - after
        self.lost |= gone
        for each in gone:
            self.kept.pop(each, None)

    def calmly(self) -> None:
        self.disk.mend()

    def put(self, path: Path, data: bytes) -> None:
        fd = self.disk.open(path, How.CREATE)
        self.disk.write(fd, data)
        self.disk.fsync(fd)
        self.disk.close(fd)
        self.disk.fsync_folder(path.parent)

    @invariant()
    def history_is_what_was_kept(self) -> None:
        if not hasattr(self, "kept"):
            return
        loaded = load_all(HOME, self.model)
        lines = [event for event in loaded.lines if event.what in ("note", "corrected")]
        there = [event.id for event in lines]
        assert len(there) == len(set(there))
        assert set(self.kept) <= set(there)
        assert set(there) - set(self.kept) <= self.maybe | self.lost
        assert not [report for report in loaded.reports if report.fault.value in ("damage", "unreadable")]
        for event in lines:
            if event.id in self.kept:
                assert but_chain(event) == but_chain(self.kept[event.id])
        notes = {event.id: event.payload() for event in loaded.events if event.what == "note"}
        assert notes == told(lines)
        for boat in ("tansy", "bulrush"):
            ours = [event for event in lines if event.boat in (None, boat)]
            alone = load(HOME, boat, self.model).events
            assert {event.id: event.payload() for event in alone if event.what == "note"} == told(ours)

    def teardown(self) -> None:
        if not hasattr(self, "kept"):
            return
        self.disk.mend()
        self.history_is_what_was_kept()
        event = self.write("laptop", "note", {"text": "the end"}, "tansy")
        assert event is not None
        self.history_is_what_was_kept()
        verify(HOME, disk=self.disk)


TestLife = Life.TestCase
TestLife.settings = settings(
    max_examples=40, stateful_step_count=25, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)


@pytest.mark.nightly
def test_a_long_life() -> None:
    run_state_machine_as_test(
        Life,
        settings=settings(
            max_examples=150,
            stateful_step_count=40,
            deadline=None,
            suppress_health_check=[HealthCheck.too_slow],
        ),
    )
