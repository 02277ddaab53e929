"""``divelog type-in``: a filled sheet by its numbers, with the checks of the screen, at the time on the paper."""

from __future__ import annotations

import io
from datetime import datetime

import pytest

from divelog.clock import FixedClock
from divelog.home import Home
from divelog.journal.loading import load
from divelog.journal.writing import Journal
from divelog.papers.sheets.before import list_sheet
from divelog.papers.sheets.model import Blanks
from divelog.session.papering import gathered
from divelog.session.session import Session
from divelog.session.shelf import read_shelf
from divelog.session.typed_when import parse_when
from divelog.session.typing_in import SheetTyping, trial

MORNING = datetime.fromisoformat("2032-05-04T08:00:00+01:00")
BEFORE = """tansy 09:30
1 1
3 tansy
4 1
5 8.45
8
9
10 1
11 4
12 20;20
15 16
16
17 150
18 1
20 60
21 1
22 40;41
23 25
25
"""
AFTER = """40 9:40
41 9:45;9:50
42 10:20
51 1
52
53 1;1
54 1;3;2;1.0;2;the shelf
55 0.5;2
56 7.9
57 1
58 1;1
"""


@pytest.fixture
def clock(monkeypatch) -> FixedClock:
    clock = FixedClock(MORNING)
    monkeypatch.setattr("divelog.clock.SystemClock", lambda: clock)
    return clock


@pytest.fixture
def home(samples, clock) -> Home:
    """The sample boats at noon of a day that was opened at eight."""
    with Journal(Home(samples), "desk", clock=clock) as journal:
        data = {"site": "withy-pond", "water": "fresh", "temperature": {"si": 284.15, "u95": 0.5},
                "clarity": {"si": 1.1, "u95": 0.1},
                "air": {"temperature": {"si": 289.15, "u95": 1.0}, "look": "small glassy wavelets"}}  # fmt: skip
        journal.append("day.opened", data)
        clock.advance(60)
        plan = {"pack": "D2", "depth": {"si": 0.5, "u95": 0.0}, "distance": {"si": 35.0, "u95": 0.0},
                "minutes": {"si": 1200.0, "u95": 0.0}}  # fmt: skip
        journal.append("plan.set", plan, boat="tansy")
    clock.advance(4 * 3600)
    return Home(samples)


@pytest.fixture
def type_in(home, call, tmp_path):
    def run(text: str, *words: str):
        file = tmp_path / "sheet.txt"
        file.write_text(text, "utf-8")
        return call("--home", home.root, "type-in", file, *words)

    return run


def events(home: Home):
    return load(home, "tansy").events


def of(home: Home, what: str):
    return [e for e in events(home) if e.what == what]


def keys(text: str) -> int:
    """Presses: each character and Enter is one, a colon two (with Shift)."""
    return len(text) + text.count(":")


def numbers(text: str) -> list[int]:
    return [int(row.split()[0]) for row in text.splitlines()[1:]]


def test_a_sheet_before_the_dive_takes_at_most_120_keys(type_in, home, clock):
    session = Session.reading(home, clock, read_shelf(home))
    printed = list_sheet(gathered(session, "tansy", session.shelf.boats["tansy"]), empty=True)
    rows = [row for part in printed.parts if isinstance(part, Blanks) for row in part.rows]
    assert numbers(BEFORE) == [row.number for row in rows], "every line of the printed sheet is typed back"
    places = sum(1 for row in rows for one in row.spaces if not (one.tick or one.digit or one.choices))
    assert places >= 10, "and it is a sheet with readings on it"
    assert keys(BEFORE) <= 120
    code, out, err = type_in(BEFORE)
    assert code == 0, err
    rows = out.splitlines()
    assert len(rows) == 18
    assert all(row[0] in "+=" for row in rows), out
    assert any(row.startswith("+ within") and "8.45 V, give or take" in row for row in rows)


