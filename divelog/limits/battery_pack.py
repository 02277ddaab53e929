"""Figures of one pack on one day that several limits share: capacity at work, draw, charge now, time left.

Each is a function of the sheet and the pack's id, worked out once (``s.of``). Currents are mean currents
in A: 0.05 A h a minute is 3.0 A.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from datetime import date
from statistics import median

from divelog.clock import day_month
from divelog.limits.battery_words import counted
from divelog.limits.sheet import Sheet, UnknownError
from divelog.limits.weed import blows_kept
from divelog.physics.battery_capacity import (
    assumed_health,
    charge_after_storage,
    rate_factor,
    rate_factor_u95,
    temperature_factor,
)
from divelog.physics.battery_charge import RestCharge, state_of_charge
from divelog.physics.battery_chemistry import Chemistry
from divelog.physics.battery_current import (
    HALF_THROTTLE,
    SLOW_THROTTLE,
    THROTTLE_EXPONENT,
    band_current,
    throttle_exponent,
)
from divelog.physics.battery_endurance import (
    ChargeBudget,
    Endurance,
    charge_budget,
    charge_u95,
    endurance,
    recovery_charge,
)
from divelog.physics.battery_log import NINE_IN_TEN, Draw, LoggedDraw, expected_draw
from divelog.physics.errors import OutOfRangeError
from divelog.profiles.document import Basis, Num

HEALTH_U95_TESTED = 0.05
HEALTH_U95 = 0.20
STATE_U95_CHARGED = 0.03
STATE_U95_VOLTS = 0.05
STATE_U95_VOLTS_LOW = 0.10
RUNS_FOR_NO_LOAD = 5
_DAY = 86_400.0
_HOUR = 3600.0
_ENTRY = re.compile(r"pack\[([^\]]*)\]")


@dataclass(frozen=True, slots=True)
class Pack:
    """A pack of the kit: its id, what it is, and its temperature in the water (K)."""

    id: str
    chemistry: Chemistry
    cells: int
    capacity: float
    temperature: float


@dataclass(frozen=True, slots=True)
class Health:
    """Capacity tested over label, its u95, and whether a test of this year stands behind it."""

    share: float
    u95: float
    tested: bool


@dataclass(frozen=True, slots=True)
class PlanCurrent:
    """Mean current of the plan, and at half throttle, from the boat's currents (A)."""

    mean: float
    half: float
    guessed: bool


@dataclass(frozen=True, slots=True)
class Capacity:
    """Capacity at work: the budget, and the factors it was made with."""

    budget: ChargeBudget
    rate: float
    warmth: float
    health: Health
    rate_u95: float


@dataclass(frozen=True, slots=True)
class StateNow:
    """State of charge now: the figure, its u95, and what it rests on."""

    value: float
    u95: float
    charged: bool
    """True: by the record of a full charge since the last run; false: by rest volts."""
    hours: float = 0.0


@dataclass(frozen=True, slots=True)
class TimeLeft:
    """Minutes a pack has, in seconds, and the figures behind them."""

    time: Endurance
    state: StateNow
    u95: float


def pack_id(s: Sheet) -> str:
    """Id of the pack in use: the plan's, else the boat's first drive pack."""
    found = _ENTRY.search(s.facts.canonical("pack.capacity"))
    name = found.group(1) if found else "?"
    if name == "?":
        raise UnknownError("boat.power.drive_packs")
    return name


def pack(s: Sheet, name: str) -> Pack:
    """The pack of that id, at the water's temperature."""
    chemistry = Chemistry(s.need_word(f"pack[{name}].chemistry"))
    return Pack(
        name,
        chemistry,
        round(s.si(f"pack[{name}].cells")),
        s.si(f"pack[{name}].capacity"),
        s.si("today.water.temperature"),
    )


def is_drive(s: Sheet, name: str) -> bool:
    """False for a pack that feeds the receiver alone."""
    return name == s.of(pack_id) or s.word("power.receiver_pack") != name


