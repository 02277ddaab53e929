"""Any day and boat a file may hold: waves, sight and radio answer in numbers or in words, never with a fault."""

import contextlib
import math
from collections.abc import Callable

import worked
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.limits import antenna, radio, sight, waves
from divelog.limits.model import Observed
from divelog.limits.registry import Key
from divelog.limits.sheet import NotFittedError, Sheet, UnknownError
from divelog.physics.errors import OutOfRangeError
from divelog.profiles.schema import BANDS, LOOKS, WATERS

BASE = worked.facts("tansy")


def quantity(low: float, high: float, unit: str) -> st.SearchStrategy[str]:
    number = st.floats(math.log(low), math.log(high)).map(lambda x: f"{math.exp(x):.4g} {unit}")
    return st.one_of(number, number.map(lambda text: f"{text} ± 20 %"), st.just("unknown"))


def choice(*words: str) -> st.SearchStrategy[str]:
    return st.sampled_from((*words, "unknown"))


temperatures = st.floats(-2.0, 40.0).map(lambda t: f"{t:.1f} degC")
DAYS = st.fixed_dictionaries(
    {},
    optional={
        "boat.length": quantity(0.1, 6.0, "m"),
        "boat.height": quantity(0.01, 1.5, "m"),
        "boat.draught": quantity(0.005, 1.5, "m"),
        "boat.shade": choice("white", "dark grey", "black"),
        "boat.radio.band": choice(*BANDS),
        "boat.radio.tip_above_deck": quantity(0.001, 2.0, "m"),
        "boat.radio.signal_lost_at.depth": quantity(0.001, 19.0, "m"),
        "boat.radio.signal_lost_at.distance": quantity(0.1, 500.0, "m"),
        "boat.radio.signal_lost_at.conductivity": quantity(2e-5, 9.9, "S/m"),
        "boat.radio.signal_lost_at.temperature": temperatures,
        "boat.radio.failsafe_delay": quantity(0.01, 60.0, "s"),
        "boat.radio.check_paces": choice("1", "200"),
        "boat.radio.mast": choice("metal", "plastic", "none"),
        "boat.radio.clear_length": quantity(0.0005, 3.0, "m"),
        "boat.my_limits.wave_height": quantity(0.0011, 0.99, "m"),
        "site.kind": choice("pond", "lake", "pool", "tank", "sea"),
        "site.water": st.sampled_from(WATERS),
        "site.conductivity": quantity(2e-6, 9.9, "S/m"),
        "site.salinity": quantity(0.01, 49.0, "g/kg"),
        "site.bottom": quantity(0.11, 199.0, "m"),
        "site.fetch": quantity(1.1, 99_000.0, "m"),
        "today.water.temperature": temperatures,
        "today.water.clarity": quantity(0.01, 59.0, "m"),
        "today.air.look": choice(*LOOKS),
        "today.air.wind": quantity(0.01, 39.0, "m/s"),
        "today.air.wind_height": quantity(0.51, 99.0, "m"),
        "today.air.from": choice("west", "40", "upwind"),
        "plan.distance": quantity(0.1, 900.0, "m"),
        "plan.minutes": quantity(1.0, 500.0, "min"),
    },
)
KEYS: tuple[Key, ...] = (
    radio.radio_control_depth,
    radio.radio_range,
    radio.radio_check_distance,
    antenna.antenna_tip_height,
    antenna.antenna_clear_length,
    waves.wind_waves,
    waves.wind_drift,
)
FIGURES: tuple[Callable[[Sheet], object], ...] = (radio.radio_term, sight.sight_term, sight.sight_caution)


@settings(max_examples=100, deadline=None)
@given(DAYS)
def test_every_day_is_answered(day: dict[str, str]) -> None:
    s = Sheet(
        BASE.with_sets(dict(BASE.typed(path, text) for path, text in day.items())), Observed(), at=worked.AT
    )
    for one in KEYS:
        for found in one(s):
            numbers = (found.low, found.high, found.value, found.u95, found.shown_low, found.shown_high)
            assert all(math.isfinite(n) for n in numbers if n is not None)
            assert found.shown
            assert found.u95 >= 0.0
            if found.shown_high is not None and found.high is not None:
                assert found.shown_high <= found.high + 1e-9 or found.kind == "estimate"
            if found.shown_low is not None and found.low is not None and found.kind == "limit":
                assert found.shown_low >= found.low - 1e-9
    for figure in FIGURES:
        with contextlib.suppress(UnknownError, NotFittedError, OutOfRangeError):
            figure(s)
