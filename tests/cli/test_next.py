"""``divelog next``: three measurements with what they buy, as text and as one object; bad input in words."""

from __future__ import annotations

import pytest

from divelog.limits import catalogue
from divelog.limits.guides import GUIDES

DAY = "days/withy-pond.toml"


def test_three_of_them_with_what_they_would_buy(samples, call_json):
    code, found = call_json("--home", samples, "next", "tansy", "--today", samples / DAY)
    assert code == 0
    assert found["schema"] == "divelog.next/1"
    assert found["boat"] == "tansy"
    assert found["at"] == "2032-05-04T08:11:00+01:00"
    assert 1 <= len(found["next"]) <= 3
    for one in found["next"]:
        guide = next(g for g in GUIDES if g.id == one["guide"])
        assert one["title"] == guide.title
        assert one["how"] == list(guide.how)
        assert one["paths"] == list(guide.paths)
        assert catalogue.info(one["key"]) is not None
        assert one["now"] != one["then"]
    assert 0 < found["counts"]["assumed_inputs"] <= found["counts"]["inputs"]


def test_all_of_them_begin_with_the_three(samples, call_json):
    _, three = call_json("--home", samples, "next", "bulrush", "--today", samples / DAY)
    _, every = call_json("--home", samples, "next", "bulrush", "--today", samples / DAY, "--all")
    assert every["next"][: len(three["next"])] == three["next"]
    assert len(every["next"]) >= len(three["next"])


def test_a_boat_of_whom_little_is_known_is_told_what_ends_the_unknown(samples, call_json):
    path = samples / "boats" / "tansy.toml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace('dived_balance = "21 g ± 4 g"', ""), encoding="utf-8")
    _, found = call_json("--home", samples, "next", "tansy", "--today", samples / DAY)
    lacking = [one for one in found["next"] if one["then"] is None]
    assert [one["guide"] for one in lacking] == ["dived balance"]
    assert lacking[0]["now"] == "unknown"


def test_text_names_guide_gain_and_needs(samples, call):
    code, out, err = call("--home", samples, "next", "tansy", "--today", samples / DAY)
    assert code == 0
    lines = out.splitlines()
    assert lines[0].startswith("1  ")
    assert ", then " in lines[1]
    assert lines[2].startswith("   with ")
    assert lines[3].startswith("   - ")
    assert "inputs are assumed" in err


def test_strict_ends_with_one_where_something_would_help(samples, call):
    assert call("--home", samples, "--strict", "next", "tansy", "--today", samples / DAY)[0] == 1


@pytest.mark.parametrize("words", [("next", "nobody"), ("next",), ("next", "tansy", "--today", "nowhere")])
def test_wrong_calls_are_one_sentence(samples, call, words):
    code, out, err = call("--home", samples, *words)
    assert code == 2
    assert out == ""
    assert err.strip()


def test_a_fault_of_her_file_is_told_with_its_line(samples, call):
    path = samples / "boats" / "tansy.toml"
    path.write_text(path.read_text(encoding="utf-8").replace('"5.76 kg ± 10 g"', "5.76"), encoding="utf-8")
    code, out, err = call("--home", samples, "next", "tansy")
    assert code == 3
    assert out == ""
    assert "boat.mass" in err
