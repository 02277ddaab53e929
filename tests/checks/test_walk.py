# ruff: noqa: SIM905
"""A walk from the first line to the launch, and back home: what is asked, what is written, what it proves."""

from __future__ import annotations

import pytest
from walking import Bench, document, sample_text

from divelog.checks import walk as walking
from divelog.checks.after import may_start_run, run_to_close
from divelog.checks.entry import RefusedError
from divelog.checks.launch import call, launch
from divelog.checks.state import Mark
from divelog.checks.view import pause_view, view
from divelog.journal.kinds import FIELDS

FIRST = {
    "tansy": "undone name signal-off pack-volts faces leads start-state count press inside catch "
    "tip surfaces paces full-power cycle residual clear",
    "bulrush": "undone name signal-off pack-volts faces leads count draw inside catch "
    "tip surfaces paces full-power cycle residual clear",
}
OPENED = ("nothing", "yes", "aft cap")


def charged(slug: str = "tansy", pack: str = "D2") -> Bench:
    """A boat at the pond with a full pack."""
    bench = Bench(slug)
    bench.keep("charged", {"pack": pack, "charge": {"si": 7920.0, "u95": 360.0}, "to": "full"})
    bench.wait(hours=1)
    bench.day()
    return bench


def everything_fitted() -> Bench:
    """A boat with every part a line of the first list can ask for; the ballast is a piston inside, her memory a name."""
    text = sample_text("tansy")
    text = text.replace("owner_inside = true", 'owner_inside = true\ndepth_sensor = "fitted"')
    text = text.replace('level_keeper = "not fitted"', 'level_keeper = "fitted"')
    text = text.replace(
        "[controls]",
        '[[failsafe]]\ntrigger = "leak"\ndoes = { ballast = "empties" }\npowered_from = "receiver pack"\n\n[controls]',
    )
    boat = document(text)
    assert boat.faults == ()
    bench = Bench("tansy", boat)
    bench.day()
    return bench


def gas_boat() -> Bench:
    """The same with gas in the place of the piston: a bottle to weigh, no stroke that squeezes the cylinder."""
    text = everything_fitted().session.shelf.boats["tansy"].text
    text = text.replace('kind = "piston"', 'kind = "gas"').replace(
        "inside_cylinder = true", "inside_cylinder = false"
    )
    text = text.replace('start_state = "empty"', 'gas = { bottle = "G1" }')
    boat = document(text)
    assert boat.faults == ()
    bench = Bench("tansy", boat)
    bench.day()
    return bench


def after(bench: Bench, answers: dict[str, object] | None = None, skip_off: bool = False) -> None:
    """A run, and the list after it."""
    run = bench.run(30)
    if skip_off:
        walk = bench.walk("after-run", answers, run=run, until="off")  # type: ignore[arg-type]
        walk = bench.save(*walking.skip(walk, bench.around(), "set left on"))
        walk = bench.go_on(walk, answers)  # type: ignore[arg-type]
    else:
        walk = bench.walk("after-run", answers, run=run)  # type: ignore[arg-type]
    assert walk.ended


@pytest.mark.parametrize("slug", sorted(FIRST))
def test_the_first_walk_asks_these_lines_in_this_order(slug: str) -> None:
    bench = Bench(slug)
    bench.day()
    asked: list[str] = []
    bench.walk("before-dive", asked=asked)
    assert asked[:-1] == FIRST[slug].split()
    assert asked[-1] == "tip"  # once more before launch
    assert len(asked) - 1 <= 21


def test_everything_fitted_is_at_most_twenty_one_lines() -> None:
    for bench in (everything_fitted(), gas_boat()):
        asked = bench.asked(bench.begin("before-dive"))
        assert len(asked) <= 21
    assert len(everything_fitted().asked(everything_fitted().begin("before-dive"))) == 21


def second_walk(bench: Bench, opened: bool, set_left_on: bool) -> list[str]:
    """Lines of the second walk of the morning, without those asked once more before launch."""
    walk = bench.walk("before-dive")
    bench.launch(walk)
    after(bench, {"mend": OPENED} if opened else None, skip_off=set_left_on)
    walk = bench.begin("before-dive")
    return bench.asked(walk)


def test_second_run_nothing_opened() -> None:
    assert (
        second_walk(charged(), opened=False, set_left_on=False)
        == "undone name pack-volts surfaces full-power".split()
    )
    assert second_walk(gas_boat(), opened=False, set_left_on=False) == (
        "undone name pack-volts gas surfaces full-power depth-zero".split()
    )


