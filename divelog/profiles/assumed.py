"""What is taken for a field nobody has written down: one rule a path, each with its words.

A rule gives the value, its 95 % half-width and a note for a person. ``star`` marks rules whose result must carry a
trailing ``*`` because the number is a guess by size or kind; the others are definitions or safe ends.
Sizes: S under 0.6 m, M to 1.3 m, L above. Figures by size are common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

from divelog.profiles.document import FactValue, Num

GRAVITY = 9.80665

MASS_BY_LENGTH, MASS_BY_LENGTH_DRY = 6.9, 11.5
"""Mass of a boat ready to run over the cube of her length, kg/m3, to 40 % (common practice, no source); the second
where the hull itself is known to keep the water out: all of its room is carried, not only the cylinder's."""

BALLAST_BY_MASS = 0.08
"""Water taken in over the mass of the boat, to a half (common practice, no source)."""


class Asking(Protocol):
    """What a rule may ask: other facts, stated or assumed in their turn."""

    @property
    def size(self) -> str:
        """S, M or L."""

    def si(self, path: str) -> float | None:
        """An SI value, or None."""

    def word(self, path: str) -> str | None:
        """A choice or text, or None."""

    def said(self, path: str) -> str | None:
        """A choice or text that somebody wrote down, never an assumed one."""

    def words(self, path: str) -> tuple[str, ...]:
        """A list of texts; empty where none is known."""


@dataclass(frozen=True, slots=True)
class Assumption:
    """One rule."""

    rule: Callable[[Asking], FactValue]
    note: str
    star: bool = False


def _by_size(small: float, middle: float, large: float, spread: float = 0.0) -> Callable[[Asking], FactValue]:
    def rule(ask: Asking) -> FactValue:
        value = {"S": small, "M": middle, "L": large}[ask.size]
        return Num(value, value * spread)

    return rule


def _fixed(value: float, u95: float = 0.0) -> Callable[[Asking], FactValue]:
    return lambda ask: Num(value, u95)


def _word(value: str) -> Callable[[Asking], FactValue]:
    return lambda ask: value


def _share(path: str, factor: float, spread: float = 0.0) -> Callable[[Asking], FactValue]:
    def rule(ask: Asking) -> FactValue:
        base = ask.si(path)
        return None if base is None else Num(base * factor, abs(base * factor) * spread)

    return rule


def _froude(factor: float) -> Callable[[Asking], FactValue]:
    def rule(ask: Asking) -> FactValue:
        length = ask.si("boat.length")
        return None if length is None else Num(factor * math.sqrt(GRAVITY * length))

    return rule


def _inside_volume(ask: Asking) -> float | None:
    bore, length = ask.si("boat.cylinder.inside_diameter"), ask.si("boat.cylinder.inside_length")
    return None if bore is None or length is None else math.pi / 4 * bore**2 * length


def _cylinder_air(ask: Asking) -> FactValue:
    volume = _inside_volume(ask)
    return None if volume is None else Num(0.55 * volume, 0.15 * volume)


def _displaced(ask: Asking) -> FactValue:
    mass, ballast = ask.si("boat.mass"), ask.si("boat.ballast.volume")
    if ask.word("boat.ballast.kind") == "none":
        ballast = 0.0
    if mass is None or ballast is None:
        return None
    balance = ask.si("boat.dived_balance") or 0.0
    # (mass + net upward force) / density of the trimming water, plus the ballast that is full of it.
    return Num((mass + balance) / 999.0 + ballast, 0.002 * mass / 999.0 + 0.0)


def _mass(ask: Asking) -> FactValue:
    length = ask.si("boat.length")
    if length is None:
        return None
    mass = (MASS_BY_LENGTH_DRY if ask.said("boat.hull") == "dry" else MASS_BY_LENGTH) * length**3
    return Num(mass, 0.4 * mass)


def _ballast_volume(ask: Asking) -> FactValue:
    mass = ask.si("boat.mass")
    if mass is None or ask.word("boat.ballast.kind") == "none":
        return None
    volume = BALLAST_BY_MASS * mass / 1000.0
    return Num(volume, 0.5 * volume)


def _most_gauge(ask: Asking) -> FactValue:
    return Num(5_000.0 if "pressure" in ask.words("boat.cylinder.test_by") else 10_000.0)


