"""Battery formulas: what must hold whatever the numbers, inverses, and every refusal."""

import math
from collections.abc import Callable
from itertools import pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from divelog.physics import battery, battery_capacity, battery_charge, battery_current, battery_endurance
from divelog.physics import battery_log as log
from divelog.physics.battery_chemistry import FACTS, Chemistry
from divelog.physics.electrical import piecewise, swapped
from divelog.physics.errors import OutOfRangeError

few = settings(max_examples=120, deadline=None)

AH = 3600.0
HOUR = 3600.0
DAY = 86_400.0
ROOM = 298.15
LEAD = Chemistry.LEAD_ACID
LIPO = Chemistry.LITHIUM_POLYMER
LION = Chemistry.LITHIUM_ION
LFP = Chemistry.LITHIUM_IRON_PHOSPHATE
NIMH = Chemistry.NICKEL_METAL_HYDRIDE
NICD = Chemistry.NICKEL_CADMIUM

chemistries = st.sampled_from(list(Chemistry))
told_by_volts = st.sampled_from([LEAD, LIPO, LION])
states = st.floats(0.0, 1.0)
temperatures = st.floats(273.15, 313.15)
cells = st.integers(1, 12)
capacities = st.floats(0.3 * AH, 200 * AH)


def refused(call: Callable[[], object], *words: str) -> None:
    with pytest.raises(OutOfRangeError) as caught:
        call()
    for word in words:
        assert word in str(caught.value)


# Tables ---------------------------------------------------------------------------------------------


def test_every_chemistry_has_its_figures() -> None:
    assert set(FACTS) == set(Chemistry)
    for facts in FACTS.values():
        assert list(facts.cut_off) == sorted(facts.cut_off, reverse=True)
        for points in filter(None, [facts.temperature_points]):
            assert all(x0 < x1 and y0 < y1 for (x0, y0), (x1, y1) in pairwise(points))
            assert points[-1][1] == 1.0


def test_each_chemistry_is_of_one_family() -> None:
    for chemistry in Chemistry:
        assert [chemistry is LEAD, chemistry.is_lithium, chemistry.is_nickel].count(True) == 1
        assert not chemistry.is_lithium_cobalt or chemistry.is_lithium
    assert not LFP.is_lithium_cobalt


@given(st.floats(-10, 10))
def test_a_piecewise_line_stays_within_its_points(x: float) -> None:
    points = ((-1.0, 2.0), (0.0, 3.0), (4.0, 7.0))
    y = piecewise(points, x)
    assert 2.0 <= y <= 7.0
    if -1.0 <= x <= 4.0:
        assert piecewise(swapped(points), y) == pytest.approx(x, abs=1e-12)


# Rest volts -----------------------------------------------------------------------------------------


@few
@given(chemistry=told_by_volts, state=states, n=cells, temperature=temperatures)
def test_rest_volts_and_charge_are_inverses(
    chemistry: Chemistry, state: float, n: int, temperature: float
) -> None:
    volts = battery_charge.rest_voltage(chemistry=chemistry, state=state, cells=n, temperature=temperature)
    found = battery_charge.state_of_charge(chemistry=chemistry, volts=volts, cells=n, temperature=temperature)
    assert found.state == pytest.approx(state, abs=1e-9)
    assert 0.0 <= found.least <= state + 1e-9
    assert state - 1e-9 <= found.most <= 1.0


@few
@given(chemistry=told_by_volts, volts=st.floats(3.4, 4.2), step=st.floats(0.0, 0.1), degrees=temperatures)
def test_more_volts_never_mean_less_charge(
    chemistry: Chemistry, volts: float, step: float, degrees: float
) -> None:
    low = volts / 2 if chemistry is LEAD else volts
    assume(not (chemistry is LEAD and (low < 1.91 or low + step > 2.19)))
    assume(not (chemistry is not LEAD and low + step > 4.23))
    one, other = (
        battery_charge.state_of_charge(chemistry=chemistry, volts=v, cells=1, temperature=degrees)
        for v in (low, low + step)
    )
    assert one.state is not None
    assert other.state is not None
    assert other.state >= one.state


@few
@given(volts=st.floats(11.7, 13.0), degrees=temperatures, step=st.floats(0.0, 20.0))
def test_at_like_volts_a_warmer_lead_acid_pack_is_emptier(volts: float, degrees: float, step: float) -> None:
    warmer = min(degrees + step, 313.15)
    cold, warm = (
        battery_charge.state_of_charge(chemistry=LEAD, volts=volts, cells=6, temperature=t).state
        for t in (degrees, warmer)
    )
    assert cold is not None
    assert warm is not None
    assert warm <= cold + 1e-12


@given(st.floats(3.206, 3.3299))
def test_iron_phosphate_never_gives_one_figure_on_its_plateau(volts: float) -> None:
    found = battery_charge.state_of_charge(chemistry=LFP, volts=volts, cells=1)
    assert found.state is None
    assert (found.least, found.most) == (0.30, 0.95)


