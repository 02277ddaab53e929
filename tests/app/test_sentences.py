"""Every kind of event in plain words: each sentence as it is to read, and no event that can break one."""

from __future__ import annotations

from datetime import datetime
from typing import Any

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import Raw
from rich.cells import cell_len

from divelog.app.logbook import TITLES, title_of, value_words
from divelog.app.phrases import amount, listed, plain, proof_words
from divelog.app.sentences import KINDS, Around, said
from divelog.journal.events import Event
from divelog.journal.kinds import FIELDS
from divelog.text import shown

WHEN = datetime.fromisoformat("2032-05-04T09:30:00+01:00")


def event(what: str, data: Any, **more: Any) -> Event:
    return Event(
        id=more.pop("id", "e1"),
        what=what,
        when=more.pop("when", WHEN),
        data=Raw(msgspec.json.encode(data)),
        **more,
    )


SENTENCES: dict[str, list[tuple[dict[str, Any], str, str]]] = {
    "log.opened": [
        ({"program": "0.1.0", "device": "laptop"}, "log opened, on laptop", "0.1.0"),
        ({"program": "0.1.0", "after": {"why": "it is long enough"}},
         "the log goes on in a new file, because it is long enough", "0.1.0"),
    ],
    "boat.filed": [
        ({"changed": ["ballast.volume", "cylinder.wall"]}, "profile changed: ballast.volume and cylinder.wall", ""),
        ({"changed": []}, "profile written down", ""),
    ],
    "boat.received": [
        ({"from": "the club", "condition": "stern gland weeps", "claimed": ["dry_long", "pack:D2"]},
         "received from the club; stern gland weeps; claimed, not proved: long leak test and pack D2", ""),
    ],
    "boat.handed_over": [({"to": "her new owner", "condition": "sound"}, "handed over to her new owner; sound", "")],
    "measured": [
        ({"path": "ballast.fill_time", "value": {"si": 46.9, "u95": 0.3}}, "measured: ballast fill time", "46.9 s"),
        ({"path": "joint.drop", "item": "motor", "value": {"si": 0.012, "typed": "12 mV"}},
         "measured: joint drop motor", "12 mV"),
        ({"path": "boat.shade", "value": "white"}, "measured: shade", "white"),
    ],
    "day.opened": [
        ({"site": "withy-pond", "water": "fresh", "temperature": {"si": 284.15}}, "day at Withy Pond, fresh", "11 degC"),
        ({"site": "salt-pool", "water": "salt_pool"}, "day at salt pool, salt pool", ""),
    ],
    "day.closed": [({}, "packed up", "")],
    "plan.set": [
        ({"pack": "D2", "depth": {"si": 0.7}, "minutes": {"si": 2400}, "distance": {"si": 35, "typed": "35 m"}},
         "plan: D2, 40 min, 35 m off", "keel 0.7 m"),
    ],
    "check.started": [({"list": "before-dive", "phase": "closing-up"}, "Before the dive, closing up", "")],
    "check.ended": [
        ({"list": "after-run", "complete": True}, "After the run: done", ""),
        ({"list": "after-run", "left": "rain", "open": ["marks", "volts"]}, "After the run: left, because rain", "2 open"),
    ],
    "check.answered": [
        ({"list": "before-dive", "line": "pack-volts", "value": {"si": 8.31, "typed": "8.31 V"}, "verdict": "within",
          "limit": {"key": "battery.rest_voltage", "shown": "8.25 V"}, "gives": ["pack:D2"]},
         "pack volts (before the dive): within, limit 8.25 V; proved: pack D2", "8.31 V"),
        ({"list": "before-dive", "line": "faces", "gives": ["faces"]}, "faces (before the dive); proved: seal faces", ""),
        ({"list": "my-bench", "line": "keeper", "answer": "dives", "fails": ["level_keeper"]},
         "keeper (my bench): dives; undone: level keeper", ""),
        ({"list": "my-bench", "line": "signal-off", "answer": [{"member": "throttle", "answer": "stops"}]},
         "signal off (my bench): throttle stops", ""),
        ({"list": "before-dive", "line": "tip", "verdict": "outside", "value": {"si": 0.1, "typed": "100 mm"}},
         "tip (before the dive): OUTSIDE", "100 mm"),
    ],
    "check.skipped": [
        ({"list": "before-dive", "line": "paces", "state": "skipped", "reason": "no helper"},
         "paces (before the dive): skipped, no helper", ""),
        ({"list": "before-dive", "line": "gas", "state": "unknown"}, "gas (before the dive): can't tell", ""),
    ],
    "check.paused": [({"list": "before-dive", "line": "count"}, "paused: count (before the dive)", "")],
    "check.resumed": [
        ({"list": "before-dive", "line": "count", "seconds": 720}, "carried on: count (before the dive)", "after 12 min"),
    ],
    "launch.called": [
        ({"open": []}, "launch called, nothing open", ""),
        ({"open": ["failsafe_wet", "range"], "because": {"e9": "the pond is a foot deep"}},
         "launch called, open: failsafe wet and range; goes with a defect because the pond is a foot deep", "2 open"),
    ],
    "opened": [({"which": ["aft cap"], "lifted": True, "place": "bench"}, "opened: aft cap, ring taken out", "bench")],
    "closed": [
        ({"which": ["a", "b"], "count": 4, "ballast": "empty", "air_temperature": {"si": 289.15}},
         "closed up, 4 closures, ballast empty", "in 16 degC"),
    ],
    "fitted": [
        ({"part": "seal", "item": "aft cap", "old": "R1", "new": "R2", "seals": ["aft cap"], "mass_change": {"si": 0.012}},
         "fitted: seal aft cap, R1 out, R2 in, seals touched: aft cap", "+12 g"),
    ],
    "mass.moved": [
        ({"piece": "lead", "mass": {"si": 0.02}, "from": "bow", "to": "stern"}, "moved: lead from bow to stern", "20 g"),
    ],
    "radio.changed": [({"changed": ["bound", "aerial"]}, "radio: bound again and aerial changed", "")],
    "switched": [
        ({"device": "transmitter", "to": "off", "for": "home"}, "transmitter switched off for home", ""),
        ({"device": "boat", "to": "on", "for": "none"}, "boat switched on", ""),
    ],
    "knocked": [
        ({"kind": "dropped"}, "dropped (a knock)", ""),
        ({"kind": "heat"}, "over an hour in the heat, above 40 degC", ""),
    ],
    "run.started": [({"pack": "D2"}, "run begun, D2", "no end yet")],
    "run.ended": [
        ({"reason": "plan", "deepest": {"si": 0.9, "u95": 0.1, "how": "seen"}}, "run ended: plan", "0.9 m, seen"),
    ],
    "mark": [({"kind": None}, "mark", "")],
    "mark.named": [({"of": "e1", "kind": "glitch", "text": "by the reeds"}, "mark in words: glitch, by the reeds", "")],
    "incident": [
        ({"step": "touched bottom", "depth": {"si": 1.2, "u95": 0.2}, "source": "guessed", "cause": "dived past the shelf"},
         "touched bottom; because dived past the shelf", "1.2 m, guessed"),
    ],
    "signal": [
        ({"kind": "lost", "motor_on": True, "distance": {"si": 40}}, "SIGNAL LOST, motor on", "40 m off"),
        ({"kind": "back"}, "seen again", ""),
    ],
    "failsafe.tripped": [
        ({"trigger": "signal lost", "real": False, "channels": {"throttle": True}, "seconds": 1.5},
         "failsafe tripped on purpose, signal lost, every channel right", "1.5 s"),
        ({"real": True, "channels": {"throttle": True, "ballast": False}}, "failsafe tripped for real, WRONG: ballast", ""),
    ],
    "water.found": [
        ({"word": "a teaspoon", "si": 5e-6, "end": "aft", "allowance": 1e-8, "looked": "opened"},
         "water: a teaspoon, aft, opened; more than allowed", "5 mL"),
        ({"word": "bone dry", "si": 0, "end": "none", "looked": "window"}, "water: bone dry, through the window", "0 mL"),
        ({"looked": "not"}, "water: not looked for water", ""),
        ({"flooded": True}, "water: flooded", ""),
    ],
    "charged": [
        ({"pack": "D2", "to": "full", "charge": {"si": 7920}}, "D2 charged full", "2.2 A h"),
        ({"pack": "D2", "to": "storage"}, "D2 put to storage", ""),
    ],
    "serviced": [
        ({"item": "shaft_grease", "consumable": "silicone, 1.2 mL", "hours_at": {"si": 37080}},
         "serviced: shaft grease, silicone, 1.2 mL", "at 10.3 h"),
    ],
    "defect.opened": [({"defect": "fore cap weeps", "stops_launch": True}, "defect: fore cap weeps", "stops launch")],
    "defect.overruled": [
        ({"of": "x", "reason": "by day nobody needs that lamp"},
         "defect overruled for the next launch: by day nobody needs that lamp", ""),
    ],
    "defect.closed": [
        ({"of": "e1", "words": "new ring", "check": "leak-test"}, "defect closed: new ring, proved by leak test", ""),
    ],
    "stored": [({"packs": "out", "rings": "off", "vents": "open"}, "laid up: packs out, rings off, vents open", "")],
    "note": [
        ({"text": "weed at the east end"}, "note: weed at the east end", "private"),
        ({"text": "weed", "private": False}, "note: weed", ""),
    ],
    "corrected": [
        ({"id": "e1", "void": True, "why": "typed twice"}, "an event made void, because typed twice", ""),
        ({"id": "e1", "data": {}, "why": "wrong pack"}, "an event corrected, because wrong pack", ""),
    ],
    "clock.jumped": [
        ({"before": "2032-05-04T08:00:00+01:00", "after": "2032-05-04T09:00:00+01:00"},
         "the clock was set from 2032-05-04 08:00 to 2032-05-04 09:00", ""),
    ],
}  # fmt: skip


