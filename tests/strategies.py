"""Strategies shared by the sweeps: whole boats with their kit, site, day and log, as TOML text read as a file is read.

Every kind of ballast, tail, hull, chemistry, band and water; sizes from a hand's breadth to a man's length; any field may
be missing or "unknown". Dimensions follow a boat's length, so that most are boats, and some are odd ones.
"""

from __future__ import annotations

import copy
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import Any

import tomli_w
from hypothesis import strategies as st

from divelog.limits.model import Observed, ProofView, Series
from divelog.limits.sheet import Sheet
from divelog.profiles import schema
from divelog.profiles.document import Basis, Document, Num
from divelog.profiles.facts import Facts, empty_document
from divelog.profiles.reading import read_document

AT = datetime.fromisoformat("2032-05-04T08:11:00+01:00")
Table = dict[str, Any]

BALLASTS = ("none", "piston", "pumped_tank", "pumped_bag", "air_bladder", "gas", "snort_blower")
VENTS = ("into cylinder", "mast, shut when dived", "open hose", "none")
SEALS = ("lip", "pressure_lip", "gland", "bellows", "magnetic", "piston_ring", "face")
MATERIALS = tuple(m for m in schema.MATERIALS if m != "unknown")
SHADES = ("white", "bright", "grey", "dark grey", "black")
SITES = ("pond", "lake", "pool", "tank", "sea")


@dataclass(frozen=True, repr=False)
class Scene:
    """A boat on a day as tables of TOML, before they are text."""

    boat: Table
    kit: Table
    site: Table
    today: Table
    observed: Observed = field(default_factory=Observed)
    readings: Mapping[tuple[str, str], Num] = field(default_factory=dict)

    def __repr__(self) -> str:
        tables = (self.boat, self.kit, self.site, self.today)
        return "\n".join(
            (*(tomli_w.dumps(table) for table in tables), repr(self.observed), repr(self.readings))
        )

    def documents(self) -> dict[str, Document]:
        """The four files, written and read again."""
        tables = {"boat": self.boat, "kit": self.kit, "site": self.site, "today": self.today}
        found = {}
        for root, table in tables.items():
            raw = tomli_w.dumps(table).encode()
            found[root] = read_document(raw, f"{root}.toml", schema.SCHEMAS[root])
        return found

    def facts(self) -> Facts:
        """The facts; every file is without fault."""
        documents = self.documents()
        for document in documents.values():
            assert not document.faults, [fault.sentence() for fault in document.faults]
        return Facts(
            documents["boat"],
            documents["kit"],
            documents["site"],
            documents["today"],
            empty_document("settings"),
            "heron",
        )

    def sheet(self) -> Sheet:
        """A fresh working sheet."""
        return Sheet(self.facts(), self.observed, self.readings, AT)

    def changed(self, root: str, path: str, value: Any) -> Scene:
        """The same with one value put at a path, as ``boat``, ``ballast.volume``; None takes it out."""
        tables = {name: copy.deepcopy(getattr(self, name)) for name in ("boat", "kit", "site", "today")}
        _put(tables[root], path, value)
        return replace(self, **tables)

    def at(self, root: str, path: str) -> Any:
        """What stands at a path, or None."""
        table: Any = getattr(self, root)
        for part in path.split("."):
            table = (
                table.get(part) if isinstance(table, dict) else table[int(part)] if part.isdigit() else None
            )
            if table is None:
                return None
        return table


def _put(table: Table, path: str, value: Any) -> None:
    *heads, last = path.split(".")
    here: Any = table
    for head in heads:
        if isinstance(here, list):
            here = here[int(head)]
        else:
            here = here.setdefault(head, {})
    if value is None:
        here.pop(last, None)
    else:
        here[last] = value


# -- numbers as people write them ------------------------------------------------------------------------------------


def _text(value: float, unit: str, spread: float = 0.0) -> str:
    number = f"{value:.4g}" if 1e-3 <= abs(value) < 1e6 else f"{value:.6f}"
    return f"{number} {unit}" + (f" ± {spread:.3g} {unit}" if spread else "")