def test_iron_phosphate_off_its_plateau() -> None:
    full = battery_charge.state_of_charge(chemistry=LFP, volts=3.35, cells=1)
    assert (full.state, full.least, full.most) == (None, 0.95, 1.0)
    low = battery_charge.state_of_charge(chemistry=LFP, volts=3.0, cells=1)
    assert low.state is not None
    assert 0.10 < low.state < 0.20
    back = battery_charge.rest_voltage(chemistry=LFP, state=low.state, cells=1)
    assert back == pytest.approx(3.0, abs=1e-12)


def test_bands_are_one_sided() -> None:
    upper = battery_charge.state_of_charge(chemistry=LEAD, volts=12.36, cells=6)
    lower = battery_charge.state_of_charge(chemistry=LEAD, volts=12.24, cells=6)
    assert (upper.state, upper.least, upper.most) == pytest.approx((0.55, 0.50, 0.75))
    assert (lower.state, lower.least, lower.most) == pytest.approx((0.45, 0.35, 0.65))
    above = battery_charge.state_of_charge(chemistry=LIPO, volts=4.0, cells=1)
    below = battery_charge.state_of_charge(chemistry=LIPO, volts=3.8, cells=1)
    assert (above.least, above.most) == pytest.approx((0.68, 0.82))
    assert (below.least, below.most) == pytest.approx((0.25, 0.55))


@pytest.mark.parametrize(
    ("chemistry", "volts", "words"),
    [
        (LEAD, 2.21, "fresh charge"),
        (LEAD, 1.89, "dead cell"),
        (LIPO, 4.24, "wrong charger"),
        (LIPO, 2.49, "not charged"),
        (LFP, 3.71, "wrong charger"),
        (LFP, 2.49, "not charged"),
        (NIMH, 1.61, "on the charger"),
        (NICD, 0.0, "rest voltage"),
        (LIPO, math.nan, "rest voltage"),
    ],
)
def test_volts_no_resting_cell_shows_are_refused(chemistry: Chemistry, volts: float, words: str) -> None:
    refused(lambda: battery_charge.state_of_charge(chemistry=chemistry, volts=volts, cells=1), words)


def test_other_refusals_of_rest_volts() -> None:
    refused(lambda: battery_charge.cell_volts(volts=8.0, cells=0), "one cell")
    refused(
        lambda: battery_charge.state_of_charge(chemistry=LEAD, volts=12.6, cells=6, temperature=272.0),
        "degC",
    )
    refused(lambda: battery_charge.rest_voltage(chemistry=LEAD, state=0.5, cells=0), "one cell")
    refused(lambda: battery_charge.rest_voltage(chemistry=LEAD, state=1.1, cells=6), "state of charge")
    refused(lambda: battery_charge.rest_voltage(chemistry=LFP, state=0.5, cells=1), "say nothing")
    refused(lambda: battery_charge.rest_voltage(chemistry=NIMH, state=0.5, cells=1), "say nothing")


def test_least_rest_voltage_where_volts_say_nothing() -> None:
    def least(chemistry: Chemistry, state: float) -> float:
        return battery_charge.least_rest_voltage(chemistry=chemistry, state=state, cells=4)

    assert least(LFP, 0.9) == pytest.approx(4 * 3.206)
    assert least(LFP, 0.20) == pytest.approx(4 * 3.168)
    assert least(NIMH, 0.3) == pytest.approx(4 * 1.20)
    assert least(LIPO, 0.3) == pytest.approx(4 * 3.80)
    refused(lambda: least(NIMH, 0.1), "say nothing")


def test_where_volts_tell_the_charge() -> None:
    assert {c for c in Chemistry if battery_charge.volts_tell_charge(c)} == {LEAD, LIPO, LION}


def test_rest_after_charge_and_run() -> None:
    u95 = battery_charge.lead_rest_u95
    assert u95(since_charge=5 * HOUR) == 0.24
    assert u95(since_charge=8 * HOUR) == 0.20
    assert u95(since_run=600.0) == 0.30
    assert u95(since_run=4 * HOUR) == 0.20
    assert u95(since_charge=5 * HOUR, since_run=5 * HOUR) == 0.24
    assert u95() == 0.20
    refused(lambda: u95(since_charge=3.9 * HOUR), "4 h")
    refused(lambda: u95(since_run=599.0), "ten minutes")
    refused(lambda: u95(since_charge=math.nan), "4 h")


# Capacity -------------------------------------------------------------------------------------------


@few
@given(chemistry=chemistries, capacity=capacities, rate=st.floats(0.001, 3.0), more=st.floats(1.0, 3.0))
def test_a_greater_current_gets_less_out_and_sooner(
    chemistry: Chemistry, capacity: float, rate: float, more: float
) -> None:
    assume(rate * more <= 3.0)
    one, other = (
        battery_capacity.rate_factor(chemistry=chemistry, capacity=capacity, current=r * capacity / AH)
        for r in (rate, rate * more)
    )
    assert 0.0 < other <= one <= 1.0
    assert other / (rate * more) <= one / rate


@few
@given(rate=st.floats(0.01, 4.0), one=capacities, other=capacities, k=st.floats(1.0, 1.6))
def test_the_share_depends_on_the_rate_alone(rate: float, one: float, other: float, k: float) -> None:
    first, second = (
        battery_capacity.rate_factor(
            chemistry=LEAD, capacity=c, current=min(rate, 3.999) * c / AH, exponent=k
        )
        for c in (one, other)
    )
    assert first == pytest.approx(second, rel=1e-9)