def test_there_is_a_sentence_and_an_example_for_every_kind():
    assert set(KINDS) == set(FIELDS) == set(SENTENCES) == set(TITLES)
    assert all(cell_len(title) <= 13 for title in TITLES.values())


@pytest.mark.parametrize("what", SENTENCES)
def test_a_kind_in_words(what):
    sites = Around({"withy-pond": "Withy Pond"})
    for data, words, figure in SENTENCES[what]:
        found = said(event(what, data), sites)
        assert (found.words, found.figure) == (words, figure)


def test_a_run_that_ended_is_said_whole():
    start = event("run.started", {"pack": "D2"}, id="r1", up=100.0, boot="b")
    end = event("run.ended", {"deepest": {"si": 0.9, "how": "seen"}}, id="r2", run="r1", up=2620.0, boot="b",
                when=datetime.fromisoformat("2032-05-04T15:00:00+01:00"))  # fmt: skip
    found = said(start, Around(ends={"r1": end}))
    assert (found.words, found.figure) == ("run, 42 min, D2", "0.9 m, seen")  # by the clock that counts sleep


def test_an_event_from_a_newer_version_is_named_and_not_read():
    newer = event("charged", {"pack": "\x1b[2J"}, v=99)
    assert said(newer).words == "charged, from a newer version of the program"
    assert said(event("sonar.ping", {})).words == "sonar.ping, from a newer version of the program"
    assert title_of(newer) == "newer"


