"""``limits``, ``explain``, ``keys``, ``units``, ``examine`` and ``where``: shapes, exit codes, and bad input in words."""

from __future__ import annotations

import json
import math
import os
import subprocess
import sys

import pytest

from divelog.cli import main
from divelog.limits import catalogue

DAY = "days/withy-pond.toml"


def walk(value):
    if isinstance(value, dict):
        for inner in value.values():
            yield from walk(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from walk(inner)
    else:
        yield value


def test_limits_json_has_the_shape_and_no_nan(samples, call_json):
    code, found = call_json("--home", samples, "limits", "tansy", "--today", samples / DAY)
    assert code == 0
    assert found["schema"] == "divelog.limits/1"
    assert found["boat"] == "tansy"
    assert found["profile"].startswith("sha256:")
    assert found["site"] == "withy-pond"
    assert found["at"] == "2032-05-04T08:11:00+01:00"
    assert found["today"]["water.temperature"] == {"si": 284.15, "u95": 0.5, "unit": "K", "basis": "stated"}
    keel = next(r for r in found["results"] if r["key"] == "depth.keel" and r["item"] == "under control")
    assert keel["binds"] == ["step"]  # nothing in the log: never proved dry
    assert keel["shown"] == "0.5 m"
    assert keel["verdict"] == "outside"
    assert keel["terms"]["sight"][2] == pytest.approx(0.805, abs=0.001)
    for result in found["results"]:
        assert {
            "key",
            "item",
            "kind",
            "unit",
            "low",
            "high",
            "u95",
            "shown",
            "basis",
            "missing",
            "inputs",
            "why",
            "source",
        } <= set(result)
    assert not any(isinstance(v, float) and not math.isfinite(v) for v in walk(found))
    assert set(found["counts"]) >= {
        "within",
        "outside",
        "too_close",
        "no_reading",
        "unknown",
        "assumed_inputs",
        "inputs",
    }


def test_only_reading_and_set(samples, call_json):
    words = (
        "--home",
        samples,
        "limits",
        "bulrush",
        "--today",
        samples / DAY,
        "--only",
        "antenna.clear_length",
    )
    _, found = call_json(*words)
    assert [r["shown"] for r in found["results"]] == ["32 mm"]
    assert found["results"][0]["verdict"] == "within"
    _, found = call_json(*words, "--set", "radio.clear_length=30 mm")
    assert found["results"][0]["verdict"] == "outside"
    _, found = call_json(*words, "--reading", "antenna.clear_length=33 mm ± 2 mm")
    assert found["results"][0]["verdict"] == "too_close"


def test_a_boat_may_be_a_file_and_brings_her_own_shelf(samples, call_json, tmp_path):
    code, found = call_json(
        "limits", samples / "boats" / "bulrush.toml", "--today", samples / DAY, "--only", "wind.waves"
    )
    assert code == 0
    assert found["results"][0]["verdict"] == "within"


def test_strict_exits_one_where_something_is_open(samples, call):
    words = ("--home", samples, "limits", "bulrush", "--today", samples / DAY, "--only", "wind.waves")
    assert call(*words, "--strict")[0] == 0
    assert call(*words, "--strict", "--set", "today.air.wind=9 m/s")[0] == 1


def test_why_prints_derivations_and_sources(samples, call):
    code, out, _ = call(
        "--home", samples, "limits", "tansy", "--today", samples / DAY, "--only", "wind.waves", "--why"
    )
    assert code == 0
    assert "source:" in out
    assert "20 mm" in out


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("limits", "nobody"), 2, "no boat called"),
        (("limits", "tansy", "--only", "depth.kele"), 2, "no key called"),
        (("limits", "tansy", "--set", "boat.lenght=3 m"), 2, "no field called"),
        (("limits", "tansy", "--set", "boat.length=920"), 2, "a bare number"),
        (("limits", "tansy", "--set", "boat.length=9**9**9 m"), 2, "the unit"),
        (("limits", "tansy", "--set", "boat.length=1e400 m"), 2, "out of all bounds"),
        (("limits", "tansy", "--set", "boat.length=920 kg"), 2, "a unit of mass"),
        (("limits", "tansy", "--set", "boat.mass=-3 kg"), 2, "a mass from"),
        (("limits", "tansy", "--set", "nothing"), 2, "PATH=TEXT"),
        (("limits", "tansy", "--reading", "battery.rest_voltage=abc"), 2, "a voltage"),
        (("limits", "tansy", "--reading", "battery.rest_voltage=83.1 V"), 2, "cells of lithium polymer"),
        (("limits", "tansy", "--reading", "no.key=3 V"), 2, "no key called"),
        (("limits", "tansy", "--at", "yesterday"), 2, ""),
        (("limits", "tansy", "--today", "missing.toml"), 3, "missing.toml"),
        (("explain", "no.key"), 2, "no key called"),
        (("examine", "missing.toml"), 3, "missing.toml"),
        (("no-such-verb",), 2, "invalid choice"),
        (("limits",), 2, "BOAT"),
    ],
)
def test_a_wrong_call_is_one_sentence(samples, call, words, code, says):
    got, out, err = call("--home", samples, *words)
    assert got == code
    assert says in err
    assert out == ""


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        (b"", "an empty file"),
        (b"\x89PNG\r\n\x1a\n\x00\x00", "no text"),
        (b'format = 1\n[boat]\nname = "X"\nlength = 920\n', "a bare number"),
        (b"format = 1\n[boat\n", "TOML"),
        (b'[boat]\nname = "X"\nmass = "-5 kg"\n', '"-5 kg"'),
        (b'[boat]\nname = "X"\nlenght = "1 m"\n', 'did you mean "length"'),
    ],
)
def test_a_broken_file_is_listed_with_its_line_and_exit_code_three(tmp_path, call, raw, says):
    file = tmp_path / "x.toml"
    file.write_bytes(raw)
    code, out, err = call("examine", file)
    assert code == 3
    assert says in err
    assert "x.toml" in err
    assert out == ""


