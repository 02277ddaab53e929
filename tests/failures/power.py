"""How power fails her, and where each way shows first."""

from __future__ import annotations

import worked
from signs import Told, asked, bench, case, defects, line, outing, past, verdict, wear
from walking import Bench

from divelog.profiles.document import Basis, Num


def measured(made: Bench, path: str, item: str, *values: float) -> None:
    """Readings of one thing, one a day up to yesterday, with an hour's run after each."""
    for place, value in enumerate(values):
        with past(made, days=len(values) - place):
            data = {"path": path, "item": item, "conditions": {"current": {"si": 5.0}}}
            made.keep("measured", {**data, "value": {"si": value, "u95": 0.001 * value}})
            outing(made, 60)


@case(40)
def a_flat_receiver_pack(sick: bool) -> Told:
    """Charged last week and run for hours since, or charged last night."""
    made = bench(day=False)
    with past(made, days=6 if sick else 1):
        made.keep("charged", {"pack": "R1", "to": "full", "charge": {"si": 3600.0, "u95": 180.0}}, boat=None)
    if sick:
        for day in (5, 4, 3, 2):
            with past(made, days=day):
                outing(made, 75)
    made.day()
    return verdict(made.session.sheet(asked(made)), "battery.endurance", "R1")


@case(41)
def a_pack_that_sags(sick: bool) -> Told:
    made = bench(day=False)
    ohms = (0.014, 0.0145, 0.014, 0.0148, 0.0142, 0.0150)
    measured(made, "pack.resistance", "D2", *(o * (1 + 0.25 * n if sick else 1) for n, o in enumerate(ohms)))
    with past(made, hours=12):
        made.keep("charged", {"pack": "D2", "to": "full", "charge": {"si": 7920.0, "u95": 360.0}}, boat=None)
    made.day()
    told = line(made, "evening-before/load-volts", "7.10" if sick else "8.32")
    return {**told, **wear(made, "pack.resistance:D2")}


@case(42)
def a_supply_that_dips(sick: bool) -> Told:
    return line(bench(), "bench/receiver-volts", "4.7" if sick else "5.4")


@case(43)
def a_hot_regulator(sick: bool) -> Told:
    return line(bench(), "bench/heat", "96" if sick else "41")


@case(44)
def green_terminals(sick: bool) -> Told:
    made = bench(day=False)
    measured(made, "joint.drop", "motor", *(0.012 + (0.003 * n if sick else 0.0) for n in range(7)))
    made.day()
    told = line(made, "evening-before/drop", "5", "5", "5", "62" if sick else "12")
    told |= line(made, "evening-before/corrosion", *(("yes", "the switch") if sick else ("none",)))
    return {**told, **defects(made), **wear(made, "joint.drop:motor")}


@case(46)
def a_tired_fuse(sick: bool) -> Told:
    """Read at the fuse alone: every other joint is sound."""
    found = {("terminals.drop", "fuse"): Num(0.071 if sick else 0.006, 0.001, Basis.MEASURED)}
    told = verdict(worked.sheet("tansy", readings=found), "terminals.drop", "fuse")
    return {**told, **line(bench(), "evening-before/drop", "5", "5", "71" if sick else "6", "5")}


@case(47)
def a_hurt_lithium_pack(sick: bool) -> Told:
    """One cell lags behind, and the whole rests low."""
    found = {("battery.spread", "D2"): Num(0.09 if sick else 0.005, 0.002, Basis.MEASURED)}
    told = verdict(worked.sheet("tansy", readings=found), "battery.spread", "D2")
    made = bench(day=False)
    made.keep("charged", {"pack": "D2", "to": "full", "charge": {"si": 7920.0, "u95": 360.0}}, boat=None)
    made.wait(hours=1)
    made.day()
    return {**told, **line(made, "before-dive/pack-volts", "7.92" if sick else "8.45")}
