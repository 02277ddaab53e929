# ruff: noqa: SIM905
"""Fifteen rules for lists that are answered outdoors, alone and in a hurry; each bound to what the walk does.

The rules follow published studies of checklists, from memory: Degani and Wiener 1990 (chunks, what kills first, answers as
values, hand and eye), Dismukes and Berman 2010, NASA/TM-2010-216396 (answers within a second, breaks), Flight Safety
Foundation briefing note 1.5 (hold, and ask the last line again), Gawande 2010 (five to nine lines, read and do).
"""

from __future__ import annotations

import pytest
from test_walk import after, charged
from walking import Bench

from divelog.checks import walk as walking
from divelog.checks.after import may_start_run
from divelog.checks.entry import RefusedError
from divelog.checks.launch import launch
from divelog.checks.library import shipped_lists
from divelog.checks.model import Kind, Way
from divelog.checks.overlay import for_boat
from divelog.checks.state import Mark
from divelog.checks.view import pause_view, view
from divelog.profiles.document import Document

BOATS = ("tansy", "bulrush", "juniper", "bramble")


def at(bench: Bench, line: str) -> walking.Walk:
    return bench.walk("before-dive", until=line)


def test_rule_1_chunks_of_five_to_nine_lines() -> None:
    for slug in BOATS:
        bench = Bench(slug)
        bench.day()
        walk = bench.begin("before-dive")
        asked = set(bench.asked(walk))
        for phase in walk.checklist.phases:
            assert len([line for line in phase.lines if line.id in asked]) <= 9
        assert len(asked) <= 21
    assert len(list(shipped_lists()["after-run"].lines())) == 8


def test_rule_2_what_loses_the_boat_leads_and_comes_again_before_launch() -> None:
    for found in shipped_lists().values():
        for phase in found.phases:
            if found.before_run or found.after_run:
                first = next(line for line in phase.lines)
                assert first.critical, f"{found.list}/{phase.id}"
    bench = charged()
    asked: list[str] = []
    bench.walk("before-dive", asked=asked)
    assert asked[-1] == "tip"
    assert asked.count("tip") == 2
    # what something later undid comes again by itself: a range check undoes full power
    walk = bench.begin("before-dive")
    walk = bench.save(*walking.go(walk, bench.around(), "paces"))
    walk = bench.answer(walk, "60")
    assert "full-power" in bench.asked(walk)


def test_rule_3_a_value_wherever_there_is_one() -> None:
    lines = [line for name in ("before-dive", "after-run") for line in shipped_lists()[name].lines()]
    ticks = [line.id for line in lines if line.questions[0].kind is Kind.DONE]
    assert ticks == "peg leak-probe faces catch clear off".split()
    assert len(ticks) < len(lines) / 3


def test_rule_4_nothing_is_filled_in_beforehand_and_a_reading_shows_its_limit_afterwards() -> None:
    bench = charged()
    bench.launch(bench.walk("before-dive"))
    after(bench)
    walk = bench.begin("before-dive")
    walk = bench.save(*walking.go(walk, bench.around(), "pack-volts"))
    seen = view(walk, bench.around())
    assert seen.answered == ""  # this morning's volts are not offered
    assert seen.target is None
    with pytest.raises(RefusedError):
        walking.answer(walk, bench.around(), "")  # Enter alone is no reading
    for choice in ("full-power", "start-state", "undone"):
        walk = bench.save(*walking.go(walk, bench.around(), choice))
        with pytest.raises(RefusedError):
            walking.answer(walk, bench.around(), "")  # and no choice is lit


def test_rule_5_the_line_names_where_to_put_the_finger() -> None:
    for line in shipped_lists()["before-dive"].lines():
        if line.critical:
            assert line.how, line.id


VERBS = frozenset(
    "bend charge chase clean dive draw feel fill go grease hang heel hold join lay leave let list look lower measure move "
    "open photograph prove pump push put read renew rinse run say see set show sign spin switch take tighten tilt tip touch "
    "trip tug turn vent walk weigh wipe work write".split()
)


def test_rule_6_one_action_a_line_verb_first() -> None:
    for found in shipped_lists().values():
        for line in found.lines():
            assert len(line.do) <= 90, line.id
            assert line.do[0].isupper(), line.id
            assert not line.do.endswith("."), line.id
            assert line.do != line.do.upper(), line.id
            # a line that judges a control names the control, then its result: "Rudder stick left: trailing edges …"
            states_a_result = (
                found.list == "bench" and ": " in line.do and line.questions[0].kind is Kind.CHOICE
            )
            if found.way is not Way.READ_DO and not states_a_result:
                assert line.do.split()[0].lower().strip(",") in VERBS, f"{found.list}/{line.id}"
            # what may not apply is asked of the file, not of the reader: only what is due is left to the eye
            if found.way is not Way.READ_DO:
                assert " if " not in line.do.replace("if it is due", "").replace("as if she", ""), line.id


def test_rule_7_the_log_says_who_spoke() -> None:
    bench = charged()
    bench.launch(bench.walk("before-dive"))
    assert all(event.by for event in bench.events)
    assert bench.events[-1].payload()["words"] == "ready to dive"


