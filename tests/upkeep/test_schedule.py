"""Which services a boat has, and intervals as people write them."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.upkeep.intervals import Allowed, IntervalFaultError, parse_interval, shorter
from divelog.upkeep.schedule import SealEntry, UpkeepFacts, schedule, seal_item


def _interval(facts: UpkeepFacts, item: str) -> dict[str, float]:
    services, _ = schedule(facts)
    return {
        each.counter: each.most for service in services if service.item == item for each in service.interval
    }


@pytest.mark.parametrize(
    ("text", "counters"),
    [
        ("4 h or 30 d", {"hours": 4.0, "days": 30.0}),
        ("12 mo or 50 closings", {"days": 365.0, "closings": 50.0}),
        ("24 mo", {"days": 730.0}),
        ("6 mo", {"days": 182.0}),
        ("10 runs", {"runs": 10.0}),
        ("1 run or 1 closing", {"runs": 1.0, "closings": 1.0}),
        (" 2.5 h ", {"hours": 2.5}),
        ("7 wet d", {"wet days": 7.0}),
        ("30 d or 2 mo", {"days": 30.0}),
    ],
)
def test_intervals(text: str, counters: dict[str, float]) -> None:
    # Months of 30.44 days, whole days: 12 mo is 365 d, 24 mo 730 d.
    assert {each.counter: each.most for each in parse_interval(text)} == counters


@pytest.mark.parametrize(
    "text",
    [
        "",
        "or",
        "4",
        "h",
        "4 hours",
        "0 h",
        "-4 h",
        "4 h or",
        "4 h and 30 d",
        "1e9 h",
        "9**9 h",
        "0.5 d",
        "4 h\x1b[2J",
    ],
)
def test_what_is_no_interval(text: str) -> None:
    with pytest.raises(IntervalFaultError, match="wanted"):
        parse_interval(text)


def test_a_long_text_is_cut_in_the_fault() -> None:
    with pytest.raises(IntervalFaultError) as fault:
        parse_interval("4 h or " * 500)
    assert len(fault.value.found) < 100


@settings(max_examples=200, deadline=None)
@given(text=st.text(max_size=60))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        found = parse_interval(text)
    except IntervalFaultError:
        return
    assert all(each.most > 0 and each.unit for each in found)


def test_the_shorter_of_two() -> None:
    usual, wished = parse_interval("30 d or 10 runs"), parse_interval("60 d or 5 runs or 4 h")
    assert shorter(usual, wished) == (Allowed("days", 30.0), Allowed("runs", 5.0), Allowed("hours", 4.0))


@pytest.mark.parametrize(("size", "hours"), [("S", 3.0), ("M", 4.0), ("L", 6.0), ("?", 4.0)])
def test_shaft_grease_by_size(size: str, hours: float) -> None:
    assert _interval(UpkeepFacts(size), "shaft_grease") == {"hours": hours, "days": 30.0}


def test_seals_by_what_they_do() -> None:
    facts = UpkeepFacts("M", (SealEntry("shaft", True), SealEntry("aft cap", False)))
    assert _interval(facts, "seal.shaft") == {"hours": 25.0, "days": 365.0}
    assert _interval(facts, "seal.aft_cap") == {"days": 365.0, "closings": 50.0}
    assert seal_item("  aft cap ") == "seal.aft_cap"


def test_her_own_file_wins_for_services() -> None:
    facts = UpkeepFacts(
        "M", (SealEntry("aft cap", False),), upkeep={"shaft_grease": "2 h", "seal.aft_cap": "20 closings"}
    )
    assert _interval(facts, "shaft_grease") == {"hours": 2.0}
    assert _interval(facts, "seal.aft_cap") == {"closings": 20.0}


def test_a_proof_is_only_shortened() -> None:
    longer = UpkeepFacts("M", upkeep={"dry_long": "90 d", "joints": "10 d"})
    assert _interval(longer, "dry_long") == {"days": 30.0, "runs": 10.0}
    assert _interval(longer, "joints") == {"days": 10.0}


def test_no_ballast_no_ballast_service() -> None:
    items = {service.item for service in schedule(UpkeepFacts("M", ballast=False))[0]}
    assert "ballast" not in items
    assert "terminals" in items


def test_rarer_services_show_once_somebody_looks_after_them() -> None:
    plain = {service.item for service in schedule(UpkeepFacts("M"))[0]}
    assert "hoses" not in plain
    kept = {service.item for service in schedule(UpkeepFacts("M", kept=frozenset({"hoses"})))[0]}
    assert kept == plain | {"hoses"}
    named = {service.item for service in schedule(UpkeepFacts("M", upkeep={"servos": "20 h"}))[0]}
    assert named == plain | {"servos"}


def test_an_item_of_her_own() -> None:
    services, faults = schedule(UpkeepFacts("M", upkeep={"deck_lamp": "6 mo"}))
    assert faults == ()
    assert services[-1].title == "deck lamp"


def test_an_interval_that_cannot_be_read_is_a_fault_and_the_usual_one_counts() -> None:
    facts = UpkeepFacts("M", upkeep={"shaft_grease": "often", "lamp": "when dark"})
    services, faults = schedule(facts)
    assert [fault.path for fault in faults] == ["upkeep.shaft_grease", "upkeep.lamp"]
    assert faults[0].found == "often"
    assert _interval(facts, "shaft_grease") == {"hours": 4.0, "days": 30.0}
    assert "lamp" not in {service.item for service in services}
