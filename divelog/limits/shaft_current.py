"""Band of no-load current, each way, against her own baseline at like volts and temperature."""

from __future__ import annotations

from collections.abc import Mapping

from divelog.limits.by_item import each_item
from divelog.limits.model import Input, Limit, Verdict
from divelog.limits.registry import key
from divelog.limits.rounding import decimals, down, judge, up
from divelog.limits.sheet import Sheet
from divelog.physics import seals as physics
from divelog.physics import statistics
from divelog.physics.si import ZERO_CELSIUS
from divelog.profiles.document import Basis

STEP = 0.01
WAYS = ("ahead", "astern")
MOST_READINGS = 8
"""A baseline is its first readings, then frozen, so that it never follows the wear it should find."""


def _number(amperes: float) -> str:
    return f"{amperes:.{decimals(STEP)}f}"


def _too_few(item: str, n: int) -> Limit:
    more = statistics.BASELINE_LEAST - n
    words = f"{more} more reading{'s' if more != 1 else ''} make{'s' if more == 1 else ''} a baseline"
    return no_load_current.new(item).but(
        shown="no reading",
        remark=words,
        basis=Basis.MISSING,
        verdict=Verdict.NO_READING,
        why=(f"{n} like readings since the last change of shaft, seal, coupling, motor or grease: {words}.",),
        actions=("read the current after a minute's turning, propeller off or in air, hands clear",),
    )


def _result(s: Sheet, item: str) -> Limit:
    series = s.series("no_load", item)
    values = series.values[:MOST_READINGS] if series is not None else ()
    if series is None or len(values) < statistics.BASELINE_LEAST:
        return _too_few(item, len(values))
    usual = statistics.baseline(values, series.step)
    alone = s.stated("power.motor.alone")
    band = physics.no_load_band(usual.median, usual.spread, alone.si if alone is not None else None)
    low, high = up(band.low, STEP), down(band.high, STEP)
    reading = s.reading("shaft.no_load_current", item)
    verdict = judge(reading, low, high)
    band_text = f"{_number(low)} to {_number(high)}"
    why = [
        f"Usual {_number(usual.median)} A by {usual.n} readings, spread {usual.spread:.3f} A; "
        f"the band is the wider of a fifth and three spreads."
    ]
    remark: str = ""
    actions: tuple[str, ...] = ()
    if reading is not None:
        against = (
            f"{_number(reading.si)} A against {_number(usual.median)} usual ({band_text}, {usual.n} readings)"
        )
        remark, actions = _meaning(reading.si, low, high, verdict)
        why.append(f"{against}{': ' + remark if remark else ''}.")
        kv = s.stated("power.motor.kv")
        if kv is not None and verdict is Verdict.OUTSIDE and reading.si > high:
            drag = physics.added_drag(kv.si, reading.si - usual.median) * 1e3
            why.append(f"That is {drag:.1f} mN m more drag on the shaft.")
    conditions = _conditions(series.conditions)
    return no_load_current.new(item).but(
        low=band.low,
        high=band.high,
        value=usual.median,
        shown_low=low,
        shown_high=high,
        shown=f"{band_text} A",
        basis=Basis.MEASURED,
        inputs=(_input(item, usual),),
        reading=reading,
        verdict=verdict,
        why=tuple(why) + conditions,
        remark=remark,
        actions=actions,
        cautions=(
            "Propeller off or guarded, hands clear. Current that climbs with heat or smoke: switch off.",
        ),
    )


def _input(item: str, usual: statistics.Baseline) -> Input:
    said = f"median of {usual.n} readings"
    return Input(f"shaft.no_load.{item}", usual.median, 2.0 * usual.spread, "A", Basis.MEASURED, said=said)


def _meaning(amperes: float, low: float, high: float, verdict: Verdict) -> tuple[str, tuple[str, ...]]:
    if verdict is Verdict.OUTSIDE:
        if amperes > high:
            return "dry, tight or bent", ("grease the shaft and read again", "turn the shaft by hand")
        return "the coupling slips", ("tighten the coupling", "turn the propeller by hand")
    if verdict is Verdict.TOO_CLOSE:
        return "", ("read again with the meter of the baseline, zeroed",)
    return "", ()


def _conditions(found: Mapping[str, float]) -> tuple[str, ...]:
    volts, warmth = found.get("volts"), found.get("temperature")
    parts = []
    if volts is not None:
        parts.append(f"{volts:.1f} V")
    if warmth is not None:
        parts.append(f"{warmth - ZERO_CELSIUS:.0f} degC")
    if not parts:
        return ()
    return (f"Compare only at about {' and '.join(parts)}: within 3 % of the volts and 5 K.",)


@key(
    "shaft.no_load_current",
    "No-load current",
    kind="limit",
    sense="band",
    unit="A",
    display="A",
    step="0.01 A inwards",
    where="bench",
    items="ahead · astern",
    needs=("shaft.no_load.ahead", "shaft.no_load.astern"),
    formula=(
        "median of the first five to eight like readings since the last change, +/- the wider of a fifth of it and "
        "three times its spread",
        "with the motor's own current known, the low edge is at least that + a quarter of what the shaft adds",
    ),
    valid="steady current at one throttle, after a minute's turning, propeller off or in air",
    sources=(
        "Croux and Rousseeuw 1992 (spread of few readings by the median deviation)",
        "common practice, no source (a fifth)",
    ),
    reads="current",
    reading_unit="A",
)
def no_load_current(s: Sheet) -> tuple[Limit, ...]:
    """One result each way."""
    return each_item(s, no_load_current, WAYS, _result)
