"""A past that is kept as settled answers as the whole log does: every moment, every event that comes in later."""

from __future__ import annotations

from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_properties import _DATA, FACTS, NAMES, START, event

from divelog.proofs import Question, fold_proofs, settled
from divelog.proofs.fold import settle

_MORE = {
    **_DATA,
    "run.started": st.fixed_dictionaries({"pack": st.sampled_from(["D2", "D3"])}),
    "run.ended": st.fixed_dictionaries(
        {"pack": st.sampled_from(["D2", "D3"])},
        optional={
            "deepest": st.fixed_dictionaries(
                {"si": st.floats(0.2, 3), "u95": st.just(0.1), "how": st.sampled_from(["seen", "sensor", "guessed"])}
            )
        },
    ),
    "check.answered": st.fixed_dictionaries(
        {"list": st.just("before-dive"), "line": st.just("x")},
        optional={
            "gives": st.lists(st.sampled_from(NAMES), min_size=1, max_size=6),
            "fails": st.lists(st.sampled_from(NAMES), max_size=2),
            "dry_depth": st.floats(0.1, 5),
        },
    ),
    "clock.jumped": st.just({"before": "2032-05-01T08:00:00+00:00", "after": "2032-05-01T10:00:00+00:00"}),
    "failsafe.tripped": st.fixed_dictionaries({"channels": st.dictionaries(st.sampled_from("ab"), st.booleans())}),
    "defect.opened": st.fixed_dictionaries({"defect": st.just("x"), "stops_launch": st.booleans()}),
}  # fmt: skip
_ROW = st.sampled_from(sorted(_MORE)).flatmap(
    lambda what: st.tuples(
        st.just(what),
        st.floats(0, 60 * 24 * 40),
        _MORE[what],
        st.integers(0, 60),
        st.sampled_from([0, 0, 0, 5, 90]),
    )
)


def log_of(rows, first: int = 0):
    """Rows as events; an end names the run its number picks, a finding too; a doubt is minutes either way."""
    made = []
    starts = []
    for number, (what, at, data, pick, doubt) in enumerate(sorted(rows, key=lambda row: row[1]), first):
        run = starts[pick % len(starts)] if what in ("run.ended", "water.found") and starts else None
        moment = START + timedelta(minutes=at)
        happened = f"{moment.isoformat()} ± {doubt} min" if doubt else None
        made.append(event(number, what, at, data, run, happened))
        if what == "run.started":
            starts.append(made[-1].id)
    return sorted(made, key=lambda e: (e.at, e.id))


@pytest.fixture(autouse=True)
def short(monkeypatch):
    """Everything older than a day is settled, however short the log."""
    monkeypatch.setattr(settled, "LEAST", 2)
    monkeypatch.setattr(settled, "TAIL_SECONDS", 86_400.0)


@settings(max_examples=150)
@given(st.lists(_ROW, min_size=4, max_size=40), st.lists(_ROW, max_size=6), st.floats(0, 60 * 24 * 60))
def test_the_answer_is_the_same_with_and_without_what_was_settled(rows, later, minutes):
    early = log_of(rows)
    kept = settle(early, FACTS)
    whole = sorted([*early, *log_of(later, 5000)], key=lambda e: (e.at, e.id))
    question = Question(START + timedelta(minutes=minutes))
    for events in (early, whole):
        assert fold_proofs(events, FACTS, question, kept) == fold_proofs(events, FACTS, question)


@settings(max_examples=60)
@given(st.lists(_ROW, min_size=12, max_size=40))
def test_a_log_that_only_grows_is_answered_from_what_was_settled(rows):
    events = log_of(rows)
    half = events[: 2 * len(events) // 3]
    kept = settle(half, FACTS)
    now = Question(START + timedelta(days=45))
    assert fold_proofs(events, FACTS, now, kept) == fold_proofs(events, FACTS, now)


def test_most_of_a_long_log_is_settled_and_serves():
    rows = [("check.answered", 10.0 * n, {"gives": [NAMES[n % len(NAMES)]]}, 0, 0) for n in range(2000)]
    events = log_of(rows)
    kept = settle(events, FACTS)
    assert kept is not None
    assert kept.count > 0.8 * len(events)
    assert kept.serves(events, kept.rules, (START + timedelta(days=15)).timestamp())
    assert not kept.serves(events[1:], kept.rules, (START + timedelta(days=15)).timestamp())
    assert not kept.serves(events, kept.rules, START.timestamp())
