"""Faults that follow one pack, set or receiver from boat to boat."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from divelog.clock import FixedClock, Ids
from divelog.history.folding import fold
from divelog.history.tracing import traces
from divelog.home import Home
from divelog.journal.loading import load_all
from divelog.journal.writing import Journal

START = datetime(2032, 5, 1, 9, tzinfo=UTC)


def sail(tmp_path, *runs):
    """Runs as (boat, set, pack, signal kind or none, reason); what is traced in them."""
    clock = FixedClock(START)
    with Journal(Home(tmp_path), device="laptop", clock=clock, ids=Ids()) as journal:
        for boat, radio, pack, signal, reason in runs:
            clock.advance(timedelta(days=1).total_seconds())
            data = {"transmitter": radio, "receiver": f"rx-{boat}", "pack": pack}
            start = journal.append("run.started", data, boat=boat)
            clock.advance(600)
            if signal:
                journal.append("signal", {"kind": signal}, boat=boat, run=start.id)
            clock.advance(600)
            journal.append("run.ended", {"reason": reason}, boat=boat, run=start.id)
    return traces(fold(load_all(Home(tmp_path)).events).runs)


def test_one_set_that_drops_in_two_boats_is_named_with_its_runs(tmp_path):
    (found,) = sail(
        tmp_path,
        ("tansy", "tx-a", "D2", "lost", "plan"),
        ("bramble", "tx-a", "D5", None, "plan"),
        ("bramble", "tx-a", "D5", "glitch", "plan"),
        ("juniper", "tx-b", "D1", "drop", "plan"),
    )
    assert (found.part, found.id, found.boats, found.runs) == (
        "transmitter", "tx-a", (("bramble", 1), ("tansy", 1)), 3,
    )  # fmt: skip
    assert found.words() == "set tx-a: signal trouble in 2 boats (bramble 1, tansy 1), 2 of its 3 runs"


def test_a_fault_of_one_boat_alone_is_not_traced_to_her_set(tmp_path):
    assert (
        sail(tmp_path, ("tansy", "tx-a", "D2", "lost", "signal"), ("tansy", "tx-a", "D2", "lost", "signal"))
        == ()
    )


def test_a_signal_that_came_back_is_no_fault_by_itself(tmp_path):
    assert (
        sail(tmp_path, ("tansy", "tx-a", "D2", "back", "plan"), ("bramble", "tx-a", "D2", "back", "plan"))
        == ()
    )


def test_a_pack_that_brings_two_boats_home_early_is_named(tmp_path):
    found = sail(
        tmp_path,
        ("tansy", "tx-a", "D2", None, "volts"),
        ("bramble", "tx-b", "D2", None, "volts"),
        ("bramble", "tx-b", "D5", None, "volts"),
    )
    assert [t.words() for t in found] == [
        "pack D2: came back on low volts in 2 boats (bramble 1, tansy 1), 2 of its 2 runs"
    ]
