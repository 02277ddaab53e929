"""``attach``: a file joined to a run, its figures written down, its copy beside her log; and everything that may go wrong."""

from __future__ import annotations

import os
import shutil
from datetime import datetime

import pytest

from divelog.clock import FixedClock
from divelog.home import Home, data_folder
from divelog.journal.loading import load
from divelog.journal.writing import Journal

NOW = datetime.fromisoformat("2032-05-04T08:30:00+01:00")
MAPPING = """\
format = 1
[time]
column = "t"
counts = "seconds"
begins = "run start"
[[column]]
gives = "depth"
column = "depth"
unit = "cm"
u95 = "5 cm"
[[column]]
gives = "current"
column = "current"
unit = "A"
[[column]]
gives = "volts"
column = "volts"
unit = "V"
"""
ROWS = "t,depth,current,volts\n" + "".join(
    f"{t},{60 if t < 300 else 95},3,{8 - t / 600}\n" for t in range(601)
)


@pytest.fixture(autouse=True)
def clock(monkeypatch):
    made = FixedClock(NOW)
    monkeypatch.setattr("divelog.clock.SystemClock", lambda: made)
    return made


@pytest.fixture
def home(tmp_path, clock):
    root = tmp_path / "home"
    shutil.copytree(data_folder("sample_boats"), root, ignore=shutil.ignore_patterns("logbook"))
    (root / "mappings").mkdir(exist_ok=True)
    (root / "mappings" / "logger.toml").write_text(MAPPING, encoding="utf-8")
    (root / "mappings" / "charger.toml").write_text(
        MAPPING.replace("format = 1", 'format = 1\nkind = "charger"'), encoding="utf-8"
    )
    with Journal(Home(root), clock=clock) as journal:
        journal.append("plan.set", {"pack": "D2", "depth": {"si": 0.7}}, boat="tansy")
        clock.advance(600)
        run = journal.append(
            "run.started", {"pack": "D2", "limits": {"minutes": 47.0, "keel": 0.8}}, boat="tansy"
        )
        clock.advance(600)
        journal.append(
            "run.ended", {"deepest": {"si": 0.6, "u95": 0.1, "how": "guessed"}}, boat="tansy", run=run.id
        )
    clock.advance(600)
    return Home(root)


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "log.csv"
    path.write_text(ROWS, encoding="utf-8")
    return path


def runs(home: Home) -> list[str]:
    return [e.id for e in load(home, "tansy").events if e.what == "run.started"]


def measured(home: Home) -> dict[str, dict]:
    return {e.payload()["path"]: e.payload() for e in load(home, "tansy").events if e.what == "measured"}


def test_the_figures_are_written_down_and_the_file_is_kept(home, file, call):
    code, out, err = call("--home", home.root, "attach", "tansy", "last", file, "--map", "logger")
    assert code == 0
    (run,) = runs(home)
    copy = home.journal_folder("tansy") / "telemetry" / f"{run}.csv"
    assert copy.read_bytes() == file.read_bytes()
    assert "below limit" in out
    found = measured(home)
    # by hand: 60 cm for 300 s, a straight line of one second up to 95 cm, then 95 cm for 300 s; limit 0.8 m, plan 0.7 m
    assert found["run.deepest"]["value"] == {
        "si": pytest.approx(0.95),
        "u95": pytest.approx(0.05),
        "how": "sensor",
    }
    assert found["run.below_limit"]["value"]["si"] == pytest.approx(300 + 15 / 35)
    assert found["run.below_plan"]["value"]["si"] == pytest.approx(300 + 25 / 35)
    assert found["run.charge_used"]["value"]["si"] == pytest.approx(1800.0)
    assert found["run.lowest_volts"]["value"]["si"] == pytest.approx(7.0)
    assert found["run.deepest"]["conditions"]["rows"] == 601
    assert all(e.run == run for e in load(home, "tansy").events if e.what == "measured")
    assert "guessed" in err  # the log says 0.6 m
    assert call("--home", home.root, "verify")[0] == 0


