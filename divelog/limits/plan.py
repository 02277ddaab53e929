"""Advice for the plan: steepest dive, fastest surfaced before the propeller draws air, slowest that stays down."""

from __future__ import annotations

import math

from divelog.limits import water
from divelog.limits.model import Limit, Part
from divelog.limits.motion_figures import balance, body, moved, room, way
from divelog.limits.registry import key
from divelog.limits.rounding import down, rss, text, up
from divelog.limits.sheet import Sheet
from divelog.limits.waves import waves
from divelog.physics.motion import excursion as physics
from divelog.physics.motion.drag import resistance
from divelog.physics.motion.planes import (
    HOLDING_ANGLE,
    effective_aspect_ratio,
    hull_lift_area,
    least_speed,
    lift_slope,
    plane_lift_area,
)
from divelog.physics.motion.propeller import FROTH_MARGIN, throttle_cap
from divelog.physics.motion.room import steepest_angle
from divelog.physics.motion.speed import froude_speed

SPEED_STEP = 0.05
DEGREE = math.radians(1.0)
CAP = {"S": math.radians(15.0), "M": math.radians(15.0), "L": math.radians(10.0)}
"""Beyond this lead and packs may shift, and vents are not proved (common practice, no source)."""

WAVE_HUMP = 0.4
"""Froude number of the length at the surface's wave hump (from memory)."""

SURFACED_SHARE = 0.25
HELD_DOWN_SHARE = 0.30
PLANE_THROW = math.radians(15.0)


@key(
    "plan.dive_angle",
    "Steepest bow-down",
    kind="advice",
    sense="advice",
    unit="rad",
    display="deg",
    step="1 deg down",
    where="desk",
    needs=("site.bottom", "today.plan.depth", "boat.motion.cruise", "boat.radio.failsafe_delay"),
    formula=(
        "largest angle with V sin(g) (delay + plane time) + 1.5 lengths times g within the room under her",
        "never over 15 deg (large boats 10)",
    ),
    valid="ahead, 0 to 90 deg",
    sources=(
        "kinematics of the depth lost before she turns up; lag of 1.5 lengths, common practice, no source",
        "cap of 15 and 10 deg: common practice, no source",
    ),
)
def plan_dive_angle(s: Sheet) -> Limit:
    """Steepest dive that clears the bottom when the signal goes."""
    how, under = s.of(way), s.of(room)
    kept = physics.allowance(how.speed.si, 0.0, how.length)

    def angle(
        r: float = under.si, v: float = how.speed.si, d: float = how.delay.si, t: float = how.plane_time.si
    ) -> float:
        return steepest_angle(r / kept, v, d, t, how.length)

    value = angle()
    u95 = rss(
        moved(lambda r: angle(r=r), under.si, under.u95, -math.inf, math.inf, -1.0),
        moved(lambda v: angle(v=v), how.speed.si, how.speed.u95, 0.0, math.inf, -1.0),
        moved(lambda d: angle(d=d), how.delay.si, how.delay.u95, 0.0, math.inf, -1.0),
        moved(lambda t: angle(t=t), how.plane_time.si, how.plane_time.u95, 0.0, math.inf, -1.0),
    )
    cap = CAP[s.size]
    ends = {"bottom": value - u95, "cap": cap}
    binding = min(ends, key=lambda name: ends[name])
    shown = down(max(0.0, ends[binding]), DEGREE)
    binds = (binding, *(("cap",) if binding == "bottom" and value + u95 >= cap else ()))
    return plan_dive_angle.new().but(
        value=value,
        u95=u95,
        shown_high=shown,
        shown=text(shown, "deg", "angle", DEGREE),
        binds=binds,
        remark={"cap": "practice", "bottom": "bottom"}[binding],
        why=_dive_why(under.si, ends, cap),
        actions=("plan a shallower keel",) if shown <= 0.0 else (),
    )


def _dive_why(under: float, ends: dict[str, float], cap: float) -> tuple[str, ...]:
    if under <= 0.0:
        return ("There is no room under her to dive into: plan a shallower keel.",)
    clears = math.floor(math.degrees(max(0.0, ends["bottom"])))
    first = f"She would clear the bottom down to {clears}°"
    return (f"{first}; beyond {math.degrees(cap):.0f}° lead and pack may shift and vents are not proved.",)


