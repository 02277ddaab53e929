"""The first season: 16 March to 12 October 2031. Half of it was kept on printed sheets and typed in by its figures."""

from __future__ import annotations

from sample_crew import Boat
from sample_filing import file_first
from sample_lists import bench, charge, evening, grease, leak_test, pack_test, serviced, tank_trim
from sample_log import Log, metres, num
from sample_trips import Happening, Site, Trip, open_day, outing
from sample_walks import Dive

Crew = dict[str, Boat]


def season(log: Log, crew: Crew) -> None:
    """Day by day."""
    for day in (
        _march_tank, _march_pond, _april_pond, _april_tank, _may_basin, _june_pond, _june_pool, _june_weed, _july_pond,
        _august_pool, _august_reeds, _september_pond, _october_pond,
    ):  # fmt: skip
        day(log, crew)


def _march_tank(log: Log, crew: Crew) -> None:
    tansy, juniper = crew["tansy"], crew["juniper"]
    log.session("2031-03-15 19:30")
    for each in (tansy, crew["bulrush"], juniper):
        file_first(log, each)
    for pack, went_in, at_end in (("D2", 2.6, 8.38), ("D3", 2.5, 8.38), ("D1", 6.4, 14.2), ("R1", 1.1, 7.1)):
        charge(log, pack, went_in, at_end)
    pack_test(log, "D2", 4.95, 12.5)
    pack_test(log, "D3", 4.9, 13.0)
    grease(log, tansy, 1.0, 0.0, "silicone")
    serviced(log, tansy, "terminals", "contact film")
    bench(log, tansy, 5.6)
    site = Site("barn-tank", "fresh", 18.0, 17.0, "mirror", helper="one")
    open_day(log, "2031-03-16 09:30", site)
    leak_test(log, tansy, 0.2)
    tank_trim(log, tansy, water=18.0, balance=24.0, balance_u95=4.0, up=13.0, out=13)
    dive = Dive("D2", 8.31, 17.0, tip=122, fill=37.8, empty=34.9, running=8.1, out=13)
    trip = Trip(18, depth=0.4, distance=4, planned=20, deepest=0.5, deepest_u95=0.05, cycles=3, rest=7.98)
    outing(log, tansy, site, "12:10", dive, trip, paper=True)
    log.at("13:20")
    leak_test(log, juniper, 0.8)
    tank_trim(log, juniper, water=18.0, balance=110.0, balance_u95=12.0, up=11.0, out=42)
    log.at("16:40")
    log.put("day.closed", {"site": "barn-tank"})
    charge(log, "D2", 0.96, 8.38)


def _march_pond(log: Log, crew: Crew) -> None:
    tansy, bulrush = crew["tansy"], crew["bulrush"]
    log.at("2031-03-29 19:00")
    charge(log, "P1", 1.9, 7.2)
    grease(log, bulrush, 1.5, 0.0, "marine")
    serviced(log, bulrush, "terminals", "terminal grease")
    site = Site("withy-pond", "fresh", 9.0, 11.0, clarity=0.9)
    open_day(log, "2031-03-30 09:10", site)
    dive = Dive("D2", 8.32, 12.0, fall=0.1, tip=121, paces=49, fill=38.2, empty=35.2, running=8.1, out=12)
    outing(
        log, tansy, site, "09:30", dive, Trip(38, deepest=0.6, cycles=6, rest=7.72, shift=-4.4), paper=True
    )
    tank_trim(log, bulrush, water=9.0, balance=52.0, balance_u95=8.0, up=12.0, out=58)
    dive = Dive("P1", 6.41, 11.0, tip=168, paces=41, fill=46.1, empty=53.8, running=6.1, out=57)
    outing(
        log,
        bulrush,
        site,
        "12:05",
        dive,
        Trip(40, deepest=0.5, cycles=5, rest=6.27, opened=(), looked="window"),
        paper=True,
    )
    log.at("14:30")
    log.put("day.closed", {"site": "withy-pond"})
    charge(log, "D2", 1.92, 8.38)
    charge(log, "P1", 1.83, 7.25)


