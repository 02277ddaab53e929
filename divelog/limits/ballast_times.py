"""Most seconds to fill and to empty today, and how long a failsafe must try from the planned depth."""

from __future__ import annotations

from collections.abc import Callable

from divelog.limits.ballast_model import (
    PUMPS,
    SHUT,
    Baseline,
    Carried,
    Pump,
    afloat,
    baseline,
    carry,
    from_depth,
    kind_of,
    open_head,
    pump,
    shortest_hold,
    tired_ratio,
    volts_now,
)
from divelog.limits.buoyancy import dived_balance, planned
from divelog.limits.model import Limit, Part, Verdict
from divelog.limits.registry import Key, key
from divelog.limits.rests import rests_on
from divelog.limits.rounding import down, judge, text, up
from divelog.limits.sheet import Sheet, UnknownError
from divelog.physics import ballast as physics
from divelog.physics import ballast_times as times
from divelog.physics.errors import OutOfRangeError
from divelog.physics.statistics import median
from divelog.profiles.document import Basis

SECOND = 1.0
AT_DEPTH = "at depth"
SOURCES = (
    "pump laws: US DOE-HDBK-1018/1-93 (displacement); affinity laws (centrifugal); Boyle's law",
    "a quarter more, 0.7 and 1.5 times: common practice, no source",
)


# -- afloat, today --------------------------------------------------------------------------------------------------


def _today(s: Sheet, way: str) -> Carried:
    base = s.of(baseline, way)
    if kind_of(s) not in PUMPS:
        return Carried(base.seconds.si, base.seconds.si, 1.0, False, False)
    now = volts_now(s)
    return carry(s, way, s.of(afloat), 1.0 if now is None else now / base.volts)


def _why(s: Sheet, way: str, base: Baseline, found: Carried, shown: str) -> tuple[str, ...]:
    first = f"{base.seconds.si:.0f} s"
    if found.ratio != 1.0:
        first += f" at {base.volts:.1f} V; {found.ratio * base.volts:.1f} V today: {found.predicted:.0f} s"
    lines = [first]
    if found.modelled and not found.head_measured and found.by_model > found.by_volts * 1.005:
        lines = [
            f"{base.seconds.si:.0f} s at the baseline; head and air today make it {found.predicted:.0f}"
            if way == "fill"
            else f"{base.seconds.si:.0f} s warm at the surface; cold, squeezed air pushes less: {found.predicted:.0f}"
        ]
    lines.append(shown)
    return tuple(lines)


def _judged(one: Limit, short: float, notice: float) -> Limit:
    if one.reading is None:
        return one
    if one.reading.si < short:
        return one.but(
            verdict=Verdict.TOO_CLOSE,
            remark="not a full stroke",
            actions=("time a full stroke from stop to stop", "look for air in the hose"),
        )
    verdict = judge(one.reading, one.shown_low, one.shown_high)
    if verdict is Verdict.OUTSIDE:
        return one.but(actions=("look at the strainer, hose and pump", "read the volts while it runs"))
    if verdict is Verdict.TOO_CLOSE:
        return one.but(actions=("time it again, three strokes",))
    if one.reading.si >= notice:
        return one.but(remark="slower than it was")
    return one


def _band(s: Sheet, this: Key, way: str) -> Limit:
    base = s.of(baseline, way)
    reading = s.reading(this.info.key)
    try:
        found = _today(s, way)
    except OutOfRangeError as stalled:
        verdict = Verdict.OUTSIDE
        return this.new().but(shown=f"cannot {way} her", verdict=verdict, why=(str(stalled),), remark=str(stalled),
            reading=reading, actions=("charge the pack", "look at the pump's head"),
        )  # fmt: skip
    fixed = times.time_band(found.by_volts, found.by_model, found.head_measured)
    low, high, expected = None, fixed.most, found.predicted
    if len(base.ratios) >= times.LIKE_TIMES:
        least, most = times.learned_band(base.ratios)
        low, high = least * found.predicted, most * found.predicted
        expected = median(base.ratios) * found.predicted
    shown_high = down(high, SECOND)
    shown_low = None if low is None else up(low, SECOND)
    guessed = found.modelled and s.of(pump).head.basis is Basis.ASSUMED
    at_most = text(shown_high, "s", "time", SECOND)
    shown = f"at most {at_most}" if shown_low is None else f"{shown_low:.0f} to {at_most}"
    told = f"A quarter more is {at_most}" if low is None else f"Her last {len(base.ratios)} times: {shown}"
    return _judged(
        this.new().but(
            low=low,
            high=high,
            value=expected,
            u95=max(0.0, high - expected),
            shown_low=shown_low,
            shown_high=shown_high,
            shown=shown + ("*" if guessed else ""),
            starred=guessed,
            reading=reading,
            reading_text="" if reading is None else f"{reading.si:.1f} s",
            parts=(
                Part("notice from", fixed.notice_from, 0.0, f"{fixed.notice_from:.0f} s"),
                Part("not a full stroke under", fixed.short_under, 0.0, f"{fixed.short_under:.0f} s"),
            ),
            why=_why(s, way, base, found, told),
        ),
        fixed.short_under,
        fixed.notice_from,
    )


# -- from depth ---------------------------------------------------------------------------------------------------