def test_second_run_opened_and_the_set_left_on() -> None:
    found = second_walk(everything_fitted(), opened=True, set_left_on=True)
    assert found == "undone pack-volts faces leads start-state count press depth-zero".split()
    assert second_walk(charged("bulrush", "P1"), opened=True, set_left_on=True) == (
        "undone pack-volts faces leads count draw".split()
    )


def test_second_run_opened_and_the_set_switched_off() -> None:
    found = second_walk(everything_fitted(), opened=True, set_left_on=False)
    assert found == (
        "undone name pack-volts faces leads start-state count press surfaces full-power depth-zero".split()
    )


def test_a_walk_proves_what_it_should() -> None:
    bench = charged()
    bench.walk("before-dive", {"pack-volts": "8.45"})
    for proof in "faces start_state closed dry_short failsafe_bench directions range full_power pack:D2 ballast_cycle".split():
        assert bench.proved(proof), proof
    for proof in "dry_long trim failsafe_wet supply joints look".split():
        assert not bench.proved(proof), proof


def test_every_event_has_only_keys_of_its_kind() -> None:
    bench = charged()
    walk = bench.walk("before-dive", {"undone": "nothing"})
    bench.launch(walk)
    run = bench.run()
    bench.keep("mark", {}, run=run)
    bench.walk("after-run", {"mend": OPENED, "water": ("a drop", "aft", "opened her", "aft cap")}, run=run)
    for name in (
        "evening-before",
        "at-home",
        "bench",
        "leak-test",
        "tank-trim",
        "storage",
        "hand-over",
        "commissioning",
    ):
        bench.walk(name)
    for event in bench.events:
        assert set(event.payload()) <= FIELDS[event.what], event.what


def test_two_lines_of_one_proof_give_it_at_the_last() -> None:
    bench = charged()
    walk = bench.walk("before-dive", until="surfaces")
    assert walk.record("name").gives == ()  # type: ignore[union-attr]
    assert not bench.proved("directions")
    walk = bench.go_on(walk, until="paces")
    assert walk.record("surfaces").gives == ("directions",)  # type: ignore[union-attr]
    assert bench.proved("directions")


def test_a_wrong_name_keeps_directions_from_being_given() -> None:
    bench = charged()
    walk = bench.walk("before-dive", {"name": "OTHER"}, until="paces")
    assert walk.record("name").mark is Mark.OUTSIDE  # type: ignore[union-attr]
    assert walk.record("surfaces").gives == ()  # type: ignore[union-attr]
    assert not bench.proved("directions")


def test_a_wrong_answer_takes_the_proof_away() -> None:
    bench = charged()
    bench.walk("before-dive")
    assert bench.proved("full_power")
    walk = bench.begin("before-dive")
    walk, _ = walking.go(walk, bench.around(), "full-power")
    walk = bench.answer(walk, "reduced")
    assert walk.record("full-power").fails == ("full_power",)  # type: ignore[union-attr]
    assert not bench.proved("full_power")


def test_too_close_skipped_and_unknown_do_neither() -> None:
    bench = charged()
    bench.walk("before-dive", {"pack-volts": "8.45"})
    assert bench.proved("pack:D2")
    for how in ("close", "skip", "unknown"):
        walk = bench.begin("before-dive")
        walk, _ = walking.go(walk, bench.around(), "pack-volts")
        if how == "close":
            walk = bench.answer(walk, "8.41")
            assert walk.record("pack-volts").mark is Mark.TOO_CLOSE  # type: ignore[union-attr]
        elif how == "skip":
            walk = bench.save(*walking.skip(walk, bench.around(), "no meter"))
        else:
            walk = bench.save(*walking.unknown(walk, bench.around()))
        record = walk.record("pack-volts")
        assert record is not None
        assert (record.gives, record.fails) == ((), ())
        assert bench.proved("pack:D2")


def test_opening_her_in_the_middle_asks_closing_up_again() -> None:
    bench = charged()
    walk = bench.walk("before-dive", until="paces")
    bench.wait(seconds=5)
    bench.keep("opened", {"which": ["aft cap"], "lifted": False})
    bench.wait(seconds=5)
    around = bench.around()
    assert bench.asked(walk)[:5] == "faces leads start-state count press".split()
    line, _ = walking.asked_now(walk, around) or (None, None)
    assert line is not None
    assert line.id == "faces"
    before = bench.kinds().count("closed")
    bench.go_on(walk)
    assert bench.kinds().count("closed") == before + 1  # she was closed twice
    assert bench.proved("closed")


