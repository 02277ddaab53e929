"""Radio against a measurement, the exact field over a lossy plane, limits of theory and general libraries."""

import cmath
import math
from collections.abc import Callable

import pytest
from scipy.integrate import quad
from scipy.special import jn_zeros, jnp_zeros, wofz

from divelog.physics import radio, radio_aerial, radio_bands, radio_path
from divelog.physics.water_conductivity import conductivity_at, sea_conductivity
from divelog.physics.water_permittivity import permittivity

MU0 = 4e-7 * math.pi
C = 299_792_458.0


def kelvin(t: float) -> float:
    return 273.15 + t


def fresh(frequency: float, t: float, microsiemens: float) -> complex:
    return permittivity(frequency, kelvin(t), conductivity_at(microsiemens * 1e-4, kelvin(t)))


def sea(frequency: float, t: float, grams: float) -> complex:
    return permittivity(frequency, kelvin(t), sea_conductivity(grams / 1e3, kelvin(t)), grams / 1e3)


WATERS: dict[str, Callable[[float], complex]] = {
    "soft": lambda f: fresh(f, 15.0, 100.0),
    "pond": lambda f: fresh(f, 15.0, 350.0),
    "cold pond": lambda f: fresh(f, 3.0, 420.0),
    "pool": lambda f: sea(f, 25.0, 3.5),
    "sea": lambda f: sea(f, 15.0, 35.0),
}
FREQUENCIES = (27.0e6, 40.7e6, 75.5e6, 459e6, 868.3e6, 2440e6)


def test_attenuation_against_the_loss_tangent_form() -> None:
    # Textbook: alpha = k sqrt(eps'/2 (sqrt(1 + tan^2) - 1)), a second form without complex roots.
    for water in WATERS.values():
        for f in FREQUENCIES:
            eps = water(f)
            tangent = -eps.imag / eps.real
            alpha = (2.0 * math.pi * f / C) * math.sqrt(0.5 * eps.real * (math.hypot(1.0, tangent) - 1.0))
            assert radio.attenuation(f, eps) == pytest.approx(alpha * 20.0 / math.log(10.0), rel=1e-9)


def test_sea_water_at_27_megahertz_is_nearly_a_metal() -> None:
    # Textbook: good conductor, sqrt(pi f mu0 sigma) nepers per metre.
    limit = math.sqrt(math.pi * 27e6 * MU0 * sea_conductivity(0.035, kelvin(15))) * 20.0 / math.log(10.0)
    assert radio.attenuation(27e6, sea(27e6, 15.0, 35.0)) == pytest.approx(limit, rel=0.02)


@pytest.mark.parametrize("frequency", [27e6, 40.7e6, 75.5e6])
def test_pond_water_on_the_low_bands_is_nearly_lossless(frequency: float) -> None:
    # Textbook: low-loss limit, sigma/2 sqrt(mu0/(eps0 eps')) nepers per metre, the same at every frequency.
    eps = fresh(frequency, 15.0, 350.0)
    sigma = conductivity_at(0.035, kelvin(15))
    limit = 0.5 * sigma * 376.730 / math.sqrt(eps.real) * 20.0 / math.log(10.0)
    assert radio.attenuation(frequency, eps) == pytest.approx(limit, rel=0.06)


def test_measured_in_a_basin() -> None:
    # Report hal-01006047, "2.4 GHz radio transmission measurements in a basin filled with sea water": ten times the
    # power bought about 3.5 cm in fresh water at 20 degC with the link ending at 25 cm, about 1 cm in sea water of
    # 4 S/m ending at 10 cm. Spreading over that step is taken off.
    for step, end, eps, share in (
        (0.035, 0.25, fresh(2.44e9, 20.0, 250.0), 0.10),
        (0.010, 0.10, permittivity(2.44e9, kelvin(20), 4.0, 0.028), 0.12),
    ):
        spreading = 20.0 * math.log10((end + 0.5 * step) / (end - 0.5 * step))
        measured = (10.0 - spreading) / step
        assert radio.attenuation(2.44e9, eps) == pytest.approx(measured, rel=share)


