"""``defects``, and closing and overruling one with ``record``."""

from __future__ import annotations

from datetime import datetime

import pytest

from divelog.clock import FixedClock
from divelog.home import Home
from divelog.journal.loading import load


@pytest.fixture
def clock(monkeypatch) -> FixedClock:
    clock = FixedClock(datetime.fromisoformat("2032-05-04T08:11:00+01:00"))
    monkeypatch.setattr("divelog.clock.SystemClock", lambda: clock)
    return clock


@pytest.fixture
def lame(samples, clock, call):
    """Tansy with two defects; the first stops a launch."""
    for words, stops in (("aft cap cracked", "yes"), ("paint chipped", "no")):
        code, _, err = call(
            "--home", samples, "record", "tansy", "defect.opened", f"defect={words}", f"stops_launch={stops}"
        )
        assert code == 0, err
        clock.advance(60)
    return samples


def test_open_defects_are_listed_with_what_closes_them(lame, call, call_json):
    code, out, _ = call("--home", lame, "defects", "--strict")
    assert code == 1
    assert "X OUTSIDE    tansy       aft cap cracked, 4 May 2032" in out
    assert "stops launch until closed, or overruled with a reason" in out
    assert "? open       tansy       paint chipped" in out
    code, found = call_json("--home", lame, "defects", "tansy")
    assert (code, found["schema"], len(found["defects"])) == (0, "divelog.defects/1", 2)
    assert found["defects"][0]["event"] == next(
        e.id for e in load(Home(lame), "tansy").events if e.what == "defect.opened"
    )


def test_record_closes_the_one_that_is_meant_and_refuses_any_other(lame, call):
    code, _, err = call("--home", lame, "record", "tansy", "defect.closed", "of=fore cap", "check=look")
    assert code == 2
    assert "aft cap cracked" in err
    assert all(e.what != "defect.closed" for e in load(Home(lame), "tansy").events)
    code, _, err = call(
        "--home", lame, "record", "tansy", "defect.closed", "of=Aft cap cracked", "check=leak-test"
    )
    assert code == 0, err
    _, out, _ = call("--home", lame, "defects")
    assert "aft cap" not in out
    _, out, _ = call("--home", lame, "defects", "--all")
    assert "closed 4 May 2032, proved by leak-test" in out
    assert call("--home", lame, "record", "tansy", "defect.closed", "of=aft cap cracked")[0] == 2


def test_an_overruling_stands_for_the_day_it_was_said(lame, call, call_json, clock):
    reason = "taped, ten minutes in half a metre"
    assert (
        call("--home", lame, "record", "tansy", "defect.overruled", "of=aft cap cracked", f"reason={reason}")[
            0
        ]
        == 0
    )
    _, found = call_json("--home", lame, "defects")
    assert found["defects"][0]["overruled_now"] == reason
    assert found["defects"][0]["open"] is True
    clock.advance(86_400)
    _, found = call_json("--home", lame, "defects")
    assert found["defects"][0]["overruled_now"] is None
    assert call("--home", lame, "record", "tansy", "defect.overruled", "of=aft cap cracked")[0] == 2


def test_nothing_wrong_is_said_so(samples, clock, call):
    code, out, err = call("--home", samples, "defects")
    assert (code, out) == (0, "")
    assert "no open defect" in err