def test_saying_what_was_opened_writes_it_and_spends() -> None:
    bench = charged()
    bench.launch(bench.walk("before-dive"))
    after(bench)
    walk = bench.begin("before-dive")
    count = len(bench.events)
    for typed in ("opened", "fore cap", "no"):
        walk = bench.answer(walk, typed)
    assert "opened" in bench.kinds(count)
    assert not bench.proved("closed")
    for typed in ("knocked", "dropped", "lead moved", "put in", "12 g", "radio changed", "mixing"):
        walk = bench.answer(walk, typed)
    walk = bench.answer(walk, "nothing")
    found = [(e.what, e.payload()) for e in bench.events[count:] if not e.what.startswith("check.")]
    assert [what for what, _ in found] == ["opened", "knocked", "mass.moved", "radio.changed"]
    assert found[0][1] == {"which": ["fore cap"], "lifted": False}
    assert found[1][1] == {"kind": "dropped"}
    assert found[2][1]["mass"]["si"] == pytest.approx(0.012)
    assert found[2][1]["from"] == "ashore"
    assert found[3][1] == {"changed": ["mixing"]}
    assert walk.record("undone") is not None
    assert "faces" in bench.asked(walk)


@pytest.mark.parametrize(
    ("typed", "data"),
    [
        (("seal, port or cap", "cap", ""), {"part": "cap"}),
        (
            ("pump, valve, piston or hose", "hose", "yes", "no", "5 g"),
            {"part": "hose", "inside_cylinder": True},
        ),
        (("shaft or coupling", "shaft", "yes", ""), {"part": "shaft", "seals": ["shaft"]}),
        (("receiver, controller or regulator", "regulator", ""), {"part": "regulator"}),
        (("something else", ""), {"part": "other"}),
    ],
)
def test_what_was_fitted(typed: tuple[str, ...], data: dict[str, object]) -> None:
    bench = charged()
    walk = bench.begin("before-dive")
    for one in ("fitted", *typed):
        walk = bench.answer(walk, one)
    found = next(e.payload() for e in reversed(bench.events) if e.what == "fitted")
    assert {key: found[key] for key in data} == data
    assert ("mass_change" in found) is ("5 g" in typed)


def test_readings_and_times_become_measured_events() -> None:
    bench = charged()
    bench.walk("before-dive", {"pack-volts": "8.31"})
    found = {e.payload()["path"]: e.payload() for e in bench.events if e.what == "measured"}
    assert set(found) == {"ballast.fill_time", "ballast.empty_time"}
    one = found["ballast.fill_time"]
    assert one["value"] == {"si": 37.0, "u95": pytest.approx(0.173, abs=0.2), "typed": "37"}
    assert one["conditions"]["volts"]["si"] == pytest.approx(8.31)
    assert one["conditions"]["temperature"]["si"] == pytest.approx(284.15)
    assert one["conditions"]["water"] == "fresh"
    assert one["method"] == "before-dive/cycle"


def test_the_log_of_a_reading_keeps_the_limit_as_it_was_shown() -> None:
    bench = charged()
    bench.walk("before-dive", {"pack-volts": "8.45 V ± 0.02 V"}, until="faces")
    data = bench.events[-1].payload()
    assert data["value"] == {"si": 8.45, "u95": 0.02, "typed": "8.45 V ± 0.02 V"}
    assert data["limit"]["key"] == "battery.rest_voltage"
    assert data["limit"]["item"] == "D2"
    assert data["limit"]["high"] is None
    assert data["limit"]["shown"] == f"{data['limit']['low']:.2f} V"
    assert data["verdict"] == "within"
    assert data["gives"] == ["pack:D2"]
    assert data["check"]


def test_closed_holds_what_was_read_while_closing() -> None:
    bench = charged()
    bench.walk("before-dive", until="tip")
    closed = bench.events[-1]
    assert closed.what == "closed"
    assert closed.payload() == {
        "which": ["fore cap", "aft cap", "charge port", "vent plug"],
        "count": 4,
        "ballast": "empty",
        "air_temperature": {"si": pytest.approx(289.15), "u95": 1.0, "typed": "16"},
        "gauge": {"si": pytest.approx(20000.0), "u95": pytest.approx(289, abs=1), "typed": "20"},
    }


