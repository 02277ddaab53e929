"""A walk cut off after any event goes on as if nothing had happened: the log alone brings it back.

The same list is walked twice with the same answers: once whole, once killed after an event, rebuilt and carried on. At the
end every line stands alike, the same proofs stand, and no event beside the answers is there twice or missing.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from walking import Bench

from divelog.checks import walk as walking
from divelog.checks.state import Walk
from divelog.journal.events import Event

OPENED = ("nothing", "yes", "aft cap")
Chosen = Mapping[str, "str | Sequence[str]"]


class KilledError(Exception):
    """The machine went off."""


class Killer:
    """Kills after so many events."""

    def __init__(self, after: int) -> None:
        self.left = after

    def __call__(self, event: Event) -> None:
        self.left -= 1
        if self.left == 0:
            raise KilledError


def at_the_pond() -> tuple[Bench, str | None]:
    bench = Bench("tansy")
    bench.keep("charged", {"pack": "D2", "charge": {"si": 7920.0, "u95": 360.0}, "to": "full"})
    bench.wait(hours=1)
    bench.day()
    return bench, None


def after_a_run() -> tuple[Bench, str | None]:
    bench, _ = at_the_pond()
    run = bench.run(45)
    bench.keep("mark", {}, run=run)
    bench.keep("mark", {}, run=run)
    bench.keep("defect.opened", {"defect": "loose clip", "stops_launch": False})
    return bench, run


def start(name: str) -> tuple[Bench, str | None]:
    return after_a_run() if name == "after-run" else at_the_pond()


def end_state(bench: Bench, walk: Walk) -> tuple[object, ...]:
    """What must not depend on being killed: how lines stand, what is proved, what was written beside the answers."""
    marks = {one.line: (one.mark, one.right, one.reason) for one in walk.records}
    report = bench.around().report
    standing = {proof.name for proof in report.proofs if proof.stands}
    beside = Counter(
        (event.what, msgspec.json.encode(_timeless(event.payload()), order="deterministic"))
        for event in bench.events
        if not event.what.startswith("check.")
    )
    return marks, standing, report.dry_depth, beside, walk.ended


def _timeless(data: Mapping[str, object]) -> dict[str, object]:
    """Data without names of events, which differ between two logs."""
    return {key: value for key, value in data.items() if key not in ("of", "id")}


def whole(name: str, answers: Chosen) -> tuple[object, ...]:
    bench, run = start(name)
    return end_state(bench, bench.walk(name, answers, run=run))


def killed(name: str, answers: Chosen, kills: Sequence[int]) -> tuple[tuple[object, ...], int]:
    """End state with kills after so many events each, and how many kills happened."""
    bench, run = start(name)
    happened = 0
    walk: Walk | None = None
    for after in (*kills, 0):
        bench.at_append = Killer(after) if after else None
        try:
            if walk is None:
                walk = bench.walk(name, answers, run=run)
            else:
                bench.wait(seconds=5)
                walk = bench.go_on(bench.save(*walking.carry_on(walk, bench.around())), answers)
            break
        except KilledError:
            happened += 1
            bench.at_append = None
            walk = bench.resume(name, run)
            if walk is None and "check.started" in bench.kinds() and not _has_ended(bench):
                raise AssertionError("a walk that was begun is not found again") from None
            if walk is None and _has_ended(bench):
                break
    bench.at_append = None
    final = walk if walk is not None and walk.ended or name == "before-dive" else None
    if final is None or final.paused:
        final = _read_back(bench, name, run)
    assert final is not None
    return end_state(bench, final), happened


def _has_ended(bench: Bench) -> bool:
    return "check.ended" in bench.kinds()


def _read_back(bench: Bench, name: str, run: str | None) -> Walk:
    """The walk as the log has it, ended or not."""
    from divelog.checks.state import take

    around = bench.around()
    walk = Walk(bench.checklist(name), bench.slug, run)
    for event in bench.events:
        if walk.check or (event.what == "check.started" and event.payload()["list"] == name):
            walk = take(walk, event, around)
    return walk


LISTS = ("before-dive", "after-run", "evening-before", "tank-trim")
ANSWERS: dict[str, Chosen] = {
    "before-dive": {"undone": ("nothing",), "pack-volts": "8.45"},
    "after-run": {"mend": OPENED, "water": ("a drop", "aft", "opened her", "fore cap"), "shaft": ("stiff",)},
    "evening-before": {},
    "tank-trim": {},
}


@pytest.mark.parametrize("name", LISTS)
def test_killed_after_every_single_event(name: str) -> None:
    answers = ANSWERS[name]
    wanted = whole(name, answers)
    after = 1
    while True:
        found, happened = killed(name, answers, [after])
        if not happened:
            break
        assert found == wanted, f"killed after event {after}"
        after += 1
    assert after > len(LISTS)


_BEFORE = st.fixed_dictionaries(
    {
        "pack-volts": st.sampled_from(["8.45", "8.41", "7.9"]),
        "name": st.sampled_from(["TANSY", "OTHER"]),
        "count": st.sampled_from(["4", "3"]),
        "press": st.sampled_from([("20", "20"), ("20", "18"), ("20", "19.5")]),
        "full-power": st.sampled_from(["full", "reduced"]),
        "cycle": st.sampled_from([("37", "35"), ("60", "35"), ("37", "45.9")]),
        "paces": st.sampled_from(["60", "20"]),
        "start-state": st.sampled_from(["empty", "full"]),
    }
)
_AFTER = st.fixed_dictionaries(
    {
        "ended": st.sampled_from(["plan", "trouble"]),
        "water": st.sampled_from(
            [
                ("bone dry", "through the window"),
                ("a teaspoon", "aft", "opened her", "aft cap"),
                ("3 mL", "fore", "not inside"),
            ]
        ),
        "deepest": st.sampled_from([("0.6", "seen"), ("1.1 m ± 0.3 m", "guessed")]),
        "shaft": st.sampled_from(["clear", "weed", "line", "stiff"]),
        "mend": st.sampled_from([("nothing", "no"), OPENED, ("not to launch until mended", "a crack", "no")]),
    }
)


@settings(max_examples=15, deadline=None)
@given(answers=_BEFORE, kills=st.lists(st.integers(1, 40), min_size=1, max_size=3))
def test_killed_before_a_dive_with_any_answers(answers: Chosen, kills: list[int]) -> None:
    assert killed("before-dive", answers, kills)[0] == whole("before-dive", answers)


@settings(max_examples=15, deadline=None)
@given(answers=_AFTER, kills=st.lists(st.integers(1, 30), min_size=1, max_size=3))
def test_killed_after_a_run_with_any_answers(answers: Chosen, kills: list[int]) -> None:
    assert killed("after-run", answers, kills)[0] == whole("after-run", answers)


@pytest.mark.nightly
@settings(max_examples=200, deadline=None)
@given(answers=_BEFORE, kills=st.lists(st.integers(1, 40), min_size=1, max_size=5))
def test_killed_before_a_dive_at_length(answers: Chosen, kills: list[int]) -> None:
    assert killed("before-dive", answers, kills)[0] == whole("before-dive", answers)


@pytest.mark.nightly
@settings(max_examples=200, deadline=None)
@given(answers=_AFTER, kills=st.lists(st.integers(1, 30), min_size=1, max_size=5))
def test_killed_after_a_run_at_length(answers: Chosen, kills: list[int]) -> None:
    assert killed("after-run", answers, kills)[0] == whole("after-run", answers)


def test_a_second_walk_is_not_taken_for_the_first() -> None:
    bench, _ = at_the_pond()
    walk = bench.launch(bench.walk("before-dive"))
    assert walk.ended
    assert bench.resume("before-dive") is None
    bench.run()
    bench.walk("before-dive", until="surfaces")
    again = bench.resume("before-dive")
    assert again is not None
    assert again.record("undone") is not None
    assert again.record("faces") is None


def test_a_half_answered_line_is_asked_from_its_start() -> None:
    bench, _ = at_the_pond()
    walk = bench.walk("before-dive", until="cycle")
    walk = bench.answer(walk, "37")
    again = bench.resume("before-dive")
    assert again is not None
    again = bench.save(*walking.carry_on(again, bench.around()))
    now = walking.asked_now(again, bench.around())
    assert now is not None
    assert now[0].id == "full-power"  # the last line that was answered
    again = bench.answer(again, "full")
    now = walking.asked_now(again, bench.around())
    assert now is not None
    assert (now[0].id, now[1].question.name) == ("cycle", "answer")
    bench.go_on(again)
    measured = [e.payload()["path"] for e in bench.events if e.what == "measured"]
    assert sorted(measured) == ["ballast.empty_time", "ballast.fill_time"]


def test_turning_back_in_the_middle_of_a_line_is_in_the_log() -> None:
    bench, _ = at_the_pond()
    walk = bench.walk("before-dive", until="cycle")
    walk = bench.answer(walk, "37")
    bench.wait(seconds=2)
    walk = bench.save(*walking.back(walk, bench.around()))
    walk = bench.answer(walk, "full")
    walk = bench.answer(walk, "38")
    walk = bench.answer(walk, "35")
    assert [g.typed for g in walk.record("cycle").givens] == ["38", "35"]  # type: ignore[union-attr]
    again = _read_back(bench, "before-dive", None)
    assert again.record("cycle").givens == walk.record("cycle").givens  # type: ignore[union-attr]