def test_no_computed_depth_beats_a_link_wholly_under_water() -> None:
    # Same report: aerials facing each other under water at 10 dBm lost the link at 25 cm fresh, 10 cm sea; with 10 dB
    # more, 0.29 and 0.11 m. Through the surface it cannot be better.
    band = radio_bands.band("2.4 GHz")
    assert band is not None
    for eps, deepest in ((fresh(2.44e9, 20.0, 250.0), 0.29), (sea(2.44e9, 20.0, 35.0), 0.11)):
        path = radio_path.path_loss(5.0, 1.2, 0.0, band.frequency, eps)
        in_hand = radio.in_hand_awash(band.sent, band.gain, band.sensitivity, path, radio.surface_loss(eps))
        assert radio.tip_depth(in_hand, radio.attenuation(2.44e9, eps)) < deepest


def two_rays(d: float, h1: float, h2: float, f: float, eps: complex, horizontal: bool) -> float:
    """Gain over free space in dB of direct ray, reflected ray and surface wave.

    Norton 1936/1941 in the form with the error function of complex argument (library scipy, wofz).
    """
    k = 2.0 * math.pi * f / C
    r1, r2 = math.hypot(d, h1 - h2), math.hypot(d, h1 + h2)
    s, c = (h1 + h2) / r2, d / r2
    q = cmath.sqrt(eps - c * c)
    if horizontal:
        gamma, u = (s - q) / (s + q), q
    else:
        gamma, u = (eps * s - q) / (eps * s + q), q / eps
    w = -0.5j * k * r2 * (s + u) ** 2 / (c * c)
    root = cmath.sqrt(w)
    surface = 1.0 - 1j * math.sqrt(math.pi) * root * complex(wofz(-root))
    lag = cmath.exp(-1j * k * (r2 - r1))
    return 20.0 * math.log10(abs(1.0 + gamma * lag + (1.0 - gamma) * surface * lag))


@pytest.mark.parametrize("water", WATERS)
@pytest.mark.parametrize("horizontal", [False, True])
def test_path_beyond_the_knee(water: str, horizontal: bool) -> None:
    for f in FREQUENCIES:
        eps = WATERS[water](f)
        k = 2.0 * math.pi * f / C
        for h1 in (0.8, 1.2, 1.8):
            for h2 in (0.0, 0.02, 0.1, 0.2, 0.5):
                low = radio_path.effective_height(h1, f, eps, horizontal=horizontal)
                high = radio_path.effective_height(h2, f, eps, horizontal=horizontal)
                for d in (5.0, 8.0, 12.0, 20.0, 35.0, 60.0, 100.0, 200.0, 500.0):
                    if k * low * high / d > 1.0:  # inside the knee the rays ripple
                        continue
                    exact = radio_path.free_space_loss(d, f) - two_rays(d, h1, h2, f, eps, horizontal)
                    ours = radio_path.path_loss(d, h1, h2, f, eps, horizontal=horizontal)
                    assert -3.4 < ours - exact < 4.6, (f, h1, h2, d)


def test_low_bands_inside_the_knee_are_pessimistic() -> None:
    # Over a conducting plane the exact field is up to 6 dB stronger than free space; the formula leaves that out.
    for f in (27e6, 40.7e6, 75.5e6):
        for water in WATERS.values():
            eps = water(f)
            for d in (5.0, 10.0, 20.0):
                exact = radio_path.free_space_loss(d, f) - two_rays(d, 1.2, 0.0, f, eps, False)
                ours = radio_path.path_loss(d, 1.2, 0.0, f, eps)
                assert -1.0 < ours - exact < 6.1


@pytest.mark.parametrize(
    ("h2", "d", "horizontal"),
    [
        (0.0, 30.0, False),
        (0.0, 100.0, False),
        (0.05, 30.0, False),
        (0.05, 100.0, False),
        (0.20, 100.0, False),
        (0.05, 30.0, True),
        (0.0, 100.0, True),
    ],
)
def test_path_at_2_4_gigahertz_over_a_pond(h2: float, d: float, horizontal: bool) -> None:
    eps = fresh(2.44e9, 15.0, 350.0)
    exact = radio_path.free_space_loss(d, 2.44e9) - two_rays(d, 1.2, h2, 2.44e9, eps, horizontal)
    ours = radio_path.path_loss(d, 1.2, h2, 2.44e9, eps, horizontal=horizontal)
    assert ours == pytest.approx(exact, abs=0.9 if horizontal else 0.35)


