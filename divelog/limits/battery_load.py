"""Volts under load at the boat's plug and at the receiver, and the spread of a lithium pack's cells."""

from __future__ import annotations

from divelog.limits import battery_pack as packs
from divelog.limits.battery_words import coarsest
from divelog.limits.model import Limit, Part, Verdict
from divelog.limits.registry import key
from divelog.limits.rounding import down, judge, text, up
from divelog.limits.sheet import NotFittedError, Sheet, UnknownError
from divelog.physics import battery as physics
from divelog.physics.battery_charge import least_rest_voltage
from divelog.physics.battery_chemistry import Chemistry
from divelog.profiles.document import Basis

STEP = 0.01
SUPPLY_STEP = 0.05
END_STATE = 0.30
"""State of charge a plan may end with."""
SPREAD_MOST = 0.03
SPREAD_RETIRE = 0.10
"""Volts between the cells of a resting lithium pack (common practice, no source)."""
NO_RESET = "no reset seen"
_SLACK = 1e-9


def peak_current(s: Sheet) -> float:
    """Full ahead and ballast running at the same moment, A."""
    blow = 0.0 if s.word("ballast.kind") == "none" else s.si("power.blow")
    return s.si("power.full") + blow


def floor_volts(s: Sheet) -> float:
    """Volts the pack must hold at that moment: its cut-off, and the receiver where it hangs on this pack."""
    one = s.of(packs.pack, s.of(packs.pack_id))
    cut_off = physics.cut_off_voltage(
        chemistry=one.chemistry, cells=one.cells, capacity=one.capacity, current=s.of(peak_current)
    )
    if s.word("power.receiver_pack") not in ("from drive", one.id):
        return cut_off
    drop = s.assume(
        "drop of the receiver's supply",
        physics.SWITCHING_DROP,
        0.0,
        "V",
        "a switching supply; its sheet rules",
    )
    return physics.floor_voltage(cut_off=cut_off, receiver_least=s.si("power.receiver_least"), drop=drop.si)


def usual_resistance(s: Sheet) -> float | None:
    """The pack's own resistance in ohm: measured in the log, else the kit's; None where neither is known."""
    name = s.of(packs.pack_id)
    for path in (f"pack[{name}].resistance", f"kit.pack[{name}].resistance"):
        if s.fact(path) is not None:
            found = s.maybe(path)
            if found is not None:
                return found.si
    return None


def _full_rest(s: Sheet, name: str) -> float | None:
    """Volts at rest that a pack charged full and not run since must show; None where no such charge is written."""
    state, one = s.of(packs.by_record, name), s.of(packs.pack, name)
    if state is None:
        return None
    least = max(0.0, state.value - state.u95)
    return least_rest_voltage(
        chemistry=one.chemistry, state=least, cells=one.cells, temperature=one.temperature
    )


