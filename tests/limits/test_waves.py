"""Waves and drift of the worked boats, and how the limits behave."""

import math
from typing import Any

import pytest
import worked
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.limits import waves
from divelog.limits.model import Limit, Verdict
from divelog.limits.sheet import Sheet, UnknownError
from divelog.profiles.document import Basis, Num
from divelog.profiles.schema import LOOKS

quick = settings(max_examples=40, deadline=None)


def only(results: tuple[Limit, ...]) -> Limit:
    (found,) = results
    return found


def wind_waves(s: Sheet) -> Limit:
    return only(waves.wind_waves(s))


def wind_drift(s: Sheet) -> Limit:
    return only(waves.wind_drift(s))


@pytest.mark.parametrize("boat", ["tansy", "bulrush"])
def test_waves_of_the_worked_day(boat: str) -> None:
    found = wind_waves(worked.sheet(boat))
    assert found.value == pytest.approx(0.01951, rel=0.005)
    assert found.u95 == pytest.approx(0.00780, rel=0.005)
    assert found.reading_text == "20 mm"
    assert found.shown == "40 mm"
    assert found.verdict is Verdict.WITHIN
    assert found.binds == ("height",)


def test_waves_of_the_worked_day_rest_on_what_was_stated() -> None:
    assert wind_waves(worked.sheet("tansy")).basis is Basis.STATED


def test_shared_figures_of_the_worked_day() -> None:
    found = worked.sheet("tansy").of(waves.waves)
    assert found.state.period == pytest.approx(0.4621, abs=1e-4)
    assert found.state.length == pytest.approx(0.3333, abs=1e-4)
    assert found.state.height_tenth == pytest.approx(0.024774, rel=0.005)
    assert found.crest.si == pytest.approx(0.014865, rel=0.005)
    assert found.crest.u95 == pytest.approx(0.762 * 0.007803, rel=0.005)
    assert found.state.full_after / 60 == pytest.approx(11.0, abs=0.1)


def test_why_of_the_worked_day() -> None:
    why = " ".join(wind_waves(worked.sheet("tansy")).why)
    for part in ("3.3 m/s", "140 m", "20 mm (12-27)", "25 mm", "15 mm", "11 min", "Below 48 mm"):
        assert part in why


@pytest.mark.parametrize("boat", ["tansy", "bulrush"])
def test_drift_of_the_worked_day(boat: str) -> None:
    found = wind_drift(worked.sheet(boat))
    assert [p.si / 60 for p in found.parts] == pytest.approx([14.1, 31.7, 97.2], abs=0.1)
    assert found.shown == "14 to 98 min*"
    assert found.starred
    assert found.basis is Basis.ASSUMED
    assert found.verdict is Verdict.NONE
    assert "2 to 17 cm/s" in found.why[0]


def test_a_known_bank_takes_the_star_away() -> None:
    sets: dict[str, Any] = {"today__air__from": "west", "site__banks__east": "60 m"}
    found = wind_drift(worked.sheet("tansy", **sets))
    assert not found.starred
    assert found.remark == "the east bank"
    assert found.basis is Basis.STATED
    assert found.value == pytest.approx(60.0 / (0.03 * 2.45))
    # The wind comes from where it is named: the opposite bank's distance does not count.
    other = wind_drift(worked.sheet("tansy", today__air__from="east", site__banks__east="60 m"))
    assert other.starred


@pytest.mark.parametrize(
    ("words", "degrees"),
    [
        ("west", 270.0),
        ("SW", 225.0),
        ("north east", 45.0),
        ("north_east", 45.0),
        ("North-East", 45.0),
        ("270", 270.0),
        ("365 deg", 5.0),
        ("12.5°", 12.5),
        ("n", 0.0),
        ("upwind", None),
        ("", None),
    ],
)
def test_compass_words(words: str, degrees: float | None) -> None:
    assert waves.bearing(words) == degrees


def test_a_mirror_may_leave_her_where_she_is() -> None:
    found = wind_drift(worked.sheet("tansy", today__air__look="mirror"))
    assert found.shown == "233 min or more*"
    assert found.high is None
    calm = wind_drift(worked.sheet("tansy", today__air__wind="0 m/s"))
    assert calm.shown == "stays where she is"


def test_a_typed_wind_is_brought_to_ten_metres_and_taken_give_or_take_a_third() -> None:
    s = worked.sheet("tansy", today__air__wind="2.5 m/s")
    found = s.of(waves.wind_today)
    assert found.middle == pytest.approx(2.5 * 5 ** (1 / 7))
    assert (found.low, found.high) == pytest.approx((0.7 * found.middle, 1.3 * found.middle))
    forecast = worked.sheet("tansy", today__air__wind="2.5 m/s", today__air__wind_height="10 m")
    assert forecast.of(waves.wind_today).middle == pytest.approx(2.5)
    assert "Wind 3.1 m/s" in wind_waves(s).why[0]


def test_nearly_no_wind_makes_ripples_only() -> None:
    found = wind_waves(worked.sheet("tansy", today__air__look="mirror"))
    assert found.verdict is Verdict.WITHIN
    assert found.value == 0.0
    assert "ripples only" in found.why[0]
    assert found.parts[0].name == "wind class"