@pytest.mark.parametrize(
    ("hertz", "d", "expected"),
    # Friis 1946 in the form of Recommendation ITU-R P.525: 32.45 + 20 log f(MHz) + 20 log d(km).
    [(2.44e9, 1.0, 0.001), (2.44e9, 30.0, 0.030), (40.7e6, 30.0, 0.030), (459e6, 100.0, 0.100)],
)
def test_free_space(hertz: float, d: float, expected: float) -> None:
    rounded = 32.45 + 20.0 * math.log10(hertz / 1e6) + 20.0 * math.log10(expected)
    assert radio_path.free_space_loss(d, hertz) == pytest.approx(rounded, abs=0.01)


def test_tip_at_the_surface_is_ray_optics() -> None:
    # Exact for h2 = 0 and real permittivity: 1 + Gamma = 2 eps s/(eps s + q) (Fresnel), at grazing angles.
    for eps in (20.0, 80.0):
        f, h1 = 2.44e9, 1.2
        for d in (30.0, 100.0, 300.0):
            s = h1 / math.hypot(d, h1)
            q = math.sqrt(eps - 1.0 + s * s)
            rays = 2.0 * eps * s / (eps * s + q)
            k = 2.0 * math.pi * f / C
            h0 = eps / (k * math.sqrt(eps - 1.0))
            assert radio_path.effective_height(0.0, f, eps) == pytest.approx(h0)
            # The formula adds the transmitter's own least height, which rays leave out.
            b = 2.0 * k * h1 * h0 / d
            assert b / (1.0 + 0.5 * b) == pytest.approx(rays, rel=0.01)
            with_both = radio_path.path_loss(d, h1, 0.0, f, eps) - radio_path.free_space_loss(d, f)
            assert with_both == pytest.approx(-20.0 * math.log10(min(1.0, rays)), abs=0.15)


def test_coupling_through_the_surface_from_the_boundary_conditions() -> None:
    # Second derivation at grazing incidence: field from Fresnel's transmission for vertical polarisation
    # (2 n s/(eps s + q) on E, referred to the total field above), power from the aperture lambda^2/(4 pi n^2).
    for f in FREQUENCIES:
        eps = fresh(f, 15.0, 350.0)
        n = cmath.sqrt(eps)
        s = 1e-6
        c2 = 1.0 - s * s
        q = cmath.sqrt(eps - c2)
        gamma = (eps * s - q) / (eps * s + q)
        above = abs((1.0 + gamma) * math.sqrt(c2))  # vertical E just above, for unit incident field
        below = abs((1.0 - gamma) * s)  # horizontal E, continuous through the surface
        # aerial of unchanged gain: power = |E|^2 Re(n)/(2 eta0) times lambda^2/(4 pi Re(n)^2)
        loss = -10.0 * math.log10((below / above) ** 2 / n.real)
        assert radio.surface_loss(eps) == pytest.approx(loss, abs=0.01)


@pytest.mark.parametrize("margin", [0.0, 3.0, 6.0, 10.0, 20.0])
def test_fading_share(margin: float) -> None:
    # Second derivation: quadrature of the exponential distribution of power (Rayleigh amplitudes), library scipy.
    share, _ = quad(lambda p: math.exp(-p), 0.0, 10.0 ** (-margin / 10.0))
    assert radio.fade_share(margin) == pytest.approx(share, rel=1e-9)


@pytest.mark.parametrize(
    ("h", "waves", "period"), [(0.05, 0.10, 0.8), (0.08, 0.10, 0.8), (0.10, 0.20, 1.2), (0.015, 0.04, 0.8)]
)
def test_wetting_of_a_tip(h: float, waves: float, period: float) -> None:
    # Gaussian tail by quadrature (scipy); mean time = share over the crossing rate exp(-x^2/2)/T of Rice 1944.
    x = 4.0 * h / waves
    share, _ = quad(lambda t: math.exp(-0.5 * t * t) / math.sqrt(2.0 * math.pi), x, 40.0)
    assert radio_path.wetted_share(h, waves) == pytest.approx(share, rel=1e-8)
    rate = math.exp(-0.5 * x * x) / period
    assert radio_path.mean_wetting(h, waves, period) == pytest.approx(share / rate, rel=1e-8)


