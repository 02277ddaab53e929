"""``export``: forms by name and by ending, exit codes, and that a file which is there is left alone."""

from __future__ import annotations

import csv
import json
import shutil
import sqlite3
from contextlib import closing

import pytest

from divelog.home import data_folder


@pytest.fixture
def lived(tmp_path):
    """A home with the worked journal of Tansy."""
    root = tmp_path / "home"
    shutil.copytree(data_folder("sample_boats"), root, ignore=shutil.ignore_patterns("logbook"))
    folder = root / "logbook" / "tansy"
    folder.mkdir(parents=True)
    source = data_folder("sample_boats").parent / "tests" / "data" / "worked_journal.jsonl"
    shutil.copy(source, folder / "worked.jsonl")
    return root


def test_runs_as_rows(lived, call, tmp_path):
    code, out, _ = call("--home", lived, "export", "tansy", "-o", tmp_path / "runs.csv")
    assert code == 0
    assert out.startswith("2 runs in ")
    with (tmp_path / "runs.csv").open(encoding="utf-8", newline="") as file:
        assert [row["minutes"] for row in csv.DictReader(file)] == ["42", "45"]


def test_events_as_rows_and_as_lines(lived, call, tmp_path):
    assert call("--home", lived, "export", "all", "-o", tmp_path / "e.csv", "--as", "events-csv")[0] == 0
    assert call("--home", lived, "export", "all", "-o", tmp_path / "e.jsonl")[0] == 0
    assert len((tmp_path / "e.csv").read_text(encoding="utf-8").splitlines()) == 40
    lines = (tmp_path / "e.jsonl").read_text(encoding="utf-8").splitlines()
    assert len(lines) == 39
    assert all(json.loads(line)["id"] for line in lines)


def test_everything_as_one_database(lived, call, call_json, tmp_path):
    code, out, _ = call("--home", lived, "export", "all", "-o", tmp_path / "log.db")
    assert code == 0
    assert "28 questions" in out
    with closing(sqlite3.connect(tmp_path / "log.db")) as base:
        assert base.execute("SELECT count(*) FROM boats").fetchone() == (4,)
        assert base.execute("SELECT count(*) FROM questions").fetchone() == (28,)
    code, found = call_json("--home", lived, "export", "tansy", "-o", tmp_path / "t.sqlite")
    assert (code, found["schema"], found["form"], found["boats"]) == (
        0,
        "divelog.exported/1",
        "sqlite",
        ["tansy"],
    )


def test_one_boat_alone(lived, call, tmp_path):
    call("--home", lived, "export", "bulrush", "-o", tmp_path / "b.jsonl")
    lines = [json.loads(line) for line in (tmp_path / "b.jsonl").read_text(encoding="utf-8").splitlines()]
    assert {line.get("boat") for line in lines} == {None}


def test_wrong_calls(lived, call, tmp_path):
    (tmp_path / "there.csv").write_text("mine\n", encoding="utf-8")
    assert call("--home", lived, "export", "tansy", "-o", tmp_path / "there.csv")[0] == 2
    assert (tmp_path / "there.csv").read_text(encoding="utf-8") == "mine\n"
    assert call("--home", lived, "export", "tansy", "-o", tmp_path / "there.csv", "--over")[0] == 0
    assert call("--home", lived, "export", "tansy", "-o", tmp_path / "x.odd")[0] == 2
    assert call("--home", lived, "export", "tansy")[0] == 2
    assert call("--home", lived, "export", "nobody", "-o", tmp_path / "x.csv")[0] == 2
    assert call("--home", lived, "export", "tansy", "-o", tmp_path / "x.csv", "--as", "xls")[0] == 2


def test_a_damaged_journal_is_exported_as_far_as_it_can_be_read(lived, call, tmp_path):
    file = lived / "logbook" / "tansy" / "worked.jsonl"
    lines = file.read_bytes().splitlines(keepends=True)
    file.write_bytes(b"".join([*lines[:10], b"{broken\n", *lines[10:]]))
    code, _, err = call("--home", lived, "export", "all", "-o", tmp_path / "log.db")
    assert code == 5
    assert "line 11" in err
    with closing(sqlite3.connect(tmp_path / "log.db")) as base:
        assert base.execute("SELECT count(*) FROM events").fetchone() == (39,)


def test_a_boat_with_faults_comes_with_her_log(lived, call, tmp_path):
    (lived / "boats" / "tansy.toml").write_text("format = 1\n", encoding="utf-8")
    assert call("--home", lived, "export", "all", "-o", tmp_path / "log.db")[0] == 0
    with closing(sqlite3.connect(tmp_path / "log.db")) as base:
        assert base.execute("SELECT count(*) FROM runs").fetchone() == (2,)


def test_what_cannot_be_written_is_told(lived, call, tmp_path):
    (tmp_path / "folder.csv").mkdir()
    code, _, err = call("--home", lived, "export", "tansy", "-o", tmp_path / "folder.csv", "--over")
    assert code == 4
    assert err.strip()