@pytest.mark.parametrize("edge", [1 / 20, battery_capacity.LEAD_KNEE_RATE])
def test_the_share_is_continuous(edge: float) -> None:
    below, above = (
        battery_capacity.rate_factor(chemistry=LEAD, capacity=5 * AH, current=5 * edge * x)
        for x in (1 - 1e-9, 1 + 1e-9)
    )
    assert below == pytest.approx(above, rel=1e-7)


def test_limits_of_the_share() -> None:
    def share(chemistry: Chemistry, current: float, k: float) -> float:
        return battery_capacity.rate_factor(chemistry=chemistry, capacity=5 * AH, current=current, exponent=k)

    assert share(LEAD, 0.25, 1.2) == 1.0
    assert share(LEAD, 0.01, 1.2) == 1.0
    assert share(LEAD, 6.0, 1.0) == 1.0
    assert share(LIPO, 40.0, 1.0) == 1.0
    assert share(LEAD, 20.0, 1.0) < 1.0


def test_refusals_of_the_share() -> None:
    def share(chemistry: Chemistry = LEAD, current: float = 1.0, **more: float) -> float:
        return battery_capacity.rate_factor(chemistry=chemistry, capacity=5 * AH, current=current, **more)

    refused(lambda: share(LEAD, 20.1), "over 4 times")
    refused(lambda: share(NIMH, 15.1), "over 3 times")
    refused(lambda: share(NICD, 15.1), "over 3 times")
    refused(lambda: share(LFP, 50.1), "over 10 times")
    refused(lambda: share(LEAD, 0.0), "current")
    refused(lambda: share(LEAD, exponent=0.9), "exponent")
    refused(lambda: share(LEAD, rated_time=0.0), "rated time")
    refused(lambda: battery_capacity.rate_factor(chemistry=LEAD, capacity=0.0, current=1.0), "capacity")


def test_spread_of_the_share() -> None:
    def u95(chemistry: Chemistry, current: float, spread: float | None = None) -> float:
        return battery_capacity.rate_factor_u95(
            chemistry=chemistry, capacity=5 * AH, current=current, exponent_u95=spread
        )

    assert u95(LEAD, 5.0) == pytest.approx(0.10 * math.log(20))
    assert u95(LEAD, 5.0, 0.06) == pytest.approx(0.06 * math.log(20))
    assert u95(LEAD, 0.1) == 0.0
    assert u95(LIPO, 30.0) == 0.0
    assert u95(NIMH, 5.0) > 0.0
    assert battery_capacity.rate_factor_u95(
        chemistry=LIPO, capacity=5 * AH, current=5.0, exponent_u95=0.1, rated_time=10 * HOUR
    ) == pytest.approx(0.1 * math.log(10))


@few
@given(k=st.floats(1.0, 1.5), fast=st.floats(0.06, 1.2))
def test_the_exponent_comes_back_from_two_points(k: float, fast: float) -> None:
    share = battery_capacity.rate_factor(chemistry=LEAD, capacity=7 * AH, current=7 * fast, exponent=k)
    found = battery_capacity.rate_exponent(
        slow_capacity=7 * AH, slow_time=20 * HOUR, fast_capacity=share * 7 * AH, fast_time=share / fast * HOUR
    )
    assert found == pytest.approx(k, abs=1e-6)


def test_refusals_of_the_exponent() -> None:
    def exponent(fast: float, hours: float) -> float:
        return battery_capacity.rate_exponent(
            slow_capacity=7 * AH, slow_time=20 * HOUR, fast_capacity=fast * AH, fast_time=hours * HOUR
        )

    refused(lambda: exponent(7.0, 20.0), "greater current")
    refused(lambda: exponent(8.0, 1.0), "exponent")
    refused(lambda: exponent(0.0, 1.0), "fast capacity")
    refused(lambda: exponent(4.0, 0.0), "fast time")


@few
@given(chemistry=chemistries, t=st.floats(273.15, 333.0), step=st.floats(0.0, 30.0), h=st.floats(0.0, 20.0))
def test_warmth_and_time_never_take_capacity(chemistry: Chemistry, t: float, step: float, h: float) -> None:
    def share(temperature: float, hours: float) -> float:
        return battery_capacity.temperature_factor(
            chemistry=chemistry, temperature=temperature, discharge_time=hours * HOUR
        )

    assert 0.79 < share(t, h) <= share(min(t + step, 333.15), h) <= 1.0
    assert share(t, h) <= share(t, h + 0.5)


def test_refusals_by_temperature() -> None:
    def share(celsius: float, hours: float = 1.0) -> float:
        return battery_capacity.temperature_factor(
            chemistry=LIPO, temperature=celsius + 273.15, discharge_time=hours * HOUR
        )

    refused(lambda: share(-0.1), "degC")
    refused(lambda: share(60.1), "degC")
    refused(lambda: share(20, -1.0), "discharge time")
    assert share(11) == pytest.approx(0.955)


