"""Least rest volts to start with: the plan's minutes turned into volts at the boat's plug."""

from __future__ import annotations

from dataclasses import dataclass

from divelog.limits import battery_pack as packs
from divelog.limits.battery_words import HOUR_CHARGE, counted, lithium_caution, percent
from divelog.limits.model import Limit, Part, Verdict
from divelog.limits.registry import key
from divelog.limits.rounding import down, text, up
from divelog.limits.sheet import Sheet, UnknownError
from divelog.physics.battery_charge import rest_voltage as volts_at
from divelog.physics.battery_charge import state_of_charge, volts_tell_charge
from divelog.physics.battery_chemistry import Chemistry
from divelog.physics.battery_endurance import LeastCharge, least_charge
from divelog.physics.errors import OutOfRangeError
from divelog.profiles.document import Num

STEP = 0.01
MINUTE = 60.0
LEAD_LEAST_START = 0.5
"""A lead-acid pack never starts under half full (common practice, no source)."""
LEAD_READS_HIGH_HOURS = 4.0
_SLACK = 1e-9


@dataclass(frozen=True, slots=True)
class _Need:
    """What the plan needs in the pack."""

    state: LeastCharge
    minutes: float
    charged: bool


def _need(s: Sheet, name: str) -> _Need:
    planned = s.num("plan.minutes").si
    found, expected = s.of(packs.at_work, name), s.of(packs.draw, name)
    charged = s.of(packs.charged_hours, name) is not None
    u95 = packs.spread(s, name, packs.STATE_U95_CHARGED if charged else packs.STATE_U95_VOLTS)
    state = least_charge(budget=found.budget, charge_u95=u95, high=expected.nine_in_ten, planned=planned)
    return _Need(state, planned, charged)


def after_run_state(s: Sheet, name: str) -> float:
    """State of charge that leaves the kept charge after a run, ten minutes' rest."""
    found = s.of(packs.at_work, name)
    return least_charge(budget=found.budget, charge_u95=0.0, high=0.0, planned=0.0).keeping


@key(
    "battery.rest_voltage",
    "Rest volts",
    kind="limit",
    sense="min",
    unit="V",
    display="V",
    step="0.01 V up",
    where="pond",
    items="the pack of the plan · after the run",
    needs=(
        "today.plan.pack", "today.plan.minutes", "kit.pack.chemistry", "kit.pack.cells", "kit.pack.capacity",
        "today.water.temperature",
    ),
    formula=(
        "the least state of charge that lasts the planned minutes, the inverse of battery.endurance",
        "as volts of the resting pack: cells x E(state), lead-acid + 0.2 mV a cell a kelvin from 25 degC",
        "lead-acid never under half full; iron phosphate on its plateau and nickel: a full charge, and a count",
    ),
    valid="0 to 40 degC, nothing connected; lead-acid 4 h after a charge, lithium 10 min",
    sources=(
        "public charge table of sealed lead-acid packs; a vehicle owner's manual",
        "a public note on lithium-ion volts against charge; cell models of Chen et al. 2020, Prada et al. 2013",
    ),
    reads="voltage",
    reading_unit="V",
)  # fmt: skip
def rest_voltage(s: Sheet) -> tuple[Limit, ...]:
    """Least rest volts (or the charge to count) for the planned minutes; and after a run, for what is kept back."""
    name = s.of(packs.pack_id)
    return (_before(s, name), *_rested(s, name))


AFTER = "after the run"
"""Item of a reading ten minutes after a run: then only what is kept back must still be there."""


def _rested(s: Sheet, name: str) -> tuple[Limit, ...]:
    if ("battery.rest_voltage", AFTER) not in s.readings:
        return ()  # only somebody who has read it asks
    try:
        [part] = _after_run(s, name)
    except (ValueError, UnknownError):
        return ()
    one = s.of(packs.pack, name)
    kept = up(part.si, STEP)
    return (
        rest_voltage.new(AFTER).but(
            low=part.si,
            value=part.si,
            shown_low=kept,
            shown=part.shown,
            reading=s.readings.get(("battery.rest_voltage", AFTER)),
            remark="ten minutes' rest",
            why=(f"what is kept back: {counted(one.cells, 'cell')} at {percent(after_run_state(s, name))}",),
            actions=("charge it before the next run", "the pack gave more than was planned: log it"),
            cautions=lithium_caution(one.chemistry),
        ),
    )


