"""No answer but a listed one proves anything: whatever is typed, a proof stands only if its line was rightly answered."""

from __future__ import annotations

import contextlib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_walk import charged, everything_fitted
from walking import RIGHT, Bench

from divelog.checks import walk as walking
from divelog.checks.entry import RefusedError
from divelog.checks.library import shipped_lists
from divelog.checks.members import members
from divelog.checks.model import Kind, Line
from divelog.limits.model import Verdict

PROVING = sorted(
    (name, line.id)
    for name in ("before-dive", "bench", "leak-test", "tank-trim", "evening-before", "at-home")
    for line in shipped_lists()[name].lines()
    if line.gives
)

_TYPED = st.one_of(
    st.text(max_size=12),
    st.sampled_from(
        [
            "",
            "0",
            "1",
            "2",
            "3",
            "yes",
            "ok",
            "done",
            "right",
            "wrong",
            "still",
            "full",
            "bone dry",
            "a cup",
            "-1",
            "1e9",
        ]
    ),
    st.decimals(-100, 100, places=2).map(str),
)


def _line(bench: Bench, name: str, identity: str) -> tuple[walking.Walk, Line]:
    walk = bench.begin(name)
    line = bench.checklist(name).line(identity)
    assert line is not None
    return bench.save(*walking.go(walk, bench.around(), identity)), line


@settings(max_examples=120, deadline=None)
@given(st.sampled_from(PROVING), st.lists(_TYPED, min_size=1, max_size=8))
def test_whatever_is_typed_only_right_answers_give(where: tuple[str, str], typed: list[str]) -> None:
    name, identity = where
    bench = everything_fitted()
    walk, line = _line(bench, name, identity)
    if walking.asked_now(walk, bench.around()) is None or walk.at != identity:
        return
    verdicts: list[Verdict | None] = []
    for text in typed:
        now = walking.asked_now(walk, bench.around())
        if now is None or now[0].id != identity:
            break
        if now[1].part == "end":
            bench.wait(seconds=now[1].question.seconds)
        with contextlib.suppress(RefusedError):
            bench.wait(seconds=2)
            seen = walking.preview(walk, bench.around(), text)
            verdicts.append(seen.judged.verdict)
            walk = bench.save(*walking.answer(walk, bench.around(), text))
    record = walk.record(identity)
    given_ = record.gives if record is not None else ()
    if given_:
        assert record is not None
        assert all(verdict in (None, Verdict.WITHIN) for verdict in verdicts)
        assert {name.partition(":")[0] for name in given_} <= set(line.gives)
    for proof in line.gives:
        stands = any(p.stands for p in bench.around().report.proofs if p.proof == proof)
        assert not stands or any(g.partition(":")[0] == proof for g in given_)


@pytest.mark.parametrize(("name", "identity"), PROVING)
def test_a_wrong_answer_gives_nothing(name: str, identity: str) -> None:
    """Each question of a proving line answered wrongly once, all others rightly: no proof, and what stood is gone."""
    for place in range(8):
        bench = charged()
        walk, line = _line(bench, name, identity)
        if walk.at != identity:
            return  # this boat has no such line
        walk = _answer_all(bench, walk, line, name, place)
        record = walk.record(identity)
        if record is None:
            return
        if record.right:
            return  # past the last question that can be wrong
        assert record.gives == ()


_WRONG = {Kind.CHOICE: None, Kind.TEXT: "no such name", Kind.COUNT: "99", Kind.WORDS: "a cup"}


def _answer_all(bench: Bench, walk: walking.Walk, line: Line, name: str, wrong: int) -> walking.Walk:
    for place in range(20):
        now = walking.asked_now(walk, bench.around())
        if now is None or now[0].id != line.id:
            return walk
        step = now[1]
        if step.part == "end":
            bench.wait(seconds=step.question.seconds)
        typed = bench.right_answer(line, step, RIGHT.get(name, {}), walk)
        if place == wrong:
            typed = _wrong(bench, walk, typed) or typed
        walk = bench.answer(walk, typed)
    return walk


def _wrong(bench: Bench, walk: walking.Walk, right: str) -> str | None:
    now = walking.asked_now(walk, bench.around())
    assert now is not None
    question = now[1].question
    around = bench.around()
    tries = (
        list(question.of)
        if question.kind is Kind.CHOICE
        else [_WRONG.get(question.kind) or "", "0.001", "9999", "-9", "0"]
    )
    for typed in tries:
        if typed and typed != right:
            with contextlib.suppress(RefusedError):
                if walking.preview(walk, around, typed).judged.wrong:
                    return typed
    return None


def test_an_each_line_needs_every_member_right() -> None:
    bench = charged()
    for wrong in range(4):
        walk, line = _line(bench, "before-dive", "signal-off")
        count = len(members(line.questions[0], bench.around()))
        assert count == 4
        for place in range(count):
            walk = bench.answer(walk, "still" if place == wrong else "right")
        assert walk.record("signal-off").fails == ("failsafe_bench",)  # type: ignore[union-attr]
        assert not bench.proved("failsafe_bench")
    tripped = [e.payload() for e in bench.events if e.what == "failsafe.tripped"]
    assert [list(t["channels"].values()).count(False) for t in tripped] == [
        1,
        1,
        1,
        0,
    ]  # control back is no channel


def test_nobody_proves_a_pack_that_is_not_in_the_plan() -> None:
    bench = charged()
    walk, _ = _line(bench, "before-dive", "pack-volts")
    bench.keep(
        "plan.set", {"pack": "D3", "depth": {"si": 0.7, "u95": 0.05}, "minutes": {"si": 2400.0, "u95": 0.0}}
    )
    walk = bench.answer(walk, "8.45")
    assert walk.record("pack-volts").gives in (("pack:D3",), ())  # type: ignore[union-attr]
    assert not bench.proved("pack:D2")