def test_a_hold_lasts_as_long_as_it_says_and_starts_at_the_mark() -> None:
    bench = charged()
    walk = bench.walk("before-dive", until="press")
    with pytest.raises(RefusedError, match="finds nothing"):
        bench.answer(walk, "2")
    walk = bench.answer(walk, "20")
    bench.wait(seconds=30)
    assert walking.hold_left(walk, bench.around()) == pytest.approx(30, abs=3)
    with pytest.raises(RefusedError, match="still to come"):
        walking.answer(walk, bench.around(), "20")
    bench.wait(seconds=31)
    lost = bench.save(*walking.answer(walk, bench.around(), "18"))
    assert lost.record("press").mark is Mark.OUTSIDE  # type: ignore[union-attr]
    assert not bench.proved("dry_short")


def test_a_vacuum_is_held_below_nought() -> None:
    bench = charged("bulrush", "P1")
    walk = bench.walk("before-dive", until="draw")
    with pytest.raises(RefusedError, match="finds nothing"):
        bench.answer(walk, "10")
    walk = bench.answer(walk, "-10")
    bench.wait(seconds=60)
    walk = bench.answer(walk, "-9")
    assert walk.record("draw").mark is Mark.OUTSIDE  # type: ignore[union-attr]


def test_back_asks_the_line_before_and_its_answer_replaces() -> None:
    bench = charged()
    walk = bench.walk("before-dive", until="inside")
    walk = bench.save(*walking.back(walk, bench.around()))
    line, _ = walking.asked_now(walk, bench.around()) or (None, None)
    assert line is not None
    assert line.id == "press"
    walk = bench.save(*walking.back(walk, bench.around()))
    now = walking.asked_now(walk, bench.around())
    assert now is not None
    assert now[0].id == "count"
    walk = bench.answer(walk, "3")
    assert walk.record("count").fails == ("closed",)  # type: ignore[union-attr]
    assert not bench.proved("closed")
    now = walking.asked_now(walk, bench.around())
    assert now is not None
    assert now[0].id == "inside"  # what was right stays right


def test_an_answer_given_twice_writes_its_other_events_once() -> None:
    bench = charged()
    walk = bench.walk("before-dive", until="residual")
    walk, _ = walking.go(walk, bench.around(), "cycle")
    for typed in ("37", "35"):
        walk = bench.answer(walk, typed)
    assert bench.kinds().count("measured") == 2
    assert "corrected" not in bench.kinds()
    walk, _ = walking.go(walk, bench.around(), "cycle")
    for typed in ("38", "35"):
        walk = bench.answer(walk, typed)
    measured = [e.payload() for e in bench.events if e.what == "measured"]
    assert [m["value"]["si"] for m in measured if m["path"] == "ballast.fill_time"] == [38.0]
    assert len(bench.session.log("tansy").corrections) == 1


def test_going_back_and_unsaying_an_opening_makes_it_void() -> None:
    bench = charged()
    bench.launch(bench.walk("before-dive"))
    walk = bench.walk("after-run", {"mend": OPENED}, run=bench.run(), until="volts")
    assert bench.kinds().count("opened") == 1
    walk, _ = walking.go(walk, bench.around(), "mend")
    for typed in ("nothing", "no"):
        walk = bench.answer(walk, typed)
    assert bench.kinds().count("opened") == 0
    assert bench.proved("closed")


def test_skipping_needs_a_reason() -> None:
    bench = charged()
    walk = bench.walk("before-dive", until="tip")
    for call_ in (walking.skip, walking.not_fitted):
        with pytest.raises(RefusedError, match="reason"):
            call_(walk, bench.around(), "  ")
    walk = bench.save(*walking.not_fitted(walk, bench.around(), "no aerial on this mast"))
    assert walk.record("tip").mark is Mark.NOT_FITTED  # type: ignore[union-attr]
    assert bench.events[-1].payload()["state"] == "not fitted"


def test_not_fitted_on_the_spot_gives_no_proof() -> None:
    bench = charged()
    walk = bench.walk("before-dive", until="leads")
    walk = bench.save(*walking.not_fitted(walk, bench.around(), "glued"))
    bench.go_on(walk)
    assert not bench.proved("closed")


def test_nothing_moves_before_it_is_saved() -> None:
    bench = charged()
    walk = bench.begin("before-dive")
    bench.wait(seconds=2)
    stepped, pending = walking.answer(walk, bench.around(), "nothing")
    assert pending
    assert stepped.records == walk.records
    assert stepped.unsaved == pending
    with pytest.raises(RefusedError):
        walking.answer(stepped, bench.around(), "nothing")
    event = bench.keep(pending[0].what, pending[0].data)
    assert walking.saved(stepped, event, bench.around()).record("undone") is not None