def test_by_prompts_a_sheet_takes_no_more_keys(home, call, monkeypatch):
    head, *rows = BEFORE.splitlines()
    said = "".join(f"{row.partition(' ')[2] or '+'}\n" for row in rows)
    typed = f"{head.replace(' ', chr(10))}\n{said}"
    assert keys(typed) + typed.count("+") <= 120
    monkeypatch.setattr("sys.stdin", io.StringIO(typed))
    code, out, _ = call("--home", home.root, "type-in")
    assert code == 0
    assert "Still open" not in out
    answered = {e.payload()["line"] for e in of(home, "check.answered")}
    assert len(answered) == len(rows)


def test_times_from_paper_stand_as_happened_with_their_doubt(type_in, home):
    assert type_in(BEFORE.replace("09:30", "09:30 +/- 10 min"))[0] == 0
    typed = [e for e in events(home) if e.what.startswith("check.")]
    assert {e.happened for e in typed} == {"2032-05-04T09:30:00+01:00 ± 10 min"}
    assert {e.half_width for e in typed} == {600.0}
    assert all(e.when.hour == 12 for e in typed), "and when it was written is not hidden"


def test_a_time_without_a_doubt_gets_one(type_in, home):
    type_in(BEFORE)
    assert {e.half_width for e in of(home, "check.answered")} == {900.0}


def test_verdicts_and_proofs_are_those_of_the_screen(type_in, home, clock):
    type_in(BEFORE)
    answered = {(d["line"], d.get("name")): d for e in of(home, "check.answered") for d in [e.payload()]}
    volts = next(d for (line, _), d in answered.items() if line == "pack-volts")
    assert volts["verdict"] == "within"
    assert volts["gives"] == ["pack:D2"]
    session = Session.reading(home, clock, read_shelf(home))
    report = session.proofs("tansy", session.shelf.boats["tansy"], clock.now())
    # An answer of the range check spends full power; on the sheet the line of full power stands after it.
    for name in (
        "failsafe_bench", "directions", "closed", "dry_short", "range", "full_power", "ballast_cycle",
    ):  # fmt: skip
        assert report.get(name).stands, name
    assert {e.payload()["path"] for e in of(home, "measured")} >= {"ballast.fill_time", "ballast.empty_time"}


def test_a_wrong_answer_takes_a_proof_and_is_loud(type_in, home):
    code, out, _ = type_in(BEFORE.replace("18 1", "18 1;2").replace("5 8.45", "5 7.50"), "--strict")
    assert code == 1
    loud = [row for row in out.splitlines() if row.startswith("X OUTSIDE")]
    assert len(loud) == 2
    assert all(row.endswith("<<<") for row in loud)
    fails = {name for e in of(home, "check.answered") for name in e.payload().get("fails", [])}
    assert fails == {"directions", "pack:D2"}


def test_a_whole_run_comes_back_from_paper(type_in, home):
    code, out, err = type_in(BEFORE + AFTER)
    assert code == 0, err
    assert "Still open" not in out
    (launch,), (start,), (end,) = of(home, "launch.called"), of(home, "run.started"), of(home, "run.ended")
    assert launch.payload()["words"] == "ready to dive"
    assert not [one for one in launch.payload()["open"] if one.startswith(("full power", "range"))]
    assert (start.local.hour, start.local.minute, start.half_width) == (9, 40, 120.0)
    assert (end.local.hour, end.local.minute, end.run) == (10, 20, start.id)
    assert end.payload()["reason"] == "plan"
    assert end.payload()["deepest"]["how"] == "seen"
    assert [e.local.minute for e in of(home, "mark")] == [45, 50]
    (incident,) = of(home, "incident")
    assert incident.payload()["step"] == "limit exceeded"
    assert incident.local.minute == 50
    ended = [e.payload() for e in of(home, "check.ended")]
    assert [(e["list"], e["complete"]) for e in ended] == [("before-dive", True), ("after-run", True)]


