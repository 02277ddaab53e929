"""``share`` and ``receive``: shapes, exit codes, what is asked before anything is written."""

from __future__ import annotations

import json
import zipfile
from datetime import datetime

import pytest

from divelog.clock import FixedClock
from divelog.home import Home
from divelog.journal.loading import load
from divelog.journal.writing import Journal

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
NOW = datetime.fromisoformat("2032-05-04T20:00:00+01:00")


@pytest.fixture(autouse=True)
def clock(monkeypatch):
    made = FixedClock(NOW)
    monkeypatch.setattr("divelog.clock.SystemClock", lambda: made)
    return made


@pytest.fixture
def log(samples, clock):
    with Journal(Home(samples), clock=clock) as journal:
        journal.append("knocked", {"kind": "hit"}, boat="tansy")
    clock.advance(60)


@pytest.fixture
def bundle(samples, log, call, tmp_path, clock):
    path = tmp_path / "tansy.zip"
    code, _, _ = call("--home", samples, "share", "tansy", "-o", path, "--log")
    assert code == 0
    clock.advance(60)
    return path


def test_share_says_what_went_and_what_stayed(samples, log, call, tmp_path):
    code, out, err = call(
        "--home", samples, "share", "Tansy", "-o", tmp_path / "t.zip", "--condition", "sound"
    )
    assert code == 0
    assert "condition   sound" in out
    assert "left out" in out
    assert zipfile.is_zipfile(tmp_path / "t.zip")
    assert err == ""


def test_share_json(samples, log, call_json, tmp_path):
    code, found = call_json("--home", samples, "share", "tansy", "-o", tmp_path / "t.zip", "--log")
    assert code == 0
    assert found["schema"] == "divelog.shared/1"
    assert found["manifest"]["version"] == 1
    assert {m["name"] for m in found["manifest"]["files"]} == {
        "boat.toml",
        "baselines.jsonl",
        "log.jsonl",
        "about.txt",
    }


def test_a_file_that_is_there_is_left_alone(samples, bundle, call):
    before = bundle.read_bytes()
    code, _, err = call("--home", samples, "share", "tansy", "-o", bundle)
    assert code == 2
    assert "is there already" in err
    assert bundle.read_bytes() == before
    assert call("--home", samples, "share", "tansy", "-o", bundle, "--over")[0] == 0


def test_wrong_calls(samples, call, tmp_path):
    assert call("--home", samples, "share", "nobody", "-o", tmp_path / "t.zip")[0] == 2
    code, _, err = call(
        "--home", samples, "share", "tansy", "-o", tmp_path / "t.zip", "--let-out", "everything"
    )
    assert code == 2
    assert "boat.notes" in err
    assert call("--home", samples, "share", "tansy")[0] == 2
    assert call("--home", samples, "receive", tmp_path / "none.zip")[0] == 2


def test_handing_over_is_written_down_here_alone(samples, log, call, tmp_path):
    call("--home", samples, "share", "tansy", "-o", tmp_path / "t.zip", "--to", "Rowan Example")
    event = load(Home(samples), "tansy").events[-1]
    assert (event.what, event.payload()["to"]) == ("boat.handed_over", "Rowan Example")
    assert b"Rowan" not in (tmp_path / "t.zip").read_bytes()


def test_a_look_writes_nothing(bundle, call, tmp_path):
    home = tmp_path / "new"
    code, out, _ = call("--home", home, "receive", bundle, "--look")
    assert code == 0
    assert "claimed" in out
    assert "kit" in out
    assert not home.exists()


def test_a_look_as_json(bundle, call_json, tmp_path):
    code, found = call_json("--home", tmp_path / "new", "receive", bundle, "--look")
    assert code == 0
    assert found["schema"] == "divelog.bundle/1"
    assert (found["slug"], found["name"], found["same_name"]) == ("tansy", "Tansy", None)
    assert found["lacking"] == ["pack D2", "pack D3", "pack R1", "transmitter tx-a"]


def test_receive_and_then_her_proofs_are_claims(bundle, call, call_json, tmp_path):
    home = tmp_path / "new"
    code, out, _ = call("--home", home, "receive", bundle, "--from", "Rowan Example")
    assert code == 0
    assert "claimed until it is proved here" in out
    assert [e.what for e in load(Home(home), "tansy").events if e.boat] == [
        "knocked", "log.opened", "boat.received", "boat.filed",
    ]  # fmt: skip
    assert call("--home", home, "verify")[0] == 0
    code, found = call_json("--home", home, "proofs", "tansy")
    assert all(p["state"] != "proved" for p in found["proofs"])