@key(
    "plan.speed_surfaced",
    "Fastest surfaced",
    kind="advice",
    sense="advice",
    unit="m/s",
    display="m/s",
    step="0.05 m/s down",
    where="desk",
    needs=("boat.motion.shaft_depth", "boat.motion.propeller", "boat.motion.froth_throttle", "boat.motion.full"),
    formula=(
        "throttle cap: the smaller of a table by shaft depth over propeller radius and of suction against the head",
        "shaft depth less half the bigger waves; speed = cap times full speed, never over 0.4 sqrt(g length)",
        "a throttle at which froth was seen, times 0.9, replaces the cap",
    ),
    valid="surfaced, still or rippled water",
    sources=(
        "suction against head, ratio of 3 from Koushan 2006, from memory",
        "table by shaft depth: common practice, no source; 3 radii from ITTC 7.5-02-03-02.1, from memory",
        "ITTC-1957 line; Hoerner, Fluid-Dynamic Drag",
    ),
)  # fmt: skip
def plan_speed_surfaced(s: Sheet) -> Limit:
    """Speed and throttle before the propeller draws air."""
    full, length = s.num("motion.full"), s.si("boat.length")
    froth = s.stated("motion.froth_throttle")
    if froth is not None:
        cap, why = (
            FROTH_MARGIN * froth.si,
            f"Froth was seen at {100 * froth.si:.0f} % throttle; a tenth less.",
        )
    else:
        cap, why = _air_cap(s)
    hump = froude_speed(length, WAVE_HUMP)
    value = min(cap * full.si, hump)
    shown = down(value, SPEED_STEP)
    starred = froth is None
    lines = [why]
    if hump <= cap * full.si:
        lines.append(f"Her own wave holds her at {hump:.2f} m/s.")
    spread = SURFACED_SHARE * value
    lines.append(f"About {value:.2f} m/s, give or take {spread:.2f}.")
    return plan_speed_surfaced.new().but(
        value=value,
        u95=spread,
        shown_high=shown,
        shown=text(shown, "m/s", "speed", SPEED_STEP) + ("*" if starred else ""),
        starred=starred,
        parts=(Part("throttle", cap, 0.0, f"{100 * cap:.0f} % throttle{'*' if starred else ''}"),),
        remark=f"{100 * cap:.0f} % throttle",
        why=tuple(lines),
        cautions=("Fingers clear of the propeller. Trim her before you open the throttle.",),
        actions=("note the throttle at which froth appears",) if starred else (),
    )


def _air_cap(s: Sheet) -> tuple[float, str]:
    shaft, across = s.num("motion.shaft_depth"), s.num("motion.propeller")
    lost = s.of(waves).state.height_tenth / 2.0
    rho = s.of(water.density).si
    hull = s.of(body).hull
    full_thrust = 2.0 * resistance(hull, s.num("motion.full").si, rho, s.of(water.viscosity).si)
    s.assume("thrust at full throttle", full_thrust, unit="N", note="twice the drag at full speed")
    cap = throttle_cap(shaft.si - lost, across.si, full_thrust, rho)
    why = (
        f"Shaft {1e3 * shaft.si:.0f} mm down, {1e3 * lost:.0f} mm of that lost to waves: "
        f"about {100 * cap:.0f} % throttle until you have seen where it froths."
    )
    return cap, why


@key(
    "plan.speed_dived",
    "Slowest dived",
    kind="advice",
    sense="advice",
    unit="m/s",
    display="m/s",
    step="0.05 m/s outward",
    where="desk",
    needs=("boat.dived_balance", "boat.controls.plane_area", "boat.controls.plane_span"),
    formula=(
        "sqrt(2 g buoyancy / (density (hull's lift at 8 deg nose-down + lift of sail or bow planes)))",
        "stern planes count nothing: to hold the nose down they push the stern up",
    ),
    valid="length over diameter 6 to 11, held at the ends; 8 deg nose-down",
    sources=(
        "Hoerner's body lift as Prestero 2001, section 4.4",
        "Whicker & Fehlner 1958, DTMB report 933",
        "stall at 0.6: common practice, no source",
    ),
)
def plan_speed_dived(s: Sheet) -> Limit:
    """Least speed at which she stays down, and the speed below which she floats up."""
    light = balance(s, cautious=False)
    new = plan_speed_dived.new()
    if light.si <= 0.0:
        return new.but(
            shown="not limiting",
            remark="she does not float up",
            why=(f"{1e3 * light.si:+.0f} g: nothing lifts her, at any speed.",),
            cautions=("She will not come up by herself: only planes with way on, or her ballast.",),
        )
    hull = s.of(body).hull
    lift, what = _planes(s)
    value = least_speed(
        light.si,
        s.of(water.density).si,
        hull_lift_area(hull.length, hull.diameter),
        HOLDING_ANGLE,
        lift,
    )
    u95 = HELD_DOWN_SHARE * value
    holds, floats = up(value + u95, SPEED_STEP), down(value - u95, SPEED_STEP)
    return new.but(
        value=value,
        u95=u95,
        shown_low=holds,
        shown=text(holds, "m/s", "speed", SPEED_STEP),
        parts=(Part("floats up below", floats, 0.0, text(floats, "m/s", "speed", SPEED_STEP)),),
        remark=f"floats up below {floats:.2f}",
        why=(
            f"{1e3 * light.si:.0f} g light: {what} at {math.degrees(HOLDING_ANGLE):.0f}° nose-down "
            f"holds her down from {value:.2f} m/s, {value - u95:.2f} to {value + u95:.2f}.",
            f"Below {floats:.2f} m/s she floats up: good for getting her back.",
        ),
    )


def _planes(s: Sheet) -> tuple[float, str]:
    """Lift of sail or bow planes (m2), and the words for what holds her down."""
    fitted = (
        s.word("controls.sail_planes") in ("switch", "stick") or s.word("controls.bow_planes") == "fitted"
    )
    area, span = s.maybe("controls.plane_area"), s.maybe("controls.plane_span")
    if not fitted or area is None or span is None:
        return 0.0, "the hull"
    throw = s.assume("throw of the sail or bow planes", PLANE_THROW, unit="rad", note="15 deg")
    aspect = min(20.0, max(0.05, effective_aspect_ratio(span.si, area.si / 2.0)))
    return plane_lift_area(area.si, lift_slope(aspect), HOLDING_ANGLE, throw.si), "hull and planes"
