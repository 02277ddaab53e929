"""Rings, glands and shaft seals against printed tables, exact theory and general-purpose libraries."""

from datetime import date
from math import cos, exp, log, pi

import pytest
from iapws import IAPWS95
from scipy import constants
from scipy.integrate import quad

from divelog.physics import cylinder_leak, seals
from divelog.physics.seals import Gap, Grease, Match, Paste, Rubber, ShaftSeal, Use
from divelog.physics.seals.rings import INCH

MM = 1e-3


def test_an_inch_is_the_standard_one() -> None:
    # Source: ISO 80000-3, as scipy.constants has it.
    assert constants.inch == INCH


@pytest.mark.parametrize(
    ("inch", "mm", "tolerance_inch", "hundreds"),
    [
        # Source: AS568 section sizes and tolerances, two public size guides.
        (0.070, 1.778, 0.003, 0),
        (0.103, 2.6162, 0.003, 100),
        (0.139, 3.5306, 0.004, 200),
        (0.210, 5.334, 0.005, 300),
        (0.275, 6.985, 0.006, 400),
    ],
)
def test_inch_sections(inch: float, mm: float, tolerance_inch: float, hundreds: int) -> None:
    found = seals.nearest_standard(inch * constants.inch)
    assert found.section == pytest.approx(mm * MM, rel=1e-12)
    assert found.tolerance == pytest.approx(tolerance_inch * constants.inch, rel=1e-12)
    assert found.hundreds == hundreds


def test_outside_diameter_of_a_listed_ring() -> None:
    # Source: AS568 dash 238, 88.49 x 3.53 mm, from memory.
    assert seals.outside_diameter(88.49 * MM, 3.53 * MM) == pytest.approx(95.55 * MM, rel=1e-9)


@pytest.mark.parametrize(
    ("section", "tolerance", "depth_low", "depth_high", "least", "most"),
    [
        # Source: gland tables (static radial, face, moving) of a public seal design guide: gland depth in
        # inches and the squeeze printed beside it, in per cent. Printed numbers are rounded: 0.6 points.
        (0.070, 0.003, 0.050, 0.055, 18, 32),
        (0.103, 0.003, 0.080, 0.086, 14, 25),
        (0.139, 0.004, 0.110, 0.116, 14, 23),
        (0.210, 0.005, 0.170, 0.176, 14, 21),
        (0.070, 0.003, 0.049, 0.054, 19, 33),
        (0.103, 0.003, 0.075, 0.081, 19, 29),
        (0.139, 0.004, 0.100, 0.108, 20, 30),
        (0.070, 0.003, 0.055, 0.057, 15, 25),
        (0.103, 0.003, 0.087, 0.090, 10, 18),
        (0.139, 0.004, 0.119, 0.123, 9, 17),
    ],
)
def test_squeeze_of_published_glands(
    section: float, tolerance: float, depth_low: float, depth_high: float, least: float, most: float
) -> None:
    d2 = section * INCH
    middle = (depth_low + depth_high) / 2 * INCH
    half = (depth_high - depth_low) / 2 * INCH
    gland = seals.face_gland(20 * d2, d2, middle, 2 * d2)
    found = seals.squeeze_range(gland, d2, tolerance * INCH, half)
    assert found.least * 100 == pytest.approx(least, abs=0.6)
    assert found.most * 100 == pytest.approx(most, abs=0.6)


def test_section_reduction_is_the_printed_one() -> None:
    # Source: SAE AS4716 appendix A in its printed form, per cent in and per cent out, from memory.
    def printed(x: float) -> float:
        return 0.01 + 1.06 * x - 0.1 * x**2 if x <= 3 else 0.56 + 0.59 * x - 0.0046 * x**2

    for x in (0.2, 1.0, 2.0, 2.9, 3.0, 3.5, 5.0, 10.0, 20.0, 25.0):
        assert seals.section_reduction(x / 100, 50 * MM, 3 * MM) * 100 == pytest.approx(printed(x), rel=1e-9)


@pytest.mark.parametrize(("stretched", "lost"), [(0.05, 0.0340), (0.10, 0.0600)])
def test_section_reduction_of_a_public_copy(stretched: float, lost: float) -> None:
    # Source: a public source file after SAE AS4716 appendix A, above 3 % of stretch, to four places.
    assert seals.section_reduction(stretched, 50 * MM, 3 * MM) == pytest.approx(lost, abs=5.1e-5)