def test_what_was_measured_moves_no_limit(home, file, call, call_json):
    words = (
        "--home",
        home.root,
        "limits",
        "tansy",
        "--today",
        data_folder("sample_boats") / "days" / "withy-pond.toml",
    )
    _, before = call_json(*words)
    call("--home", home.root, "attach", "tansy", "last", file, "--map", "logger")
    _, after = call_json(*words)
    assert after["results"] == before["results"]


def test_a_charger(home, file, call):
    assert call("--home", home.root, "attach", "tansy", "last", file, "--map", "charger")[0] == 0
    found = measured(home)
    assert found["run.charge_put_back"]["item"] == "D2"
    assert found["run.end_volts"]["value"]["si"] == pytest.approx(7.0)


def test_a_look_keeps_nothing(home, file, call_json):
    code, found = call_json(
        "--home", home.root, "attach", "tansy", runs(home)[0][:20], file, "--map", "logger", "--look"
    )
    assert (code, found["schema"], found["rows"], found["kept"]) == (0, "divelog.telemetry/1", 601, None)
    assert found["quantities"]["depth"]["most"] == pytest.approx(0.95)
    assert measured(home) == {}
    assert not (home.journal_folder("tansy") / "telemetry").exists()


def test_the_same_file_twice_and_another_one(home, file, call, tmp_path):
    words = ("--home", home.root, "attach", "tansy", "last")
    assert call(*words, file, "--map", "logger")[0] == 0
    code, _, err = call(*words, file, "--map", "logger")
    assert code == 3
    assert "already" in err
    other = tmp_path / "other.csv"
    other.write_text(ROWS + "601,10,3,7\n", encoding="utf-8")
    assert call(*words, other, "--map", "logger")[0] == 0
    names = {p.name for p in (home.journal_folder("tansy") / "telemetry").iterdir()}
    run = runs(home)[0]
    assert names == {f"{run}.csv", f"{run}.toml", f"{run}.2.csv", f"{run}.2.toml"}
    mapping = (home.journal_folder("tansy") / "telemetry" / f"{run}.toml").read_text(encoding="utf-8")
    assert mapping == MAPPING


@pytest.mark.parametrize(
    ("run", "name", "code", "words"),
    [
        ("last", "nothing", 2, "no mapping called"), ("last", "../logger", 2, "must be 1 to 40"), ("last", "con", 2, "device"),
        ("zzzzzzzz", "logger", 2, "no one run"), ("01", "logger", 2, "no one run"), ("../..", "logger", 2, "no one run"),
    ],
)  # fmt: skip
def test_wrong_calls(home, file, call, run, name, code, words):
    found, _, err = call("--home", home.root, "attach", "tansy", run, file, "--map", name)
    assert found == code
    assert words in err
    assert measured(home) == {}


def test_files_that_cannot_be_read(home, call, tmp_path):
    words = ("--home", home.root, "attach", "tansy", "last")
    assert call(*words, tmp_path / "none.csv", "--map", "logger")[0] == 2
    assert call(*words, tmp_path, "--map", "logger")[0] == 2
    (tmp_path / "link.csv").symlink_to("/etc/hostname")
    assert call(*words, tmp_path / "link.csv", "--map", "logger")[0] == 2
    os.mkfifo(tmp_path / "pipe.csv")
    assert call(*words, tmp_path / "pipe.csv", "--map", "logger")[0] == 2
    (tmp_path / "odd.csv").write_text("no,such\n1,2\n\x1b]0;x\x07,3\n", encoding="utf-8")
    code, _, err = call(*words, tmp_path / "odd.csv", "--map", "logger")
    assert code == 3
    assert "no column called t" in err
    assert "\x1b" not in err
    assert measured(home) == {}


def test_a_file_over_the_cap_is_not_read(home, file, call, monkeypatch):
    monkeypatch.setattr("divelog.session.telemetry.chunks_of.__defaults__", (100,))
    code, _, err = call("--home", home.root, "attach", "tansy", "last", file, "--map", "logger")
    assert code == 2
    assert "larger" in err