def near(usual: float, unit: str, low: float = 0.7, high: float = 1.4) -> st.SearchStrategy[str]:
    """A quantity about its usual value, some with a ± of their own."""
    share = st.floats(low, high)
    return st.builds(
        lambda factor, spread: _text(usual * factor, unit, spread * usual * factor),
        share,
        st.sampled_from((0.0, 0.0, 0.01, 0.1)),
    )


def among(low: float, high: float, unit: str) -> st.SearchStrategy[str]:
    """A quantity anywhere between two."""
    return st.floats(low, high).map(lambda value: _text(value, unit))


# -- parts of a boat -------------------------------------------------------------------------------------------------


@st.composite
def _cylinder(draw: st.DrawFn, length: float) -> Table:
    bore = draw(st.floats(0.08, 0.13)) * length * 1e3
    return {
        "material": draw(st.sampled_from(MATERIALS)),
        "inside_diameter": _text(bore, "mm"),
        "inside_length": draw(near(0.6 * length * 1e3, "mm")),
        "wall": draw(near(0.04 * bore, "mm", 0.5, 2.0)),
        "air": _text(0.55 * 0.7854e-6 * bore**2 * 0.6 * length * 1e3 * draw(st.floats(0.5, 1.5)), "L"),
        "test_by": draw(
            st.lists(
                st.sampled_from(("pressure", "vacuum", "immersion")), min_size=1, max_size=3, unique=True
            )
        ),
        "most_gauge": draw(among(3.0, 40.0, "kPa")),
        "vent_plug": draw(st.booleans()),
        "closures": ["fore cap", "aft cap"],
        "above_keel": draw(among(0.0, 20.0, "mm")),
        "roundness": draw(among(0.0, 1.5, "mm")),
        "damp_parts": draw(among(0.0, 80.0, "g")),
    }


@st.composite
def _caps(draw: st.DrawFn, bore: float) -> list[Table]:
    return [
        {
            "id": name, "thickness": draw(near(0.09 * bore, "mm", 0.4, 2.0)), "supported": _text(0.95 * bore, "mm"),
            "held_by": draw(st.sampled_from(("friction", "screws", "rods", "catches", "bonded"))),
            "hole": draw(st.sampled_from(("none", "bossed", "plain"))),
        }
        for name in ("fore cap", "aft cap")
    ]  # fmt: skip


@st.composite
def _seals(draw: st.DrawFn, bore: float) -> list[Table]:
    turning = {
        "id": "shaft", "where": "propeller shaft", "kind": draw(st.sampled_from(SEALS)), "moves": True,
        "rubber": draw(st.sampled_from(schema.RUBBERS)), "grease": draw(st.sampled_from(schema.GREASES)),
        "fitted": date(draw(st.integers(2020, 2032)), 3, 1),
        "shaft": {"diameter": draw(among(2.0, 10.0, "mm")), "turns": draw(among(200.0, 9000.0, "rpm"))},
    }  # fmt: skip
    resting = {
        "id": "aft cap", "where": "aft cap to tube", "kind": "piston_ring", "moves": False,
        "ring": {"inside": _text(0.91 * bore, "mm"), "section": draw(near(max(0.03 * bore, 0.8), "mm"))},
        "groove": {
            "diameter": _text(0.952 * bore, "mm"), "width": draw(near(max(0.04 * bore, 1.0), "mm")), "bore": _text(bore, "mm"),
            "cap": _text(0.999 * bore, "mm"), "made": draw(st.sampled_from(("turned", "printed"))),
        },
    }  # fmt: skip
    return [turning, resting]


@st.composite
def _ballast(draw: st.DrawFn, kind: str, mass: float) -> Table:
    found: Table = {"kind": kind}
    if kind == "none":
        return found
    found |= {
        "inside_cylinder": draw(st.booleans()),
        "volume": draw(near(80.0 * mass, "mL", 0.4, 2.0)),
        "start_state": draw(st.sampled_from(("empty", "part full", "full"))),
        "fill_time": draw(among(5.0, 120.0, "s")),
        "empty_time": draw(among(5.0, 120.0, "s")),
        "at_voltage": draw(among(5.0, 15.0, "V")),
        "pump_head": draw(among(0.5, 6.0, "m")),
        "vent": draw(st.sampled_from(VENTS)),
        "air_left": draw(among(0.0, 50.0, "mL")),
        "pump": draw(st.sampled_from(("gear", "diaphragm", "centrifugal"))),
        "empties_on_failsafe": draw(st.booleans()),
        "tank": {
            "bottom": draw(among(0.0, 60.0, "mm")), "length": draw(among(60.0, 500.0, "mm")),
            "width": draw(among(30.0, 150.0, "mm")), "height": draw(among(20.0, 120.0, "mm")),
            "baffles": draw(st.integers(0, 3)),
        },
    }  # fmt: skip
    if kind == "gas":
        found["gas"] = {"bottle": "G1", "per_blow": draw(near(0.3 * mass, "g"))}
    return found