def test_the_person_calls_the_launch_and_the_log_keeps_what_was_open() -> None:
    bench = charged()
    walk = bench.walk("before-dive")
    found = launch(walk, bench.around())
    assert found.words.startswith("OPEN ")
    order = [item.mark for item in found.items]
    assert order == sorted(order, key=[Mark.OUTSIDE, Mark.TO_PROVE, Mark.TOO_CLOSE, Mark.SKIPPED].index)
    walk = bench.launch(walk)
    ended, called = bench.events[-2:]
    assert (ended.what, called.what) == ("check.ended", "launch.called")
    assert ended.payload()["complete"] is True
    assert called.payload()["words"] == "ready to dive"
    assert called.payload()["open"] == [item.sentence() for item in found.items]
    assert walk.ended


def test_nothing_open_is_said_in_two_words() -> None:
    bench = charged()
    for name in ("evening-before", "bench", "leak-test", "tank-trim"):
        bench.walk(name)
    bench.keep(
        "plan.set",
        {
            "pack": "D2",
            "depth": {"si": 0.4, "u95": 0.05},
            "distance": {"si": 30.0, "u95": 0.0},
            "minutes": {"si": 1200.0, "u95": 0.0},
        },
    )
    walk = bench.walk("before-dive", {"pack-volts": "8.45"})
    found = launch(walk, bench.around())
    assert found.words == "NOTHING OPEN", found.items


def test_lines_left_and_defects_stop_the_call() -> None:
    bench = charged()
    bench.keep("defect.opened", {"defect": "cracked cap", "stops_launch": True})
    defect = bench.events[-1].id
    walk = bench.walk("before-dive", until="clear")
    with pytest.raises(RefusedError, match="still to be asked: clear"):
        call(walk, bench.around())
    walk = bench.go_on(walk)
    with pytest.raises(RefusedError, match="cracked cap"):
        call(walk, bench.around())
    with pytest.raises(RefusedError, match="words"):
        call(walk, bench.around(), " ", {defect: "glued"})
    bench.launch(walk, because={defect: "glued and held for a night", "other": "x"})
    data = bench.events[-1].payload()
    assert data["defects"] == [defect]
    assert data["because"] == {defect: "glued and held for a night"}


def test_a_reading_outside_is_told_once_and_not_as_a_proof_too() -> None:
    bench = charged()
    walk = bench.walk("before-dive", {"pack-volts": "7.9"})
    names = [item.sentence() for item in launch(walk, bench.around()).items]
    assert names[0] == "volts OUTSIDE"
    assert not any(name.startswith("pack") for name in names)


def test_pausing_and_carrying_on_asks_the_last_line_again() -> None:
    bench = charged()
    walk = bench.walk("before-dive", until="start-state")
    walk = bench.save(*walking.pause(walk, bench.around()))
    assert walk.paused
    bench.wait(minutes=6)
    said = pause_view(walk, bench.around())
    assert (said.phase, said.number, said.asks_number, said.restarts) == ("Closing up", 3, 2, False)
    assert said.away == pytest.approx(360, abs=5)
    again = bench.resume("before-dive")
    assert again is not None
    assert again.records == walk.records
    walk = bench.save(*walking.carry_on(again, bench.around()))
    now = walking.asked_now(walk, bench.around())
    assert now is not None
    assert now[0].id == "leads"
    assert bench.events[-1].payload()["seconds"] == pytest.approx(360, abs=5)
    assert bench.proved("faces")


def test_ten_minutes_away_start_closing_up_again() -> None:
    bench = charged()
    walk = bench.walk("before-dive", until="catch")
    walk = bench.save(*walking.pause(walk, bench.around()))
    bench.wait(minutes=11)
    assert pause_view(walk, bench.around()).restarts
    walk = bench.save(*walking.carry_on(walk, bench.around()))
    asked: list[str] = []
    assert not bench.proved("faces")
    bench.go_on(walk, asked=asked)
    assert asked[:6] == "faces leads start-state count inside catch".split()
    assert "press" not in asked  # a minute's hold that was seen is not spent by standing about


def test_a_long_break_at_the_waters_edge_undoes_nothing() -> None:
    bench = charged()
    walk = bench.walk("before-dive", until="paces")
    walk = bench.save(*walking.pause(walk, bench.around()))
    bench.wait(minutes=40)
    walk = bench.save(*walking.carry_on(walk, bench.around()))
    assert bench.proved("closed")
    now = walking.asked_now(walk, bench.around())
    assert now is not None
    assert now[0].id == "surfaces"


