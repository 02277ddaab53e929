"""The second season, to the morning of 4 May 2032, eight minutes to eight: every boat stands as the day finds her."""

from __future__ import annotations

from sample_crew import Boat
from sample_filing import file_now
from sample_lists import (
    bench,
    charge,
    evening,
    fitted,
    grease,
    leak_test,
    no_load,
    serviced,
    tank_trim,
)
from sample_log import Log, metres, num
from sample_trips import Happening, Site, Trip, open_day, outing, set_plan
from sample_walks import SECOND_OPENED, BeforeDive, Dive, Walk
from story_winter import DROPS

Crew = dict[str, Boat]
PADDED = {"residual": "mark hidden by weed on the tower"}


def season(log: Log, crew: Crew) -> None:
    """Day by day."""
    for day in (
        _march_tank, _march_pond, _bramble_tank, _late_march, _juniper_tank, _april_pond, _april_tank, _tuesday,
        _two_runs, _first_of_may, _basin, _evening, _morning,
    ):  # fmt: skip
        day(log, crew)


def _march_tank(log: Log, crew: Crew) -> None:
    tansy, bulrush = crew["tansy"], crew["bulrush"]
    log.at("2032-03-07 09:00")
    site = Site("barn-tank", "fresh", 17.0, 14.0, "mirror", helper="one")
    open_day(log, "09:20", site)
    leak_test(log, tansy, 0.2)
    tank_trim(log, tansy, water=17.0, balance=22.0, balance_u95=4.0, up=14.0, out=12)
    dive = Dive("D2", 8.32, 15.0, tip=121, fill=38.4, empty=35.4, running=8.1, out=12)
    trip = Trip(
        21, depth=0.4, distance=4, planned=20, deepest=0.5, deepest_u95=0.05, cycles=4, rest=7.95, shift=-0.2
    )
    outing(log, tansy, site, "11:50", dive, trip, paper=True)
    log.at("13:00")
    tank_trim(log, bulrush, water=17.0, balance=47.0, balance_u95=8.0, up=12.0, out=52)
    dive = Dive("P1", 6.4, 15.0, tip=170, fill=49.6, empty=56.4, running=6.12, out=52)
    trip = Trip(24, depth=0.4, distance=4, planned=20, deepest=0.5, deepest_u95=0.05, cycles=4, rest=6.32)
    outing(log, bulrush, site, "14:00", dive, trip, paper=True)
    log.at("15:30")
    log.put("day.closed", {"site": "barn-tank"})
    charge(log, "D2", 1.02, 8.38)
    charge(log, "P1", 1.02, 7.25)


def _march_pond(log: Log, crew: Crew) -> None:
    tansy, bulrush = crew["tansy"], crew["bulrush"]
    log.at("2032-03-13 19:30")
    evening(
        log, bulrush, drops={"pack tabs": 16, "switch": 12, "motor": 15}, load=6.22, clear=40, terminals=True
    )
    site = Site("withy-pond", "fresh", 7.0, 9.0, clarity=0.9)
    open_day(log, "2032-03-14 10:00", site)
    dive = Dive("D2", 8.31, 10.0, tip=119, paces=48, fill=38.6, empty=35.5, running=8.08, out=17)
    outing(
        log, tansy, site, "10:15", dive, Trip(36, deepest=0.6, cycles=5, rest=7.74, shift=-5.9), paper=True
    )
    dive = Dive("P1", 6.41, 10.0, tip=168, paces=39, fill=50.1, empty=56.9, running=6.1, out=56, skips=PADDED)
    trip = Trip(40, depth=0.5, deepest=0.5, cycles=5, rest=6.27, shift=-4.3)
    outing(log, bulrush, site, "11:50", dive, trip, paper=True)
    log.at("14:10")
    log.put("day.closed", {"site": "withy-pond"})
    charge(log, "D2", 1.90, 8.38)
    charge(log, "P1", 1.95, 7.25)


