"""A log from strangers, or damaged: whatever stands in it, a walk can be begun, rebuilt, looked at and ended."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st
from walking import Bench

from divelog.checks import walk as walking
from divelog.checks.after import may_start_run, run_to_close
from divelog.checks.launch import launch
from divelog.checks.library import shipped_lists
from divelog.checks.standing import paused_words
from divelog.checks.trouble import steps
from divelog.checks.view import pause_view, view

_JSON = st.recursive(
    st.one_of(
        st.none(),
        st.booleans(),
        st.integers(-9, 9),
        st.floats(allow_nan=False, allow_infinity=False),
        st.text(max_size=6),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=4), inner, max_size=3)
    ),
    max_leaves=5,
)
_LINES = [
    "undone",
    "name",
    "signal-off",
    "count",
    "press",
    "cycle",
    "surfaces",
    "water",
    "marks",
    "deepest",
    "volts",
    "no-such",
]
_DATA = st.fixed_dictionaries(
    {
        "list": st.one_of(st.sampled_from(["before-dive", "after-run", "bench"]), _JSON),
        "line": st.one_of(st.sampled_from(_LINES), _JSON),
    },
    optional=dict.fromkeys(
        (
            "answer",
            "value",
            "verdict",
            "gives",
            "fails",
            "state",
            "seconds",
            "open",
            "complete",
            "limit",
            "check",
        ),
        _JSON,
    ),
)
_KINDS = st.sampled_from(
    ["check.started", "check.answered", "check.skipped", "check.paused", "check.resumed", "check.ended", "opened", "run.started",
     "run.ended", "mark", "defect.opened", "defect.closed", "closed", "measured", "launch.called", "day.opened", "plan.set"]
)  # fmt: skip


@settings(max_examples=120, deadline=None)
@given(st.lists(st.tuples(_KINDS, _DATA), max_size=14), st.booleans())
def test_no_event_makes_a_walk_fail(events: list[tuple[str, dict[str, object]]], named: bool) -> None:
    bench = Bench("tansy")
    bench.day()
    check = run = None
    for what, data in events:
        bench.wait(seconds=3)
        if named and check is not None:
            data = {**data, "check": check}
        event = bench.keep(what, data, run=run)
        check = event.id if what == "check.started" else check
        run = event.id if what == "run.started" else run
    around = bench.around()
    paused_words(bench.events, bench.clock.now())
    may_start_run(bench.events, "tansy")
    steps(shipped_lists()["signal-lost"], around)
    for name in ("before-dive", "after-run", "bench"):
        of_run = run_to_close(bench.events, "tansy") if name == "after-run" else None
        walk = bench.resume(name, of_run)
        if walk is not None:
            pause_view(walk, around)
            walk = bench.save(*walking.carry_on(walk, around))
        else:
            walk = bench.begin(name, of_run)
        around = bench.around()
        view(walk, around)
        launch(walk, around)
        bench.save(*walking.leave(walk, around, "enough"))
