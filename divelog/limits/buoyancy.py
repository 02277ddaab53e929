"""Reserve surfaced, balance dived with the tower left showing, and the depth where shrinking air rules."""

from __future__ import annotations

from dataclasses import dataclass

from divelog.limits import water
from divelog.limits.balance import (
    CYLINDER_GROWS,
    REST_GROWS,
    Change,
    change,
    dived_balance,
    dived_mass,
    hull,
    reserve,
    squeeze,
    worse,
)
from divelog.limits.model import Limit, Term, Verdict
from divelog.limits.registry import key
from divelog.limits.rests import rests_on
from divelog.limits.rounding import down, judge, up
from divelog.limits.sheet import NotFittedError, Sheet, UnknownError
from divelog.physics import buoyancy as physics
from divelog.physics import buoyancy_change, buoyancy_squeeze
from divelog.profiles.document import Basis, Num

__all__ = ["air_term", "band", "dived_balance", "dived_mass", "predicted", "reserve"]

TOWER = "tower"
GRAM = 0.001
STEPS = {"S": GRAM, "M": GRAM, "L": 5 * GRAM}
RESERVE_STEPS = {"S": GRAM, "M": 5 * GRAM, "L": 10 * GRAM}
RESERVE_LEAST = 0.05
"""Share of the mass (common practice, no source)."""

TOWER_STEP = 0.001
NO_TERM_BEYOND = 10.0
"""Metres: shrinking air that leaves her buoyant this deep is no term of a model's depth."""

ARCHIMEDES = "Archimedes' principle; linear expansion from handbook tables"
BOYLE = "Boyle's law; thin-walled tube (Timoshenko, Strength of Materials)"
BAND_SOURCE = "band 0.3 to 1 % of the dived mass: common practice, no source"


def grams(kg: float, decimals: int = 0) -> str:
    """A mass with its sign, in grams."""
    return f"{kg * 1e3:+.{decimals}f} g"


# -- the dived balance and its band ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Wished:
    """The band of the dived balance today: exact and shown edges, kg, and what the planned depth takes."""

    least: float
    most: float
    shown_least: float
    shown_most: float
    air_loss: float
    tube_loss: float


def planned(s: Sheet) -> float:
    """Keel depth to be ready for, m: the plan's, else the deepest of her own limits."""
    own = None if s.stated("plan.depth") else s.stated("my_limits.deepest")
    return own.si if own is not None else s.num("plan.depth").si


def band(s: Sheet) -> Wished:
    """Least and most dived balance for the planned depth."""
    return _band_at(s, s.of(planned))


def surface_band(s: Sheet) -> Wished:
    """The same where no depth is planned: nothing has shrunk."""
    return _band_at(s, 0.0)


def _band_at(s: Sheet, depth: float) -> Wished:
    m_d, shrink = s.of(dived_mass), s.of(squeeze)
    air = shrink.of_air(depth) + shrink.of_foam(depth)
    tube = shrink.of_tube(depth)
    least, most = s.stated("my_limits.dived_least"), s.stated("my_limits.dived_most")
    found = physics.balance_band(m_d.si, air + tube, least.si if least else None, most.si if most else None)
    step = STEPS[s.size]
    return Wished(found.least, found.most, up(found.least, step), down(found.most, step), air, tube)


def predicted(balance: Num, low: float, high: float) -> Verdict:
    """A balance carried from a trim record is outside an edge only if it clears it by its own ±."""
    plain = judge(balance, low, high)
    if plain is Verdict.OUTSIDE and low <= balance.si + balance.u95 and balance.si - balance.u95 <= high:
        return Verdict.TOO_CLOSE
    return plain


def note_growth(s: Sheet) -> None:
    """The expansions taken from tables, as assumed inputs."""
    parts = s.of(hull)
    alpha, rest = parts.expansion, buoyancy_change.REST_EXPANSION
    s.assume(CYLINDER_GROWS, alpha.alpha, alpha.u95, "1/K", f"{parts.material}, from tables")
    s.assume(REST_GROWS, rest.alpha, rest.u95, "1/K", "for whatever is not the cylinder")


def _growth_words(s: Sheet, since: Change) -> str:
    record = s.num("boat.dived_balance")
    cylinder, rest = (round(g * 1e3, 1) + 0.0 for g in since.parts.growth)
    water_word = "denser" if since.parts.water >= 0 else "lighter"
    material = s.of(hull).material
    return (
        f"Trimmed at {since.then.si - 273.15:.1f} degC: {grams(record.si)}. "
        f"{water_word.capitalize()} water {since.parts.water * 1e3:+.1f}, {material} cylinder {cylinder:+.1f}, "
        f"the rest {rest:+.1f}"
    )