def test_a_name_that_is_taken_is_asked_about(samples, bundle, call, call_json):
    before = (samples / "boats" / "tansy.toml").read_bytes()
    code, _, err = call("--home", samples, "receive", bundle)
    assert code == 2
    assert "--as NAME" in err
    assert (samples / "boats" / "tansy.toml").read_bytes() == before
    code, found = call_json("--home", samples, "receive", bundle, "--as", "Grey Heron")
    assert code == 0
    assert (found["boat"], found["name"]) == ("grey-heron", "Grey Heron")
    assert 'name = "Grey Heron"' in (samples / "boats" / "grey-heron.toml").read_text(encoding="utf-8")
    assert call("--home", samples, "receive", bundle, "--over")[0] == 0


@pytest.mark.parametrize("name", ["../out", "con", "☃", "/etc"])
def test_no_name_leads_out_of_the_home(samples, bundle, call, name, tmp_path):
    before = {p for p in tmp_path.rglob("*") if p.is_file()}
    code, _, _ = call("--home", samples, "receive", bundle, "--as", name)
    after = {p for p in tmp_path.rglob("*") if p.is_file()}
    assert code in (0, 2)
    for path in after - before:
        assert samples in path.parents


def test_looser_limits_need_a_yes(samples, call, tmp_path, clock):
    boat = samples / "boats" / "tansy.toml"
    boat.write_text(
        boat.read_text(encoding="utf-8").replace('depth_step = "0.5 m"', 'depth_step = "1.5 m"'),
        encoding="utf-8",
    )
    call("--home", samples, "share", "tansy", "-o", tmp_path / "t.zip")
    clock.advance(60)
    home = tmp_path / "new"
    code, out, err = call("--home", home, "receive", tmp_path / "t.zip")
    assert code == 2
    assert "depth_step is 1.5 m; usual is 500 mm" in out
    assert "--yes" in err
    assert not home.exists()
    assert call("--home", home, "receive", tmp_path / "t.zip", "--yes")[0] == 0


def test_a_damaged_bundle_is_a_fault(bundle, call, call_json, tmp_path):
    bundle.write_bytes(bundle.read_bytes()[:-30])
    code, _, err = call("--home", tmp_path / "new", "receive", bundle)
    assert code == 3
    assert err.strip()
    code, found = call_json("--home", tmp_path / "new", "receive", bundle)
    assert (code, found["schema"]) == (3, "divelog.faults/1")
    assert not (tmp_path / "new").exists()


def test_a_boat_with_faults_is_not_shared(samples, call, tmp_path):
    (samples / "boats" / "tansy.toml").write_text("format = 1\n", encoding="utf-8")
    code, _, err = call("--home", samples, "share", "tansy", "-o", tmp_path / "t.zip")
    assert code == 3
    assert "fault" in err
    assert not (tmp_path / "t.zip").exists()


def test_lists_come_only_when_asked_for_and_never_over_ours(
    samples, bundle, call, call_json, tmp_path, clock
):
    folder = samples / "checklists"
    folder.mkdir(exist_ok=True)
    (folder / "bench.toml").write_text(LIST, encoding="utf-8")
    call("--home", samples, "share", "tansy", "-o", tmp_path / "l.zip")
    clock.advance(60)
    with zipfile.ZipFile(tmp_path / "l.zip") as archive:
        assert "lists/bench.toml" in archive.namelist()
    one, two = tmp_path / "one", tmp_path / "two"
    code, found = call_json("--home", one, "receive", tmp_path / "l.zip")
    assert (code, found["lists"]) == (0, [])
    assert not (one / "checklists").exists()
    (two / "checklists").mkdir(parents=True)
    (two / "checklists" / "bench.toml").write_text("# ours\n", encoding="utf-8")
    code, found = call_json("--home", two, "receive", tmp_path / "l.zip", "--lists")
    assert (code, found["lists"], found["lists_kept"]) == (0, [], ["bench"])
    assert (two / "checklists" / "bench.toml").read_text(encoding="utf-8") == "# ours\n"


def test_nothing_of_a_terminal_in_any_output(samples, call, tmp_path, clock):
    text = (samples / "boats" / "tansy.toml").read_text(encoding="utf-8")
    (samples / "boats" / "tansy.toml").write_text(
        text.replace('"Tansy"', '"T\\u001b]0;x\\u0007[b]"'), encoding="utf-8"
    )
    for words in (("--condition", "\x1b[31mred"), ()):
        code, out, err = call("--home", samples, "share", "tansy", "-o", tmp_path / "x.zip", "--over", *words)
        assert code == 0
        assert "\x1b" not in out + err
    clock.advance(60)
    code, out, err = call("--home", tmp_path / "n", "receive", tmp_path / "x.zip", "--look")
    assert "\x1b" not in out + err
    assert json.dumps(out)
