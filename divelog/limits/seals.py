"""Depth that each moving seal holds, and its terms of the deepest keel."""

from __future__ import annotations

import math
from dataclasses import dataclass

from divelog.limits import gland as gland
from divelog.limits import shaft_current as shaft_current
from divelog.limits import water
from divelog.limits.by_item import each_item
from divelog.limits.cylinder import cold_pressure, pressures
from divelog.limits.model import Limit, Term, Verdict
from divelog.limits.registry import key
from divelog.limits.rounding import down, judge, rss, text
from divelog.limits.seal_care import age_caution, grease_caution
from divelog.limits.sheet import NotFittedError, Sheet, UnknownError
from divelog.physics import seals as physics
from divelog.physics.seals import ShaftSeal
from divelog.physics.si import GRAVITY
from divelog.profiles.document import Basis, Num

STEP = 0.1
COLD_ASSUMED = (-10e3, 5e3)
"""Least gauge pressure inside, Pa, and its u95, where it cannot be worked out: common practice, no source."""

_NAMES = {
    ShaftSeal.LIP: "Plain lip",
    ShaftSeal.PRESSURE_LIP: "Pressure lip",
    ShaftSeal.RING: "Ring on the shaft",
    ShaftSeal.FACE: "Face seal",
    ShaftSeal.BELLOWS: "Bellows",
}
AFLOAT = ("cold", "full")
"""States of the air inside while she is in the water."""

LIFTS = 3e3
"""Inside pressure over the water's, Pa, from which a lip is warned about: common practice, no source."""

_LIPS = (ShaftSeal.LIP, ShaftSeal.PRESSURE_LIP)
PACKED = "packed gland: the depth she has been proved dry at rules"
SOURCE = "seal makers' pages (pressure and speed of lip seals); others common practice, no source"


@dataclass(frozen=True, slots=True)
class Hold:
    """What one moving seal holds today: keel depth, its u95, and how it came about."""

    kind: ShaftSeal
    depth: float
    u95: float
    pressure: float
    inside: Num
    basis: Basis
    speed: float | None
    fastest: float

    @property
    def too_fast(self) -> bool:
        """The shaft rubs faster than this kind bears."""
        return self.speed is not None and self.speed > self.fastest

    @property
    def safe(self) -> float:
        """The safe end, never under nought."""
        return max(0.0, self.depth - self.u95)


def moving_seals(s: Sheet) -> tuple[str, ...]:
    """Ids of the seals round something that moves, magnetic couplings (no hole) left out."""
    return tuple(
        item
        for item in s.ids("seal")
        if s.flag(f"seal[{item}].moves") and s.word(f"seal[{item}].kind") != ShaftSeal.MAGNETIC.value
    )


def inside_cold(s: Sheet) -> Num:
    """Least gauge pressure inside over the outing; assumed where it cannot be worked out."""
    try:
        return s.of(cold_pressure)
    except (UnknownError, NotFittedError) as error:
        if isinstance(error, UnknownError) and not error.missing:
            raise  # refused, not missing: a milder guess in its place would loosen the limit
        note = "10 kPa of vacuum: sealed warm, cooled by the water"
        return s.assume("cylinder.cold_pressure", *COLD_ASSUMED, "Pa", note, star=True)


def hold_of(s: Sheet, item: str) -> Hold:
    """Depth one moving seal holds; raises UnknownError for a packed gland."""
    here = f"seal[{item}]"
    kind = ShaftSeal(s.need_word(f"{here}.kind"))
    held = physics.holds(kind)
    if held is None:
        raise UnknownError(because=PACKED)
    inside = inside_cold(s)
    rho = s.of(water.density)
    above = s.num(f"{here}.above_keel")
    depth = physics.seal_depth(held.turning, inside.si, rho.si, above.si)
    u95 = rss(physics.SHAFT_PRESSURE_SPREAD * held.turning, inside.u95) / (rho.si * GRAVITY)
    diameter, turns = s.maybe(f"{here}.shaft.diameter"), s.maybe(f"{here}.shaft.turns")
    speed = None
    if diameter is not None and turns is not None:
        speed = physics.rubbing_speed(diameter.si, turns.si / (2.0 * math.pi))
    basis = max((inside.basis, rho.basis, above.basis), key=lambda each: each.rank)
    fastest = held.speed if held.speed is not None else math.inf
    return Hold(kind, depth, u95, held.turning, inside, basis, speed, fastest)