def test_too_much_wind_is_outside_whatever_the_waves() -> None:
    strong = wind_waves(worked.sheet("tansy", today__air__wind="9 m/s", site__fetch="10 m"))
    assert strong.verdict is Verdict.OUTSIDE
    assert strong.binds == ("wind class",)
    assert strong.actions
    small = worked.sheet("tansy", boat__length="450 mm", today__air__look="small waves, white horses")
    assert wind_waves(small).verdict is Verdict.OUTSIDE
    gale = wind_waves(worked.sheet("tansy", today__air__wind="15 m/s"))
    assert gale.verdict is Verdict.OUTSIDE
    assert gale.reading is None


def test_waves_too_high_and_too_close() -> None:
    close = wind_waves(worked.sheet("tansy", boat__my_limits__wave_height="25 mm"))
    assert close.verdict is Verdict.TOO_CLOSE
    assert close.actions
    high = wind_waves(worked.sheet("tansy", boat__my_limits__wave_height="19 mm"))
    assert high.shown == "15 mm"
    assert high.verdict is Verdict.OUTSIDE
    assert high.binds == ("height",)


def test_pitching_binds_a_boat_as_short_as_the_waves() -> None:
    sets: dict[str, Any] = {
        "boat__length": "350 mm", "boat__my_limits__wave_height": "200 mm", "site__fetch": "400 m",
        "today__air__look": "crests begin to break",
    }  # fmt: skip
    found = wind_waves(worked.sheet("tansy", **sets))
    assert found.verdict is Verdict.OUTSIDE
    assert found.binds == ("pitching",)


def test_waves_seen_on_a_stick_are_judged_instead() -> None:
    s = worked.sheet("tansy", readings={("wind.waves", ""): Num(0.045, 0.005, Basis.MEASURED)})
    found = wind_waves(s)
    assert found.verdict is Verdict.OUTSIDE
    assert found.reading_text == "45 mm"


def test_propeller_caution_only_where_it_would_draw_air() -> None:
    assert any("propeller" in c for c in wind_waves(worked.sheet("tansy")).cautions)
    deep = worked.sheet("tansy", boat__motion__shaft_depth="90 mm")
    assert not any("propeller" in c for c in wind_waves(deep).cautions)


def test_a_tank_has_no_wind() -> None:
    s = worked.sheet("tansy", site__kind="tank", today__air__look="unknown")
    assert wind_waves(s).verdict is Verdict.NOT_FITTED
    assert wind_drift(s).verdict is Verdict.NOT_FITTED
    assert s.of(waves.crest).si == 0.0
    assert s.of(waves.wind_today).high == 0.0


def test_without_wind_the_limits_are_unknown_and_name_it() -> None:
    s = worked.sheet("tansy", today__air__look="unknown")
    for found in (wind_waves(s), wind_drift(s)):
        assert found.verdict is Verdict.UNKNOWN
        assert found.missing == ("today.air.look",)
        assert found.shown == "unknown"


def test_at_sea_the_fetch_is_never_guessed() -> None:
    s = worked.sheet("tansy", site__kind="sea", site__fetch="unknown")
    assert wind_waves(s).missing == ("site.fetch",)
    assert wind_drift(s).missing == ("site.fetch",)
    known = wind_waves(worked.sheet("tansy", site__kind="sea", site__fetch="2 km"))
    assert any("Swell" in c for c in known.cautions)
    pond = worked.sheet("tansy", site__fetch="unknown")
    assert wind_waves(pond).basis is Basis.ASSUMED


def test_an_unknown_bottom_counts_as_deep() -> None:
    found = worked.sheet("tansy", site__bottom="unknown").of(waves.waves)
    assert found.h_s.si == pytest.approx(worked.sheet("tansy", site__bottom="3 m").of(waves.waves).h_s.si)


def test_an_untimed_or_short_hold_meets_the_highest_wave() -> None:
    timed = worked.sheet("tansy").of(waves.waves)
    untimed = worked.sheet("tansy", boat__radio__failsafe_delay="unknown").of(waves.waves)
    short = worked.sheet("tansy", boat__radio__failsafe_delay="0.3 s").of(waves.waves)
    assert untimed.crest.si == short.crest.si > timed.crest.si
    number = 2400.0 / timed.state.period
    assert untimed.crest.si == pytest.approx(0.6 * timed.state.height * math.sqrt(0.5 * math.log(number)))
    with pytest.raises(UnknownError):
        worked.sheet("tansy", boat__radio__failsafe_delay="unknown", plan__minutes="unknown").of(waves.waves)


_SEVERITY = (Verdict.WITHIN, Verdict.TOO_CLOSE, Verdict.OUTSIDE)


@quick
@given(st.floats(0.0, 9.0), st.floats(0.1, 3.0), st.floats(20.0, 500.0))
def test_more_wind_never_improves_the_verdict(u: float, more: float, fetch: float) -> None:
    less = wind_waves(worked.sheet("tansy", today__air__wind=f"{u:.3f} m/s", site__fetch=f"{fetch:.1f} m"))
    greater = wind_waves(
        worked.sheet("tansy", today__air__wind=f"{u + more:.3f} m/s", site__fetch=f"{fetch:.1f} m")
    )
    # A longer wave may pitch a boat less than a short one: height and class are what never improve.
    if "pitching" not in less.binds:
        assert _SEVERITY.index(greater.verdict) >= _SEVERITY.index(less.verdict)


@pytest.mark.parametrize("look", LOOKS)
def test_every_look_gives_waves_no_lower_than_its_class(look: str) -> None:
    s = worked.sheet("tansy", today__air__look=look)
    blowing = s.of(waves.wind_today)
    assert blowing.number == LOOKS.index(look)
    assert blowing.low <= blowing.middle <= blowing.high
