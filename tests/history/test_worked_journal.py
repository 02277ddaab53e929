"""The worked journal of Tansy: her runs, her one incident, her defect, what was done to her."""

from __future__ import annotations

import random
from datetime import datetime
from pathlib import Path

import pytest

from divelog.history import History, fold
from divelog.history.packs import PackState
from divelog.journal.events import Event
from divelog.journal.loading import load_files
from divelog.journal.payload import Quantity

WORKED = (Path(__file__).parents[1] / "data" / "worked_journal.jsonl").read_bytes()


@pytest.fixture(scope="module")
def events() -> tuple[Event, ...]:
    loaded = load_files({"tansy/laptop.jsonl": WORKED}, "tansy")
    assert loaded.all_reports == ()
    return loaded.events


@pytest.fixture(scope="module")
def history(events: tuple[Event, ...]) -> History:
    return fold(events)


def line(number: int) -> str:
    """Identifier of line #n."""
    return WORKED.splitlines()[number - 1].split(b'"')[3].decode()


def at(text: str) -> datetime:
    return datetime.fromisoformat(f"2032-{text}:00+01:00")


def test_the_run_of_25_april(history: History) -> None:
    run = history.runs[0]
    assert run.id == line(20)
    assert (run.start, run.end) == (at("04-25T09:30"), at("04-25T10:12"))
    assert (run.minutes, run.by_wall) == (42.0, True)
    assert (run.site, run.water_kind, run.pack, run.transmitter) == ("withy-pond", "fresh", "D2", "tx-a")
    assert run.deepest == Quantity(0.9, 0.1, how="seen")
    assert run.shaft_time is not None
    assert f"{run.shaft_time / 3600:.3f}" == "0.500"
    assert (run.cycles, run.reason) == (6, "plan")
    assert run.water is not None
    assert (run.water.amount.si, run.water.end, run.water.looked, run.water.over) == (
        0.0,
        "none",
        "opened",
        False,
    )
    assert run.incidents == ()
    assert not run.still_on


def test_the_run_of_4_may(history: History) -> None:
    assert len(history.runs) == 2
    run = history.runs[1]
    assert run.id == line(36)
    assert (run.start, run.end, run.minutes) == (at("05-04T08:41"), at("05-04T09:26"), 45.0)
    assert (run.site, run.pack, run.deepest) == ("withy-pond", "D2", Quantity(1.2, 0.2, how="guessed"))
    assert run.shaft_time is not None
    assert f"{run.shaft_time / 3600:.3f}" == "0.533"
    assert run.water is not None
    assert run.water.amount.si == pytest.approx(5e-6)  # 5 mL
    assert run.water.allowance == pytest.approx(0.01e-6)  # 0.01 mL
    assert (run.water.end, run.water.over) == ("aft", True)
    assert [incident.id for incident in run.incidents] == [line(37)]


def test_the_depth_incident(history: History) -> None:
    (incident,) = history.incidents
    assert incident.id == line(37)
    assert (incident.at, incident.step, incident.source) == (at("05-04T09:10"), "touched bottom", "guessed")
    assert incident.depth == Quantity(1.2, 0.2)
    assert incident.cause == "dived past the shelf"


def test_water_inside_is_the_open_defect(history: History) -> None:
    (defect,) = history.open_defects("tansy")
    assert defect.id == line(39)
    assert (defect.words, defect.stops_launch, defect.open) == ("water inside: a teaspoon, aft", True, True)
    assert history.open_defects("bulrush") == ()


def test_what_was_done_to_her(history: History) -> None:
    (service,) = history.services
    assert (service.id, service.item, service.consumable) == (line(1), "shaft_grease", "silicone, 1.2 mL")
    assert [(change.kind, change.part, change.at) for change in history.changes] == [
        ("serviced", "shaft_grease", at("04-11T10:00")),
        ("radio.changed", "bound", at("04-30T19:00")),  # when it happened, not when it was written
    ]
    assert {closure.name: closure.closings for closure in history.closures} == {
        "aft cap": 1, "charge port": 1, "fore cap": 1, "vent plug": 1,
    }  # fmt: skip
    (aft,) = [closure for closure in history.closures if closure.name == "aft cap"]
    assert (aft.last_closed, aft.last_opened, aft.last_lifted) == (at("04-25T09:26"), at("04-25T10:19"), None)


def test_the_pack_was_used_since_it_was_charged(history: History) -> None:
    pack = history.pack("D2")
    assert pack is not None
    assert (pack.state, len(pack.runs), pack.minutes, pack.runs_since_charge) == (PackState.USED, 2, 87.0, 1)
    assert pack.last_charge is not None
    assert pack.last_charge.charge == Quantity(7920.0, 360.0, typed="2.2 A h")
    assert history.pack("D9") is None


def test_the_day_and_the_plan_in_force(history: History) -> None:
    day = history.day_at(at("05-04T09:35"))
    assert day is not None
    assert (day.id, day.site, day.water, day.temperature) == (
        line(26),
        "withy-pond",
        "fresh",
        Quantity(284.15, 0.5),
    )
    assert history.day_at(at("05-03T19:00")) is None  # nobody opened that day
    plan = history.plan_at("tansy", at("04-25T09:00"))
    assert plan is not None
    assert (plan.id, plan.pack, plan.depth) == (line(8), "D2", Quantity(0.9, 0.0))
    assert (plan.trim_shift, plan.dived_balance) == (-0.001, 0.021)
    assert history.plan_at("tansy", at("05-04T09:00")) is None
    assert history.plan_at("bulrush", at("04-25T09:00")) is None


@pytest.mark.parametrize(
    ("now", "runs", "still_on", "incidents"),
    [("04-25T09:29", 0, 0, 0), ("04-25T09:31", 1, 1, 0), ("05-04T08:42", 2, 1, 0), ("05-04T09:11", 2, 1, 1)],
)
def test_at_an_earlier_moment_later_events_are_not_there_yet(
    events: tuple[Event, ...], now: str, runs: int, still_on: int, incidents: int
) -> None:
    then = fold(events, at(now))
    assert (len(then.runs), len(then.incidents)) == (runs, incidents)
    assert sum(run.still_on for run in then.runs) == still_on
    on = then.open_run("tansy")
    assert (on is not None) == bool(still_on)


def test_runs_wait_for_their_after_run_list(history: History) -> None:
    assert [run.id for run in history.unanswered("tansy")] == [line(20), line(36)]
    assert history.unanswered("bulrush") == ()


@pytest.mark.parametrize("seed", range(5))
def test_any_split_into_files_gives_the_same_history(history: History, seed: int) -> None:
    pick = random.Random(seed)
    files = {f"tansy/{name}.jsonl": b"" for name in "abc"}
    for each in WORKED.splitlines(keepends=True):
        files[f"tansy/{pick.choice('abc')}.jsonl"] += each
    assert fold(load_files(files, "tansy").events) == history


def test_one_boats_share_of_a_history(history: History) -> None:
    assert history.of_boat("tansy") == history
    other = history.of_boat("bulrush")
    assert (other.runs, other.defects, other.services) == ((), (), ())
    assert other.days == history.days
    assert other.packs == history.packs
