"""The other lists, shorter: the evening before, leak test, tank trim, bench, laying up; and what is done between."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from sample_crew import Boat
from sample_log import Log, ampere_hours, amperes, celsius, grams, metres, millimetres, millivolts, num, volts
from sample_walks import Walk, each

SHEET = "the rest on the printed sheet"
Drops = Mapping[str, float]
"""Millivolts by joint."""


def charge(log: Log, pack: str, put_back: float, at_end: float, to: str = "full") -> str:
    """A charge, in the kit's journal: what went in, and the volts at the end."""
    log.wait(2)
    return log.put(
        "charged", {"pack": pack, "charge": ampere_hours(put_back), "volts": volts(at_end), "to": to}
    )


def pack_test(log: Log, pack: str, capacity: float, milliohms: float) -> None:
    """A capacity test on the charger, and the resistance by two loads."""
    log.wait(4)
    data = {"path": "pack.measured.capacity", "item": pack, "value": ampere_hours(capacity)}
    log.put("measured", data | {"method": "discharge on the charger"})
    ohms = num(milliohms / 1000, 0.15 * milliohms / 1000, f"{milliohms:g} mohm")
    log.put("measured", {"path": "pack.resistance", "item": pack, "value": ohms, "method": "two loads"})


def grease(
    log: Log, boat: Boat, millilitres: float, hours: float, consumable: str, seals: Sequence[str] = ()
) -> None:
    """The shaft seal greased, with the shaft hours it had run."""
    data: dict[str, object] = {
        "item": "shaft_grease",
        "consumable": f"{consumable}, {millilitres:g} mL",
        "hours_at": num(3600 * hours, 180.0, f"{hours:g} h"),
    }
    log.put("serviced", data | ({"seals": list(seals)} if seals else {}), boat.slug)


def serviced(log: Log, boat: Boat, item: str, consumable: str = "") -> str:
    """Any other service."""
    return log.put("serviced", {"item": item} | ({"consumable": consumable} if consumable else {}), boat.slug)


def fitted(log: Log, boat: Boat, part: str, item: str, old: str, new: str, **more: object) -> str:
    """A part renewed."""
    return log.put("fitted", {"part": part, "item": item, "old": old, "new": new} | more, boat.slug)


def evening(
    log: Log, boat: Boat, *, drops: Drops | None = None, load: float | None = None, clear: float | None = None,
    terminals: bool = False, lamps: bool = False, left: str | None = None,
) -> None:  # fmt: skip
    """The evening before: look, grease, clean, read the joints."""
    log.wait(2)
    walk = Walk(log, boat, "evening-before", "look-and-grease")
    if terminals:
        walk.line("terminals")
        serviced(log, boat, "terminals", "contact film")
    if clear is not None:
        walk.line("mast-clear", None, value=millimetres(clear), limit="mast-clear")
    if drops is not None:
        read_drops(walk, drops)
    if boat.at("controls.links") == "magnetic" and left is None:
        walk.line("links", each(boat.at("controls.linkages"), "home"))
    if lamps:
        walk.line("lamps", each(["green to starboard", "red to port", "white aft"], "right"))
    if load is not None:
        walk.line("load-volts", None, value=volts(load), limit="load")
    walk.end(left=left or SHEET)


def read_drops(walk: Walk, drops: Drops) -> None:
    """Millivolts at each joint under the test load; `joints` is proved where none is left out."""
    boat = walk.boat
    whole = list(drops) == boat.at("power.joints")
    answers = [{"member": joint, "answer": "read", "value": millivolts(one)} for joint, one in drops.items()]
    limit = {"key": "terminals.drop", "item": "", "low": None, "high": 0.05, "shown": "50 mV"}
    walk.log.clock.wait(95.0)
    data: dict[str, object] = {"list": walk.name, "line": "drop", "check": walk.check, "answer": answers}
    data |= {"limit": limit, "verdict": "within", "seconds": 95.0, "gives": ["joints"] if whole else []}
    walk.put("check.answered", data)


def no_load(
    log: Log, boat: Boat, readings: Sequence[tuple[float, float]], at_volts: float, warmth: float
) -> None:
    """Currents of the motor turning free, ahead and astern."""
    for ahead, astern in readings:
        log.wait(2)
        state = {"volts": at_volts, "temperature": round(warmth + 273.15, 2)}
        for way, value in (("ahead", ahead), ("astern", astern)):
            data = {"path": f"shaft.no_load.{way}", "value": amperes(value), "conditions": state}
            log.put("measured", data | {"method": "bench/no-load"}, boat.slug)