def _dived_actions(verdict: Verdict) -> tuple[str, ...]:
    if verdict is Verdict.TOO_CLOSE:
        return ("count the coins again", "measure the dived balance in this water")
    if verdict is Verdict.OUTSIDE:
        return ("move the lead that the trim change names", "count the coins again")
    return ()


@key(
    "buoyancy.dived",
    "Dived balance",
    kind="limit",
    sense="band",
    unit="kg",
    display="g",
    step="1 g (5 g over 1.3 m), inwards; tower 1 mm, inwards",
    where="tank",
    items="balance · tower (height left showing)",
    needs=(
        "boat.dived_balance",
        "boat.trimmed_at.temperature",
        "today.water.temperature",
        "today.plan.depth",
    ),
    formula=(
        "today = trimmed + (displaced - ballast)(rho today - rho then) + rho 3 (sum of alpha V) (T today - T then)",
        "least = max(0.3 % of the dived mass, what the planned depth takes + 0.1 %); most = 1 % of the dived mass",
        "tower showing = balance / (rho x section of what keeps water out)",
    ),
    valid="water 0 to 40 degC, to 42 g/kg; depth to 20 m; level, at rest",
    sources=(ARCHIMEDES, BOYLE, BAND_SOURCE),
    reads="mass",
    reading_unit="g",
)
def buoyancy_dived(s: Sheet) -> tuple[Limit, ...]:
    """The band of the dived balance against today's prediction or measurement, and the tower that follows."""
    note_growth(s)
    wished = s.of(band)
    try:
        today = s.of(dived_balance)
    except UnknownError:
        today = None
    measured = s.reading("buoyancy.dived")
    if today is None and measured is None:
        s.of(dived_balance)  # names what is missing
    low, high = wished.shown_least, wished.shown_most
    reading = measured or today
    assert reading is not None
    verdict = judge(reading, low, high) if measured else predicted(reading, low, high)
    m_d = s.of(dived_mass)
    why: list[str] = []
    if today is not None:
        why.append(_growth_words(s, s.of(change)))
        why.append(
            f"Today {grams(today.si)}, give or take {today.u95 * 1e3:.0f}; wanted {low * 1e3:.0f} to {high * 1e3:.0f} "
            f"(0.3 to 1 % of {m_d.si:.2f} kg)"
        )
    why.append(
        f"At {s.of(planned):.1f} m shrinking air takes {wished.air_loss * 1e3:.1f} g, the tube and its caps "
        f"{wished.tube_loss * 1e3:.1f}"
    )
    if low > high:
        why.append("Depth takes more than the whole band: plan shallower or get the air out")
    value = today or measured
    assert value is not None
    balance = buoyancy_dived.new().but(
        low=wished.least,
        high=wished.most,
        value=value.si,
        u95=value.u95,
        shown_low=low,
        shown_high=high,
        shown=f"{low * 1e3:.0f} to {high * 1e3:.0f} g",
        reading=reading,
        reading_text=grams(reading.si) + ("" if measured else " predicted"),
        remark="" if measured else "predicted",
        verdict=verdict,
        why=tuple(why),
        cautions=("Packs or lead changed since the trim change this by their whole weight.",),
        actions=_dived_actions(verdict),
    )
    tower = _tower(s, wished, value)
    return (balance, tower) if tower is not None else (balance,)


def _tower(s: Sheet, wished: Wished, balance: Num) -> Limit | None:
    section = s.stated("boat.sail_section")
    if section is None:
        return None
    rho = s.of(water.density).si
    height = physics.tower_height(balance.si, rho, section.si)
    u95 = physics.tower_height_u95(height, balance.u95, rho, section.si)
    least, most = (physics.tower_height(edge, rho, section.si) for edge in (wished.least, wished.most))
    low, high = up(least, TOWER_STEP), down(most, TOWER_STEP)
    measured = s.own_reading("buoyancy.dived", TOWER)
    reading = measured or Num(height, u95, balance.basis)
    verdict = judge(reading, low, high) if measured else predicted(reading, low, high)
    seen = f"{height * 1e3:.0f} mm left showing, give or take {u95 * 1e3:.0f}"
    return buoyancy_dived.new(TOWER).but(
        unit="m",
        low=least,
        high=most,
        value=height,
        u95=u95,
        shown_low=low,
        shown_high=high,
        shown=f"{low * 1e3:.0f} to {high * 1e3:.0f} mm",
        reading=reading,
        reading_text=f"{reading.si * 1e3:.0f} mm" + ("" if measured else " predicted"),
        remark="" if measured else "predicted",
        verdict=verdict,
        why=(
            f"{grams(balance.si)} on {section.si * 1e4:.0f} cm^2 of tower: {seen}",
            "Count only what keeps water out: walls, masts and foam of a flooding tower. Wet it, tap it, read twice.",
        ),
        actions=_dived_actions(verdict),
    )


