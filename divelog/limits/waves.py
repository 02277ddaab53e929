"""Waves against this boat today, and where a boat that lies dead goes."""

from __future__ import annotations

import math
from dataclasses import dataclass

from divelog.limits.model import Limit, Part, Verdict
from divelog.limits.registry import key
from divelog.limits.rounding import down, judge, nearest, text, up, worst
from divelog.limits.sheet import NotFittedError, Sheet, UnknownError
from divelog.physics import waves as physics
from divelog.physics import waves_drift as drifting
from divelog.physics import waves_wind as wind
from divelog.profiles.document import Num
from divelog.profiles.schema import LOOKS

STEP = 0.005
MINUTE = 60.0
SHALLOWEST = 0.3
"""The wave formulas start at this depth; less water makes lower waves, so it is the safe end."""

UNKNOWN_BOTTOM = 3.0
"""Depth taken where nobody knows the bottom (deeper makes higher waves; common practice, no source)."""

STEEPEST_PITCH = math.radians(5.0)
"""Pitching above which depth is hard to judge and she may break surface (common practice, no source)."""

FELT = {"S": 0.005, "M": 0.005, "L": 0.010}
"""Up and down of the water, m, that a boat of that size hardly shows (common practice, no source)."""

POINTS = ("north", "north_east", "east", "south_east", "south", "south_west", "west", "north_west")


@dataclass(frozen=True, slots=True)
class Wind:
    """Wind at 10 m: its range and middle in m/s, and its class."""

    low: float
    middle: float
    high: float
    number: int


@dataclass(frozen=True, slots=True)
class Waves:
    """Waves today, with the crest that the aerial must clear."""

    wind: Wind
    fetch: float
    state: physics.SeaState
    h_s: Num
    crest: Num


def wind_today(s: Sheet) -> Wind:
    """The wind at 10 m: a measured number, or the class of what the water looks like."""
    if s.word("site.kind") == "tank":
        s.assume("wind in a tank", 0.0, unit="m/s", note="none")
        return Wind(0.0, 0.0, 0.0, 0)
    typed = s.stated("today.air.wind")
    if typed is not None:
        at_10 = wind.wind_at_10m(typed.si, min(s.si("today.air.wind_height"), 20.0))
        strongest = min(1.3 * at_10, 60.0)
        number = wind.beaufort_class(min(at_10, wind.CLASS_TOPS[-1]))
        return Wind(0.7 * at_10, min(at_10, strongest), strongest, number)
    look = s.need_word("today.air.look")
    number = LOOKS.index(look)
    low, high = wind.CLASS_FLOORS[number], wind.CLASS_TOPS[number]
    return Wind(low, 0.5 * (low + high), high, number)


def _strength(found: Wind, s: Sheet) -> float:
    """The wind that raises the waves: the number itself, or the top of a class."""
    return found.middle if s.stated("today.air.wind") is not None else found.high


def open_water(s: Sheet) -> Num:
    """Longest open water upwind, m; at sea nobody may guess it."""
    if s.word("site.kind") == "sea" and s.stated("site.fetch") is None:
        raise UnknownError("site.fetch", because="at sea the open water upwind must be written down")
    return s.num("site.fetch")


def waves(s: Sheet) -> Waves:
    """Waves where she runs, and the crest above still water."""
    blowing = s.of(wind_today)
    fetch = s.of(open_water).si
    bottom = s.maybe("site.bottom")
    if bottom is None:
        bottom = s.assume("site.bottom", UNKNOWN_BOTTOM, unit="m", note="3 m where nobody knows")
    depth = min(max(bottom.si, SHALLOWEST), 100.0)
    state = physics.sea_state(_strength(blowing, s), min(fetch, 25_000.0), depth)
    hold = s.stated("radio.failsafe_delay")
    long_hold = hold is not None and hold.si > state.period
    duration = MINUTE if long_hold or state.ripples_only else s.si("plan.minutes")
    length = s.maybe("length")
    crest = physics.crest(state, duration, hold.si if hold else None, length.si if length else 0.0)
    share = crest.height / state.height if state.height else 0.0
    h_s = Num(state.height, state.height_u95)
    return Waves(blowing, fetch, state, h_s, Num(crest.height, share * state.height_u95))


def crest(s: Sheet) -> Num:
    """Crest above still water that the aerial must clear today, m; nought in a tank."""
    if s.word("site.kind") == "tank":
        return s.assume("crest in a tank", 0.0, unit="m", note="still water")
    return s.of(waves).crest