def _april_pond(log: Log, crew: Crew) -> None:
    tansy, juniper = crew["tansy"], crew["juniper"]
    log.session("2031-04-12 20:00")
    charge(log, "R2", 0.7, 7.2)
    site = Site("withy-pond", "fresh", 10.0, 12.0, "small glassy wavelets", clarity=1.0)
    open_day(log, "2031-04-13 09:20", site)
    dive = Dive("D2", 8.33, 12.0, tip=118, paces=47, fill=38.1, empty=35.0, running=8.1)
    outing(
        log, tansy, site, "09:40", dive, Trip(42, deepest=0.7, cycles=6, rest=7.66, shift=-3.7), paper=True
    )
    sank = Happening(
        11,
        "incident",
        {
            "step": "went down uncontrolled", "depth": metres(1.9, 0.3, "guessed"), "source": "guessed",
            "cause": "the blow valve stuck shut: ice in the hose", "worked": "full astern, then the hook pole",
            "damage": "none",
        },
    )  # fmt: skip
    dive = Dive("D1", 13.3, 12.0, fall=0.1, tip=215, paces=56, fill=24.2, empty=9.1, out=41, bottle=138.6)
    trip = Trip(
        16, deepest=1.9, deepest_u95=0.3, how="guessed", cycles=2, rest=13.2, reason="trouble", shift=-4.8,
        under_way=(sank,), marks=((9, "other", "two swans close by"),), opened=("aft cap", "fore cap"),
    )  # fmt: skip
    outing(log, juniper, site, "11:20", dive, trip, paper=True)
    log.at("14:00")
    log.put("day.closed", {"site": "withy-pond"})
    charge(log, "D2", 2.1, 8.38)
    charge(log, "D1", 1.9, 14.2)


def _april_tank(log: Log, crew: Crew) -> None:
    juniper, bramble = crew["juniper"], crew["bramble"]
    log.at("2031-04-25 19:20")
    put = log.put
    put("fitted", {"part": "valve", "item": "blow valve", "old": "steel spring", "new": "stainless spring",
                   "inside_cylinder": False}, "juniper")  # fmt: skip
    put("boat.received", {"from": "a friend of the house", "condition": "runs, hull sound, paint poor",
                          "defects": ["rudder rod boot cracked"], "claimed": ["dry_long", "failsafe_wet"]},
        "bramble")  # fmt: skip
    file_first(log, bramble)
    defect = put("defect.opened", {"defect": "rudder rod boot cracked", "stops_launch": True}, "bramble")
    serviced(log, bramble, "seal.rudder_rod", "new silicone boot")
    for pack, went_in, at_end in (("D5", 1.6, 8.9), ("D4", 1.5, 8.8)):
        charge(log, pack, went_in, at_end)
    site = Site("barn-tank", "fresh", 18.0, 16.0, "mirror")
    open_day(log, "2031-04-26 10:00", site)
    bench(log, juniper, 5.5)
    tank_trim(log, juniper, water=18.0, balance=112.0, balance_u95=12.0, up=11.0, out=42)
    put("defect.closed", {"of": log.last["juniper", "incident"], "check": log.last["juniper", "check.answered"],
                          "words": "ten blows in the tank, every one full"}, "juniper")  # fmt: skip
    bench(log, bramble, 4.7)
    leak_test(log, bramble, 0.0, string=(0.6, 0.05), ten=True)
    put("defect.closed", {"of": defect, "check": log.last["bramble", "check.answered"],
                          "words": "new boot, half an hour at 0.6 m, bone dry"}, "bramble")  # fmt: skip
    tank_trim(log, bramble, water=18.0, balance=10.0, balance_u95=1.0, up=6.5, ten=False)
    log.at("17:10")
    put("day.closed", {"site": "barn-tank"})


