"""What ballast, gas, lead and water do to her, and where each shows first."""

from __future__ import annotations

from signs import (
    Told,
    asked,
    bench,
    case,
    defects,
    due,
    keel,
    limit,
    line,
    outing,
    past,
    proofs,
    prove,
    serviced,
    verdict,
    view,
    wear,
)
from walking import Bench

from divelog.limits.model import Observed, ProofView
from divelog.limits.registry import KEYS
from divelog.limits.sheet import Sheet


def happened(made: Bench, *said: str) -> None:
    """Answer the first question of the list before a dive."""
    walk = made.begin("before-dive")
    for answer in said:
        walk = made.answer(walk, answer)
    if said != ("nothing",):
        made.answer(walk, "nothing")


def plan(made: Bench) -> None:
    """The plan of the day, with what the limits say of her trim in this water."""
    change = KEYS["buoyancy.trim_change"](made.session.sheet(asked(made)))[0]
    balance = made.around().number("boat.dived_balance")
    assert balance is not None
    made.keep("plan.set", {"pack": "D2", "trim_shift": change.value, "dived_balance": balance.si})


@case(16)
def a_pump_grows_slower(sick: bool) -> Told:
    made = bench(day=False)
    for day in range(8, 0, -1):
        with past(made, days=day):
            seconds = 38.0 + (8 - day if sick else 0.2 * (day % 2))
            data = {
                "path": "ballast.fill_time",
                "method": "before-dive/cycle",
                "conditions": {"volts": {"si": 7.6}},
            }
            made.keep("measured", {**data, "value": {"si": seconds, "u95": 0.3}})
            outing(made, 40, cycles=6)
    made.day()
    found = line(made, "before-dive/cycle", "48" if sick else "38.2", "35")
    return {**found, **wear(made, "ballast.fill_time")}


@case(17)
def a_piston_jams(sick: bool) -> Told:
    made = bench(day=False)
    serviced(made, 20, "ballast")
    if sick:
        for day in range(14, 2, -1):
            with past(made, days=day):
                outing(made, 60)
    made.day()
    return {**line(made, "tank-trim/cycle", "38", "58" if sick else "35", ""), **due(made, "ballast")}


@case(18)
def a_vent_stands_open(sick: bool) -> Told:
    made = bench("bulrush")
    serviced(made, 200 if sick else 20, "linkages")
    told = line(made, "before-dive/cycle", "46", "80" if sick else "54")
    told |= line(made, "bench/ballast-way", "wrong" if sick else "right")
    return {**told, **defects(made), **due(made, "linkages")}


@case(19)
def a_weeping_valve(sick: bool) -> Told:
    """Two weighings with no run between them."""
    made = bench("juniper", day=False)
    for day, grams in ((12, 150.0), (2, 128.0 if sick else 150.0)):
        with past(made, days=day):
            made.keep(
                "measured",
                {"path": "bottle.weighed", "item": "G1", "value": {"si": grams / 1e3, "u95": 1e-4}},
            )
    made.day()
    idle = [row["g_per_day_idle"] for row in view(made, "gas_by_cycle")]
    told = {"view gas_by_cycle": "loses gas idle" if any(rate and rate > 0.2 for rate in idle) else "nothing"}
    return {**told, **line(made, "before-dive/gas", "118" if sick else "150")}


@case(20)
def the_gas_runs_out(sick: bool) -> Told:
    """After so many blows the bottle is weighed again: two are kept for coming up."""
    made = bench("juniper")
    weighed = 150.0 - 8.2 * (5 if sick else 1)
    made.keep(
        "measured", {"path": "bottle.weighed", "item": "G1", "value": {"si": weighed / 1e3, "u95": 1e-4}}
    )
    found = KEYS["ballast.cycles"](made.session.sheet(asked(made)))[0]
    return {"ballast.cycles": found.verdict.value}


@case(21)
def cold_gas(sick: bool) -> Told:
    """Isobutane just above freezing has little more than the water over the tank."""
    made = bench("juniper", day=False)
    water = {"si": 273.65 if sick else 293.15, "u95": 0.5}
    day = {"site": "withy-pond", "water": "fresh", "temperature": water, "clarity": {"si": 6.0, "u95": 0.1}}
    made.keep("day.opened", day, boat=None)
    made.keep("plan.set", {"pack": "D1", "depth": {"si": 0.7, "u95": 0.05}})
    stands = {
        name: ProofView(True, since="2032-05-04") for name in ("dry_long", "trim", "look", "failsafe_bench")
    }
    sheet = Sheet(
        made.session.facts(asked(made)), Observed(proofs=stands, dry_depth=1.5), at=made.clock.now()
    )
    return keel(sheet)


@case(22)
def other_water(sick: bool) -> Told:
    balance = (
        'dived_balance = "21 g ± 4 g"            # upward',
        'dived_balance = "38 g ± 4 g"            # upward',
    )
    made = bench("tansy", balance)
    prove(made, "trim")
    if sick:
        salt = {"si": 0.012, "u95": 0.0005}
        day = {
            "site": "sluice-basin",
            "water": "brackish",
            "temperature": {"si": 285.15, "u95": 0.5},
            "salinity": salt,
        }
        made.keep("day.opened", day, boat=None)
    plan(made)
    return {**verdict(made.session.sheet(asked(made)), "buoyancy.dived"), **proofs(made, "trim")}


@case(23)
def a_new_part(sick: bool) -> Told:
    made = bench()
    prove(made, "trim", "failsafe_wet")
    happened(made, *(("fitted", "something else", "40") if sick else ("nothing",)))
    return proofs(made, "trim", "failsafe_wet")


@case(24)
def wandering_air(sick: bool) -> Told:
    return line(bench(), "tank-trim/dived-pitch", "4" if sick else "0.3")


@case(25)
def loose_lead(sick: bool) -> Told:
    made = bench()
    prove(made, "trim")
    happened(made, *(("lead moved", "moved within her", "12") if sick else ("nothing",)))
    told = proofs(made, "trim")
    return {**told, **line(made, "tank-trim/list", "2.5" if sick else "0.2")}


@case(26)
def foam_that_drinks(sick: bool) -> Told:
    return line(bench(), "before-dive/residual", "4" if sick else "24")


@case(27)
def no_way_up(sick: bool) -> Told:
    made = bench()
    told = line(made, "tank-trim/dived-balance", "1" if sick else "35")
    return {**told, **line(made, "tank-trim/comes-up", "140" if sick else "14")}


@case(28)
def a_failsafe_too_short(sick: bool) -> Told:
    name = "boat.failsafe[signal lost].hold"
    return limit("tansy", "ballast.empty_time", "at depth", **{name: "40 s" if sick else "90 s"})
