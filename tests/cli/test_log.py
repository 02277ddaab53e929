"""``divelog runs``, ``record``, ``correct``, ``verify``: what is printed, what is written, and the exit codes."""

from __future__ import annotations

import csv
import io
from datetime import datetime
from pathlib import Path

import pytest

from divelog.cli import main
from divelog.clock import FixedClock
from divelog.home import Home
from divelog.journal.loading import load
from divelog.journal.verifying import verify
from divelog.journal.writing import Journal

NOW = datetime.fromisoformat("2032-05-04T20:10:00+01:00")


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> FixedClock:
    """The evening of 4 May 2032."""
    made = FixedClock(NOW)
    monkeypatch.setattr("divelog.clock.SystemClock", lambda: made)
    return made


@pytest.fixture
def logged(samples: Path, clock: FixedClock) -> Path:
    """A logbook that is whole: two boats, a run each, one of them still on."""
    with Journal(Home(samples), device="laptop", clock=clock) as journal:
        journal.append("day.opened", {"site": "withy-pond", "water": "fresh"})
        start = journal.append(
            "run.started", {"pack": "D2", "limits": {"minutes": 47.0, "keel": 0.8}}, boat="tansy"
        )
        clock.advance(1800)
        deepest = {"si": 0.7, "u95": 0.1, "how": "seen"}
        journal.append(
            "run.ended", {"pack": "D2", "deepest": deepest, "reason": "plan"}, boat="tansy", run=start.id
        )
        journal.append("run.started", {"pack": "P1"}, boat="bulrush")
    return samples


# -- runs ---------------------------------------------------------------------------------------------------------------


def test_runs_of_the_worked_journal(worked, call_json):
    code, found = call_json("runs", "tansy", "--home", str(worked))
    assert code == 0
    assert found["schema"] == "divelog.runs/1"
    first, second = found["runs"]
    # #20 25 April 09:30-10:12, 42 min, Withy Pond, D2, 0.9 m +/- 0.1 seen, shaft 0.500 h, water none, incidents 0
    assert (first["start"], first["end"], first["seconds"]) == (
        "2032-04-25T09:30:00+01:00",
        "2032-04-25T10:12:00+01:00",
        2520.0,
    )
    assert (first["site"], first["pack"], first["shaft_time"], first["incidents"]) == (
        "withy-pond",
        "D2",
        1800,
        [],
    )
    assert (first["deepest"]["si"], first["deepest"]["u95"], first["deepest"]["how"]) == (0.9, 0.1, "seen")
    assert (first["water_found"]["word"], first["water_found"]["si"]) == ("bone dry", 0.0)
    # #36 4 May 08:41-09:26, 45 min, 1.2 m +/- 0.2 guessed, shaft 0.533 h, water 5 mL aft (allowance 0.01), incidents 1
    assert (second["seconds"], second["shaft_time"], second["deepest"]["how"]) == (2700.0, 1920, "guessed")
    assert second["water_found"]["si"] == pytest.approx(5e-6)
    assert (
        second["water_found"]["end"],
        second["water_found"]["allowance"],
        second["water_found"]["over"],
    ) == ("aft", 1e-8, True)
    assert [(i["step"], i["cause"]) for i in second["incidents"]] == [
        ("touched bottom", "dived past the shelf")
    ]
    assert second["answered"] is False
    assert (
        first["charge"]["how"] == "minutes times her current at cruise"
    )  # nobody wrote that it was full before
    assert first["charge"]["u95"] == pytest.approx(0.5 * first["charge"]["si"])


def test_runs_as_text(worked, call):
    code, out, err = call("runs", "tansy", "--home", str(worked))
    assert (code, err) == (0, "")
    lines = out.splitlines()
    assert lines[0].startswith(
        "2032-04-25 09:30  Tansy          42 min    Withy Pond     D2      0.9 m seen      bone dry"
    )
    assert "09:10 touched bottom: dived past the shelf" in out
    assert out.count("the list after this run is still open") == 2