def _may_basin(log: Log, crew: Crew) -> None:
    juniper = crew["juniper"]
    log.session("2031-05-17 20:30")
    charge(log, "D1", 0.8, 14.2)
    grease(log, juniper, 2.5, 0.9, "marine")
    log.at("2031-05-18 08:40")
    log.clock.put_right(61.0)
    site = Site("sluice-basin", "brackish", 14.0, 15.0, "small glassy wavelets", 1.3, 7.2, 12.6, helper="one")
    open_day(log, "2031-05-18 09:40", site)
    lead = num(0.085, 0.001, "85 g", "letter scales")
    log.put(
        "mass.moved", {"piece": "basin lead", "mass": lead, "from": "box", "to": "amidships, low"}, "juniper"
    )
    rose = Happening(
        22,
        "incident",
        {
            "step": "came up uncontrolled", "depth": metres(0.8, 0.2, "seen"), "source": "seen",
            "cause": "a little gas left in the tank grew on the way up", "worked": "vent open, shallower turns",
            "damage": "none",
        },
    )  # fmt: skip
    dive = Dive("D1", 13.3, 15.0, tip=212, paces=51, fill=25.0, empty=9.4, out=60, bottle=139.2)
    trip = Trip(
        31, depth=0.35, distance=20, planned=35, deepest=0.8, deepest_u95=0.2, cycles=3, rest=13.15, shift=82.0,
        blows=2, under_way=(rose,), opened=("aft cap",),
    )  # fmt: skip
    outing(log, juniper, site, "10:05", dive, trip, paper=True)
    log.put(
        "mass.moved", {"piece": "basin lead", "mass": lead, "from": "amidships, low", "to": "box"}, "juniper"
    )
    log.at("13:00")
    log.put("note", {"text": "The sluice was opened an hour before low water: a bow wave right across the basin.",
                     "private": False, "about": "sluice-basin"}, "juniper")  # fmt: skip
    log.put("day.closed", {"site": "sluice-basin"})
    charge(log, "D1", 3.6, 14.2)


def _june_pond(log: Log, crew: Crew) -> None:
    tansy, bulrush = crew["tansy"], crew["bulrush"]
    log.at("2031-05-31 19:10")
    grease(log, tansy, 1.0, 2.4, "silicone")
    charge(log, "P1", 0.3, 7.2)
    evening(log, tansy, drops={"pack plug": 11, "main link": 9, "fuse": 14, "motor": 11.5}, load=8.22)
    site = Site("withy-pond", "fresh", 15.0, 18.0, clarity=1.4)
    open_day(log, "2031-06-01 09:00", site)
    touched = Happening(
        24,
        "incident",
        {"step": "touched bottom", "depth": metres(1.2, 0.2, "guessed"), "source": "guessed",
         "cause": "dived past the shelf at the north end", "worked": "ballast out, astern", "damage": "none"},
    )  # fmt: skip
    dive = Dive("D2", 8.34, 18.0, tip=120, paces=48, fill=37.9, empty=35.3, running=8.1, out=21)
    trip = Trip(
        44, depth=0.8, planned=45, deepest=1.2, deepest_u95=0.2, how="guessed", cycles=7, rest=7.61, shift=-0.9,
        under_way=(touched,), marks=((24, "bottom", "mud on the rudder"),),
    )  # fmt: skip
    outing(log, tansy, site, "09:20", dive, trip, paper=True)
    dive = Dive("P1", 6.42, 18.0, tip=166, paces=40, fill=46.9, empty=54.6, running=6.12, out=60)
    outing(
        log,
        bulrush,
        site,
        "11:40",
        dive,
        Trip(45, deepest=0.5, cycles=6, rest=6.25, opened=(), looked="window"),
        paper=True,
    )
    log.at("14:10")
    log.put("day.closed", {"site": "withy-pond"})
    charge(log, "D2", 2.23, 8.38)
    charge(log, "P1", 2.05, 7.25)