@st.composite
def _radio(draw: st.DrawFn) -> Table:
    return {
        "band": draw(st.sampled_from(schema.BANDS)), "transmitter": "tx", "memory": draw(st.sampled_from(("none", "HERON"))),
        "receiver": "rx", "tip_above_deck": draw(among(10.0, 400.0, "mm")),
        "signal_lost_at": {
            "depth": draw(among(0.1, 4.0, "m")), "distance": draw(among(3.0, 100.0, "m")),
            "conductivity": draw(among(30.0, 5000.0, "uS/cm")), "temperature": draw(among(1.0, 30.0, "degC")),
        },
        "check_paces": draw(st.integers(5, 150)), "failsafe_delay": draw(among(0.0, 5.0, "s")),
        "on_loss": draw(st.sampled_from(("holds last", "failsafe at once"))),
        "mast": draw(st.sampled_from(("metal", "plastic", "none"))), "clear_length": draw(among(0.0, 200.0, "mm")),
        "aerial_length": draw(among(30.0, 1100.0, "mm")),
    }  # fmt: skip


@st.composite
def _power(draw: st.DrawFn, mass: float) -> Table:
    cruise = 0.5 * mass * draw(st.floats(0.4, 1.6))
    return {
        "drive_packs": ["A"], "receiver_pack": draw(st.sampled_from(("from drive", "B"))), "pack_in_wet": draw(st.booleans()),
        "idle": _text(0.1 * cruise, "A"), "cruise": _text(cruise, "A"), "full": draw(near(2.6 * cruise, "A")),
        "blow": draw(near(cruise, "A")), "test_load": draw(among(1.0, 8.0, "A")), "keep_back": draw(among(20.0, 60.0, "%")),
        "receiver_least": draw(among(3.0, 6.0, "V")), "joints": ["motor", "fuse"], "cut_out": draw(among(60.0, 130.0, "degC")),
        "heat_rise": draw(among(0.0, 40.0, "K")),
        "terminals": {
            "area": draw(among(10.0, 400.0, "mm^2")), "gap": draw(among(5.0, 100.0, "mm")),
            "greased": draw(st.sampled_from(("this outing", "some time ago", "never"))),
        },
        "motor": {"kv": draw(among(30.0, 1500.0, "rpm/V")), "alone": draw(among(0.05, 2.0, "A"))},
    }  # fmt: skip