def _before(s: Sheet, name: str) -> Limit:
    """Least rest volts (or the charge to count) for the planned minutes."""
    one, need = s.of(packs.pack, name), s.of(_need, name)
    if need.state.least > 1.0 + _SLACK:
        return _too_long(s, name, need)
    if not volts_tell_charge(one.chemistry):
        return _by_count(s, name, need)
    state = max(need.state.least, LEAD_LEAST_START if one.chemistry is Chemistry.LEAD_ACID else 0.0)
    low = volts_at(chemistry=one.chemistry, state=state, cells=one.cells, temperature=one.temperature)
    shown = up(low, STEP)
    limit = rest_voltage.new(name).but(
        low=low,
        value=low,
        shown_low=shown,
        shown=text(shown, "V", "voltage", STEP),
        reading=s.reading("battery.rest_voltage", name),
        parts=_after_run(s, name),
        why=(_need_line(s, name, need), f"{counted(one.cells, 'cell')} at {percent(state)}: {shown:.2f} V"),
        cautions=lithium_caution(one.chemistry),
    )
    return _judged(s, name, need, limit)


def _after_run(s: Sheet, name: str) -> tuple[Part, ...]:
    one = s.of(packs.pack, name)
    state = after_run_state(s, name)
    try:
        volts = volts_at(chemistry=one.chemistry, state=state, cells=one.cells, temperature=one.temperature)
    except OutOfRangeError:
        return ()
    shown = up(volts, STEP)
    return (Part("after the run, ten minutes' rest", volts, 0.0, text(shown, "V", "voltage", STEP)),)


def _need_line(s: Sheet, name: str, need: _Need) -> str:
    found, expected = s.of(packs.at_work, name), s.of(packs.draw, name)
    return (
        f"{need.minutes / MINUTE:.0f} min at {expected.nine_in_ten:.1f} A and "
        f"{found.budget.kept / HOUR_CHARGE:.2f} A h kept back need {percent(need.state.least)} in the pack"
    )


# -- verdicts ---------------------------------------------------------------------------------------------------


def _judged(s: Sheet, name: str, need: _Need, limit: Limit) -> Limit:
    reading = limit.reading
    if reading is None or limit.shown_low is None:
        return limit
    one = s.of(packs.pack, name)
    try:
        s.of(packs.by_volts, name)
    except OutOfRangeError as error:
        if one.chemistry is Chemistry.LEAD_ACID and reading.si > 2.0 * one.cells:
            # The surface of a fresh charge: not a reading of the charge at all.
            return limit.but(reading=None, remark=str(error), actions=("let it stand and read again",))
        return limit.but(verdict=Verdict.OUTSIDE, remark=str(error), actions=("another pack",))
    hours = s.of(packs.charged_hours, name)
    if one.chemistry is Chemistry.LEAD_ACID and hours is not None:
        return _lead_charged(s, name, need, limit, reading, hours)
    slack = _SLACK * limit.shown_low
    if reading.si - reading.u95 >= limit.shown_low - slack:
        return limit.but(verdict=Verdict.WITHIN)
    if reading.si >= limit.shown_low - slack:
        return limit.but(
            verdict=Verdict.TOO_CLOSE,
            actions=("a better meter", *_others(s, name), *_fewer(s, name, reading)),
        )
    return limit.but(
        verdict=Verdict.OUTSIDE, actions=("read again", *_others(s, name), *_fewer(s, name, reading))
    )


def _lead_charged(s: Sheet, name: str, need: _Need, limit: Limit, reading: Num, hours: float) -> Limit:
    """Lead-acid charged full since its last run: the record is the better input, the volts only have to
    agree."""
    if hours < LEAD_READS_HIGH_HOURS:
        return limit.but(
            reading=None,
            remark="within 4 h of a charge the volts read high",
            actions=("read again 4 h after the charge",),
        )
    shown = limit.shown_low or 0.0
    slack = _SLACK * shown
    if reading.si + reading.u95 < shown - slack:
        return limit.but(
            verdict=Verdict.OUTSIDE,
            remark="that charge did not take",
            actions=("charge again", *_others(s, name), "test its capacity"),
        )
    left = s.of(packs.time_left, name)
    longest = down(left.time.least, MINUTE)
    if need.minutes > longest + _SLACK:
        return _plan_at_most(s, name, limit, longest)
    if reading.si < shown - slack:
        return limit.but(
            verdict=Verdict.TOO_CLOSE,
            remark="the record says full, the volts do not",
            actions=("charge again", "test its capacity", *_others(s, name)),
        )
    agree = "the volts agree" if left.state.charged else "counted by its volts, which say less"
    return limit.but(verdict=Verdict.WITHIN, remark=f"charged full {hours:.0f} h ago; {agree}")