def health(s: Sheet, name: str) -> Health:
    """Capacity tested over label; without a test, by age."""
    label = s.si(f"pack[{name}].capacity")
    path = f"pack[{name}].measured.capacity"
    tested = s.stated(path)
    if tested is not None:
        share = tested.si / label
        if _within_a_year(s, name, path):
            return Health(share, HEALTH_U95_TESTED, True)
        return _untested(s, name, share, "the test is over a year old, or has no date")
    bought = s.day_of(f"pack[{name}].bought") if s.fact(f"pack[{name}].bought") is not None else None
    age = None if bought is None or s.day is None else max(0.0, (s.day - bought).days * _DAY)
    return _untested(s, name, assumed_health(age=age), "by its age, never tested")


def _untested(s: Sheet, name: str, share: float, note: str) -> Health:
    found = s.assume(f"health of pack {name}", share, HEALTH_U95, "1", note)
    return Health(found.si if found.si == share else min(max(found.si, 0.05), 1.5), found.u95, False)


def _within_a_year(s: Sheet, name: str, path: str) -> bool:
    fact = s.fact(path)
    if fact is not None and fact.basis is Basis.MEASURED and fact.on:
        on = _date(fact.on)
    else:
        on = s.day_of(f"pack[{name}].measured.on")
    return on is not None and s.day is not None and (s.day - on).days <= 365


def _date(text: str) -> date | None:
    try:
        return date.fromisoformat(text[:10])
    except ValueError:
        return None


def no_load_current(s: Sheet) -> float:
    """Current of the motor with its shaft in air: the baseline of the log, else by size."""
    series = s.series("no_load", "ahead")
    if series is not None and len(series.values) >= RUNS_FOR_NO_LOAD:
        return median(series.values)
    by_size = {"S": 0.2, "M": 0.5, "L": 1.5}[s.size]
    return s.assume("no-load current of the motor", by_size, 0.0, "A", "by size").si


def plan_current(s: Sheet) -> PlanCurrent:
    """Mean current of the plan's throttle, from currents idle, at half and at full throttle."""
    idle, full = s.num("power.idle"), s.num("power.full")
    cruise = s.num("power.cruise")
    no_load = s.of(no_load_current)
    if cruise.basis is Basis.ASSUMED and full.basis is not Basis.ASSUMED:
        exponent = THROTTLE_EXPONENT
        half = band_current(
            throttle=HALF_THROTTLE, hotel=idle.si, no_load=no_load, full=full.si, exponent=exponent
        )
    else:
        half = cruise.si
        exponent = throttle_exponent(hotel=idle.si, no_load=no_load, half=half, full=full.si)
    slow = band_current(
        throttle=SLOW_THROTTLE, hotel=idle.si, no_load=no_load, full=full.si, exponent=exponent
    )
    shares = [s.si(f"plan.throttle.{band}") for band in ("slow", "half", "full")]
    whole = sum(shares)
    if not whole > 0.0:
        raise UnknownError("today.plan.throttle", because="the plan's throttle has no share above nought")
    mean = sum(x * i for x, i in zip(shares, (slow, half, full.si), strict=True)) / whole
    guessed = Basis.ASSUMED in (idle.basis, cruise.basis, full.basis)
    return PlanCurrent(mean, half, guessed)


def runs(s: Sheet, name: str) -> tuple[LoggedDraw, ...]:
    """Mean currents of the pack's like runs since the last change of what drives her, and one put in by itself."""
    logged = s.observed.charge_per_minute.get(name, ())
    found = [LoggedDraw(current, _LIKE_RUN_U95[s.of(pack, name).chemistry]) for current in logged]
    fact = s.fact(draw_path(name))
    if fact is not None and isinstance(fact.value, Num) and fact.value.si > 0.0:
        found.append(LoggedDraw(fact.value.si, fact.value.u95 / fact.value.si))
    return tuple(found)