def test_skipped_not_fitted_and_unknown_are_three_things(type_in, home):
    text = (
        BEFORE.replace("20 60", "20 - no time")
        .replace("17 150", "17 ?")
        .replace("\n16\n", "\n16 / no hatch\n")
    )
    code, out, _ = type_in(text)
    assert code == 0
    assert "- skipped     20 paces            no time" in out
    assert "? unknown     17 tip" in out
    assert "/ not fitted  16 catch            no hatch" in out
    states = {e.payload()["line"]: e.payload()["state"] for e in of(home, "check.skipped")}
    assert states == {"paces": "skipped", "tip": "unknown", "catch": "not fitted"}


@pytest.mark.parametrize(
    ("line", "instead", "row", "wanted"),
    [
        ("5 8.45", "5 banana", 5, "wanted"),
        ("5 8.45", "5 8.45;3", 5, "one answer too many"),
        ("12 20;20", "12 20", 10, "one more answer is wanted"),
        ("12 20;20", "12 2;2", 10, "go to 20 kPa first"),
        ("10 1", "10 9", 8, "is no choice; one of: empty, part full, full"),
        ("20 60", "13 1", 15, "13 is not asked of her"),
        ("20 60", "39 1", 15, "there is no 39 on her sheets"),
        ("20 60", "17 60", 15, "each number once"),
        ("20 60", "sixty paces", 15, "a number of the sheet"),
        ("20 60", "20 -", 15, "needs a reason"),
        ("8", "8 no", 6, "nothing stands after a number that is ticked"),
        ("3 tansy", "3", 3, "nothing stands there"),
        ("1 1", "1 2", 2, "one more answer is wanted"),
    ],
)
def test_every_fault_is_told_by_its_line_and_nothing_is_kept(type_in, home, line, instead, row, wanted):
    before = len(events(home))
    code, out, err = type_in(BEFORE.replace(f"\n{line}\n", f"\n{instead}\n"))
    assert code == 3
    assert out == ""
    told = next(one for one in err.splitlines() if wanted in one)
    assert told.startswith(f"sheet.txt, line {row}: ")
    assert "Nothing was kept" in err
    assert len(events(home)) == before


@pytest.mark.parametrize(
    ("head", "wanted"),
    [
        ("nobody 09:30", "a boat and a time"),
        ("tansy half past", "found half past"),
        ("tansy 23:59 4 June 2032", "not come yet"),
    ],
)
def test_a_head_that_cannot_be_read(type_in, head, wanted):
    code, _, err = type_in(BEFORE.replace("tansy 09:30", head))
    assert code == 3
    assert wanted in err


def test_the_code_of_another_form_of_the_list_is_refused(type_in, home, clock):
    session = Session.reading(home, clock, read_shelf(home))
    sheet = SheetTyping(session, "tansy", session.shelf.boats["tansy"], parse_when("09:30", clock.now()))
    assert type_in(BEFORE.replace("tansy 09:30", "tansy 09:30\nsheet 0000"))[0] == 3
    assert not of(home, "check.started")
    assert type_in(BEFORE.replace("tansy 09:30", f"tansy 09:30\nsheet {sheet.code.lower()}"))[0] == 0


def test_after_the_run_needs_a_run(type_in):
    code, _, err = type_in("tansy 09:30\n51 1\n")
    assert code == 3
    assert "write 40 and the time she was launched" in err


def proved(home: Home, clock: FixedClock) -> set[str]:
    session = Session.reading(home, clock, read_shelf(home))
    report = session.proofs("tansy", session.shelf.boats["tansy"], clock.now())
    return {one.name for one in report.proofs if one.stands}


CLOSING = {"faces", "start_state", "closed", "dry_short"}


def test_the_order_of_the_lines_on_a_sheet_is_the_order_they_were_done(type_in, home, clock):
    # She was opened first and closed after it: all under one time, in the order of the paper.
    _, out, err = type_in(BEFORE.replace("1 1\n3", "1 2;fore cap;1\n3"))
    assert not err
    assert "Still open" not in out
    assert proved(home, clock) >= CLOSING | {"range", "full_power"}


