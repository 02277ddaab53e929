"""Hand over: a boat goes into one file, and comes out of one, shown before it is taken; on the pages of Boats."""

from __future__ import annotations

import zipfile
from pathlib import Path

import pytest

from divelog.app.application import Divelog
from divelog.app.look.layout import LAYOUTS, STANDARD, Place
from divelog.app.spots.not_kept import NotKept
from divelog.app.spots.share import HandOver, Receive, ReceiveList, ShareBoat
from divelog.files import StorageError, StorageKind
from divelog.journal.loading import load
from divelog.proofs import State


def all_sizes(shell, look) -> None:
    for layout in (*LAYOUTS, STANDARD.ascii()):
        assert look.problems(shell.draw(layout)) == [], layout.name


@pytest.fixture
def shared(worked, shell, clock, press, page) -> Path:
    """Tansy's file with her log, in the folder of the home; the morning after her worked journal ends."""
    clock.advance(24 * 3600)
    shell.go(Place.BOATS)
    press("h", "1", "2", "enter", "good; ring 01234 567890", "enter", "enter")
    assert "tansy-2032-05-05.zip" in page().text()
    press("enter")
    return shell.desk.session.home.root / "shared" / "tansy-2032-05-05.zip"


def test_the_menu_of_handing_over(shell, press, page, look, golden):
    shell.go(Place.BOATS)
    press("h")
    assert isinstance(shell.front, HandOver)
    all_sizes(shell, look)
    golden("hand-over", page())
    press("escape")
    assert shell.front is shell.spot(Place.BOATS)


def test_sharing_shows_what_is_claimed_and_what_is_left_out(worked, shell, clock, press, page, look, golden):
    clock.advance(24 * 3600)
    shell.go(Place.BOATS)
    press("h", "1")
    assert isinstance(shell.front, ShareBoat)
    all_sizes(shell, look)
    press("2", "enter")
    all_sizes(shell, look)
    press("good; ring 01234 567890", "enter", "enter")
    all_sizes(shell, look)
    text = page().text()
    assert "touched bottom" not in text
    assert "1 depth incident in her log, all in this file" in " ".join(text.split())
    assert "1 text with a telephone number" in " ".join(text.split())
    assert load(shell.desk.session.home, "tansy").events[-1].what == "water.found"  # she is not handed over
    with zipfile.ZipFile(shell.desk.session.home.root / "shared" / "tansy-2032-05-05.zip") as archive:
        assert "log.jsonl" in archive.namelist()


def test_a_name_hands_her_over_and_stays_here(worked, shell, clock, press):
    clock.advance(24 * 3600)
    shell.go(Place.BOATS)
    press("h", "1", "1", "enter", "enter", "Rowan Example", "enter")
    event = load(shell.desk.session.home, "tansy").events[-1]
    assert event.what == "boat.handed_over"
    assert event.payload()["to"] == "Rowan Example"
    raw = (shell.desk.session.home.root / "shared" / "tansy-2032-05-05.zip").read_bytes()
    with zipfile.ZipFile(shell.desk.session.home.root / "shared" / "tansy-2032-05-05.zip") as archive:
        assert not any(b"Rowan" in archive.read(name) for name in archive.namelist())
    assert raw.startswith(b"PK")


def test_a_file_with_faults_is_not_shared(shell, press, page, look):
    home = shell.desk.session.home
    home.boat_file("tansy").write_text("format = 1\n[boat]\nname = 3\n", encoding="utf-8")
    shell.desk.session.forget()
    shell.go(Place.BOATS)
    press("h", "1", "1", "enter", "enter", "enter")
    assert "her file has a fault" in " ".join(page().text().split())
    all_sizes(shell, look)
    assert not (home.root / "shared").exists()


def test_she_is_shown_before_she_is_taken(shared, shell, press, page, look, golden):
    home = shell.desk.session.home
    home.boat_file("tansy").unlink()
    (home.root / "logbook" / "tansy" / "before.jsonl").unlink()
    (home.root / "logbook" / "tansy" / "laptop.jsonl").unlink(missing_ok=True)
    shell.desk.session.forget()
    shell.desk.slug = None
    shell.go(Place.BOATS)
    press("h", "2")
    assert isinstance(shell.front, ReceiveList)
    all_sizes(shell, look)
    press("1")
    assert isinstance(shell.front, Receive)
    all_sizes(shell, look)
    golden("take-in", page())
    assert not home.boat_file("tansy").exists()
    press("enter")
    assert "claimed until it is proved here" in " ".join(page().text().split())
    all_sizes(shell, look)
    press("enter")
    assert shell.desk.slug == "tansy"
    assert shell.here is Place.BOATS
    report = shell.desk.proofs()
    assert not any(proof.stands for proof in report.proofs)
    assert report.get("trim").state is State.CLAIMED
    assert report.dry_depth is None
    assert any("water inside" in d.what for d in report.defects)


def test_a_name_that_is_taken_is_asked_about(shared, shell, press, page, look):
    home = shell.desk.session.home
    before = home.boat_file("tansy").read_bytes()
    press("2", "1")
    assert "tansy is here already" in " ".join(page().text().split())
    all_sizes(shell, look)
    press("enter")
    assert home.boat_file("tansy").read_bytes() == before
    press("r", "Tansy the Second", "enter")
    all_sizes(shell, look)
    press("enter")
    assert home.boat_file("tansy-the-second").exists()
    assert home.boat_file("tansy").read_bytes() == before
    log = load(home, "tansy-the-second")
    own = [e.what for e in log.events if e.boat == "tansy-the-second"]
    # Her events are in this logbook already, as Tansy's, and stay there; what is open stays open under either name.
    assert own == ["log.opened", "boat.received", "defect.opened", "boat.filed"]


def test_in_the_place_of_the_one_here(shared, shell, press, page):
    home = shell.desk.session.home
    press("2", "1", "v", "enter")
    assert "is here" in page().text()
    events = [e.what for e in load(home, "tansy").events][-3:]
    assert "boat.received" in events


def test_a_damaged_file_says_so_and_takes_nothing(shared, shell, press, page, look):
    raw = bytearray(shared.read_bytes())
    raw[len(raw) // 2] ^= 0xFF
    shared.write_bytes(bytes(raw))
    press("2", "1")
    assert "fault" in page().text()
    all_sizes(shell, look)
    press("enter", "r", "v")
    assert isinstance(shell.front, Receive)
    assert shell.front.taken is None


def test_a_path_may_be_typed_and_a_wrong_one_is_told(shared, shell, press, page, look, tmp_path):
    elsewhere = tmp_path / "f.zip"
    shared.rename(elsewhere)
    press("2", "p")
    all_sizes(shell, look)
    press("/nowhere", "enter")
    assert "is not there" in " ".join(page().text().split())
    press("p", *str(elsewhere), "enter")
    assert isinstance(shell.front, Receive)


def test_a_full_disk_is_told_and_the_question_stands(worked, shell, clock, press, monkeypatch):
    clock.advance(24 * 3600)

    def full(path, *rest, **more):
        raise StorageError(StorageKind.FULL, path)

    monkeypatch.setattr("divelog.session.handing.write_atomic", full)
    shell.go(Place.BOATS)
    press("h", "1", "1", "enter", "enter", "enter")
    assert isinstance(shell.front, NotKept)
    press("1")
    assert isinstance(shell.front, ShareBoat)
    assert not shell.front.kept


async def test_on_the_real_application(shell):
    app = Divelog(opening=lambda: shell)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("h")
        await pilot.pause()
        assert isinstance(shell.front, HandOver)