@pytest.mark.parametrize(("since", "count"), [("2032-04-25", 2), ("2032-04-26", 1), ("2032-05-05", 0)])
def test_runs_since_a_day(worked, call_json, since, count):
    assert len(call_json("runs", "--since", since, "--home", str(worked))[1]["runs"]) == count


def test_runs_of_every_boat_and_one_that_is_on(logged, call, call_json):
    _, found = call_json("runs", "--home", str(logged))
    assert [(r["boat"], r["on"]) for r in found["runs"]] == [("tansy", False), ("bulrush", True)]
    assert found["runs"][0]["limits"] == {"minutes": 47.0, "keel": 0.8}
    assert found["runs"][1]["seconds"] is None
    assert "still on" in call("runs", "--home", str(logged))[1]


def test_runs_as_rows_for_a_spreadsheet(worked, call):
    with Journal(Home(worked), device="laptop", clock=FixedClock(NOW)) as journal:
        start = journal.append("run.started", {"pack": "=2+5"}, boat="tansy")
        journal.append("run.ended", {"pack": "=2+5", "reason": "@SUM(A1)"}, boat="tansy", run=start.id)
    code, out, _ = call("runs", "--csv", "--home", str(worked))
    rows = list(csv.DictReader(io.StringIO(out)))
    assert code == 0
    assert len(rows) == 3
    assert rows[1]["minutes"] == "45"
    assert rows[1]["water_found_mL"] == "5"
    assert rows[0]["shaft_h"] == "0.5"
    assert not rows[2]["pack"].startswith("=")
    assert not rows[2]["reason"].startswith("@")


def test_no_runs_is_no_fault(samples, clock, call):
    code, out, err = call("runs", "--home", str(samples))
    assert (code, out) == (0, "")
    assert "no runs yet" in err


@pytest.mark.parametrize("words", [("runs", "nobody"), ("runs", "--since", "yesterday")])
def test_a_wrong_call_is_one_sentence(samples, clock, call, words):
    code, out, err = call(*words, "--home", str(samples))
    assert (code, out) == (2, "")
    assert err.count("\n") == 1


def test_a_damaged_journal_is_read_as_far_as_it_goes_and_said(logged, call_json, call):
    file = next((logged / "logbook" / "tansy").glob("*.jsonl"))
    file.write_bytes(file.read_bytes() + b'{"id": "torn')
    code, found = call_json("runs", "--home", str(logged))
    assert code == 5
    assert len(found["runs"]) == 2
    assert "cut off" in call("runs", "--home", str(logged))[2]


def test_hostile_words_of_a_log_do_not_reach_the_terminal(samples, clock, call):
    with Journal(Home(samples), device="laptop", clock=clock) as journal:
        start = journal.append("run.started", {"pack": "\x1b[2JD2\u202e"}, boat="tansy")
        journal.append("incident", {"step": "stuck", "cause": "\x1b]0;x\x07"}, boat="tansy", run=start.id)
    _, out, _ = call("runs", "--home", str(samples))
    assert "\x1b" not in out
    assert "\u202e" not in out


# -- record ---------------------------------------------------------------------------------------------------------------


def test_record_appends_one_event(samples, clock, call_json):
    code, found = call_json(
        "record", "tansy", "charged", "pack=D2", "charge=2.2 A h", "to=full", "--home", str(samples)
    )
    assert code == 0
    assert found["schema"] == "divelog.event/1"
    event = next(e for e in load(Home(samples), "tansy").events if e.what == "charged")
    assert event.id == found["id"]
    assert event.boat is None  # packs travel between boats
    assert event.payload()["charge"]["si"] == pytest.approx(7920)
    assert all(verdict.whole for verdict in verify(Home(samples)))


def test_record_says_what_it_kept(samples, clock, call):
    code, out, _ = call(
        "record", "tansy", "note", "text=weed at the east end", "private=no", "--home", str(samples)
    )
    assert code == 0
    assert out.startswith("kept  ")
    assert "note: weed at the east end" in out


