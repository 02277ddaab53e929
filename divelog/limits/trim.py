"""Stiffness with a part-filled tank, the wait before judging trim, and the mass to lift."""

from __future__ import annotations

import math

from divelog.limits import water
from divelog.limits.balance import dived_mass, hull
from divelog.limits.model import Limit, Part, Verdict
from divelog.limits.registry import key
from divelog.limits.rests import rests_on
from divelog.limits.rounding import judge, text, up
from divelog.limits.sheet import Sheet, UnknownError
from divelog.limits.trim_angles import STATICS, trim_list, trim_pitch
from divelog.limits.trim_change import trim_change
from divelog.physics import buoyancy_change, stability
from divelog.profiles.document import Basis, Num

__all__ = ["lift_mass", "trim_change", "trim_list", "trim_pitch", "trim_righting", "trim_soak"]

RIGHTING_STEP = 0.0005
NO_SURFACE = frozenset({"piston", "pumped_bag", "air_bladder", "none"})
SOAK_FLOOR = {"S": 600.0, "M": 600.0, "L": 900.0}
MINUTE = 60.0
LIFT_STEP = 0.1
SLING, TWO_PEOPLE = 5.0, 25.0


# -- stiffness ------------------------------------------------------------------------------------------------------


def _outside_diameter(s: Sheet) -> float:
    wall = s.stated("cylinder.wall")
    return s.si("cylinder.inside_diameter") + 2.0 * (wall.si if wall is not None else 0.0)


def _part_filled(s: Sheet, righting: Num) -> Limit:
    blank = trim_righting.new("part-filled")
    try:
        length, width = s.num("ballast.tank.length"), s.num("ballast.tank.width")
    except UnknownError:
        missing = tuple(
            s.facts.canonical(path)
            for path in ("ballast.tank.length", "ballast.tank.width")
            if s.stated(path) is None
        )
        return blank.but(shown="unknown", verdict=Verdict.UNKNOWN, missing=missing, basis=Basis.MISSING,
            actions=tuple(f"write down {path}" for path in missing),
            why=("A part-filled tank takes stiffness by its length and width",),
        )  # fmt: skip
    m_d, rho, baffles = s.of(dived_mass), s.of(water.density), s.maybe("ballast.tank.baffles")
    cells = 1 + (round(baffles.si) if baffles is not None else 0)
    pitch = stability.free_surface_loss(rho.si, width.si, length.si, m_d.si, cells)
    roll = stability.free_surface_loss(rho.si, length.si, width.si, m_d.si)
    left, across = righting.si - pitch, righting.si - roll
    least = min(left, across)
    baffled = stability.free_surface_loss(rho.si, width.si, length.si, m_d.si, cells + 1)
    reading = Num(least, righting.u95, righting.basis)
    return blank.but(
        low=0.0,
        value=least,
        u95=righting.u95,
        shown_low=0.0,
        shown="above 0 mm",
        reading=reading,
        reading_text=f"{least * 1e3:.1f} mm left",
        starred=righting.basis is Basis.ASSUMED,
        verdict=judge(reading, 0.0, None),
        parts=(
            Part("left in pitch", left, righting.u95, f"{left * 1e3:.1f} mm"),
            Part("left in roll", across, righting.u95, f"{across * 1e3:.1f} mm"),
        ),
        why=(
            f"Part-filled tank takes {pitch * 1e3:.1f} of {righting.si * 1e3:.0f} mm fore and aft, "
            f"{roll * 1e3:.1f} across",
            f"{'One' if cells == 1 else 'One more'} cross baffle: {baffled * 1e3:.1f}",
        ),
        actions=("fill without stopping", "fit a cross baffle"),
    )


def _righting(s: Sheet) -> tuple[Limit, ...]:
    righting = s.num("motion.righting")
    measured = s.reading("trim.righting") or righting
    broadest = max(s.si("boat.beam"), _outside_diameter(s))
    least = stability.RIGHTING_SHARE * broadest
    low = up(least, RIGHTING_STEP)
    whole = trim_righting.new().but(
        low=least,
        value=measured.si,
        u95=measured.u95,
        shown_low=low,
        shown="at least " + text(low, "mm", "length", RIGHTING_STEP),
        reading=measured,
        reading_text=f"{measured.si * 1e3:.1f} mm",
        starred=righting.basis is Basis.ASSUMED,
        why=(f"3 % of {broadest * 1e3:.0f} mm, the greater of beam and cylinder",),
        actions=()
        if judge(measured, low, None) is Verdict.WITHIN
        else ("put lead lower or foam higher", "incline her: a coin on the beam"),
    )
    kind = s.need_word("ballast.kind")
    if kind in NO_SURFACE:
        return (whole.but(why=(*whole.why, "No free surface: stiff both ways while she fills")),)
    return whole, _part_filled(s, measured)