def _bramble_tank(log: Log, crew: Crew) -> None:
    bramble = crew["bramble"]
    log.at("2032-03-19 18:20")
    fitted(log, bramble, "seal", "hatch", "nitrile 44 x 2", "nitrile 44 x 2", seals=["hatch"], cost="0.60")
    serviced(log, bramble, "linkages", "light oil")
    grease(log, bramble, 0.3, 1.1, "silicone")
    bench(log, bramble, 4.8)
    evening(log, bramble, drops={"pack plug": 9, "switch": 7})
    charge(log, "D5", 0.5, 8.9)
    charge(log, "D4", 0.6, 8.8)
    site = Site("barn-tank", "fresh", 18.0, 16.0, "mirror")
    open_day(log, "2032-03-20 10:10", site)
    leak_test(log, bramble, 0.0, string=(0.6, 0.05), ten=True)
    tank_trim(log, bramble, water=18.0, balance=9.0, balance_u95=1.0, up=6.0, ten=False)
    dive = Dive("D5", 8.1, 16.0, tip=150)
    trip = Trip(
        12, depth=0.4, distance=4, planned=15, deepest=0.5, deepest_u95=0.05, rest=7.8, opened=("hatch",)
    )
    outing(log, bramble, site, "12:20", dive, trip, paper=True)
    log.at("13:00")
    log.put("day.closed", {"site": "barn-tank"})
    charge(log, "D5", 0.36, 8.9)
    file_now(log, bramble)


def _late_march(log: Log, crew: Crew) -> None:
    tansy, bulrush = crew["tansy"], crew["bulrush"]
    log.at("2032-03-27 19:40")
    evening(log, tansy, drops=DROPS, load=8.22)
    site = Site("withy-pond", "fresh", 8.0, 11.0, "small glassy wavelets", clarity=1.0)
    open_day(log, "2032-03-28 10:20", site)
    dive = Dive("D2", 8.33, 11.0, fall=0.1, tip=118, paces=47, fill=38.3, empty=35.3, running=8.1, out=18)
    outing(
        log, tansy, site, "10:40", dive, Trip(43, deepest=0.7, cycles=6, rest=7.64, shift=-5.1), paper=True
    )
    dive = Dive("P1", 6.42, 11.0, tip=167, paces=38, fill=50.9, empty=57.2, running=6.12, out=55)
    trip = Trip(41, depth=0.5, deepest=0.5, cycles=5, rest=6.26, shift=-3.3)
    outing(log, bulrush, site, "12:40", dive, trip, paper=True)
    log.at("15:00")
    log.put("day.closed", {"site": "withy-pond"})
    charge(log, "D2", 2.10, 8.38)
    charge(log, "P1", 1.85, 7.25)
    log.at("2032-03-30 19:00")
    for boat in (tansy, crew["juniper"]):
        log.put("radio.changed", {"changed": ["transmitter cells"]}, boat.slug)


def _juniper_tank(log: Log, crew: Crew) -> None:
    juniper = crew["juniper"]
    log.at("2032-04-03 19:00")
    grease(log, juniper, 2.5, 1.6, "marine")
    charge(log, "D1", 6.1, 14.2)
    charge(log, "R2", 1.0, 7.2)
    site = Site("barn-tank", "fresh", 18.0, 17.0, "mirror", helper="one")
    open_day(log, "2032-04-04 09:40", site)
    leak_test(log, juniper, 0.9)
    tank_trim(log, juniper, water=18.0, balance=118.0, balance_u95=12.0, up=11.0, out=44)
    dive = Dive("D1", 13.3, 17.0, tip=215, fill=24.3, empty=9.1, out=44, bottle=139.9)
    trip = Trip(14, depth=0.5, distance=4, planned=15, deepest=0.6, deepest_u95=0.05, cycles=2, rest=13.25)
    outing(log, juniper, site, "12:40", dive, trip, paper=True)
    log.at("13:40")
    log.put("day.closed", {"site": "barn-tank"})
    charge(log, "D1", 1.6, 14.2)
    file_now(log, juniper)


