"""A bundle out and in: what goes, what stays, what is counted, and that it reads back to the same."""

from __future__ import annotations

import hashlib
import json
import zipfile
from io import BytesIO

import pytest

from divelog.journal.reading import read_journal
from divelog.journal.verifying import check_chain
from divelog.profiles.document import Num
from divelog.profiles.reading import read_document
from divelog.profiles.schema import SCHEMAS
from divelog.sharing.archive import packed
from divelog.sharing.model import ABOUT, BASELINES, BOAT, LOG, MANIFEST

SECRETS = (
    "Rowan Example", "01234 567890", "rowan@example.org", "51.50722, -0.12750", "SN-0042-7781", "the client is difficult",
    "call me about the hatch",
)  # fmt: skip
"""Texts of the home that must never stand in a bundle."""


LIST = """format = 1
list = "bench"
title = "Bench, ours"
version = 1
dated = 2032-03-01
[[phase]]
id = "bench"
[[phase.line]]
id = "lamp"
do = "Look at the lamp"
answer = { kind = "done" }
"""


def left(made) -> dict[str, int]:
    return {one.name: one.count for one in made.manifest.left_out}


def kinds(made, member: str) -> list[str]:
    return [event.what for event in read_journal(member, made.members[member]).events]


def test_without_a_word_of_consent_no_log_goes(made):
    found = made()
    assert set(found.members) == {MANIFEST, BOAT, BASELINES, ABOUT}
    assert kinds(found, BASELINES) == [
        "measured",
        "measured",
    ]  # the pack's resistance stays: a pack is kit, not hers


@pytest.mark.parametrize("log", [False, True])
def test_nothing_private_is_in_any_member(made, log):
    found = made(log=log, condition="sound; ring 01234 567890")
    for name, raw in found.members.items():
        for secret in SECRETS:
            assert secret.encode() not in raw, (name, secret)
    assert all(count > 0 for count in left(found).values())


def test_what_was_left_out_is_counted_by_name(made):
    found = left(made(log=True))
    assert found["boat.notes"] == 2
    assert found["note"] == 1
    assert found["addresses"] == 1
    assert found["coordinates"] == 1
    assert found["telephones"] == 1
    assert found["serials"] == 1
    assert found["helper"] == 1
    assert found["machine"] == 1
    assert found["by"] > 5


def test_a_private_thing_goes_out_only_by_its_name(made):
    found = made(log=True, let_out=frozenset({"boat.notes", "addresses"}))
    assert b"call me about the hatch" in found.members[BOAT]
    assert b"rowan@example.org" in found.members[LOG]
    assert b"the client is difficult" not in found.members[LOG]
    assert "boat.notes" not in left(found)
    assert "addresses" not in left(found)


def test_the_newest_measured_value_is_written_in(made):
    boat = read_document(made().members[BOAT], BOAT, SCHEMAS["boat"])
    assert boat.whole
    value = boat.value("dived_balance")
    assert isinstance(value, Num)
    assert (value.si, value.u95) == (pytest.approx(0.025), pytest.approx(0.003))
    fill = boat.value("ballast.fill_time")
    assert isinstance(fill, Num)
    assert fill.si == 38.0  # one time out of a check never replaces the stated one; it goes as a baseline
    # "this outing" holds only on its own day: whoever takes her in must not find it in her file
    assert boat.value("power.terminals.greased") == "some time ago"


def test_baselines_keep_their_conditions(made):
    events = read_journal(BASELINES, made().members[BASELINES]).events
    data = {event.payload()["path"]: event.payload() for event in events}
    assert data["boat.dived_balance"]["conditions"] == {"temperature": {"si": 284.15}, "water": "fresh"}
    assert data["boat.ballast.fill_time"]["conditions"] == {"volts": {"si": 7.9}}


