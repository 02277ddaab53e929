"""A boat's own fill and empty times carried to other volts, depths and air.

The pump's flow is never assumed: it cancels between the timed baseline and today.
"""

from __future__ import annotations

from dataclasses import dataclass

from divelog.limits import water
from divelog.limits.cylinder_air import cold_pressure, outside_pressure
from divelog.limits.model import Series
from divelog.limits.sheet import NotFittedError, Sheet
from divelog.physics import ballast as physics
from divelog.physics.ballast_times import predicted_time
from divelog.physics.errors import OutOfRangeError
from divelog.physics.statistics import applies, cautious, factor_of, median
from divelog.profiles.document import Basis, Num

BASELINE_MOST = 8
"""First strokes that make a baseline where none is written down."""

ANY_FLOW = 1e-5
"""m3/s: cancels in every ratio."""

TIRED_CELL = 0.1
"""Volts a cell that a pack has lost by the end of a run (common practice, no source)."""

PUMPS = frozenset({"piston", "pumped_tank", "pumped_bag"})
SHUT = "mast, shut when dived"


@dataclass(frozen=True, slots=True)
class Pump:
    """A pump or piston, its tank and what its air does."""

    kind: str
    vent: str | None
    head: Num
    """Shut-off head at the volts of the baseline, m."""
    centrifugal: bool
    volume: float
    height: float
    bottom: float
    air: float | None
    """Air joined to the empty tank, m3; None where the tank is open to the air."""

    def stroke(self, filling: bool, depth: float, air_head: float, open_head: float, head: float) -> float:
        """Seconds of a stroke at any flow; refuses where the pump stalls."""
        curve: physics.Curve = "quadratic" if self.centrifugal else "linear"
        if self.air is None:
            vented = physics.vented_fill_time if filling else physics.vented_empty_time
            return vented(self.volume, self.height, depth, ANY_FLOW, head, curve)
        sealed = physics.sealed_fill_time if filling else physics.sealed_empty_time
        return sealed(self.volume, self.air, air_head, open_head, depth, ANY_FLOW, head, curve)


def kind_of(s: Sheet) -> str:
    """Kind of ballast; refused where she has none."""
    kind = s.need_word("ballast.kind")
    if kind == "none":
        raise NotFittedError("she takes no ballast in")
    return kind


def _joined_air(s: Sheet, vent: str | None, volume: float) -> float | None:
    if vent == "into cylinder":
        air = s.num("cylinder.air").si
        if s.flag("ballast.inside_cylinder"):
            share = {"empty": 0.0, "part full": 0.5, "full": 1.0}[s.word("ballast.start_state") or "empty"]
            return air + share * volume
        return air + volume
    if vent == "none":
        return volume + s.num("ballast.air_left").si
    return None


def pump(s: Sheet) -> Pump:
    """The pump she has; refused where ballast goes by valve, gas or blower."""
    kind = kind_of(s)
    if kind not in PUMPS:
        raise NotFittedError("no pump against a head")
    vent = s.word("ballast.vent")
    volume = s.num("ballast.volume").si
    return Pump(
        kind,
        vent,
        s.num("ballast.pump_head"),
        s.word("ballast.pump") == "centrifugal",
        volume,
        s.num("ballast.tank.height").si,
        s.num("ballast.tank.bottom").si,
        _joined_air(s, vent, volume),
    )


def open_head(s: Sheet) -> float:
    """The barometer as a column of today's water, m."""
    return physics.head_of(s.of(outside_pressure).si, s.of(water.density).si)


def cold_head(s: Sheet) -> Num:
    """Gauge pressure of the cold cylinder as a column of today's water, m; mostly below nought."""
    cold, rho = s.of(cold_pressure), s.of(water.density).si
    return Num(physics.head_of(cold.si, rho), physics.head_of(cold.u95, rho), cold.basis)


@dataclass(frozen=True, slots=True)
class Baseline:
    """A timed stroke: seconds, the volts it was timed at, and like strokes since, each over what it should have taken."""

    seconds: Num
    volts: float
    ratios: tuple[float, ...] = ()


def baseline(s: Sheet, way: str) -> Baseline:
    """Her own time as written down or measured for itself; else the first strokes of the log, frozen.

    It never follows the strokes since: a baseline that does would never find a pump growing slow.
    """
    path = f"ballast.{way}_time"
    series: Series | None = s.series("times", way)
    written = s.fact(path)
    if s.stated(path) is not None or series is None or not series.values:
        seconds, volts = s.num(path), s.num("ballast.at_voltage").si
        if written is not None and written.basis is Basis.MEASURED:
            volts = s.observed.timed_at.get(way, volts)
    else:
        first = series.values[:BASELINE_MOST]
        seconds = s.learnt(
            s.facts.canonical(path), median(first), 0.0, "s", f"median of her first {len(first)}"
        )
        known = [one for one in series.volts[:BASELINE_MOST] if one is not None]
        volts = median(known) if known else s.num("ballast.at_voltage").si
    return Baseline(seconds, volts, _ratios(series, seconds.si, volts))


def _ratios(series: Series | None, seconds: float, volts: float) -> tuple[float, ...]:
    """Timed over predicted, each at its own volts where they were written down."""
    if series is None:
        return ()
    read = series.volts or (series.conditions.get("volts"),) * len(series.values)
    return tuple(
        value / seconds * (1.0 if here is None else here / volts)
        for value, here in zip(series.values, read, strict=True)
    )


