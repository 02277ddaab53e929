"""The sample boats make sense: figures of one file agree with each other, and with what such boats are like.

Ranges by size and the relations are common practice, no source, where nothing else is said beside them.
"""

from __future__ import annotations

import math
import tomllib
from pathlib import Path

import iapws
import pytest
from CoolProp.CoolProp import PropsSI

from divelog.clock import FixedClock
from divelog.home import Home, data_folder
from divelog.limits import catalogue
from divelog.limits.model import Verdict
from divelog.profiles.document import Document, Num
from divelog.profiles.reading import read_document
from divelog.profiles.schema import SCHEMAS
from divelog.session.session import Asked, Session
from divelog.session.shelf import read_file, read_shelf
from divelog.upkeep.intervals import parse_interval

SAMPLES = data_folder("sample_boats")
BOATS = ("tansy", "bulrush", "bramble", "juniper")
SIZE = {"tansy": "M", "bulrush": "M", "bramble": "S", "juniper": "L"}
SITES = ("withy-pond", "barn-tank", "glasshouse-pool", "sluice-basin")
NOMINAL = {
    "lithium polymer": 3.7, "lithium iron phosphate": 3.2, "sealed lead-acid": 2.0, "nickel metal hydride": 1.2,
}  # fmt: skip
HOME = Home(SAMPLES)
SHELF = read_shelf(HOME)


def boat(slug: str) -> Document:
    return SHELF.boats[slug]


def num(document: Document, path: str) -> Num:
    value = document.value(path)
    assert isinstance(value, Num), path
    return value


def si(document: Document, path: str) -> float:
    return num(document, path).si


def trimmed_in(slug: str) -> float:
    """Density of the water she was trimmed in, kg/m3, by IAPWS-95 (fresh water)."""
    return float(iapws.IAPWS95(T=si(boat(slug), "trimmed_at.temperature"), P=0.101325).rho)


def test_the_shelf_holds_four_boats_and_four_sites_without_a_fault():
    assert [fault.sentence() for fault in SHELF.faults] == []
    assert set(SHELF.boats) == set(BOATS)
    assert set(SHELF.sites) == set(SITES)
    for document in (SHELF.kit, SHELF.settings, *SHELF.sites.values(), *SHELF.boats.values()):
        assert [fault.sentence() for fault in document.faults] == []
        assert document.facts


def test_one_day_for_each_site():
    days = {path.stem for path in (SAMPLES / "days").glob("*.toml")}
    assert days == set(SITES)


# figure, unit, least and most by size S, M, L (0 and infinity: not asked)
RANGES = (
    ("length", 1e-3, (300, 600), (600, 1300), (1300, 3000)),
    ("mass", 1.0, (0.4, 2.5), (2.5, 12), (12, 60)),
    ("displaced", 1e-3, (0.4, 2.5), (2.5, 12), (12, 60)),
    ("cylinder.inside_diameter", 1e-3, (40, 70), (70, 120), (110, 250)),
    ("cylinder.wall", 1e-3, (2, 3), (3, 4), (4, 8)),
    ("cylinder.air", 1e-3, (0.2, 1), (1, 6), (5, 40)),
    ("cylinder.most_gauge", 1e3, (5, 20), (10, 30), (15, 40)),
    ("ballast.volume", 1e-6, (30, 200), (150, 1500), (1000, 8000)),
    ("ballast.fill_time", 1.0, (5, 60), (8, 90), (15, 180)),
    ("ballast.empty_time", 1.0, (5, 60), (8, 90), (5, 180)),  # a blow of gas is faster than a pump
    ("dived_balance", 1e-3, (5, 20), (20, 60), (60, 250)),
    ("motion.cruise", 1.0, (0.3, 0.8), (0.4, 1.2), (0.5, 1.8)),
    ("motion.full", 1.0, (0.3, 0.8), (0.4, 1.2), (0.5, 1.8)),
    ("motion.righting", 1e-3, (5, 15), (8, 25), (15, 50)),
    ("motion.propeller", 1e-3, (20, 40), (35, 70), (60, 150)),
    ("power.idle", 1.0, (0.1, 0.3), (0.2, 0.6), (0.4, 1.5)),
    ("power.cruise", 1.0, (0.5, 2), (1, 6), (3, 20)),
    ("power.full", 1.0, (1, 6), (3, 20), (8, 60)),
    ("radio.tip_above_deck", 1e-3, (40, 150), (60, 300), (100, 500)),
)


STATED = [(slug, *row) for slug in BOATS for row in RANGES if row[0] in SHELF.boats[slug].facts]


