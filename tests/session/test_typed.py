"""Times and data as people type them."""

from __future__ import annotations

import contextlib
from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from divelog.journal.kinds import FIELDS
from divelog.session.entries import IN_A_RUN, SHAPES, EntryError, shape_of, typed_data
from divelog.session.typed_when import NOON_DOUBT, WhenError, parse_when

NOW = datetime.fromisoformat("2032-05-04T20:10:00+01:00")


@pytest.mark.parametrize(
    ("typed", "at", "doubt"),
    [
        ("19:00", "2032-05-04T19:00:00+01:00", 0),
        ("19.00", "2032-05-04T19:00:00+01:00", 0),
        ("21:00", "2032-05-03T21:00:00+01:00", 0),  # it has not come today
        ("yesterday 7:05", "2032-05-03T07:05:00+01:00", 0),
        ("today 08:00", "2032-05-04T08:00:00+01:00", 0),
        ("30 Apr 19:00", "2032-04-30T19:00:00+01:00", 0),
        ("19:00 30 april", "2032-04-30T19:00:00+01:00", 0),
        ("24 December 12:00", "2031-12-24T12:00:00+01:00", 0),  # the last one
        ("24 Dec 2030, 12:00", "2030-12-24T12:00:00+01:00", 0),
        ("2032-04-30 19:00", "2032-04-30T19:00:00+01:00", 0),
        ("30 Apr 19:00 +/- 30 min", "2032-04-30T19:00:00+01:00", 1800),
        ("30 Apr 19:00 ± 2 h", "2032-04-30T19:00:00+01:00", 7200),
        ("30 Apr", "2032-04-30T12:00:00+01:00", NOON_DOUBT),
        ("yesterday", "2032-05-03T12:00:00+01:00", NOON_DOUBT),
        ("2032-04-30T19:00:00+02:00", "2032-04-30T19:00:00+02:00", 0),
        ("2032-04-30T19:00:00+01:00 ± 3 min", "2032-04-30T19:00:00+01:00", 180),
    ],
)
def test_a_time_typed(typed, at, doubt):
    found = parse_when(typed, NOW)
    assert found.at == datetime.fromisoformat(at)
    assert found.half_width == doubt


@pytest.mark.parametrize(
    "typed",
    [
        "",
        "soon",
        "25:00",
        "32 Apr 10:00",
        "30 Xyz 10:00",
        "tomorrow",
        "2033-01-01 10:00",
        "5 May 10:00 2040",
        "9" * 100,
    ],
)
def test_what_is_no_time_is_said_in_a_sentence(typed):
    with pytest.raises(WhenError, match=r"[a-z]"):
        parse_when(typed, NOW)


@given(st.text(max_size=40))
def test_no_text_breaks_the_reading_of_a_time(typed):
    try:
        found = parse_when(typed, NOW)
    except WhenError:
        return
    assert found.at <= NOW


@given(st.datetimes(NOW.replace(tzinfo=None) - timedelta(days=300), NOW.replace(tzinfo=None)))
def test_a_whole_date_reads_back(moment):
    found = parse_when(f"{moment:%Y-%m-%d %H:%M}", NOW)
    assert found.at == moment.replace(second=0, microsecond=0, tzinfo=NOW.tzinfo)


def test_every_field_that_may_be_typed_is_a_field_of_its_kind():
    for what, shape in SHAPES.items():
        assert set(shape) <= FIELDS[what], what
    assert set(SHAPES) >= IN_A_RUN
    assert not {"check.answered", "corrected", "log.opened", "launch.called", "boat.filed"} & set(SHAPES)