@few
@given(air=st.floats(273.15, 313.15), water=st.floats(273.15, 303.15), t=st.floats(0, 1e5))
def test_a_dry_pack_lies_between_air_and_water(air: float, water: float, t: float) -> None:
    found = battery_capacity.dry_pack_temperature(air=air, water=water, elapsed=t)
    assert min(air, water) - 1e-9 <= found <= air + 1e-9


def test_a_dry_pack_cools_to_the_water() -> None:
    def at(t: float) -> float:
        return battery_capacity.dry_pack_temperature(air=293.15, water=283.15, elapsed=t)

    assert at(0.0) == pytest.approx(293.15)
    assert at(3600.0) == pytest.approx(283.15 + 10 / math.e)
    assert at(1e6) == pytest.approx(283.15)
    refused(lambda: at(-1.0), "time in the water")


def test_assumed_health() -> None:
    year = 365.25 * DAY
    health = battery_capacity.assumed_health
    assert health(age=None) == 0.90
    assert health(age=0.0) == 1.00
    assert health(age=0.5 * year) == 0.90
    assert health(age=2.99 * year) == 0.90
    assert health(age=3 * year) == 0.80
    assert health(age=0.0, deep_discharged=True) == 0.80
    refused(lambda: health(age=-DAY), "age")


@few
@given(
    chemistry=chemistries, state=states, days=st.floats(0, 700), more=st.floats(0, 100), t=st.floats(263, 313)
)
def test_a_pack_in_store_only_loses(
    chemistry: Chemistry, state: float, days: float, more: float, t: float
) -> None:
    def left(d: float, temperature: float = 293.15) -> float:
        return battery_capacity.charge_after_storage(
            chemistry=chemistry, state=state, elapsed=d * DAY, temperature=temperature
        )

    assert 0.0 <= left(days + more) <= left(days) <= state
    assert left(0.0) == state
    assert left(days, t) <= left(days, 263.0) + 1e-12


def test_refusals_in_store() -> None:
    def left(state: float = 1.0, t: float = 293.15, **more: float) -> float:
        return battery_capacity.charge_after_storage(
            chemistry=NIMH, state=state, elapsed=DAY, temperature=t, **more
        )

    assert left(monthly_loss=0.0, first_day_loss=0.0) == 1.0
    refused(lambda: left(1.2), "state of charge")
    refused(lambda: left(t=400.0), "degC")
    refused(lambda: left(monthly_loss=1.2), "monthly loss")
    refused(lambda: left(first_day_loss=-0.1), "first day")


def test_a_test_may_raise_health_only_when_full() -> None:
    after = battery_capacity.health_after_test
    assert after(known=0.9, found=0.95, full_discharge=False) == 0.9
    assert after(known=0.9, found=0.85, full_discharge=False) == 0.85
    assert after(known=0.9, found=0.95, full_discharge=True) == 0.95
    refused(lambda: after(known=0.9, found=-1.0, full_discharge=True), "health found")


# Load -----------------------------------------------------------------------------------------------


@few
@given(rest=st.floats(5, 30), r=st.floats(0.001, 0.2), one=st.floats(0, 5), more=st.floats(0.1, 20))
def test_two_loads_give_the_resistance_back(rest: float, r: float, one: float, more: float) -> None:
    other = one + more
    assume(other * r < rest)
    volts = [battery.load_voltage(rest=rest, current=i, resistance=r) for i in (one, other)]
    assert volts[1] <= volts[0] <= rest
    found = battery.internal_resistance(
        light_volts=volts[0], light_current=one, heavy_volts=volts[1], heavy_current=other
    )
    assert found == pytest.approx(r, rel=1e-6)


def test_load_volts_never_fall_below_zero() -> None:
    assert battery.load_voltage(rest=6.0, current=100.0, resistance=0.1) == 0.0
    assert battery.load_voltage(rest=6.0, current=10.0, resistance=0.1, growth=1.5) == pytest.approx(4.5)


def test_refusals_of_two_loads() -> None:
    def r(v1: float = 12.6, i1: float = 1.0, v2: float = 12.4, i2: float = 5.0) -> float:
        return battery.internal_resistance(light_volts=v1, light_current=i1, heavy_volts=v2, heavy_current=i2)

    refused(lambda: r(i2=1.0), "second current")
    refused(lambda: r(v2=12.7), "fall as the current rises")
    refused(lambda: r(i1=-1.0), "light current")
    refused(
        lambda: battery.internal_resistance_u95(
            light_current=1.0, heavy_current=1.0, light_u95=0.01, heavy_u95=0.01
        ),
        "second current",
    )


def test_cut_off_by_rate() -> None:
    def cut(current: float, n: int = 2) -> float:
        return battery.cut_off_voltage(chemistry=LIPO, cells=n, capacity=5 * AH, current=current)

    assert [cut(i) for i in (0.0, 1.0, 1.01, 5.0, 5.01, 15.0, 40.0)] == [7.0, 7.0, 6.8, 6.8, 6.6, 6.6, 6.6]
    refused(lambda: cut(1.0, 0), "one cell")
    refused(lambda: cut(-1.0), "current")