def _plan_at_most(s: Sheet, name: str, limit: Limit, longest: float) -> Limit:
    words = f"plan at most {longest / MINUTE:.0f} min"
    return limit.but(verdict=Verdict.OUTSIDE, remark=words, actions=(words, *_others(s, name)))


def _others(s: Sheet, name: str) -> tuple[str, ...]:
    return tuple(f"pack {other}" for other in s.texts("power.drive_packs") if other != name)[:1]


def _fewer(s: Sheet, name: str, reading: Num) -> tuple[str, ...]:
    """The planned minutes, in fives, that the reading at its low end would carry."""
    one = s.of(packs.pack, name)
    from_volts = _state_at(one, reading.si - reading.u95)
    if from_volts is None:
        return ()
    minutes = down(packs.time_at(s, name, from_volts).time.least, 5 * MINUTE) / MINUTE
    return (f"plan {minutes:.0f} minutes",) if minutes > 0 else ()


def _state_at(one: packs.Pack, volts: float) -> packs.StateNow | None:
    """State of charge that other rest volts would tell; None where they would tell none."""
    try:
        told = state_of_charge(
            chemistry=one.chemistry, volts=volts, cells=one.cells, temperature=one.temperature
        )
    except OutOfRangeError:
        return None
    state = told.state if told.state is not None else told.least
    u95 = packs.STATE_U95_VOLTS if state >= 0.5 else packs.STATE_U95_VOLTS_LOW
    return packs.StateNow(state, u95, False)


# -- where volts are not the limit ------------------------------------------------------------------------------


def _too_long(s: Sheet, name: str, need: _Need) -> Limit:
    """Not even a full pack lasts the plan: no volts, the minutes that would do."""
    full = s.of(packs.by_record, name) or packs.StateNow(1.0, packs.STATE_U95_VOLTS, False)
    left = packs.time_at(s, name, full)
    longest = down(left.time.least, MINUTE) / MINUTE
    more = () if len(s.of(packs.runs, name)) >= 3 else ("three logged runs would tell more",)
    return rest_voltage.new(name).but(
        shown=f"plan at most {longest:.0f} min",
        verdict=Verdict.OUTSIDE,
        reading=s.reading("battery.rest_voltage", name),
        remark="; ".join(("not even a full pack lasts the plan", *more)),
        why=(_need_line(s, name, need), "not even a full pack lasts that long"),
        actions=(f"plan at most {longest:.0f} minutes", *_others(s, name), "log three runs"),
        cautions=lithium_caution(s.of(packs.pack, name).chemistry),
    )


def _by_count(s: Sheet, name: str, need: _Need) -> Limit:
    """Iron phosphate and nickel: a full charge since the last run, and the charge counted since."""
    one, budget = s.of(packs.pack, name), s.of(packs.at_work, name).budget
    amp_hours = up(need.state.least * budget.healthy / HOUR_CHARGE, 0.1)
    limit = rest_voltage.new(name).but(
        shown=f"charged full, at least {amp_hours:.1f} A h",
        remark="charged full since the last run; the volts cannot see the middle",
        why=(
            _need_line(s, name, need),
            f"the rest volts of {one.chemistry} say nothing: at least {amp_hours:.1f} A h left by count",
        ),
        reading=s.reading("battery.rest_voltage", name),
        parts=_after_run(s, name),
        cautions=lithium_caution(one.chemistry),
    )
    try:
        told = s.of(packs.by_volts, name)
    except OutOfRangeError as error:
        return limit.but(verdict=Verdict.OUTSIDE, remark=str(error), actions=("another pack",))
    if told is not None and told.most < need.state.least:
        return limit.but(
            verdict=Verdict.OUTSIDE,
            remark="nearly empty by its volts",
            actions=("charge it full", *_others(s, name)),
        )
    full = s.of(packs.charged_hours, name) is not None
    if not full and (told is None or told.least < need.state.least):
        return limit.but(
            verdict=Verdict.NO_READING,
            reading=None,
            remark="no full charge written since the last run",
            actions=("charge it full and write it down", *_others(s, name)),
        )
    longest = down(s.of(packs.time_left, name).time.least, MINUTE)
    if need.minutes > longest + _SLACK:
        return _plan_at_most(s, name, limit, longest)
    return limit.but(verdict=Verdict.WITHIN)