def test_section_reduction_of_thick_rings() -> None:
    # Source: the same file, d1/d2 at most 2.95: 100 X/(315 e^(-d1/d2) + 165 + 100 X).
    expected = 3.448275862 / (315 * exp(-2.9 / 1.78) + 165 + 3.448275862)
    assert seals.section_reduction(0.1 / 2.9, 2.9 * MM, 1.78 * MM) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("stretched", [0.01, 0.02, 0.03, 0.05, 0.10])
def test_real_rings_lose_more_section_than_constant_volume_says(stretched: float) -> None:
    # Source: volume of a torus, (pi^2/4)(d1 + d2) d2^2, kept while d1 grows; thin ring.
    kept = 1.0 - (1.0 / (1.0 + stretched)) ** 0.5
    assert seals.constant_volume_reduction(stretched) == pytest.approx(kept, rel=1e-12)
    assert seals.section_reduction(stretched, 50 * MM, 3 * MM) > 1.2 * kept


@pytest.mark.parametrize(
    ("inside", "section", "bore", "groove", "width"),
    [(88.5, 3.0, 94.0, 89.2, 4.0), (88.49, 3.53, 96.0, 90.3, 4.9), (37.77, 2.62, 42.6, 38.4, 3.6)],
)
def test_fill_of_a_piston_groove_by_volumes(
    inside: float, section: float, bore: float, groove: float, width: float
) -> None:
    # Source: Pappus' theorem, done here by turning both sections numerically round the axis.
    r = section / 2
    ring, _ = quad(lambda y: 2 * pi * (inside / 2 + r + y) * 2 * (r**2 - y**2) ** 0.5, -r, r)
    room, _ = quad(lambda radius: 2 * pi * radius * width, groove / 2, bore / 2)
    whole = seals.whole_fill(inside * MM, section * MM, groove * MM, bore * MM, width * MM)
    assert whole == pytest.approx(ring / room, rel=1e-6)
    by_section = seals.piston_gland(inside * MM, section * MM, groove * MM, bore * MM, width * MM).fill
    # The section way takes the stretched section, so it is a little below: 3 % at most for these.
    assert 0.97 < by_section / whole < 1.0


@pytest.mark.parametrize(
    ("kind", "seat", "squeeze", "fill", "extra"),
    [
        # Source: arithmetic of the definitions by hand, for rings 4.0 x 2.0, 60 x 2.5 mm.
        ("rod", 4.0, 15.00, 68.44, 7.5),
        ("face", 60.3, 22.00, 78.67, 0.5),
    ],
)
def test_rod_and_face_by_hand(kind: str, seat: float, squeeze: float, fill: float, extra: float) -> None:
    if kind == "rod":
        gland = seals.rod_gland(4.0 * MM, 2.0 * MM, seat * MM, 7.4 * MM, 2.7 * MM)
        assert gland.crush * 100 == pytest.approx(extra, abs=0.01)
    else:
        gland = seals.face_gland(60 * MM, 2.5 * MM, 1.95 * MM, 3.2 * MM, seat * MM)
        assert gland.stretch * 100 == pytest.approx(extra, abs=0.01)
    assert gland.squeeze * 100 == pytest.approx(squeeze, abs=0.01)
    assert gland.fill * 100 == pytest.approx(fill, abs=0.01)


@pytest.mark.parametrize(
    ("use", "low", "high"),
    [
        # Source: groove chart of a public seal guide: face 20-30, radial 15-25 %; a second guide: worst
        # case 10 to 30 %, stretch to 5 %, fill to 85 %, 90 to 100 critical. Moving and turning from memory.
        (Use.FACE, 0.20, 0.30),
        (Use.RADIAL, 0.15, 0.25),
        (Use.MOVING, 0.10, 0.18),
        (Use.TURNING, 0.03, 0.08),
    ],
)
def test_bands(use: Use, low: float, high: float) -> None:
    found = seals.band(use, 3 * MM)
    assert found.squeeze == (low, high)
    assert found.fill == (0.65, 0.85, 0.90)
    assert seals.band(Use.RADIAL, 3 * MM).worst == (0.10, 0.30)
    assert seals.band(Use.RADIAL, 3 * MM).stretch == (0.0, 0.05)


def test_thin_rings_are_meant_to_be_squeezed_more() -> None:
    # Source: the design guide's gland table above prints 18 to 32 % for 1.78 mm rings.
    assert seals.band(Use.RADIAL, 1.78 * MM).squeeze == (0.15, 0.32)
    assert seals.band(Use.FACE, 1.78 * MM).squeeze == (0.20, 0.32)
    assert seals.band(Use.MOVING, 1.78 * MM).squeeze == (0.10, 0.18)