def _shut(s: Sheet, one: Pump, this: Key) -> Limit:
    """The mast is shut when dived: what little comes out before the vacuum stops the pump."""
    lines = ["Shut when dived, the tank's air can only stretch: the pump cannot empty her"]
    parts: tuple[Part, ...] = ()
    left = s.stated("ballast.air_left")
    if left is not None:
        depth = max(0.0, s.of(planned) - one.bottom)
        head = physics.head_at_volts(one.head.si, s.of(tired_ratio), one.centrifugal)
        out = physics.volume_out_before_stall(left.si, s.of(open_head), depth, head)
        if out is not None and out < one.volume:
            lines.append(f"Of {one.volume * 1e6:.0f} mL only {out * 1e6:.1f} would leave")
            parts = (Part("leaves before the pump stalls", out, 0.0, f"{out * 1e6:.1f} mL"),)
    try:
        balance = s.of(dived_balance)
    except UnknownError:
        lines.append("Whether she comes up without it is not known: measure her dived balance")
    else:
        light = balance.si - balance.u95 > 0.0
        lines.append(
            "She comes up by what she is light" if light else "She is not light enough to come up without it"
        )
    return this.new(AT_DEPTH).but(
        shown="the pump cannot empty her",
        verdict=Verdict.NONE,
        why=tuple(lines),
        parts=parts,
    )


def _deep(s: Sheet, this: Key) -> Limit:
    try:
        return _from_depth(s, this)
    except UnknownError as error:
        return this.new(AT_DEPTH).but(shown="unknown", verdict=Verdict.UNKNOWN, missing=error.missing, basis=Basis.MISSING,
            actions=tuple(f"write down {path}" for path in error.missing), remark=error.because,
        )  # fmt: skip


def _from_depth(s: Sheet, this: Key) -> Limit:
    one = s.of(pump)
    if one.vent == SHUT:
        return _shut(s, one, this)
    if one.vent is None:
        because = "where the tank's air comes from when dived is not written down"
        raise UnknownError(s.facts.canonical("ballast.vent"), because=because)
    blank = this.new(AT_DEPTH)
    depth = max(0.0, s.of(planned) - one.bottom)
    hold = s.of(shortest_hold)
    reading = hold.seconds if hold is not None else None
    try:
        seconds = s.of(from_depth, depth)
    except OutOfRangeError as stalled:
        return blank.but(shown="cannot empty her", verdict=Verdict.OUTSIDE, why=(str(stalled),), reading=reading,
            actions=("plan a shallower keel", "charge the pack"),
        )  # fmt: skip
    least = times.HOLD_SHARE * seconds
    low = up(least, SECOND)
    told = (
        f"she tries for {hold.seconds.si:.0f}"
        if hold is not None
        else "how long she tries is not written down"
    )
    actions: tuple[str, ...] = ()
    if reading is None:
        actions = ("write down how long the failsafe tries",)
    elif reading.si < low:
        actions = ("let the failsafe try longer", "plan a shallower keel")
    return blank.but(
        low=least,
        value=seconds,
        u95=(times.LIMIT_SHARE - 1.0) * seconds,
        shown_low=low,
        shown=f"at least {low:.0f} s of hold",
        reading=reading,
        reading_text="" if reading is None else f"{reading.si:.0f} s",
        starred=one.head.basis is Basis.ASSUMED,
        why=(f"From {depth:.2f} m on a tired pack {seconds:.0f} s; {told}",),
        actions=actions,
    )


# -- keys -----------------------------------------------------------------------------------------------------------


def _timed(name: str, title: str, way: str, items: str, extra: tuple[str, ...]) -> Callable[..., Key]:
    return key(
        name,
        title,
        kind="limit",
        sense="max",
        unit="s",
        display="s",
        step="1 s down; hold 1 s up",
        where="pond",
        items=items,
        needs=(
            f"boat.ballast.{way}_time",
            "boat.ballast.at_voltage",
            "boat.ballast.pump_head",
            "boat.ballast.vent",
        ),
        formula=(
            "baseline x (model today / model at the baseline) / ratio of volts; the flow cancels",
            "at most 1.25 x; a word of notice from 1.15 x; not a full stroke under 0.7 x",
            "after five like times their own band: median ± max(3 x 1.4826 x median deviation, 10 %)",
            *extra,
        ),
        valid="depth under the pump's stall",
        sources=SOURCES,
        reads="time",
        reading_unit="s",
    )


@_timed("ballast.fill_time", "Ballast fill", "fill", "", ())
def fill_time(s: Sheet) -> tuple[Limit, ...]:
    """Most seconds to fill, today."""
    kind_of(s)
    carrying = ("ballast.fill_time", "ballast.at_voltage", "ballast.pump_head")
    return rests_on(s, lambda sheet: _band(sheet, fill_time, "fill"), *carrying)


@_timed(
    "ballast.empty_time",
    "Ballast empty",
    "empty",
    "afloat · at depth",
    ("a failsafe must try for 1.5 x the time from depth",),
)
def empty_time(s: Sheet) -> tuple[Limit, ...]:
    """Most seconds to empty afloat, and how long a failsafe must try from the planned depth."""
    kind = kind_of(s)

    def work(sheet: Sheet) -> tuple[Limit, ...]:
        first = _band(sheet, empty_time, "empty")
        return (first, _deep(sheet, empty_time)) if kind in PUMPS else (first,)

    return rests_on(s, work, "ballast.empty_time", "ballast.at_voltage", "ballast.pump_head")
