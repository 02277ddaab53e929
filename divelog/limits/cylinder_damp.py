"""Water found inside: sweat, or a leak."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from divelog.limits.cylinder_air import HUMIDITY_READ
from divelog.limits.model import Limit, Part, Verdict
from divelog.limits.registry import key
from divelog.limits.rounding import down
from divelog.limits.sheet import Sheet
from divelog.physics.humidity import sweat
from divelog.physics.si import ZERO_CELSIUS
from divelog.profiles.document import Num

STEP: Final = 1e-6
WATER: Final = 1000.0
"""Kilograms in a cubic metre of what a towel takes up."""

DAMP_PARTS: Final = 4e-3
"""Most water a kilogram of nylon, paper, wood or foam gives up when warmed: twice 2 mg a gram (common practice)."""

DRY: Final = "bone dry"


@dataclass(frozen=True, slots=True)
class Amount:
    """A word for found water: its volume, and the ends of its 95 % range, m3."""

    volume: float
    least: float
    most: float


WATER_WORDS: Final[dict[str, Amount]] = {
    DRY: Amount(0.0, 0.0, 0.0),
    "mist on the wall": Amount(0.02e-6, 0.005e-6, 0.1e-6),
    "a drop": Amount(0.05e-6, 0.025e-6, 0.075e-6),
    "a teaspoon": Amount(5e-6, 3.5e-6, 6.5e-6),
    "an egg-cup": Amount(40e-6, 28e-6, 52e-6),
    "a cup": Amount(200e-6, 140e-6, 260e-6),
}
"""Words that count as measurements of water. A drop: USP 32, chapter 1101 (45 to 55 mg from a dropper; a hand drop
varies more); the rest common practice, no source."""


def found_verdict(found: Amount, *, low: float, high: float) -> Verdict:
    """Within if all of it may be sweat, outside if even its least is more than can be; masses kg, volumes m3."""
    if found.most * WATER <= low * (1.0 + 1e-9):
        return Verdict.WITHIN
    return Verdict.OUTSIDE if found.least * WATER > high * (1.0 + 1e-9) else Verdict.TOO_CLOSE


def _found(s: Sheet) -> tuple[Amount | None, Num | None]:
    word = s.answer("cylinder.water_found")
    if word in WATER_WORDS:
        amount = WATER_WORDS[word]
    else:
        read = s.reading("cylinder.water_found")
        if read is None:
            return None, None
        amount = Amount(read.si, max(0.0, read.si - read.u95), read.si + read.u95)
    spread = max(amount.most - amount.volume, amount.volume - amount.least)
    return amount, Num(amount.volume * WATER, spread * WATER)


@key(
    "cylinder.water_found",
    "Water found inside",
    kind="limit",
    sense="max",
    unit="kg",
    display="mg",
    step="1 mg down",
    where="pond",
    needs=("boat.cylinder.air", "today.closed", "today.water.temperature", "today.air.humidity"),
    formula=(
        "low edge: what air closed at 50 % can leave on a wall at the water's temperature",
        "high edge: the same at 95 %, twice what damp parts give up, once more for each opening since the last wipe",
    ),
    valid="0 to 60 degC; free air, not the cylinder's own volume",
    sources=(
        "mass balance of ideal vapour", "WMO-No. 8, Guide to Meteorological Instruments, 2008",
        "USP 32, chapter 1101 (a drop)", "water in damp parts: common practice, no source",
    ),
    reads="volume",
    reading_unit="mL",
)  # fmt: skip
def cylinder_water_found(s: Sheet) -> Limit:
    """The most water that can be sweat, and what a person found."""
    air, closed, wall = s.num("cylinder.air").si, s.num("closed").si, s.num("today.water.temperature").si
    read = s.stated("today.air.humidity")
    if read is None:
        dry = s.assume("humidity at closing, dry end", 0.50, 0.0, "1", "50 %").si
        damp = s.assume("humidity at closing, damp end", 0.95, 0.0, "1", "95 %").si
    else:
        spread = read.u95 or HUMIDITY_READ
        dry, damp = max(0.0, read.si - spread), min(1.0, read.si + spread)
    low = sweat(volume=air, closed_at=closed, humidity=dry, wall=wall)
    once = sweat(volume=air, closed_at=closed, humidity=damp, wall=wall)
    openings = s.observed.opened_since_wiped
    high = once * (1 + openings) + DAMP_PARTS * s.num("cylinder.damp_parts").si
    shown_low, shown_high = down(low, STEP), down(high, STEP)
    amount, reading = _found(s)
    verdict = Verdict.NO_READING
    if amount is not None:
        verdict = found_verdict(amount, low=shown_low, high=shown_high)
    words = {word: found_verdict(a, low=shown_low, high=shown_high) for word, a in WATER_WORDS.items()}
    leak = next((word for word, v in words.items() if v is Verdict.OUTSIDE), None)
    close = next((word for word, v in words.items() if v is Verdict.TOO_CLOSE), None)
    said = [f"{DRY} within"]
    said += [f"{close} too close"] if close else []
    said += [f"{leak} OUTSIDE"] if leak else []
    actions: tuple[str, ...] = ()
    if verdict is Verdict.OUTSIDE:
        actions = ("find the leak before the next dive", "weigh the towel")
    elif verdict is Verdict.TOO_CLOSE:
        actions = (
            "wipe dry, dive shallow within reach, look again",
            "measure the humidity where she is closed",
        )
    return cylinder_water_found.new().but(
        low=low,
        high=high,
        shown_low=shown_low,
        shown_high=shown_high,
        shown=f"{shown_low * 1e6:.0f} to {shown_high * 1e6:.0f} mg",
        remark="; ".join(said),
        parts=(Part("most sweat", high, 0.0, f"{down(high / WATER * 1e6, 0.01):.2f} mL"),),
        reading=reading,
        reading_text=s.answer("cylinder.water_found") or "",
        verdict=verdict,
        why=(
            f"{air * 1e3:.1f} L of air closed at {closed - ZERO_CELSIUS:.0f} degC can sweat "
            f"{high / WATER * 1e6:.3f} mL at the very most",
            *(
                (f"A drop is {WATER_WORDS['a drop'].volume * 1e6:.2f}: a leak",)
                if words["a drop"] is Verdict.OUTSIDE
                else ()
            ),
            *((f"{openings} opening(s) since the last wipe let in as much again",) if openings else ()),
        ),
        cautions=("Vent before opening, face aside.",),
        actions=actions,
    )
