"""Profiles filed in the log: text, digest and what changed; at the start what was edited by hand since."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest

from divelog.clock import FixedClock
from divelog.files import StorageError
from divelog.home import Home
from divelog.journal.loading import load
from divelog.journal.writing import Journal
from divelog.profiles.document import Fact, Num
from divelog.profiles.writing import WritingError, with_facts
from divelog.session import filing
from divelog.session.session import ReadOnlyError, Session
from divelog.session.shelf import read_shelf
from divelog.text import BadNameError

SAMPLES = Path(__file__).resolve().parents[2] / "sample_boats"
MORNING = datetime.fromisoformat("2032-05-04T08:04:00+01:00")


@pytest.fixture
def home(tmp_path: Path) -> Home:
    shutil.copytree(SAMPLES, tmp_path / "home", ignore=shutil.ignore_patterns("logbook"))
    return Home(tmp_path / "home")


@pytest.fixture
def session(home: Home) -> Iterator[Session]:
    clock = FixedClock(MORNING)
    with Journal(home, clock=clock) as journal:
        yield Session(home, clock, read_shelf(home), journal)


def filed(home: Home, slug: str):
    return [e for e in load(home, slug).events if e.what == "boat.filed"]


def tansy(home: Home) -> str:
    return home.boat_file("tansy").read_text(encoding="utf-8")


def test_a_boat_written_is_filed_with_her_whole_text(session, home):
    text = tansy(home).replace("5.76 kg", "5.80 kg")
    event = filing.file_boat(session, "tansy", text)
    assert event is not None
    (held,) = filed(home, "tansy")
    data = held.payload()
    assert data["text"] == text == tansy(home)
    assert data["digest"] == filing.digest_of(text.encode()) == session.shelf.boats["tansy"].digest
    assert data["changed"] == ["boat.mass"]


def test_the_same_text_twice_is_filed_once(session, home):
    filing.file_boat(session, "tansy", tansy(home))
    assert filing.file_boat(session, "tansy", tansy(home)) is None
    assert len(filed(home, "tansy")) == 1


def test_a_new_boat_names_no_changed_path(session, home):
    filing.file_boat(session, "heron", tansy(home).replace('"Tansy"', '"Heron"'))
    assert filed(home, "heron")[0].payload()["changed"] == []
    assert session.shelf.boats["heron"].text_at("name") == "Heron"


def test_at_the_start_boats_edited_by_hand_are_filed(session, home):
    count = len(session.shelf.boats)
    assert len(filing.note_filed(session)) == count
    assert filing.note_filed(session) == ()
    home.boat_file("tansy").write_text(
        tansy(home).replace('wall = "4 mm"', 'wall = "3 mm"'), encoding="utf-8"
    )
    session.forget()
    (event,) = filing.note_filed(session)
    assert event.boat == "tansy"
    assert event.payload()["changed"] == ["boat.cylinder.wall"]


def test_a_comment_changes_the_text_but_no_path(session, home):
    filing.note_filed(session)
    home.boat_file("tansy").write_text("# repainted\n" + tansy(home), encoding="utf-8")
    session.forget()
    (event,) = filing.note_filed(session)
    assert event.payload()["changed"] == []


def test_a_file_with_faults_is_filed_when_it_is_mended(session, home):
    filing.note_filed(session)
    whole = tansy(home)
    home.boat_file("tansy").write_text(whole.replace('"5.76 kg ± 10 g"', "5.76"), encoding="utf-8")
    session.forget()
    assert filing.note_filed(session) == ()
    home.boat_file("tansy").write_text(whole, encoding="utf-8")
    session.forget()
    assert filing.note_filed(session) == ()


def test_a_measured_value_gives_way_to_the_newer_file(session, home):
    filing.note_filed(session)
    session.append("measured", {"path": "boat.mass", "value": {"si": 6.0, "u95": 0.01}}, boat="tansy")
    filing.file_boat(session, "tansy", tansy(home).replace("5.76 kg", "5.90 kg"))
    from divelog.session.session import Asked

    facts = session.facts(Asked("tansy", session.shelf.boats["tansy"], None, None, MORNING))
    assert facts.get("boat.mass").value.si == pytest.approx(5.9)


def test_nothing_is_written_where_nothing_can_be_kept(home):
    reading = Session.reading(home, FixedClock(MORNING))
    before = tansy(home)
    with pytest.raises(ReadOnlyError):
        filing.file_boat(reading, "tansy", before + "\n# more")
    assert tansy(home) == before


def test_a_name_that_leaves_the_folder_is_refused(session, tmp_path):
    with pytest.raises(BadNameError):
        filing.file_boat(session, "../heron", "format = 1")
    assert not list(tmp_path.glob("**/heron*"))


def test_a_disk_that_fails_leaves_the_old_file_and_no_event(session, home, monkeypatch):
    before = tansy(home)

    def broken(*args: object, **kwargs: object) -> None:
        from divelog.files import StorageKind

        raise StorageError(StorageKind.FULL, home.boat_file("tansy"))

    monkeypatch.setattr(filing, "write_atomic", broken)
    with pytest.raises(StorageError):
        filing.file_boat(session, "tansy", before + "\n# more")
    assert tansy(home) == before
    assert filed(home, "tansy") == []


def test_written_but_not_filed_is_made_good_at_the_next_start(session, home, monkeypatch):
    filing.note_filed(session)
    text = tansy(home).replace("5.76 kg", "5.80 kg")

    def full(*args: object, **kwargs: object) -> None:
        from divelog.files import StorageKind

        raise StorageError(StorageKind.FULL, home.logbook)

    with monkeypatch.context() as patched:
        patched.setattr(session, "append", full)
        with pytest.raises(StorageError):
            filing.file_boat(session, "tansy", text)
    assert tansy(home) == text
    (event,) = filing.note_filed(session)
    assert event.payload()["changed"] == ["boat.mass"]


def test_kit_and_sites_are_kept_with_their_hand(session, home):
    kit = session.shelf.kit
    new = {"transmitter[tx-z].id": Fact("tx-z"), "transmitter[tx-z].band": Fact("27 MHz")}
    assert filing.keep_document(session, "", kit, with_facts(kit, new))
    assert "tx-z" in session.shelf.kit.entries["transmitter"]
    assert home.kit.read_text(encoding="utf-8").startswith(kit.text.rstrip("\n"))
    site = session.shelf.sites["withy-pond"]
    after = with_facts(site, {"bottom": Fact(Num(2.0, 0.05), typed="2 m ± 5 cm", said=True)})
    assert filing.keep_document(session, "withy-pond", site, after)
    assert session.shelf.sites["withy-pond"].value("bottom").si == pytest.approx(2.0)


def test_a_changed_boat_is_kept_and_filed(session, home):
    boat = session.shelf.boats["tansy"]
    after = with_facts(boat, {"mass": Fact(Num(5.9), typed="5.9 kg")})
    filing.keep_document(session, "tansy", boat, after)
    assert filed(home, "tansy")[-1].payload()["changed"] == ["boat.mass"]
    with pytest.raises(WritingError):
        filing.keep_document(session, "tansy", boat, with_facts(boat, {"mass": None}))