@pytest.mark.parametrize(
    ("slug", "path", "unit", "small", "middle", "large"), STATED, ids=[f"{row[0]} {row[1]}" for row in STATED]
)
def test_figures_are_those_of_a_boat_of_her_size(slug, path, unit, small, middle, large):
    low, high = {"S": small, "M": middle, "L": large}[SIZE[slug]]
    assert low * unit * (1 - 1e-9) <= si(boat(slug), path) <= high * unit * (1 + 1e-9)


def test_most_figures_are_stated():
    assert len(STATED) > 60


@pytest.mark.parametrize("slug", BOATS)
def test_what_she_weighs_and_what_she_displaces_agree(slug):
    # Archimedes: displaced = mass + ballast + net upward force, over the density of the water she was trimmed in.
    one, rho = boat(slug), trimmed_in(slug)
    ballast = num(one, "ballast.volume") if one.value("ballast.kind") != "none" else Num(0.0)
    mass, balance, displaced = num(one, "mass"), num(one, "dived_balance"), num(one, "displaced")
    found = (mass.si + balance.si) / rho + ballast.si
    u95 = math.hypot((mass.u95 + balance.u95) / rho, ballast.u95, displaced.u95)
    assert abs(found - displaced.si) <= max(u95, 1e-3 * displaced.si)


@pytest.mark.parametrize("slug", ["tansy", "bulrush", "juniper"])
def test_ballast_is_enough_and_reserve_is_that_of_her_size(slug):
    one, rho = boat(slug), trimmed_in(slug)
    reserve = rho * si(one, "displaced") - si(one, "mass")
    needed = reserve - si(one, "dived_balance")
    assert needed <= rho * (si(one, "ballast.volume") + num(one, "ballast.volume").u95) + 0.01
    low = {"M": 0.07, "L": 0.08}[SIZE[slug]]  # a small piston lifts Tansy out by little
    assert low <= reserve / si(one, "mass") <= 0.30


@pytest.mark.parametrize("slug", BOATS)
def test_her_outside_holds_her_cylinder_and_what_she_displaces(slug):
    one = boat(slug)
    outside = si(one, "cylinder.inside_diameter") + 2 * si(one, "cylinder.wall")
    assert outside < min(si(one, "beam"), si(one, "height")) or one.value("hull") == "dry"
    form = 0.8 * math.pi / 4 * si(one, "beam") * si(one, "height") * si(one, "length")
    assert form >= 0.9 * si(one, "displaced")
    inside = math.pi / 4 * si(one, "cylinder.inside_diameter") ** 2 * si(one, "cylinder.inside_length")
    air = si(one, "cylinder.air") if "cylinder.air" in one.facts else 0.55 * inside
    assert 0.35 * inside <= air <= 0.85 * inside
    cylinder = math.pi / 4 * outside**2 * si(one, "cylinder.outside_length")
    assert cylinder < 1.02 * si(one, "displaced")


@pytest.mark.parametrize("slug", BOATS)
def test_the_failsafe_tries_long_enough_and_brings_her_up_in_time(slug):
    one = boat(slug)
    if one.value("ballast.kind") != "none":
        for trigger in one.entries["failsafe"]:
            does = dict(one.value(f"failsafe[{trigger}].does"))
            if does.get("ballast") == "empties":
                assert si(one, f"failsafe[{trigger}].hold") >= 1.5 * si(one, "ballast.empty_time")
    if "motion.time_up" in one.facts:
        assert si(one, "motion.time_up") <= {"S": 30, "M": 60, "L": 120}[SIZE[slug]]


@pytest.mark.parametrize("slug", ["tansy"])
def test_a_pump_that_empties_against_the_depth_can_do_so(slug):
    # pressure rise of the pump at least the head of her own deepest limit, the tank's air being at no less than outside
    assert si(boat(slug), "ballast.pump_head") >= si(boat(slug), "my_limits.deepest") - si(
        boat(slug), "ballast.tank.bottom"
    )


@pytest.mark.parametrize("slug", BOATS)
def test_packs_feed_what_they_must(slug):
    one, kit = boat(slug), SHELF.kit
    for pack in one.texts_at("power.drive_packs"):
        assert pack in kit.entries["pack"]
    supply = one.text_at("power.receiver_pack")
    source = one.texts_at("power.drive_packs")[0] if supply == "from drive" else supply
    assert source in kit.entries["pack"]
    cells, chemistry = kit.value(f"pack[{source}].cells"), kit.text_at(f"pack[{source}].chemistry")
    assert cells * NOMINAL[chemistry] >= si(one, "power.receiver_least") + 0.5
    if "ballast.at_voltage" in one.facts:
        cells, chemistry = (
            kit.value(f"pack[{one.texts_at('power.drive_packs')[0]}].{key}") for key in ("cells", "chemistry")
        )
        assert si(one, "ballast.at_voltage") == pytest.approx(cells * NOMINAL[chemistry], rel=0.05)
    assert si(one, "power.idle") < si(one, "power.cruise") < si(one, "power.full")