def _june_pool(log: Log, crew: Crew) -> None:
    bramble = crew["bramble"]
    log.at("2031-06-14 13:30")
    charge(log, "D5", 0.4, 8.9)
    site = Site("glasshouse-pool", "salt_pool", 22.0, 21.0, clarity=3.0, salinity=4.0)
    open_day(log, "15:00", site)
    dive = Dive("D5", 8.1, 21.0, tip=150)
    trip = Trip(19, depth=0.4, distance=8, planned=20, deepest=0.5, rest=7.6, shift=4.1, opened=("hatch",))
    outing(log, bramble, site, "15:20", dive, trip, paper=True)
    log.put("serviced", {"item": "terminals", "consumable": "rinsed, contact film"}, "bramble")
    log.at("17:00")
    log.put("day.closed", {"site": "glasshouse-pool"})
    wrong = charge(log, "D5", 5.6, 8.9)
    right = {"pack": "D5", "charge": num(2016.0, 100.0, "0.56 A h", "charger"), "to": "full"}
    log.put("corrected", {"id": wrong, "data": right, "why": "the point slipped: 0.56, not 5.6"})


def _june_weed(log: Log, crew: Crew) -> None:
    bulrush = crew["bulrush"]
    log.at("2031-06-29 08:10")
    site = Site("withy-pond", "fresh", 18.0, 20.0, "mirror", clarity=0.8)
    open_day(log, "09:15", site)
    stuck = Happening(
        17,
        "incident",
        {"step": "stuck", "depth": metres(0.9, 0.2, "seen"), "source": "seen", "cause": "weed round the propeller",
         "worked": "four minutes' wait, then the hook pole", "damage": "weed in the strainer"},
    )  # fmt: skip
    dive = Dive("P1", 6.4, 19.0, tip=165, paces=38, fill=47.6, empty=55.0, running=6.1, out=58)
    trip = Trip(
        24, deepest=0.9, deepest_u95=0.2, cycles=4, rest=6.3, reason="weather", under_way=(stuck,),
        shaft_look="weed", after_left="rain; the rest was looked at under the roof",
    )  # fmt: skip
    outing(log, bulrush, site, "09:40", dive, trip, paper=True)
    serviced(log, bulrush, "strainer")
    log.at("12:00")
    log.put("day.closed", {"site": "withy-pond"})
    charge(log, "P1", 1.1, 7.25)


def _july_pond(log: Log, crew: Crew) -> None:
    tansy, bramble = crew["tansy"], crew["bramble"]
    log.session("2031-07-19 20:00")
    site = Site("withy-pond", "fresh", 20.0, 22.0, clarity=0.7)
    open_day(log, "2031-07-20 08:50", site)
    beyond = Happening(
        15,
        "incident",
        {"step": "beyond plan", "depth": metres(0.9, 0.1, "seen"), "source": "seen",
         "cause": "followed a shoal too long", "worked": "planes", "damage": "none"},
    )  # fmt: skip
    glitch = Happening(
        21, "signal", {"kind": "glitch", "distance": metres(28, 3), "motor_on": True, "pump_on": False}
    )
    dive = Dive("D2", 8.33, 22.0, tip=119, paces=47, fill=38.0, empty=35.4, running=8.12, out=22)
    trip = Trip(
        41, deepest=0.9, cycles=6, rest=7.65, shift=0.1, under_way=(beyond, glitch), water="a drop", end="aft",
        marks=((21, "signal", "a twitch of the rudder"),),
    )  # fmt: skip
    outing(log, tansy, site, "09:10", dive, trip, paper=True)
    wet = log.last["tansy", "water.found"]
    dive = Dive("D5", 8.0, 22.0, tip=150, paces=36)
    trip = Trip(20, depth=0.3, distance=18, planned=20, deepest=0.3, rest=7.5, opened=("hatch",))
    outing(log, bramble, site, "11:00", dive, trip, paper=True)
    log.at("13:30")
    log.put("day.closed", {"site": "withy-pond"})
    grease(log, tansy, 1.5, 1.3, "silicone", ["shaft"])
    leak_test(log, tansy, 0.2)
    proved = log.last["tansy", "check.answered"]
    words = "seal packed with grease, held 25 min at 20 kPa"
    log.put("defect.closed", {"of": wet, "check": proved, "words": words}, "tansy")
    charge(log, "D2", 2.08, 8.38)
    charge(log, "D5", 0.6, 8.9)