def test_cold_water_closes_an_acrylic_tube_onto_an_aluminium_cap() -> None:
    # Source: linear expansion, acrylic 72e-6 and aluminium 23e-6 /K (materials handbooks, from memory):
    # 100 mm cooled by 20 K: 0.098 mm on the diameter.
    warm = seals.piston_depth_when_warmed(100 * MM, 106 * MM, 23e-6, 72e-6, 0.0)
    cold = seals.piston_depth_when_warmed(100 * MM, 106 * MM, 23e-6, 72e-6, -20.0)
    assert warm == pytest.approx(3 * MM, rel=1e-12)
    expected = (106 * 72e-6 - 100 * 23e-6) * 20 / 2 * MM
    assert warm - cold == pytest.approx(expected, rel=1e-9)
    assert seals.section_when_warmed(1.0, seals.expansion_of(Rubber.NITRILE), -15.0) == pytest.approx(0.9976)
    assert seals.fill_when_warmed(0.83, 1.6e-4, 30.0, 0.05) == pytest.approx(0.884, abs=5e-4)


@pytest.mark.parametrize(
    ("new", "depth", "found", "kept"),
    [(3.0, 2.4, 2.8, 0.3333), (3.0, 2.4, 2.9, 0.1667), (3.0, 2.4, 2.4, 1.0), (1.78, 1.4, 1.62, 0.42105)],
)
def test_compression_set(new: float, depth: float, found: float, kept: float) -> None:
    # Source: definition of ISO 815-1, (h0 - h1)/(h0 - hs), by hand.
    assert seals.compression_set(new * MM, found * MM, depth * MM) == pytest.approx(kept, abs=5e-5)


@pytest.mark.parametrize(
    ("rubber", "grease", "expected"),
    [
        (Rubber.EPDM, Grease.PETROLEUM, Match.NO),  # SAE paper 820143
        (Rubber.EPDM, Grease.SILICONE, Match.SUITS),  # rubber selection chart
        (Rubber.SILICONE, Grease.SILICONE, Match.NO),  # two ring guides
        (Rubber.NITRILE, Grease.LITHIUM_SOAP, Match.SUITS),  # rubber selection chart
        (Rubber.NATURAL, Grease.LITHIUM_SOAP, Match.NO),  # rubber selection chart
        (Rubber.UNKNOWN, Grease.SILICONE, Match.SUITS),  # from memory
        (Rubber.UNKNOWN, Grease.PETROLEUM, Match.UNKNOWN),
        (Rubber.BUTYL, Grease.PETROLEUM, Match.UNKNOWN),
        (Rubber.NITRILE, Grease.UNKNOWN, Match.UNKNOWN),
    ],
)
def test_grease_and_rubber(rubber: Rubber, grease: Grease, expected: Match) -> None:
    assert seals.match(rubber, grease) is expected


def test_what_suits_everything_and_what_never_hurts() -> None:
    # Source: ring handbooks, from memory.
    assert {seals.match(rubber, Grease.PTFE_ON_PFPE) for rubber in Rubber} == {Match.SUITS}
    assert Match.NO not in {seals.match(Rubber.FLUOROCARBON, grease) for grease in Grease}


@pytest.mark.parametrize(
    ("rubber", "year", "quarter", "end"),
    [
        # Source: SAE ARP5316/AS5316 as three public reproductions give it; counted from the quarter's end.
        (Rubber.NITRILE, 2012, 2, date(2027, 6, 30)),
        (Rubber.POLYURETHANE, 2024, 1, date(2029, 3, 31)),
        (Rubber.STYRENE_BUTADIENE, 2023, 3, date(2026, 9, 30)),
        (Rubber.CHLOROPRENE, 2020, 4, date(2035, 12, 31)),
    ],
)
def test_storage(rubber: Rubber, year: int, quarter: int, end: date) -> None:
    assert seals.use_by(rubber, seals.quarter_end(year, quarter)) == end
    assert seals.shown_use_by(rubber, seals.quarter_end(year, quarter)) == end


def test_storage_without_end_is_shown_as_25_years() -> None:
    # Source: one public reproduction of the same standard.
    cured = seals.quarter_end(2010, 4)
    assert seals.use_by(Rubber.EPDM, cured) is None
    assert seals.shown_use_by(Rubber.EPDM, cured) == date(2035, 12, 31)


