"""A season of two laptops that write all day while a sync service keeps their folders late, out of order and in halves.

The service is a model: each laptop has its own disk; a file goes up or comes down when its turn is drawn, also under a window
that is writing; where both sides changed it since they last agreed, the laptop's own goes aside under another name, as such
services do. What comes down may at first be a part of it. In the end everything arrives.
"""

from __future__ import annotations

import random
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from fault_disks import MemoryDisk, contents
from hypothesis import example, given, settings
from hypothesis import strategies as st

from divelog.clock import FixedClock, Ids
from divelog.files import Form
from divelog.home import Home
from divelog.journal.events import Event, format_happened
from divelog.journal.loading import load
from divelog.journal.reports import Fault
from divelog.journal.writing import Journal

HOME = Home(Path("/home"))
FOLDERS = (HOME.journal_folder("tansy"), HOME.journal_folder(None))
T = datetime(2032, 4, 1, 9, 0, tzinfo=UTC)
Key = tuple[Path, str]
Step = tuple[str, int, int, int]


class Laptop:
    """One disk, one clock that is not quite right, one session after the other."""

    def __init__(self, number: int, device: str, wrong: float) -> None:
        self.number, self.device = number, device
        self.disk = MemoryDisk()
        for folder in (HOME.root, HOME.logbook, *FOLDERS):
            self.disk.make_folder(folder)
        self.clock = FixedClock(T + timedelta(seconds=wrong), up=1000.0 * number, boot=f"{number:012x}")
        self.ids = Ids(random.Random(number).getrandbits)
        self.journal: Journal | None = None
        self.agreed: dict[Key, bytes] = {}
        self.kept: list[Event] = []

    def write(self, words: int, ago: int) -> None:
        self.clock.advance(60.0)
        if self.journal is None:
            self.journal = Journal(HOME, self.device, clock=self.clock, ids=self.ids, disk=self.disk)
        happened = format_happened(self.clock.now() - timedelta(hours=ago), 600.0) if ago else None
        what, boat = ("day.opened", None) if words % 5 == 0 else ("note", "tansy")
        data = {"site": "withy-pond"} if boat is None else {"text": f"{self.number}: {words}"}
        self.kept.append(self.journal.append(what, data, boat=boat, happened=happened))

    def close(self) -> None:
        if self.journal is not None:
            self.journal.close()
            self.journal = None

    def files(self) -> dict[Key, bytes]:
        return {
            (folder, name): data
            for folder in FOLDERS
            for name, data in contents(self.disk, folder).items()
            if not name.startswith(".")
        }

    def put(self, key: Key, data: bytes) -> None:
        """As a service does: a new file in the place of the old one."""
        self.disk.put(key[0] / key[1], Form.FILE, data)