def test_the_receiver_may_lift_the_floor() -> None:
    assert battery.floor_voltage(cut_off=5.1) == 5.1
    assert battery.floor_voltage(cut_off=5.1, receiver_least=3.7) == 5.1
    assert battery.floor_voltage(cut_off=5.1, receiver_least=4.8) == pytest.approx(5.8)
    assert battery.floor_voltage(cut_off=5.1, receiver_least=4.8, drop=1.5) == pytest.approx(6.8)


@few
@given(r=st.floats(0.001, 0.5), head=st.floats(0.01, 5.0), peak=st.floats(0.5, 50.0))
def test_the_resistance_limit_is_the_less_of_its_terms(r: float, head: float, peak: float) -> None:
    found = battery.resistance_limit(usual=r, rest_at_end=10.0, floor=10.0 - head, peak_current=peak)
    alone = battery.resistance_limit(usual=None, rest_at_end=10.0, floor=10.0 - head, peak_current=peak)
    assert found.limit == min(1.5 * r, alone.limit)
    assert alone.own is None
    # At the limit, cold, the peak current just holds the floor.
    assert 10.0 - alone.limit * 1.5 * peak == pytest.approx(10.0 - head)


def test_a_pack_that_cannot_hold_the_floor_is_refused() -> None:
    refused(
        lambda: battery.resistance_limit(usual=0.01, rest_at_end=6.0, floor=6.0, peak_current=5.0), "cannot"
    )


# Current --------------------------------------------------------------------------------------------

exponents = st.floats(1.5, 3.5)


@few
@given(
    p=exponents, hotel=st.floats(0, 1), no_load=st.floats(0, 2), water=st.floats(0.1, 30), x=states, y=states
)
def test_current_rises_with_throttle(
    p: float, hotel: float, no_load: float, water: float, x: float, y: float
) -> None:
    full = hotel + no_load + water

    def at(throttle: float, exponent: float = p) -> float:
        return battery_current.band_current(
            throttle=throttle, hotel=hotel, no_load=no_load, full=full, exponent=exponent
        )

    low, high = sorted((x, y))
    assert at(low) <= at(high) + 1e-12
    assert at(0.0) == hotel
    assert at(1.0) == pytest.approx(full)
    assert at(x, 3.5) <= at(x, 1.5) + 1e-12


@few
@given(p=st.floats(1.51, 3.49), hotel=st.floats(0, 1), no_load=st.floats(0, 2), water=st.floats(0.1, 30))
def test_the_exponent_comes_back_from_half_throttle(
    p: float, hotel: float, no_load: float, water: float
) -> None:
    full = hotel + no_load + water
    half = battery_current.band_current(throttle=0.5, hotel=hotel, no_load=no_load, full=full, exponent=p)
    found = battery_current.throttle_exponent(hotel=hotel, no_load=no_load, half=half, full=full)
    assert found == pytest.approx(p, abs=1e-6)


def test_refusals_of_currents() -> None:
    def p(half: float, full: float = 8.0) -> float:
        return battery_current.throttle_exponent(hotel=0.2, no_load=0.5, half=half, full=full)

    refused(lambda: p(0.45), "no more than idle")
    refused(lambda: p(7.0), "measure both again")
    refused(lambda: p(0.6), "measure both again")
    refused(lambda: p(2.0, 0.7), "must be more than")
    refused(lambda: battery_current.band_current(throttle=1.1, hotel=0.2, no_load=0.5, full=8.0), "throttle")


def test_a_supply_takes_what_it_gives() -> None:
    found = battery_current.supply_input_current(
        output_volts=5.0, output_current=2.0, pack_volts=8.0, efficiency=1.0
    )
    assert found == pytest.approx(1.25)


# Endurance ------------------------------------------------------------------------------------------


def budget_of(
    capacity: float = 5 * AH,
    health: float = 1.0,
    rate: float = 0.7,
    recovery: float = 500.0,
    share: float = 0.3,
) -> battery_endurance.ChargeBudget:
    return battery_endurance.charge_budget(
        capacity=capacity, health=health, rate=rate, temperature=0.9, recovery=recovery, kept_share=share
    )


@few
@given(state=states, draw=st.floats(0.5, 10), more=st.floats(1, 2), u=st.floats(0, 5000))
def test_least_charge_is_the_inverse_of_endurance(state: float, draw: float, more: float, u: float) -> None:
    budget = budget_of()
    found = battery_endurance.endurance(
        budget=budget, state=state, charge_u95=u, typical=draw, high=draw * more
    )
    assert 0.0 <= found.least <= found.keeping <= found.typical
    for time, name in ((found.keeping, "keeping"), (found.home, "home")):
        if time > 0.0:
            least = battery_endurance.least_charge(
                budget=budget, charge_u95=u, high=draw * more, planned=time
            )
            assert getattr(least, name) == pytest.approx(state, abs=1e-9)
            assert least.least >= getattr(least, name)


@few
@given(state=states, step=st.floats(0, 0.5))
def test_more_in_the_pack_never_shortens_a_run(state: float, step: float) -> None:
    def least(s: float, **more: float) -> float:
        return battery_endurance.endurance(
            budget=budget_of(**more), state=s, charge_u95=600.0, typical=2.0, high=3.0
        ).least

    assert least(min(1.0, state + step)) >= least(state)
    assert least(state, health=1.0) >= least(state, health=0.8)
    assert least(state, share=0.3) >= least(state, share=0.5)
    assert least(state, recovery=500.0) >= least(state, recovery=3000.0)


