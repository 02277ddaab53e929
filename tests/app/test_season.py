"""A whole season on one boat, by keys on the pages and again from a shell: both logs fold to the same state."""

from __future__ import annotations

import importlib.util
import shutil
import sys
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from divelog.app.desk import Desk
from divelog.app.look.layout import STANDARD
from divelog.app.places import EXTRAS, MAKERS
from divelog.app.shell import Shell
from divelog.clock import FixedClock
from divelog.history.folding import History, fold
from divelog.home import Home
from divelog.journal.loading import load
from divelog.journal.verifying import verify
from divelog.journal.writing import Journal
from divelog.physics.service import DAYS
from divelog.session.session import Session
from divelog.session.shelf import read_shelf
from divelog.session.tending import Tended, tend
from divelog.upkeep.due import DueVerdict

_spec = importlib.util.spec_from_file_location("season", Path(__file__).with_name("season.py"))
season = importlib.util.module_from_spec(_spec)
sys.modules["season"] = season  # its dataclasses look themselves up there
_spec.loader.exec_module(season)

SAMPLES = Path(__file__).resolve().parents[2] / "sample_boats"
BOAT = season.BOAT
Outing = season.Outing


def home_at(root: Path) -> Home:
    """The sample boats with an empty log."""
    shutil.copytree(SAMPLES, root, ignore=shutil.ignore_patterns("logbook"))
    return Home(root)


@pytest.fixture
def keys(tmp_path: Path) -> Iterator[object]:
    """Hands on the keys, on the morning of 17 April."""
    home = home_at(tmp_path / "keys")
    clock = FixedClock(season.moment("2032-04-17", "08:00"))
    with Journal(home, device="laptop", clock=clock) as journal:
        shell = Shell(Desk(Session(home, clock, read_shelf(home), journal)), MAKERS, EXTRAS)

        async def press(key: str) -> None:
            shell.press("space" if key == " " else key)
            shell.draw(STANDARD)

        yield season.KeysHands(shell, clock, press)


FIRST = Outing("2032-04-25", marks=("09:41",))
SCRATCHED = Outing("2032-05-02", marks=("09:50",), instead={
    "mend": "3", "mend.words": "switch port scratched", "marks": "3", "marks.step": "3", "marks.depth": "0.4",
    "marks.source": "2", "deepest": "0.4",
})  # fmt: skip
AGAIN = Outing("2032-05-16")
SECOND_RUN = Outing("2032-05-16", "11:30", "11:55", again=True)
DIM = Outing("2032-06-06")
LAMP = "by day nobody needs that lamp"
SPRING = Outing("2033-04-10")


COMMISSIONING, SEASON = ("leak-test", "bench", "tank-trim"), ("leak-test", "bench", "tank-trim")
"""Lists that are walked within these two; in the short form some are done another way."""


async def by_keys(hands, *, long: bool) -> None:
    """The season on the pages."""
    who = hands.who
    await hands.morning("2032-04-17", "08:00")
    await who.day("0.2")
    await hands.walk("commissioning", COMMISSIONING if long else COMMISSIONING[:1])
    hands.until("2032-04-24", "19:00")
    await hands.happened("6", "1", "1", "3.1", "")
    await hands.outing(FIRST)
    hands.until("2032-04-26", "08:00")
    await hands.happened(
        "6", "1", "1", "2.2", "yesterday 19:00"
    )  # charged last night, written down at breakfast
    await hands.outing(SCRATCHED)
    # A ring is renewed, she is proved dry, and only then the defect is closed by that.
    hands.until("2032-05-08", "10:00")
    await hands.happened("2", "1", "1", "2", "", "")
    await hands.walk("leak-test")
    await hands.place(1)
    await who.type("x", "1", "1", "sanded, new ring", "enter", "1", "enter", "enter")
    assert "Kept" in hands.text()
    hands.until("2032-05-09", "18:00")
    await hands.happened("6", "1", "1", "2.4", "2032-05-02 20:00 +/- 3 h")
    before = who.keys
    await hands.done("shaft_grease")
    assert "shaft grease done now" in hands.text()
    assert who.keys - before <= 6  # Esc and 6, a page on, d and its digit
    if long:
        await hands.outing(AGAIN)
        await hands.outing(SECOND_RUN)
        hands.until("2032-05-17", "19:00")
        await hands.happened("6", "1", "1", "3.9", "")
    hands.until("2032-06-05", "18:00")
    await hands.happened("8", "sail lamp dim", "1", "")
    await hands.morning(DIM.day, "08:20")
    await hands.place(1)
    await who.type("x", "1", "2", LAMP, "enter")
    assert "Kept" in hands.text()
    await hands.place(1)
    assert "DEFECT OVERRULED" in hands.text()
    await hands.outing(DIM)
    await hands.happened("6", "1", "1", "2.0", "")
    hands.until("2032-10-30", "14:00")
    await hands.walk("storage")
    hands.until("2033-03-12", "10:00")
    await hands.place(1)
    await who.type("x", "1", "1", "new lamp", "enter", "6", "enter", "enter")
    assert "Kept" in hands.text()
    await hands.morning("2033-03-12", "10:05")
    await who.day("0.2")
    await hands.walk("season", SEASON if long else (), {"caps": "2"})
    hands.until("2033-04-09", "18:00")
    await hands.happened("6", "1", "1", "1.0", "")
    await hands.outing(SPRING)
    hands.until("2033-04-10", "20:00")