@pytest.mark.parametrize(
    ("kind", "turning", "still", "speed"),
    [
        # Source: seal makers' pages: 0.2 bar at higher and 0.5 bar at low peripheral speed (plain lip); a
        # bearing maker's page: 340 kPa at 5 m/s (pressure lip). The others from memory.
        (ShaftSeal.LIP, 20e3, 50e3, 4.0),
        (ShaftSeal.PRESSURE_LIP, 340e3, 340e3, 5.0),
        (ShaftSeal.RING, 500e3, 500e3, 1.0),
    ],
)
def test_what_a_shaft_seal_holds(kind: ShaftSeal, turning: float, still: float, speed: float) -> None:
    found = seals.holds(kind)
    assert found is not None
    assert (found.turning, found.still, found.speed) == (turning, still, speed)


@pytest.mark.parametrize(
    ("mm", "rpm", "speed"),
    [
        (3, 6000, 0.9425),
        (4, 5000, 1.0472),
        (4, 10_000, 2.0944),
        (6, 3000, 0.9425),
        (10, 6000, 3.1416),
    ],
)
def test_rubbing_speed(mm: float, rpm: float, speed: float) -> None:
    # Source: circumference times revolutions, by hand.
    assert seals.rubbing_speed(mm * MM, rpm / 60) == pytest.approx(speed, abs=5e-5)


@pytest.mark.parametrize(("kilopascals", "depth"), [(20, 2.043), (50, 5.108)])
def test_depth_of_a_plain_lip(kilopascals: float, depth: float) -> None:
    # Source: hydrostatics with the density of water at 20 degC by IAPWS-95.
    density = IAPWS95(T=293.15, P=0.101325).rho
    expected = kilopascals * 1e3 / (density * constants.g)
    assert seals.seal_depth(kilopascals * 1e3, 0.0, density) == pytest.approx(expected, rel=1e-9)
    assert expected == pytest.approx(depth, abs=1e-3)


@pytest.mark.parametrize(
    ("rpm", "mm"),
    [
        (400, 0.30),
        (500, 0.30),
        (900, 0.25),
        (2000, 0.18),
        (3999, 0.12),
        (6000, 0.08),
        (9000, 0.06),
    ],
)
def test_run_out(rpm: float, mm: float) -> None:
    # Source: radial shaft seal catalogue diagrams, from memory.
    assert seals.most_run_out(rpm / 60) == pytest.approx(mm * MM)


@pytest.mark.parametrize(
    ("tube", "shaft", "length", "millilitres"),
    [(5, 3, 100, 1.2566), (6, 4, 150, 2.3562), (10, 6, 250, 12.566), (16, 10, 400, 49.01)],
)
def test_grease_in_a_tube(tube: float, shaft: float, length: float, millilitres: float) -> None:
    # Source: volume of an annulus, by turning its section numerically.
    turned, _ = quad(lambda radius: 2 * pi * radius * length, shaft / 2, tube / 2)
    found = seals.grease_volume(tube * MM, shaft * MM, length * MM, 1.0)
    assert found == pytest.approx(turned * 1e-9, rel=1e-9)
    assert found * 1e6 == pytest.approx(millilitres, rel=1e-4)


def test_refill_interval() -> None:
    # Source: by hand: 2.3562 mL x 0.9 x 0.3 / 0.25 mL an hour = 2.54 h.
    volume = seals.grease_volume(6 * MM, 4 * MM, 150 * MM, 0.9)
    hours = seals.refill_interval(volume, 0.25e-6 / 3600) / 3600
    assert hours == pytest.approx(2.54, abs=0.01)
    assert seals.grease_mass(seals.grease_volume(5 * MM, 3 * MM, 100 * MM, 1.0)) == pytest.approx(
        1.131e-3, rel=1e-3
    )


@pytest.mark.parametrize("eccentricity", [0.0, 0.25, 0.5, 0.75, 1.0])
def test_eccentric_factor_is_the_mean_cube_of_the_gap(eccentricity: float) -> None:
    # Source: Tao and Donovan 1955; lubrication theory: flow goes with the mean of the local gap cubed.
    mean, _ = quad(lambda a: (1 + eccentricity * cos(a)) ** 3 / (2 * pi), 0, 2 * pi)
    assert seals.eccentric_factor(eccentricity) == pytest.approx(mean, rel=1e-10)


