"""What people and places do to her, and where each way shows first."""

from __future__ import annotations

from ballast_and_trim import happened
from signs import Told, asked, bench, case, defects, proofs, prove
from walking import document, sample_text

from divelog.checks import walk as walking
from divelog.checks.entry import RefusedError
from divelog.checks.launch import call
from divelog.limits.registry import KEYS


@case(55)
def an_interruption(sick: bool) -> Told:
    """Closing up, somebody asks what that is: for a quarter of an hour, or for three minutes."""
    made = bench()
    walk = made.walk("before-dive", until="press")
    walk = made.save(*walking.pause(walk, made.around()))
    made.wait(minutes=15 if sick else 3)
    walk = made.save(*walking.carry_on(walk, made.around()))
    now = walking.asked_now(walk, made.around())
    assert now is not None
    first = "faces" if now[0].id == "faces" else "nothing"
    return {**proofs(made, "faces", "start_state"), "asked next": first}


@case(56)
def dropped(sick: bool) -> Told:
    made = bench()
    prove(made, "dry_short", "directions")
    happened(made, *(("knocked", "dropped") if sick else ("nothing",)))
    return proofs(made, "dry_short", "directions")


@case(57)
def no_name_inside(sick: bool) -> Told:
    """Nobody wrote it down: her file says so. It is not there: the evening before asks for it."""
    text = sample_text("tansy").replace("owner_inside = true\n", "" if sick else "owner_inside = true\n")
    faults = [one.path for one in document(text).faults]
    told = {"her file": faults[0] if faults else "nothing"}
    made = bench("tansy", ("owner_inside = true", f"owner_inside = {'false' if sick else 'true'}"))
    asks = made.asked(made.begin("evening-before"))
    return {**told, "evening-before/name-inside": "asked" if "name-inside" in asks else "not asked"}


@case(59)
def weed(sick: bool) -> Told:
    """The pond is written down as weedy from June to September: July or May."""
    made = bench(day=False)
    if sick:
        made.wait(days=70)
    made.day()
    found = KEYS["recovery.time_to_surface"](made.session.sheet(asked(made)))[0]
    said = any("weed month" in caution for caution in found.cautions)
    return {"caution recovery.time_to_surface": "weed" if said else "nothing"}


@case(60)
def a_known_defect(sick: bool) -> Told:
    made = bench()
    opened = made.keep("defect.opened", {"defect": "slack rod", "stops_launch": True})
    if not sick:
        made.keep("defect.closed", {"of": opened.id, "check": "bench"})
    walk = made.walk("before-dive")
    try:
        call(walk, made.around())
    except RefusedError:
        return {**defects(made), "call": "refused"}
    return {**defects(made), "call": "done"}
