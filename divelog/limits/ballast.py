"""Whether the ballast can sink her in this water, and how many cycles or blows are left."""

from __future__ import annotations

import math
from dataclasses import replace

from divelog.limits import battery, water
from divelog.limits.balance import worse
from divelog.limits.ballast_depth import pump_terms
from divelog.limits.ballast_model import kind_of
from divelog.limits.ballast_times import empty_time, fill_time
from divelog.limits.buoyancy import (
    ballast_volume,
    dived_balance,
    dived_mass,
    note_growth,
    planned,
    reserve,
)
from divelog.limits.cylinder_air import outside_pressure
from divelog.limits.model import Limit, Move, Verdict
from divelog.limits.registry import key
from divelog.limits.rounding import down, judge, rss, up
from divelog.limits.sheet import NotFittedError, Sheet, UnknownError
from divelog.limits.trim_change import LEAD_CAUTION
from divelog.physics import ballast_gas, ballast_stroke, buoyancy, buoyancy_lead
from divelog.profiles.document import Basis, Num

__all__ = ["ballast_cycles", "ballast_enough", "empty_time", "fill_time", "pump_terms"]

MILLILITRE = 1e-6
STEPS = {"S": MILLILITRE, "M": MILLILITRE, "L": 10 * MILLILITRE}
LEAST_CYCLES = 2
AMPERE_HOUR = 3600.0
BLOWS_KEPT = ballast_gas.BLOWS_KEPT

GAS_CAUTIONS = {
    "isobutane": "It burns at 2 to 3 % in air: no bottle, line or valve inside the cylinder; fill outdoors.",
    "n-butane": "It burns at 2 to 3 % in air: no bottle, line or valve inside the cylinder; fill outdoors.",
    "propane": "It burns at 2 to 3 % in air: no bottle, line or valve inside the cylinder; fill outdoors.",
    "R-134a": "Releasing it to the air is forbidden in the EU (Regulation 2024/573) and restricted elsewhere: "
    "check the law where you are. Nothing here recommends filling it.",
    "CO2": "Near 57 bar at 20 degC: only rated, tested makers' parts with relief; local pressure law decides.",
    "air": "Bottles within their rating and local law only; fill and relief by qualified people; stand aside.",
}
BOTTLE_CAUTION = "Never over the maker's fill mass, never over 50 degC."


# -- enough ---------------------------------------------------------------------------------------------------------


@key(
    "ballast.enough",
    "Ballast to dive here",
    kind="limit",
    sense="max",
    unit="m^3",
    display="mL",
    step="1 mL (10 mL over 1.3 m): need up, tank down",
    where="tank",
    needs=("boat.dived_balance", "boat.ballast.volume", "today.water.temperature"),
    formula=("need = (reserve today - most dived balance) / rho, against the usable ballast",),
    valid="as the dived balance",
    sources=("Archimedes' principle", "most dived balance 1 %: common practice, no source"),
)
def ballast_enough(s: Sheet) -> Limit:
    """Water she must take in to dive here, of what her tank holds."""
    tank = s.of(ballast_volume)
    note_growth(s)
    balance = s.of(dived_balance)
    surfaced, m_d, rho = s.of(reserve), s.of(dived_mass), s.of(water.density).si
    own = s.stated("my_limits.dived_most")
    most = buoyancy.balance_band(m_d.si, 0.0, None, own.si if own is not None else None).most
    need = buoyancy.ballast_needed(surfaced.si, most, rho)
    u95 = rss(balance.u95 / rho, tank.u95)
    step = STEPS[s.size]
    high = down(tank.si, step)
    reading = Num(need, u95, worse(balance, tank))
    blank = ballast_enough.new().but(
        high=tank.si,
        value=need,
        u95=u95,
        shown_high=high,
        reading=reading,
        reading_text=f"{up(need, step) * 1e6:.0f} mL",
    )
    first = f"Surfaced she has {surfaced.si * 1e3:.0f} g in hand; dived she may keep {most * 1e3:.0f}"
    if need <= 0.0:
        return blank.but(
            shown="heavy without ballast",
            verdict=Verdict.OUTSIDE,
            why=(first, "She is heavy enough with the tank empty: take lead off"),
            actions=("take lead off", "measure the dived balance again"),
            cautions=(LEAD_CAUTION,),
        )
    needed, held = up(need, step) * 1e6, high * 1e6
    verdict = judge(reading, None, high)
    done = blank.but(
        shown=f"{needed:.0f} of {held:.0f} mL",
        verdict=verdict,
        why=(first, f"{needed:.0f} mL of her {held:.0f}"),
    )
    if verdict is Verdict.WITHIN:
        return done
    if verdict is Verdict.TOO_CLOSE:
        return done.but(actions=("measure the dived balance in this water",))
    lacking = buoyancy.weight_lacking(need, high, rho)
    wet = buoyancy_lead.piece_for(lacking, rho)
    told = f"{lacking * 1e3:.0f} g of lead inside, or {wet * 1e3:.0f} g in the water"
    return done.but(
        moves=(
            Move("lead inside", lacking, u95 * rho, "", "at the middle of the cylinder's length"),
            Move(
                "lead in the water",
                wet,
                u95 * rho * wet / lacking,
                "",
                "at the middle of the cylinder's length",
            ),
        ),
        why=(*done.why, f"Short by {(need - high) * 1e6:.0f} mL: {told}"),
        actions=(f"add {told}, or do not dive here",),
        cautions=(LEAD_CAUTION,),
    )


