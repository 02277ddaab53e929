"""The water of the day as every subject takes it."""

from typing import Any

import pytest
import worked
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.limits import water
from divelog.limits.sheet import UnknownError
from divelog.physics import water as physics
from divelog.physics import water_conductivity as ions
from divelog.profiles.document import Basis

quick = settings(max_examples=40, deadline=None)


def test_shared_figures_of_the_worked_day() -> None:
    s = worked.sheet("tansy")
    assert s.of(water.density).si == pytest.approx(999.608, abs=0.001)
    assert s.of(water.viscosity).si == pytest.approx(1.2697e-6, rel=1e-4)
    assert s.of(water.conductivity).si == pytest.approx(0.03077, abs=1e-5)
    assert s.of(water.conductivity_25).si == pytest.approx(0.0420)
    assert s.of(water.electrical).salinity == 0.0
    assert s.of(water.salinity).si == 0.0


def test_plus_or_minus_of_the_worked_day() -> None:
    s = worked.sheet("tansy")
    # 0.5 K without a meter, nothing dissolved: 0.0998 kg/m3 a kelvin at 11 degC, and its curvature.
    assert s.of(water.density).u95 == pytest.approx(0.0515, abs=0.002)
    # A conductivity written without one carries a tenth.
    assert s.of(water.conductivity_25).u95 == pytest.approx(0.0042)
    assert s.of(water.conductivity).u95 / s.of(water.conductivity).si == pytest.approx(0.1)
    assert s.of(water.viscosity).u95 == pytest.approx(0.0174 * 1.2697e-6, rel=0.02)


def test_basis_is_the_worst_of_what_went_in() -> None:
    assert worked.sheet("tansy").of(water.density).basis is Basis.STATED
    assert worked.sheet("tansy", site__salinity="unknown").of(water.salinity).basis is Basis.STATED
    guessed = worked.sheet("tansy", site__salinity="unknown", site__conductivity="unknown")
    assert guessed.of(water.density).basis is Basis.ASSUMED
    assert guessed.of(water.conductivity).basis is Basis.ASSUMED


def test_a_day_s_figure_wins_over_the_site_s() -> None:
    s = worked.sheet("tansy", today__water__salinity="12 g/kg", today__water__conductivity="2 mS/cm")
    assert s.of(water.salinity).si == pytest.approx(0.012)
    assert s.of(water.salinity).u95 == pytest.approx(0.0012)
    assert s.of(water.conductivity_25).si == pytest.approx(0.2)


def test_a_spread_that_was_said_is_kept() -> None:
    s = worked.sheet("tansy", site__conductivity="420 uS/cm ± 5 uS/cm")
    assert s.of(water.conductivity_25).u95 == pytest.approx(5e-4)
    exact = worked.sheet("tansy", site__conductivity="420 uS/cm ± 0 uS/cm")
    assert exact.of(water.conductivity_25).u95 == 0.0


def test_salinity_out_of_a_conductivity() -> None:
    s = worked.sheet("tansy", site__salinity="unknown")
    assert s.of(water.salinity).si == pytest.approx(ions.salinity(0.042, water.ROOM))
    assert s.of(water.salinity).u95 > 0.2 * s.of(water.salinity).si
    pool = worked.sheet("tansy", site__salinity="unknown", site__conductivity="6.4 mS/cm")
    assert pool.of(water.salinity).si == pytest.approx(0.00349, abs=2e-5)
    assert pool.of(water.salinity).u95 < 0.15 * pool.of(water.salinity).si


def test_conductivity_out_of_a_salinity_only_where_the_salt_is_sea_salt() -> None:
    sea = worked.sheet("tansy", site__conductivity="unknown", site__salinity="35 g/kg")
    assert sea.of(water.conductivity_25).si == pytest.approx(5.307, rel=1e-3)
    assert sea.of(water.electrical).salinity == pytest.approx(0.035, rel=1e-4)
    assert sea.of(water.conductivity).si == pytest.approx(3.91, rel=0.01)
    soft = worked.sheet("tansy", site__conductivity="unknown", site__salinity="0.3 g/kg")
    assert soft.of(water.conductivity_25).si == pytest.approx(0.035)
    assert soft.of(water.conductivity_25).basis is Basis.ASSUMED


@pytest.mark.parametrize("kind", ["rain", "fresh", "salt_pool", "sea"])
def test_each_kind_of_water_gives_a_density_and_a_conductivity_that_agree(kind: str) -> None:
    s = worked.sheet("tansy", site__water=kind, site__salinity="unknown", site__conductivity="unknown")
    salt, meter = s.of(water.salinity), s.of(water.conductivity_25)
    assert abs(ions.salinity(meter.si, water.ROOM) - salt.si) <= salt.u95 + 0.5 * salt.si
    assert s.of(water.density).si == pytest.approx(physics.density(284.15, salt.si))


def test_kinds_of_water_stand_in_order() -> None:
    found = []
    sites: tuple[dict[str, Any], ...] = (
        {"site__water": "rain"},
        {"site__water": "fresh"},
        {"site__water": "fresh", "site__kind": "pool"},
        {"site__water": "salt_pool", "site__kind": "pool"},
        {"site__water": "sea", "site__kind": "sea"},
    )
    for site in sites:
        s = worked.sheet("tansy", site__salinity="unknown", site__conductivity="unknown", **site)
        found.append((s.of(water.density).si, s.of(water.conductivity).si))
    assert found == sorted(found)
    assert len(set(found)) == 5


@pytest.mark.parametrize("kind", ["brackish", "unknown"])
def test_brackish_and_unknown_water_have_no_density_until_measured(kind: str) -> None:
    s = worked.sheet("tansy", site__water=kind, site__salinity="unknown", site__conductivity="unknown")
    with pytest.raises(UnknownError) as missing:
        s.of(water.density)
    assert missing.value.missing == ("site.salinity",)
    assert s.of(water.conductivity).si > 0.05


def test_without_a_temperature_nothing_is_known() -> None:
    s = worked.sheet("tansy", today__water__temperature="unknown")
    for figure in (water.density, water.viscosity, water.conductivity):
        with pytest.raises(UnknownError) as missing:
            s.of(figure)
        assert missing.value.missing == ("today.water.temperature",)


@quick
@given(st.floats(0.5, 30.0), st.floats(0.0, 3.0), st.floats(0.05, 2.0))
def test_a_wider_thermometer_never_narrows_the_density(t: float, spread: float, more: float) -> None:
    narrow = worked.sheet("tansy", today__water__temperature=f"{t:.3f} degC ± {spread:.3f} K")
    wide = worked.sheet("tansy", today__water__temperature=f"{t:.3f} degC ± {spread + more:.3f} K")
    assert wide.of(water.density).u95 >= narrow.of(water.density).u95
    assert wide.of(water.viscosity).u95 >= narrow.of(water.viscosity).u95