class Service:
    """What is kept elsewhere."""

    def __init__(self) -> None:
        self.files: dict[Key, bytes] = {}
        self.copies = 0

    def up(self, laptop: Laptop, key: Key) -> None:
        """One file goes up, if nobody else changed it meanwhile."""
        mine, agreed = laptop.files().get(key), laptop.agreed.get(key)
        if mine is None or mine == agreed:
            return
        if self.files.get(key) in (None, agreed):
            self.files[key] = mine
        elif self.files[key] != mine:
            self._aside(laptop, key, mine)
        laptop.agreed[key] = self.files[key]

    def _aside(self, laptop: Laptop, key: Key, mine: bytes) -> None:
        self.copies += 1
        name = Path(key[1])
        copy = (key[0], f"{name.stem} (conflict copy {self.copies}){name.suffix}")
        laptop.put(copy, mine)
        self.files[copy] = laptop.agreed[copy] = mine
        laptop.put(key, self.files[key])

    def down(self, laptop: Laptop, key: Key, part: int = 100) -> None:
        """One file comes down, or at first a part of it (per cent)."""
        if key not in self.files:
            return
        mine = laptop.files().get(key)
        if mine is not None and mine != laptop.agreed.get(key):
            self.up(laptop, key)
            return
        whole = self.files[key]
        data = whole[: len(whole) * part // 100]
        laptop.put(key, data)
        laptop.agreed[key] = data

    def settle(self, laptops: tuple[Laptop, ...]) -> None:
        """Everything arrives."""
        for _ in range(4):
            for laptop in laptops:
                for key in list(laptop.files()):
                    self.up(laptop, key)
            for laptop in laptops:
                for key in list(self.files):
                    self.down(laptop, key)


WRITE = st.tuples(st.just("write"), st.integers(0, 1), st.integers(0, 99), st.integers(0, 30))
MOVE = st.tuples(
    st.sampled_from(["up", "down", "down", "part"]), st.integers(0, 1), st.integers(0, 9), st.integers(0, 99)
)
REST = st.tuples(
    st.sampled_from(["close", "clock", "restart"]), st.integers(0, 1), st.integers(-5000, 5000), st.just(0)
)
SEASON = st.lists(st.one_of(WRITE, WRITE, MOVE, MOVE, REST), min_size=12, max_size=60)


def season(steps: list[Step], names: tuple[str, str]) -> tuple[Laptop, Laptop]:
    laptops = (Laptop(1, names[0], 0.0), Laptop(2, names[1], 47.0))
    service = Service()
    for what, who, number, more in steps:
        laptop = laptops[who]
        keys = sorted({*service.files, *laptop.files()})
        key = keys[number % len(keys)] if keys else None
        if what == "write":
            laptop.write(number, more)
        elif what == "close":
            laptop.close()
        elif what == "clock":
            laptop.clock.set_wall(laptop.clock.now() + timedelta(seconds=number))
        elif what == "restart":
            laptop.close()
            laptop.clock.restart(f"{abs(number):06x}{laptop.number:06x}")
        elif key is not None and what == "up":
            service.up(laptop, key)
        elif key is not None:
            service.down(laptop, key, more if what == "part" else 100)
    for laptop in laptops:
        laptop.close()
    service.settle(laptops)
    return laptops


def check(laptops: tuple[Laptop, Laptop]) -> None:
    one, other = (load(HOME, "tansy", laptop.disk) for laptop in laptops)
    assert one.lines == other.lines
    assert one.events == other.events
    assert one.reports == other.reports
    there = [event.id for event in one.lines]
    assert len(there) == len(set(there))
    kept = {event.id: event for laptop in laptops for event in laptop.kept}
    own = [event for event in one.lines if event.what in ("note", "day.opened")]
    assert {event.id for event in own} == set(kept)
    for event in own:
        assert event.payload() == kept[event.id].payload()
        assert event.at == kept[event.id].at
    order = [(event.at, event.id) for event in one.lines]
    assert order == sorted(order)
    assert not one.damaged, one.reports


FIRST_HALF: list[Step] = [
    ("write", 0, 1, 0), ("up", 0, 0, 0), ("part", 1, 0, 50), ("write", 1, 2, 0), ("down", 1, 0, 0), ("up", 1, 0, 0),
]  # fmt: skip
BOTH: list[Step] = [
    ("write", 0, 1, 0), ("write", 1, 2, 0), ("up", 0, 0, 0), ("up", 1, 0, 0), ("write", 1, 3, 0), ("down", 0, 0, 0),
]  # fmt: skip


@given(SEASON)
@settings(max_examples=60, deadline=None)
@example(FIRST_HALF)
def test_two_laptops_with_names_of_their_own(steps: list[Step]) -> None:
    check(season(steps, ("pond-laptop", "bench-laptop")))


@given(SEASON)
@settings(max_examples=60, deadline=None)
@example(FIRST_HALF)
@example(BOTH)
def test_two_laptops_that_nobody_gave_names(steps: list[Step]) -> None:
    """Both write `laptop.jsonl`: the service makes conflict copies, and still nothing is lost or there twice."""
    check(season(steps, ("laptop", "laptop")))


@pytest.mark.nightly
@pytest.mark.parametrize("names", [("pond-laptop", "bench-laptop"), ("laptop", "laptop")])
def test_many_seasons(names: tuple[str, str]) -> None:
    @given(SEASON)
    @settings(max_examples=2000, deadline=None)
    def run(steps: list[Step]) -> None:
        check(season(steps, names))

    run()


def test_two_events_under_one_identifier_are_told(tmp_path: Path) -> None:
    home = Home(tmp_path)
    with Journal(home, device="pond", clock=FixedClock(T)) as journal:
        kept = journal.append("note", {"text": "the first words"}, boat="tansy").id
    path = home.journal_folder("tansy") / "pond.jsonl"
    path.with_name("bench.jsonl").write_bytes(path.read_bytes().replace(b"the first words", b"other words"))
    found = load(home, "tansy")
    assert [e.id for e in found.events if e.what == "note"] == [kept]
    assert [r.fault for r in found.reports if kept in r.found] == [Fault.DAMAGE]
