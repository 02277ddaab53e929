"""What turns, moves and senses, how it fails her, and where each way shows first."""

from __future__ import annotations

from signs import Told, bench, case, defects, due, line, no_load, outing, past, serviced

from divelog.history.folding import fold


@case(48)
def line_round_the_shaft(sick: bool) -> Told:
    made = bench(day=False)
    told = no_load(made, 0.85 if sick else 0.62)
    line(made, "after-run/shaft", "line" if sick else "clear", run=made.run())
    noted = [one.words for one in fold(made.events).open_defects("tansy")]
    return {**told, "noted": noted[0] if noted else "nothing"}


@case(49)
def a_propeller_unscrews(sick: bool) -> Told:
    made = bench(day=False)
    serviced(made, 20, "coupling")
    if sick:
        for day in (9, 7, 5, 4, 3):
            with past(made, days=day):
                outing(made, 75)
    made.day()
    return due(made, "coupling")


@case(50)
def a_coupling_slips(sick: bool) -> Told:
    made = bench("bulrush")
    return {**line(made, "evening-before/coupling", "slips" if sick else "engaged and free"), **defects(made)}


@case(51)
def a_linkage_off(sick: bool) -> Told:
    made = bench("juniper")
    told = line(made, "bench/links", "home", "not home" if sick else "home", "home")
    told |= defects(made)
    return {**told, **line(made, "before-dive/surfaces", "right", "still" if sick else "right", "right")}


@case(52)
def a_drowned_servo(sick: bool) -> Told:
    made = bench()
    serviced(made, 400 if sick else 20, "servos")
    return {**line(made, "bench/cross-rise", "still" if sick else "right"), **due(made, "servos")}


@case(53)
def a_keeper_the_wrong_way(sick: bool) -> Told:
    return line(bench("juniper"), "before-dive/keeper", "dives" if sick else "rises")


@case(54)
def a_gauge_that_lies(sick: bool) -> Told:
    return line(bench("juniper"), "before-dive/depth-zero", "14" if sick else "1")