# -- reserve --------------------------------------------------------------------------------------------------------


def _reserve(s: Sheet) -> Limit:
    found, mass = s.of(reserve), s.num("boat.mass")
    least = RESERVE_LEAST * mass.si
    low = up(least, RESERVE_STEPS[s.size])
    tank, rho = s.of(ballast_volume), s.of(water.density)
    by_trim = True
    try:
        balance = s.of(dived_balance)
        first = f"Tank {rho.si * tank.si * 1e3:.0f} g + dived balance {balance.si * 1e3:.0f} g = {found.si * 1e3:.0f} g"
    except UnknownError:
        by_trim = False
        spread = f"give or take {found.u95 * 1e3:.0f}"
        first = f"Displaced less mass {found.si * 1e3:.0f} g, {spread}: a trim record is finer"
    measured = s.reading("buoyancy.reserve")
    return buoyancy_reserve.new().but(
        low=least,
        value=found.si,
        u95=found.u95,
        shown_low=low,
        shown=f"at least {low * 1e3:.0f} g",
        starred=not by_trim and found.basis is Basis.ASSUMED,
        reading=measured or found,
        reading_text=f"{(measured or found).si * 1e3:.0f} g",
        why=(first, f"{found.si / mass.si * 100:.1f} % of {mass.si:.2f} kg; at least 5 %"),
        actions=()
        if judge(measured or found, low, None) is Verdict.WITHIN
        else ("weigh her and measure the balance",),
    )


def ballast_volume(s: Sheet) -> Num:
    """Usable ballast, m3; refused where she takes none in."""
    if s.word("ballast.kind") == "none":
        raise NotFittedError("she takes no ballast in")
    return s.num("ballast.volume")


@key(
    "buoyancy.reserve",
    "Reserve buoyancy",
    kind="limit",
    sense="min",
    unit="kg",
    display="g",
    step="1, 5 or 10 g by size, up",
    where="tank",
    needs=("boat.mass", "boat.ballast.volume", "boat.dived_balance"),
    formula=(
        "dived balance today + rho x ballast; without a trim record rho x displaced - mass",
        "least 5 % of the mass",
    ),
    valid="surfaced, ballast empty, at rest",
    sources=("Archimedes' principle", "5 % of the mass: common practice, no source"),
    reads="mass",
    reading_unit="g",
)
def buoyancy_reserve(s: Sheet) -> tuple[Limit, ...]:
    """Reserve surfaced against 5 % of her mass."""
    carrying = (
        "boat.dived_balance",
        "boat.mass",
        "ballast.volume",
        "today.water.temperature",
        "boat.displaced",
    )
    return rests_on(s, _reserve, *carrying)


# -- depth ----------------------------------------------------------------------------------------------------------


def air_term(s: Sheet) -> Term:
    """Keel depth at which shrinking air, foam and tube have taken all of the dived balance."""
    balance, shrink = s.of(dived_balance), s.of(squeeze)
    basis = worse(balance, s.num("boat.trapped_air"))
    low = balance.si - balance.u95
    safe = buoyancy_squeeze.heavy_depth(low, shrink.loss)
    if low <= 0.0 or safe is None or safe > NO_TERM_BEYOND:
        if low > 0.0:
            raise NotFittedError("buoyant at any depth she goes to")
        value = buoyancy_squeeze.heavy_depth(max(0.0, balance.si), shrink.loss)
        value = buoyancy_squeeze.DEPTH_MOST if value is None else value
        return Term(
            "air and tube", value, value, basis=basis, why="she does not come up by herself", source=BOYLE
        )
    value = buoyancy_squeeze.heavy_depth(balance.si, shrink.loss)
    value = buoyancy_squeeze.DEPTH_MOST if value is None else value
    why = (
        f"{balance.si * 1e3:.0f} g, give or take {balance.u95 * 1e3:.0f}, is gone where {shrink.air * 1e6:.0f} mL of "
        "air and the tube have shrunk by it; deeper she does not come up by herself"
    )
    return Term("air and tube", value, value - safe, basis=basis, why=why, source=BOYLE)