@key(
    "battery.load_voltage",
    "Volts under load",
    kind="limit",
    sense="min",
    unit="V",
    display="V",
    step="0.01 V up",
    where="bench",
    items="the pack of the plan",
    needs=("kit.pack.chemistry", "kit.pack.cells", "kit.pack.capacity", "kit.pack.resistance",
           "boat.power.full", "boat.power.test_load", "today.water.temperature"),
    formula=(
        "most resistance = the less of 1.5 x its own and (rest volts at 30 % - floor) / (1.5 x peak current)",
        "least volts = rest volts today - most resistance x test current",
        "floor = the greater of the cut-off and what the receiver needs where it hangs on this pack",
    ),
    valid="10 s after the load is on; 0 to 40 degC",
    sources=(
        "Ohm's law",
        "cut-off volts of small packs' data sheets; margins common practice, no source",
    ),
    reads="voltage",
    reading_unit="V",
)  # fmt: skip
def load_voltage(s: Sheet) -> Limit:
    """Least volts at the boat's plug under the test load."""
    name = s.of(packs.pack_id)
    one = s.of(packs.pack, name)
    test, peak = s.si("power.test_load"), s.of(peak_current)
    usual = s.of(usual_resistance)
    s.assume("charge at the end of the plan", END_STATE, 0.0, "1", "30 % left")
    at_end = least_rest_voltage(
        chemistry=one.chemistry, state=END_STATE, cells=one.cells, temperature=one.temperature
    )
    found = physics.resistance_limit(
        usual=usual, rest_at_end=at_end, floor=s.of(floor_volts), peak_current=peak
    )
    fall = found.limit * test
    fall_shown = down(fall, STEP)
    rest = s.reading("battery.rest_voltage", name)
    limit = load_voltage.new(name).but(
        value=fall,
        parts=(
            Part("most fall", fall, 0.0, text(fall_shown, "V", "voltage", STEP)),
            Part(
                "most resistance", found.limit, 0.0, text(down(found.limit, 1e-4), "mohm", "resistance", 1e-4)
            ),
        ),
        binds=("own resistance" if usual is not None and found.own == found.limit else "floor at the end",),
        remark=f"at {test:g} A" + ("" if usual is not None else "; no baseline yet"),
        why=(
            f"{usual * 1e3:.3g} mohm is usual, half as much again is {usual * 1.5e3:.3g}"
            if usual is not None
            else "no resistance of its own known yet",
            f"{found.by_floor * 1e3:.3g} mohm would leave the floor of {s.of(floor_volts):.2f} V "
            f"at {peak:g} A, cold and at 30 %",
            f"{test:g} A then costs {fall_shown:.2f} V",
        ),
        cautions=("Read it the evening before: ten seconds of load, then off.",),
        actions=("charge it and read again", "look at the joints", "take another pack"),
    )
    reading = s.reading("battery.load_voltage", name)
    if rest is None and reading is None:
        return limit.but(shown=f"fall at most {fall_shown:.2f} V")
    volts = rest.si if rest is not None else s.of(_full_rest, name)
    if volts is None:
        return limit.but(
            shown=f"fall at most {fall_shown:.2f} V",
            reading=reading,
            verdict=Verdict.UNKNOWN,
            remark="without the volts at rest nobody knows how far they fell",
            actions=("read the volts at rest, then under the load",),
        )
    low = volts - fall
    if low <= 0.0:
        raise UnknownError(because=f"{volts:.2f} V at rest is less than {test:g} A alone would take")
    shown = up(low, STEP)
    return limit.but(
        low=low,
        value=low,
        shown_low=shown,
        shown=text(shown, "V", "voltage", STEP),
        reading=reading,
        verdict=judge(reading, shown, None),
        actions=() if reading is None or judge(reading, shown, None) is Verdict.WITHIN else limit.actions,
    )


@key(
    "receiver.supply",
    "Volts at the receiver",
    kind="limit",
    sense="min",
    unit="V",
    display="V",
    step="0.05 V up",
    where="bench",
    needs=("boat.power.receiver_least",),
    formula=(
        "the receiver's least + 0.5 V for dips a meter cannot see; 4.5 V as it stands where nobody read the sheet",
    ),
    valid="meter that keeps the least, all servos moving, ballast running, full ahead reversed once, 10 s",
    sources=("the receiver's sheet", "half a volt common practice, no source"),
    reads="voltage",
    reading_unit="V",
)
def receiver_supply(s: Sheet) -> Limit:
    """Least volts at the receiver with everything moving."""
    least = s.num("power.receiver_least")
    guessed = least.basis is Basis.ASSUMED
    low = least.si if guessed else least.si + physics.SUPPLY_MARGIN
    shown = up(low, SUPPLY_STEP)
    reading = s.reading("receiver.supply")
    limit = receiver_supply.new().but(
        low=low,
        value=low,
        shown_low=shown,
        shown=coarsest(shown, "V", "voltage", 0.1, SUPPLY_STEP) + ("*" if guessed else ""),
        starred=guessed,
        reading=reading,
        verdict=judge(reading, shown, None),
        why=(
            f"Nobody read the receiver's sheet: {low:g} V is taken"
            if guessed
            else f"The receiver's sheet says {least.si:g} V; half a volt more for dips a meter cannot see",
        ),
        remark=_too_few_cells(s, shown),
        actions=("read the receiver's sheet",) if guessed else (),
    )
    if reading is None and s.answer("receiver.supply") == NO_RESET:
        return limit.but(
            verdict=Verdict.TOO_CLOSE,
            reading_text=NO_RESET,
            actions=("read it with a meter that keeps the least",),
        )
    if limit.verdict in (Verdict.OUTSIDE, Verdict.TOO_CLOSE):
        return limit.but(
            actions=(
                "charge the receiver's pack",
                "one cell more, or a regulator",
                "look at the joints of its feed",
            ),
        )
    return limit