def _parts(s: Sheet, found: Waves, most_class: int) -> tuple[tuple[Part, Verdict], ...]:
    number = found.wind.number
    classes = Part("wind class", float(number), 0.0, f"{number}, at most {most_class}")
    listed = [(classes, Verdict.WITHIN if number <= most_class else Verdict.OUTSIDE)]
    state = found.state
    if not state.ripples_only:
        pitch = state.steepest_slope * physics.length_factor(s.si("length"), state.length)
        shown = f"{math.degrees(pitch):.1f} deg, at most 5"
        share = state.height_u95 / state.height
        verdict = judge(Num(pitch, share * pitch), None, STEEPEST_PITCH)
        listed.append((Part("pitching", pitch, share * pitch, shown), verdict))
    return tuple(listed)


def _propeller_caution(s: Sheet, found: Waves) -> tuple[str, ...]:
    """A caution only, on a record of its own: sizes guessed for it must not make the waves a guess."""

    def bare(inner: Sheet) -> bool:
        shaft, across = inner.num("motion.shaft_depth"), inner.num("motion.propeller")
        return shaft.si - 0.5 * found.state.height_tenth < 0.75 * across.si

    drawn, _ = s.recorded(bare)
    if drawn is not True:
        return ()
    return ("Surfaced, the bigger waves may let her propeller draw air: thrust comes and goes.",)


def _swell_caution(s: Sheet) -> tuple[str, ...]:
    return ("Swell and wakes are not in this number.",) if s.word("site.kind") == "sea" else ()


@key(
    "wind.waves",
    "Waves",
    kind="limit",
    sense="max",
    unit="m",
    display="mm",
    step="5 mm down",
    where="pond",
    needs=("today.air.look", "site.fetch", "site.bottom", "boat.my_limits.wave_height"),
    formula=(
        "significant height: the greater of two formulas limited by fetch and depth, never steeper than breaking",
        "the bigger waves 1.27 times it, their crests 0.6 of that above still water",
        "the worst of height, wind class (3 small, 4 else) and pitching (5 deg) is shown",
    ),
    valid="wind to 12 m/s at 10 m; over 200 m of fetch give or take 25 %, under it 40 %",
    sources=(
        "US Army Corps of Engineers, Shore Protection Manual 1984, eq. 3-28a, 3-39, 3-40",
        "Young & Verhagen 1996, Coastal Engineering 29:47-78",
        "WMO Beaufort scale",
    ),
    reads="length",
    reading_unit="mm",
)  # fmt: skip
def wind_waves(s: Sheet) -> Limit:
    """Waves today against what this boat may run in."""
    if s.word("site.kind") == "tank":
        raise NotFittedError("no wind in a tank")
    most = s.num("my_limits.wave_height")
    blowing = s.of(wind_today)
    most_class = 3 if s.size == "S" else 4
    shown_high = down(most.si, STEP)
    new = wind_waves.new().but(
        high=most.si, shown_high=shown_high, shown=text(shown_high, "mm", "length", STEP)
    )
    if _strength(blowing, s) > physics.STRONGEST_WIND:
        return new.but(verdict=Verdict.OUTSIDE, remark=f"wind class {blowing.number}",
            binds=("wind class",), why=(f"Wind {_strength(blowing, s):.0f} m/s: no weather for a model.",),
            actions=("stay ashore today",),
        )  # fmt: skip
    found = s.of(waves)
    parts = _parts(s, found, most_class)
    seen = s.reading("wind.waves")
    reading = seen or found.h_s
    height = judge(reading, None, shown_high)
    verdict = worst(height, *(v for _, v in parts))
    named = (("height", height), *((p.name, v) for p, v in parts))
    binds = [name for name, v in named if v is verdict] if verdict is not Verdict.WITHIN else ["height"]
    state = found.state
    return new.but(value=state.height, u95=state.height_u95, reading=reading, verdict=verdict,
        reading_text=text(up(reading.si, STEP), "mm", "length", STEP), binds=tuple(binds),
        parts=tuple(p for p, _ in parts), why=_why(found, s),
        cautions=(*_propeller_caution(s, found), *_swell_caution(s)),
        remark="" if verdict is Verdict.WITHIN else ", ".join(binds),
        actions=() if verdict is Verdict.WITHIN else
        ("wait for less wind", "run in the lee, where the open water upwind is shorter", "stay ashore today"),
    )  # fmt: skip