def test_a_seal_opened_while_away_starts_closing_up_again() -> None:
    bench = charged()
    walk = bench.walk("before-dive", until="catch")
    walk = bench.save(*walking.pause(walk, bench.around()))
    bench.wait(minutes=2)
    bench.keep("opened", {"which": ["aft cap"]})
    bench.wait(minutes=1)
    walk = bench.save(*walking.carry_on(walk, bench.around()))
    asked: list[str] = []
    bench.go_on(walk, asked=asked)
    assert asked[:7] == "faces leads start-state count press inside catch".split()


def test_the_walk_of_another_outing_is_not_carried_on() -> None:
    bench = charged()
    bench.walk("before-dive", until="faces")
    bench.wait(hours=5)
    assert bench.resume("before-dive") is None
    bench.wait(hours=1)
    assert "faces" in bench.asked(bench.begin("before-dive"))


def test_the_view_says_where_we_are() -> None:
    bench = charged()
    walk = bench.walk("before-dive", until="pack-volts")
    seen = view(walk, bench.around())
    assert seen.phase is not None
    assert seen.line is not None
    assert (seen.phase.name, seen.number, seen.of) == ("Open boat", 4, 4)
    assert [line.name for line in seen.lines] == ["undone", "name", "signal off", "volts"]
    assert [line.mark for line in seen.lines] == [Mark.DONE, Mark.WITHIN, Mark.WITHIN, None]
    assert seen.critical
    assert seen.unit == "V"
    assert seen.target is None  # a reading shows its limit only afterwards
    walk = bench.go_on(walk, until="tip")
    target = view(walk, bench.around()).target
    assert target is not None  # a setting shows it before
    assert target.shown == "30 mm"
    walk = bench.go_on(walk, until="surfaces")
    seen = view(walk, bench.around())
    assert seen.members == (
        ("Rudder stick left: both rudders' trailing edges go to port", None),
        ("Planes to rise: both stern planes' trailing edges go up", None),
    )
    assert seen.choices == ("right", "wrong", "still")
    walk = bench.go_on(walk, until="clear")
    seen = view(walk, bench.around())
    assert seen.beside is not None
    assert seen.beside.key == "battery.endurance"
    assert seen.left == 1


# -- after the run ----------------------------------------------------------------------------------------------------


def test_the_list_after_a_run_closes_it() -> None:
    bench = charged()
    bench.launch(bench.walk("before-dive"))
    run = bench.run(45)
    first = bench.keep("mark", {}, run=run)
    bench.wait(minutes=1)
    second = bench.keep("mark", {}, run=run)
    assert run_to_close(bench.events, "tansy") == run
    assert may_start_run(bench.events, "tansy") == (False, "the run of 09:05 is still on")
    walk = bench.begin("after-run", run)
    answers = ["signal", "", "a teaspoon", "aft", "opened her", "aft cap", "the depth", "touched bottom", "1.2", "guessed",
               "dived past the shelf", "the signal", "drop", "1.2", "guessed"]  # fmt: skip
    for typed in answers:
        walk = bench.answer(walk, typed)
    ended = next(e for e in bench.events if e.what == "run.ended")
    assert ended.run == run
    assert ended.payload()["reason"] == "signal"
    assert ended.payload()["deepest"] == {"si": 1.2, "u95": 0.1, "typed": "1.2", "how": "guessed"}
    water = next(e for e in bench.events if e.what == "water.found")
    assert water.run == run
    assert water.payload()["end"] == "aft"
    assert water.payload()["looked"] == "opened"
    assert water.payload()["allowance"] < water.payload()["si"]
    named = [e.payload() for e in bench.events if e.what == "mark.named"]
    assert [(n["of"], n["kind"]) for n in named] == [(first.id, "touched bottom"), (second.id, "signal drop")]
    incident = next(e for e in bench.events if e.what == "incident")
    assert incident.at == first.at
    assert incident.payload()["step"] == "touched bottom"
    assert incident.payload()["cause"] == "dived past the shelf"
    signal = next(e for e in bench.events if e.what == "signal")
    assert (signal.at, signal.payload()["kind"], signal.run) == (second.at, "drop", run)
    bench.wait(minutes=10)
    walk = bench.go_on(walk, {"shaft": ("line",), "mend": ("to be mended", "nick in the seal")})
    defects = [e.payload() for e in bench.events if e.what == "defect.opened"]
    assert defects == [
        {"defect": "propeller shaft: line", "stops_launch": False},
        {"defect": "nick in the seal", "stops_launch": False},
    ]
    assert bench.kinds().count("opened") == 1  # asked once, with the water
    assert walk.ended
    assert bench.events[-1].payload()["complete"] is True
    assert may_start_run(bench.events, "tansy") == (True, "")
    ended = next(e for e in bench.events if e.what == "run.ended")
    assert ended.payload()["volts"]["si"] == pytest.approx(7.9)
    report = bench.around().report
    assert report.dry_depth is None
    assert [d.what for d in report.defects] == ["water inside"]