_NOMINAL_NICKEL = 1.2


def _too_few_cells(s: Sheet, shown: float) -> str:
    """A receiver pack of its own whose nominal volts lie under the limit cannot meet it: say so."""
    name = s.word("power.receiver_pack")
    if name is None or name == "from drive" or name not in s.ids("kit.pack"):
        return ""
    chemistry = Chemistry(s.need_word(f"pack[{name}].chemistry"))
    cells = s.si(f"pack[{name}].cells")
    if not chemistry.is_nickel or cells * _NOMINAL_NICKEL >= shown - _SLACK:
        return ""
    return f"{cells:.0f} nickel cells are {cells * _NOMINAL_NICKEL:.1f} V: one more, or a regulator"


@key(
    "battery.spread",
    "Spread of the cells",
    kind="limit",
    sense="max",
    unit="V",
    display="V",
    step="0.01 V",
    where="bench",
    items="the pack of the plan",
    needs=("kit.pack.chemistry",),
    formula=(
        "greatest less least cell at rest, ten minutes or more: at most 0.03 V; over 0.10 V the pack is retired",
    ),
    valid="lithium packs at rest; iron phosphate only when charged full",
    sources=("common practice, no source",),
    reads="voltage",
    reading_unit="V",
)
def spread(s: Sheet) -> Limit:
    """Most spread between the cells of a resting lithium pack."""
    name = s.of(packs.pack_id)
    chemistry = Chemistry(s.need_word(f"pack[{name}].chemistry"))
    if not chemistry.is_lithium:
        raise NotFittedError(f"{chemistry}: the spread of cells is read on lithium packs")
    if s.si(f"pack[{name}].cells") < 2:
        raise NotFittedError("one cell has no spread")
    reading = s.reading("battery.spread", name)
    limit = spread.new(name).but(
        high=SPREAD_MOST,
        value=None if reading is None else reading.si,
        u95=0.0 if reading is None else reading.u95,
        shown_high=SPREAD_MOST,
        shown=text(SPREAD_MOST, "V", "voltage", STEP),
        reading=reading,
        basis=reading.basis if reading is not None else Basis.STATED,
        why=("cells further apart than 0.03 V at rest are not run; over 0.10 V the pack is retired",),
    )
    if chemistry is Chemistry.LITHIUM_IRON_PHOSPHATE and s.of(packs.charged_hours, name) is None:
        return limit.but(
            reading=None,
            value=None,
            u95=0.0,
            remark="judged only when charged full",
            actions=("charge it full",),
        )
    if reading is None:
        return limit
    verdict = judge(reading, None, SPREAD_MOST)
    if reading.si > SPREAD_RETIRE + _SLACK:
        return limit.but(
            verdict=verdict,
            remark="over 0.10 V: retire it",
            cautions=("Do not charge or run this pack; it stays outdoors and goes to a recycling point.",),
            actions=("write down a defect that stops launch", "take another pack"),
        )
    actions = () if verdict is Verdict.WITHIN else ("balance it and read again", "take another pack")
    return limit.but(verdict=verdict, actions=actions)