def test_shapes_of_what_is_typed():
    assert typed_data("charged", [("pack", "D2"), ("charge", "2.2 A h"), ("to", "full")]) == {
        "pack": "D2", "charge": {"si": pytest.approx(7920.0), "u95": 0.0, "typed": "2.2 A h"}, "to": "full",
    }  # fmt: skip
    assert typed_data("charged", [("pack", "D2"), ("charge", "2,2")])["charge"]["typed"] == "2,2 A h"
    assert typed_data("opened", [("which", "aft cap, fore cap"), ("lifted", "yes")]) == {
        "which": ["aft cap", "fore cap"], "lifted": True,
    }  # fmt: skip
    ended = typed_data(
        "run.ended",
        [("deepest.how", "seen"), ("deepest", "0.9 m ± 10 cm"), ("shaft_time", "30 min"), ("cycles", "6")],
    )
    assert ended["deepest"] == {"si": 0.9, "u95": pytest.approx(0.1), "typed": "0.9 m ± 10 cm", "how": "seen"}
    assert (ended["shaft_time"], ended["cycles"]) == (1800.0, 6)
    tripped = typed_data(
        "failsafe.tripped", [("channels.throttle", "yes"), ("channels.ballast", "no"), ("real", "true")]
    )
    assert tripped == {"channels": {"throttle": True, "ballast": False}, "real": True}
    water = typed_data("water.found", [("word", "a teaspoon"), ("end", "aft"), ("allowance", "0.01 mL")])
    assert (water["word"], water["si"], water["end"]) == ("a teaspoon", pytest.approx(5e-6), "aft")
    assert water["allowance"] == pytest.approx(1e-8)
    assert typed_data("water.found", [("word", "3 mL")])["si"] == pytest.approx(3e-6)
    measured = typed_data(
        "measured", [("path", "ballast.fill_time"), ("value", "46.9 s"), ("conditions.volts", "7.6 V")]
    )
    assert measured["value"]["si"] == pytest.approx(46.9)
    assert measured["conditions"]["volts"]["si"] == pytest.approx(7.6)
    assert typed_data("mass.moved", [("mass", "unknown")])["mass"] == {"si": None, "state": "unknown"}


def test_a_correction_keeps_what_was_not_typed():
    base = {"pack": "D2", "charge": {"si": 1.0, "u95": 0.0}, "later": "field"}
    assert typed_data("charged", [("pack", "D3")], base) == {**base, "pack": "D3"}


@pytest.mark.parametrize(
    ("what", "pairs", "words"),
    [
        ("charge", [], "perhaps charged"),
        ("check.answered", [], "by answering a check"),
        ("charged", [], "needs pack"),
        ("charged", [("pac", "D2")], "perhaps pack"),
        ("charged", [("pack", "D2"), ("to", "half")], "one of full, storage"),
        ("charged", [("pack", "D2"), ("charge", "9**9**9 A h")], "charge:"),
        ("charged", [("pack", "D2"), ("charge", "1e400 A h")], "charge:"),
        ("charged", [("pack", "D2"), ("charge.deep", "x")], "nothing called"),
        ("opened", [("which", "aft cap"), ("lifted", "perhaps")], "yes or no"),
        ("run.ended", [("cycles", "many")], "whole number"),
        ("run.ended", [("deepest.how", "felt")], "one of sensor, seen, guessed"),
        ("radio.changed", [("changed", "bound, colour")], "one of bound"),
        ("failsafe.tripped", [("channels", "all")], "is a table"),
        ("measured", [("path", "no.such"), ("value", "1 m")], "give path before value"),
        ("measured", [("value", "1 m"), ("path", "ballast.fill_time")], "give path before value"),
        ("opened", [("which", " , ")], "needs which"),
    ],
)
def test_what_cannot_be_read_is_said_in_a_sentence(what, pairs, words):
    with pytest.raises(EntryError, match=words):
        typed_data(what, pairs)


@given(st.sampled_from(sorted(SHAPES)), st.data())
def test_no_text_breaks_the_reading_of_data(what, data):
    names = st.sampled_from(sorted(SHAPES[what]))
    pairs = data.draw(st.lists(st.tuples(names, st.text(max_size=20)), max_size=4))
    with contextlib.suppress(EntryError):
        typed_data(what, pairs)


def test_shape_of_names_every_kind():
    for what in SHAPES:
        assert shape_of(what)