# watt-hours a kilogram of small packs; makers' data sheets of such packs, from memory
ENERGY = {
    "lithium polymer": (100, 210),
    "lithium iron phosphate": (80, 140),
    "nickel metal hydride": (50, 110),
}


@pytest.mark.parametrize("pack", SHELF.kit.entries["pack"])
def test_packs_weigh_what_they_hold(pack):
    kit = SHELF.kit
    chemistry, capacity = kit.text_at(f"pack[{pack}].chemistry"), num(kit, f"pack[{pack}].capacity")
    energy = kit.value(f"pack[{pack}].cells") * NOMINAL[chemistry] * capacity.si / 3600
    if f"pack[{pack}].mass" in kit.facts:
        low, high = ENERGY[chemistry]
        assert low <= energy / si(kit, f"pack[{pack}].mass") <= high
    if f"pack[{pack}].measured.capacity" in kit.facts:
        assert 0.70 <= si(kit, f"pack[{pack}].measured.capacity") / capacity.si <= 1.05


@pytest.mark.parametrize("slug", BOATS)
def test_the_set_and_the_aerial_are_hers(slug):
    one, kit = boat(slug), SHELF.kit
    used = one.text_at("radio.transmitter")
    assert kit.text_at(f"transmitter[{used}].band") == one.text_at("radio.band")
    # at periscope depth (deck awash) a 2.4 GHz aerial has its whole active length, a quarter wave, in the air
    quarter_wave = 299_792_458 / 2.4e9 / 4
    if one.text_at("radio.band") == "2.4 GHz":
        assert si(one, "radio.tip_above_deck") >= quarter_wave
    if one.text_at("radio.memory") != "none":
        assert one.text_at("radio.memory") == one.text_at("name").upper()


@pytest.mark.parametrize("slug", BOATS)
def test_every_seal_that_does_not_move_is_counted_at_closing_up(slug):
    one = boat(slug)
    still = {seal for seal in one.entries["seal"] if one.value(f"seal[{seal}].moves") is False}
    closures = set(one.texts_at("cylinder.closures"))
    assert still <= closures
    assert any(one.value(f"seal[{seal}].moves") for seal in one.entries["seal"])
    assert set(one.entries["cap"]) <= closures
    if slug in ("bramble", "juniper"):  # their lists are whole: one seal a closure
        assert still == closures


@pytest.mark.parametrize("slug", BOATS)
def test_her_lifted_mass_and_her_own_limits(slug):
    one = boat(slug)
    if "wet_lift_mass" in one.facts:
        assert 1.05 <= si(one, "wet_lift_mass") / si(one, "mass") <= 1.40
    assert si(one, "draught") <= si(one, "height")
    for _, words in one.value("upkeep") or ():
        assert parse_interval(words)


def test_a_gas_boat_has_blows_enough_and_each_fills_her_tank():
    juniper, kit = boat("juniper"), SHELF.kit
    volume = si(juniper, "ballast.volume")
    # vapour at the pressure of the tank 1 m down, 10 degC (CoolProp), a fifth over for what goes past
    density = PropsSI("D", "T", 283.15, "P", 101_325 + 999.7 * 9.80665 * 1.0, "IsoButane")
    assert si(juniper, "ballast.gas.per_blow") == pytest.approx(1.2 * density * volume, rel=0.15)
    bottle = juniper.text_at("ballast.gas.bottle")
    fill = si(kit, f"bottle[{bottle}].full_mass") - si(kit, f"bottle[{bottle}].empty_mass")
    assert 6 <= fill / si(juniper, "ballast.gas.per_blow") <= 12
    liquid = PropsSI("D", "T", 293.15, "Q", 0, "IsoButane")
    assert fill <= liquid * si(
        kit, f"bottle[{bottle}].volume"
    )  # it goes in; how full is safe is the maker's word


@pytest.mark.parametrize("site", SITES)
def test_sites_hold_the_water_they_say(site):
    one = SHELF.sites[site]
    # salinity of each kind of water, g/kg: salt-cell pools 2.5 to 7 (makers' sheets); brackish 0.5 to 30 (Venice system)
    low, high = {"fresh": (0, 0.5), "salt_pool": (2.5, 7), "brackish": (0.5, 30)}[one.text_at("water")]
    assert low <= 1000 * si(one, "salinity") <= high
    assert si(one, "fetch") >= 2 * si(boat("juniper"), "length")


def planned(site: str) -> tuple[Document, tuple[str, ...]]:
    day = read_file(SAMPLES / "days" / f"{site}.toml", "today", f"{site}.toml")
    assert [fault.sentence() for fault in day.faults] == []
    assert day.text_at("site") == site
    return day, day.entries["plan"]