def test_record_takes_a_time_that_was_earlier(samples, clock, call_json):
    words = ("record", "tansy", "radio.changed", "changed=bound", "--happened", "30 Apr 19:00 +/- 30 min")
    code, found = call_json(*words, "--home", str(samples))
    assert code == 0
    assert found["happened"] == "2032-04-30T19:00:00+01:00 ± 30 min"


def test_record_finds_the_run(logged, clock, call_json, call):
    runs = call_json("runs", "--home", str(logged))[1]["runs"]
    tansy, bulrush = (run["run"] for run in runs)
    # the run that is on
    assert call_json("record", "bulrush", "mark", "--home", str(logged))[1]["run"] == bulrush
    # the last of the day
    assert (
        call_json("record", "tansy", "water.found", "word=a drop", "looked=opened", "--home", str(logged))[1][
            "run"
        ]
        == tansy
    )
    # the one named
    assert call_json("record", "tansy", "mark", f"run={tansy}", "--home", str(logged))[1]["run"] == tansy
    code, out, err = call("record", "tansy", "mark", "--home", str(logged))
    assert (code, out) == (2, "")
    assert "no run of tansy is on" in err
    assert call("record", "tansy", "mark", "run=0000000", "--home", str(logged))[0] == 2
    # ending it
    code, found = call_json(
        "record", "bulrush", "run.ended", "deepest=0.3 m", "deepest.how=seen", "--home", str(logged)
    )
    assert (code, found["run"]) == (0, bulrush)
    assert call_json("runs", "bulrush", "--home", str(logged))[1]["runs"][0]["on"] is False


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("nobody", "note", "text=x"), "no boat called"),
        (("tansy", "notes", "text=x"), "perhaps note"),
        (("tansy", "check.answered", "list=x"), "answering a check"),
        (("tansy", "note"), "needs text"),
        (("tansy", "note", "text"), "no PATH=TEXT"),
        (("tansy", "charged", "pack=D2", "charge=9**9**9"), "charge"),
        (("tansy", "note", "text=x", "--happened", "tomorrow"), "--happened"),
        (("tansy", "note", "text=x", "--happened", "2033-01-01 10:00"), "not come yet"),
        (("tansy", "note", "text=" + "x" * 2_000_000), ""),
    ],
)
def test_record_refuses_in_one_sentence_and_writes_nothing(samples, clock, call, words, said):
    code, out, err = call("record", *words, "--home", str(samples))
    assert (code, out) == (2, "")
    assert said in err
    assert not [e for e in load(Home(samples), "tansy").events if e.what != "log.opened"]


def test_record_on_a_home_that_cannot_be_written(samples, clock, call):
    (samples / "logbook").write_text("in the way", "utf-8")
    code, out, err = call("record", "tansy", "note", "text=x", "--home", str(samples))
    assert (code, out) == (4, "")
    assert "not saved" in err


# -- correct --------------------------------------------------------------------------------------------------------------


@pytest.fixture
def note(samples, clock, call_json) -> str:
    """The identifier of a charge of 2.2 A h on D2."""
    found = call_json(
        "record", "tansy", "charged", "pack=D2", "charge=2.2", "to=full", "--home", str(samples)
    )[1]
    return found["id"]


def charge(samples):
    return next(e for e in load(Home(samples), "tansy").events if e.what == "charged")


def test_correct_puts_whole_data_in_its_place(samples, clock, note, call_json):
    code, found = call_json(
        "correct", note, "charge=2.4 A h", "why=read the wrong line", "--home", str(samples)
    )
    assert (code, found["what"], found["boat"]) == (0, "corrected", None)
    event = charge(samples)
    assert event.payload()["charge"]["si"] == pytest.approx(8640)
    assert (event.payload()["pack"], event.payload()["to"]) == ("D2", "full")
    # a second correction stands on the first
    clock.advance(60)
    call_json("correct", note, "pack=D3", "why=wrong pack", "--home", str(samples))
    assert charge(samples).payload()["pack"] == "D3"
    assert charge(samples).payload()["charge"]["si"] == pytest.approx(8640)