@pytest.mark.parametrize(
    ("hertz", "millimetres"),
    # Own arithmetic: 299 792 458/(4 f).
    [(2.4e9, 31.2), (2.44e9, 30.7), (2.4835e9, 30.2), (868.3e6, 86.3), (75.5e6, 992.7), (40.7e6, 1841.5)],
)
def test_quarter_wave(hertz: float, millimetres: float) -> None:
    assert radio_aerial.quarter_wave(hertz) * 1e3 == pytest.approx(millimetres, abs=0.06)


def test_roots_of_a_round_tube() -> None:
    # Library scipy: first zeros of J1' and J0.
    assert pytest.approx(jnp_zeros(1, 1)[0], rel=1e-12) == radio_aerial.TE11
    assert pytest.approx(jn_zeros(0, 1)[0], rel=1e-12) == radio_aerial.TM01


def test_waveguide_attenuator() -> None:
    # Glossary of a waveguide attenuator's maker: 31.95 dB a diameter for TE11 far below cutoff.
    per_diameter = radio_aerial.tube_attenuation(0.004, 27e6) * 0.004
    assert per_diameter == pytest.approx(31.95, rel=0.003)


@pytest.mark.parametrize("bore", [0.004, 0.006, 0.008, 0.010, 0.015, 0.025])
def test_tube_against_the_cutoff_form(bore: float) -> None:
    # Textbook: 8.686 (2 x/D) sqrt(1 - (f/fc)^2).
    for root in (radio_aerial.TE11, radio_aerial.TM01):
        ratio = 2.44e9 * math.pi * bore / (root * C)
        expected = 20.0 / math.log(10.0) * (2.0 * root / bore) * math.sqrt(1.0 - ratio * ratio)
        assert radio_aerial.tube_attenuation(bore, 2.44e9, root=root) == pytest.approx(expected, rel=1e-9)


def test_water_in_the_tube_brings_the_cutoff_down() -> None:
    # Own arithmetic: 8 mm tube, cutoff 21.96 GHz/sqrt(80) = 2.45 GHz, so water's own 3.1 dB/cm joins.
    wet = radio_aerial.tube_attenuation(0.008, 2.44e9, fresh(2.44e9, 15.0, 350.0))
    dry = radio_aerial.tube_attenuation(0.008, 2.44e9)
    assert wet / 100.0 == pytest.approx(11.6, abs=0.3)
    assert wet < 0.35 * dry


@pytest.mark.parametrize(
    ("share", "expected"),
    # Own arithmetic: 20 log10 tan(y pi/4).
    [(0.9, 1.4), (0.75, 3.5), (0.5, 7.7), (0.25, 14.0), (0.1, 22.1)],
)
def test_part_of_the_aerial_in_metal(share: float, expected: float) -> None:
    assert radio_aerial.exposed_loss(share) == pytest.approx(expected, abs=0.06)


def test_assumed_low_band_noise() -> None:
    # Recommendation ITU-R P.372, man-made noise in residential places 72.5 - 27.7 log f(MHz), from memory: an 8 kHz
    # receiver with 12 dB needed hears -95 dBm, and motors take about 5 dB of it.
    for name in ("27 MHz", "40 MHz"):
        band = radio_bands.band(name)
        assert band is not None
        noise = 72.5 - 27.7 * math.log10(band.frequency / 1e6)
        floor = -174.0 + 10.0 * math.log10(8e3) + noise + 12.0
        assert floor < band.sensitivity < floor + 10.0


def test_assumed_2_4_gigahertz_set() -> None:
    # ETSI EN 300 328: at most 20 dBm radiated; sheets of spread-spectrum radio chips: -103 to -90 dBm.
    band = radio_bands.band("2.4 GHz")
    assert band is not None
    assert band.sent <= 20.0
    assert -103.0 <= band.sensitivity <= -90.0