@pytest.mark.parametrize(
    ("mm", "microns", "length", "kilopascals", "celsius", "eccentricity", "millilitres"),
    [
        # Source: viscosity from memory (IAPWS tables, as the library gives them), arithmetic by hand.
        (4, 50, 20, 19.6, 10, 0, 353.6),
        (4, 50, 20, 19.6, 10, 1, 884.0),
        (4, 25, 20, 19.6, 10, 0, 44.2),
        (4, 25, 20, 19.6, 10, 0.5, 60.78),
        (6, 50, 30, 9.8, 15, 1, 507.3),
        (10, 100, 40, 29.4, 20, 0.5, 9506),
        (3, 20, 15, 9.8, 20, 0, 14.75),
    ],
)
def test_clear_gap(
    mm: float,
    microns: float,
    length: float,
    kilopascals: float,
    celsius: float,
    eccentricity: float,
    millilitres: float,
) -> None:
    viscosity = IAPWS95(T=celsius + 273.15, P=0.101325).mu
    flow = seals.annular_leak(
        mm * MM, microns * 1e-6, length * MM, kilopascals * 1e3, viscosity, eccentricity
    )
    assert flow * 3.6e9 == pytest.approx(millilitres, rel=2e-3)


@pytest.mark.parametrize(("mm", "microns"), [(4, 50), (10, 100), (3, 20)])
def test_clear_gap_against_the_exact_annulus(mm: float, microns: float) -> None:
    # Source: exact laminar flow in a concentric annulus (Bird, Stewart and Lightfoot, Transport Phenomena,
    # equation of annular flow, from memory); the thin-gap form takes the shaft for the mean diameter.
    mu, dp, length = 1.0e-3, 1e4, 0.02
    outer, inner = (mm / 2 + microns * 1e-3) * MM, mm / 2 * MM
    exact = (
        pi * dp / (8 * mu * length) * (outer**4 - inner**4 - (outer**2 - inner**2) ** 2 / log(outer / inner))
    )
    thin = seals.annular_leak(mm * MM, microns * 1e-6, length, dp, mu)
    assert exact * (1 - 1.1 * microns * 1e-3 / mm) < thin < exact


def test_reynolds_of_the_largest_of_those_leaks() -> None:
    # Source: hydraulic diameter 2c, mean speed q/(pi d c): Re = 2 q rho/(pi d mu), by hand: 168.
    flow = 9506 / 3.6e9
    assert seals.annular_reynolds(flow, 10 * MM, 998.2, 1.002e-3) == pytest.approx(168, rel=5e-3)


@pytest.mark.parametrize(
    ("gaps", "yielding", "kilopascals"),
    [
        # Source: force balance on a plug between walls, tau 2 (pi d L) = dp (pi d c), by hand.
        ((Gap(1e-3, 0.100),), 300, 60.0),
        ((Gap(2e-3, 0.150),), 300, 45.0),
        ((Gap(1e-3, 0.150),), 100, 30.0),
        ((Gap(50e-6, 0.020), Gap(1e-3, 0.110), Gap(50e-6, 0.020)), 100, 182.0),
        ((Gap(100e-6, 0.015), Gap(2e-3, 0.100), Gap(100e-6, 0.015)), 100, 70.0),
    ],
)
def test_grease_at_rest(gaps: tuple[Gap, ...], yielding: float, kilopascals: float) -> None:
    assert seals.still_hold(gaps, yielding) == pytest.approx(kilopascals * 1e3, rel=1e-9)


@pytest.mark.parametrize("microns", [25, 50, 100])
def test_grease_creeping_out_against_a_slit_of_that_thickness(microns: float) -> None:
    # Source: plane Poiseuille flow, integrated numerically across each gap in series, of a fluid as thick
    # as the paste is at the shaft's shear rate; width pi (d + c).
    diameter, turns, paste = 4 * MM, 50.0, Paste()
    gaps = (Gap(microns * 1e-6, 0.02), Gap(1e-3, 0.110), Gap(microns * 1e-6, 0.02))
    resistance = 0.0
    for gap in gaps:
        rate = pi * diameter * turns / gap.clearance
        thick = (paste.yielding + paste.consistency * rate**paste.index) / rate
        c = gap.clearance
        unit, _ = quad(lambda y, c=c, thick=thick: (c * y - y * y) / (2 * thick), 0, c, epsabs=0)
        resistance += gap.length / (unit * pi * (diameter + c))
    found = seals.running_loss(gaps, diameter, turns, 19.6e3, paste)
    assert found == pytest.approx(19.6e3 / resistance, rel=1e-8)