def test_the_kept_share_has_a_floor() -> None:
    assert budget_of(share=0.0).kept == pytest.approx(0.20 * budget_of().effective)
    assert budget_of(share=0.5).kept == pytest.approx(0.50 * budget_of().effective)
    assert budget_of(recovery=5000.0).kept == pytest.approx(7500.0)


def test_nothing_left_is_no_run_and_never_negative() -> None:
    budget = budget_of()
    assert budget.now(0.0) == 0.0
    assert budget.now(1.0) == budget.effective
    found = battery_endurance.endurance(budget=budget, state=0.0, charge_u95=0.0, typical=2.0, high=2.0)
    assert (found.typical, found.keeping, found.home, found.least) == (0.0, 0.0, 0.0, 0.0)
    least = battery_endurance.least_charge(budget=budget, charge_u95=0.0, high=2.0, planned=1e6)
    assert least.least > 1.0


def test_spread_of_the_charge() -> None:
    budget = budget_of()
    u95 = battery_endurance.charge_u95(budget=budget, health_u95=0.05, rate_u95=0.0, state_u95=0.03)
    by_hand = math.sqrt((budget.effective**2) * (0.05**2 + 0.10**2) + (0.03 * budget.healthy) ** 2)
    assert u95 == pytest.approx(by_hand)
    refused(
        lambda: battery_endurance.charge_u95(budget=budget, health_u95=-0.1, rate_u95=0.0, state_u95=0.0),
        "health",
    )


def test_refusals_of_endurance() -> None:
    budget = budget_of()

    def run(typical: float = 2.0, high: float = 2.0, state: float = 1.0) -> battery_endurance.Endurance:
        return battery_endurance.endurance(
            budget=budget, state=state, charge_u95=0.0, typical=typical, high=high
        )

    refused(lambda: run(high=1.0), "cannot be less")
    refused(lambda: run(typical=0.0), "typical current")
    refused(lambda: run(state=1.5), "state of charge")
    refused(lambda: budget_of(health=2.0), "health")
    refused(
        lambda: battery_endurance.least_charge(budget=budget, charge_u95=0.0, high=2.0, planned=-1.0),
        "planned time",
    )
    refused(
        lambda: battery_endurance.recovery_charge(
            blows=-1, blow_current=1, blow_time=1, climb_current=1, hotel=1
        ),
        "blows",
    )


@given(blows=st.integers(0, 5), time=st.floats(0, 100))
def test_coming_home_costs_more_with_every_blow(blows: int, time: float) -> None:
    def cost(n: int) -> float:
        return battery_endurance.recovery_charge(
            blows=n, blow_current=3.0, blow_time=time, climb_current=3.0, hotel=0.3
        )

    assert cost(blows + 1) - cost(blows) == pytest.approx(3.0 * time, abs=1e-6)


# The log --------------------------------------------------------------------------------------------


def test_charge_used_by_each_method() -> None:
    lead = log.charge_from_put_back(chemistry=LEAD, put_back=1000.0)
    assert lead.u95 == pytest.approx(850.0 * math.hypot(0.10, 0.14 / 0.85))
    own = log.charge_from_put_back(
        chemistry=LEAD, put_back=1000.0, put_back_u95=0.02, efficiency=0.9, efficiency_u95=0.03
    )
    assert (own.charge, own.u95) == pytest.approx((900.0, 900.0 * math.hypot(0.02, 0.03 / 0.9)))
    counted = log.charge_from_counter(counted=1000.0, elapsed=100.0, offset=0.5)
    assert (counted.charge, counted.u95) == pytest.approx((950.0, 57.0 + 4.0))
    assert log.charge_from_counter(counted=1.0, elapsed=100.0, offset=0.5).charge == 0.0
    timed = log.charge_from_times([(60.0, 2.0), (30.0, 4.0)])
    assert (timed.charge, timed.u95) == (240.0, 120.0)
    assert log.charge_from_times([(60.0, 2.0)], calibrated=True).u95 == pytest.approx(24.0)
    assert log.charge_from_times([]).charge == 0.0
    volts = log.charge_from_rest_volts(chemistry=LION, before=0.9, after=0.9, capacity=AH, health=0.8)
    assert (volts.charge, volts.u95) == (0.0, pytest.approx(0.30 * AH))


def test_refusals_of_charge_used() -> None:
    def by_volts(chemistry: Chemistry, before: float = 0.9, after: float = 0.5) -> log.ChargeUsed:
        return log.charge_from_rest_volts(
            chemistry=chemistry, before=before, after=after, capacity=AH, health=1.0
        )

    for chemistry in (LFP, NIMH, NICD):
        refused(lambda chemistry=chemistry: by_volts(chemistry), "cannot tell")
    refused(lambda: by_volts(LEAD, after=0.95), "fuller after")
    refused(lambda: log.charge_from_times([(-1.0, 1.0)]), "time")
    refused(lambda: log.charge_from_put_back(chemistry=LEAD, put_back=1.0, efficiency=1.2), "efficiency")


