"""Waves, drift and sight against published formulas and tables, and numerical second derivations."""

import math

import pytest
from scipy.integrate import quad
from scipy.optimize import brentq
from scipy.special import erfc

from divelog.physics import waves, waves_drift, waves_sight, waves_wind


@pytest.mark.parametrize(
    ("wind", "fetch", "depth", "manual", "lake"),
    # Made with scientimate 2.0, an open library of its own (parametricwaveshallow, 'spmshallow' and 'young').
    [
        (3.0, 50.0, 1.0, (0.00988, 0.31691), (0.01064, 0.41299)),
        (5.0, 100.0, 1.5, (0.02615, 0.49187), (0.02509, 0.62982)),
        (5.0, 300.0, 2.0, (0.04512, 0.70111), (0.04316, 0.84709)),
        (8.0, 100.0, 1.0, (0.04626, 0.59418), (0.04020, 0.78134)),
        (8.0, 300.0, 2.0, (0.08007, 0.85196), (0.06924, 1.05108)),
        (12.0, 1000.0, 0.5, (0.16571, 1.33974), (0.15673, 1.57529)),
    ],
)
def test_growth_against_an_open_library(
    wind: float, fetch: float, depth: float, manual: tuple[float, float], lake: tuple[float, float]
) -> None:
    assert waves.wave_height_manual(wind, fetch, depth) == pytest.approx(manual, rel=5e-4)
    assert waves.wave_height_lake(wind, fetch, depth) == pytest.approx(lake, rel=5e-4)


def test_growth_example_of_the_manual() -> None:
    # Shore Protection Manual 1984, chapter 3, worked example: adjusted wind 22 m/s, 24.4 km, 11 m; from memory.
    height, period = waves.wave_height_manual(22.0, 24_400.0, 11.0, adjusted=True)
    assert height == pytest.approx(1.5, abs=0.02)
    assert period == pytest.approx(4.4, abs=0.05)


def test_growth_in_deep_water() -> None:
    # Shore Protection Manual 1984, eq. 3-33a and 3-34a for deep water: 1.6e-3 X^(1/2), 2.857e-1 X^(1/3); young waves
    # only (X under 90), since the shallow-water form bends towards full growth earlier.
    for wind, fetch in ((3.0, 20.0), (5.0, 50.0), (10.0, 200.0), (12.0, 1000.0)):
        adjusted = 0.71 * wind**1.23
        x = 9.81 * fetch / adjusted**2
        height, period = waves.wave_height_manual(wind, fetch, 5000.0)
        assert height == pytest.approx(1.6e-3 * math.sqrt(x) * adjusted**2 / 9.81, rel=0.01)
        assert period == pytest.approx(0.2857 * x ** (1 / 3) * adjusted / 9.81, rel=0.01)


def test_height_against_a_third_formula() -> None:
    # Coastal Engineering Manual II-2 (Resio et al. 2003): g H/u*^2 = 0.0413 (g F/u*^2)^(1/2), deep water.
    for wind in (3.0, 5.0, 8.0):
        friction = math.sqrt(0.001 * (1.1 + 0.035 * wind)) * wind
        for fetch in (50.0, 100.0, 300.0):
            third = 0.0413 * math.sqrt(9.81 * fetch / friction**2) * friction**2 / 9.81
            assert waves.sea_state(wind, fetch, 3.0).height == pytest.approx(third, rel=0.27)


def test_time_until_the_fetch_limits() -> None:
    # Coastal Engineering Manual eq. II-2-35, 77.23 X^0.67/(u^0.34 g^0.33), as an open script quotes it; by hand.
    assert waves.time_to_grow(5.0, 100.0) / 60.0 == pytest.approx(7.7, abs=0.05)


def test_wave_length_over_the_whole_range() -> None:
    # Root of omega^2 = g k tanh(k d), library scipy (brentq).
    for period in (0.06, 0.1, 0.3, 0.5, 1.0, 1.5, 2.0, 5.0, 20.0, 30.0):
        for depth in (0.05, 0.3, 0.5, 1.0, 2.0, 5.0, 100.0, 1000.0):
            w2 = (2.0 * math.pi / period) ** 2
            low, high = w2 / 9.80665, w2 / 9.80665 * (1.0 + 10.0 / math.sqrt(w2 * depth / 9.80665))
            k = brentq(lambda k, w2=w2, d=depth: 9.80665 * k * math.tanh(k * d) - w2, low, high, xtol=1e-14)
            assert waves.wave_length(period, depth) == pytest.approx(2.0 * math.pi / k, rel=1e-9)