# -- cycles ---------------------------------------------------------------------------------------------------------


@key(
    "ballast.cycles",
    "Ballast cycles left",
    kind="limit",
    sense="min",
    unit="1",
    display="",
    step="whole cycles, down",
    where="pond",
    needs=(
        "boat.ballast.fill_time",
        "boat.ballast.empty_time",
        "boat.power.blow",
        "boat.ballast.gas.bottle",
        "bottle.weighed",
    ),
    formula=(
        "pump: charge to spare above reserve and plan / (blow current x (fill + empty))",
        "gas: (weighed - empty bottle - vapour left) / grams a blow at its high end, less two kept",
    ),
    valid="gas: 0 to 35 degC, to 10 m",
    sources=(
        "two kept: common practice, no source",
        "vapour density: reference equations of state (CoolProp)",
    ),
    reads="count",
)
def ballast_cycles(s: Sheet) -> Limit:
    """Cycles by charge, or blows by weight."""
    kind = kind_of(s)
    if kind == "gas":
        return _by_weight(s)
    if kind == "snort_blower":
        raise NotFittedError("a blower works at the surface: its charge is the endurance's")
    return _by_charge(s)


def _finished(count: int, exact: float, starred: bool, why: tuple[str, ...]) -> Limit:
    reading = Num(float(count), 0.0, Basis.ASSUMED if starred else Basis.STATED)
    verdict = judge(reading, LEAST_CYCLES, None)
    return ballast_cycles.new().but(
        low=float(LEAST_CYCLES),
        value=exact,
        shown_low=float(LEAST_CYCLES),
        shown=f"{count}{'*' if starred else ''}",
        starred=starred,
        reading=reading,
        reading_text=f"{count}",
        verdict=verdict,
        why=why,
        actions=() if verdict is Verdict.WITHIN else ("plan fewer minutes", "take a fuller pack or bottle"),
    )


def _by_charge(s: Sheet) -> Limit:
    blow = s.num("power.blow")
    strokes = s.num("ballast.fill_time").si + s.num("ballast.empty_time").si
    spare = s.of(battery.spare)
    _, inputs = s.recorded(lambda sheet: sheet.of(battery.spare))
    each = blow.si * strokes
    exact = spare / each
    guessed = blow.basis is Basis.ASSUMED or any(i.basis is Basis.ASSUMED for i in inputs)
    lines = (
        f"{spare / AMPERE_HOUR:.2f} A h above reserve and plan; one cycle takes {each / AMPERE_HOUR:.3f}",
        "On top of the plan: the cycles of past runs are already in it",
    )
    return _finished(ballast_stroke.whole_cycles(spare, each), exact, guessed, lines).but(
        remark="on top of the plan",
    )


def _grams_a_blow(s: Sheet, fluid: str) -> Num:
    weighed = s.stated("ballast.gas.per_blow")
    if weighed is not None:
        return replace(weighed, u95=weighed.u95 or ballast_gas.WEIGHED_SHARE_U95 * weighed.si)
    if fluid == "air":
        raise UnknownError(s.facts.canonical("ballast.gas.per_blow"), because="weigh the air of a few blows")
    depth = max(0.0, s.of(planned) - s.num("ballast.tank.bottom").si)
    pressure = ballast_gas.blow_pressure(depth, s.of(water.density).si, s.of(outside_pressure).si)
    mass = ballast_gas.mass_per_blow(fluid, s.of(water.temperature).si, pressure, s.num("ballast.volume").si)
    return s.assume(
        "grams a blow",
        mass,
        ballast_gas.BLOW_SHARE_U95 * mass,
        "kg",
        "tank and a fifth blown over",
        star=True,
    )


def _by_weight(s: Sheet) -> Limit:
    fluid = s.need_word("bottle.fluid")
    weighed, empty = s.num("bottle.weighed"), s.num("bottle.empty_mass")
    each = _grams_a_blow(s, fluid)
    temperature = s.of(water.temperature).si
    dead = (
        0.0
        if fluid in ("CO2", "air")
        else ballast_gas.dead_mass(fluid, temperature, s.num("bottle.volume").si)
    )
    usable = weighed.si - empty.si - dead
    heavy = each.si + each.u95
    count = ballast_gas.blows_left(usable, heavy, BLOWS_KEPT)
    guessed = each.basis is Basis.ASSUMED
    lines = (
        f"{usable * 1e3:.0f} g of {fluid}, {each.si * 1e3:.2f} g a blow, give or take {each.u95 * 1e3:.2f}",
        f"{max(0, math.floor(usable / heavy))} blows at its high end; two are kept for coming up",
    )
    cautions = tuple(c for c in (GAS_CAUTIONS.get(fluid), BOTTLE_CAUTION) if c)
    return _finished(count, usable / each.si, guessed, lines).but(
        cautions=cautions, remark="two more are kept"
    )