def from_a_shell(hands, folder: Path, *, long: bool) -> None:
    """The same season, typed into a shell: some outings on paper, some at the prompts."""
    record = hands.record
    hands.until("2032-04-17", "08:00")
    hands.day(FIRST)
    hands.walk("commissioning")
    hands.until("2032-04-24", "19:00")
    record("charged", "pack=P1", "to=full", "charge=3.1 A h")
    hands.sheet(FIRST, folder / "first.txt")
    hands.until("2032-04-26", "08:00")
    record("charged", "pack=P1", "to=full", "charge=2.2 A h", happened="yesterday 19:00")
    hands.outing(SCRATCHED)
    hands.until("2032-05-08", "10:00")
    record("fitted", "part=seal", "item=aft cap", "seals=aft cap")
    hands.walk("leak-test")
    record("defect.closed", f"of={hands.defect()}", "words=sanded, new ring", "check=leak-test")
    hands.until("2032-05-09", "18:00")
    record("charged", "pack=P1", "to=full", "charge=2.4 A h", happened="2032-05-02 20:00 +/- 3 h")
    record("serviced", "item=shaft_grease")
    if long:
        hands.sheet(AGAIN, folder / "again.txt")
        hands.sheet(SECOND_RUN, folder / "second.txt")
        hands.until("2032-05-17", "19:00")
        record("charged", "pack=P1", "to=full", "charge=3.9 A h")
    hands.until("2032-06-05", "18:00")
    record("defect.opened", "defect=sail lamp dim", "stops_launch=yes")
    hands.until(DIM.day, "08:20")
    record("defect.overruled", "of=sail lamp dim", f"reason={LAMP}")
    hands.outing(DIM)
    record("charged", "pack=P1", "to=full", "charge=2.0 A h")
    hands.until("2032-10-30", "14:00")
    hands.walk("storage")
    hands.until("2033-03-12", "10:00")
    record("defect.closed", f"of={hands.defect()}", "words=new lamp", "check=look")
    hands.until("2033-03-12", "10:05")
    hands.day(SPRING)
    hands.walk("season")
    hands.until("2033-04-09", "18:00")
    record("charged", "pack=P1", "to=full", "charge=1.0 A h")
    if long:
        hands.sheet(SPRING, folder / "spring.txt")
    else:
        hands.outing(SPRING)
    hands.until("2033-04-10", "20:00")


def number(value) -> tuple[float | None, float | None] | None:
    """A quantity as it can be compared."""
    return None if value is None else (value.si, round(value.u95, 9))


def runs_of(history: History) -> list[tuple]:
    """What each run came to, to the minute."""
    return [
        (
            run.site, run.start.replace(second=0), run.end.replace(second=0), run.pack, run.transmitter, run.receiver,
            run.plan is not None, number(run.deepest), run.deepest.how, number(run.volts), run.reason, run.limits,
            run.water.word, run.water.looked, run.answered, [mark.named for mark in run.marks],
            [(i.step, number(i.depth), i.source) for i in run.incidents],
        )
        for run in history.runs
    ]  # fmt: skip