def test_two_methods_disagree() -> None:
    assert not log.disagree(log.ChargeUsed(100.0, 3.0), log.ChargeUsed(105.0, 4.0))
    assert log.disagree(log.ChargeUsed(100.0, 3.0), log.ChargeUsed(105.1, 4.0))


logged = st.builds(log.LoggedDraw, current=st.floats(1.0, 6.0), u95=st.floats(0.0, 1.0))


@few
@given(runs=st.lists(logged, max_size=14), seed=st.randoms(use_true_random=False), scale=st.floats(0.1, 10))
def test_draw_does_not_mind_order_and_scales(runs: list[log.LoggedDraw], seed: object, scale: float) -> None:
    found = log.expected_draw(predicted=3.0, runs=runs)
    shuffled = list(runs)
    seed.shuffle(shuffled)  # type: ignore[attr-defined]
    again = log.expected_draw(predicted=3.0, runs=shuffled)
    assert again.typical == pytest.approx(found.typical, rel=1e-12)
    assert again.nine_in_ten == pytest.approx(found.nine_in_ten, rel=1e-12)
    scaled = log.expected_draw(
        predicted=3.0 * scale, runs=[log.LoggedDraw(run.current * scale, run.u95) for run in runs]
    )
    assert scaled.typical == pytest.approx(found.typical * scale, rel=1e-9)
    assert scaled.nine_in_ten == pytest.approx(found.nine_in_ten * scale, rel=1e-9)
    assert found.nine_in_ten > found.typical
    least = min([3.0, *(run.current for run in runs)])
    most = max([3.0, *(run.current for run in runs)])
    assert least * (1 - 1e-9) <= found.typical <= most * (1 + 1e-9)


@few
@given(runs=st.lists(logged, max_size=4), one=logged)
def test_every_run_narrows_the_draw(runs: list[log.LoggedDraw], one: log.LoggedDraw) -> None:
    before = log.expected_draw(predicted=3.0, runs=runs)
    after = log.expected_draw(predicted=3.0, runs=[*runs, one])
    assert after.log_variance < before.log_variance


def test_limits_of_the_draw() -> None:
    prior = log.expected_draw(predicted=3.0, runs=[])
    assert prior.typical == pytest.approx(3.0)
    unknown = log.expected_draw(predicted=3.0, runs=[log.LoggedDraw(5.0, 1e6)])
    assert unknown.typical == pytest.approx(3.0)
    many = log.expected_draw(predicted=3.0, runs=[log.LoggedDraw(4.0, 0.0), log.LoggedDraw(5.0, 0.0)] * 5000)
    assert many.typical == pytest.approx(math.sqrt(20.0), rel=1e-3)


def test_spread_is_learnt_from_six_runs() -> None:
    def spread(currents: list[float]) -> float:
        return log.expected_draw(predicted=3.0, runs=[log.LoggedDraw(i, 0.1) for i in currents]).run_spread

    assert spread([3.0] * 5) == 0.20
    assert spread([3.0] * 6) == 0.10
    deviation = math.log(1.5)
    assert spread([2.0, 2.0, 2.0, 3.0, 3.0, 4.5, 4.5]) == pytest.approx(1.4826 * deviation)


def test_a_far_off_run_is_pulled_in_and_said() -> None:
    runs = [log.LoggedDraw(3.0, 0.1)] * 5 + [log.LoggedDraw(12.0, 0.1)]
    found = log.expected_draw(predicted=3.0, runs=runs, run_spread=0.2)
    assert found.pulled_in == (5,)
    assert found.typical < 3.6
    low = log.expected_draw(predicted=3.0, runs=[*runs[:5], log.LoggedDraw(0.5, 0.1)], run_spread=0.2)
    assert low.pulled_in == (5,)
    assert low.typical > 2.5


def test_from_ten_runs_their_own_quantile_may_rule() -> None:
    currents = [3.0, 3.0, 3.0, 3.0, 3.0, 3.0, 3.0, 3.0, 6.0, 8.0]
    runs = [log.LoggedDraw(i, 0.1) for i in currents]
    assert log.expected_draw(predicted=3.0, runs=runs).nine_in_ten == pytest.approx(6.2)
    assert log.expected_draw(predicted=3.0, runs=runs[:9]).nine_in_ten < 6.0


def test_refusals_of_the_draw() -> None:
    refused(lambda: log.expected_draw(predicted=0.0, runs=[]), "predicted current")
    refused(lambda: log.expected_draw(predicted=1.0, runs=[log.LoggedDraw(0.0, 0.1)]), "logged current")
    refused(lambda: log.expected_draw(predicted=1.0, runs=[log.LoggedDraw(1.0, -0.1)]), "logged current")
    refused(lambda: log.expected_draw(predicted=1.0, runs=[], run_spread=0.0), "run to run")


# Two whole cases ------------------------------------------------------------------------------------


