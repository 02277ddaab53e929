"""How water gets in, and where each way shows first."""

from __future__ import annotations

import worked
from signs import (
    Told,
    asked,
    at_launch,
    bench,
    case,
    defects,
    due,
    glance,
    limit,
    line,
    no_load,
    outing,
    past,
    proofs,
    prove,
    reply,
    serviced,
    verdict,
)
from walking import document, sample_text

from divelog.checks import walk as walking
from divelog.limits.registry import KEYS
from divelog.limits.sheet import Sheet
from divelog.profiles.facts import Facts

ROD = """
[[seal]]
id = "rod"
where = "rudder rod, aft cap"
kind = "bellows"
moves = true
rubber = "silicone"
fitted = {fitted}

[ballast]
"""
SNORT = (
    ('kind = "piston"', 'kind = "snort_blower"'),
    ("inside_cylinder = true", "inside_cylinder = false"),
)


@case(1)
def more_each_run(sick: bool) -> Told:
    made = bench(day=False)
    with past(made, days=3):
        prove(made, "dry_long", "look")
    made.day()
    prove(made, "dry_short")
    found = ("a teaspoon", "aft", "through the window") if sick else ("bone dry", "through the window")
    told = line(made, "after-run/water", *found, run=made.run())
    return {**told, **defects(made), **proofs(made, "dry_short", "dry_long", "look")}


@case(2)
def hair_across_a_ring(sick: bool) -> Told:
    made = bench()
    told = line(made, "before-dive/press", "20", "18.6" if sick else "20")
    walk = made.walk("before-dive", until="faces")
    if sick:
        walk = made.save(*walking.skip(walk, made.around(), "rain"))
    else:
        walk = made.answer(walk, "")
    return {**told, **at_launch(glance(made, walk), "seal faces")}


@case(3)
def a_flat_ring(sick: bool) -> Told:
    fitted = "2030-02-11" if sick else "2032-03-01"
    return due(bench("tansy", ("fitted = 2032-03-01", f"fitted = {fitted}")), "seal.aft_cap")


@case(4)
def grease_that_swells(sick: bool) -> Told:
    rubber = "silicone" if sick else "nitrile"
    ring = f'rubber = "{rubber}"\ngrease = "silicone"\nfitted = 2032-03-01'
    made = bench("tansy", ('rubber = "nitrile"\nfitted = 2032-03-01', ring))
    found = KEYS["seals.gland"](made.session.sheet(asked(made)))
    cautions = [caution for one in found for caution in one.cautions]
    return {"caution seals.gland": "swells" if any("swells" in c for c in cautions) else "nothing"}


@case(5)
def a_dry_shaft(sick: bool) -> Told:
    made = bench(day=False)
    serviced(made, 20, "shaft_grease")
    if sick:
        for day in (15, 12, 9, 6):
            with past(made, days=day):
                outing(made, 75)
    return {**no_load(made, 0.82 if sick else 0.62), **due(made, "shaft_grease")}


@case(6)
def beside_the_tube(sick: bool) -> Told:
    return line(bench(), "leak-test/hold", "20", "18.2" if sick else "20")


@case(7)
def a_split_bellows(sick: bool) -> Told:
    rod = ROD.format(fitted="2031-02-01" if sick else "2032-03-01")
    made = bench("tansy", ("\n[ballast]\n", rod))
    return {
        **line(made, "leak-test/beads", "none", "none", "beads" if sick else "none"),
        **due(made, "seal.rod"),
    }


@case(8)
def a_port_left_loose(sick: bool) -> Told:
    return line(bench(), "before-dive/count", "3" if sick else "4")


@case(9)
def a_hatch_not_latched(sick: bool) -> Told:
    made = bench()
    walk = made.walk("before-dive", until="catch")
    if sick:
        walk = made.save(*walking.skip(walk, made.around(), "in a hurry"))
    else:
        walk = made.answer(walk, "")
    told = at_launch(glance(made, walk), "catch")
    return {**told, **line(made, "tank-trim/waterline", "-9" if sick else "1")}


@case(10)
def a_vacuum(sick: bool) -> Told:
    told = limit("tansy", "cylinder.pressure", today__closed__tansy="38 degC" if sick else "16 degC")
    return {**told, **line(bench(), "before-dive/start-state", "part full" if sick else "empty")}


@case(11)
def pressure_inside(sick: bool) -> Told:
    held = "friction" if sick else "screws"
    text = sample_text("bulrush").replace('held_by = "friction"', f'held_by = "{held}"')
    facts = worked.facts("bulrush")
    own = Facts(document(text), facts.kit, facts.site, facts.today, facts.settings, "bulrush")
    return verdict(Sheet(own, at=worked.AT), "cylinder.pressure")


@case(12)
def leak_or_sweat(sick: bool) -> Told:
    """The same 0.02 mL: more than air closed dry can give up in this water, less than air closed warm and damp can."""
    made = bench()
    closed, damp = (289.15, 0.40) if sick else (298.15, 0.90)
    air = {"temperature": {"si": closed, "u95": 1.0}, "humidity": {"si": damp, "u95": 0.02}}
    made.keep(
        "day.opened",
        {"site": "withy-pond", "water": "fresh", "temperature": {"si": 284.15}, "air": air},
        boat=None,
    )
    made.keep(
        "closed",
        {"which": ["aft cap"], "air_temperature": {"si": closed, "u95": 1.0}, "humidity": {"si": damp}},
    )
    return line(made, "after-run/water", "0.02 mL", "aft", "through the window", run=made.run())


@case(13)
def water_in_the_snort(sick: bool) -> Told:
    made = bench("tansy", *SNORT)
    serviced(made, 300 if sick else 20, "snort_valve")
    return {**line(made, "before-dive/cycle", "38", "70" if sick else "35"), **due(made, "snort_valve")}


@case(14)
def a_hose_off(sick: bool) -> Told:
    made = bench("juniper")
    serviced(made, 400 if sick else 20, "hoses")
    prove(made, "closed")
    made.keep("opened", {"which": ["fore cap"]})
    walk = made.begin("before-dive")
    walk = made.save(*walking.go(walk, made.around(), "leads"))
    if sick:
        walk = made.save(*walking.skip(walk, made.around(), "too dark to see"))
    else:
        walk = reply(made, walk, "leads", ("",))
    walk = made.save(*walking.go(walk, made.around(), "count"))
    walk = made.answer(walk, "5")
    return {**at_launch(glance(made, walk), "closures"), **due(made, "hoses")}


@case(15)
def a_fouled_valve(sick: bool) -> Told:
    made = bench("juniper")
    serviced(made, 300 if sick else 20, "valves")
    return {**line(made, "bench/ballast-air", "41" if sick else "24", "9"), **due(made, "valves")}