def test_what_is_typed_in_later_is_no_line_of_the_sheet(type_in, home, clock, call):
    # Paper says 09:30 give or take 15 minutes; a cap was opened at 09:20: before it or after it, nobody knows.
    assert type_in(BEFORE)[0] == 0
    assert proved(home, clock) >= CLOSING
    code, _, err = call(
        "--home", home.root, "record", "tansy", "opened", "which=fore cap", "--happened", "09:20"
    )
    assert code == 0, err
    assert not proved(home, clock) & CLOSING


def test_two_sheets_under_one_time_keep_their_doubt(type_in, home, clock):
    head, *rows = BEFORE.splitlines(keepends=True)
    full_power = next(row for row in rows if row.startswith("21 "))
    assert type_in(head + "".join(row for row in rows if row != full_power))[0] == 0
    assert type_in(head + full_power)[0] == 0
    assert "range" in proved(home, clock)
    assert "full_power" not in proved(home, clock), (
        "the second sheet may have been filled in before the first"
    )


def test_opened_on_paper_is_written_down(type_in, home):
    code, out, err = type_in(BEFORE.replace("1 1\n3", "1 2;fore cap;1\n3"))
    assert code == 0, err
    (opened,) = of(home, "opened")
    assert opened.payload()["which"] == ["fore cap"]
    assert opened.happened.endswith("± 15 min")
    assert out.startswith("= done         1 undone")


def test_a_day_that_nobody_opened_is_said(type_in):
    _, _, err = type_in(BEFORE.replace("09:30", "3 May 2032 09:30"))
    assert "No day is open in the log for 2032-05-03" in err


def test_a_trial_writes_nothing(home, clock):
    session = Session.reading(home, clock, read_shelf(home))
    before = {f: f.read_bytes() for f in home.logbook.rglob("*.jsonl")}
    known = len(session.log("tansy").events)
    sheet = SheetTyping(
        trial(session, "tansy"), "tansy", session.shelf.boats["tansy"], parse_when("09:30", clock.now())
    )
    assert sheet.take(5, "8.45").sign == "+ within"
    assert {f: f.read_bytes() for f in home.logbook.rglob("*.jsonl")} == before
    assert len(session.log("tansy").events) == known


def test_without_a_file_every_number_is_asked(home, call, monkeypatch):
    answers = ["tansy", "09:30", "1", "tansy", "1", "banana", "8.45", "+"]
    monkeypatch.setattr("sys.stdin", io.StringIO("\n".join(answers) + "\n"))
    code, out, _ = call("--home", home.root, "type-in")
    assert code == 0
    assert "5 Read the volts at the boat's own plug: " in out
    assert "+ within" in out
    assert "The input ended. What was answered is kept." in out
    assert {e.payload()["line"] for e in of(home, "check.answered")} == {
        "undone",
        "name",
        "signal-off",
        "pack-volts",
        "faces",
    }
    assert "Still open: leads" in out


def test_json(type_in, home, call_json, tmp_path):
    (tmp_path / "s.txt").write_text(BEFORE, "utf-8")
    code, found = call_json("--home", home.root, "type-in", tmp_path / "s.txt")
    assert code == 0
    assert (found["schema"], found["boat"], len(found["lines"])) == ("divelog.typed/1", "tansy", 18)
    assert found["at"] == "2032-05-04T09:30:00+01:00"
    assert found["lines"][3] == {
        "number": 5, "line": "volts", "stands": "+ within", "words": found["lines"][3]["words"],
    }  # fmt: skip


def test_json_wants_a_file(home, call):
    code, out, _ = call("--home", home.root, "type-in", "--json")
    assert (code, out) == (2, "")


def test_bytes_that_are_no_text_are_a_fault_and_nothing_is_kept(home, call, tmp_path):
    (tmp_path / "s.txt").write_bytes(b"tansy 09:30\n1 \xff\xfe\n")
    code, out, err = call("--home", home.root, "type-in", tmp_path / "s.txt")
    assert (code, out) == (3, "")
    assert err.startswith("s.txt: found bytes that are no text; wanted plain text in UTF-8\n")
    assert of(home, "check.answered") == []