def _why(found: Waves, s: Sheet) -> tuple[str, ...]:
    blow, state = found.wind, found.state
    upto = "Wind" if s.stated("today.air.wind") is not None else "Wind up to"
    first = f"{upto} {_strength(blow, s):.1f} m/s at 10 m, class {blow.number}, over {found.fetch:.0f} m"
    if state.ripples_only:
        return (f"{first}: ripples only.",)
    low, high = state.height - state.height_u95, state.height + state.height_u95
    felt = physics.quiet_depth(state, FELT[s.size])
    quiet = f" Below {1e3 * felt:.0f} mm they move her less than {1e3 * FELT[s.size]:.0f} mm." if felt else ""
    return (
        f"{first}; full after {state.full_after / MINUTE:.0f} min of steady wind.",
        f"Waves {1e3 * state.height:.0f} mm ({1e3 * low:.0f}-{1e3 * high:.0f}), "
        f"every {state.period:.2f} s, {1e3 * state.length:.0f} mm long.",
        f"The bigger ones {1e3 * state.height_tenth:.0f} mm, "
        f"crests {1e3 * found.crest.si:.0f} mm above still water for the aerial.{quiet}",
    )


def bearing(words: str) -> float | None:
    """Degrees of a compass word (``north east``, ``NE``) or a number (``270``, ``270 deg``); None if it is neither."""
    plain = words.strip().lower().replace("-", " ").replace("_", " ")
    number = plain.removesuffix("°").removesuffix("degrees").removesuffix("deg").strip()
    if number.replace(".", "", 1).isdecimal() and len(number) <= 8:
        return float(number) % 360.0
    short = {"".join(part[0] for part in p.split("_")): p for p in POINTS}
    joined = {p.replace("_", ""): p for p in POINTS}
    together = plain.replace(" ", "")
    point = short.get(together) or joined.get(together)
    return 45.0 * POINTS.index(point) if point is not None else None


def _lee(s: Sheet) -> tuple[str, Num, bool]:
    """The lee bank by name (empty where unknown), its distance, and whether that is a guess."""
    from_word = s.word("today.air.from") if s.fact("today.air.from") is not None else None
    towards = None if from_word is None else bearing(from_word)
    if towards is not None:
        point = POINTS[round(((towards + 180.0) % 360.0) / 45.0) % 8]
        bank = s.stated(f"site.banks.{point}")
        if bank is not None:
            return point.replace("_", " "), bank, False
    fetch = s.of(open_water)
    note = "the longest reach, since nobody wrote the bank's distance or the wind's direction"
    return "", s.assume("distance to the lee bank", fetch.si, fetch.u95, "m", note, star=True), True


def _minutes(seconds: float) -> str:
    return f"{seconds / MINUTE:.0f}"


@key(
    "wind.drift",
    "Drift of a dead boat",
    kind="estimate",
    sense="estimate",
    unit="s",
    display="min",
    step="1 min outward",
    where="desk",
    needs=("today.air.look", "site.banks", "today.air.from"),
    formula=("distance to the lee bank over 1.5 %, 3 % and 5 % of the low, middle and high wind at 10 m",),
    valid="dead on the surface; a boat under it or on the bottom does not follow the wind",
    sources=(
        "search-and-rescue leeway tables: Allen & Plourde 1999, Breivik et al. 2011",
        "American Meteorological Society glossary, wind drift",
    ),
)
def wind_drift(s: Sheet) -> Limit:
    """When a boat that lies dead on the surface comes ashore, and where."""
    if s.word("site.kind") == "tank":
        raise NotFittedError("no wind in a tank")
    blowing = s.of(wind_today)
    name, distance, guessed = _lee(s)
    found = drifting.drift(distance.si, blowing.low, blowing.middle, blowing.high)
    new = wind_drift.new().but(starred=guessed, cautions=("Wait at the lee bank; nobody goes in.",))
    if found.earliest is None or found.expected is None:
        return new.but(shown="stays where she is", why=("No wind: she stays where she is.",))
    earliest = down(found.earliest, MINUTE)
    latest = None if found.latest is None else up(found.latest, MINUTE)
    star = "*" if guessed else ""
    shown = (
        f"{_minutes(earliest)} to {_minutes(latest)} min{star}" if latest is not None
        else f"{_minutes(earliest)} min or more{star}"
    )  # fmt: skip
    bank = f"to the {name} bank, within 30 degrees" if name else "downwind"
    parts = [Part("earliest", found.earliest, 0.0, f"{_minutes(earliest)} min"),
             Part("likely", found.expected, 0.0, f"{_minutes(nearest(found.expected, MINUTE))} min")]  # fmt: skip
    if found.latest is not None and latest is not None:
        parts.append(Part("latest", found.latest, 0.0, f"{_minutes(latest)} min"))
    slow, fast = math.floor(100.0 * found.slow), math.ceil(100.0 * found.fast)
    return new.but(value=found.expected, low=found.earliest, high=found.latest, shown_low=earliest, shown_high=latest,
        shown=shown, parts=tuple(parts), remark=f"the {name} bank" if name else "",
        why=(
            f"Dead on the surface she drifts {slow} to {fast} cm/s {bank}.",
            f"{distance.si:.0f} m: most likely in {_minutes(found.expected)} min.",
        ),
    )  # fmt: skip