@pytest.mark.parametrize(
    ("relative", "expected"),
    # Shore Protection Manual 1984, table C-1 (d/L0, d/L), from memory.
    [(0.02, 0.05763), (0.1, 0.1410), (0.3, 0.3121)],
)
def test_wave_length_table(relative: float, expected: float) -> None:
    depth = relative * 9.80665 * 2.0**2 / (2.0 * math.pi)  # T = 2 s
    assert depth / waves.wave_length(2.0, depth) == pytest.approx(expected, abs=1e-4)


def test_quiet_depth_against_the_hyperbolic_form() -> None:
    # Linear wave theory, Coastal Engineering Manual II-1: (H/2) sinh(k(d - z))/sinh(k d), found by scipy's brentq; the
    # deep-water form used is a little deeper (the safe side) where the bottom is felt.
    for wind, fetch, depth in ((8.0, 300.0, 2.0), (5.0, 300.0, 2.0), (10.0, 200.0, 3.0)):
        state = waves.sea_state(wind, fetch, depth)
        k = 2.0 * math.pi / state.length

        def left(z: float, k: float = k, h: float = state.height_tenth, d: float = depth) -> float:
            return 0.5 * h * math.sinh(k * (d - z)) / math.sinh(k * d) - 0.005

        exact = brentq(left, 0.0, depth)
        assert exact <= waves.quiet_depth(state, 0.005) <= 1.01 * exact


def test_heave_averaged_over_the_length() -> None:
    # Second derivation: quadrature of a sine over the hull, library scipy.
    for length, wave in ((0.9, 0.33), (0.5, 1.3), (1.2, 2.0)):
        mean = (
            quad(lambda x, wave=wave: math.cos(2.0 * math.pi * x / wave), -length / 2, length / 2)[0] / length
        )
        assert waves.length_factor(length, wave) == pytest.approx(abs(mean), abs=1e-9)


def test_mean_of_the_highest_tenth() -> None:
    # Rayleigh heights (Longuet-Higgins 1952), in units of 4 sqrt(m0): closed form with scipy's erfc.
    edge = math.sqrt(0.5 * math.log(10.0))
    mean = edge + 10.0 * math.sqrt(math.pi / 8.0) * float(erfc(edge * math.sqrt(2.0)))
    assert mean == pytest.approx(waves.TENTH, abs=0.005)


@pytest.mark.parametrize("number", [100, 500, 1000, 5000])
def test_highest_of_a_number_of_waves(number: int) -> None:
    # Mode of the highest of N Rayleigh heights, found by maximising its density with scipy.
    def slope(x: float) -> float:
        # derivative of log density of N F^(N-1) f, F = 1 - exp(-2 x^2)
        tail = math.exp(-2.0 * x * x)
        return (number - 1) * 4.0 * x * tail / (1.0 - tail) + 1.0 / x - 4.0 * x

    mode = brentq(slope, 0.5, 4.0)
    assert waves.highest_wave(1.0, number) == pytest.approx(mode, rel=0.04)


@pytest.mark.parametrize(
    ("wind", "expected"),
    # WMO Beaufort scale.
    [(0.2, 0), (0.3, 1), (1.6, 2), (3.3, 2), (3.4, 3), (5.4, 3), (5.5, 4), (7.9, 4), (8.0, 5), (10.8, 6)],
)
def test_beaufort_classes(wind: float, expected: int) -> None:
    assert waves_wind.beaufort_class(wind) == expected


@pytest.mark.parametrize("number", range(1, 9))
def test_smooth_form_of_the_scale_lies_in_its_class(number: int) -> None:
    # v = 0.836 B^1.5 m/s, WMO 1946, from memory.
    assert waves_wind.beaufort_class(0.836 * number**1.5) == number


def test_height_correction_lies_between_two_logarithmic_profiles() -> None:
    # Logarithmic wind profile over open water (roughness 0.2 mm) and short grass (30 mm), textbook.
    factor = waves_wind.wind_at_10m(1.0, 2.0)
    for z in (1.0, 2.0, 3.0, 5.0):
        factor = waves_wind.wind_at_10m(1.0, z)
        over_water = math.log(10.0 / 0.0002) / math.log(z / 0.0002)
        over_grass = math.log(10.0 / 0.03) / math.log(z / 0.03)
        assert over_water < factor < over_grass


