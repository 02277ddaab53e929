"""``divelog due``, ``wear``, ``proofs``: the same numbers as the screens, as text and as JSON."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import pytest

from divelog.clock import FixedClock
from divelog.home import Home
from divelog.journal.writing import Journal

NOW = datetime.fromisoformat("2032-05-04T09:35:00+01:00")


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> FixedClock:
    """4 May 2032, 09:35."""
    made = FixedClock(NOW)
    monkeypatch.setattr("divelog.clock.SystemClock", lambda: made)
    return made


# -- due ------------------------------------------------------------------------------------------------------------------


def test_due_of_the_worked_journal(worked, call_json):
    code, found = call_json("due", "tansy", "--home", str(worked))
    assert (code, found["schema"]) == (0, "divelog.due/1")
    rows = {row["item"]: row for row in found["due"]}
    grease = rows["shaft_grease"]
    assert (grease["verdict"], grease["counter"], grease["used"], grease["allowed"], grease["unit"]) == (
        "within", "days", 23, 30, "d",
    )  # fmt: skip
    assert grease["due"] == "2032-05-11"
    assert {u["counter"]: u["used"] for u in grease["uses"]}["hours"] == pytest.approx(1.033, abs=5e-4)
    assert (rows["seal.shaft"]["used"], rows["seal.aft_cap"]["used"]) == (184, 64)
    assert (rows["dry_long"]["verdict"], rows["joints"]["because"]) == ("to_prove", "never")
    assert [rows[i]["verdict"] for i in ("linkages", "ballast", "terminals")] == ["unknown"] * 3
    assert rows["linkages"]["used"] is None
    assert [row["verdict"] for row in found["due"]] == ["to_prove"] * 2 + ["within"] * 3 + ["unknown"] * 3


def test_due_as_text_and_strict(worked, call):
    code, out, err = call("due", "tansy", "--home", str(worked))
    assert (code, err) == (0, "")
    assert "+ within     shaft grease" in out
    assert "23 of 30 d; 1.03 of 4 h; due 11 May 2032" in out
    assert "? unknown    linkages" in out
    assert call("due", "tansy", "--strict", "--home", str(worked))[0] == 1


def test_due_of_every_boat(worked, call, call_json):
    boats = {row["boat"] for row in call_json("due", "--home", str(worked))[1]["due"]}
    assert boats == {"bramble", "bulrush", "juniper", "tansy"}
    out = call("due", "tansy", "bulrush", "--home", str(worked))[1]
    assert "tansy\n" in out
    assert "bulrush\n" in out


def test_an_interval_that_cannot_be_read_is_said_and_the_usual_one_counts(worked, call):
    file = worked / "boats" / "tansy.toml"
    file.write_text(
        file.read_text("utf-8").replace('shaft_grease = "4 h or 30 d"', 'shaft_grease = "now and then"'),
        "utf-8",
    )
    code, out, err = call("due", "tansy", "--home", str(worked))
    assert code == 0 or code == 3
    assert "now and then" in err
    if code == 0:
        assert "23 of 30 d" in out


def test_a_faulty_boat_is_a_fault(worked, call, call_json):
    (worked / "boats" / "tansy.toml").write_text("format = 1\n[boat]\nname = 3\n", "utf-8")
    assert call("due", "tansy", "--home", str(worked))[0] == 3
    code, found = call_json("proofs", "tansy", "--home", str(worked))
    assert (code, found["schema"]) == (3, "divelog.faults/1")
    assert call("wear", "tansy", "ballast.fill_time", "--home", str(worked))[0] == 3


def test_a_damaged_log_is_said(worked, call):
    file = worked / "logbook" / "tansy" / "before.jsonl"
    file.write_bytes(file.read_bytes() + b"{torn")
    code, out, err = call("due", "tansy", "--strict", "--home", str(worked))
    assert code == 5
    assert "shaft grease" in out
    assert "line" in err


def test_no_boat_is_a_wrong_call(tmp_path, clock, call):
    assert call("due", "--home", str(tmp_path / "empty"))[0] == 2
    assert call("due", "nobody", "--home", str(tmp_path / "empty"))[0] == 2


# -- wear -----------------------------------------------------------------------------------------------------------------

SECONDS = (40.1, 41.2, 41.0, 42.3, 43.4, 43.1, 44.9, 45.2, 46.6, 46.9)
HOURS = (0.4, 0.6, 0.6, 0.7, 0.7, 0.6, 0.7, 0.7, 0.7, 0.7)
"""Hours of the piston between the readings of the worked fill times."""


@pytest.fixture
def slow(samples: Path, clock: FixedClock) -> Path:
    """A piston that grows slower: ten readings over 6.4 hours of it, a cycle taken as 36 s."""
    with Journal(Home(samples), device="laptop", clock=clock) as journal:
        for n, (seconds, hours) in enumerate(zip(SECONDS, HOURS, strict=True)):
            at = NOW - timedelta(days=30 - 2 * n)
            start = journal.append("run.started", {"pack": "D2"}, boat="tansy", happened=at.isoformat())
            end = (at + timedelta(hours=1)).isoformat()
            data = {"pack": "D2", "shaft_time": 1800, "cycles": round(hours * 3600 / 73)}
            journal.append("run.ended", data, boat="tansy", run=start.id, happened=end)
            read = (at + timedelta(hours=2)).isoformat()
            value = {
                "path": "ballast.fill_time",
                "value": {"si": seconds, "u95": 0.3},
                "conditions": {"volts": 7.6},
            }
            value["method"] = "before-dive/cycle"
            journal.append("measured", value, boat="tansy", happened=read)
    return samples


def test_wear_of_a_slow_piston(slow, call_json):
    code, found = call_json("wear", "tansy", "ballast.fill_time", "--home", str(slow))
    assert (code, found["schema"]) == (0, "divelog.wear/1")
    assert (found["n"], found["unit"], found["voice"], found["counter"]) == (
        10,
        "s",
        "speaks",
        "piston-hours",
    )
    # by pump hours the worked series rises by 1.1538 s an hour (scipy.stats.theilslopes); cycles are whole numbers here
    assert found["slope"]["value"] == pytest.approx(1.1538, rel=0.02)
    assert found["slope"]["low"] < found["slope"]["value"] < found["slope"]["high"]
    assert [p["value"] for p in found["since"]] == list(SECONDS)
    assert found["since"][-1]["at"] == pytest.approx(6.4, abs=0.1)
    assert found["line"].startswith("Fill 46.9 s, at most ")


def test_wear_as_text_by_title_and_strict(slow, call):
    code, out, err = call("wear", "tansy", "ballast fill", "--home", str(slow))
    assert (code, err) == (0, "")
    assert "slower a piston hour" in out
    assert out.count(" s +/- 0.3") == 10
    assert call("wear", "tansy", "boat.ballast.fill_time", "--home", str(slow))[0] == 0


def test_wear_after_a_cut_shows_what_was_before(slow, clock, call):
    with Journal(Home(slow), device="laptop", clock=clock) as journal:
        journal.append("fitted", {"part": "piston"}, boat="tansy")
    out = call("wear", "tansy", "ballast.fill_time", "--home", str(slow))[1]
    assert "since piston renewed 4 May" in out
    assert out.count("before") == 10


def test_wear_of_what_was_never_read(slow, call):
    code, out, err = call("wear", "tansy", "joint.drop", "--home", str(slow))
    assert (code, out) == (2, "")
    assert "readings of: ballast.fill_time" in err


# -- proofs ---------------------------------------------------------------------------------------------------------------


def test_proofs_of_the_worked_journal(worked, call_json):
    code, found = call_json("proofs", "tansy", "--home", str(worked))
    assert (code, found["schema"]) == (0, "divelog.proofs/1")
    states: dict[str, set[str]] = {}
    for row in found["proofs"]:
        assert {"proof", "item", "state", "since", "event", "because"} <= set(row)
        states.setdefault(row["state"], set()).add(
            f"{row['proof']}:{row['item']}" if row["item"] else row["proof"]
        )
    assert states["proved"] == {
        "faces",
        "start_state",
        "closed",
        "trim",
        "failsafe_bench",
        "range",
        "full_power",
    }
    assert states["to_prove"] == {
        "dry_short",
        "dry_long",
        "directions",
        "failsafe_wet",
        "pack:D2",
        "ballast_cycle",
        "look",
    }
    assert states["never"] == {"supply", "joints"}
    assert found["dry_depth"] == 0.5
    assert [d["what"] for d in found["defects"]] == ["water inside"]


def test_proofs_as_text_at_another_moment(worked, call):
    code, out, _ = call("proofs", "tansy", "--at", "2032-04-25T09:28:00+01:00", "--home", str(worked))
    assert code == 0
    assert "= proved     closures                  2032-04-25 09:02" in out
    assert "! never      receiver supply" in out
    assert "/ not fitted level keeper" in out


def test_proofs_strict_and_a_wrong_time(worked, call):
    assert call("proofs", "tansy", "--strict", "--home", str(worked))[0] == 1
    code, _, err = call("proofs", "tansy", "--at", "yesterday", "--home", str(worked))
    assert code == 2
    assert "RFC" in err or "write a time" in err


def test_a_boat_of_a_file_brings_her_home(worked, call_json):
    code, found = call_json("proofs", str(worked / "boats" / "tansy.toml"))
    assert (code, found["boat"], found["dry_depth"]) == (0, "tansy", 0.5)