def _april_pond(log: Log, crew: Crew) -> None:
    tansy, bulrush, bramble, juniper = (crew[slug] for slug in ("tansy", "bulrush", "bramble", "juniper"))
    log.at("2032-04-10 20:00")
    evening(
        log, juniper, drops={"pack plug": 18, "main switch": 22, "fuse": 16, "controller": 20}, lamps=True
    )
    site = Site("withy-pond", "fresh", 9.0, 12.0, clarity=1.0)
    open_day(log, "2032-04-11 09:00", site)
    dive = Dive("D2", 8.32, 12.0, tip=120, paces=48, fill=38.5, empty=35.6, running=8.11, out=18)
    outing(log, tansy, site, "09:15", dive, Trip(39, deepest=0.7, cycles=5, rest=7.7, shift=-4.2), paper=True)
    dive = Dive("D1", 13.3, 12.0, fall=0.1, tip=214, paces=55, fill=24.4, empty=9.2, out=43, bottle=139.4)
    trip = Trip(34, depth=0.8, deepest=0.9, cycles=3, rest=13.2, shift=-6.3, opened=("aft cap",))
    outing(log, juniper, site, "10:40", dive, trip, paper=True)
    dive = Dive("P1", 6.41, 12.0, tip=166, paces=40, fill=51.4, empty=57.8, running=6.1, out=54, skips=PADDED)
    trip = Trip(37, depth=0.5, deepest=0.6, cycles=5, rest=6.28, shift=-2.5)
    outing(log, bulrush, site, "13:00", dive, trip, paper=True)
    dive = Dive("D5", 8.1, 12.0, tip=149, paces=35)
    trip = Trip(19, depth=0.3, distance=20, planned=20, deepest=0.4, rest=7.6, shift=-0.8, opened=("hatch",))
    outing(log, bramble, site, "15:00", dive, trip, paper=True)
    log.at("15:50")
    log.put("day.closed", {"site": "withy-pond"})
    charge(log, "D2", 2.05, 8.38)
    charge(log, "D5", 0.57, 8.9)
    charge(log, "D1", 4.0, 14.2)
    charge(log, "P1", 1.78, 7.25)


def _april_tank(log: Log, crew: Crew) -> None:
    tansy, bulrush = crew["tansy"], crew["bulrush"]
    log.at("2032-04-17 17:30")
    grease(log, tansy, 1.2, 1.7, "silicone")
    lead = num(0.012, 0.0005, "12 g", "letter scales")
    log.put("mass.moved", {"piece": "bow lead", "mass": lead, "from": "bow", "to": "amidships"}, "tansy")
    evening(log, tansy, drops=DROPS, terminals=True, load=8.23)
    no_load(log, tansy, [(0.62, 0.66), (0.60, 0.65), (0.63, 0.67), (0.61, 0.65), (0.62, 0.66)], 7.6, 15.0)
    site = Site("barn-tank", "fresh", 19.0, 20.0, "mirror", helper="one")
    open_day(log, "2032-04-18 09:00", site)
    leak_test(log, tansy, 0.1)
    tank_trim(log, tansy, water=19.0, balance=21.0, balance_u95=4.0, up=14.0, out=12, full=True)
    log.at("11:40")
    leak_test(log, bulrush, 0.3, string=(1.25, 0.05), ten=True)
    log.at("14:30")
    log.put("day.closed", {"site": "barn-tank"})
    file_now(log, tansy)


def _tuesday(log: Log, crew: Crew) -> None:
    bulrush, bramble = crew["bulrush"], crew["bramble"]
    log.at("2032-04-19 19:10")
    grease(log, bulrush, 1.5, 2.1, "marine")
    serviced(log, bulrush, "strainer")
    grease(log, bramble, 0.3, 0.0, "silicone")
    evening(
        log, bulrush, drops={"pack tabs": 17, "switch": 12, "motor": 15}, load=6.21, clear=40, terminals=True
    )
    site = Site("withy-pond", "fresh", 14.0, 16.0, "mirror", clarity=1.2)
    open_day(log, "2032-04-20 15:30", site)
    tank_trim(log, bulrush, water=14.0, balance=45.0, balance_u95=8.0, up=12.0, out=49)
    dive = Dive("P1", 6.42, 16.0, tip=168, paces=40, fill=51.9, empty=58.1, running=6.1, out=49)
    outing(
        log, bulrush, site, "16:50", dive, Trip(40, depth=0.5, deepest=0.6, cycles=5, rest=6.27), paper=True
    )
    file_now(log, bulrush)
    log.at("19:00")
    log.put("day.closed", {"site": "withy-pond"})
    charge(log, "P1", 1.8, 7.25)