@pytest.mark.parametrize(
    ("gaps", "millilitres"),
    [
        # Source: the same sum done apart with plain floats, grease values from memory.
        ((Gap(25e-6, 0.02), Gap(1e-3, 0.110), Gap(25e-6, 0.02)), 0.503),
        ((Gap(50e-6, 0.02), Gap(1e-3, 0.110), Gap(50e-6, 0.02)), 2.50),
        ((Gap(100e-6, 0.02), Gap(1e-3, 0.110), Gap(100e-6, 0.02)), 12.2),
        ((Gap(1e-3, 0.150),), 687),
    ],
)
def test_grease_creeping_out(gaps: tuple[Gap, ...], millilitres: float) -> None:
    assert seals.running_loss(gaps, 4 * MM, 50.0, 19.6e3) * 3.6e9 == pytest.approx(millilitres, rel=5e-3)


@pytest.mark.parametrize(
    ("kv", "amperes", "millinewtonmetres"), [(300, 0.3, 9.549), (1000, 0.5, 4.775), (120, 0.4, 31.83)]
)
def test_torque_behind_a_current(kv: float, amperes: float, millinewtonmetres: float) -> None:
    # Source: K_t = K_e in SI (a motor maker's page): 60/(2 pi K_v), K_v in turns a minute for each volt.
    assert seals.added_drag(kv * 2 * pi / 60, amperes) * 1e3 == pytest.approx(millinewtonmetres, rel=1e-3)


def test_heat_of_that_torque() -> None:
    # Source: P = T omega: 9.549 mN m at 3000 a minute is 3.00 W.
    assert seals.seal_heat(9.549e-3, 50.0) == pytest.approx(3.00, abs=0.005)


def test_no_load_band() -> None:
    # Source: by hand from median 0.435 A, median deviation 0.015 A, factor 1.6717 for eight readings.
    band = seals.no_load_band(0.435, 1.6717 * 0.015)
    assert (round(band.low, 3), round(band.high, 3)) == (0.348, 0.522)
    assert seals.no_load_band(0.435, 0.025, motor_alone=0.30).low == pytest.approx(0.348)
    assert seals.no_load_band(0.435, 0.0, motor_alone=0.40).low == pytest.approx(0.40875)


@pytest.mark.parametrize(
    ("litres", "fall", "held", "outside", "inside", "water_kpa", "celsius", "millilitres"),
    [
        # Source: laminar gas flow C = 2 mu Q/(p1^2 - p2^2) and its water counterpart (vacuum handbooks, from
        # memory); viscosity of water by IAPWS.
        (3, 500, 600, 101_325, 81_325, 19.6, 10, 1.338),
        (3, 100, 600, 101_325, 96_325, 19.6, 10, 0.9895),
        (0.5, 200, 300, 101_325, 91_325, 9.8, 15, 0.1942),
        (20, 50, 1800, 101_325, 96_325, 29.4, 10, 1.649),
    ],
)
def test_vacuum_fall_as_water(
    litres: float,
    fall: float,
    held: float,
    outside: float,
    inside: float,
    water_kpa: float,
    celsius: float,
    millilitres: float,
) -> None:
    viscosity = IAPWS95(T=celsius + 273.15, P=0.101325).mu
    gas = cylinder_leak.throughput(volume=litres * 1e-3, fall=fall, time=held)
    water = cylinder_leak.water_through(
        gas / (outside**2 - inside**2),
        head=water_kpa * 1e3,
        air_viscosity=1.81e-5,  # air at 20 degC, from memory
        water_viscosity=viscosity,
    )
    assert water * 3.6e9 == pytest.approx(millilitres, rel=2e-3)


def test_gas_and_water_through_one_tube() -> None:
    # Source: Hagen-Poiseuille in a round capillary, incompressible and isothermal compressible (throughput
    # integrated numerically over the pressures along it), radius 20 micrometres, 20 mm long.
    radius, length, air, water = 20e-6, 0.02, 1.81e-5, 1.306e-3
    path = pi * radius**4 / (8 * length)
    throughput, _ = quad(lambda p: path * p / air, 81_325, 101_325)
    found = cylinder_leak.water_through(
        throughput / (101_325**2 - 81_325**2), head=19.6e3, air_viscosity=air, water_viscosity=water
    )
    assert found == pytest.approx(path * 19.6e3 / water, rel=1e-9)
