"""Lists that are read and done, and what the page of boats says of a stopped walk."""

from __future__ import annotations

import pytest
from test_walk import charged
from walking import WORKED, Bench

from divelog.checks import walk as walking
from divelog.checks.after import may_start_run, run_to_close
from divelog.checks.library import shipped_list
from divelog.checks.standing import paused_words, stopped_walk
from divelog.checks.trouble import present, steps
from divelog.journal.loading import load_files


def test_the_set_goes_off_only_where_the_failsafe_is_proved() -> None:
    bench = charged()
    found = {step.id: step for step in steps(shipped_list("signal-lost"), bench.around())}
    assert found["off"].left_out.startswith("The set stays ON: failsafe on the bench and comes up by herself")
    bench.walk("bench")
    bench.walk("tank-trim")
    found = {step.id: step for step in steps(shipped_list("signal-lost"), bench.around())}
    assert found["off"].left_out == ""
    assert "failsafe on the bench was proved today, " in found["off"].words
    assert "twice her time to come up" in found["off"].how


@pytest.mark.parametrize("name", ["signal-lost", "boat-stuck"])
def test_the_gear_of_the_site_is_named_where_it_is_needed(name: str) -> None:
    bench = charged()
    found = {step.id: step for step in steps(shipped_list(name), bench.around())}
    assert found["hook"].how == "Here: hook pole 4 m, rescue boat."
    assert "Here:" not in found["nobody"].how


def test_steps_come_by_the_clock_and_her_own_time() -> None:
    bench = charged()
    bench.keep("measured", {"path": "motion.time_up", "value": {"si": 14.0, "u95": 1.0, "typed": "14 s"}})
    found = steps(shipped_list("signal-lost"), bench.around())
    at = {step.id: step.at for step in found}
    assert (at["people"], at["sticks"], at["set-high"], at["off"]) == (0.0, 0.0, 10.0, 30.0)
    shown = 0.5 * (at["bearings"] - 30.0)
    assert shown == pytest.approx(round(shown))  # twice her time as it is shown, whole seconds
    assert 10 <= shown <= 60
    assert found[present(found, 0.0)].id == "people"
    assert found[present(found, 12.0, ("people", "mark-it", "sticks"))].id == "set-high"
    assert found[present(found, 5.0, ("people", "mark-it", "sticks"))].id == "set-high"  # the next to come
    assert found[present(found, 400.0, [step.id for step in found])].id == "nobody"


def test_trouble_lists_can_be_kept_with_the_ordinary_walk() -> None:
    bench = charged()
    run = bench.run(5)
    walk = bench.walk(
        "leak-found", {"where": ("a cup", "aft", "opened her"), "dry": ("shaft seal",)}, run=run
    )
    assert walk.ended
    water = next(e for e in bench.events if e.what == "water.found")
    assert water.run == run
    assert water.payload()["word"] == "a cup"
    assert next(e.payload() for e in bench.events if e.what == "defect.opened") == {
        "defect": "shaft seal",
        "stops_launch": True,
    }
    assert bench.around().report.defects
    bench.walk("pack-hot", {"write": ("D2, 60 degC, after charging",)})
    assert bench.kinds().count("defect.opened") == 2


def test_nothing_is_said_where_nothing_is_stopped() -> None:
    bench = charged()
    assert paused_words(bench.events, bench.clock.now()) == ()
    bench.launch(bench.walk("before-dive"))
    assert paused_words(bench.events, bench.clock.now()) == ()
    log = load_files({"worked.jsonl": WORKED.read_bytes()})
    assert paused_words(log.events, bench.clock.now()) == ()


def test_a_paused_walk_says_where_and_what_it_will_ask() -> None:
    bench = charged()
    walk = bench.walk("before-dive", until="count")
    bench.save(*walking.pause(walk, bench.around()))
    bench.wait(minutes=6)
    assert paused_words(bench.events, bench.clock.now()) == (
        "PAUSED closing up, line 4", "6 min ago; carrying on asks line 3 again",
    )  # fmt: skip
    bench.wait(minutes=6)
    assert (
        paused_words(bench.events, bench.clock.now())[1] == "12 min ago; carrying on starts closing up again"
    )


def test_a_walk_that_was_cut_off_is_told_too() -> None:
    bench = charged()
    bench.walk("before-dive", until="faces")
    bench.wait(minutes=1)
    assert paused_words(bench.events, bench.clock.now())[0] == "PAUSED open boat, line 5"
    found = stopped_walk(bench.events, bench.clock.now())
    assert found is not None
    assert found.list == "before-dive"


def test_another_day_or_a_launch_ends_what_was_stopped() -> None:
    bench = charged()
    bench.walk("before-dive", until="count")
    bench.wait(hours=20)
    assert paused_words(bench.events, bench.clock.now()) == ()
    bench = charged()
    bench.walk("before-dive", until="count")
    bench.run(1)
    assert paused_words(bench.events, bench.clock.now()) == ()


def test_a_run_is_closed_by_its_own_list_only() -> None:
    bench = Bench("tansy", worked=True)
    assert (
        run_to_close(bench.events, "tansy") is not None
    )  # the newest of the worked journal was never answered
    assert run_to_close(bench.events, "bulrush") is None
    bench = charged()
    first = bench.run(5)
    bench.walk("after-run", run=first)
    second = bench.run(5)
    assert run_to_close(bench.events, "tansy") == second
    bench.walk("after-run", run=second)
    assert may_start_run(bench.events, "tansy") == (True, "")


def test_an_old_run_that_nobody_closed_is_asked_for() -> None:
    bench = charged()
    run = bench.run(5)
    bench.keep("run.ended", {"pack": "D2", "reason": "plan"}, run=run)
    bench.wait(hours=30)
    assert run_to_close(bench.events, "tansy") == run
    ok, why = may_start_run(bench.events, "tansy")
    assert not ok
    assert "is open" in why
    walk = bench.walk("after-run", {"ended": "volts"}, run=run)
    assert walk.ended
    ended = [e.payload() for e in bench.events if e.what == "run.ended"]
    assert [one["reason"] for one in ended] == ["volts"]  # corrected, not written twice