def test_a_dry_run_proves_its_depth() -> None:
    bench = charged()
    bench.launch(bench.walk("before-dive"))
    after(bench, {"deepest": ("0.6", "seen")})
    assert bench.around().report.dry_depth == pytest.approx(0.5)
    bench.launch(bench.walk("before-dive"))
    after(bench, {"deepest": ("0.9", "guessed")})
    assert bench.around().report.dry_depth == pytest.approx(0.5)  # a guess proves nothing


def test_rested_volts_wait_for_their_ten_minutes() -> None:
    bench = charged()
    bench.launch(bench.walk("before-dive"))
    asked: list[str] = []
    walk = bench.walk("after-run", run=bench.run(), until="volts", asked=asked)
    assert asked == "ended off water deepest shaft mend".split()
    assert view(walk, bench.around()).rest_left > 500
    bench.wait(seconds=3)
    stepped, pending = walking.answer(walk, bench.around(), "7.9")
    assert not pending
    assert stepped.look_again
    bench.wait(minutes=10)
    assert walking.answer(walk, bench.around(), "7.9")[1]


def test_a_run_that_nobody_closes_keeps_the_next_from_starting() -> None:
    bench = charged()
    bench.launch(bench.walk("before-dive"))
    run = bench.run()
    walk = bench.walk("after-run", run=run, until="deepest")
    assert may_start_run(bench.events, "tansy")[0] is False
    with pytest.raises(RefusedError, match="reason"):
        walking.leave(walk, bench.around(), "")
    walk = bench.save(*walking.leave(walk, bench.around(), "storm coming"))
    data = bench.events[-1].payload()
    assert data["complete"] is False
    assert data["left"] == "storm coming"
    assert "deepest" in data["open"]
    assert may_start_run(bench.events, "tansy") == (True, "")
    assert bench.resume("after-run", run) is None


# -- other lists ------------------------------------------------------------------------------------------------------


def test_bench_leak_test_and_tank_trim_prove_the_rest() -> None:
    bench = charged()
    for name in ("bench", "leak-test", "tank-trim"):
        walk = bench.walk(name)
        assert walk.ended, name
    for proof in "dry_long trim failsafe_wet look supply joints failsafe_bench directions range full_power ballast_cycle".split():
        assert bench.proved(proof), proof
    assert bench.around().report.dry_depth == pytest.approx(0.75)  # 0.8 m on the string, half a knot less


def test_the_trim_keeps_the_water_it_was_set_in() -> None:
    bench = charged()
    bench.walk("tank-trim", {"water": ("19", "fresh")})
    found = {e.payload()["path"]: e.payload()["value"]["si"] for e in bench.events if e.what == "measured"}
    assert found["dived_balance"] == pytest.approx(0.035)
    assert found["trimmed_at.temperature"] == pytest.approx(292.15)
    assert bench.around().facts.measured["boat.trimmed_at.temperature"].value.si == pytest.approx(292.15)  # type: ignore[union-attr]


def test_gas_is_judged_by_the_blows_it_leaves() -> None:
    bench = gas_boat()
    walk = bench.walk("before-dive", until="gas")
    full = walking.preview(walk, bench.around(), "150").judged
    empty = walking.preview(walk, bench.around(), "96").judged
    assert full.right
    assert empty.wrong
    walk = bench.answer(walk, "150")
    assert walk.record("gas").gives == ("gas:G1",)  # type: ignore[union-attr]
    measured = bench.events[-1].payload()
    assert (measured["path"], measured["item"]) == ("bottle.weighed", "G1")
    assert bench.proved("gas:G1")


