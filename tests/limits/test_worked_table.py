"""The acceptance table: two invented boats, every key, worked out independently; through the sheet and the command line.

Numbers stand as the table has them. Tolerance: 0.5 % of the value or its ±, or one step of the key, whichever is wider;
shown numbers and verdicts exactly. Values of a second implementation (python floats, numpy, scipy, iapws 1.5.5).
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import pytest
import worked
import worked_home

from divelog.commands.limits import words_of
from divelog.limits import catalogue, report
from divelog.limits.model import Limit, ProofView
from divelog.limits.sheet import Sheet
from divelog.profiles.document import Basis, Num

BOATS = ("tansy", "bulrush")
WITHIN, OUTSIDE, CLOSE, PROVE = "within", "outside", "too_close", "to_prove"
NO_READING, UNKNOWN, NOT_FITTED, NOTHING = "no_reading", "unknown", "not_fitted", None
STATED, ASSUMED, MEASURED, MISSING = "stated", "assumed", "measured", "missing"

# key:item | value ± u95 | shown | verdict | basis.  "-" is not given by the table.
TANSY = """
radio.control_depth                  | 1.1979 ± 0.5893 m   | at most 0.60 m                  | no_reading | stated
radio.range                          | 436.4 m             | at most 80 m                    | within     | assumed
radio.check_distance                 | 43.2 paces          | at least 44 paces               | to_prove   | stated
antenna.tip_height                   | 20.42 ± 5.95 mm     | at least 30 mm                  | no_reading | assumed
antenna.clear_length                 | -                   | unknown                         | unknown    | missing
failsafe.delay                       | 6.886 ± 3.475 s     | at most 3.0 s                   | within     | assumed
failsafe.excursion:steady            | 0.4388 ± 0.1395 m   | 0.60 m                          | none       | assumed
failsafe.excursion:dive stick over   | 1.4263 ± 0.3733 m   | 1.80 m                          | none       | assumed
failsafe.excursion:astern            | 0.2070 m            | 0.25 m                          | none       | assumed
recovery.time_to_surface             | 35.19 ± 3.11 s      | at most 60 s                    | within     | assumed
plan.dive_angle                      | 23.01 ± 3.48 deg    | 15 deg                          | none       | assumed
plan.speed_surfaced                  | 0.4290 ± 0.10725 m/s| 0.40 m/s*                       | none       | assumed
plan.speed_dived                     | 0.3516 ± 0.1055 m/s | at least 0.50 m/s               | none       | assumed
buoyancy.reserve                     | 437.9 ± 7.0 g       | at least 290 g                  | within     | stated
buoyancy.dived                       | 18.04 ± 4.93 g      | 19 to 61 g                      | too_close  | assumed
buoyancy.dived:tower                 | 10.0 ± 3.5 mm       | 11 to 34 mm                     | too_close  | assumed
buoyancy.trim_change                 | -2.96 ± 2.88 g      | leave the lead alone            | none       | assumed
ballast.enough                       | 376.2 ± 7.0 mL      | 377 of 420 mL                   | within     | assumed
ballast.fill_time                    | 35.65 s             | at most 44 s                    | no_reading | stated
ballast.empty_time                   | 36.78 s             | at most 45 s                    | no_reading | stated
ballast.empty_time:at depth          | 51.75 s             | at least 78 s of hold           | within     | stated
ballast.cycles                       | 7.86                | 7*                              | within     | assumed
trim.pitch:dived                     | -                   | -2 to +2 deg                    | no_reading | stated
trim.pitch:surfaced                  | -                   | -1 to +1 deg                    | no_reading | stated
trim.list:dived                      | -                   | -2 to +2 deg                    | no_reading | stated
trim.list:surfaced                   | -                   | -1 to +1 deg                    | no_reading | stated
trim.righting                        | 14 ± 2.8 mm         | at least 3.5 mm                 | within     | stated
trim.soak_time                       | 206 s               | 10 min                          | none       | stated
cylinder.pressure                    | -2775 ± 1021 Pa     | -5.0 to +25.0 kPa               | within     | assumed
cylinder.leak_down                   | 848.3 Pa            | 0.75 kPa in 10 min at 20 kPa    | no_reading | assumed
cylinder.water_found                 | 17.45 mg            | 0 to 17 mg                      | no_reading | assumed
cylinder.heat                        | 29 ± 9 degC         | at most 90 degC                 | within     | stated
tube.depth                           | 8.902 ± 2.316 m     | at most 6.5 m*                  | within     | assumed
seals.gland:aft cap                  | 17.37 ± 6.4 %       | 17 %                            | within     | stated
seals.shaft:shaft                    | 1.757 ± 0.621 m     | at most 1.1 m                   | within     | assumed
shaft.no_load_current:ahead          | 0.62 A              | 0.50 to 0.74 A                  | outside    | measured
shaft.no_load_current:astern         | -                   | no reading                      | no_reading | missing
battery.rest_voltage:D2              | 8.2435 V            | at least 8.25 V                 | within     | assumed
battery.load_voltage:D2              | 8.2050 V            | at least 8.21 V                 | no_reading | assumed
receiver.supply                      | 5.0 V               | at least 5.0 V                  | no_reading | stated
battery.endurance:D2                 | 62.44 min           | at most 47 min                  | within     | assumed
battery.spread:D2                    | 0.01 ± 0.007 V      | at most 0.03 V                  | within     | measured
terminals.drop:pack plug             | 50 mV               | at most 50 mV                   | no_reading | stated
terminals.drop:main link             | 50 mV               | at most 50 mV                   | no_reading | stated
terminals.drop:fuse                  | 50 mV               | at most 50 mV                   | no_reading | stated
terminals.drop:motor                 | 18.0 mV             | at most 18 mV                   | no_reading | measured
terminals.leakage                    | -                   | not fitted                      | not_fitted | -
wind.waves                           | 19.51 ± 7.80 mm     | at most 40 mm                   | within     | stated
wind.drift                           | 31.7 min            | 14 to 98 min*                   | none       | assumed
lift.mass                            | 6.9 ± 0.2 kg        | 7.1 kg                          | none       | stated
depth.keel:under control             | 0.871 ± 0.066 m     | at most 0.8 m                   | within     | stated
depth.keel:failsafe proved           | 0.871 ± 0.066 m     | at most 0.8 m                   | to_prove   | stated
"""

BULRUSH = """
radio.control_depth                  | 0 m                 | keep the tip out of the water   | no_reading | assumed
radio.range                          | 123.4 m             | at most 80 m                    | within     | assumed
radio.check_distance                 | 7.57 paces          | at least 30 paces               | no_reading | assumed
antenna.tip_height                   | 53.55 ± 5.95 mm     | at least 60 mm                  | no_reading | assumed
antenna.clear_length                 | 31.23 mm            | at least 32 mm                  | within     | stated
failsafe.delay                       | 6.671 ± 3.751 s     | at most 2.9 s                   | within     | assumed
failsafe.excursion:steady            | 0.4583 ± 0.1428 m   | 0.65 m                          | none       | assumed
failsafe.excursion:dive stick over   | 0.9766 ± 0.2708 m   | 1.25 m                          | none       | assumed
failsafe.excursion:astern            | 0.1480 m            | 0.15 m                          | none       | assumed
recovery.time_to_surface             | 22.64 s             | at most 60 s                    | within     | assumed
plan.dive_angle                      | 21.94 ± 2.94 deg    | 15 deg                          | none       | assumed
plan.speed_surfaced                  | 0.4000 ± 0.1000 m/s | 0.40 m/s*                       | none       | assumed
plan.speed_dived                     | 0.4213 ± 0.1264 m/s | at least 0.55 m/s               | none       | assumed
buoyancy.reserve                     | 1143.5 ± 21.7 g     | at least 470 g                  | within     | stated
buoyancy.dived                       | 43.90 ± 8.41 g      | 32 to 104 g                     | within     | assumed
buoyancy.dived:tower                 | 48.8 ± 10.7 mm      | -                               | within     | assumed
buoyancy.trim_change                 | -1.10 ± 2.58 g      | leave the lead alone            | none       | assumed
ballast.enough                       | 1038.9 ± 21.7 mL    | 1039 of 1100 mL                 | within     | assumed
ballast.fill_time                    | 46.75 s             | at most 58 s                    | no_reading | stated
ballast.empty_time                   | 54.91 s             | at most 68 s                    | no_reading | stated
ballast.empty_time:at depth          | -                   | the pump cannot empty her       | none       | stated
ballast.cycles                       | 34.07               | 34*                             | within     | assumed
trim.pitch:dived                     | -                   | -2 to +2 deg                    | no_reading | stated
trim.pitch:surfaced                  | -                   | -1 to +1 deg                    | no_reading | stated
trim.list:dived                      | -                   | -2 to +2 deg                    | no_reading | stated
trim.list:surfaced                   | -                   | -1 to +1 deg                    | no_reading | stated
trim.righting                        | 17 mm               | at least 4.5 mm                 | within     | stated
trim.righting:part-filled            | 7.24 ± 3.4 mm       | above 0 mm                      | within     | stated
trim.soak_time                       | 88 s                | 10 min                          | none       | stated
cylinder.pressure                    | 5256 Pa             | -5.0 to +1.2 kPa                | outside    | assumed
cylinder.leak_down                   | 562.4 Pa            | 0.40 kPa in 10 min at -10 kPa   | no_reading | assumed
cylinder.water_found                 | 6.83 mg             | 0 to 6 mg                       | no_reading | assumed
cylinder.heat                        | -                   | unknown                         | unknown    | missing
tube.depth                           | 4.231 ± 1.062 m     | at most 3.1 m*                  | within     | assumed
seals.gland:aft cap                  | 17.46 ± 6.4 %       | 17 %                            | within     | stated
seals.shaft:shaft                    | -                   | unknown                         | unknown    | missing
shaft.no_load_current:ahead          | -                   | no reading                      | no_reading | missing
shaft.no_load_current:astern         | -                   | no reading                      | no_reading | missing
battery.rest_voltage:P1              | 6.3278 V            | at least 6.33 V                 | within     | assumed
battery.load_voltage:P1              | 6.2350 V            | at least 6.24 V                 | no_reading | assumed
receiver.supply                      | 4.2 V               | at least 4.2 V                  | no_reading | stated
battery.endurance:P1                 | 120.3 min           | at most 68 min*                 | within     | assumed
battery.spread                       | -                   | not fitted                      | not_fitted | -
terminals.drop:pack tabs             | 50 mV               | at most 50 mV                   | no_reading | stated
terminals.drop:switch                | 50 mV               | at most 50 mV                   | no_reading | stated
terminals.drop:motor                 | 50 mV               | at most 50 mV                   | no_reading | stated
terminals.leakage                    | 0.656 mA            | at most 10 mA                   | within     | assumed
wind.waves                           | 19.51 ± 7.80 mm     | at most 40 mm                   | within     | -
wind.drift                           | 31.7 min            | 14 to 98 min*                   | none       | assumed
lift.mass                            | 11.28 ± 1.41 kg     | 12.7 kg*                        | none       | assumed
depth.keel:under control             | 0.290 ± 0 m         | at most 0.2 m                   | outside    | assumed
depth.keel:failsafe proved           | 0.721 ± 0.048 m     | at most 0.6 m                   | outside    | -
"""
EXTRA = {
    # Results that the table names only in passing or not at all, and why they are there.
    "tansy": {"failsafe.delay:dive stick over", "cylinder.leak_down:60 s"},
    "bulrush": {"failsafe.delay:dive stick over", "cylinder.leak_down:60 s"},
}

STEPS = {
    # One step of the key in SI, where that is wider than 0.5 %.
    "antenna.tip_height": 0.010, "buoyancy.dived": 0.001, "buoyancy.dived:tower": 0.001, "buoyancy.trim_change": 0.001,
    "buoyancy.reserve": 0.010, "ballast.enough": 1e-6, "cylinder.pressure": 100.0, "cylinder.leak_down": 50.0,
    "cylinder.water_found": 1e-6, "failsafe.excursion:astern": 0.05, "lift.mass": 0.1, "trim.righting": 0.0005,
    "trim.righting:part-filled": 0.0005, "seals.gland:aft cap": 0.01, "radio.range": 5.0, "trim.soak_time": 60.0,
    "battery.spread:D2": 0.01, "depth.keel:under control": 0.1, "depth.keel:failsafe proved": 0.1,
}  # fmt: skip

_FACTORS = {
    "m": 1.0, "mm": 1e-3, "s": 1.0, "min": 60.0, "deg": math.pi / 180, "m/s": 1.0, "g": 1e-3, "kg": 1.0, "mg": 1e-6,
    "mL": 1e-6, "Pa": 1.0, "%": 0.01, "V": 1.0, "mV": 1e-3, "A": 1.0, "mA": 1e-3, "paces": 1.0, "": 1.0, "degC": 1.0,
    "kg·m": 1.0, "mg/h": 1e-6 / 3600,
}  # fmt: skip


@dataclass(frozen=True)
class Row:
    """One row of the table: value and ± in SI, the shown text, verdict and basis; None where the table is silent."""

    name: str
    value: float | None
    u95: float | None
    shown: str | None
    verdict: str | None
    basis: str | None


def number(text: str) -> tuple[float, float | None]:
    """``437.9 ± 7.0 g`` -> SI value and ±."""
    found = re.fullmatch(r"(-?[\d.]+)(?: ± ([\d.]+))?\s*(\S*)", text.strip())
    assert found, text
    factor = _FACTORS[found[3]]
    offset = 273.15 if found[3] == "degC" else 0.0
    return float(found[1]) * factor + offset, None if found[2] is None else float(found[2]) * factor


def rows(table: str) -> list[Row]:
    """The rows of a table as it stands above."""
    listed = []
    for line in table.strip().splitlines():
        name, value, shown, verdict, basis = (cell.strip() for cell in line.split("|"))
        si, u95 = number(value) if value != "-" else (None, None)
        listed.append(
            Row(name, si, u95, None if shown == "-" else shown, None if verdict == "none" else verdict,
                None if basis == "-" else basis)
        )  # fmt: skip
    return listed


TABLES = {"tansy": rows(TANSY), "bulrush": rows(BULRUSH)}
CASES = [pytest.param(boat, row, id=f"{boat} {row.name}") for boat in BOATS for row in TABLES[boat]]


# -- both ways to the same results ----------------------------------------------------------------------------------


def _sheet(boat: str) -> Sheet:
    """The table's sheet with the proofs of its moment: Tansy's range is to prove again."""
    sheet = worked.sheet(boat)
    if boat == "tansy":
        proofs = {**sheet.observed.proofs, "range": ProofView(False, "outing ended: 4 h idle")}
        observed = type(sheet.observed)(
            **{
                **{n: getattr(sheet.observed, n) for n in sheet.observed.__dataclass_fields__},
                "proofs": proofs,
            }
        )
        return worked.sheet(boat, observed=observed)
    return sheet


@pytest.fixture(scope="module")
def by_sheet() -> dict[str, dict[str, dict[str, Any]]]:
    found = {}
    for boat in BOATS:
        limits = catalogue.work_out(_sheet(boat))
        found[boat] = {one.name: {**report.result(one), "words": _words(one)} for one in limits}
    return found


@pytest.fixture(scope="module")
def answers(tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict[str, Any]]:
    home = worked_home.make(tmp_path_factory.mktemp("worked") / "home")
    found = {}
    for boat in BOATS:
        done = worked_home.call(home, boat)
        assert done.returncode == 0, done.stderr
        found[boat] = json.loads(done.stdout)
    return found


@pytest.fixture(scope="module")
def by_command(answers: dict[str, dict[str, Any]]) -> dict[str, dict[str, dict[str, Any]]]:
    return {
        boat: {f"{r['key']}:{r['item']}" if r["item"] else r["key"]: r for r in answers[boat]["results"]}
        for boat in BOATS
    }


def _words(limit: Limit) -> str:
    return words_of(limit).removesuffix(f"  ({limit.remark})")


def _near(found: float, value: float, step: float) -> bool:
    return abs(found - value) <= max(0.005 * abs(value), step) + 1e-12


def _number_of(result: Mapping[str, Any]) -> float:
    """The number of a result: its value; the limit itself where that is all there is."""
    found = next((result[n] for n in ("value", "high", "low") if result[n] is not None), None)
    assert found is not None, result["key"]
    return float(found)


def _check(row: Row, result: Mapping[str, Any]) -> None:
    step = STEPS.get(row.name, 0.0)
    if row.value is not None:
        assert _near(_number_of(result), row.value, step), (row.name, _number_of(result), row.value)
    if row.u95 is not None:
        assert _near(result["u95"], row.u95, step), (row.name, result["u95"], row.u95)
    assert result["verdict"] == row.verdict
    if row.basis is not None:
        assert result["basis"] == row.basis
    parts = [part["shown"] for part in result.get("parts", ())]
    assert result["starred"] is any(text.endswith("*") for text in (row.shown or result["shown"], *parts))


@pytest.mark.parametrize(("boat", "row"), CASES)
def test_row_by_the_sheet(by_sheet, boat, row):
    result = by_sheet[boat][row.name]
    _check(row, result)
    if row.shown is not None:
        bare = re.compile(r"^at (most|least) ")
        leads = row.shown.startswith(("at most", "at least"))
        assert (result["words"] if leads else bare.sub("", result["words"])) == row.shown


@pytest.mark.parametrize(("boat", "row"), CASES)
def test_row_by_the_command_line(by_command, boat, row):
    result = by_command[boat][row.name]
    _check(row, result)
    if row.shown is not None:
        bare = re.compile(r"^at (most|least) ")
        assert bare.sub("", result["shown"]) == bare.sub("", row.shown)
        if row.shown.startswith("at most") and row.verdict is not None:
            assert result["shown_high"] is not None
        if row.shown.startswith("at least"):
            assert result["shown_low"] is not None


@pytest.mark.parametrize("boat", BOATS)
def test_no_result_stands_outside_the_table(by_sheet, by_command, boat):
    named = {row.name for row in TABLES[boat]} | EXTRA[boat]
    assert set(by_sheet[boat]) == named
    assert set(by_command[boat]) == named


# -- depth.keel, term by term ---------------------------------------------------------------------------------------

TERMS = {
    "tansy": {
        "radio": (1.468, 0.589, 0.879), "step": (1.300, 0.0, 1.300), "tube": (8.902, 2.316, 6.587),
        "caps": (11.573, 0.881, 10.693), "seal:shaft": (1.757, 0.621, 1.136), "bottom": (1.261, 0.172, 1.090),
        "sight": (0.871, 0.066, 0.805), "pump head": (1.671, 0.487, 1.184), "pump hold": (0.966, 0.0, 0.966),
        "air and tube": (6.984, 2.404, 4.580),
    },
    "bulrush": {
        "radio": (0.290, 0.0, 0.290), "step": (1.700, 0.0, 1.700), "tube": (4.231, 1.062, 3.168),
        "caps": (33.1, 2.24, 30.9), "bottom": (1.242, 0.174, 1.067), "sight": (0.721, 0.048, 0.672),
        "air and tube": (11.53, 3.25, 8.281),
    },
}  # fmt: skip
OWN = {"tansy": {"own": (2.0, 0.0, 2.0)}, "bulrush": {}}
"""The least also counts her own `my_limits.deepest`, which the table leaves out."""

ITEMS = {
    ("tansy", "under control"): (["sight", "radio"], "pump hold 0.9"),
    ("tansy", "failsafe proved"): (["sight"], "bottom 1.0"),
    ("bulrush", "under control"): (["radio"], "sight 0.6"),
    ("bulrush", "failsafe proved"): (["sight"], "bottom 1.0"),
}


@pytest.mark.parametrize("way", ["by_sheet", "by_command"])
@pytest.mark.parametrize("boat", BOATS)
def test_terms_of_the_keel(request, way, boat):
    terms = request.getfixturevalue(way)[boat]["depth.keel:under control"]["terms"]
    expected = {**TERMS[boat], **OWN[boat]}
    assert set(terms) == set(expected)
    for name, (value, u95, safe) in expected.items():
        got = terms[name]
        assert got[:3] == pytest.approx([value, u95, safe], rel=0.005, abs=0.0011), name


@pytest.mark.parametrize("way", ["by_sheet", "by_command"])
@pytest.mark.parametrize(("boat", "item"), ITEMS)
def test_items_of_the_keel(request, way, boat, item):
    result = request.getfixturevalue(way)[boat][f"depth.keel:{item}"]
    binds, beyond = ITEMS[boat, item]
    assert result["binds"] == binds
    assert result["next"] == beyond
    assert result["reading"] == {"si": pytest.approx(0.7), "u95": pytest.approx(0.05)}
    waived = {name for name, term in result["terms"].items() if term[3:] == ["waived"]}
    assert waived == ({"pump head", "pump hold"} if (boat, item) == ("tansy", "failsafe proved") else set())
    assert ("radio" in result["terms"]) is (item == "under control")


# -- what rows say beside their number ------------------------------------------------------------------------------

PARTS = """
tansy   | radio.range                      | radio alone                  | 375.3 m             | 375 m
tansy   | recovery.time_to_surface         | ahead                        | 35.19 ± 3.11 s      | 39 s
tansy   | recovery.time_to_surface         | stopped                      | 20.09 s             | 24 s
tansy   | recovery.time_to_surface         | astern                       | 31.55 s             | 35 s
tansy   | plan.speed_dived                 | floats up below              | -                   | 0.20 m/s
tansy   | ballast.fill_time                | notice from                  | 41.0 s              | 41 s
tansy   | ballast.fill_time                | not a full stroke under      | -                   | 20 s
tansy   | trim.pitch:dived                 | moment of one degree         | 0.001510 kg·m       | -
tansy   | cylinder.pressure                | cold                         | -2775 ± 1021 Pa     | -2.8 kPa
tansy   | cylinder.pressure                | full                         | 11952 ± 1530 Pa     | +12.0 kPa
tansy   | cylinder.pressure                | bank                         | 4162 Pa             | +4.2 kPa
tansy   | cylinder.pressure                | bank, full                   | 20099 Pa            | +20.1 kPa
tansy   | cylinder.leak_down               | shortest hold                | 9 min               | 9 min
tansy   | seals.gland:aft cap              | stretch                      | 4.6 %               | 4.6 %
tansy   | seals.gland:aft cap              | fill                         | 69 %                | 69 %
tansy   | battery.load_voltage:D2          | most fall                    | 0.105 V             | 0.10 V
tansy   | battery.endurance:D2             | until the kept charge        | 47.18 min           | 47 min
tansy   | battery.endurance:D2             | way home at the bad end      | 54.34 min           | 54 min
tansy   | wind.drift                       | earliest                     | 14.1 min            | 14 min
tansy   | wind.drift                       | likely                       | 31.7 min            | 32 min
tansy   | wind.drift                       | latest                       | 97.2 min            | 98 min
bulrush | radio.range                      | radio alone                  | 106.8 m             | 107 m
bulrush | recovery.time_to_surface         | ahead                        | 22.64 s             | 23 s*
bulrush | recovery.time_to_surface         | stopped                      | 11.18 s             | -
bulrush | recovery.time_to_surface         | astern                       | 18.26 s             | -
bulrush | plan.speed_dived                 | floats up below              | -                   | 0.25 m/s
bulrush | ballast.empty_time:at depth      | leaves before the pump stalls| 3.2 mL              | 3.2 mL
bulrush | trim.pitch:dived                 | moment of one degree         | 0.003116 kg·m       | -
bulrush | trim.righting:part-filled        | left in pitch                | 7.24 ± 3.4 mm       | 7.2 mm
bulrush | trim.righting:part-filled        | left in roll                 | 16.29 mm            | 16.3 mm
bulrush | cylinder.pressure                | cold                         | -1752 ± 855 Pa      | -1.8 kPa
bulrush | cylinder.pressure                | bank                         | 5256 Pa             | +5.3 kPa
bulrush | cylinder.leak_down               | shortest hold                | 13 min              | 13 min
bulrush | cylinder.leak_down               | hold offered                 | 20 min              | 20 min, 0.85 kPa
bulrush | seals.gland:aft cap              | stretch                      | 4.4 %               | 4.4 %
bulrush | seals.gland:aft cap              | fill                         | 69 %                | 69 %
bulrush | battery.load_voltage:P1          | most fall                    | 0.165 V             | -
bulrush | battery.endurance:P1             | until the kept charge        | 71.7 min            | 71 min
bulrush | battery.endurance:P1             | way home at the bad end      | 68.6 min            | 68 min
bulrush | terminals.leakage                | bare                         | 2.209 mA            | 2.21 mA
bulrush | terminals.leakage                | bare, high end               | 4.92 mA             | 4.92 mA
"""


def _parts() -> list[Any]:
    listed = []
    for line in PARTS.strip().splitlines():
        boat, name, part, value, shown = (cell.strip() for cell in line.split("|"))
        listed.append(pytest.param(boat, name, part, value, shown, id=f"{boat} {name} {part}"))
    return listed


@pytest.mark.parametrize(("boat", "name", "part", "value", "shown"), _parts())
def test_parts(by_command, boat, name, part, value, shown):
    found = {p["name"]: p for p in by_command[boat][name]["parts"]}[part]
    step = STEPS.get(name, 0.0)
    if value != "-":
        si, u95 = number(value)
        assert _near(found["si"], si, step), (found["si"], si)
        if u95 is not None:
            assert _near(found["u95"], u95, step), (found["u95"], u95)
    if shown != "-":
        assert found["shown"] == shown


BESIDE = [
    # boat, result, field, words that must stand in it
    ("tansy", "failsafe.delay", "binds", ["bench rule"]),
    ("tansy", "failsafe.delay", "next", "bottom 3.4"),
    ("tansy", "antenna.clear_length", "missing", ["boat.radio.aerial_length"]),
    ("bulrush", "cylinder.heat", "missing", ["boat.power.cut_out", "boat.power.heat_rise"]),
    (
        "tansy",
        "cylinder.water_found",
        "remark",
        "bone dry within; mist on the wall too close; a drop OUTSIDE",
    ),
    (
        "bulrush",
        "cylinder.water_found",
        "remark",
        "bone dry within; mist on the wall too close; a drop OUTSIDE",
    ),
    ("tansy", "buoyancy.dived", "remark", "predicted"),
    ("bulrush", "seals.shaft:shaft", "remark", "packed gland: the depth she has been proved dry at rules"),
    ("bulrush", "shaft.no_load_current:ahead", "remark", "5 more readings make a baseline"),
    ("bulrush", "battery.spread", "remark", "sealed lead-acid: the spread of cells is read on lithium packs"),
    ("bulrush", "terminals.drop:motor", "remark", "at 5 A; no baseline yet"),
    ("tansy", "terminals.drop:motor", "remark", "at 5 A"),
    ("bulrush", "terminals.leakage", "remark", "only greased this outing"),
]


@pytest.mark.parametrize(("boat", "name", "field", "words"), BESIDE)
def test_words_beside(by_command, boat, name, field, words):
    assert by_command[boat][name][field] == words


def test_readings_that_are_predictions(by_command):
    # The leak of the bare end, and the time a failsafe must go on trying, are judged; not the middle value.
    assert by_command["bulrush"]["terminals.leakage"]["reading"]["si"] == pytest.approx(3.29e-3, rel=0.005)
    deep = by_command["tansy"]["ballast.empty_time:at depth"]
    assert deep["low"] == pytest.approx(77.6, rel=0.005)
    assert deep["reading"]["si"] == 90.0
    band = by_command["tansy"]["shaft.no_load_current:ahead"]
    assert (band["low"], band["high"]) == pytest.approx((0.496, 0.744))
    for boat, most in (("tansy", 29.0), ("bulrush", None)):
        heat = by_command[boat]["cylinder.heat"]
        assert (heat["value"] is None) is (most is None)


def test_leak_down_with_the_air_at_its_high_end(by_sheet):
    # 798.4 and 441.9 Pa at the inside volume + its ±
    for boat, least in (("tansy", 798.4), ("bulrush", 441.9)):
        found = by_sheet[boat]["cylinder.leak_down"]
        assert found["high"] - found["u95"] == pytest.approx(least, rel=0.005)


DEGREE = math.pi / 180
MOVES = {
    # 1.5 degrees bow up and 0.8 degrees of list: lead inside and in the water, grams, and how far
    "tansy": {"trim.pitch": (7.55, 8.28, "300 mm"), "trim.list": (13.42, None, "90 mm")},
    "bulrush": {"trim.pitch": (15.58, 17.09, "300 mm"), "trim.list": (27.69, None, "90 mm")},
}


@pytest.mark.parametrize("boat", BOATS)
def test_moves_of_lead(boat):
    readings = {
        ("trim.pitch", "dived"): Num(1.5 * DEGREE, 0.25 * DEGREE, Basis.MEASURED),
        ("trim.list", "dived"): Num(0.8 * DEGREE, 0.25 * DEGREE, Basis.MEASURED),
    }
    found = catalogue.work_out(worked.sheet(boat, readings=readings), ("trim.pitch", "trim.list"))
    for one in found:
        if one.item != "dived":
            continue
        inside, wet, far = MOVES[boat][one.key]
        assert one.moves[0].mass * 1e3 == pytest.approx(inside, rel=0.005)
        assert far in one.moves[0].end
        if wet is not None:
            assert one.moves[1].mass * 1e3 == pytest.approx(wet, rel=0.005)


@pytest.mark.parametrize(("boat", "grams"), [("tansy", 4), ("bulrush", 7)])
def test_the_band_in_which_lead_is_left_alone(by_sheet, boat, grams):
    # 4.33 and 7.35 g
    assert f"Under {grams} g: leave the lead alone" in by_sheet[boat]["buoyancy.trim_change"]["why"]


def test_over_five_kilograms_takes_a_sling(by_sheet):
    for boat in BOATS:
        found = by_sheet[boat]["lift.mass"]
        assert any("sling" in line for line in (*found["cautions"], *found["why"], *found["actions"]))


# -- not in the tables ----------------------------------------------------------------------------------------------


def _one(sheet: Sheet, key: str, item: str = "") -> Limit:
    return next(one for one in catalogue.work_out(sheet, (key,)) if one.item == item)


def test_a_gas_boat():
    sheet = worked.sheet(
        "tansy", boat__ballast__kind="gas", boat__ballast__volume="600 mL", boat__ballast__gas__bottle="G1",
        today__water__temperature="10 degC", boat__ballast__tank__bottom="0 mm",
        **{"today__plan[tansy]__depth": "1.0 m", "bottle[G1]__weighed": "155 g"},
    )  # fmt: skip
    found = _one(sheet, "ballast.cycles")
    assert found.shown == "23*"
    assert "2.05 g a blow" in " ".join(found.why)
    grams = next(i for i in found.inputs if i.path == "grams a blow")
    assert grams.si == pytest.approx(2.0463e-3, rel=0.005)


def test_a_pond_boat_in_the_sea():
    found = _one(worked.sheet("tansy", site__water="sea", site__salinity="35 g/kg"), "ballast.enough")
    assert found.verdict.value == OUTSIDE
    assert found.value == pytest.approx(530.5e-6, rel=0.005)


def test_her_shade_missing():
    found = _one(worked.sheet("tansy", boat__shade="unknown"), "depth.keel", "under control")
    sight = next(t for t in found.terms if t.name == "sight")
    assert (sight.value, sight.u95) == pytest.approx((0.748, 0.054), rel=0.01)
    assert found.shown == "0.6 m"
    assert found.verdict.value == OUTSIDE


def test_no_runs_logged():
    seen = worked.sheet("tansy").observed
    without = {n: getattr(seen, n) for n in seen.__dataclass_fields__ if n != "charge_per_minute"}
    found = _one(worked.sheet("tansy", observed=type(seen)(**without)), "battery.endurance", "D2")
    assert found.shown == "40 min*"


# -- the contract of the JSON ---------------------------------------------------------------------------------------

NUMBER = (int, float)
TOP: Mapping[str, Any] = {
    "schema": str, "program": str, "boat": str, "profile": str, "site": str, "at": str, "today": dict, "results": list,
    "counts": dict,
}  # fmt: skip
RESULT: Mapping[str, tuple[type, ...]] = {
    "key": (str,), "item": (str, type(None)), "kind": (str,), "title": (str,), "unit": (str,),
    "low": (float, type(None)), "high": (float, type(None)), "value": (float, type(None)), "u95": (float,),
    "shown_low": (float, type(None)), "shown_high": (float, type(None)), "shown": (str,), "basis": (str,),
    "missing": (list,), "inputs": (list,), "why": (list,), "source": (list,), "cautions": (list,),
    "reading": (dict, type(None)), "verdict": (str, type(None)),
}  # fmt: skip
INPUT: Mapping[str, tuple[type, ...]] = {
    "path": (str,), "si": (float, type(None)), "u95": (float,), "unit": (str,), "basis": (str,), "on": (str, type(None)),
}  # fmt: skip
COUNTS = ("within", "outside", "too_close", "no_reading", "unknown", "assumed_inputs", "inputs")
VERDICTS = {WITHIN, OUTSIDE, CLOSE, NO_READING, UNKNOWN, PROVE, NOT_FITTED, None}


@pytest.mark.parametrize("boat", BOATS)
def test_json_contract(answers, boat):
    found = answers[boat]
    assert found["schema"] == "divelog.limits/1"
    assert found["boat"] == boat
    assert found["site"] == "withy-pond"
    assert found["profile"].startswith("sha256:")
    assert found["at"] == "2032-05-04T08:11:00+01:00"
    assert set(found) == set(TOP)
    for name, kind in TOP.items():
        assert isinstance(found[name], kind), name
    water = found["today"]["water.temperature"]
    assert water == {"si": 284.15, "u95": 0.5, "unit": "K", "basis": "stated"}
    for result in found["results"]:
        for name, kinds in RESULT.items():
            assert isinstance(result[name], kinds), (result["key"], name, result[name])
        assert result["kind"] in ("limit", "estimate", "advice")
        assert result["basis"] in (STATED, ASSUMED, MEASURED, MISSING)
        assert result["verdict"] in VERDICTS
        assert result["verdict"] is None or result["kind"] == "limit", result["key"]
        for entry in result["inputs"]:
            for name, kinds in INPUT.items():
                assert isinstance(entry[name], kinds), (result["key"], entry)
        for lines in ("why", "source", "cautions", "missing"):
            assert all(isinstance(line, str) for line in result[lines])
        for move in result.get("moves", ()):
            assert set(move) == {"what", "mass", "u95", "from", "to"}
        if result["reading"] is not None:
            assert set(result["reading"]) == {"si", "u95"}
    for name in COUNTS:
        assert isinstance(found["counts"][name], int), name
    verdicts = [r["verdict"] for r in found["results"]]
    assert all(found["counts"][name] == verdicts.count(name) for name in COUNTS[:5])


def test_one_input_says_when_and_on_what(by_command):
    inputs = {i["path"]: i for i in by_command["tansy"]["depth.keel:under control"]["inputs"]}
    clarity = inputs["today.water.clarity"]
    assert (clarity["si"], clarity["u95"], clarity["unit"], clarity["basis"], clarity["on"]) == (
        1.1, 0.1, "m", "stated", "2032-05-04",
    )  # fmt: skip


def test_keys_are_sorted_and_no_number_is_beyond_json(tmp_path):
    done = worked_home.call(worked_home.make(tmp_path / "home"), "tansy", "--only", "depth.keel")
    assert "NaN" not in done.stdout
    assert "Infinity" not in done.stdout
    found = json.loads(done.stdout, object_pairs_hook=lambda pairs: [k for k, _ in pairs])
    assert found == sorted(found)


@pytest.mark.parametrize("boat", BOATS)
def test_the_sample_kit_still_holds_these_entries(boat):
    """The kit as shipped may hold more; what these boats use of it is the table's."""
    shipped = worked.document("kit.toml", "kit").facts
    for path, fact in worked.facts(boat).kit.facts.items():
        if path.startswith(("pack[D2]", "pack[P1]", "transmitter[", "meter[small voltmeter]", "bottle[G1]")):
            assert (shipped[path].value, shipped[path].state) == (fact.value, fact.state), path