def _august_pool(log: Log, crew: Crew) -> None:
    tansy, bramble = crew["tansy"], crew["bramble"]
    log.at("2031-08-09 14:30")
    site = Site("glasshouse-pool", "salt_pool", 24.0, 26.0, "mirror", clarity=3.0, salinity=4.2)
    open_day(log, "15:10", site)
    dive = Dive("D5", 8.0, 26.0, tip=148)
    trip = Trip(21, depth=0.4, distance=8, planned=20, deepest=0.6, rest=7.5, shift=4.3, opened=("hatch",))
    outing(log, bramble, site, "15:20", dive, trip, paper=True)
    lead = num(0.017, 0.0005, "17 g", "letter scales")
    log.put(
        "mass.moved", {"piece": "pool coins", "mass": lead, "from": "box", "to": "under the keel"}, "tansy"
    )
    tank_trim(log, tansy, water=24.0, balance=23.0, balance_u95=4.0, up=13.5, out=13, ten=False)
    dive = Dive("D3", 8.3, 26.0, tip=118, fill=38.1, empty=35.6, running=8.05, out=13)
    trip = Trip(
        15, depth=0.4, distance=8, planned=15, deepest=0.5, cycles=3, rest=7.9, shift=18.0, pack_mass_change=-2.0,
        marks=((6, "other", "pressed by mistake"),),
    )  # fmt: skip
    outing(log, tansy, site, "17:00", dive, trip, paper=True)
    log.put(
        "corrected", {"id": log.last["tansy", "mark"], "void": True, "why": "a sleeve on the key"}, "tansy"
    )
    log.put(
        "mass.moved", {"piece": "pool coins", "mass": lead, "from": "under the keel", "to": "box"}, "tansy"
    )
    log.at("18:40")
    log.put("day.closed", {"site": "glasshouse-pool"})
    charge(log, "D5", 0.61, 8.9)
    charge(log, "D3", 0.84, 8.38)
    log.at("2031-08-10 10:00")
    log.put("knocked", {"kind": "heat"}, "tansy", happened="2031-08-09T13:00:00+01:00 ± 30 min")


def _august_reeds(log: Log, crew: Crew) -> None:
    bramble, bulrush = crew["bramble"], crew["bulrush"]
    log.at("2031-08-24 08:30")
    site = Site("withy-pond", "fresh", 18.0, 19.0, "crests begin to break", clarity=0.9)
    open_day(log, "09:05", site)
    lost = (
        Happening(14, "signal", {"kind": "lost", "distance": metres(31, 3), "depth": metres(0.3, 0.1),
                                 "motor_on": True, "pump_on": False}),
        Happening(14.2, "failsafe.tripped", {"trigger": "signal lost", "real": True, "seconds": 1.0,
                                             "channels": dict.fromkeys(bramble.channels, True)}),
        Happening(61, "signal", {"kind": "back", "distance": metres(4, 1)}),
        Happening(62, "incident", {
            "step": "lost and found", "depth": metres(0.4, 0.2, "guessed"), "source": "guessed",
            "cause": "under the reeds at the east end, aerial in the water", "worked": "two bearings and the boat",
            "damage": "aerial bent, shaft seal torn by line",
        }),
    )  # fmt: skip
    dive = Dive("D5", 8.05, 19.0, tip=151, paces=33)
    trip = Trip(
        64, depth=0.3, distance=25, planned=20, deepest=0.4, deepest_u95=0.2, how="guessed", rest=7.2, reason="signal",
        under_way=lost, shaft_look="line", opened=("hatch",), shaft=0.25,
    )  # fmt: skip
    outing(log, bramble, site, "09:20", dive, trip, paper=True)
    dive = Dive("P1", 6.4, 19.0, tip=164, paces=39, fill=48.1, empty=55.4, running=6.11, out=59)
    trip = Trip(38, deepest=0.5, cycles=5, rest=6.28, opened=(), looked="window")
    outing(log, bulrush, site, "12:00", dive, trip, paper=True)
    log.at("14:00")
    log.put("day.closed", {"site": "withy-pond"})
    charge(log, "D5", 0.95, 8.9)
    charge(log, "P1", 1.75, 7.25)
    log.at("2031-08-30 10:20")
    log.put("fitted", {"part": "seal", "item": "shaft", "old": "torn by line", "new": "nitrile lip 2 x 6",
                       "seals": ["shaft"], "inside_cylinder": False, "cost": "4.20"}, "bramble")  # fmt: skip
    log.put("radio.changed", {"changed": ["aerial"]}, "bramble")