def test_drift_holds_leeway_and_surface_current() -> None:
    # Second derivation: leeway sqrt(rho_a A_a/(rho_w A_w)) of a surfaced boat with a tenth to a quarter of her side in
    # the air (the scale of Wagner et al. 2022, J. Phys. Oceanogr. 52), on surface water that moves at 1 to 3 % of the
    # wind (American Meteorological Society glossary, "wind drift": about 3 %).
    low, high = (math.sqrt(1.23 / 999.1 * ratio) for ratio in (0.10, 0.25))
    assert low + 0.01 >= waves_drift.SLOW
    assert low + 0.015 <= waves_drift.LIKELY <= high + 0.03
    assert high + 0.03 <= waves_drift.FAST
    # Search-and-rescue leeway table (Allen & Plourde 1999, Breivik et al. 2011), downwind share of the 10 m wind: oil
    # drum 0.75 %, moored-type mine shape 1.07, container 70 to 80 % submerged 1.25 to 1.78, person afloat 0.96.
    for share in (0.0075, 0.0107, 0.0125, 0.0178, 0.0096):
        assert share + 0.01 >= waves_drift.SLOW
        assert share + 0.03 <= waves_drift.FAST


@pytest.mark.parametrize(
    ("wind", "distance", "minutes"),
    # Own arithmetic: 3 % of 4 m/s over 60 m, of 2.5 m/s over 30 m.
    [(4.0, 60.0, 8.333), (2.5, 30.0, 6.667)],
)
def test_time_to_the_lee_bank(wind: float, distance: float, minutes: float) -> None:
    expected = waves_drift.drift(distance, wind, wind, wind).expected
    assert expected is not None
    assert expected / 60.0 == pytest.approx(minutes, abs=1e-3)


@pytest.mark.parametrize("degrees", [0.0, 1.0, 20.0, 45.0, 53.1, 60.0, 75.0, 80.0, 85.0])
def test_reflectance_against_the_index_form(degrees: float) -> None:
    # Fresnel's equations in n and cosines (textbook), a second form of the same law.
    i = math.radians(degrees)
    ci, n = math.cos(i), 1.333
    ct = math.sqrt(1.0 - (math.sin(i) / n) ** 2)
    s = ((ci - n * ct) / (ci + n * ct)) ** 2
    p = ((n * ci - ct) / (n * ci + ct)) ** 2
    assert waves_sight.surface_reflectance(i) == pytest.approx(0.5 * (s + p), rel=1e-9)
    assert waves_sight.cosine_in_water(i) == pytest.approx(ct, rel=1e-12)


def test_far_off_the_sight_line_is_half_as_long_again() -> None:
    # Snell's law at grazing incidence: 48.6 degrees, path 1.51 times the depth.
    assert math.degrees(math.acos(waves_sight.cosine_in_water(math.pi / 2))) == pytest.approx(48.6, abs=0.05)
    assert waves_sight.cosine_in_water(math.pi / 2) >= waves_sight.FAR_SHARE
    assert pytest.approx(1.51, abs=0.01) == 1.0 / waves_sight.FAR_SHARE


@pytest.mark.parametrize(
    ("plate", "shade", "degrees", "ripples"),
    [
        (2.0, 0.00, 0.0, 1.0),
        (2.0, 0.10, 0.0, 1.0),
        (2.0, 0.20, 0.0, 1.0),
        (2.0, 0.10, 60.0, 1.0),
        (1.0, 0.04, 75.0, 1.0),
        (1.5, 0.20, 45.0, 1.0),
        (1.5, 0.20, 45.0, 0.5),
        (2.0, 0.03, 0.0, 1.0),
    ],
)
def test_contrast_law_solved_for_the_depth(
    plate: float, shade: float, degrees: float, ripples: float
) -> None:
    # Second derivation: contrast C exp(-a path) dimmed by sky glare, brought by root finding (scipy) to the contrast
    # at which the plate itself vanishes straight down; a = Gamma/Z (Duntley; Zaneveld & Pegau 2003).
    a = 8.69 / plate
    i = math.radians(degrees)
    ci, n = math.cos(i), 1.333
    ct = math.sqrt(1.0 - (math.sin(i) / n) ** 2)

    def glare(cosine: float, inside: float) -> float:
        rho = 0.5 * (
            ((cosine - n * inside) / (cosine + n * inside)) ** 2
            + ((n * cosine - inside) / (n * cosine + inside)) ** 2
        )
        return 1.0 / (1.0 + 30.0 * rho / (1.0 - rho))

    threshold = (0.85 - 0.02) / 0.02 * math.exp(-a * plate) * glare(1.0, 1.0)
    contrast = abs(shade - 0.02) / 0.02 * ripples * glare(ci, ct)
    depth = brentq(lambda z: contrast * math.exp(-a * z / ct) - threshold, 0.0, 10.0, xtol=1e-12)
    assert waves_sight.sight_depth(plate, shade, i, ripples=ripples) == pytest.approx(depth, rel=1e-6)
