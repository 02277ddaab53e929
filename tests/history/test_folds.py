"""Folds beyond the worked journal: runs without an end, corrections, defects closed, packs, measured values."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.history import History, fold
from divelog.history.packs import PackState
from divelog.journal.kinds import FIELDS
from divelog.journal.loading import load_files
from divelog.journal.payload import Quantity

T = datetime(2032, 5, 4, 8, 0, tzinfo=timezone(timedelta(hours=1)))


class Story:
    """Events told one after the other; `minutes` counts from 08:00."""

    def __init__(self) -> None:
        self.lines: list[bytes] = []

    def tell(self, what: str, minutes: float, data: dict[str, object] | None = None, **fields: object) -> str:
        name = f"{len(self.lines):04d}"
        when = (T + timedelta(minutes=minutes)).isoformat()
        given: dict[str, object] = {
            "id": name,
            "what": what,
            "when": when,
            "boat": "tansy",
            "data": data or {},
        }
        given |= fields
        self.lines.append(
            json.dumps({key: value for key, value in given.items() if value is not None}).encode()
        )
        return name

    def history(self) -> History:
        return fold(load_files({"tansy/x.jsonl": b"\n".join(self.lines) + b"\n"}).events)


@pytest.fixture
def story() -> Story:
    return Story()


def test_a_run_never_ended_is_still_on(story: Story) -> None:
    story.tell("day.opened", 0, {"site": "withy-pond", "water": "fresh"}, boat=None)
    run = story.tell(
        "run.started", 5, {"pack": "D2", "receiver": "rx", "plan": "p", "limits": {"depth.keel": 0.8}}
    )
    story.tell("mark", 9, {}, run=run)
    found = story.history()
    (only,) = found.runs
    assert only.still_on
    assert found.open_run("tansy") == only
    assert (only.end, only.minutes, only.shaft_time, only.deepest, only.reason) == (
        None,
        None,
        None,
        None,
        None,
    )
    assert (only.site, only.receiver, only.plan, only.limits) == (
        "withy-pond",
        "rx",
        "p",
        {"depth.keel": 0.8},
    )
    assert [mark.run for mark in only.marks] == [run]
    assert found.unanswered("tansy") == ()
    pack = found.pack("D2")
    assert pack is not None
    assert pack.state is PackState.USED


def test_minutes_come_from_the_clock_that_counts_sleep_inside_one_start(story: Story) -> None:
    run = story.tell("run.started", 0, up=100.0, boot="b")
    story.tell(
        "run.ended", 500, {}, run=run, up=100.0 + 42 * 60, boot="b"
    )  # the wall clock was set meanwhile
    other = story.tell("run.started", 600, up=100.0, boot="b")
    story.tell("run.ended", 640, {}, run=other, up=50.0, boot="c")
    first, second = story.history().runs
    assert (first.minutes, first.by_wall) == (42.0, False)
    assert (second.minutes, second.by_wall) == (40.0, True)


def test_a_time_typed_afterwards_counts_for_the_minutes(story: Story) -> None:
    run = story.tell("run.started", 60, up=100.0, boot="b", happened="2032-05-04T08:10:00+01:00")
    story.tell("run.ended", 61, {}, run=run, up=160.0, boot="b", happened="2032-05-04T08:40:00+01:00")
    (only,) = story.history().runs
    assert (only.minutes, only.by_wall) == (30.0, True)
    assert only.start is not None
    assert only.start.isoformat() == "2032-05-04T08:10:00+01:00"


def test_an_end_before_its_start_has_no_minutes(story: Story) -> None:
    run = story.tell("run.started", 60)
    story.tell("run.ended", 10, {}, run=run)
    (only,) = story.history().runs
    assert (only.minutes, only.still_on) == (None, False)


def test_an_end_without_its_start_is_a_run_all_the_same(story: Story) -> None:
    story.tell("run.ended", 10, {"pack": "D2", "shaft_time": 600}, run="gone")
    (only,) = story.history().runs
    assert (only.id, only.start, only.shaft_time, only.boat) == ("gone", None, 600.0, "tansy")
    assert not only.still_on


def test_the_last_end_and_the_last_look_for_water_count(story: Story) -> None:
    run = story.tell("run.started", 0)
    story.tell("run.ended", 30, {"cycles": 3}, run=run)
    story.tell("run.ended", 31, {"cycles": 4}, run=run)
    story.tell(
        "water.found", 35, {"word": "mist", "si": None, "state": "unknown", "looked": "window"}, run=run
    )
    story.tell(
        "water.found", 40, {"word": "bone dry", "si": 0, "allowance": 1e-8, "looked": "opened"}, run=run
    )
    found = story.history()
    (only,) = found.runs
    assert (only.cycles, only.minutes) == (4, 31.0)
    assert only.water is not None
    assert only.water.word == "bone dry"
    assert len(found.waters) == 2


def test_a_corrected_run_shows_what_is_right_and_a_void_one_is_gone(story: Story) -> None:
    run = story.tell("run.started", 0)
    end = story.tell("run.ended", 30, {"cycles": 3, "deepest": {"si": 9.0, "how": "seen"}}, run=run)
    wrong = story.tell("run.started", 50)
    story.tell(
        "corrected",
        60,
        {"id": end, "data": {"cycles": 3, "deepest": {"si": 0.9, "how": "seen"}}, "why": "slip"},
    )
    story.tell("corrected", 61, {"id": wrong, "void": True, "why": "not launched"})
    (only,) = story.history().runs
    assert only.deepest == Quantity(0.9, how="seen")


@pytest.mark.parametrize(
    ("shaft", "seconds", "bands"),
    [
        (1800, 1800.0, {}),
        ({"si": 1800, "u95": 60}, 1800.0, {}),
        ({"slow": 600, "half": {"si": 300}, "full": None}, 900.0, {"slow": 600.0, "half": 300.0}),
        ({"si": None, "state": "unknown"}, None, {}),
        ({}, None, {}),
        ("half an hour", None, {}),
    ],
)
def test_shaft_time_in_all_or_by_band(
    story: Story, shaft: object, seconds: float | None, bands: dict[str, float]
) -> None:
    run = story.tell("run.started", 0)
    story.tell("run.ended", 30, {"shaft_time": shaft}, run=run)
    (only,) = story.history().runs
    assert (only.shaft_time, only.shaft_bands) == (seconds, bands)


def test_marks_signals_and_trips_belong_to_their_run(story: Story) -> None:
    run = story.tell("run.started", 0)
    mark = story.tell("mark", 5, run=run)
    story.tell(
        "signal", 6, {"kind": "drop", "distance": {"si": 30}, "motor_on": True, "pump_on": "no"}, run=run
    )
    story.tell(
        "failsafe.tripped",
        7,
        {"trigger": "link", "real": True, "channels": {"throttle": True, "ballast": False}, "seconds": 3},
        run=run,
    )
    story.tell("run.ended", 30, run=run)
    story.tell("mark.named", 40, {"of": mark, "kind": "weed", "text": "by the reeds"})
    story.tell("mark.named", 41, {"of": mark, "kind": "weed", "text": "by the jetty"})
    story.tell("check.ended", 50, {"list": "after-run", "complete": True}, run=run)
    found = story.history()
    (only,) = found.runs
    (named,) = only.marks
    assert (named.kind, named.named, named.words) == (None, "weed", "by the jetty")
    (signal,) = only.signals
    assert (signal.kind, signal.distance, signal.motor_on, signal.pump_on) == (
        "drop",
        Quantity(30.0),
        True,
        None,
    )
    (trip,) = only.trips
    assert (trip.trigger, trip.real, trip.wrong, trip.seconds) == ("link", True, ("ballast",), 3.0)
    assert only.answered
    (defect,) = found.open_defects("tansy")
    assert defect.words == "failsafe did the wrong thing: ballast"


@pytest.mark.parametrize(
    ("data", "answered"),
    [
        ({"complete": True}, True),
        ({"complete": False}, False),
        ({"left": "storm"}, True),
        ({"left": ""}, False),
        ({}, False),
    ],
)
def test_a_run_is_answered_when_its_list_is_complete_or_left_with_a_reason(
    story: Story, data: dict[str, object], answered: bool
) -> None:
    run = story.tell("run.started", 0)
    story.tell("run.ended", 30, run=run)
    story.tell("check.ended", 20, {"list": "before-dive", "complete": True})  # another list, of no run
    assert not story.history().runs[0].answered
    story.tell("check.ended", 40, {"list": "after-run"} | data, run=run)
    found = story.history()
    assert found.runs[0].answered is answered
    assert len(found.unanswered("tansy")) == (not answered)


def test_a_defect_is_closed_only_by_name_and_an_overruled_one_stays_open(story: Story) -> None:
    crack = story.tell("defect.opened", 0, {"defect": "crack in the window", "stops_launch": True})
    scratch = story.tell("defect.opened", 1, {"defect": "scratch"})
    wet = story.tell("water.found", 2, {"word": "a teaspoon", "si": 5e-6, "allowance": 1e-8, "end": "aft"})
    lost = story.tell("incident", 3, {"step": "lost"})
    story.tell("incident", 4, {"step": "stuck"})
    launch = story.tell("launch.called", 5, {"because": {crack: "pool, 0.3 m"}}, by="Sam")
    story.tell("defect.closed", 6, {"of": wet, "check": "dry_long"}, by="Sam")
    story.tell("defect.closed", 7, {"of": "somebody else's"})
    found = story.history()
    assert [(each.id, each.stops_launch, each.open) for each in found.defects] == [
        (crack, True, True), (scratch, False, True), (wet, True, False), (lost, True, True),
    ]  # fmt: skip
    assert [each.id for each in found.open_defects("tansy")] == [crack, scratch, lost]
    (overruled,) = found.defects[0].overruled
    assert (overruled.launch, overruled.reason, overruled.by) == (launch, "pool, 0.3 m", "Sam")
    closed = found.defects[2].closed
    assert closed is not None
    assert (closed.by, closed.check) == ("Sam", "dry_long")
    assert found.defects[0].words == "crack in the window"


def test_a_flooded_boat_is_a_defect_whatever_the_amount(story: Story) -> None:
    story.tell("water.found", 0, {"word": "full", "si": None, "state": "unknown", "flooded": True})
    (defect,) = story.history().open_defects("tansy")
    assert (defect.words, defect.stops_launch) == ("flooded", True)


@pytest.mark.parametrize(
    ("steps", "state", "since"),
    [
        ([], None, 0),
        (["full"], PackState.CHARGED, 0),
        (["storage"], PackState.STORAGE, 0),
        (["run"], PackState.USED, 1),
        (["full", "run"], PackState.USED, 1),
        (["full", "run", "run"], PackState.USED, 2),
        (["run", "full"], PackState.CHARGED, 0),
        (["full", "storage"], PackState.STORAGE, 0),
        (["half"], PackState.UNKNOWN, 0),
    ],
)
def test_the_state_of_a_pack_is_what_was_done_last(
    story: Story, steps: list[str], state: PackState | None, since: int
) -> None:
    for number, step in enumerate(steps):
        if step == "run":
            run = story.tell("run.started", 10 * number, {"pack": "D2"})
            story.tell("run.ended", 10 * number + 5, {}, run=run)
        else:
            story.tell("charged", 10 * number, {"pack": "D2", "to": step}, boat=None)
    pack = story.history().pack("D2")
    assert (pack.state if pack else None) == state
    assert (pack.runs_since_charge if pack else 0) == since


def test_the_newest_measured_value_of_a_path_and_item_counts(story: Story) -> None:
    path = "boat.ballast.fill_time"
    story.tell(
        "measured", 10, {"path": path, "value": {"si": 46.0, "u95": 0.3}, "conditions": {"volts": 8.1}}
    )
    story.tell("measured", 20, {"path": path, "value": {"si": 47.0}}, happened="2032-05-04T07:00:00+01:00")
    story.tell(
        "measured", 30, {"path": "boat.power.joints", "item": "motor", "value": 0.012, "method": "two meters"}
    )
    story.tell("measured", 31, {"path": "boat.radio.memory", "value": "TANSY"})
    story.tell("measured", 32, {"value": 3})
    found = story.history()
    newest = found.newest(path)
    assert newest is not None
    assert (newest.value, newest.conditions) == (Quantity(46.0, 0.3), {"volts": 8.1})
    assert found.newest("boat.power.joints") is None
    joint = found.newest("boat.power.joints", "motor", "tansy")
    assert joint is not None
    assert (joint.value, joint.method) == (Quantity(0.012), "two meters")
    assert found.newest("boat.power.joints", "motor", "bulrush") is None
    memory = found.newest("boat.radio.memory")
    assert memory is not None
    assert (memory.value, memory.raw) == (None, "TANSY")
    assert len(found.measured) == 4


def test_a_profile_filed_since_then_wins_for_the_very_path_it_changed(story: Story) -> None:
    story.tell("measured", 10, {"path": "boat.mass", "value": {"si": 5.76}})
    story.tell("measured", 10, {"path": "boat.length", "value": {"si": 0.92}})
    story.tell("boat.filed", 20, {"digest": "sha256:00", "changed": ["boat.mass"], "text": ""})
    found = story.history()
    assert found.newest("boat.mass") is None
    assert found.newest("boat.length") is not None
    story.tell("measured", 30, {"path": "boat.mass", "value": {"si": 5.80}})
    newest = story.history().newest("boat.mass")
    assert newest is not None
    assert newest.value == Quantity(5.80)


def test_a_day_lasts_until_it_is_packed_up_or_the_date_ends_and_a_second_one_is_other_water(
    story: Story,
) -> None:
    story.tell("day.opened", 0, {"site": "withy-pond", "water": "fresh", "helper": "Robin"}, boat=None)
    story.tell("day.opened", 60, {"site": "withy-pond", "water": "brackish"}, boat=None)
    story.tell("day.closed", 120, boat=None)
    found = story.history()

    def water(minutes: float) -> str | None:
        day = found.day_at(T + timedelta(minutes=minutes))
        return day.water if day else None

    assert [water(minutes) for minutes in (-1, 0, 59, 60, 119, 120, 24 * 60)] == [
        None, "fresh", "fresh", "brackish", "brackish", None, None,
    ]  # fmt: skip
    assert found.days[0].closed is None
    assert found.days[0].helper == "Robin"


def test_the_day_is_the_local_date_of_the_event_that_opened_it(story: Story) -> None:
    story.tell("day.opened", 0, {"site": "x"}, boat=None, when="2032-05-04T23:30:00+01:00")
    found = story.history()
    assert found.day_at(datetime(2032, 5, 4, 22, 45, tzinfo=UTC)) is not None
    assert found.day_at(datetime(2032, 5, 4, 23, 15, tzinfo=UTC)) is None  # past midnight there


def test_closings_count_closed_and_newly_fitted_and_each_boat_its_own(story: Story) -> None:
    story.tell("closed", 0, {"which": ["fore cap", "aft cap"]})
    story.tell("opened", 10, {"which": "aft cap", "lifted": True})
    story.tell("closed", 20, {"which": ["aft cap"]})
    story.tell("fitted", 30, {"part": "cap", "item": "aft cap", "mass_change": {"si": 0.002}})
    story.tell("fitted", 31, {"part": "propeller", "new": "30 mm"})
    story.tell("closed", 40, {"which": ["aft cap"]}, boat="bulrush")
    found = story.history()
    assert {(each.boat, each.name): each.closings for each in found.closures} == {
        ("tansy", "fore cap"): 1, ("tansy", "aft cap"): 3, ("bulrush", "aft cap"): 1,
    }  # fmt: skip
    aft = next(each for each in found.closures if (each.boat, each.name) == ("tansy", "aft cap"))
    assert aft.last_lifted == T + timedelta(minutes=10)
    assert [(each.part, each.new, each.mass_change) for each in found.changes] == [
        ("cap", None, Quantity(0.002)), ("propeller", "30 mm", None),
    ]  # fmt: skip


def test_a_note_stays_private_unless_it_says_otherwise(story: Story) -> None:
    story.tell("note", 0, {"text": "the gate code"})
    story.tell("note", 1, {"text": "weed by the reeds", "private": False, "about": "site"})
    assert [(note.words, note.private, note.about) for note in story.history().notes] == [
        ("the gate code", True, None), ("weed by the reeds", False, "site"),
    ]  # fmt: skip


def test_events_of_a_newer_version_have_no_effect(story: Story) -> None:
    story.tell("run.started", 0, v=2)
    story.tell("defect.opened", 1, {"stops_launch": True}, v=2)
    found = story.history()
    assert (found.runs, found.defects) == ((), ())


VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(max_size=4),
    lambda inner: (
        st.lists(inner, max_size=2)
        | st.dictionaries(st.sampled_from(["si", "u95", "state", "x"]), inner, max_size=2)
    ),
    max_leaves=4,
)


@given(
    st.lists(
        st.sampled_from(sorted(FIELDS)).flatmap(
            lambda what: st.tuples(
                st.just(what),
                st.dictionaries(st.sampled_from(sorted(FIELDS[what])), VALUES, max_size=5),
                st.sampled_from([None, "0000", "0001"]),
            )
        ),
        max_size=12,
    )
)
@settings(max_examples=200, deadline=None)
def test_no_data_of_any_shape_stops_the_fold(told: list[tuple[str, dict[str, object], str | None]]) -> None:
    story = Story()
    for minutes, (what, data, run) in enumerate(told):
        story.tell(what, minutes, data, run=run)
    if not story.lines:
        return
    found = story.history()
    again = story.history()
    assert found == again
    for each in found.runs:
        assert each.minutes is None or each.minutes >= 0.0
        assert each.shaft_time is None or isinstance(each.shaft_time, float)