@key(
    "trim.righting",
    "Stiffness, B above G",
    kind="limit",
    sense="min",
    unit="m",
    display="mm",
    step="0.5 mm up",
    where="tank",
    items="whole boat · part-filled",
    needs=("boat.motion.righting", "boat.ballast.tank.length", "boat.ballast.tank.width"),
    formula=(
        "least 3 % of the greater of beam and cylinder",
        "part-filled: BG - rho x width x length^3 / 12 / dived mass / cells^2 in pitch, sides swapped in roll",
    ),
    valid="small angles, box tank",
    sources=(STATICS, "3 % of the beam: common practice, no source"),
    reads="length",
    reading_unit="mm",
)
def trim_righting(s: Sheet) -> tuple[Limit, ...]:
    """BG against the least to ask for, and what a part-filled tank leaves of it."""
    return rests_on(
        s, _righting, "motion.righting", "boat.beam", "ballast.tank.length", "ballast.tank.width", "boat.mass"
    )


# -- the wait -------------------------------------------------------------------------------------------------------


def _soak(s: Sheet) -> Limit:
    parts, rho, now, boat = s.of(hull), s.of(water.density), s.of(water.temperature), s.num("closed")
    wall = s.stated("cylinder.wall") or Num(0.004)
    found = buoyancy_change.soak(
        buoyancy_change.heat_capacity_of(parts.material),
        wall.si,
        rho.si,
        parts.cylinder,
        parts.expansion.alpha,
        boat.si - now.si,
    )
    difference = boat.si - now.si
    way = "warmer" if difference > 0 else "colder"
    fault = "light" if difference > 0 else "heavy"
    at_first = f"{found.error_at_first * 1e3:.0f} g too {fault}"
    tells = f"{abs(difference):.0f} K {way} than the water makes her {at_first} at first"
    if found.wait <= 0.0:
        return trim_soak.new().but(value=0.0, shown="no wait", why=(tells,))
    shown = max(found.wait, SOAK_FLOOR[s.size])
    minutes = math.ceil(shown / MINUTE - 1e-9)
    return trim_soak.new().but(
        value=found.wait,
        shown=f"{minutes} min",
        shown_low=minutes * MINUTE,
        why=(
            tells,
            f"Gone after {max(1, math.ceil(found.wait / MINUTE)):.0f} min; {minutes} to be sure",
            "The air inside takes 10 to 30 min: the cylinder's gauge waits longer than the trim",
        ),
    )


@key(
    "trim.soak_time",
    "Wait before judging trim",
    kind="estimate",
    sense="estimate",
    unit="s",
    display="min",
    step="1 min up",
    where="tank",
    needs=("today.water.temperature", "today.closed", "boat.cylinder.material", "boat.cylinder.wall"),
    formula=(
        "2 tau ln(error at first / 1 g), tau = heat capacity of the wall x its thickness / 150 W/(m2 K)",
        "error at first = rho V 3 alpha (boat - water); never under 10 min (15 over 1.3 m) once it is over 1 g",
    ),
    valid="boat within 80 K of the water, still water",
    sources=(
        "lumped wall in still water; film coefficient order of magnitude, from memory",
        "10 to 15 min afloat: common practice, no source",
    ),
)
def trim_soak(s: Sheet) -> tuple[Limit, ...]:
    """Minutes in the water before trim may be judged."""
    return rests_on(s, _soak, "closed", "today.water.temperature", "cylinder.material", "cylinder.wall")


# -- lifting --------------------------------------------------------------------------------------------------------


@key(
    "lift.mass",
    "Mass to lift",
    kind="estimate",
    sense="estimate",
    unit="kg",
    display="kg",
    step="0.1 kg up",
    where="pond",
    needs=("boat.wet_lift_mass", "boat.mass"),
    formula=("drained mass, its high end; not written: mass x 1.2 ± 0.15",),
    valid="drained",
    sources=("water left in a drained hull, 5 to 40 %: common practice, no source",),
)
def lift_mass(s: Sheet) -> Limit:
    """Drained mass at its high end."""
    found = s.num("boat.wet_lift_mass")
    guessed = found.basis is Basis.ASSUMED
    heavy = up(found.si + found.u95, LIFT_STEP)
    cautions = ["Undrained she weighs far more: let her drain before the lift."]
    if heavy > TWO_PEOPLE:
        cautions.insert(0, "Over 25 kg: two people or a trolley, backs straight, feet dry.")
    elif heavy > SLING:
        cautions.insert(0, "Over 5 kg: use a sling or ask a helper.")
    return lift_mass.new().but(
        value=found.si,
        u95=found.u95,
        shown=text(heavy, "kg", "mass", LIFT_STEP) + ("*" if guessed else ""),
        starred=guessed,
        why=(f"{found.si:.1f} kg drained, give or take {found.u95:.1f}",),
        cautions=tuple(cautions),
    )
