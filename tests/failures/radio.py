"""How the signal is lost, or does the wrong thing, and where each shows first."""

from __future__ import annotations

from typing import Any

import worked
from ballast_and_trim import happened
from signs import (
    Told,
    at_launch,
    bench,
    case,
    defects,
    due,
    glance,
    keel,
    line,
    outing,
    past,
    proofs,
    prove,
    serviced,
    view,
    wear,
)

from divelog.checks import walk as walking


@case(29)
def a_tip_under_water(sick: bool) -> Told:
    plan: dict[str, Any] = {"today__plan[bulrush]__depth": "0.7 m" if sick else "0.1 m"}
    told = keel(worked.sheet("bulrush", **plan))
    return {**told, **line(bench("bulrush"), "before-dive/tip", "20" if sick else "150")}


@case(30)
def a_poor_aerial(sick: bool) -> Told:
    made = bench(day=False)
    for day in range(8, 0, -1):
        with past(made, days=day):
            paces = 60.0 - (3 * (8 - day) if sick else day % 2)
            limit = {"key": "radio.check_distance", "low": 44.0}
            made.keep(
                "check.answered",
                {"list": "before-dive", "line": "paces", "value": {"si": paces}, "limit": limit},
            )
            outing(made, 30)
    made.day()
    told = line(made, "before-dive/paces", "36" if sick else "60")
    return {**told, **wear(made, "radio.check_paces")}


@case(31)
def a_failsafe_lost_at_binding(sick: bool) -> Told:
    made = bench()
    prove(made, "failsafe_bench", "failsafe_wet", "range")
    happened(made, *(("radio changed", "bound") if sick else ("nothing",)))
    return proofs(made, "failsafe_bench", "failsafe_wet", "range")


@case(32)
def a_failsafe_that_drives_her(sick: bool) -> Told:
    """The throttle does not stop: first seen ashore with the set off, then by a real trip that the log keeps."""
    made = bench()
    told = line(made, "before-dive/signal-off", "wrong" if sick else "right", "right", "right", "right")
    channels = {"throttle": not sick, "stern_planes": True, "ballast": True}
    made.keep(
        "failsafe.tripped", {"trigger": "signal lost", "real": True, "channels": channels}, run=made.run()
    )
    return {**told, **defects(made)}


@case(33)
def another_memory(sick: bool) -> Told:
    return line(bench(), "before-dive/name", "BULRUSH" if sick else "TANSY")


@case(34)
def a_control_the_wrong_way(sick: bool) -> Told:
    return line(bench(), "before-dive/surfaces", "right", "wrong" if sick else "right", "right")


@case(35)
def left_at_reduced_power(sick: bool) -> Told:
    return line(bench(), "before-dive/full-power", "reduced" if sick else "full")


@case(36)
def two_on_a_channel(sick: bool) -> Told:
    """An older set without memories, at a pond with a board: her peg is asked for."""
    made = bench("juniper")
    walk = made.walk("before-dive", until="peg")
    if sick:
        walk = made.save(*walking.skip(walk, made.around(), "board is not out"))
    else:
        walk = made.answer(walk, "")
    return at_launch(glance(made, walk), "peg")


@case(37)
def noise_of_the_pump(sick: bool) -> Told:
    made = bench(day=False)
    serviced(made, 400 if sick else 20, "brushes")
    for day in (3, 2, 1):
        with past(made, days=day):
            run = made.keep("run.started", {"pack": "D2", "transmitter": "tx-a"}).id
            made.clock.advance(600)
            if sick:
                made.keep("signal", {"kind": "drop", "motor_on": True, "pump_on": True}, run=run)
            made.keep("run.ended", {"pack": "D2", "shaft_time": 600.0}, run=run)
    made.day()
    rows = view(made, "faults_with_motor_or_pump")
    faults = {on: sum(row["faults"] for row in rows if row["pump"] == on) for on in ("on", "off")}
    told = {
        "view faults_with_motor_or_pump": "worse with the pump on"
        if faults["on"] > faults["off"]
        else "nothing"
    }
    return {**told, **due(made, "brushes")}


@case(38)
def old_cells_in_the_set(sick: bool) -> Told:
    made = bench()
    told = line(made, "evening-before/set-cells", "mixed" if sick else "one set")
    told |= defects(made)
    prove(made, "range")
    happened(made, *(("radio changed", "transmitter cells") if sick else ("nothing",)))
    return {**told, **proofs(made, "range")}


@case(39)
def one_set_in_two_boats(sick: bool) -> Told:
    """Two boats, two receivers, two packs, one set: what is common to every drop is the set."""
    made = bench(day=False)
    for day, slug in ((4, "tansy"), (3, "bulrush"), (2, "tansy"), (1, "bulrush")):
        with past(made, days=day):
            started = {"pack": "D2" if slug == "tansy" else "P1", "transmitter": "tx-a"}
            run = made.keep("run.started", started, boat=slug).id
            made.clock.advance(600)
            if sick:
                made.keep("signal", {"kind": "drop", "distance": {"si": 12.0}}, run=run, boat=slug)
            made.keep("run.ended", {**started, "shaft_time": 600.0}, run=run, boat=slug)
    made.day()
    rows = {
        (row["kind"], row["name"]): row["with_fault"]
        for row in view(made, "faults_follow", "tansy", "bulrush")
    }
    both = rows.get(("boat", "tansy"), 0) and rows.get(("boat", "bulrush"), 0)
    whole = rows.get(("transmitter", "tx-a")) == 4
    return {"view faults_follow": "tx-a in two boats" if both and whole else "nothing"}