def _september_pond(log: Log, crew: Crew) -> None:
    tansy, bulrush = crew["tansy"], crew["bulrush"]
    log.session("2031-09-20 19:40")
    grease(log, tansy, 1.0, 0.9, "silicone")
    evening(
        log, bulrush, drops={"pack tabs": 17, "switch": 12, "motor": 15}, load=6.21, clear=40, terminals=True
    )
    site = Site("withy-pond", "fresh", 14.0, 15.0, clarity=1.2)
    open_day(log, "2031-09-21 09:00", site)
    dive = Dive("D2", 8.32, 15.0, tip=120, paces=47, fill=38.3, empty=35.5, running=8.1, out=21)
    outing(
        log,
        tansy,
        site,
        "09:15",
        dive,
        Trip(39, deepest=0.6, cycles=5, rest=7.7, shift=-1.3, pack_mass_change=2.0),
        paper=True,
    )
    exceeded = Happening(
        19,
        "incident",
        {"step": "limit exceeded", "depth": metres(0.8, 0.1, "seen"), "source": "seen",
         "cause": "both sticks forward in a turn", "worked": "planes up, ballast out", "damage": "none"},
    )  # fmt: skip
    dive = Dive("P1", 6.43, 15.0, tip=167, paces=40, fill=48.8, empty=55.9, running=6.1, out=60,
                pause=("faces", 740.0))  # fmt: skip
    still = ("dry_long", "failsafe_wet", "supply", "look")
    trip = Trip(42, depth=0.5, deepest=0.8, cycles=6, rest=6.27, under_way=(exceeded,), still=still)
    outing(log, bulrush, site, "11:10", dive, trip)
    log.at("14:00")
    log.put("day.closed", {"site": "withy-pond"})
    charge(log, "D2", 1.97, 8.38)
    charge(log, "P1", 1.93, 7.25)


def _october_pond(log: Log, crew: Crew) -> None:
    juniper = crew["juniper"]
    log.at("2031-10-11 18:20")
    charge(log, "D1", 0.9, 14.2)
    wrong = bench(log, juniper, 5.5, failsafe_fault="sail_planes")
    log.wait(25)
    log.put("radio.changed", {"changed": ["mixing"]}, "juniper")
    bench(log, juniper, 5.5)
    words = "sail planes were mixed the wrong way round; four trips, every channel right"
    done = {"of": wrong, "check": log.last["juniper", "check.answered"], "words": words}
    log.put("defect.closed", done, "juniper")
    site = Site("withy-pond", "fresh", 12.0, 11.0, clarity=1.3)
    open_day(log, "2031-10-12 10:00", site)
    dive = Dive("D1", 13.3, 11.0, fall=0.2, tip=214, paces=55, fill=24.6, empty=9.2, out=43, bottle=137.9)
    trip = Trip(
        33, deepest=0.9, cycles=3, rest=13.2, shift=-2.4, opened=("aft cap",),
        water="mist on the wall", end="fore",
    )  # fmt: skip
    outing(log, juniper, site, "10:20", dive, trip, paper=True)
    log.at("13:00")
    log.put("day.closed", {"site": "withy-pond"})
    charge(log, "D1", 3.9, 14.2)