ANY = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(10**6), 10**6)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=8,
)


@settings(max_examples=40)
@pytest.mark.parametrize("what", sorted(FIELDS))
@given(data=st.data())
def test_no_data_breaks_a_sentence(what, data):
    keys = sorted(FIELDS[what]) or ["x"]
    payload = data.draw(st.dictionaries(st.sampled_from(keys), ANY, max_size=len(keys)))
    found = said(event(what, payload))
    for text in (found.words, found.figure, *(value_words(each) for each in payload.values())):
        assert isinstance(text, str)
    assert (shown(found.words), shown(found.figure)) == (found.words, found.figure)


def test_foreign_words_are_harmless():
    found = said(event("note", {"text": "\x1b[31mred\x1b[0m\u202eevil [bold]x[/bold]"}))
    assert "\x1b" not in found.words
    assert "\u202e" not in found.words


def test_small_words():
    assert listed([]) == ""
    assert listed(["a"]) == "a"
    assert listed(["a", "b", "c"]) == "a, b and c"
    assert plain(0.0001, "length") == "0.0001"
    assert plain(284.15, "temperature", offset=True) == "11"
    assert amount({"si": None, "state": "not fitted"}, "length") == "not fitted"
    assert amount({"si": None}, "length") == "unknown"
    assert amount("no number", "length") == ""
    assert amount({"si": 1.2, "u95": 0.2}, "length", spread=True) == "1.2 m, give or take 0.2"
    assert (
        proof_words(["failsafe_wet", "gas:G1", "something_new"])
        == "comes up by herself, gas G1 and something new"
    )