@st.composite
def boat_tables(draw: st.DrawFn) -> Table:
    """A boat's file."""
    length = draw(st.floats(0.25, 2.4))
    mass = 6.9 * length**3 * draw(st.floats(0.6, 1.5))
    height = length / 6 * draw(st.floats(0.8, 1.3))
    kind = draw(st.sampled_from(BALLASTS))
    cylinder = draw(_cylinder(length))
    bore = float(cylinder["inside_diameter"].split()[0])
    balance = draw(st.floats(-0.01, 0.02)) * mass
    displaced = (mass + balance) / 999.0 + (0.0 if kind == "none" else 80e-6 * mass)
    tail = draw(st.sampled_from(("cross", "x", "other")))
    controls: Table = {
        "tail": tail, "level_keeper": draw(st.sampled_from(schema.FITTED)),
        "sail_planes": draw(st.sampled_from(("switch", "stick", "not fitted"))),
        "bow_planes": draw(st.sampled_from(schema.FITTED)), "plane_area": draw(near(60.0 * length**2, "cm^2")),
        "plane_span": draw(near(60.0 * length, "mm")), "plane_time": draw(among(0.1, 2.0, "s")),
    }  # fmt: skip
    if tail == "x":
        controls["tail_servos"] = draw(st.sampled_from((2, 4)))
    does = {"throttle": "stops", **({} if kind == "none" else {"ballast": "empties"})}
    return {
        "format": 1,
        "boat": {
            "name": "Heron", "hull": draw(st.sampled_from(("flooding", "dry"))),
            "dives_by": draw(st.sampled_from(("weight", "planes"))), "length": _text(length * 1e3, "mm"),
            "mass": draw(near(mass, "kg", 0.98, 1.02)), "height": _text(height * 1e3, "mm"),
            "beam": draw(near(length / 8.5 * 1e3, "mm")), "draught": _text(0.8 * height * 1e3, "mm"),
            "displaced": _text(displaced * 1e3, "L"), "wet_lift_mass": draw(near(1.2 * mass, "kg")),
            "sail_section": draw(among(1.0, 60.0, "cm^2")), "shade": draw(st.sampled_from(SHADES)), "owner_inside": True,
            "top_held_by": "both", "trapped_air": draw(among(0.0, 200.0, "mL")),
            "trimmed_at": {
                "site": "pond", "water": draw(st.sampled_from(schema.WATERS)),
                "temperature": draw(among(1.0, 30.0, "degC")), "salinity": draw(among(0.0, 36.0, "g/kg")),
            },
            "dived_balance": _text(balance * 1e3, "g", 0.001 * mass * 1e3),
            "foam": {"volume": draw(near(0.05 * mass, "L")), "kind": draw(st.sampled_from(("soft", "rigid")))},
        },
        "cylinder": cylinder,
        "cap": draw(_caps(bore)),
        "seal": draw(_seals(bore)),
        "ballast": draw(_ballast(kind, mass)),
        "motion": {
            "cruise": draw(near(0.6 * length**0.5, "m/s")), "full": draw(near(1.1 * length**0.5, "m/s")),
            "time_up": draw(among(2.0, 60.0, "s")), "righting": draw(near(15.0 * length, "mm", 0.1, 2.0)),
            "shaft_depth": draw(near(40.0 * length, "mm")), "propeller": draw(near(50.0 * length, "mm")),
        },
        "radio": draw(_radio()),
        "failsafe": [
            {"trigger": "signal lost", "does": does, "hold": draw(among(5.0, 300.0, "s")), "powered_from": "drive pack"}
        ],
        "controls": controls,
        "power": draw(_power(mass)),
        "my_limits": {
            "deepest": draw(among(0.2, 8.0, "m")), "depth_step": draw(among(0.1, 1.0, "m")),
            "over_bottom": draw(among(0.0, 1.0, "m")), "wave_height": draw(among(5.0, 120.0, "mm")),
        },
    }  # fmt: skip


@st.composite
def kit_tables(draw: st.DrawFn) -> Table:
    """Packs A and B, a bottle, a transmitter and meters."""

    def pack(name: str, low: float, high: float) -> Table:
        chemistry = draw(st.sampled_from(schema.CHEMISTRIES))
        capacity = draw(st.floats(low, high))
        return {
            "id": name, "chemistry": chemistry, "cells": draw(st.integers(1, 6)), "capacity": _text(capacity, "A h"),
            "measured": {
                "capacity": _text(capacity * draw(st.floats(0.6, 1.05)), "A h"), "on": date(draw(st.integers(2029, 2032)), 2, 10),
            },
            "resistance": draw(among(3.0, 200.0, "mohm")), "bought": date(draw(st.integers(2025, 2032)), 1, 1),
        }  # fmt: skip

    fluid = draw(st.sampled_from(schema.FLUIDS))
    return {
        "format": 1,
        "pack": [pack("A", 0.5, 20.0), pack("B", 0.3, 4.0)],
        "bottle": [
            {"id": "G1", "fluid": fluid, "volume": draw(among(20.0, 300.0, "mL")), "empty_mass": "95 g"}
        ],
        "transmitter": [{"id": "tx", "band": "40 MHz", "range_mode_drop": draw(among(5.0, 40.0, "dB"))}],
        "meter": [
            {"id": "voltmeter", "reads": "voltage", "accuracy": "0.5 %", "step": "0.01 V"},
            {"id": "gauge", "reads": "pressure", "step": draw(st.sampled_from(("0.1 kPa", "2 kPa")))},
        ],
    }