def test_a_small_lithium_boat_from_end_to_end() -> None:
    # Two cells, 5 A h, tested 4.7, 11 degC; idle 0.3, half 3.2, full 8.5, blow 3 A. Figures of an independent second
    # implementation of the same formulas.
    p = battery_current.throttle_exponent(hotel=0.3, no_load=0.5, half=3.2, full=8.5)
    assert p == pytest.approx(1.5389, abs=1e-4)
    slow = battery_current.band_current(throttle=0.3, hotel=0.3, no_load=0.5, full=8.5, exponent=p)
    mean = 0.6 * slow + 0.3 * 3.2 + 0.1 * 8.5
    assert (slow, mean) == pytest.approx((1.6574, 2.8044), abs=1e-4)
    runs = [log.LoggedDraw(60 * q, 0.08) for q in (0.049, 0.052, 0.050, 0.053, 0.049)]
    draw = log.expected_draw(predicted=mean, runs=runs)
    assert draw.log_mean - math.log(60.0) == pytest.approx(-2.98933, abs=1e-4)
    assert draw.log_variance == pytest.approx(0.007791, abs=1e-6)
    assert (draw.typical / 60, draw.nine_in_ten / 60) == pytest.approx((0.05032, 0.06659), abs=1e-5)
    rate = battery_capacity.rate_factor(chemistry=LIPO, capacity=5 * AH, current=draw.typical)
    warm = battery_capacity.temperature_factor(
        chemistry=LIPO, temperature=284.15, discharge_time=4.7 * AH * rate / draw.typical
    )
    recovery = battery_endurance.recovery_charge(
        blows=1, blow_current=3.0, blow_time=35.0, climb_current=3.2, hotel=0.3
    )
    budget = battery_endurance.charge_budget(
        capacity=5 * AH, health=4.7 / 5, rate=rate, temperature=warm, recovery=recovery
    )
    u95 = battery_endurance.charge_u95(budget=budget, health_u95=0.05, rate_u95=0.0, state_u95=0.03)
    assert (budget.effective / AH, budget.kept / AH, recovery / AH, u95 / AH) == pytest.approx(
        (4.4885, 1.3465, 0.2325, 0.5213), abs=1e-4
    )
    time = battery_endurance.endurance(
        budget=budget, state=1.0, charge_u95=u95, typical=draw.typical, high=draw.nine_in_ten
    )
    assert (time.typical / 60, time.keeping / 60, time.home / 60) == pytest.approx(
        (62.44, 47.18, 54.34), abs=0.01
    )
    least = battery_endurance.least_charge(
        budget=budget, charge_u95=u95, high=draw.nine_in_ten, planned=2400.0
    )
    assert (least.keeping, least.home) == pytest.approx((0.8982, 0.7969), abs=1e-4)
    volts = battery_charge.rest_voltage(chemistry=LIPO, state=least.least, cells=2)
    assert volts == pytest.approx(8.2435, abs=1e-4)


def test_a_lead_acid_boat_from_end_to_end() -> None:
    # Three cells, 10 A h, not tested (0.90), 11 degC; idle 0.35, half 2.4, full 6.5, blow 2 A; no runs. Figures as
    # above.
    p = battery_current.throttle_exponent(hotel=0.35, no_load=0.5, half=2.4, full=6.5)
    slow = battery_current.band_current(throttle=0.3, hotel=0.35, no_load=0.5, full=6.5, exponent=p)
    mean = 0.6 * slow + 0.3 * 2.4 + 0.1 * 6.5
    assert (p, slow, mean) == pytest.approx((1.6503, 1.2748, 2.1349), abs=1e-4)
    draw = log.expected_draw(predicted=mean, runs=[])
    assert (draw.typical / 60, draw.nine_in_ten / 60) == pytest.approx((0.03558, 0.05965), abs=1e-5)
    rate = battery_capacity.rate_factor(chemistry=LEAD, capacity=10 * AH, current=mean)
    warm = battery_capacity.temperature_factor(
        chemistry=LEAD, temperature=284.15, discharge_time=9 * AH * rate / mean
    )
    assert (rate, warm) == pytest.approx((0.7480, 0.9080), abs=1e-4)
    recovery = battery_endurance.recovery_charge(
        blows=1, blow_current=2.0, blow_time=54.0, climb_current=2.4, hotel=0.35
    )
    budget = battery_endurance.charge_budget(
        capacity=10 * AH, health=0.9, rate=rate, temperature=warm, recovery=recovery
    )
    assert recovery / AH == pytest.approx(0.2450, abs=1e-9)
    spread = battery_capacity.rate_factor_u95(chemistry=LEAD, capacity=10 * AH, current=mean)
    for state_u95, expected in ((0.03, 1.6519), (0.05, 1.6906)):
        u95 = battery_endurance.charge_u95(
            budget=budget, health_u95=0.20, rate_u95=spread, state_u95=state_u95
        )
        assert u95 / AH == pytest.approx(expected, abs=1e-4)
    assert (budget.effective / AH, budget.kept / AH) == pytest.approx((6.1129, 1.8339), abs=1e-4)
    time = battery_endurance.endurance(
        budget=budget, state=0.9307, charge_u95=u95, typical=draw.typical, high=draw.nine_in_ten
    )
    assert (time.keeping / 60, time.home / 60) == pytest.approx((61.3, 57.5), abs=0.05)