def draw_path(name: str) -> str:
    """Where the draw of a pack stands among the inputs."""
    return f"pack[{name}].charge_per_minute"


def draw(s: Sheet, name: str) -> Draw:
    """What the next run is expected to draw from this pack: the prediction, drawn toward her own runs.

    It is an input like any other, measured where runs are logged: its ± is that of the typical draw, and the spread from
    run to run comes on top of it.
    """
    predicted = s.of(plan_current).mean if s.of(is_drive, name) else s.si("power.idle")
    logged = s.of(runs, name)
    found = expected_draw(predicted=predicted, runs=logged)
    u95 = 2.0 * math.sqrt(found.log_variance) * found.typical
    path, note = s.facts.canonical(draw_path(name)), f"{counted(len(logged), 'like run')}"
    known = (
        s.learnt(path, found.typical, u95, "A", note)
        if logged
        else s.assume(path, found.typical, u95, "A", "by her currents, no runs logged", star=True)
    )
    return _known_as(found, known, u95)


def _known_as(found: Draw, known: Num, u95: float) -> Draw:
    """The draw with its input moved, or known better."""
    if known.si == found.typical and known.u95 == u95:
        return found
    typical = max(known.si, 0.01 * found.typical)
    variance = (known.u95 / (2.0 * found.typical)) ** 2
    narrowed = math.exp(
        NINE_IN_TEN
        * (math.sqrt(variance + found.run_spread**2) - math.sqrt(found.log_variance + found.run_spread**2))
    )
    scale = typical / found.typical
    return replace(
        found,
        typical=typical,
        nine_in_ten=max(typical, found.nine_in_ten * scale * narrowed),
        log_mean=found.log_mean + math.log(scale),
        log_variance=variance,
    )


_LIKE_RUN_U95 = {c: 0.20 if c is Chemistry.LEAD_ACID else 0.30 if c.is_nickel else 0.08 for c in Chemistry}
"""Relative u95 of a run's mean current by charge put back over minutes (assumed)."""


def blow_time(s: Sheet) -> float:
    """Time of one whole blow in s; a minute until it is timed, nought without ballast."""
    if s.word("ballast.kind") == "none":
        return 0.0
    timed = s.stated("ballast.empty_time")
    return (
        timed.si
        if timed is not None
        else s.assume("time to empty", 60.0, 30.0, "s", "a minute until it is timed").si
    )


def recovery(s: Sheet, name: str) -> float:
    """Charge to bring her home in C: blow, climb, half an hour afloat with the receiver alive."""
    idle = s.si("power.idle")
    if not s.of(is_drive, name):
        return recovery_charge(blows=0.0, blow_current=0.0, blow_time=0.0, climb_current=0.0, hotel=idle)
    return recovery_charge(
        blows=s.of(blows_kept).si,
        blow_current=s.si("power.blow"),
        blow_time=s.of(blow_time),
        climb_current=s.of(plan_current).half,
        hotel=idle,
    )


def at_work(s: Sheet, name: str) -> Capacity:
    """Capacity at this rate and temperature, and what of it is kept."""
    one, expected, sound = s.of(pack, name), s.of(draw, name), s.of(health, name)
    exponent = None if one.chemistry.is_lithium else s.si(f"pack[{name}].rate_exponent")
    rate = rate_factor(
        chemistry=one.chemistry, capacity=one.capacity, current=expected.typical, exponent=exponent
    )
    warmth = temperature_factor(
        chemistry=one.chemistry,
        temperature=one.temperature,
        discharge_time=one.capacity * sound.share * rate / expected.typical,
    )
    budget = charge_budget(
        capacity=one.capacity,
        health=sound.share,
        rate=rate,
        temperature=warmth,
        recovery=s.of(recovery, name),
        kept_share=s.si("power.keep_back"),
    )
    spread = rate_factor_u95(chemistry=one.chemistry, capacity=one.capacity, current=expected.typical)
    return Capacity(budget, rate, warmth, sound, spread)