def test_charging_writes_one_event_a_pack() -> None:
    bench = charged()
    bench.walk("evening-before")
    count = bench.kinds().count("charged")
    assert count == 1 + 3  # D2 and D3 of the boat, her receiver pack, and the charge before
    bench.walk("at-home")
    data = bench.events
    last = [e.payload() for e in data if e.what == "charged"][-1]
    assert last["to"] == "storage"


def test_defects_are_closed_by_the_check_that_proved_them() -> None:
    bench = charged()
    opened = bench.keep("defect.opened", {"defect": "loose clip", "stops_launch": True})
    walk = bench.walk("evening-before", until="grease", answers={"defects": "planned"})
    assert bench.kinds().count("defect.closed") == 0
    walk, _ = walking.go(walk, bench.around(), "defects")
    for typed in ("mended and proved", "leak test"):
        walk = bench.answer(walk, typed)
    closed = next(e.payload() for e in bench.events if e.what == "defect.closed")
    assert closed == {"of": opened.id, "check": "leak test"}
    assert bench.around().report.defects == ()


def test_salt_makes_the_morning_look_critical_and_it_gives_the_joints_only_with_the_drop() -> None:
    bench = charged()
    walk = bench.walk("at-home", until="corrosion")
    assert not view(walk, bench.around()).critical
    walk = bench.answer(walk, "none")
    assert walk.record("corrosion") is None
    bench.go_on(walk, {"corrosion": ("none", "5", "5", "5", "5")})
    assert bench.proved("joints")
    walk = bench.walk("at-home", until="corrosion")
    for typed in ("yes", "the fuse"):
        walk = bench.answer(walk, typed)
    assert not bench.proved("joints")
    assert bench.events[-1].payload()["defect"] == "corrosion: yes, the fuse"


def test_storage_and_hand_over_end_with_their_event() -> None:
    bench = charged()
    bench.walk("storage")
    assert bench.events[-1].what == "stored"
    assert bench.events[-1].payload()["rings"] == "off or caps loose"
    bench.walk("hand-over", {"signed": "the heron's keeper", "habits": "weeps in cold water"})
    data = bench.events[-1].payload()
    assert bench.events[-1].what == "boat.handed_over"
    assert data["to"] == "the heron's keeper"
    assert data["condition"] == "weeps in cold water"


def test_a_received_boat_has_everything_claimed_and_nothing_proved() -> None:
    bench = charged()
    bench.walk("before-dive")
    assert bench.proved("closed")
    bench.walk("commissioning", {"received": "a crack in the fin"}, until="name-inside")
    assert not bench.proved("closed")
    data = next(e.payload() for e in bench.events if e.what == "boat.received")
    assert "closed" in data["claimed"]
    assert data["condition"] == "a crack in the fin"


def test_a_list_that_sends_to_another_is_right_once_that_was_walked() -> None:
    bench = charged()
    walk = bench.walk("season", {"seals": "renewed"}, until="leak-test")
    assert bench.kinds().count("fitted") == 1
    assert walking.preview(walk, bench.around(), "").judged.right is False
    bench.walk("leak-test")
    again = bench.resume("season")
    assert again is not None
    again = bench.save(*walking.carry_on(again, bench.around()))
    again = bench.go_on(again, until="leak-test")
    assert walking.preview(again, bench.around(), "").judged.right


def test_from_paper_nothing_waits() -> None:
    bench = charged()
    bench.tick, bench.from_paper = 0.0, True
    walk = bench.begin("before-dive")
    for typed in ("nothing", "TANSY", *(["right"] * 4), "8.45", "", "", "empty", "4", "20", "20"):
        walk = bench.answer(walk, typed)
    assert bench.proved("dry_short")


def test_one_wrong_line_of_a_proof_does_not_undo_the_others() -> None:
    bench = charged()
    walk = bench.walk("before-dive", {"count": "3"}, until="inside")
    assert not bench.proved("closed")
    walk = bench.save(*walking.go(walk, bench.around(), "count"))
    walk = bench.answer(walk, "4")
    assert walk.record("count").gives == ("closed",)  # type: ignore[union-attr]
    assert bench.proved("closed")


def test_the_deepest_keel_is_judged_by_the_limit_the_run_began_with() -> None:
    bench = charged()
    bench.launch(bench.walk("before-dive"))
    walk = bench.walk("after-run", run=bench.run(), until="deepest")
    judged = walking.preview(walk, bench.around(), "0.6 m ± 0.1 m").judged
    assert judged.limit is not None
    assert (judged.limit.shown, judged.right) == ("0.8 m", True)
    assert walking.preview(walk, bench.around(), "0.9").judged.wrong
