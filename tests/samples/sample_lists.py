"""The other lists, shorter: the evening before, leak test, tank trim, bench, laying up; and what is done between."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from sample_crew import Boat
from sample_log import Log, ampere_hours, amperes, celsius, grams, metres, millimetres, millivolts, num, volts
from sample_walks import Walk

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
    terminals: bool = False, lamps: bool = False,
) -> None:  # fmt: skip
    """The evening before, on its printed sheet: terminals, joints, lamps; what teaches something is typed in."""
    log.wait(2)
    walk = Walk(log, boat, "evening-before", "look-and-grease", paper=True)
    if terminals:
        walk.line("terminals")
        serviced(log, boat, "terminals", "contact film")
    if clear is not None:
        walk.line("mast-clear", None, value=millimetres(clear), limit="mast-clear")
    if drops is not None:
        read_drops(walk, drops)
    if boat.at("controls.links") == "magnetic":
        walk.each("links", boat.at("controls.linkages"), "home")
    if lamps:
        walk.each("lamps", ["green to starboard", "red to port", "white aft"], "right")
    if load is not None:
        walk.line("load-volts", None, value=volts(load), limit="load")


def read_drops(walk: Walk, drops: Drops) -> None:
    """Millivolts at each joint under the test load; `joints` is proved where none is left out."""
    boat = walk.boat
    whole = list(drops) == boat.at("power.joints")
    current = float(str(boat.at("power.test_load")).split()[0])
    rows = [{"member": joint, "answer": f"{one:g} mV"} for joint, one in drops.items()]
    walk.line("drop", rows, verdict="within", gives=["joints"] if whole else [], took=95.0)
    for joint, one in drops.items():
        data = {
            "path": "joint.drop",
            "item": joint,
            "value": millivolts(one),
            "conditions": {"current": current},
        }
        walk.put("measured", data | {"method": "evening-before/drop"})


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


def bench(log: Log, boat: Boat, least: float, *, failsafe_fault: str | None = None) -> str:
    """Refit at the bench, on its printed sheet: least volts at the receiver, and the failsafe; returns its trip."""
    walk = Walk(log, boat, "bench", "power-and-feel", paper=True)
    walk.line("receiver-volts", None, value=volts(least), limit="supply", gives=["supply"])
    rows = [{"member": one, "answer": "wrong" if one == failsafe_fault else "right"} for one in boat.channels]
    if failsafe_fault is None:
        walk.line("signal-off", rows, verdict="within", took=60.0)
    else:
        walk.line("signal-off", rows, verdict="outside", fails=["failsafe_bench"], took=60.0)
    channels = {one: one != failsafe_fault for one in boat.channels}
    tripped = walk.put("failsafe.tripped", {"trigger": "signal lost", "real": False, "channels": channels})
    if failsafe_fault is None:
        walk.line("control-back", "in 5 s, no lurch", verdict="within", gives=["failsafe_bench"])
    return tripped


def leak_test(
    log: Log, boat: Boat, fall: float, *, string: tuple[float, float] | None = None, ten: bool = False
) -> None:
    """Held at the mark, then in the tank: to a depth on a string, or ten minutes; opened and dry."""
    walk = Walk(log, boat, "leak-test", "hold", paper=True)
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
        _ten_minutes(walk)


def _ten_minutes(walk: Walk) -> None:
    walk.line(
        "ten-minutes", "bone dry", value=num(0.0, 0.0, "bone dry"), limit="water", gives=["look"], took=700.0
    )


def tank_trim(
    log: Log, boat: Boat, *, water: float, balance: float, balance_u95: float, up: float,
    out: int = 0, ten: bool = True, full: bool = False,
) -> None:  # fmt: skip
    """Afloat, then dived: what she floats and sinks with, and whether she comes up by herself."""
    walk = Walk(log, boat, "tank-trim", "afloat", paper=not full)
    if full:
        walk.line("water", None, value=celsius(water), more=True)
        walk.line("water", "fresh")
        walk.line("packs")
        walk.line("bubbles", took=60.0)
    if full:
        walk.line("waterline", None, value=millimetres(0.0, 2.0), verdict="within")
    walk.line("dived-balance", None, value=grams(balance, balance_u95), limit="balance", took=260.0)
    if full and out:
        walk.line("residual", None, value=millimetres(out, 2.0), limit="residual")
    walk.line("dived-pitch", None, value=num(0.0087, 0.0087, "0.5 deg"), verdict="within", gives=["trim"])
    walk.line(
        "comes-up", None, value=num(up, 1.0, f"{up:g} s", "stopwatch"), limit="up", gives=["failsafe_wet"]
    )
    if ten:
        _ten_minutes(walk)
    if full:
        walk.line("map")
    walk.end(left="righting and the emergency were done in March", phase="dived")


def lay_up(log: Log, boat: Boat, full: bool) -> None:
    """Laid up for the winter."""
    walk = Walk(log, boat, "storage", "storage", paper=not full)
    if full:
        rows = [{"member": pack, "answer": "7.66 V"} for pack in boat.at("power.drive_packs")]
        walk.line("packs-out", [*rows, {"member": boat.at("power.receiver_pack"), "answer": "6.4 V"}])
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
    stored = {"packs": "out, at storage state", "rings": "off", "vents": "open"}
    log.put("stored", stored, boat.slug)