def test_faults_as_json(tmp_path, call_json):
    file = tmp_path / "x.toml"
    file.write_text('format = 1\n[boat]\nname = "X"\nlength = 920\n')
    code, found = call_json("examine", file)
    assert code == 3
    assert found["schema"] == "divelog.faults/1"
    fault = next(f for f in found["faults"] if f["path"] == "boat.length")
    assert fault["line"] == 4
    assert set(fault) == {"file", "line", "path", "found", "wanted"}


def test_a_boat_with_a_fault_gives_no_limits(samples, call):
    file = samples / "boats" / "tansy.toml"
    file.write_text(file.read_text().replace('length = "920 mm"', "length = 920"))
    code, out, err = call("--home", samples, "limits", "tansy")
    assert (code, out) == (3, "")
    assert "920, a bare number" in err


def test_two_boats_of_one_name_are_said(samples, call):
    text = (samples / "boats" / "tansy.toml").read_text()
    (samples / "boats" / "tansy-2.toml").write_text(text)
    from divelog.home import Home
    from divelog.session.shelf import read_shelf

    assert any("a name of her own" in f.wanted for f in read_shelf(Home(samples)).faults)


@pytest.mark.parametrize("name", catalogue.ORDER)
def test_every_key_explains_itself(call, name):
    code, out, _ = call("explain", name)
    assert code == 0
    assert "source" in out
    assert "how" in out
    assert all(len(line) <= 200 for line in out.splitlines())


def test_keys_and_units_as_json(call_json):
    _, found = call_json("keys")
    assert found["schema"] == "divelog.keys/1"
    assert [k["key"] for k in found["keys"]] == list(catalogue.ORDER)
    assert all(k["where"] in ("pond", "tank", "bench", "desk") for k in found["keys"])
    _, found = call_json("units")
    assert "mm" in found["units"]["length"]


def test_where_names_the_folders(samples, call_json):
    _, found = call_json("--home", samples, "where")
    assert found["boats"] == str(samples / "boats")


def test_help_fits_eighty_columns_and_has_examples(call):
    for words in ((), ("limits",), ("explain",), ("examine",)):
        code, out, _ = call(*words, "--help")
        assert code == 0
        assert max(len(line) for line in out.splitlines()) <= 80, words
    assert "examples:" in call("--help")[1]


def test_not_a_terminal_names_the_plain_commands(samples):
    done = subprocess.run(
        [sys.executable, "-m", "divelog", "--home", str(samples)],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 2
    assert "this is not a terminal" in done.stderr
    assert done.stdout == ""


def test_a_broken_pipe_is_quiet(samples):
    pipe = f"{sys.executable} -m divelog keys | head -1"
    done = subprocess.run(["bash", "-c", pipe], capture_output=True, text=True)
    assert "Traceback" not in done.stderr
    assert "BrokenPipe" not in done.stderr


def test_a_fault_of_ours_is_a_sentence(samples, call, monkeypatch):
    def broken(words):
        raise RuntimeError("boom\x1b[31m")

    monkeypatch.setattr("divelog.commands.files.run_where", broken)
    code, _, err = call("where")
    assert code == 70
    assert "\x1b" not in err
    with pytest.raises(RuntimeError):
        main(["where", "--debug"])


def test_escape_bytes_of_a_profile_never_reach_the_terminal(samples, call):
    file = samples / "boats" / "tansy.toml"
    file.write_text(
        file.read_text()
        .replace('id = "aft cap"\nthickness', 'id = "\\u001b]0;x"\nthickness')
        .replace('kind = "lip"', 'kind = "\\u001b[31mlip"')
    )
    _, out, err = call("--home", samples, "limits", "tansy", "--today", samples / DAY)
    assert "\x1b" not in out + err


def test_output_is_the_same_with_an_ascii_locale(samples):
    environ = {**os.environ, "LC_ALL": "C", "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"}
    done = subprocess.run(
        [sys.executable, "-m", "divelog", "--home", str(samples), "limits", "tansy", "--today", str(samples / DAY), "--why"],
        capture_output=True, env=environ,
    )  # fmt: skip
    assert done.returncode == 0
    assert b"Traceback" not in done.stderr


def test_json_is_one_object_with_sorted_keys(samples, call):
    _, out, _ = call("--home", samples, "limits", "bulrush", "--today", samples / DAY, "--json")
    assert out.count("\n") == 1
    found = json.loads(out)
    assert list(found) == sorted(found)
