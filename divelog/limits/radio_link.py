"""What the radio link of this boat meets today: her band, the water, the way to her, and what is in hand."""

from __future__ import annotations

from dataclasses import dataclass, replace

from divelog.limits.rounding import rss
from divelog.limits.sheet import Sheet, UnknownError
from divelog.limits.water import Ions, electrical, ions_of, spread, temperature
from divelog.physics import radio as physics
from divelog.physics import radio_path as path
from divelog.physics.radio_bands import Band, band
from divelog.physics.water_permittivity import permittivity
from divelog.profiles.document import Basis, Num


@dataclass(frozen=True, slots=True)
class Medium:
    """Water for the radio: permittivity, dB a metre, dB lost at the surface."""

    permittivity: complex
    per_metre: float
    surface: float


@dataclass(frozen=True, slots=True)
class Link:
    """The way to her today, with the tip awash. ``distance`` is where she is planned to be, 5 m at least."""

    band: Band
    medium: Medium
    distance: float
    loss: float


@dataclass(frozen=True, slots=True)
class Trial:
    """The depth at which the signal went, and what was in hand that day with the tip awash."""

    depth: Num
    distance: float
    medium: Medium
    loss: float


def medium(frequency: float, ions: Ions, kelvin: float) -> Medium:
    """What water of that conductivity and temperature does to a frequency."""
    eps = permittivity(frequency, kelvin, ions.conductivity.si, ions.salinity)
    return Medium(eps, physics.attenuation(frequency, eps), physics.surface_loss(eps))


def moved(frequency: float, ions: Ions, kelvin: float, by: float) -> Medium:
    """The same with the conductivity moved by an amount."""
    sigma = min(max(ions.conductivity.si + by, 0.0), 8.0)
    return medium(frequency, Ions(Num(sigma), ions.salinity), kelvin)


def her_band(s: Sheet) -> Band:
    """The band of her set, with the set assumed for it."""
    name = s.need_word("radio.band")
    found = band(name)
    if found is None:
        raise UnknownError(s.facts.canonical("radio.band"), because=f"no figures for {name}")
    return found


def budget(s: Sheet) -> Band:
    """Her band, where its assumed set is used: power, gain and sensitivity count as assumed inputs."""
    found = s.of(her_band)
    note = f"usual for {found.name}"
    return replace(
        found,
        sent=s.assume("power sent", found.sent, physics.AIR_BUDGET_U95, "dBm", note).si,
        gain=s.assume("gain of the boat's aerial", found.gain, 0.0, "dBi", note).si,
        sensitivity=s.assume("signal the receiver needs", found.sensitivity, 0.0, "dBm", note).si,
    )


def link(s: Sheet) -> Link:
    """The link today, tip awash, at the planned distance."""
    found = s.of(her_band)
    here = medium(found.frequency, s.of(electrical), s.of(temperature).si)
    # Under 5 m the two rays ripple; 5 m is the safe end.
    distance = max(s.si("plan.distance"), path.CLOSEST)
    loss = path.path_loss(distance, path.TRANSMITTER_HEIGHT, 0.0, found.frequency, here.permittivity)
    return Link(found, here, distance, loss)


def _trial_ions(s: Sheet) -> tuple[Ions, float]:
    at_25 = spread(s, "radio.signal_lost_at.conductivity", s.num("radio.signal_lost_at.conductivity"))
    kelvin = s.stated("radio.signal_lost_at.temperature") or s.of(temperature)
    return ions_of(at_25, kelvin.si), kelvin.si


def trial(s: Sheet) -> Trial | None:
    """Her trial, if there was one; raises UnknownError where its distance or water was not written down."""
    depth = s.stated("radio.signal_lost_at.depth")
    if depth is None or depth.si <= 0.0:
        return None
    # Deeper than the formulas are trusted: "at least that deep", the safe end.
    depth = replace(depth, si=min(depth.si, physics.DEEPEST_TIP))
    found = s.of(her_band)
    ions, kelvin = s.of(_trial_ions)
    water = medium(found.frequency, ions, kelvin)
    distance = s.si("radio.signal_lost_at.distance")
    loss = path.path_loss(distance, path.TRANSMITTER_HEIGHT, 0.0, found.frequency, water.permittivity)
    return Trial(depth, distance, water, loss)


def _lost(now: Medium, now_loss: float, then: Medium, then_loss: float, depth: float) -> float:
    """Depth in metres at which the signal goes today, signed, out of the trial."""
    in_hand = physics.in_hand_from_trial(
        depth, then.per_metre, then_loss, then.surface, now_loss, now.surface
    )
    return in_hand / now.per_metre


@dataclass(frozen=True, slots=True)
class Reach:
    """What is in hand with the tip awash (dB), where the signal goes (m) with its ±, and dB a metre of that water."""

    in_hand: float
    lost: float
    u95: float
    per_metre: float


def reach_from_trial(s: Sheet, here: Link, tried: Trial) -> Reach:
    """Where the signal goes today, out of the trial, with its ± by depth and both conductivities.

    A conductivity known within a half is moved both ways and the mean taken; a wider one only the way that costs depth.
    """
    f, then = here.band.frequency, tried.medium
    kelvin, ions = s.of(temperature).si, s.of(electrical)
    then_ions, then_kelvin = s.of(_trial_ions)

    def lost(now: Medium, was: Medium) -> float:
        return _lost(now, here.loss, was, tried.loss, tried.depth.si)

    middle = lost(here.medium, then)
    spread_now, spread_then = ions.conductivity.u95, then_ions.conductivity.u95

    def both_ways(now: float, was: float) -> float:
        up = lost(moved(f, ions, kelvin, now), moved(f, then_ions, then_kelvin, was))
        back = lost(moved(f, ions, kelvin, -now), moved(f, then_ions, then_kelvin, -was))
        wide = now > 0.5 * ions.conductivity.si or was > 0.5 * then_ions.conductivity.si
        return max(0.0, middle - min(up, back)) if wide else 0.5 * abs(up - back)

    by_depth = then.per_metre * tried.depth.u95 / here.medium.per_metre
    if _same_water(s):
        by_water = both_ways(spread_now, spread_then)
    else:
        by_water = rss(both_ways(spread_now, 0.0), both_ways(0.0, spread_then))
    per_metre = here.medium.per_metre
    return Reach(middle * per_metre, middle, rss(by_depth, by_water), per_metre)


def _same_water(s: Sheet) -> bool:
    """The trial's conductivity is today's own figure: one meter's error moves both together."""
    today = s.stated("today.water.conductivity") or s.stated("site.conductivity")
    then = s.stated("radio.signal_lost_at.conductivity")
    return today is not None and then is not None and today.si == then.si


def reach_from_budget(s: Sheet, here: Link) -> Reach:
    """Where the signal goes today by the assumed set. A conductivity nobody measured is taken at its saltier end."""
    found = s.of(budget)
    s.assume("mismatch under water", physics.MISMATCH, 0.0, "dB", "an aerial cut for air")
    sigma = s.of(electrical)
    water = here.medium
    if sigma.conductivity.basis is Basis.ASSUMED:
        water = moved(found.frequency, sigma, s.of(temperature).si, sigma.conductivity.u95)
    in_hand = physics.in_hand_awash(found.sent, found.gain, found.sensitivity, here.loss, water.surface)
    return Reach(in_hand, in_hand / water.per_metre, physics.BUDGET_U95 / water.per_metre, water.per_metre)