def _line(hold: Hold) -> str:
    pull = -hold.inside.si / 1e3
    less = f"less {pull:.1f} kPa of vacuum" if pull >= 0.0 else f"and {-pull:.1f} kPa inside"
    return (
        f"{_NAMES[hold.kind]}: {hold.pressure / 1e3:.0f} kPa (good to 30 %), {less}: "
        f"{max(hold.depth, 0.0):.1f} m, give or take {hold.u95:.1f}."
    )


def _speed_line(hold: Hold) -> tuple[str, ...]:
    if hold.speed is None:
        return ()
    how = "faster than" if hold.too_fast else "at most"
    return (f"The shaft rubs at {hold.speed:.2f} m/s, {how} the {hold.fastest:.0f} m/s it bears.",)


def _lift(s: Sheet, item: str) -> float:
    """How far the pressure inside may stand over the water's at a seal while she is in the water, Pa."""
    states, _ = s.recorded(lambda x: x.of(pressures))
    if isinstance(states, UnknownError | NotFittedError):
        return 0.0
    inside = max((state.gauge for state in states if state.name in AFLOAT), default=0.0)
    plan = s.maybe("plan.depth")
    head = max(0.0, (plan.si if plan is not None else 0.0) - s.si(f"seal[{item}].above_keel"))
    return inside - s.of(water.density).si * GRAVITY * head


def _cautions(s: Sheet, item: str, hold: Hold) -> tuple[str, ...]:
    if hold.kind not in _LIPS:
        return ()
    lift = s.of(_lift, item)
    if lift <= LIFTS:
        return ()
    return (
        f"A lip seals one way: with the ballast in, the air inside stands {lift / 1e3:.0f} kPa over the water at "
        "the shaft and may lift it.",
    )


def _result(s: Sheet, item: str) -> Limit:
    hold = s.of(hold_of, item)
    shown = max(0.0, down(hold.safe, STEP))
    reading = s.reading("seals.shaft", item) or s.maybe("plan.depth")
    # where the vacuum alone uses up what it holds, no plan is within, not even one of no depth
    spent = hold.too_fast or hold.safe < 0.0
    verdict = Verdict.OUTSIDE if spent else judge(reading, None, shown)
    why = [_line(hold), *_speed_line(hold)]
    if hold.depth - hold.u95 <= 0.0:
        why.append("The vacuum alone may use up what it holds.")
    return seals_shaft.new(item).but(
        high=max(0.0, hold.depth),
        u95=hold.u95,
        shown_high=shown,
        shown=text(shown, "m", "length", STEP),
        basis=hold.basis,
        reading=reading,
        verdict=verdict,
        why=tuple(why),
        cautions=(*_cautions(s, item, hold), *grease_caution(s, item), *age_caution(s, item)),
        actions=_actions(hold, verdict),
        remark="the shaft turns too fast for it" if hold.too_fast else "",
    )


def _actions(hold: Hold, verdict: Verdict) -> tuple[str, ...]:
    if hold.too_fast:
        return ("turn the shaft slower, or fit another kind of seal",)
    if verdict not in (Verdict.OUTSIDE, Verdict.TOO_CLOSE):
        return ()
    return ("plan a shallower keel", "close her in colder air, so that she keeps less vacuum")


@key(
    "seals.shaft",
    "Depth the moving seals hold",
    kind="limit",
    sense="max",
    unit="m",
    display="m",
    step="0.1 m down",
    where="bench",
    items="each moving seal",
    needs=("boat.seal.kind", "boat.seal.moves", "today.plan.depth"),
    formula=(
        "(what the kind holds turning + gauge pressure inside)/(density x g) + height above the keel",
        "what it holds is good to 30 %",
    ),
    valid="shafts of 2 to 12 mm, 0 to 20 m; packed glands are not worked out",
    sources=(SOURCE,),
    reads="length",
    reading_unit="m",
)
def seals_shaft(s: Sheet) -> tuple[Limit, ...]:
    """One result for each moving seal."""
    items = moving_seals(s)
    if not items:
        raise NotFittedError("no moving seal is written down")
    return each_item(s, seals_shaft, items, _result)


def seal_terms(s: Sheet) -> tuple[tuple[Term, ...], tuple[str, ...]]:
    """Terms ``seal:<id>`` of the deepest keel, and the names of those that are not known."""
    terms: list[Term] = []
    missing: list[str] = []
    for item in moving_seals(s):
        name = f"seal:{item}"
        try:
            hold = s.of(hold_of, item)
        except UnknownError:
            missing.append(name)
            continue
        terms.append(Term(name, hold.depth, hold.u95, basis=hold.basis, why=_line(hold), source=SOURCE))
    return tuple(terms), tuple(missing)
