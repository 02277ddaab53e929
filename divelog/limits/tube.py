"""How deep the tube and its caps carry, and their terms of the deepest keel."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from divelog.limits.cylinder_air import cold_pressure, heaviness
from divelog.limits.model import Limit, Part, Term, Verdict
from divelog.limits.registry import key
from divelog.limits.rounding import down, judge, rss, text
from divelog.limits.sheet import Sheet, UnknownError
from divelog.limits.tube_strength import Part as Strength
from divelog.limits.tube_strength import cap_parts, height_over_keel, tube_part
from divelog.physics import tube as physics
from divelog.physics.si import GRAVITY
from divelog.profiles.document import Basis, Num

STEP: Final = 0.1
UNKNOWN_VACUUM: Final = (-10_000.0, 5_000.0)
SOURCE: Final = (
    "von Mises 1929 and Windenburg and Trilling 1934 (flattening), Timoshenko (roundness, caps), Lame"
)


def inside_least(s: Sheet) -> Num:
    """Least inside gauge pressure under water, Pa; -10 kPa where it cannot be worked out."""
    try:
        return s.of(cold_pressure)
    except UnknownError as error:
        if not error.missing:
            raise  # refused, not missing: a milder guess in its place would loosen the limit
        value, u95 = UNKNOWN_VACUUM
        return s.assume("inside pressure", value, u95, "Pa", "10 kPa of vacuum, closed warm", star=True)


@dataclass(frozen=True, slots=True)
class Depth:
    """One part as a keel depth: its value and 95 % half-width in metres, and the part."""

    part: Strength
    value: float
    u95: float

    @property
    def safe(self) -> float:
        """The safe end."""
        return max(0.0, self.value - self.u95)


def _depth(s: Sheet, part: Strength) -> Depth:
    """The part's keel depth, less the vacuum; a printed one never deeper than its still proof allows."""
    inside, density, height = s.of(inside_least), s.of(heaviness), s.of(height_over_keel)
    value = physics.keel_depth_at(part.allowed, density=density, height=height, inside=inside.si)
    u95 = rss(part.u95, inside.u95) / (density * GRAVITY)
    if part.printed:
        proved = s.observed.dry_depth
        if proved is None:
            raise UnknownError(
                because="a printed part has no limit until it came up dry, still, from a depth"
            )
        if proved / physics.PROOF_FACTOR < value - u95:
            return Depth(part, proved / physics.PROOF_FACTOR, 0.0)
    return Depth(part, value, u95)


def tube_depth_of(s: Sheet) -> Depth:
    """Keel depth the tube itself carries."""
    return _depth(s, s.of(tube_part))


def cap_depths(s: Sheet) -> tuple[Depth, ...]:
    """Keel depth of each cap."""
    return tuple(_depth(s, part) for part in s.of(cap_parts))


def _basis(s: Sheet, depth: Depth) -> Basis:
    return max(depth.part.basis, s.of(inside_least).basis, key=lambda b: b.rank)


def tube_term(s: Sheet) -> Term:
    """The tube, as a term of the deepest keel."""
    depth = s.of(tube_depth_of)
    return Term(
        "tube", depth.value, depth.u95, basis=_basis(s, depth), why="the tube would flatten", source=SOURCE
    )


def cap_term(s: Sheet) -> Term:
    """The weakest cap, as a term of the deepest keel."""
    depth = min(s.of(cap_depths), key=lambda d: d.safe)
    return Term(
        "caps", depth.value, depth.u95, basis=_basis(s, depth), why=f"the {depth.part.name} would crack",
        source="Timoshenko, Strength of Materials (flat plate)",
    )  # fmt: skip


_PARTS: tuple[Callable[[Sheet], tuple[Depth, ...]], ...] = (
    lambda s: (s.of(tube_depth_of),),
    lambda s: s.of(cap_depths),
)