def _outside_length(ask: Asking) -> FactValue:
    inside = ask.si("boat.cylinder.inside_length")
    return None if inside is None else Num(inside + 0.020)


def _short_test(ask: Asking) -> FactValue:
    tests = ask.words("boat.cylinder.test_by")
    return tests[0] if tests else None


def _vent(ask: Asking) -> FactValue:
    inside = ask.word("boat.ballast.inside_cylinder") == "true"
    return "into cylinder" if inside and ask.word("boat.ballast.kind") in ("piston", "pumped_bag") else None


def _pump_head(ask: Asking) -> FactValue:
    head = {"piston": 3.0, "pumped_tank": 2.0, "pumped_bag": 2.0, "snort_blower": 0.4}.get(
        ask.word("boat.ballast.kind") or ""
    )
    return None if head is None else Num(head, 0.5 * head)


_NOMINAL = {
    "lithium polymer": 3.7, "lithium ion": 3.6, "lithium iron phosphate": 3.2, "sealed lead-acid": 2.0,
    "nickel metal hydride": 1.2, "nickel cadmium": 1.2,
}  # fmt: skip


def _nominal_volts(ask: Asking) -> FactValue:
    cells, chemistry = ask.si("pack.cells"), ask.word("pack.chemistry")
    return None if cells is None or chemistry is None else Num(cells * _NOMINAL[chemistry])


def _form_volume(ask: Asking) -> FactValue:
    displaced = ask.si("boat.displaced")
    if ask.word("boat.hull") == "dry":
        return None if displaced is None else Num(displaced, 0.2 * displaced)
    sides = [ask.si(f"boat.{side}") for side in ("beam", "height", "length")]
    if any(side is None for side in sides):
        return None
    form = 0.8 * math.pi / 4 * math.prod(side for side in sides if side is not None)
    form = max(form, displaced or 0.0)
    return Num(form, 0.2 * form)


def _shaft_depth(ask: Asking) -> FactValue:
    draught, height = ask.si("boat.draught"), ask.si("boat.height")
    return None if draught is None or height is None else Num(draught - height / 2)


def _wet_lift(ask: Asking) -> FactValue:
    mass = ask.si("boat.mass")
    return None if mass is None else Num(1.2 * mass, 0.15 * mass)


def _memories(ask: Asking) -> FactValue:
    return ask.word("boat.radio.memory") != "none"


def _rate_exponent(ask: Asking) -> FactValue:
    chemistry = ask.word("pack.chemistry") or ""
    return 1.20 if "lead" in chemistry else 1.07 if "nickel" in chemistry else 1.05


def _clarity(ask: Asking) -> FactValue:
    bottom = ask.si("site.bottom")
    if ask.word("site.kind") in ("pool", "tank") and bottom is not None:
        return Num(bottom, 0.1)
    return Num(0.5, 0.1)


def _air(ask: Asking) -> FactValue:
    water = ask.si("today.water.temperature")
    return None if water is None else Num(water + 5.0, 5.0)


def _closed(ask: Asking) -> FactValue:
    air = ask.si("today.air.temperature")
    return None if air is None else Num(air, 5.0)


def _dive_angle(ask: Asking) -> FactValue:
    return Num(math.radians(7.0 if ask.size == "L" else 10.0), math.radians(3.0))


def _water_class(ask: Asking) -> str:
    water = ask.word("site.water") or "unknown"
    return "chlorinated" if water == "fresh" and ask.word("site.kind") in ("pool", "tank") else water


# Per class of water: conductivity at 25 degC in S/m and salinity in kg/kg, each with half the width of its class.
# River and pond figures: US EPA volunteer monitoring guide (specific conductance of rivers up to 1000 uS/cm); salt-cell
# pools: makers' sheets ask 2.5 to 7 g/L; sea: UNESCO technical paper 44 (1983); the rest common practice, no source.
_WATERS: dict[str, tuple[tuple[float, float], tuple[float, float] | None]] = {
    "rain": ((0.0060, 0.0040), (0.00003, 0.0000225)),
    "fresh": ((0.0350, 0.0450), (0.00017, 0.000225)),
    "chlorinated": ((0.1400, 0.1200), (0.0007, 0.0006)),
    "salt_pool": ((0.6400, 0.3650), (0.0035, 0.00225)),
    "brackish": ((1.7, 1.5), None),
    "sea": ((5.3, 0.6), (0.035, 0.005)),
    "unknown": ((0.1, 0.09), None),
}