def test_correct_the_time_alone(samples, note, call):
    assert (
        call("correct", note, "happened=yesterday 19:00", "why=written late", "--home", str(samples))[0] == 0
    )
    event = charge(samples)
    assert event.at.isoformat() == "2032-05-03T18:00:00+00:00"
    assert event.payload()["pack"] == "D2"


def test_correct_makes_void_by_the_beginning_of_the_name(samples, note, call):
    assert call("correct", note[:18], "void=yes", "why=typed twice", "--home", str(samples))[0] == 0
    log = load(Home(samples), "tansy")
    assert not [e for e in log.events if e.what == "charged"]
    assert [e for e in log.lines if e.what == "charged"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("ID", "pack=D3"), "say why"),
        (("ID", "why=x"), "nothing to correct"),
        (("ID", "void=yes", "pack=D3", "why=x"), "not both"),
        (("ID", "void=perhaps", "why=x"), "void takes yes"),
        (("ID", "colour=red", "why=x"), "no field called"),
        (("ID", "happened=soon", "why=x"), "happened"),
        (("01", "pack=D3", "why=x"), "no event begins"),
        (("ffffffff", "pack=D3", "why=x"), "no event begins"),
    ],
)
def test_correct_refuses_in_one_sentence(samples, note, call, words, said):
    words = tuple(note if word == "ID" else word for word in words)
    code, out, err = call("correct", *words, "--home", str(samples))
    assert (code, out) == (2, "")
    assert said in err
    assert charge(samples).payload()["pack"] == "D2"


def test_the_log_s_own_lines_are_not_corrected(samples, note, call):
    own = load(Home(samples), "tansy").lines[0]
    assert own.what == "log.opened"
    code, _, err = call("correct", own.id, "void=yes", "why=x", "--home", str(samples))
    assert code == 2
    assert "the log's own" in err


# -- verify ---------------------------------------------------------------------------------------------------------------


def test_verify_says_whole(logged, call, call_json):
    code, out, err = call("verify", "--home", str(logged))
    assert (code, err) == (0, "")
    assert all(line.startswith("whole") for line in out.splitlines())
    code, found = call_json("verify", "tansy", "--home", str(logged))
    assert (code, found["schema"]) == (0, "divelog.verify/1")
    assert {f["file"].split("/")[0] for f in found["files"]} == {"_kit", "tansy"}
    for each in found["files"]:
        assert set(each) == {"file", "events", "whole", "first_bad_line", "set_aside", "heads_missing"}


def test_verify_finds_a_changed_line_and_a_cut_end(logged, call, call_json):
    file = next((logged / "logbook" / "tansy").glob("*.jsonl"))
    raw = file.read_bytes()
    file.write_bytes(
        raw.replace(b'"reason":"plan"', b'"reason":"pram"').replace(b'"pack":"D2"', b'"pack":"D9"', 1)
    )
    code, found = call_json("verify", "--home", str(logged))
    assert code == 5
    bad = next(f for f in found["files"] if f["file"].startswith("tansy"))
    assert bad["whole"] is False
    assert bad["first_bad_line"] is not None
    code, out, err = call("verify", "--home", str(logged))
    assert code == 5
    assert "DAMAGED" in out
    assert "line" in err


def test_verify_of_nothing(samples, clock, call):
    code, out, err = call("verify", "--home", str(samples))
    assert (code, out) == (0, "")
    assert "no journal yet" in err


def test_every_verb_has_its_help(capsys):
    for verb in ("runs", "record", "correct", "verify", "due", "wear", "proofs"):
        assert main([verb, "--help"]) == 0
        assert verb in capsys.readouterr().out