def test_the_log_is_a_journal_whose_chain_holds(made):
    found = made(log=True)
    for member in (BASELINES, LOG):
        file = read_journal(member, found.members[member])
        assert file.reports == ()
        assert check_chain(file) == []
    whats = kinds(found, LOG)
    assert whats.count("run.started") == 2
    assert "log.opened" not in whats
    assert "corrected" not in whats
    charged = [
        e.payload()["pack"] for e in read_journal(LOG, found.members[LOG]).events if e.what == "charged"
    ]
    assert set(charged) == {"D2"}  # P1 never sat in her


def test_a_filed_profile_goes_without_its_notes(made):
    events = read_journal(LOG, made(log=True).members[LOG]).events
    (filed,) = [e.payload() for e in events if e.what == "boat.filed"]
    assert "[notes]" not in filed["text"]
    assert read_document(filed["text"].encode(), "x", SCHEMAS["boat"]).faults == ()


def test_incidents_are_kept_or_said_to_be_withheld(made):
    whole, withheld, none = made(log=True), made(log=True, incidents=False), made()
    assert whole.manifest.incidents.all == 2
    assert whole.manifest.incidents.withheld == 0
    assert kinds(withheld, LOG).count("incident") == 0
    assert withheld.manifest.incidents.withheld == 2
    assert none.manifest.incidents.withheld == 2
    assert b"2 depth incidents in her log, 2 not in this file" in withheld.members[ABOUT]


def test_claims_and_open_defects_stand_in_the_manifest(made):
    manifest = json.loads(made().members[MANIFEST])
    assert {"proof": "trim", "since": "2032-04-18T12:00:00+01:00"}["proof"] in [
        c["proof"] for c in manifest["claimed"]
    ]
    assert manifest["dry_depth"] == 0.5
    assert any(d["stops_launch"] and "water inside" in d["words"] for d in manifest["defects"])
    for one in manifest["files"]:
        raw = made().members[one["name"]]
        assert one["sha256"] == hashlib.sha256(raw).hexdigest()
        assert one["bytes"] == len(raw)


def test_the_same_boat_gives_the_same_bytes(made):
    assert packed(made(log=True).members) == packed(made(log=True).members)


def test_it_is_a_zip_of_plain_text_any_tool_reads(made):
    with zipfile.ZipFile(BytesIO(packed(made(log=True).members))) as archive:
        assert archive.testzip() is None
        assert archive.namelist()[0] == MANIFEST
        for name in archive.namelist():
            archive.read(name).decode()


def test_what_goes_out_comes_in(made, read):
    found = made(log=True, condition="sound")
    looked = read(packed(found.members))
    assert looked.faults == ()
    assert looked.manifest == found.manifest
    assert looked.boat is not None
    assert looked.boat.text_at("name") == "Tansy"
    assert looked.has_log
    members = (BASELINES, LOG)
    sent = {e.id: bytes(e.data) for m in members for e in read_journal(m, found.members[m]).events}
    assert {e.id: bytes(e.data) for e in looked.events} == sent


def test_lists_of_the_owner_go_along_unless_they_hold_a_telephone(session, made):
    folder = session.home.checklists
    folder.mkdir()
    (folder / "bench.toml").write_text(LIST, encoding="utf-8")
    (folder / "storage.toml").write_text(
        f"# ring 01234 567890\n{LIST.replace('bench', 'storage')}", encoding="utf-8"
    )
    (folder / "season.toml").write_text("format = 1\n", encoding="utf-8")
    found = made()
    assert any("season" in one for one in found.odd)  # one with a fault is of no use to anybody
    assert "lists/season.toml" not in found.members
    assert "lists/bench.toml" in found.members
    assert "lists/storage.toml" not in found.members
    assert not any(name.startswith("lists/") for name in made(lists=False).members)


def test_events_ahead_of_the_clock_stay_and_are_counted(made, session, clock):
    clock.set_wall(clock.now().replace(day=3))
    found = made(log=True)
    assert left(found)["ahead"] > 0
    assert all(e.when < clock.now() for e in read_journal(LOG, found.members[LOG]).events)