def _two_runs(log: Log, crew: Crew) -> None:
    tansy, bulrush = crew["tansy"], crew["bulrush"]
    log.at("2032-04-24 19:20")
    evening(log, tansy, drops=DROPS, load=8.22)
    no_load(log, tansy, [(0.63, 0.66)], 7.6, 15.0)
    evening(
        log, bulrush, drops={"pack tabs": 17, "switch": 13, "motor": 15}, load=6.22, clear=40, terminals=True
    )
    charge(log, "D3", 0.2, 8.38)
    site = Site("withy-pond", "fresh", 10.0, 13.0, "small glassy wavelets", clarity=1.1, helper="two")
    open_day(log, "2032-04-25 08:30", site)
    dive = Dive("D2", 8.33, 13.0, fall=0.1, tip=120, paces=48, fill=38.4, empty=35.5, running=8.1, out=18)
    trip = Trip(
        42, depth=0.8, deepest=0.9, cycles=6, rest=7.66, shift=-3.7,
        marks=((18, "other", "a grebe dived with her"), (33, "signal", "one twitch at the far bank")),
    )  # fmt: skip
    outing(log, tansy, site, "08:40", dive, trip)
    dive = Dive("D3", 8.3, 14.0, fall=0.1, pause=("faces", 160.0))
    trip = Trip(20, planned=20, deepest=0.6, cycles=3, rest=7.6, shift=-3.7, pack_mass_change=-2.0)
    outing(log, tansy, site, "10:50", dive, trip, again=SECOND_OPENED)
    glitch = Happening(
        12, "signal", {"kind": "drop", "distance": metres(33, 3), "motor_on": True, "pump_on": True}
    )
    dive = Dive("P1", 6.42, 13.0, tip=167, paces=40, fill=52.3, empty=58.4, running=6.1, out=50, skips=PADDED)
    trip = Trip(28, depth=0.5, deepest=0.6, cycles=4, rest=6.33, shift=-1.7, opened=(), looked="window")
    outing(log, bulrush, site, "12:10", dive, trip, paper=True)
    dive = Dive("P1", 6.33, 13.0, fill=52.4, empty=58.5, running=6.06)
    trip = Trip(16, depth=0.5, planned=15, deepest=0.5, cycles=2, rest=6.24, shift=-1.7, under_way=(glitch,))
    outing(log, bulrush, site, "13:20", dive, trip, paper=True)
    log.at("15:00")
    log.put("day.closed", {"site": "withy-pond"})
    charge(log, "D2", 2.06, 8.38)
    charge(log, "D3", 1.1, 8.38)
    charge(log, "P1", 2.12, 7.25)


def _first_of_may(log: Log, crew: Crew) -> None:
    tansy, bramble = crew["tansy"], crew["bramble"]
    log.session("2032-05-01 08:50")
    site = Site("withy-pond", "fresh", 11.0, 14.0, clarity=1.1)
    open_day(log, "09:30", site)
    dive = Dive("D2", 8.32, 14.0, tip=119, paces=47, fill=38.5, empty=35.6, running=8.1, out=18)
    outing(
        log,
        tansy,
        site,
        "09:40",
        dive,
        Trip(40, deepest=0.6, cycles=5, rest=7.69, shift=-3.0, pack_mass_change=2.0),
        paper=True,
    )
    dive = Dive("D5", 8.1, 14.0, tip=150, paces=34)
    trip = Trip(
        21, depth=0.3, distance=20, planned=20, deepest=0.3, rest=7.6, shift=-0.5, opened=("hatch",),
        defect="port bow plane scuffed: sand it and look at its rod", still=("dry_long", "joints"),
    )  # fmt: skip
    outing(log, bramble, site, "11:20", dive, trip)
    log.at("13:00")
    log.put("day.closed", {"site": "withy-pond"})