def spread(s: Sheet, name: str, state_u95: float) -> float:
    """u95 of the charge in the pack, C."""
    found = s.of(at_work, name)
    return charge_u95(
        budget=found.budget, health_u95=found.health.u95, rate_u95=found.rate_u95, state_u95=state_u95
    )


def charged_hours(s: Sheet, name: str) -> float | None:
    """Hours since the pack was charged full with no run since; None where no such charge is written."""
    return s.observed.charged_full.get(name)


def by_volts(s: Sheet, name: str) -> RestCharge | None:
    """What today's rest volts say of the charge; None without a reading. Refuses volts no resting pack
    shows."""
    reading = s.reading("battery.rest_voltage", name)
    if reading is None:
        return None
    one = s.of(pack, name)
    return state_of_charge(
        chemistry=one.chemistry, volts=reading.si, cells=one.cells, temperature=one.temperature
    )


def by_record(s: Sheet, name: str) -> StateNow | None:
    """State of charge by the record: full since the last run, less what lying cost; None without such a charge."""
    hours = s.of(charged_hours, name)
    if hours is None:
        return None
    chemistry = s.of(pack, name).chemistry
    # By whole days, as the tables count; only nickel packs lose enough in the first to be followed through it.
    lain = hours * _HOUR if chemistry.is_nickel else math.floor(hours / 24.0) * _DAY
    left = charge_after_storage(chemistry=chemistry, state=1.0, elapsed=lain)
    return StateNow(left, STATE_U95_CHARGED, True, hours)


def state_now(s: Sheet, name: str) -> StateNow:
    """State of charge: full since the last run less what lying cost; else by volts.

    Where the record says full and even the high end of the volts does not, the volts stand.
    """
    one = s.of(pack, name)
    told: RestCharge | None = None
    try:
        told = s.of(by_volts, name)
    except OutOfRangeError:
        # The surface of a fresh charge is no reading; anything else that cannot be is.
        if s.of(charged_hours, name) is None or not _fresh(s, one):
            raise
    record = s.of(by_record, name)
    if record is not None and (told is None or told.most >= record.value):
        return record
    if told is not None and (told.state is not None or one.chemistry.is_lithium):
        value = told.state if told.state is not None else told.least
        return StateNow(value, STATE_U95_VOLTS if value >= 0.5 else STATE_U95_VOLTS_LOW, False)
    raise UnknownError(because=f"{_not_full(s, name)}, and no rest volts")


def _not_full(s: Sheet, name: str) -> str:
    """Why a pack is not known to be full: which boat has it, or had it last."""
    runs = s.observed.ran.get(name, ())
    if not runs:
        return f"no full charge of pack {name} is written"
    last = runs[-1]
    if last.on:
        return f"pack {name} is out in {last.boat} since {last.at:%H:%M}"
    return f"pack {name} ran in {last.boat} {day_month(last.at)} at {last.at:%H:%M}, no full charge since"


def _fresh(s: Sheet, one: Pack) -> bool:
    reading = s.reading("battery.rest_voltage", one.id)
    return reading is not None and one.chemistry is Chemistry.LEAD_ACID and reading.si > 2.2 * one.cells


def time_left(s: Sheet, name: str) -> TimeLeft:
    """Time the pack has with its charge now."""
    return time_at(s, name, s.of(state_now, name))


def time_at(s: Sheet, name: str, state: StateNow) -> TimeLeft:
    """Time the pack has from a state of charge."""
    found, expected = s.of(at_work, name), s.of(draw, name)
    u95 = spread(s, name, state.u95)
    time = endurance(
        budget=found.budget,
        state=state.value,
        charge_u95=u95,
        typical=expected.typical,
        high=expected.nine_in_ten,
    )
    return TimeLeft(time, state, u95)
