"""``rehearse``: the plain chart, the JSON shape, exit codes, and wrong calls in words."""

from __future__ import annotations

import json
import math
import subprocess
import sys

import pytest

from divelog.limits.rehearsal import CASES

DAY = "days/withy-pond.toml"


@pytest.fixture
def tansy(samples):
    """The words of a call about Tansy at Withy Pond on 4 May."""
    return ("--home", samples, "rehearse", "tansy", "--today", samples / DAY)


def test_the_chart_of_a_steady_dive_and_a_line_for_each_other_case(tansy, call):
    code, out, err = call(*tansy)
    assert code == 0
    lines = out.splitlines()
    assert lines[0] == "TANSY  steady: a steady dive, planes as they stand"
    assert lines[1] == "then: motor stops, planes rise, ballast empties"
    assert lines[3].strip() == "keel"
    assert lines[4] == " 0.0 m"
    seconds = next(n for n, line in enumerate(lines) if line.strip().startswith("0 s"))
    assert seconds == 4 + 12  # twelve rows of a fifth of a metre, down to the bed at 2.2 m
    assert lines[seconds - 1] == " bed    " + "#" * 66
    assert "aerial goes" in out
    assert "+ within     Deepest" in out
    for one in CASES[1:]:
        assert any(line[13:] == one.name for line in lines), one.name
    assert "X OUTSIDE    last command held" in out
    assert out.isascii()
    assert max(map(len, lines)) <= 79
    assert "inputs are assumed (*)" in err


def test_one_case_by_name_or_number(tansy, call):
    by_name = call(*tansy, "--case", "dive stick over")[1]
    assert by_name == call(*tansy, "--case", "2")[1]
    assert by_name.startswith("TANSY  dive stick over")
    assert "last command held" not in by_name
    two = call(*tansy, "--case", "6", "--case", "stopped")[1]
    assert two.index("last command held:") < two.index("stopped:")
    assert "caution: Nobody goes in after a boat." in two


def test_json_has_the_shape_and_no_nan(tansy, call_json):
    code, found = call_json(*tansy)
    assert code == 0
    assert found["schema"] == "divelog.rehearsal/1"
    assert (found["boat"], found["site"]) == ("tansy", "withy-pond")
    assert found["profile"].startswith("sha256:")
    assert found["at"] == "2032-05-04T08:11:00+01:00"
    assert [one["case"] for one in found["cases"]] == [one.name for one in CASES]
    assert found["source"]
    for one in found["cases"]:
        assert one["columns"] == ["time", "depth", "pitch", "speed", "u95"]
        assert one["path"][0][0] == 0.0
        assert one["path"][0][1] == pytest.approx(0.7)
        assert all(len(row) == 5 and all(map(math.isfinite, row)) for row in one["path"])
        assert max(row[1] for row in one["path"]) == pytest.approx(one["deepest"]["si"], abs=1e-3)
        assert one["verdict"] in ("within", "outside", "too_close")
        assert (one["surfaced"] is None) == (one["ends"] != "surfaced")
        assert {"path", "si", "u95", "unit", "basis", "on", "said"} == set(one["inputs"][0])
    steady = found["cases"][0]
    assert (steady["bottom"], steady["plan"]) == (2.2, 0.7)
    assert steady["path"][-1][0] == pytest.approx(steady["surfaced"]["si"], abs=1e-6)


def test_json_of_one_case(tansy, call_json):
    _, found = call_json(*tansy, "--case", "astern")
    assert [one["case"] for one in found["cases"]] == ["going astern"]


def test_a_time_nobody_can_be_sure_of_is_null(samples, call_json):
    _, found = call_json(
        "--home", samples, "rehearse", "bulrush", "--today", samples / DAY, "--case", "stopped",
        "--set", "dived_balance=14 g ± 8 g", "--no-history",
    )  # fmt: skip
    assert found["cases"][0]["surfaced"]["u95"] is None


def test_a_what_if_is_never_saved(tansy, samples, call_json):
    before = (samples / "boats/tansy.toml").read_bytes()
    _, usual = call_json(*tansy, "--case", "1")
    _, late = call_json(*tansy, "--case", "1", "--set", "radio.failsafe_delay=4 s")
    assert late["cases"][0]["deepest"]["si"] > usual["cases"][0]["deepest"]["si"]
    assert (samples / "boats/tansy.toml").read_bytes() == before


def test_strict_tells_what_is_open(tansy, call):
    assert call(*tansy, "--case", "steady", "--strict")[0] == 0
    assert call(*tansy, "--case", "6", "--strict")[0] == 1
    assert call(*tansy, "--case", "6")[0] == 0


def test_what_is_missing_is_named(samples, call, call_json):
    words = ("--home", samples, "rehearse", "tansy", "--no-history", "--case", "1")
    code, out, _ = call(*words)
    assert code == 0
    assert "? unknown    needs" in out
    _, found = call_json(*words)
    assert found["cases"][0]["missing"]
    assert found["cases"][0]["path"] == []
    assert found["cases"][0]["deepest"] is None


@pytest.mark.parametrize(
    ("extra", "says"),
    [
        (("--case", "upside down"), "no case called 'upside down'; cases are: steady, dive stick over"),
        (("--case", "\x1b[31mred"), "no case called"),
        (("--set", "no.such=1 m"), "no field called"),
        (("--set", "plan.depth=deep"), "--set:"),
        (("--set", "plan.depth"), "is no PATH=TEXT"),
        (("--at", "yesterday"), ""),
    ],
)
def test_wrong_calls_are_sentences(tansy, call, extra, says):
    code, out, err = call(*tansy, *extra)
    assert code == 2
    assert out == ""
    assert says in err
    assert "\x1b" not in err


def test_no_such_boat_or_day(samples, call):
    assert call("--home", samples, "rehearse", "nobody")[0] == 2
    assert call("--home", samples, "rehearse", "tansy", "--today", "nothing")[0] == 2


def test_a_fault_in_a_file_is_listed(samples, call, call_json):
    file = samples / "boats/tansy.toml"
    file.write_text(file.read_text(encoding="utf-8").replace('"920 mm"', '"920"'), encoding="utf-8")
    code, out, err = call("--home", samples, "rehearse", "tansy")
    assert (code, out) == (3, "")
    assert "length" in err
    code, found = call_json("--home", samples, "rehearse", "tansy")
    assert code == 3
    assert found["schema"] == "divelog.faults/1"


def test_in_a_process_of_its_own(samples):
    done = subprocess.run(
        [sys.executable, "-m", "divelog", "--home", samples, "rehearse", samples / "boats/tansy.toml", "--today",
         samples / DAY, "--case", "stopped", "--json"],
        capture_output=True, check=False, timeout=120,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["cases"][0]["case"] == "stopped"


def test_it_is_among_the_verbs(call):
    _, out, _ = call("--help")
    assert "rehearse" in out
