"""Radio: how attenuation, path, budget, aerial and bands behave, and what is refused."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.physics import radio, radio_aerial, radio_bands, radio_path
from divelog.physics.errors import OutOfRangeError
from divelog.physics.water_conductivity import conductivity_at, sea_conductivity
from divelog.physics.water_permittivity import permittivity

quick = settings(max_examples=100, deadline=None)
bands = st.sampled_from(radio_bands.BANDS)
celsius = st.floats(0.0, 30.0)
sigmas = st.floats(0.001, 0.3)
distances = st.floats(5.0, 500.0)
heights = st.floats(0.5, 3.0)
tips = st.floats(0.0, 0.5)


def kelvin(t: float) -> float:
    return 273.15 + t


def fresh(frequency: float, t: float = 15.0, at_25: float = 0.035) -> complex:
    return permittivity(frequency, kelvin(t), conductivity_at(at_25, kelvin(t)))


def sea(frequency: float, t: float, salt: float) -> complex:
    return permittivity(frequency, kelvin(t), sea_conductivity(salt, kelvin(t)), salt)


@quick
@given(bands, celsius, sigmas, st.floats(1e-4, 0.5))
def test_ions_take_more_of_the_signal(band: radio_bands.Band, t: float, sigma: float, more: float) -> None:
    less = radio.attenuation(band.frequency, permittivity(band.frequency, kelvin(t), sigma))
    greater = radio.attenuation(band.frequency, permittivity(band.frequency, kelvin(t), sigma + more))
    assert 0.0 < less < greater


@quick
@given(st.floats(26e6, 2.4e9), st.floats(1.01, 2.0), celsius, sigmas)
def test_higher_bands_lose_more(f: float, factor: float, t: float, sigma: float) -> None:
    low = radio.attenuation(f, permittivity(f, kelvin(t), sigma))
    high = radio.attenuation(factor * f, permittivity(factor * f, kelvin(t), sigma))
    assert high > low


def test_no_loss_no_attenuation() -> None:
    assert radio.attenuation(2.44e9, 80.0) == 0.0


def test_cold_fresh_water_is_worse_and_warm_sea_water_is_worse() -> None:
    steps = range(0, 31, 5)
    soft = [radio.attenuation(2.44e9, fresh(2.44e9, t)) for t in steps]
    pool = [radio.attenuation(2.44e9, sea(2.44e9, t, 0.0035)) for t in steps]
    salt = [radio.attenuation(2.44e9, sea(2.44e9, t, 0.035)) for t in steps]
    assert soft == sorted(soft, reverse=True)
    assert pool == sorted(pool, reverse=True)
    assert salt == sorted(salt)


def test_surface_loss_of_a_large_real_permittivity() -> None:
    for eps in (1e3, 1e5):
        assert radio.surface_loss(eps) == pytest.approx(15.0 * math.log10(eps), abs=0.01)


@quick
@given(bands, distances, st.floats(0.01, 50.0), heights, tips, st.booleans())
def test_loss_rises_with_distance_and_never_under_free_space(
    band: radio_bands.Band, d: float, more: float, h1: float, h2: float, flat: bool
) -> None:
    eps = fresh(band.frequency)
    near = radio_path.path_loss(d, h1, h2, band.frequency, eps, horizontal=flat)
    far = radio_path.path_loss(d + more, h1, h2, band.frequency, eps, horizontal=flat)
    assert far > near
    assert near >= radio_path.free_space_loss(d, band.frequency) - 1e-9


@quick
@given(bands, distances, heights, tips, st.booleans())
def test_path_is_the_same_both_ways(
    band: radio_bands.Band, d: float, h1: float, h2: float, flat: bool
) -> None:
    eps = fresh(band.frequency)
    out = radio_path.path_loss(d, h1, h2, band.frequency, eps, horizontal=flat)
    back = radio_path.path_loss(d, h2, h1, band.frequency, eps, horizontal=flat)
    assert out == pytest.approx(back, rel=1e-12)


@quick
@given(bands, st.floats(40.0, 130.0), heights, tips, st.booleans())
def test_distance_and_loss_are_inverse(
    band: radio_bands.Band, loss: float, h1: float, h2: float, flat: bool
) -> None:
    eps = fresh(band.frequency)
    d = radio_path.distance_for_loss(loss, h1, h2, band.frequency, eps, horizontal=flat)
    assert radio_path.path_loss(d, h1, h2, band.frequency, eps, horizontal=flat) == pytest.approx(
        loss, abs=1e-6
    )


def test_slope_is_20_decibels_a_decade_and_then_40() -> None:
    eps = fresh(2.44e9)
    near = [radio_path.path_loss(d, 3.0, 0.5, 2.44e9, eps) for d in (1.0, 10.0)]
    far = [radio_path.path_loss(d, 1.2, 0.0, 2.44e9, eps) for d in (10e3, 100e3)]
    assert near[1] - near[0] == pytest.approx(20.0, abs=0.1)
    assert far[1] - far[0] == pytest.approx(40.0, abs=0.1)


@quick
@given(bands, st.floats(0.02, 0.4), st.floats(0.01, 0.1))
def test_a_higher_tip_never_loses_more_in_fresh_water(band: radio_bands.Band, h2: float, more: float) -> None:
    eps = fresh(band.frequency)
    low = radio_path.path_loss(100.0, 1.2, h2, band.frequency, eps)
    assert radio_path.path_loss(100.0, 1.2, h2 + more, band.frequency, eps) <= low + 0.05


@quick
@given(st.floats(-20.0, 60.0), st.floats(1.0, 1000.0), st.floats(0.0, 20.0))
def test_depth_of_the_tip(in_hand: float, per_metre: float, held: float) -> None:
    lost = radio.tip_depth(in_hand, per_metre)
    assert 0.0 <= radio.tip_depth(in_hand, per_metre, held) <= lost
    if in_hand > 0.0:
        assert lost * per_metre == pytest.approx(in_hand)
    else:
        assert lost == 0.0


@quick
@given(st.floats(0.05, 6.0), st.floats(1.0, 50.0), st.floats(20.0, 100.0), st.floats(25.0, 50.0))
def test_the_same_water_and_distance_give_the_trial_back(
    depth: float, per_metre: float, path: float, surface: float
) -> None:
    in_hand = radio.in_hand_from_trial(depth, per_metre, path, surface, path, surface)
    assert radio.tip_depth(in_hand, per_metre) == pytest.approx(depth)


def test_budget_adds_up() -> None:
    base = radio.in_hand_awash(20.0, 0.0, -95.0, 70.0, 28.7)
    assert base == pytest.approx(20.0 + 95.0 - 70.0 - 28.7 - radio.MISMATCH)
    assert radio.in_hand_awash(23.0, 0.0, -95.0, 70.0, 28.7) == pytest.approx(base + 3.0)
    assert radio.in_hand_awash(20.0, 0.0, -95.0, 76.0, 28.7) == pytest.approx(base - 6.0)
    assert pytest.approx(math.hypot(10.0, 10.0), abs=0.2) == radio.BUDGET_U95


@quick
@given(st.floats(0.0, 30.0), st.floats(0.1, 5.0))
def test_deeper_fades_are_rarer(margin: float, more: float) -> None:
    assert 0.0 < radio.fade_share(margin + more) < radio.fade_share(margin) < 0.6322


@quick
@given(st.floats(1.0, 1000.0), st.floats(0.1, 100.0))
def test_denser_water_shortens_the_rise_to_return(per_metre: float, more: float) -> None:
    assert radio.rise_to_return(per_metre + more) < radio.rise_to_return(per_metre)


@quick
@given(st.floats(0.0, 0.2), st.floats(0.05, 0.3), st.floats(0.3, 2.0), st.floats(0.001, 0.05))
def test_a_higher_tip_is_wetted_less(h: float, waves: float, period: float, more: float) -> None:
    low, high = radio_path.wetted_share(h, waves), radio_path.wetted_share(h + more, waves)
    assert 0.0 < high < low <= 0.5
    assert radio_path.mean_wetting(h + more, waves, period) < radio_path.mean_wetting(h, waves, period)
    assert radio_path.mean_wetting(0.0, waves, period) == pytest.approx(0.5 * period)


def test_quarter_wave_falls_with_frequency() -> None:
    lengths = [radio_aerial.quarter_wave(b.lowest) for b in radio_bands.BANDS]
    assert lengths == sorted(lengths, reverse=True)


def test_a_tube_lets_the_wave_through_above_its_cutoff() -> None:
    cutoff = radio_aerial.TE11 * radio.LIGHT_SPEED / (math.pi * 0.100)
    assert radio_aerial.tube_attenuation(0.100, 1.001 * cutoff) == pytest.approx(0.0, abs=1e-9)
    assert radio_aerial.tube_attenuation(0.100, 0.999 * cutoff) > 1.0


@quick
@given(st.floats(0.003, 0.020), st.floats(0.0001, 0.005))
def test_a_narrower_tube_takes_more(bore: float, more: float) -> None:
    assert radio_aerial.tube_attenuation(bore, 2.44e9) > radio_aerial.tube_attenuation(bore + more, 2.44e9)


@quick
@given(st.floats(0.01, 0.99), st.floats(0.001, 0.01))
def test_a_shorter_bare_end_takes_more(clear: float, more: float) -> None:
    assert radio_aerial.exposed_loss(clear) > radio_aerial.exposed_loss(clear + more)
    assert radio_aerial.exposed_loss(1.0) == pytest.approx(0.0, abs=1e-9)


def test_bands_are_found_by_their_names() -> None:
    for each in radio_bands.BANDS:
        assert radio_bands.band(each.name) is each
        assert each.lowest <= each.frequency
        assert each.low == (each.frequency < 100e6)
        assert each.source
    assert radio_bands.band("40") is None


def test_refusals() -> None:
    eps = fresh(2.44e9)
    refused: list[Callable[[], object]] = [
        lambda: radio.attenuation(1e5, eps),
        lambda: radio.attenuation(math.nan, eps),
        lambda: radio.surface_loss(5.0),
        lambda: radio.in_hand_from_trial(0.0, 5.0, 34.0, 29.0, 35.0, 29.0),
        lambda: radio.in_hand_from_trial(6.1, 5.0, 34.0, 29.0, 35.0, 29.0),
        lambda: radio.tip_depth(10.0, 0.0),
        lambda: radio_path.free_space_loss(0.0, 2.44e9),
        lambda: radio_path.path_loss(0.0, 1.2, 0.1, 2.44e9, eps),
        lambda: radio_path.path_loss(30.0, -0.1, 0.1, 2.44e9, eps),
        lambda: radio_path.path_loss(30.0, 1.2, 31.0, 2.44e9, eps),
        lambda: radio_path.distance_for_loss(-1.0, 1.2, 0.1, 2.44e9, eps),
        lambda: radio_path.distance_for_loss(math.inf, 1.2, 0.1, 2.44e9, eps),
        lambda: radio_path.wetted_share(0.1, 0.0),
        lambda: radio_path.wetted_share(-0.1, 0.1),
        lambda: radio_path.mean_wetting(1.0, 0.1, 0.8),
        lambda: radio_aerial.tube_attenuation(0.0, 2.44e9),
        lambda: radio_aerial.exposed_loss(0.0),
    ]
    for attempt in refused:
        with pytest.raises(OutOfRangeError):
            attempt()
