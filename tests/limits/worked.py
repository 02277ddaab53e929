"""The two worked boats: sheets with exactly the inputs of the acceptance table, for tests of limits.

Files: sample_boats (Tansy, Bulrush, Withy Pond, the day of 4 May 2032) and of the sample kit the entries these two
boats use (tests/data/worked/kit.toml). Readings and history as the table states.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from pathlib import Path

from divelog.limits.model import Observed, ProofView, Series
from divelog.limits.sheet import Sheet
from divelog.profiles.document import Basis, Document, Fact, Num
from divelog.profiles.facts import Facts, empty_document
from divelog.profiles.reading import read_document
from divelog.profiles.schema import SCHEMAS

SAMPLES = Path(__file__).resolve().parents[2] / "sample_boats"
KIT = Path(__file__).resolve().parents[1] / "data" / "worked" / "kit.toml"
AT = datetime.fromisoformat("2032-05-04T08:11:00+01:00")


def document(path: str, root: str) -> Document:
    """One sample file, without faults."""
    found = read_document((SAMPLES / path).read_bytes(), path, SCHEMAS[root])
    assert not found.faults, [f.sentence() for f in found.faults]
    return found


def _kit() -> Document:
    """Their kit and, as the table takes it, a thermometer inside (0.2 K, one standard deviation)."""
    meter = b'\n[[meter]]\nid = "thermometer inside"\nreads = "temperature"\nstep = "0.1 K"\n'
    found = read_document(KIT.read_bytes() + meter, "kit.toml", SCHEMAS["kit"])
    assert not found.faults, [f.sentence() for f in found.faults]
    return found


def facts(boat: str, **sets: str) -> Facts:
    """Facts of a worked boat on 4 May; ``sets`` are texts at paths, dots written as two underscores."""
    plain = Facts(
        document(f"boats/{boat}.toml", "boat"),
        _kit(),
        document("sites/withy-pond.toml", "site"),
        document("days/withy-pond.toml", "today"),
        empty_document("settings"),
        boat,
    )
    return plain.with_sets(dict(plain.typed(path.replace("__", "."), text) for path, text in sets.items()))


def _measured(path: str, si: float, u95: float = 0.0) -> dict[str, Fact]:
    return {
        path: Fact(Num(si, u95, Basis.MEASURED), basis=Basis.MEASURED, on="2032-05-04", origin="typed today")
    }


STANDS = ProofView(True, since="2032-04-18")

_OBSERVED: dict[str, Observed] = {
    "tansy": Observed(
        proofs={"dry_long": STANDS, "trim": STANDS, "look": STANDS},
        dry_depth=0.8,
        charge_per_minute={"D2": tuple(60 * q for q in (0.049, 0.052, 0.050, 0.053, 0.049))},
        charged_full={"D2": 13.0},
        joints={"motor": (0.0024, 0.0024, 0.0024)},
        no_load={
            "ahead": Series((0.62, 0.60, 0.63, 0.61, 0.62), 0.01, {"volts": 7.6, "temperature": 288.15})
        },
    ),
    "bulrush": Observed(
        proofs={
            "failsafe_bench": STANDS,
            "failsafe_wet": STANDS,
            "dry_long": STANDS,
            "trim": STANDS,
            "look": STANDS,
        },
        dry_depth=1.2,
        charged_full={"P1": 10.0},
    ),
}

_MEASURED: dict[str, dict[str, Fact]] = {
    "tansy": {**_measured("pack[D2].volts_blow", 8.10), **_measured("pack[D2].volts_end", 7.40)},
    "bulrush": {**_measured("pack[P1].volts_blow", 6.10)},
}

_READINGS: dict[str, dict[tuple[str, str], Num]] = {
    "tansy": {
        ("battery.rest_voltage", "D2"): Num(8.31, 0.04, Basis.MEASURED),
        ("shaft.no_load_current", "ahead"): Num(0.79, 0.01, Basis.MEASURED),
        ("battery.spread", "D2"): Num(0.01, 0.007, Basis.MEASURED),
    },
    "bulrush": {("battery.rest_voltage", "P1"): Num(6.40, 0.03, Basis.MEASURED)},
}


def sheet(
    boat: str,
    *,
    observed: Observed | None = None,
    readings: Mapping[tuple[str, str], Num] | None = None,
    history: bool = True,
    **sets: str,
) -> Sheet:
    """A worked boat's sheet. ``history=False`` leaves readings and history out."""
    plain = facts(boat, **sets)
    if not history:
        return Sheet(plain, observed or Observed(), readings, AT)
    plain = plain.with_measured(_MEASURED[boat])
    return Sheet(
        plain, observed or _OBSERVED[boat], readings if readings is not None else _READINGS[boat], AT
    )
