"""How deep the worked boats may go and still be seen."""

from typing import Any

import pytest
import worked
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.limits.model import Term
from divelog.limits.sheet import UnknownError
from divelog.limits.sight import sight_caution, sight_term
from divelog.profiles.document import Basis

quick = settings(max_examples=40, deadline=None)


def term(boat: str, **sets: Any) -> Term:
    return worked.sheet(boat, **sets).of(sight_term)


@pytest.mark.parametrize(
    ("boat", "value", "u95", "safe"),
    [("tansy", 0.8708, 0.0655, 0.805), ("bulrush", 0.7206, 0.0482, 0.672)],
)
def test_worked_terms(boat: str, value: float, u95: float, safe: float) -> None:
    found = term(boat)
    assert found.name == "sight"
    assert found.value == pytest.approx(value, rel=0.005)
    assert found.u95 == pytest.approx(u95, rel=0.005)
    assert found.safe == pytest.approx(safe, abs=0.001)
    assert found.basis is Basis.STATED


@pytest.mark.parametrize(("shade", "value"), [("grey", 0.748), ("dark grey", 0.681), ("black", 0.507)])
def test_darker_shades(shade: str, value: float) -> None:
    assert term("tansy", boat__shade=shade).value == pytest.approx(value, abs=0.001)


def test_a_missing_shade_counts_as_grey_and_is_marked() -> None:
    found = term("tansy", boat__shade="unknown")
    assert found.value == pytest.approx(0.748, abs=0.001)
    assert found.u95 == pytest.approx(0.0544, abs=0.0005)
    assert found.basis is Basis.ASSUMED
    assert "grey*" in found.why


def test_glare_takes_more_off_from_the_bank() -> None:
    assert "0.48 m" in sight_caution(worked.sheet("tansy"))
    assert "0.28 m" in sight_caution(worked.sheet("bulrush"))
    assert "0.35 m" in sight_caution(worked.sheet("tansy", boat__shade="unknown"))
    calm = sight_caution(worked.sheet("tansy", boat__shade="grey", today__air__look="mirror"))
    assert "0.41 m" in calm


def test_no_caution_where_glare_takes_nothing_off() -> None:
    assert sight_caution(worked.sheet("tansy", plan__distance="1 m", today__air__look="mirror")) == ""
    assert sight_caution(worked.sheet("tansy", plan__distance="unknown")) == ""


def test_unknown_wind_counts_as_ripples() -> None:
    still = worked.sheet("tansy", today__air__look="unknown")
    assert sight_caution(still) == sight_caution(worked.sheet("tansy"))


def test_clarity_nobody_looked_at() -> None:
    open_water = term("tansy", today__water__clarity="unknown")
    assert open_water.value == pytest.approx(0.66 * 0.5 * 0.9929 + 0.150, abs=0.001)
    assert open_water.basis is Basis.ASSUMED
    pool = term("tansy", today__water__clarity="unknown", site__kind="pool")
    assert pool.value == pytest.approx(0.66 * 2.2 * 0.9929 + 0.150, abs=0.002)


def test_very_clear_and_quite_blind_water() -> None:
    assert (
        term("tansy", today__water__clarity="40 m").value == term("tansy", today__water__clarity="20 m").value
    )
    assert term("tansy", today__water__clarity="0 m").value == pytest.approx(0.150)


def test_without_a_length_there_is_no_height() -> None:
    s = worked.sheet("tansy", boat__height="unknown", boat__length="unknown")
    with pytest.raises(UnknownError) as missing:
        s.of(sight_term)
    assert missing.value.missing == ("boat.height",)


@quick
@given(st.floats(0.2, 10.0), st.floats(0.0, 0.2), st.floats(0.01, 0.5))
def test_clearer_water_and_narrower_readings_never_lessen_the_safe_end(
    plate: float, spread: float, more: float
) -> None:
    here = term("tansy", today__water__clarity=f"{plate:.3f} m ± {spread:.3f} m")
    clearer = term("tansy", today__water__clarity=f"{plate + more:.3f} m ± {spread:.3f} m")
    wider = term("tansy", today__water__clarity=f"{plate:.3f} m ± {spread + more:.3f} m")
    assert clearer.safe > here.safe > wider.safe