def defects_of(history: History) -> list[tuple]:
    """Every defect, who proved it gone, and with what reason she went all the same."""
    return [
        (d.words, d.stops_launch, d.open, d.closed and d.closed.check, [o.reason for o in d.overruled])
        for d in history.defects
    ]


def packs_of(history: History) -> list[tuple]:
    """Every pack: charges with their day and charge, and how it stands."""
    charges = [(c.pack, c.at.date(), number(c.charge), c.to) for c in history.charges]
    return [*charges, *((p.pack, p.state) for p in history.packs)]


def proofs_of(session: Session) -> list[tuple]:
    """Every proof: how it stands, and why it does not."""
    report = session.proofs(BOAT, session.shelf.boats[BOAT], session.clock.now(), False, "P1")
    found = [(p.name, p.state, p.because) for p in report.proofs]
    return [*found, ("dry", report.dry_depth), ("defects", [d.what for d in report.defects])]


def due_of(tended: Tended) -> list[tuple]:
    """Every row of upkeep, its count to a hundredth of what is allowed."""
    return [
        (r.item, r.verdict, None if r.used is None else round(r.used / r.allowed, 2), r.because)
        for r in tended.care.rows
    ]


def wear_of(tended: Tended) -> list[tuple]:
    """Every series: its readings, its cut, its verdict."""
    return [
        (s.followed.name, s.wear.verdict, [round(p.value, 4) for p in (*s.wear.before, *s.wear.since)],
         s.wear.cut and s.wear.cut.why)
        for s in tended.series
    ]  # fmt: skip


@pytest.mark.parametrize("long", [False, pytest.param(True, marks=pytest.mark.nightly)])
async def test_a_season_by_keys_and_from_a_shell_ends_in_the_same_state(keys, tmp_path, monkeypatch, long):
    await by_keys(keys, long=long)
    home = home_at(tmp_path / "shell")
    clock = FixedClock(season.moment("2032-04-17", "08:00"))
    monkeypatch.setattr("divelog.clock.SystemClock", lambda: clock)
    hands = season.ShellHands(home.root, clock, keys.lists)
    from_a_shell(hands, tmp_path, long=long)
    assert not hands.lists
    first, second = keys.shell.desk.session, Session.reading(home, clock, read_shelf(home))
    one, other = (fold(load(each.home, BOAT).events) for each in (first, second))
    assert runs_of(other) == runs_of(one)
    assert defects_of(other) == defects_of(one)
    assert packs_of(other) == packs_of(one)
    assert proofs_of(second) == proofs_of(first)
    mine, theirs = (tend(each, BOAT, each.clock.now()) for each in (first, second))
    assert due_of(theirs) == due_of(mine)
    assert wear_of(theirs) == wear_of(mine)
    assert all(verdict.whole for each in (first.home, home) for verdict in verify(each))
    # and it is the season that was sailed
    assert len(one.runs) == (6 if long else 4)
    assert all(run.minutes == pytest.approx(30, abs=6) and run.answered for run in one.runs)
    assert [(i.step, i.depth.si) for i in one.incidents] == [("touched bottom", 0.4)]
    assert defects_of(one) == [
        ("switch port scratched", True, False, "leak-test", []),
        ("sail lamp dim", True, False, "look", [LAMP]),
    ]
    assert [c.item for c in one.changes if c.kind == "fitted"] == ["aft cap", "shaft", "aft cap"]
    assert one.stored[0].at.date().isoformat() == "2032-10-30"
    late = next(c for c in one.charges if c.at.date().isoformat() == "2032-04-25")
    assert late.charge.si == pytest.approx(2.2 * 3600)
    grease = next(row for row in mine.care.rows if row.item == "shaft_grease")
    assert grease.verdict is DueVerdict.OUTSIDE
    days = next(use.used for use in grease.uses if use.counter == DAYS)
    assert days == (date(2033, 4, 10) - date(2032, 10, 30)).days  # greased when she was laid up