@pytest.mark.parametrize("site", SITES)
def test_a_day_plans_only_what_can_be_done_there(site):
    day, plans = planned(site)
    bottom = si(SHELF.sites[site], "bottom")
    assert plans
    assert set(dict.fromkeys(plans)) <= set(BOATS)
    assert ("bulrush" in plans) == (SHELF.sites[site].text_at("water") == "fresh")  # her pack sits in the wet
    for slug in plans:
        assert day.text_at(f"plan[{slug}].pack") in boat(slug).texts_at("power.drive_packs")
        assert si(boat(slug), "draught") - 0.05 <= si(day, f"plan[{slug}].depth") < bottom - 0.5
        assert f"closed.{slug}" in day.facts


NEVER_OUTSIDE = {
    "seals.gland", "tube.depth", "seals.shaft", "buoyancy.reserve", "trim.righting", "recovery.time_to_surface",
    "antenna.clear_length", "cylinder.heat", "terminals.leakage", "radio.range",
}  # fmt: skip


@pytest.mark.parametrize("site", SITES)
def test_limits_can_be_worked_out_for_every_boat_that_goes_there(site):
    day, plans = planned(site)
    at = day.value("at")
    for slug in plans:
        session = Session.reading(HOME, FixedClock(at), SHELF)
        found = session.limits(Asked(slug, boat(slug), day, None, at, history=False))
        assert {limit.key for limit in found} == set(catalogue.ORDER)
        outside = {limit.key for limit in found if limit.verdict is Verdict.OUTSIDE}
        assert outside & NEVER_OUTSIDE == set()
        # what is missing is what only the day or the log can say, never a figure of her file that others rest on
        named = {path for limit in found if limit.verdict is Verdict.UNKNOWN for path in limit.missing}
        assert named <= {
            "bottle[G1].weighed", "boat.radio.aerial_length", "boat.power.cut_out", "boat.power.heat_rise",
        }  # fmt: skip


def test_no_sample_boat_has_everything():
    parts = {
        "x of four": lambda b: b.value("controls.tail_servos") == 4,
        "x of two": lambda b: b.value("controls.tail_servos") == 2,
        "cross": lambda b: b.value("controls.tail") == "cross",
        "piston": lambda b: b.value("ballast.kind") == "piston",
        "pumped": lambda b: b.value("ballast.kind") == "pumped_tank",
        "gas": lambda b: b.value("ballast.kind") == "gas",
        "planes only": lambda b: b.value("dives_by") == "planes",
        "dry hull": lambda b: b.value("hull") == "dry",
        "printed": lambda b: b.value("cylinder.material") == "printed",
        "lamps": lambda b: b.value("lights") == "fitted",
        "keeper": lambda b: b.value("controls.level_keeper") == "fitted",
        "probe": lambda b: "leak" in b.entries["failsafe"],
        "sail switch": lambda b: b.value("controls.sail_planes") == "switch",
        "sail stick": lambda b: b.value("controls.sail_planes") == "stick",
        "bow planes": lambda b: b.value("controls.bow_planes") == "fitted",
        "magnetic": lambda b: b.value("controls.links") == "magnetic",
        "remote switch": lambda b: b.value("power.remote_switch") == "fitted",
        "no memories": lambda b: b.text_at("radio.memory") == "none",
        "wet pack": lambda b: b.value("power.pack_in_wet") is True,
        "dip": lambda b: b.texts_at("cylinder.test_by") == ("immersion",),
    }
    for name, has in parts.items():
        owners = [slug for slug in BOATS if has(boat(slug))]
        assert 1 <= len(owners) < len(BOATS), name
    chemistries = {SHELF.kit.text_at(f"pack[{p}].chemistry") for p in SHELF.kit.entries["pack"]}
    assert chemistries == set(NOMINAL)


def test_the_worked_kit_is_part_of_the_sample_kit():
    worked = tomllib.loads((Path(__file__).parents[1] / "data" / "worked" / "kit.toml").read_text("utf-8"))
    ours = tomllib.loads((SAMPLES / "kit.toml").read_text("utf-8"))
    for kind, entries in worked.items():
        if isinstance(entries, list):
            by_id = {one["id"]: one for one in ours[kind]}
            assert all(by_id[one["id"]] == one for one in entries), kind


def test_remarks_do_not_change_what_a_file_says():
    for path in SAMPLES.glob("boats/*.toml"):
        raw = path.read_bytes()
        bare = "\n".join(line.split("  #")[0] for line in raw.decode().splitlines()) + "\n"
        one = read_document(raw, path.name, SCHEMAS["boat"])
        other = read_document(bare.encode(), path.name, SCHEMAS["boat"])
        assert {k: (f.value, f.typed) for k, f in one.facts.items()} == {
            k: (f.value, f.typed) for k, f in other.facts.items()
        }
