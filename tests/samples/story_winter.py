"""Between the seasons: 19 October 2031 to 6 March 2032. Laid up, packs tested, seals renewed, everything on the bench."""

from __future__ import annotations

from sample_crew import Boat
from sample_lists import bench, charge, evening, fitted, grease, lay_up, pack_test, serviced
from sample_log import Log
from sample_walks import Walk

Crew = dict[str, Boat]
DROPS = {"pack plug": 11.5, "main link": 9, "fuse": 14.5, "motor": 12}


def winter(log: Log, crew: Crew) -> None:
    """Evening by evening."""
    for evening_of in (_october, _november, _months, _february, _march):
        evening_of(log, crew)


def _october(log: Log, crew: Crew) -> None:
    log.session("2031-10-19 10:00")
    for slug in ("tansy", "bulrush", "juniper"):
        serviced(log, crew[slug], "linkages", "light oil")
    text = "Tansy's shaft seal has let in one drop this year. Renew it before spring; look at the tube while at it."
    log.put("note", {"text": text, "private": True, "about": "season"}, "tansy")


def _november(log: Log, crew: Crew) -> None:
    log.at("2031-11-02 14:00")
    fitted(log, crew["tansy"], "seal", "shaft", "nitrile lip 4 x 10, worn", "nitrile lip 4 x 10", seals=["shaft"],
           inside_cylinder=False, cost="3.80")  # fmt: skip
    grease(log, crew["tansy"], 1.5, 0.0, "silicone", ["shaft"])
    log.at("2031-11-09 15:30")
    for pack, went_in, at_end in (("D2", 0.0, 7.66), ("D3", 0.0, 7.66), ("D1", 0.0, 13.2)):
        charge(log, pack, went_in, at_end, "storage")
    for slug, boat in crew.items():
        lay_up(log, boat, full=slug == "tansy")


def _months(log: Log, crew: Crew) -> None:
    for day, put_back in (("2031-12-06 17:00", 0.6), ("2032-01-10 16:30", 0.7)):
        log.at(day)
        charge(log, "P1", put_back, 7.2)
        charge(log, "D5", 0.3, 8.9)


def _february(log: Log, crew: Crew) -> None:
    log.session("2032-02-10 19:00")
    pack_test(log, "D2", 4.7, 14.0)
    pack_test(log, "D3", 4.1, 23.0)
    text = "D3 has lost a sixth of its charge in a year, its twin a twentieth. Short runs only; not the first pack."
    log.put("note", {"text": text, "private": False, "about": "D3"})
    log.at("2032-02-11 19:00")
    pack_test(log, "D1", 11.6, 12.0)
    log.at("2032-02-20 18:30")
    bulrush = crew["bulrush"]
    fitted(
        log,
        bulrush,
        "seal",
        "shaft",
        "packing of 2030",
        "new packing",
        seals=["shaft"],
        inside_cylinder=False,
    )
    fitted(
        log, bulrush, "seal", "aft cap", "nitrile 95 x 3", "nitrile 95 x 3", seals=["aft cap"], cost="1.10"
    )
    grease(log, bulrush, 2.0, 0.0, "marine", ["shaft"])


def _march(log: Log, crew: Crew) -> None:
    tansy, bulrush, juniper = crew["tansy"], crew["bulrush"], crew["juniper"]
    log.at("2032-03-01 18:00")
    fitted(log, tansy, "seal", "aft cap", "nitrile 91 x 3", "nitrile 91 x 3", seals=["aft cap"], cost="1.10")
    season = Walk(log, tansy, "season", "strip")
    season.line("trends")
    season.each("seals", ["shaft"], "good for the season")
    season.each("caps", ["aft cap"], "renewed")
    season.line("hoses")
    season.line("brushes")
    season.line("screws")
    season.skip("bellows", "she has none", "not fitted")
    season.end(left="the rest in the tank on Sunday")
    log.session("2032-03-06 10:00")
    fitted(log, juniper, "seal", "vent plug", "nitrile 12 x 2, flat", "nitrile 12 x 2", seals=["vent plug"])
    serviced(log, juniper, "gas_bottle", "washer")
    serviced(log, juniper, "linkages", "light oil")
    serviced(log, bulrush, "linkages", "light oil")
    serviced(log, tansy, "linkages", "light oil")
    for boat, least in ((tansy, 5.6), (bulrush, 5.1), (juniper, 5.5)):
        bench(log, boat, least)
    grease(log, tansy, 1.0, 0.0, "silicone")
    evening(log, tansy, drops=DROPS, terminals=True, load=8.23)
    for pack, went_in, at_end in (("D2", 2.35, 8.38), ("D3", 2.05, 8.38), ("R1", 1.2, 7.1), ("P1", 0.9, 7.2)):
        charge(log, pack, went_in, at_end)