def _basin(log: Log, crew: Crew) -> None:
    juniper = crew["juniper"]
    log.at("2032-05-02 07:30")
    charge(log, "R2", 1.1, 7.2)
    evening(
        log, juniper, drops={"pack plug": 18, "main switch": 23, "fuse": 16, "controller": 20}, lamps=True
    )
    site = Site("sluice-basin", "brackish", 12.0, 14.0, "small glassy wavelets", 1.2, 7.0, 12.2, helper="one")
    open_day(log, "09:20", site)
    lead = num(0.080, 0.001, "80 g", "letter scales")
    log.put(
        "mass.moved", {"piece": "basin lead", "mass": lead, "from": "box", "to": "amidships, low"}, "juniper"
    )
    dive = Dive("D1", 13.3, 15.0, fall=0.2, tip=213, paces=52, fill=24.9, empty=9.3, out=47, bottle=138.8)
    trip = Trip(
        33, depth=0.35, distance=20, planned=35, deepest=0.6, cycles=3, rest=13.18, shift=80.9, blows=2,
        still=("trim", "failsafe_wet"), water="a teaspoon", end="aft", opened=("aft cap",),
        marks=((27, "other", "sat lower by the stern than she should"),),
    )  # fmt: skip
    outing(log, juniper, site, "09:45", dive, trip)
    log.put(
        "mass.moved", {"piece": "basin lead", "mass": lead, "from": "amidships, low", "to": "box"}, "juniper"
    )
    log.at("12:10")
    log.put("day.closed", {"site": "sluice-basin"})
    home = Walk(log, juniper, "at-home", "at-home")
    home.line("air")
    home.line("rinse")
    home.end(
        left="late; terminals and the aft ring tomorrow", still=["terminals-after", "corrosion", "charge"]
    )


def _evening(log: Log, crew: Crew) -> None:
    tansy, bulrush = crew["tansy"], crew["bulrush"]
    log.at("2032-05-03 18:50")
    late = {"which": ["switch port"], "lifted": False, "place": "shed"}
    log.put("opened", late, "bulrush", happened="2032-05-02T18:30:00+01:00 ± 10 min")
    evening(log, tansy, drops=DROPS, load=8.23)
    no_load(log, tansy, [(0.62, 0.66)], 7.6, 15.0)
    evening(log, bulrush, drops={"pack tabs": 17, "switch": 13, "motor": 15}, load=6.22, clear=40)
    for pack, went_in, at_end in (
        ("D2", 2.08, 8.38), ("R1", 1.3, 7.1), ("D5", 0.62, 8.9), ("P1", 0.25, 7.25), ("D3", 0.1, 8.38),
    ):  # fmt: skip
        charge(log, pack, went_in, at_end)
    text = "Tansy first, Bulrush after ten; Bramble if the wind stays down. Juniper stays at home: aft ring."
    log.put("note", {"text": text, "private": True, "about": "withy-pond"})


def _morning(log: Log, crew: Crew) -> None:
    tansy, bulrush, bramble = crew["tansy"], crew["bulrush"], crew["bramble"]
    log.session("2032-05-04 06:40")
    serviced(log, bulrush, "terminals", "terminal grease")
    log.at("06:52")
    dive = Dive("D2", 8.31, 19.0, water=11.0, fall=0.1)
    set_plan(log, tansy, dive, Trip(0, depth=0.7, distance=35, planned=40, shift=-3.0))
    walk = BeforeDive(log, tansy, dive, enclosed=False, peg=False)
    walk.open_boat()
    walk.closing_up()
    edge = ["tip", "surfaces", "paces", "full-power", "cycle", "residual", "clear"]
    walk.walk.end(left="closed at home; the rest at the water", still=edge, phase="waters-edge")
    site = Site("withy-pond", "fresh", 11.0, 16.0, "small glassy wavelets", clarity=1.1)
    open_day(log, "07:45", site)
    set_plan(log, bulrush, Dive("P1"), Trip(0, depth=0.5, distance=35, planned=40, shift=-1.1))
    dive = Dive("D5", 8.1, 16.0, water=11.0)
    set_plan(log, bramble, dive, Trip(0, depth=0.3, distance=20, planned=20, shift=-0.5))
    log.at("07:47:30")
    walk = BeforeDive(log, bramble, dive, enclosed=False, peg=False)
    walk.open_boat()
    walk.closing_up(until="press")
    log.at("07:57:50")
    walk.walk.pause("dip")