@key(
    "tube.depth",
    "Depth the tube carries",
    kind="limit",
    sense="max",
    unit="m",
    display="m",
    step="0.1 m down",
    where="bench",
    needs=(
        "boat.cylinder.material", "boat.cylinder.wall", "boat.cylinder.inside_diameter", "boat.cylinder.inside_length",
        "boat.cap.thickness", "boat.cap.supported", "today.closed", "today.water.temperature",
    ),
    formula=(
        "tube: least of flattening (creep, warmth and roundness in it) over its factor, and wall stress",
        "cap: design stress (t/a)^2 / k; the least safe end of all parts binds",
        "keel depth = (allowed pressure - vacuum inside)/(density g) + height over the keel",
    ),
    valid="round tubes, wall 0.005 to 0.15 of the diameter, -20 to 60 degC, flat caps",
    sources=(
        "von Mises 1929, as in Windenburg and Trilling 1934, from memory", "Timoshenko and Gere, Theory of Elastic "
        "Stability, from memory", "Timoshenko, Strength of Materials (flat plates)", "Lame (thick tubes)",
        "factors: RTP-1 3A-310 and common practice",
    ),
    reads="length",
    reading_unit="m",
)  # fmt: skip
def tube_depth(s: Sheet) -> Limit:
    """The part that binds, and how deep the keel may be for it."""
    depths = sorted((d for work in _PARTS for d in work(s)), key=lambda d: d.safe)
    least = depths[0]
    edge = least.value + least.u95
    binding = [d for d in depths if d.safe <= edge]
    beyond = next((d for d in depths if d.safe > edge), None)
    shown = down(least.safe, STEP)
    starred = any(d.part.starred for d in binding) or s.of(inside_least).si == UNKNOWN_VACUUM[0]
    reading = s.reading("tube.depth") or s.maybe("plan.depth")
    verdict = judge(reading, None, shown)
    metres = text(shown, "m", "length", STEP)
    cautions: tuple[str, ...] = (
        "A computed depth is never permission; the proved depth is a fact of its own.",
        "Test unmanned, in a closed tank or under a net: a tube that gives way throws splinters.",
    )
    if least.value <= 0.0:
        cautions = ("The vacuum alone uses up the tube.", *cautions)
    return tube_depth.new().but(
        high=least.value,
        u95=least.u95,
        shown_high=shown,
        shown=f"{metres}*" if starred else metres,
        starred=starred,
        binds=tuple(d.part.name for d in binding),
        next=f"{beyond.part.name} {down(beyond.safe, STEP):.1f}" if beyond else "",
        remark=", ".join(d.part.name for d in binding),
        terms=tuple(Term(d.part.name, d.value, d.u95, basis=_basis(s, d), why=d.part.why) for d in depths),
        parts=tuple(Part(d.part.name, d.value, d.u95, f"{down(d.safe, STEP):.1f} m") for d in depths),
        reading=reading,
        verdict=verdict,
        why=_why(s, depths),
        cautions=cautions,
        actions=()
        if verdict is Verdict.WITHIN
        else (
            "plan a shallower keel",
            "measure the wall with a calliper",
            "close her at the temperature of the water",
        ),
    )


def _why(s: Sheet, depths: list[Depth]) -> tuple[str, ...]:
    inside = s.of(inside_least)
    lines = []
    for depth in depths:
        part = depth.part
        lines.append(f"{part.why}; {depth.value:.1f} m, give or take {depth.u95:.1f}")
    if inside.si < 0.0:
        lines.append(f"Each is less {-inside.si / 1e3:.1f} kPa of vacuum inside")
    proved = s.observed.dry_depth
    lines.append(f"Proved dry from {proved:.1f} m" if proved is not None else "Not proved dry from any depth")
    better = next((d.part.calliper for d in depths if d.part.calliper is not None), None)
    if better is not None:
        density = s.of(heaviness) * GRAVITY
        safe = (better[0] + inside.si - rss(better[1], inside.u95)) / density + s.of(height_over_keel)
        lines.append(f"Measure next: the wall with a calliper, tube {down(max(0.0, safe), STEP):.1f} m then")
    return tuple(lines)
