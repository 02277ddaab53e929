"""Time to be back by, and the least rest volts to start with; what other subjects ask of the pack."""

from __future__ import annotations

from divelog.limits import battery_pack as packs
from divelog.limits.battery_load import load_voltage, receiver_supply, spread
from divelog.limits.battery_rest import rest_voltage
from divelog.limits.battery_words import HOUR_CHARGE, counted, lithium_caution, percent
from divelog.limits.by_item import each_item
from divelog.limits.model import Limit, Part, Verdict
from divelog.limits.registry import key
from divelog.limits.rounding import down, text
from divelog.limits.sheet import Sheet
from divelog.physics import battery_charge
from divelog.profiles.document import Num

__all__ = [
    "capacity",
    "endurance",
    "load_voltage",
    "receiver_supply",
    "rest_voltage",
    "rest_volts",
    "spare",
    "spread",
]

MINUTE = 60.0


def capacity(s: Sheet) -> Num:
    """What the pack in use holds at this rate and temperature, C."""
    name = s.of(packs.pack_id)
    found = s.of(packs.at_work, name)
    return Num(found.budget.effective, packs.spread(s, name, 0.0))


def spare(s: Sheet) -> float:
    """Charge above what is kept and what nine runs in ten of the planned time stay under, C; may be below
    nought."""
    name = s.of(packs.pack_id)
    budget = s.of(packs.at_work, name).budget
    state = s.of(packs.state_now, name)
    used = s.of(packs.draw, name).nine_in_ten * s.si("plan.minutes")
    return budget.now(state.value) - budget.kept - used


def rest_volts(s: Sheet, state: float) -> float:
    """Least rest volts of the pack in use at a state of charge, in today's water."""
    one = s.of(packs.pack, s.of(packs.pack_id))
    return battery_charge.least_rest_voltage(
        chemistry=one.chemistry, state=state, cells=one.cells, temperature=one.temperature
    )


@key(
    "battery.endurance",
    "Back at the bank",
    kind="limit",
    sense="max",
    unit="s",
    display="min",
    step="1 min down",
    where="pond",
    items="the pack of the plan · a receiver pack of its own",
    needs=(
        "today.plan.pack",
        "kit.pack.chemistry",
        "kit.pack.cells",
        "kit.pack.capacity",
        "today.water.temperature",
    ),
    formula=(
        "capacity at work = label x health x share for the rate x share for the temperature",
        "kept = the greater of the kept share and 1.5 x the charge to blow, climb and wait half an hour",
        "time = the less of (charge now - kept) / q and (charge now - its ± - 1.5 x the way home) / q, "
        "q the draw nine like runs in ten stay under",
    ),
    valid="sealed lead-acid to 4, nickel to 3, lithium to 10 times the capacity an hour; 0 to 60 degC",
    sources=(
        "Peukert's law, rated form; Doerffel & Sharkh 2006, J. Power Sources 155:395",
        "data sheets of small sealed lead-acid packs (12 V 14 A h, 12 V 40 A h)",
        "a battery maker's table of capacity by temperature",
        "log-normal estimate from logged runs; spreads assumed",
    ),
    reads="time",
    reading_unit="min",
)
def endurance(s: Sheet) -> tuple[Limit, ...]:
    """Minutes that leave the reserve, for the drive pack and for a receiver pack of its own."""
    names = [s.of(packs.pack_id)]
    own = s.word("power.receiver_pack")
    if own is not None and own not in ("from drive", *names) and own in s.ids("kit.pack"):
        names.append(own)
    found = each_item(s, endurance, names, _endurance)
    shortest = min(
        (one for one in found if one.shown_high is not None),
        key=lambda one: one.shown_high or 0.0,
        default=None,
    )
    return tuple(
        _finished(one, shortest.item if shortest is not None and len(found) > 1 else "") for one in found
    )


def _finished(limit: Limit, shortest: str) -> Limit:
    if limit.verdict is Verdict.UNKNOWN and not limit.missing:
        return limit.but(
            actions=("charge it full and write it down", "read the rest volts at the boat's plug")
        )
    if shortest and limit.shown_high is not None:
        return limit.but(binds=(*limit.binds, f"pack {shortest} ends first"))
    return limit


def _endurance(s: Sheet, name: str) -> Limit:
    found, expected = s.of(packs.at_work, name), s.of(packs.draw, name)
    planned = s.maybe("plan.minutes")
    left = s.of(packs.time_left, name)
    shown = max(0.0, down(left.time.least, MINUTE))
    star = not s.of(packs.runs, name)
    too_long = planned is not None and planned.si > shown
    return endurance.new(name).but(
        high=left.time.typical,
        value=left.time.typical,
        u95=max(0.0, left.time.typical - shown),
        shown_high=shown,
        shown=text(shown, "min", "time", MINUTE) + ("*" if star else ""),
        starred=star,
        reading=planned,
        parts=(
            _minutes("until the kept charge", left.time.keeping),
            _minutes("way home at the bad end", left.time.home),
        ),
        why=(
            _capacity_line(s, name, found),
            _draw_line(s, name, expected.typical, expected.nine_in_ten, shown),
            _state_line(left.state),
        ),
        binds=("charge kept" if left.time.keeping <= left.time.home else "way home",),
        remark="no run in this pack" if shown == 0.0 else f"pack {name}",
        cautions=_cautions(s, name),
        actions=("plan fewer minutes", "take another pack") if too_long else (),
    )


def _minutes(name: str, seconds: float) -> Part:
    return Part(name, seconds, 0.0, text(down(seconds, MINUTE), "min", "time", MINUTE))


def _capacity_line(s: Sheet, name: str, found: packs.Capacity) -> str:
    one = s.of(packs.pack, name)
    healthy = found.budget.healthy / HOUR_CHARGE
    how = (
        "measured"
        if found.health.tested
        else f"({one.capacity / HOUR_CHARGE:g} x {found.health.share:.2f} assumed)"
    )
    rate = f" x {found.rate:.3f} (rate)" if found.rate < 1.0 else ""
    celsius = one.temperature - 273.15
    return (
        f"{healthy:.3g} A h {how}{rate} x {found.warmth:.3f} ({celsius:.0f} degC) = "
        f"{found.budget.effective / HOUR_CHARGE:.2f}; keep {found.budget.kept / HOUR_CHARGE:.2f}"
    )


def _draw_line(s: Sheet, name: str, typical: float, high: float, shown: float) -> str:
    count = len(s.of(packs.runs, name))
    who = f"Your {counted(count, 'run')} {'takes' if count == 1 else 'take'}"
    if not count:
        who = "No runs logged; her currents give"
    return f"{who} {typical:.1f} A, nine in ten under {high:.1f} A: {shown / MINUTE:.0f} min"


def _state_line(state: packs.StateNow) -> str:
    if state.charged:
        return f"charged full {state.hours:.0f} h ago: {percent(state.value)} in the pack"
    return f"by rest volts {percent(state.value)} in the pack, give or take {percent(state.u95)}"


def _cautions(s: Sheet, name: str) -> tuple[str, ...]:
    found = s.of(packs.health, name)
    lines = list(lithium_caution(s.of(packs.pack, name).chemistry))
    if found.tested and found.share < 0.70:
        lines.append("Under 70 % of its label: do not run this pack.")
    elif found.tested and found.share < 0.80:
        lines.append("Under 80 % of its label: renew this pack.")
    return tuple(lines)
