"""What a run took out of its pack: the best method the log allows, named, with its ±."""

from __future__ import annotations

from datetime import datetime
from types import SimpleNamespace
from typing import Any

import msgspec
import pytest
from msgspec import Raw

from divelog.history.folding import fold
from divelog.journal.events import Event
from divelog.physics.battery_chemistry import FACTS, Chemistry
from divelog.session.spent import BY_TIME, COUNTED, PUT_BACK, REST_VOLTS, Kit, PackFacts, spent
from divelog.session.telemetry import covered

LITHIUM = Kit({"D2": PackFacts(Chemistry.LITHIUM_POLYMER, 2, 5 * 3600.0)}, cruise=3.2)


def at(text: str) -> datetime:
    return datetime.fromisoformat(f"2032-05-{text}:00+00:00")


def log(*lines: tuple[str, str, dict[str, Any]]) -> list[Event]:
    events = []
    run = None
    for n, (what, when, data) in enumerate(lines):
        boat = data.pop("boat", "tansy")
        raw = Raw(msgspec.json.encode(data))
        if what == "run.started":
            run = f"e{n}"
        carries = run if what in ("run.ended", "check.answered", "measured") and run else None
        events.append(Event(id=f"e{n}", what=what, when=at(when), data=raw, boat=boat, run=carries))
    return events


def first(events: list[Event], kit: Kit = LITHIUM):
    history = fold(events)
    return spent(history.runs[0], history, events, kit)


def full(when: str, charge: float | None = None, u95: float | None = None) -> tuple[str, str, dict[str, Any]]:
    data: dict[str, Any] = {"pack": "D2", "to": "full"}
    if charge is not None:
        data["charge"] = {"si": charge, "u95": u95}
    return ("charged", when, data)


def run(start: str, end: str, boat: str = "tansy") -> list[tuple[str, str, dict[str, Any]]]:
    return [
        ("run.started", start, {"pack": "D2", "boat": boat}),
        ("run.ended", end, {"pack": "D2", "boat": boat}),
    ]


def test_what_the_charger_put_back_times_the_pack_s_efficiency():
    found = first(log(full("01T18:00"), *run("02T09:00", "02T09:42"), full("02T18:00", 7920)))
    efficiency = FACTS[Chemistry.LITHIUM_POLYMER].charge_efficiency
    assert found is not None
    assert found.si == pytest.approx(7920 * efficiency)
    assert found.how == PUT_BACK
    assert found.u95 / found.si == pytest.approx(
        (0.10**2 + (FACTS[Chemistry.LITHIUM_POLYMER].charge_efficiency_u95 / efficiency) ** 2) ** 0.5
    )


def test_two_runs_between_two_charges_share_it_by_minutes_over_all_boats():
    lines = [
        full("01T18:00"),
        *run("02T09:00", "02T09:20"),
        *run("02T10:00", "02T10:40", "bulrush"),
        full("02T18:00", 6000),
    ]
    found = first(log(*lines))
    assert found is not None
    assert found.si == pytest.approx(6000 * FACTS[Chemistry.LITHIUM_POLYMER].charge_efficiency / 3)
    assert found.how == f"{PUT_BACK}, shared by minutes over 2 runs"


@pytest.mark.parametrize(
    "lines",
    [
        run("02T09:00", "02T09:42"),
        [*run("02T09:00", "02T09:42"), full("02T18:00", 7920)],  # nobody knows that it was full before
        [full("01T18:00"), *run("02T09:00", "02T09:42")],
        [
            ("charged", "01T18:00", {"pack": "D2", "to": "storage"}),
            *run("02T09:00", "02T09:42"),
            full("02T18:00", 7920),
        ],
        [full("01T18:00"), *run("02T09:00", "02T09:42"), full("02T18:00")],
    ],
)
def test_minutes_times_current_where_nothing_better_is_known(lines):
    found = first(log(*lines))
    assert found is not None
    assert (found.how, found.si) == (BY_TIME, pytest.approx(42 * 60 * 3.2))
    assert found.u95 == pytest.approx(0.5 * found.si)


def rest(when: str, volts: float) -> tuple[str, str, dict[str, Any]]:
    limit = {"key": "battery.rest_voltage", "item": "D2"}
    return ("check.answered", when, {"line": "volts", "limit": limit, "value": {"si": volts, "u95": 0.04}})


def test_rest_volts_before_and_after():
    before = rest("02T08:50", 8.31)
    lines = [*run("02T09:00", "02T09:42"), rest("02T09:55", 7.70)]
    events = log(before, *lines)
    found = first(events)
    assert found is not None
    assert found.how == REST_VOLTS
    assert 0.2 * 18000 < found.si < 0.8 * 18000
    assert found.u95 == pytest.approx(0.30 * 18000)  # lithium of 4.20 V: 30 % of the capacity
    fuller = [rest("02T08:50", 7.70), *run("02T09:00", "02T09:42"), rest("02T09:55", 8.31)]
    assert first(log(*fuller)).how == BY_TIME  # fuller after than before: the volts say nothing


def test_nothing_is_made_up():
    lines = run("02T09:00", "02T09:42")
    assert first(log(*lines), Kit({}, None)) is None
    assert first(log(*lines[:1])) is None
    assert first(log(("run.started", "02T09:00", {}), ("run.ended", "02T09:30", {}))) is None


def counted(charge: float, covers: float) -> tuple[str, str, dict[str, Any]]:
    conditions = {"covers": covers}
    return (
        "measured",
        "02T20:00",
        {"path": "run.charge_used", "value": {"si": charge, "u95": 60.0}, "conditions": conditions},
    )


def test_what_her_sensor_counted_stands_before_minutes_times_current():
    # 6 % and 40 mA over the time: a counter that was not zeroed (battery_log, assumed there).
    found = first(log(*run("02T09:00", "02T09:42"), counted(7000.0, 2500.0)))
    assert found is not None
    assert (found.how, found.si) == (COUNTED, 7000.0)
    assert found.u95 == pytest.approx(0.06 * 7000.0 + 0.040 * 2500.0)


def test_what_the_charger_put_back_stands_before_the_count():
    lines = [full("01T18:00"), *run("02T09:00", "02T09:42"), full("02T18:00", 7920), counted(7000.0, 2520.0)]
    found = first(log(*lines))
    assert found is not None
    assert found.how == PUT_BACK


@pytest.mark.parametrize(("covers", "how"), [(2300.0, COUNTED), (2000.0, BY_TIME)])
def test_a_file_that_covers_only_part_of_the_run_counts_for_nothing(covers, how):
    found = first(log(*run("02T09:00", "02T09:42"), counted(7000.0, covers)))
    assert found is not None
    assert found.how == how


@pytest.mark.parametrize(
    ("start", "end", "gaps", "seconds"),
    [
        (0, 2520, 0, 2520),
        (-2000, 1260, 0, 1260),
        (1260, 9000, 0, 1260),
        (0, 2520, 400, 2120),
        (3000, 5000, 0, 0),
    ],
)
def test_what_a_file_covers_is_what_it_shares_with_the_run(start, end, gaps, seconds):
    found = SimpleNamespace(start=float(start), end=float(end), gap_total=float(gaps))
    assert covered(found, SimpleNamespace(minutes=42.0)) == seconds
    assert covered(found, SimpleNamespace(minutes=None)) is None
