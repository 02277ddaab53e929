"""Most drop at each joint, and whether exposed battery terminals may go into this water."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from statistics import median

from divelog.limits import battery_pack as packs
from divelog.limits import water
from divelog.limits.battery_words import coarsest
from divelog.limits.by_item import each_item
from divelog.limits.model import Limit, Part, Verdict
from divelog.limits.registry import key
from divelog.limits.rounding import down, judge, text
from divelog.limits.sheet import NotFittedError, Sheet
from divelog.physics import terminals as physics
from divelog.physics import terminals_electrolysis as electrolysis
from divelog.physics import terminals_water as wet
from divelog.physics.battery_chemistry import FACTS, Chemistry
from divelog.physics.water_conductivity import conductivity_at
from divelog.profiles.document import Basis, Num

BASELINE_READINGS = 3
GREASED, SOME_TIME_AGO = "this outing", "some time ago"
SHOWING = {GREASED: 0.1, SOME_TIME_AGO: 0.5}
"""Share of the metal left showing; never greased: all of it (assumed)."""
SALT = ("brackish", "salt_pool", "sea")
CURRENT_STEP = 1e-4
WATER_COEFFICIENT = 0.02
"""Conductivity a kelvin (public conductivity pages, from memory)."""


@key(
    "terminals.drop",
    "Drop at a joint",
    kind="limit",
    sense="max",
    unit="V",
    display="mV",
    step="1 mV down, 0.5 mV under 10",
    where="bench",
    items="each joint of the wiring",
    needs=("boat.power.joints", "boat.power.test_load"),
    formula=(
        "the least of 50 mV, 0.667 W over the test current, and the greater of 1.5 x its own baseline and its "
        "baseline + 1.5 x the reading's ±",
        "baseline: median of the first three readings since the joint was last cleaned or changed",
    ),
    valid="2 A and more, probes on the metal of each part, read at ten seconds",
    sources=(
        "voltage-temperature relation of a contact, Holm 1967, from memory",
        "50 mV and 20 K common practice, no source",
    ),
    reads="voltage",
    reading_unit="mV",
)
def drop(s: Sheet) -> tuple[Limit, ...]:
    """Most drop at each joint at the test current; over 70 mV stops launch."""
    return each_item(s, drop, s.texts("power.joints") or ("",), _joint)


def _joint(s: Sheet, joint: str) -> Limit:
    current = s.si("power.test_load")
    readings = s.observed.joints.get(joint, ())
    baseline = median(readings[:BASELINE_READINGS]) if len(readings) >= BASELINE_READINGS else None
    reading = s.reading("terminals.drop", joint)
    u95 = reading.u95 if reading is not None and reading.u95 > 0.0 else physics.DROP_U95
    found = physics.permitted_drop(current=current, baseline=baseline, drop_u95=u95)
    step = 1e-3 if found.limit >= 0.010 else 0.5e-3
    shown = down(found.limit, step)
    limit = drop.new(joint).but(
        high=found.limit,
        value=found.limit,
        shown_high=shown,
        shown=text(shown, "mV", "voltage", step),
        reading=reading,
        binds=(found.binds,),
        basis=Basis.STATED if baseline is None else Basis.MEASURED,
        remark=f"at {current:g} A" + ("; no baseline yet" if baseline is None else ""),
        why=(_why(found, baseline, current), "never over 50 mV: tin softens near 70"),
        verdict=judge(reading, None, shown),
        cautions=("Seconds of load only, in an open hull; no rings or watches near the posts.",),
    )
    if reading is None:
        return limit
    if reading.si > physics.STOP_DROP:
        return limit.but(
            remark="over 70 mV: stops launch",
            actions=("write down a defect that stops launch", "clean or renew the joint", "read again"),
        )
    if limit.verdict is Verdict.WITHIN:
        return limit
    return limit.but(actions=("clean the joint, push it home and read again", "renew it"))


def _why(found: physics.DropLimit, baseline: float | None, current: float) -> str:
    if baseline is None:
        return f"no baseline yet; {found.limit * 1e3:.3g} mV by its heat at {current:g} A"
    usual = baseline * current
    if found.binds != "own baseline":
        return f"{usual * 1e3:.3g} mV is usual at {current:g} A; its heat binds first"
    return f"{usual * 1e3:.3g} mV is usual at {current:g} A; half as much again is {found.limit * 1e3:.3g}"


# -- terminals in the wet ---------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Leakage:
    """Current between the terminals in A: central and high end, and the resistance of the water."""

    ohms: float
    current: float
    high_end: float


def leakage(s: Sheet, showing: float) -> Leakage:
    """Current with a share of each terminal's metal showing, in today's water."""
    area = wet.greased_area(area=s.si("power.terminals.area"), showing=showing)
    ohms = wet.water_resistance(conductivity=s.of(water_today), area=area, gap=s.si("power.terminals.gap"))
    took = s.assume("volts the electrodes take", wet.POLARISATION, 1.4, "V", "before any current flows")
    current = wet.leakage_current(volts=s.of(pack_volts), resistance=ohms, polarisation=took.si)
    spread = wet.BARE_LOG_U95 if showing == 1.0 else wet.GREASED_LOG_U95
    return Leakage(ohms, current, current * math.exp(spread))


def water_today(s: Sheet) -> float:
    """Conductivity at the water's temperature, S/m; softer water than the formula's counts as its softest, the safe
    end, and saltier, outside in any case, as its saltiest.
    """
    sigma = conductivity_at(
        s.of(water.conductivity_25).si, s.si("today.water.temperature"), WATER_COEFFICIENT
    )
    return min(max(sigma, wet.LEAST_CONDUCTIVITY), wet.MOST_CONDUCTIVITY)


def pack_volts(s: Sheet) -> float:
    """Rest volts read today, else those of a full pack."""
    name = s.of(packs.pack_id)
    reading = s.reading("battery.rest_voltage", name)
    if reading is not None:
        return reading.si
    chemistry = Chemistry(s.need_word(f"pack[{name}].chemistry"))
    return s.si(f"pack[{name}].cells") * FACTS[chemistry].rest_full


@key(
    "terminals.leakage",
    "Terminals in the water",
    kind="limit",
    sense="max",
    unit="A",
    display="mA",
    step="0.1 mA",
    where="bench",
    needs=("boat.power.pack_in_wet", "boat.power.terminals.area", "boat.power.terminals.gap",
           "boat.power.terminals.greased", "kit.pack.capacity", "site.conductivity",
           "today.water.temperature"),
    formula=(
        "R = (1/a - 1/gap) / (pi x conductivity), a the radius of a hemisphere of the metal showing",
        "current = (pack volts - 1.5 V) / R, compared by its high end: x 2.2 bare, x 5.0 greased",
        "at most 10 mA and 0.2 % of the label's capacity an hour; 2 mA where not greased this outing; "
        "never in salt water over 3 mS/cm",
    ),
    valid="10 uS/cm to 60 mS/cm, terminals at least four radii apart, packs under 60 V",
    sources=(
        "resistance of a hemisphere in a conducting half-space, textbooks of field theory",
        "limits common practice, no source",
    ),
)  # fmt: skip
def exposed(s: Sheet) -> Limit:
    """Whether exposed terminals may go into this water, by the current between them."""
    if s.flag("power.pack_in_wet") is not True:
        if s.flag("power.pack_in_wet") is None:
            s.need_word("power.pack_in_wet")
        raise NotFittedError("the pack is dry")
    greased = s.need_word("power.terminals.greased")
    bare, now = leakage(s, 1.0), leakage(s, SHOWING.get(greased, 1.0))
    # Grease never raises the current: its high end is no higher than bare metal's.
    now = replace(now, high_end=min(now.high_end, bare.high_end))
    capacity = s.si("pack.capacity")
    limit_current = wet.leakage_limit(capacity)
    if greased != GREASED:
        limit_current = min(limit_current, wet.BARE_LIMIT)
    shown = down(limit_current, CURRENT_STEP)
    star = any(s.basis_of(f"power.terminals.{what}") is Basis.ASSUMED for what in ("area", "gap", "greased"))
    reading = Num(now.high_end, 0.0, Basis.ASSUMED)
    salt = s.word("site.water") in SALT and s.of(water.conductivity_25).si > wet.CHLORIDE_LIMIT
    verdict = Verdict.OUTSIDE if salt else judge(reading, None, shown)
    return exposed.new().but(
        high=limit_current,
        value=now.current,
        u95=now.high_end - now.current,
        shown_high=shown,
        shown=coarsest(shown, "mA", "current", 1e-3, CURRENT_STEP) + ("*" if star else ""),
        starred=star,
        reading=reading,
        verdict=verdict,
        parts=(
            Part("bare", bare.current, 0.0, f"{bare.current * 1e3:.2f} mA"),
            Part("bare, high end", bare.high_end, 0.0, f"{bare.high_end * 1e3:.2f} mA"),
            Part("metal lost an hour", _lost(now), 0.0, f"{_lost(now) * 1e6:.1f} mg lead an hour"),
        ),
        why=_why_lines(s, greased, bare, now),
        remark=_remark(salt, greased, verdict, bare),
        cautions=_cautions(salt),
        actions=_actions(salt, greased, verdict),
    )


def _lost(now: Leakage) -> float:
    return electrolysis.metal_lost(anode=electrolysis.Anode.LEAD, charge=now.current * 3600.0)


def _why_lines(s: Sheet, greased: str, bare: Leakage, now: Leakage) -> tuple[str, ...]:
    at_25, today = s.of(water.conductivity_25).si, s.of(water_today)
    celsius = s.si("today.water.temperature") - 273.15
    tail = "" if now.current == bare.current else f"; {now.current * 1e3:.1f} greased {greased}"
    return (
        f"{at_25 * 1e4:.0f} uS/cm, {today * 1e4:.0f} at {celsius:.0f} degC: {bare.ohms:.0f} ohm between the tabs",
        f"({s.of(pack_volts):.1f} - {wet.POLARISATION:g} V) / {bare.ohms:.0f} ohm = {bare.current * 1e3:.1f} mA bare, "
        f"up to {bare.high_end * 1e3:.1f}{tail}",
    )


def _remark(salt: bool, greased: str, verdict: Verdict, bare: Leakage) -> str:
    if salt:
        return "salt water: outside whatever the grease"
    if verdict is Verdict.WITHIN and greased == GREASED and bare.high_end > wet.BARE_LIMIT:
        return "only greased this outing"
    return ""


def _cautions(salt: bool) -> tuple[str, ...]:
    gas = "Hydrogen burns: lift hatches outdoors, no sparks or switches."
    return (gas, "Chlorine in salt water: keep the face away.") if salt else (gas,)


def _actions(salt: bool, greased: str, verdict: Verdict) -> tuple[str, ...]:
    if verdict is Verdict.WITHIN:
        return ()
    sealed = "a sealed connector, or the pack in a dry box"
    return (
        (sealed,)
        if salt or greased == GREASED
        else ("clean and grease the terminals until no metal shows", sealed)
    )