def test_a_mapping_with_faults_names_them_with_their_lines(home, file, call):
    (home.root / "mappings" / "bad.toml").write_text(
        MAPPING.replace('unit = "cm"', 'unit = "V"'), encoding="utf-8"
    )
    code, _, err = call("--home", home.root, "attach", "tansy", "last", file, "--map", "bad")
    assert code == 3
    assert "mappings/bad.toml, line 9" in err


def test_a_mapping_that_is_a_link_is_refused(home, file, call, tmp_path):
    (tmp_path / "outside.toml").write_text(MAPPING, encoding="utf-8")
    (home.root / "mappings" / "linked.toml").symlink_to(tmp_path / "outside.toml")
    assert call("--home", home.root, "attach", "tansy", "last", file, "--map", "linked")[0] == 4
    assert measured(home) == {}


def test_a_full_disk_leaves_nothing_behind(home, file, call, monkeypatch):
    from divelog.files import RealDisk

    real = RealDisk.write

    def write(self, fd, data):
        if len(data) > 4000:
            raise OSError(28, "No space left on device")
        return real(self, fd, data)

    monkeypatch.setattr(RealDisk, "write", write)
    code, _, err = call("--home", home.root, "attach", "tansy", "last", file, "--map", "logger")
    assert code == 4
    assert "full" in err
    assert measured(home) == {}
    assert list((home.journal_folder("tansy") / "telemetry").iterdir()) == []


def test_ctrl_c_leaves_nothing_behind(home, file, call, monkeypatch):
    def stopped(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr("divelog.files.RealDisk.fsync", stopped)
    code, _, _ = call("--home", home.root, "attach", "tansy", "last", file, "--map", "logger")
    assert code == 130
    assert [p for p in (home.journal_folder("tansy") / "telemetry").iterdir() if p.suffix == ".csv"] == []


# -- the curve as text ----------------------------------------------------------------------------------------------------


def test_the_curve_is_drawn_with_the_words_of_what_it_shows(home, file, call):
    assert call("--home", home.root, "attach", "tansy", "last", file, "--map", "logger")[0] == 0
    for asked in ([], ["last"], [runs(home)[0][:20]]):
        code, out, _ = call("--home", home.root, "runs", "tansy", "--curve", *asked)
        assert code == 0
        lines = out.splitlines()
        assert max(map(len, lines)) < 80
        text = " ".join(out.split())
        # by hand: 95 cm is the deepest; a straight line of one second from 60 to 95 cm crosses 0.8 m, then 300 s below
        assert "Deepest 0.95 m" in text
        assert "5 min below the keel limit, 0.8 m" in text
        assert "601 rows, read by logger" in text
        assert sum(any(mark in line for mark in "▀▄█") for line in lines) >= 3


def test_a_terminal_without_blocks_gets_plain_characters(home, file, call, monkeypatch):
    call("--home", home.root, "attach", "tansy", "last", file, "--map", "logger")
    monkeypatch.setattr("divelog.commands.curve._blocks", lambda: False)
    code, out, _ = call("--home", home.root, "runs", "tansy", "--curve")
    assert code == 0
    assert out.isascii()


def test_a_curve_that_cannot_be_drawn_is_told(home, file, call):
    words = ("--home", home.root, "runs", "tansy", "--curve")
    code, _, err = call(*words)
    assert (code, "no run of tansy has a file" in err) == (2, True)
    code, _, err = call(*words, "last")
    assert (code, "no file of readings is joined" in err) == (2, True)
    assert call(*words, "zzzzzz")[0] == 2
    assert call("--home", home.root, "runs", "--curve")[0] == 2
    assert call(*words, "last", "--csv")[0] == 2
    call("--home", home.root, "attach", "tansy", "last", file, "--map", "logger")
    kept = home.journal_folder("tansy") / "telemetry" / f"{runs(home)[0]}.csv"
    kept.write_text(ROWS + "601,10,3,7\n", encoding="utf-8")
    code, _, err = call(*words)
    assert (code, "changed since" in err) == (3, True)
    kept.unlink()
    code, _, err = call(*words)
    assert (code, "not in this home" in err) == (3, True)