def test_rule_8_an_answer_too_fast_gets_one_soft_second_look() -> None:
    bench = charged()
    walk = at(bench, "faces")
    bench.wait(seconds=0.4)
    stepped, pending = walking.answer(walk, bench.around(), "")
    assert pending == ()
    assert stepped.look_again
    assert view(stepped, bench.around()).look_again
    bench.wait(seconds=0.1)
    stepped, pending = walking.answer(stepped, bench.around(), "")
    assert pending  # the second answer counts, however fast
    # honestly fast lines and lines that lose nothing are let alone
    walk = at(bench, "catch")
    assert walking.answer(walk, bench.around(), "")[1]
    fresh = charged()
    first = fresh.begin("before-dive")
    assert walking.answer(first, fresh.around(), "nothing")[1]


def test_rule_9_an_interruption_is_a_state() -> None:
    bench = charged()
    walk = at(bench, "count")
    walk = bench.save(*walking.pause(walk, bench.around()))
    bench.wait(minutes=4)
    again = bench.resume("before-dive")
    assert again is not None
    assert again.paused
    said = pause_view(again, bench.around())
    assert said.line == "Touch and count the closures"
    assert said.asks == "Put the ballast in its start state"
    bench.wait(minutes=7)
    assert pause_view(again, bench.around()).restarts
    again = bench.save(*walking.carry_on(again, bench.around()))
    now = walking.asked_now(again, bench.around())
    assert now is not None
    assert now[0].id == "faces"


def test_rule_10_what_is_put_off_stays_in_sight() -> None:
    bench = charged()
    bench.launch(bench.walk("before-dive"))
    walk = bench.walk("after-run", run=bench.run(), until="volts")
    seen = view(walk, bench.around())
    assert seen.left == 1
    assert [line.name for line in seen.lines if line.mark is None] == ["volts"]
    bench.keep("defect.opened", {"defect": "slack rod", "stops_launch": True})
    found = launch(bench.begin("before-dive"), bench.around())
    assert found.words.startswith("OPEN")
    assert "slack rod" in found.words


def test_rule_11_skips_are_reasoned_kept_shown_and_prove_nothing() -> None:
    bench = charged()
    walk = at(bench, "surfaces")
    with pytest.raises(RefusedError):
        walking.skip(walk, bench.around(), "")
    walk = bench.save(*walking.skip(walk, bench.around(), "thorns"))
    data = bench.events[-1].payload()
    assert (data["state"], data["reason"], data["line"]) == ("skipped", "thorns", "surfaces")
    walk = bench.go_on(walk)
    assert not bench.proved("directions")
    item = next(i for i in launch(walk, bench.around()).items if i.name == "directions")
    assert item.mark is Mark.TO_PROVE
    assert item.words == "skipped: thorns"
    # not fitted is a state of its own
    walk = bench.save(*walking.go(walk, bench.around(), "residual"))
    walk = bench.save(*walking.not_fitted(walk, bench.around(), "no tower"))
    assert next(i for i in launch(walk, bench.around()).items if i.name == "tower").mark is Mark.NOT_FITTED
    # and neither outlives its walk: the next one asks again
    bench.launch(walk)
    after(bench)
    assert {"surfaces", "residual"} <= set(bench.asked(bench.begin("before-dive")))


def test_rule_12_the_end_says_what_is_open() -> None:
    bench = charged()
    walk = bench.launch(bench.walk("before-dive", {"pack-volts": "7.9"}))
    ended, called = bench.events[-2:]
    assert ended.payload()["open"] == ["pack-volts"]
    assert called.payload()["open"][0] == "volts OUTSIDE"
    assert walk.ended


def test_rule_13_the_loop_is_closed_before_the_next_run() -> None:
    bench = charged()
    bench.launch(bench.walk("before-dive"))
    run = bench.run()
    assert may_start_run(bench.events, "tansy")[0] is False
    walk = bench.walk("after-run", run=run, until="mend")
    ok, why = may_start_run(bench.events, "tansy")
    assert not ok
    assert "answer it, or leave it with a reason" in why
    bench.wait(minutes=10)
    bench.go_on(walk)
    assert may_start_run(bench.events, "tansy") == (True, "")


def test_rule_14_no_news_is_no_good_news() -> None:
    bench = Bench("tansy")
    bench.day()
    walk = bench.begin("before-dive")
    assert all(line.mark is None for line in view(walk, bench.around()).lines)
    assert launch(walk, bench.around()).words.startswith("OPEN")
    walk = at(bench, "pack-volts")
    walk = bench.save(*walking.unknown(walk, bench.around()))
    assert walk.record("pack-volts").mark is Mark.UNKNOWN  # type: ignore[union-attr]
    assert not bench.proved("pack:D2")


def test_rule_15_a_list_can_be_changed_for_a_boat_with_a_reason() -> None:
    bench = charged()
    boat = bench.session.shelf.boats["tansy"]
    changed = dict(boat.facts)
    entry = "before-dive/catch"
    from divelog.profiles.document import Fact

    for key, value in (
        ("list", "before-dive"),
        ("id", "catch"),
        ("change", "not fitted"),
        ("why", "screwed down"),
    ):
        changed[f"line[{entry}].{key}"] = Fact(value)
    document = Document("boat", boat.file, changed, {**boat.entries, "line": (entry,)})
    found = for_boat(shipped_lists()["before-dive"], document)
    line = found.line("catch")
    assert line is not None
    assert (line.not_fitted, line.changed) == ("screwed down", "screwed down")
    assert all(one.version >= 1 and one.dated is not None for one in shipped_lists().values())


def test_lists_for_trouble_are_read_and_done() -> None:
    ways = {name: found.way for name, found in shipped_lists().items()}
    assert [name for name, way in ways.items() if way is Way.READ_DO] == [
        "boat-stuck",
        "leak-found",
        "pack-hot",
        "signal-lost",
    ]
