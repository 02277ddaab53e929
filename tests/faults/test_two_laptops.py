"""Two laptops and one folder that a service brings over late, out of order, by halves, and with copies of its own.

Each device writes its own file only. Whatever the service does on the way, once it has brought everything the history is
the same on both, every event once, in the order it happened; nothing that was acknowledged is ever missing where it was
written, and two different events under one identifier are told.
"""

from __future__ import annotations

import shutil
import tempfile
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.clock import FixedClock
from divelog.home import Home
from divelog.journal.loading import load
from divelog.journal.reports import Fault
from divelog.journal.verifying import verify
from divelog.journal.writing import Journal

NOW = datetime.fromisoformat("2032-05-04T08:04:00+01:00")
DEVICES = ("pond", "bench")


@dataclass
class Laptop:
    """One device with its folder and its clock, which may be wrong by some minutes."""

    device: str
    home: Home
    clock: FixedClock
    kept: list[str] = field(default_factory=list)

    def write(self, text: str) -> None:
        self.clock.advance(30)
        with Journal(self.home, device=self.device, clock=self.clock) as journal:
            self.kept.append(journal.append("note", {"text": text}, boat="tansy").id)

    def files(self) -> list[Path]:
        """Its own files, as the service sees them."""
        folder = self.home.journal_folder("tansy")
        return sorted(folder.glob(f"{self.device}*.jsonl")) if folder.is_dir() else []


def bring(source: Laptop, target: Laptop, share: float, copy: bool) -> None:
    """The service brings a laptop's files over: the first part of each, or all; or beside what is there, as a copy."""
    folder = target.home.journal_folder("tansy")
    folder.mkdir(parents=True, exist_ok=True)
    for path in source.files():
        if "conflict" in path.name:
            continue
        raw = path.read_bytes()
        name = f"{path.stem} (conflict copy).jsonl" if copy else path.name
        (folder / name).write_bytes(raw[: round(share * len(raw))])


_STEP = st.one_of(
    st.tuples(st.just("write"), st.sampled_from([0, 1])),
    st.tuples(
        st.just("bring"), st.sampled_from([0, 1]), st.sampled_from([0.0, 0.3, 0.5, 0.77, 1.0]), st.booleans()
    ),
)


@settings(max_examples=80)
@given(st.lists(_STEP, min_size=4, max_size=18), st.integers(-400, 400))
def test_a_season_through_a_folder_that_syncs_late(steps: list[tuple], skew: int) -> None:
    root = Path(tempfile.mkdtemp())
    try:
        clocks = (FixedClock(NOW, boot="a" * 12), FixedClock(NOW, boot="b" * 12))
        clocks[1].advance(400 + skew)
        laptops = [
            Laptop(name, Home(root / name), clock) for name, clock in zip(DEVICES, clocks, strict=True)
        ]
        for number, step in enumerate(steps):
            one, other = laptops[step[1]], laptops[1 - step[1]]
            if step[0] == "write":
                one.write(f"note {number}")
            else:
                bring(one, other, step[2], step[3])
            for laptop in laptops:
                found = [e.id for e in load(laptop.home, "tansy").events if e.what == "note"]
                assert len(found) == len(set(found))
                assert set(laptop.kept) <= set(found)  # at home nothing is ever missing
                assert set(found) <= {*laptops[0].kept, *laptops[1].kept}
        for number in (0, 1, 0):  # in the end everything arrives
            bring(laptops[number], laptops[1 - number], 1.0, False)
        here, there = (load(laptop.home, "tansy") for laptop in laptops)
        notes = [e for e in here.events if e.what == "note"]
        assert [e.id for e in notes] == [e.id for e in there.events if e.what == "note"]
        assert sorted(e.id for e in notes) == sorted([*laptops[0].kept, *laptops[1].kept])
        assert notes == sorted(notes, key=lambda e: (e.at, e.id))
        assert not [r for r in here.reports if r.fault is Fault.DAMAGE]
        for laptop in laptops:
            own = [v for v in verify(laptop.home) if "conflict" not in v.file]
            assert all(verdict.whole for verdict in own)
    finally:
        shutil.rmtree(root)


def test_two_events_under_one_identifier_are_told(tmp_path: Path) -> None:
    laptop = Laptop("pond", Home(tmp_path), FixedClock(NOW))
    laptop.write("the first words")
    (path,) = laptop.files()
    other = path.with_name("bench.jsonl")
    other.write_bytes(path.read_bytes().replace(b"the first words", b"other words"))
    found = load(laptop.home, "tansy")
    assert [e.id for e in found.events if e.what == "note"] == laptop.kept
    assert any(r.fault is Fault.DAMAGE and "bench" in f"{r.file}{r.found}" for r in found.reports)