@st.composite
def site_tables(draw: st.DrawFn) -> Table:
    """A pond, lake, pool, tank or bit of sea of any water."""
    return {
        "format": 1, "name": "Pond", "kind": draw(st.sampled_from(SITES)), "water": draw(st.sampled_from(schema.WATERS)),
        "conductivity": draw(among(20.0, 60_000.0, "uS/cm")), "salinity": draw(among(0.0, 38.0, "g/kg")),
        "bottom": draw(among(0.3, 12.0, "m")), "fetch": draw(among(2.0, 2000.0, "m")), "wading": "no", "second_person": True,
        "altitude": draw(among(-100.0, 3000.0, "m")),
    }  # fmt: skip


@st.composite
def today_tables(draw: st.DrawFn) -> Table:
    """A day from ice to a hot summer."""
    water = draw(st.floats(0.0, 35.0))
    air: Table = {
        "temperature": draw(among(-5.0, 40.0, "degC")), "wind_height": draw(among(1.0, 10.0, "m")),
        "humidity": draw(among(10.0, 100.0, "%")), "pressure": draw(among(850.0, 1050.0, "hPa")),
    }  # fmt: skip
    if draw(st.booleans()):
        air["wind"] = draw(among(0.0, 12.0, "m/s"))
    else:
        air["look"] = draw(st.sampled_from(schema.LOOKS))
    return {
        "format": 1, "site": "pond", "at": AT,
        "water": {
            "temperature": _text(water, "degC"), "clarity": draw(among(0.1, 6.0, "m")),
            "salinity": draw(among(0.0, 38.0, "g/kg")), "conductivity": draw(among(20.0, 60_000.0, "uS/cm")),
        },
        "air": air,
        "closed": {"heron": draw(among(-5.0, 40.0, "degC"))},
        "plan": [
            {
                "boat": "heron", "pack": "A", "depth": draw(among(0.0, 4.0, "m")), "distance": draw(among(1.0, 200.0, "m")),
                "minutes": draw(among(1.0, 120.0, "min")), "dive_angle": draw(among(0.0, 30.0, "deg")),
                "blows": draw(st.integers(0, 4)),
                "throttle": {"slow": "60 %", "half": draw(among(0.0, 40.0, "%")), "full": draw(among(0.0, 60.0, "%"))},
            }
        ],
    }  # fmt: skip


@st.composite
def logs(draw: st.DrawFn) -> Observed:
    """What a log may have taught."""
    names = ("failsafe_bench", "failsafe_wet", "range", "look")
    proofs = {name: ProofView(draw(st.booleans()), "run ended") for name in names}
    amperes = st.lists(st.floats(0.2, 20.0), max_size=12).map(tuple)
    seconds = st.lists(st.floats(3.0, 200.0), max_size=9).map(tuple)
    return Observed(
        proofs=proofs,
        dry_depth=draw(st.none() | st.floats(0.0, 6.0)),
        charge_per_minute={"A": draw(amperes)},
        charged_full=draw(st.sampled_from(({}, {"A": 5.0}, {"A": 900.0, "B": 3.0}))),
        joints={"motor": draw(st.lists(st.floats(1e-4, 0.05), max_size=5).map(tuple))},
        no_load={"ahead": Series(draw(st.lists(st.floats(0.05, 3.0), max_size=8).map(tuple)), 0.01)},
        times={"fill": Series(draw(seconds), 0.3), "empty": Series(draw(seconds), 0.3)},
        opened_since_wiped=draw(st.integers(0, 3)),
        trim_moves=draw(
            st.lists(st.floats(-0.1, 0.1).map(lambda m: Num(m, 0.001, Basis.MEASURED)), max_size=2).map(tuple)
        ),
    )


READINGS = {
    ("battery.rest_voltage", "A"): (1.0, 26.0), ("cylinder.water_found", ""): (0.0, 1e-5),
    ("trim.pitch", "dived"): (-0.2, 0.2), ("trim.list", "dived"): (-0.2, 0.2), ("shaft.no_load_current", "ahead"): (0.0, 4.0),
    ("buoyancy.dived", ""): (-0.05, 0.2), ("ballast.fill_time", ""): (1.0, 200.0), ("terminals.drop", "motor"): (0.0, 0.2),
    ("receiver.supply", ""): (2.0, 8.0), ("radio.check_distance", ""): (1.0, 200.0), ("cylinder.leak_down", ""): (0.0, 5000.0),
    ("battery.load_voltage", "A"): (1.0, 26.0), ("cylinder.pressure", ""): (-2e4, 4e4), ("battery.spread", "A"): (0.0, 0.3),
}  # fmt: skip