def bench(
    log: Log, boat: Boat, least: float, *, failsafe_fault: str | None = None, full: bool = False
) -> str | None:
    """Refit at the bench: least volts at the receiver, directions, failsafe; returns a trip that went wrong."""
    walk = Walk(log, boat, "bench", "power-and-feel")
    if full:
        walk.line("clear")
        walk.line("fuse")
    walk.line("receiver-volts", None, value=volts(least), limit="supply", gives=["supply"])
    if full:
        tail = (
            "x4"
            if boat.at("controls.tail_servos") == 4
            else "x2"
            if boat.at("controls.tail") == "x"
            else "cross"
        )
        for way in ("left", "right", "rise", "dive"):
            walk.line(f"{tail}-{way}", "right")
        walk.line("throttle-ahead", "right")
        walk.line("throttle-astern", "right", gives=["directions"])
    if failsafe_fault is None:
        walk.line(
            "signal-off", each([*boat.channels, "control back"], "right"), gives=["failsafe_bench"], took=60.0
        )
        walk.end(left=None if full else SHEET)
        return None
    answers = [
        {"member": one, "answer": "wrong" if one == failsafe_fault else "right"}
        for one in [*boat.channels, "control back"]
    ]
    walk.line("signal-off", answers, fails=["failsafe_bench"], took=60.0)
    channels = {one: one != failsafe_fault for one in boat.channels}
    wrong = walk.put("failsafe.tripped", {"trigger": "signal lost", "real": False, "channels": channels})
    walk.end(left=f"{failsafe_fault.replace('_', ' ')} went the wrong way")
    return wrong


def leak_test(
    log: Log, boat: Boat, fall: float, *, string: tuple[float, float] | None = None, ten: bool = False
) -> None:
    """Held at the mark, then in the tank: to a depth on a string, or ten minutes; opened and dry."""
    walk = Walk(log, boat, "leak-test", "hold")
    if "hold" in boat.limits:
        walk.line("steady", None, value=celsius(18.5, 0.2), took=40.0)
        reading = num(1000 * fall, 330.0, f"{fall:g} kPa", "pressure gauge")
        walk.line("hold", None, value=reading, limit="hold", took=1500.0)
        walk.line(
            "low", None, value=num(100.0, 290.0, "0.1 kPa"), limit="hold", gives=["dry_long"], took=700.0
        )
    if string is not None:
        depth, u95 = string
        walk.line("string", None, value=metres(depth, u95), took=1850.0)
        dry = round(depth - u95, 3)
        walk.line(
            "open", "bone dry", value=num(0.0, 0.0, "bone dry"), limit="water", dry_depth=dry, took=120.0
        )
    if ten:
        walk.line("ten-minutes", "bone dry", gives=["look"], took=700.0)
    walk.end(left=SHEET if "hold" in boat.limits else "no time for the long dip")


def tank_trim(
    log: Log, boat: Boat, *, water: float, balance: float, balance_u95: float, up: float,
    out: int = 0, ten: bool = True, full: bool = False,
) -> None:  # fmt: skip
    """Afloat, then dived: what she floats and sinks with, and whether she comes up by herself."""
    walk = Walk(log, boat, "tank-trim", "afloat")
    if full:
        walk.line("water", "fresh", value=celsius(water))
        walk.line("packs")
        walk.line("bubbles", took=60.0)
    if full:
        walk.line("waterline", None, value=millimetres(0.0, 2.0))
    walk.line("dived-balance", None, value=grams(balance, balance_u95), limit="balance", took=260.0)
    if full and out:
        walk.line("residual", None, value=millimetres(out, 2.0), limit="residual")
    walk.line("dived-pitch", None, value=num(0.0087, 0.0087, "0.5 deg"), gives=["trim"])
    walk.line(
        "comes-up", None, value=num(up, 1.0, f"{up:g} s", "stopwatch"), limit="up", gives=["failsafe_wet"]
    )
    if ten:
        walk.line("ten-minutes", "bone dry", gives=["look"], took=700.0)
    if full:
        walk.line("map")
    walk.end(left=None if full else SHEET)


def lay_up(log: Log, boat: Boat, full: bool) -> None:
    """Laid up for the winter."""
    walk = Walk(log, boat, "storage", "storage")
    if full:
        walk.line("packs-out", "done")
        walk.line("rings")
        walk.line("vents")
        walk.line("shaft-turn")
        if boat.at("ballast.kind") == "gas":
            walk.line("gas")
        walk.line("desiccant")
        walk.line("set-cells")
        walk.line("cradle")
        walk.line("wrong", "nothing known")
        walk.end()
    else:
        walk.end(left=SHEET)
    stored = {"packs": "out, at storage state", "rings": "off", "vents": "open"}
    log.put("stored", stored, boat.slug)
