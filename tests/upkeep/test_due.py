"""What is due, from counts. Intervals are common practice, no source; the sums are done by hand."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.upkeep import due, words
from divelog.upkeep.due import Counts, DueVerdict, Lately, Planned, ProofState
from divelog.upkeep.intervals import Allowed, parse_interval
from divelog.upkeep.schedule import SealEntry, Service, UpkeepFacts, schedule

TODAY = date(2032, 5, 4)
GREASE = Service("shaft_grease", "shaft grease", parse_interval("4 h or 30 d"))
RING = Service("seal.aft_cap", "aft cap seal", parse_interval("12 mo or 50 closings"), seal=True)
LEAK = Service("dry_long", "long leak test", parse_interval("30 d or 10 runs"), proof=True)


def _days_ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def _lived_in() -> tuple[due.DueRow, ...]:
    """The boat and the counts of a lived-in logbook: greased 11 April, two runs since, one closing."""
    services, faults = schedule(
        UpkeepFacts(
            "M",
            (SealEntry("shaft", True, date(2031, 11, 2)), SealEntry("aft cap", False, date(2032, 3, 1))),
            upkeep={"shaft_grease": "4 h or 30 d"},
        )
    )
    assert faults == ()
    hours = 0.5 + 1920 / 3600
    counts = {
        "shaft_grease": Counts(date(2032, 4, 11), hours, runs=2, closings=1, wet_days=2),
        "seal.shaft": Counts(date(2031, 11, 2), hours, runs=2, closings=1, wet_days=2),
        "seal.aft_cap": Counts(date(2032, 3, 1), hours, runs=2, closings=1, wet_days=2),
        "dry_long": Counts(date(2032, 4, 18), hours, runs=2, closings=1, wet_days=2),
    }
    proofs = {
        "dry_long": ProofState(False, "incident 4 May 09:10"),
        "joints": ProofState(False, "never"),
    }
    lately = Lately(60.0, outings=2, hours=hours, runs=2, wet_days=2, closings={"seal.aft_cap": 1})
    return due.due_rows(services, counts, TODAY, lately=lately, proofs=proofs)


def test_a_lived_in_boat() -> None:
    rows = {row.item: row for row in _lived_in()}
    assert set(rows) == {
        "shaft_grease",
        "seal.shaft",
        "seal.aft_cap",
        "dry_long",
        "joints",
        "linkages",
        "ballast",
        "terminals",
    }
    grease = rows["shaft_grease"]
    assert grease.verdict is DueVerdict.WITHIN
    assert grease.share == pytest.approx(0.767, abs=5e-4)
    assert (grease.counter, grease.used, grease.allowed, grease.unit) == ("days", 23, 30, "d")
    assert next(use.used for use in grease.uses if use.counter == "hours") == pytest.approx(1.033, abs=5e-4)
    assert (grease.due, grease.due_by) == (date(2032, 5, 11), "days")
    shaft = rows["seal.shaft"]
    assert (shaft.verdict, shaft.used, shaft.allowed, shaft.unit) == (DueVerdict.WITHIN, 184, 365, "d")
    cap = rows["seal.aft_cap"]
    assert (cap.verdict, cap.used, cap.allowed) == (DueVerdict.WITHIN, 64, 365)
    assert [(use.used, use.allowed) for use in cap.uses] == [(64, 365), (1, 50)]
    leak, joints = rows["dry_long"], rows["joints"]
    assert (leak.verdict, leak.because) == (DueVerdict.TO_PROVE, "incident 4 May 09:10")
    assert (joints.verdict, joints.because) == (DueVerdict.TO_PROVE, "never")
    for item in ("linkages", "ballast", "terminals"):
        assert (rows[item].verdict, rows[item].because) == (DueVerdict.UNKNOWN, "no service written down")
        assert rows[item].used is None


def test_a_lived_in_boat_in_words() -> None:
    found = {row.item: words.sentence(row) for row in _lived_in()}
    assert found["shaft_grease"] == "23 of 30 d; 1.03 of 4 h; due 11 May 2032"
    assert found["seal.aft_cap"] == "64 of 365 d; 1 of 50 closings; due 1 March 2033"
    assert found["dry_long"] == "to prove: incident 4 May 09:10"
    assert found["joints"] == "to prove: never"
    assert found["terminals"] == "no service written down"


def test_worst_first() -> None:
    order = [row.verdict for row in _lived_in()]
    assert order == sorted(order, key=list(DueVerdict).index)


def test_over_its_hours() -> None:
    # By hand: 4.3 of 4 h is 1.075; 23 of 30 d is 0.767.
    row = due.due_row(GREASE, Counts(_days_ago(23), 4.3), TODAY)
    assert (row.verdict, row.share) == (DueVerdict.OUTSIDE, pytest.approx(1.075))
    assert row.over == pytest.approx(0.3)
    assert row.due is None
    assert words.sentence(row) == "4.3 h since, every 4 h"
    assert (words.reading(row), words.allowance(row)) == ("4.3 h", "every 4 h")


def test_hours_name_the_date() -> None:
    # By hand: 2.9 h, 9 d, 0.15 h a day over 9 outings: 7.33 d by hours against 21; 5.5 to 11.0.
    lately = Lately(60.0, 9, hours=9.0)
    row = due.due_row(GREASE, Counts(_days_ago(9), 2.9), TODAY, lately=lately)
    assert (row.verdict, row.share) == (DueVerdict.WITHIN, pytest.approx(0.725))
    assert (row.due, row.due_by) == (TODAY + timedelta(days=7), "hours")
    assert (row.soonest, row.latest) == (TODAY + timedelta(days=5), TODAY + timedelta(days=11))
    assert words.sentence(row).endswith("due 11 May 2032 at the recent rate (9 May to 15 May)")


def test_the_next_but_one_run_is_over() -> None:
    # By hand: a run of 40 min is 0.533 shaft hours: 2.9 leaves 0.86 of 4 h; 3.43 + 0.6 would be over.
    plan = Planned(hours=40 / 60 * 0.8)
    within = due.due_row(GREASE, Counts(_days_ago(9), 2.9), TODAY, plan=plan)
    assert within.verdict is DueVerdict.WITHIN
    after = due.due_row(GREASE, Counts(_days_ago(9), 2.9 + 0.533), TODAY, plan=plan)
    assert after.verdict is DueVerdict.TOO_CLOSE


def test_a_planned_run_in_salt_counts_double() -> None:
    counts = Counts(_days_ago(1), 3.0)
    assert due.due_row(GREASE, counts, TODAY, plan=Planned(hours=0.6)).verdict is DueVerdict.WITHIN
    salt = due.due_row(GREASE, counts, TODAY, plan=Planned(hours=0.6, harsh=True))
    assert salt.verdict is DueVerdict.TOO_CLOSE


def test_salt_hours_count_double() -> None:
    row = due.due_row(GREASE, Counts(_days_ago(1), 2.5, harsh=1.5), TODAY)
    assert (row.used, row.verdict) == (4.0, DueVerdict.OUTSIDE)


def test_closings() -> None:
    row = due.due_row(RING, Counts(_days_ago(100), closings=49), TODAY, plan=Planned(closings=1))
    assert (row.counter, row.verdict) == ("closings", DueVerdict.TOO_CLOSE)
    assert (words.reading(row), words.allowance(row)) == ("49 closings", "at most 50")
    one = due.due_row(
        replace(RING, interval=parse_interval("50 closings")), Counts(_days_ago(1), closings=1), TODAY
    )
    assert words.reading(one) == "1 closing"


def test_closings_are_forecast_by_their_own_count() -> None:
    lately = Lately(60.0, 6, closings={"seal.aft_cap": 12})
    row = due.due_row(RING, Counts(_days_ago(30), closings=40), TODAY, lately=lately)
    assert (row.due, row.due_by) == (TODAY + timedelta(days=50), "closings")


def test_a_proof_over_its_period_is_to_prove_not_outside() -> None:
    row = due.due_row(LEAK, Counts(_days_ago(32), runs=2), TODAY, proof=ProofState(True))
    assert (row.verdict, row.because) == (DueVerdict.TO_PROVE, "over 30 d")
    assert words.reading(row) == "32 d"


def test_a_proof_that_stands_is_within() -> None:
    row = due.due_row(LEAK, Counts(_days_ago(3), runs=2), TODAY, proof=ProofState(True))
    assert (row.verdict, row.counter, row.used) == (DueVerdict.WITHIN, "runs", 2.0)


def test_a_proof_that_was_spent_has_no_date() -> None:
    row = due.due_row(LEAK, Counts(_days_ago(3)), TODAY, proof=ProofState(False))
    assert (row.verdict, row.because, row.due) == (DueVerdict.TO_PROVE, "never", None)
    assert due.due_row(LEAK, None, TODAY).verdict is DueVerdict.TO_PROVE


def test_never_is_not_nothing() -> None:
    assert due.due_row(GREASE, None, TODAY).verdict is DueVerdict.UNKNOWN
    assert due.due_row(GREASE, Counts(None, 0.0), TODAY).verdict is DueVerdict.UNKNOWN
    ring = due.due_row(RING, None, TODAY)
    assert ring.because == "no date it was fitted: counts as due"


def test_a_service_in_the_future_is_not_believed() -> None:
    row = due.due_row(GREASE, Counts(TODAY + timedelta(days=1)), TODAY)
    assert (row.verdict, row.because) == (DueVerdict.UNKNOWN, due.FUTURE)


def test_a_counter_that_fell_is_said_in_words() -> None:
    row = due.due_row(GREASE, Counts(_days_ago(2), hours=1.0, harsh=2.0), TODAY)
    assert row.verdict is DueVerdict.UNKNOWN
    assert "salt" in row.because


def test_no_window_no_rate() -> None:
    row = due.due_row(GREASE, Counts(_days_ago(2), 1.0), TODAY, lately=Lately(0.0, 9, hours=3.0))
    assert row.due_by == "days"


def test_without_a_date() -> None:
    row = due.due_row(replace(GREASE, interval=parse_interval("4 h")), Counts(_days_ago(2), 1.0), TODAY)
    assert words.sentence(row) == "1 of 4 h"


def test_long_hours_are_written_whole() -> None:
    assert words.amount(123.456, "hours") == "123 h"
    assert words.amount(1, "runs") == "1 run"
    assert words.amount(2, "wet days") == "2 wet d"


counts = st.builds(
    Counts,
    since=st.none() | st.integers(0, 900).map(_days_ago),
    hours=st.floats(0, 60),
    runs=st.integers(0, 60),
    closings=st.integers(0, 80),
    wet_days=st.integers(0, 60),
)
intervals = st.lists(
    st.builds(
        Allowed,
        st.sampled_from(["hours", "days", "runs", "closings", "wet days"]),
        st.floats(0.5, 400),
    ),
    min_size=1,
    max_size=3,
    unique_by=lambda each: each.counter,
).map(tuple)


@settings(max_examples=150, deadline=None)
@given(counts=counts, interval=intervals, proof=st.booleans())
def test_a_service_today_clears_it(counts: Counts, interval: tuple[Allowed, ...], proof: bool) -> None:
    service = Service("x", "x", interval, proof=proof)
    before = due.due_row(service, counts, TODAY)
    after = due.due_row(service, Counts(TODAY), TODAY)
    assert after.share == 0.0
    assert after.verdict in (DueVerdict.WITHIN, DueVerdict.TOO_CLOSE)
    if before.used is not None:
        assert before.share >= after.share
        assert before.share == max(use.used / use.allowed for use in before.uses)


@settings(max_examples=100, deadline=None)
@given(counts=counts, interval=intervals, later=st.integers(0, 400))
def test_time_alone_never_makes_it_better(counts: Counts, interval: tuple[Allowed, ...], later: int) -> None:
    order = [DueVerdict.UNKNOWN, DueVerdict.WITHIN, DueVerdict.TOO_CLOSE, DueVerdict.OUTSIDE]
    service = Service("x", "x", interval)
    now = due.due_row(service, counts, TODAY)
    then = due.due_row(service, counts, TODAY + timedelta(days=later))
    assert order.index(then.verdict) >= order.index(now.verdict)


@settings(max_examples=100, deadline=None)
@given(several=st.lists(counts, min_size=3, max_size=3))
def test_rows_stand_in_order(several: list[Counts]) -> None:
    rows = due.due_rows(
        (GREASE, RING, LEAK),
        dict(zip(("shaft_grease", "seal.aft_cap", "dry_long"), several, strict=True)),
        TODAY,
    )
    keys = [(list(DueVerdict).index(row.verdict), -row.share) for row in rows]
    assert keys == sorted(keys)
    assert all(words.sentence(row) for row in rows)