@st.composite
def readings(draw: st.DrawFn) -> dict[tuple[str, str], Num]:
    """Some of what may have been read today."""
    taken = draw(st.sets(st.sampled_from(sorted(READINGS)), max_size=5))
    return {
        where: Num(draw(st.floats(*READINGS[where])), draw(st.sampled_from((0.0, 0.01))), Basis.MEASURED)
        for where in sorted(taken)
    }


# -- fields left out -------------------------------------------------------------------------------------------------

_FIXED = {"format", "boat", "id", "trigger", "where", "does", "powered_from", "kind"}


def _paths(table: Any, under: str = "") -> list[str]:
    """Every path of a table that may be left out or made unknown."""
    found: list[str] = []
    items = enumerate(table) if isinstance(table, list) else table.items()
    for name, value in items:
        path = f"{under}.{name}" if under else str(name)
        if isinstance(value, dict) or isinstance(value, list) and value and isinstance(value[0], dict):
            found.extend(_paths(value, path))
        elif str(name) not in _FIXED or path in ("ballast.kind", "site.kind", "kind"):
            found.append(path)
    return found


REQUIRED = {
    root: {f.path for f in one.fields if f.mark.value == "required"}
    | {
        f"{entries.path}.{f.path}"
        for entries in one.entries
        for f in entries.fields
        if f.mark.value == "required"
    }
    for root, one in schema.SCHEMAS.items()
}


def _bare(root: str, path: str) -> str:
    plain = ".".join(part for part in path.split(".") if not part.isdigit())
    return plain.removeprefix("boat.") if root == "boat" else plain


@st.composite
def scenes(draw: st.DrawFn, most_gaps: int = 12, logged: bool = True) -> Scene:
    """A boat on a day; up to so many fields missing or "unknown"."""
    scene = Scene(draw(boat_tables()), draw(kit_tables()), draw(site_tables()), draw(today_tables()))
    if logged:
        scene = replace(scene, observed=draw(logs()), readings=draw(readings()))
    choices = [
        (root, path) for root in ("boat", "kit", "site", "today") for path in _paths(getattr(scene, root))
    ]
    gaps = draw(st.lists(st.sampled_from(choices), max_size=most_gaps, unique=True)) if most_gaps else []
    for root, path in gaps:
        word = "unknown" if _bare(root, path) in REQUIRED[root] else draw(st.sampled_from((None, "unknown")))
        if word == "unknown" and _plain_text(root, path):
            continue
        scene = scene.changed(root, path, word)
    return mended(scene)


def mended(scene: Scene) -> Scene:
    """The scene without what a reader of files would refuse: such a field is left out, or unknown where it is needed."""
    for _ in range(6):
        faults = [(root, fault.path) for root, found in scene.documents().items() for fault in found.faults]
        if not faults:
            return scene
        for root, whole in faults:
            path = _table_path(scene, root, whole.removeprefix(f"{root}."))
            scene = scene.changed(root, path, "unknown" if _bare(root, path) in REQUIRED[root] else None)
    raise AssertionError(faults)


def _table_path(scene: Scene, root: str, path: str) -> str:
    """``cap[aft cap].thickness`` of a fault -> ``cap.1.thickness`` of the table."""
    while "[" in path:
        head, _, rest = path.partition("[")
        name, _, tail = rest.partition("]")
        entries = scene.at(root, head)
        place = next(i for i, entry in enumerate(entries) if name in entry.values())
        path = f"{head}.{place}{tail}"
    top = path.split(".", 1)[0].split("[", 1)[0]
    return f"boat.{path}" if root == "boat" and top not in scene.boat else path


def _plain_text(root: str, path: str) -> bool:
    """Paths whose own words include names; "unknown" would only be another name."""
    return _bare(root, path) in {
        "name",
        "site",
        "transmitter",
        "plan.boat",
        "power.drive_packs",
        "radio.transmitter",
    }