def own_factor(s: Sheet, way: str) -> float:
    """How much slower her strokes are than the sum says, drawn toward none while there are few.

    It never makes a time shorter on fewer than three strokes, and is left alone where the sum does not describe her at
    all (under half, over twice).
    """
    found = factor_of(s.of(baseline, way).ratios)
    if not found.n or not applies(found):
        return 1.0
    value = cautious(found, larger_is_bolder=False)
    words = f"{found.n} timed stroke{'s' if found.n != 1 else ''}"
    return max(
        0.5,
        s.learnt(f"her own time to {way}, over the sum", value, 2.0 * found.spread * value, "1", words).si,
    )


@dataclass(frozen=True, slots=True)
class Carried:
    """A baseline carried to today: by volts alone, and by the model of head and air where it holds."""

    by_volts: float
    by_model: float
    ratio: float
    """Volts now over those of the baseline."""
    modelled: bool
    head_measured: bool

    @property
    def predicted(self) -> float:
        """Seconds to expect."""
        return predicted_time(self.by_volts, self.by_model, self.head_measured)


def volts_now(s: Sheet) -> float | None:
    """Volts at the boat's plug with the pump running, today; None where nobody read them."""
    read = s.stated("pack.volts_blow")
    return None if read is None else read.si


def volts_at_end(s: Sheet) -> float:
    """The same at the end of a run."""
    read = s.stated("pack.volts_end")
    if read is not None:
        return read.si
    return s.num("ballast.at_voltage").si - TIRED_CELL * s.num("pack.cells").si


def _air_heads(s: Sheet, one: Pump) -> tuple[float, float]:
    """Absolute head of the joined air today, and of the open air."""
    outside = s.of(open_head)
    if one.vent == "into cylinder":
        return outside + s.of(cold_head).si, outside
    return outside, outside


@dataclass(frozen=True, slots=True)
class Carrier:
    """A baseline and everything that carries it to today but the depth of the tank's bottom."""

    filling: bool
    by_volts: float
    ratio: float
    pump: Pump
    then: float | None
    """Seconds of the baseline by the model; None where only the volts are left to go by."""
    air_head: float = 0.0
    open_head: float = 0.0
    head: float = 0.0

    def to(self, depth: float) -> Carried:
        """Carried to a depth, m; refuses where the pump stalls today."""
        if self.then is None:
            return Carried(self.by_volts, self.by_volts, self.ratio, False, False)
        now = self.pump.stroke(self.filling, depth, self.air_head, self.open_head, self.head)
        measured = self.pump.head.basis is Basis.MEASURED
        return Carried(self.by_volts, self.by_volts * now / self.then, self.ratio, True, measured)


def carrier(s: Sheet, way: str, ratio: float) -> Carrier:
    """Her baseline, ready to be carried to a depth."""
    base, one, filling = s.of(baseline, way), s.of(pump), way == "fill"
    by_volts = base.seconds.si / ratio
    if one.vent is None:
        return Carrier(filling, by_volts, ratio, one, None)
    outside = s.of(open_head)
    timed = max(0.0, s.num("ballast.timed_at").si - one.bottom)
    try:
        then = one.stroke(filling, timed, outside, outside, one.head.si)
    except OutOfRangeError:
        # The head written down cannot have made the time written down: only the volts are left to go by.
        return Carrier(filling, by_volts, ratio, one, None)
    air, outside = _air_heads(s, one)
    head = physics.head_at_volts(one.head.si, ratio, one.centrifugal)
    return Carrier(filling, by_volts, ratio, one, then, air, outside, head)


def carry(s: Sheet, way: str, depth: float, ratio: float) -> Carried:
    """The baseline at another depth of the tank's bottom and other volts; refuses where the pump stalls today."""
    return s.of(carrier, way, ratio).to(depth)


def afloat(s: Sheet) -> float:
    """Depth of the tank's bottom with her afloat, m."""
    return max(0.0, s.num("boat.draught").si - s.num("ballast.tank.bottom").si)


@dataclass(frozen=True, slots=True)
class Hold:
    """How long a failsafe keeps trying to empty her, and what starts it."""

    seconds: Num
    trigger: str


def shortest_hold(s: Sheet) -> Hold | None:
    """The shortest time any failsafe keeps emptying her; None where none says."""
    found: list[Hold] = []
    for trigger in s.ids("failsafe"):
        if ("ballast", "empties") in s.words(f"failsafe[{trigger}].does"):
            hold = s.stated(f"failsafe[{trigger}].hold")
            if hold is not None:
                found.append(Hold(hold, trigger))
    return min(found, key=lambda one: one.seconds.si) if found else None


def from_depth(s: Sheet, bottom_depth: float) -> float:
    """Seconds to empty her with the tank's bottom at a depth, on a tired pack; refuses where the pump stalls."""
    return carry(s, "empty", bottom_depth, s.of(tired_ratio)).predicted * s.of(own_factor, "empty")


def tired_ratio(s: Sheet) -> float:
    """Volts at the end of a run over those of the emptying baseline."""
    return s.of(volts_at_end) / s.of(baseline, "empty").volts