def _conductivity(ask: Asking) -> FactValue:
    return Num(*_WATERS[_water_class(ask)][0])


def _salinity(ask: Asking) -> FactValue:
    row = _WATERS[_water_class(ask)][1]
    return None if row is None else Num(*row)


def salinity_of(kind_of_water: str) -> Num | None:
    """Salinity (kg/kg) taken for a kind of water alone; None where it may be anything."""
    row = _WATERS.get(kind_of_water, _WATERS["unknown"])[1]
    return None if row is None else Num(*row)


def _groove_made(ask: Asking) -> FactValue:
    return "printed" if ask.word("boat.cylinder.material") == "printed" else "turned"


def _blows(ask: Asking) -> FactValue:
    return 1.0


ASSUMED: dict[str, Assumption] = {
    "boat.hull": Assumption(_word("dry"), "the hull itself keeps the water out", True),
    "boat.mass": Assumption(_mass, "from her length", True),
    "boat.height": Assumption(_share("boat.length", 1 / 6), "a sixth of her length", True),
    "boat.beam": Assumption(_share("boat.length", 1 / 8.5), "her length / 8.5", True),
    "boat.draught": Assumption(_share("boat.height", 0.8), "0.8 of her height", True),
    "boat.displaced": Assumption(_displaced, "from mass, ballast and dived balance", True),
    "boat.wet_lift_mass": Assumption(_wet_lift, "1.2 times her mass", True),
    "boat.shade": Assumption(_word("grey"), "grey until somebody says", True),
    "boat.trapped_air": Assumption(_by_size(10e-6, 30e-6, 100e-6), "by size", True),
    "boat.foam.kind": Assumption(_word("soft"), "soft, the worse", True),
    "boat.form_volume": Assumption(_form_volume, "0.8 of an ellipse by beam, height and length", True),
    "boat.cylinder.outside_length": Assumption(_outside_length, "inside length + 20 mm"),
    "boat.cylinder.air": Assumption(_cylinder_air, "0.55 of the inside volume", True),
    "boat.cylinder.most_gauge": Assumption(
        _most_gauge, "5 kPa pressure, 10 kPa vacuum, where no builder's figure"
    ),
    "boat.cylinder.above_keel": Assumption(_fixed(0.0), "lowest point at the keel, the safe end"),
    "boat.cylinder.damp_parts": Assumption(_fixed(0.0), "none"),
    "boat.cylinder.short_test": Assumption(_short_test, "the first she can stand"),
    "boat.ballast.volume": Assumption(_ballast_volume, "8 % of her mass", True),
    "boat.ballast.tank.bottom": Assumption(_fixed(0.0), "at the keel, the safe end"),
    "boat.ballast.tank.height": Assumption(_fixed(0.0), "left out"),
    "boat.ballast.tank.baffles": Assumption(lambda ask: 0.0, "none"),
    "boat.ballast.at_voltage": Assumption(_nominal_volts, "the pack's nominal volts"),
    "boat.ballast.timed_at": Assumption(_share("boat.draught", 1.0), "timed afloat"),
    "boat.ballast.pump_head": Assumption(_pump_head, "by kind of ballast", True),
    "boat.ballast.vent": Assumption(_vent, "a piston or bag inside breathes into the cylinder"),
    "boat.ballast.pump": Assumption(_word("gear"), "gear: head as volts"),
    "boat.motion.cruise": Assumption(_froude(0.2), "0.2 x root(g x length)", True),
    "boat.motion.full": Assumption(_froude(0.36), "0.36 x root(g x length)", True),
    "boat.motion.righting": Assumption(_by_size(0.007, 0.012, 0.025, 0.5), "by size", True),
    "boat.motion.shaft_depth": Assumption(_shaft_depth, "draught less half the height", True),
    "boat.motion.propeller": Assumption(_share("boat.beam", 0.45), "0.45 of her beam", True),
    "boat.radio.failsafe_delay": Assumption(_fixed(2.0), "2.0 s until timed, the upper end", True),
    "boat.radio.memories": Assumption(_memories, 'unless the memory is "none"'),
    "boat.radio.on_loss": Assumption(_word("holds last"), "the worse"),
    "boat.radio.mast": Assumption(_word("metal"), "the worse", True),
    "boat.radio.mast_forward": Assumption(
        _share("boat.length", 0.1), "a tenth of her length ahead of the middle", True
    ),
    "boat.controls.plane_time": Assumption(_fixed(0.4, 0.2), "0.4 s, full dive to full rise", True),
    "boat.power.idle": Assumption(_by_size(0.2, 0.4, 1.0), "by size", True),
    "boat.power.cruise": Assumption(_by_size(1.0, 3.0, 8.0), "by size", True),
    "boat.power.full": Assumption(_by_size(3.0, 9.0, 24.0), "by size", True),
    "boat.power.blow": Assumption(_by_size(1.0, 3.0, 10.0), "by size", True),
    "boat.power.test_load": Assumption(_share("boat.power.cruise", 1.0), "the cruise current"),
    "boat.power.keep_back": Assumption(_fixed(0.30), "30 % of the pack"),
    "boat.power.receiver_least": Assumption(_fixed(4.5), "4.5 V until the sheet is read", True),
    "boat.power.terminals.area": Assumption(_by_size(40e-6, 118e-6, 300e-6), "by size", True),
    "boat.power.terminals.gap": Assumption(_by_size(0.030, 0.050, 0.080), "by size", True),
    "boat.power.terminals.greased": Assumption(_word("never"), "never, the worse", True),
    "boat.my_limits.depth_step": Assumption(_fixed(0.5), "0.5 m a step"),
    "boat.my_limits.over_bottom": Assumption(_by_size(0.3, 0.5, 0.5), "0.5 m, 0.3 for a small boat"),
    "boat.my_limits.wave_height": Assumption(_by_size(0.020, 0.040, 0.080), "by size"),
    "boat.my_limits.leak_water": Assumption(_by_size(0.5e-6, 2e-6, 5e-6), "by size", True),
    "boat.cap.material": Assumption(lambda ask: ask.word("boat.cylinder.material"), "as the cylinder"),
    "boat.cap.held_by": Assumption(_word("friction"), "friction, the worst", True),
    "boat.cap.hole": Assumption(_word("plain"), "plain, the worst", True),
    "boat.seal.above_keel": Assumption(_fixed(0.0), "at the keel, the safe end"),
    "boat.seal.groove.made": Assumption(_groove_made, "turned, or printed where the tube is", True),
    "kit.pack.rate_exponent": Assumption(_rate_exponent, "by chemistry"),
    "site.conductivity": Assumption(_conductivity, "by the kind of water", True),
    "site.salinity": Assumption(_salinity, "by the kind of water", True),
    "site.fetch": Assumption(_fixed(100.0), "100 m", True),
    "site.altitude": Assumption(_fixed(0.0), "sea level"),
    "today.water.clarity": Assumption(_clarity, "0.5 m; in a pool or tank, the bottom", True),
    "today.air.temperature": Assumption(_air, "water + 5 K", True),
    "today.air.wind_height": Assumption(_fixed(2.0), "2 m, where a hand holds a wind meter"),
    "today.closed": Assumption(_closed, "the air now", True),
    "today.by": Assumption(_word("operator"), "operator"),
    "today.plan.throttle.slow": Assumption(_fixed(0.6), "0.6"),
    "today.plan.throttle.half": Assumption(_fixed(0.3), "0.3"),
    "today.plan.throttle.full": Assumption(_fixed(0.1), "0.1"),
    "today.plan.dive_angle": Assumption(_dive_angle, "10 deg, 7 for a large boat", True),
    "today.plan.blows": Assumption(_blows, "one, kept for coming up"),
    "settings.own_pace": Assumption(_fixed(0.75, 0.075), "0.75 m"),
    "settings.season_start": Assumption(_word("1 March"), "1 March"),
    "settings.theme": Assumption(_word("sun"), "sun"),
}
"""Rules by path; for lists the id is left out (``boat.cap.held_by``)."""
