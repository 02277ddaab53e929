"""How high the tip must stand and how much of the aerial clear of metal, for the worked boats and others."""

from typing import Any

import pytest
import worked
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.limits import antenna
from divelog.limits.model import Limit, Verdict
from divelog.limits.sheet import Sheet
from divelog.profiles.document import Basis, Num

quick = settings(max_examples=40, deadline=None)


def only(results: tuple[Limit, ...]) -> Limit:
    (found,) = results
    return found


def si(number: float | None) -> float:
    assert number is not None
    return number


def height(s: Sheet) -> Limit:
    return only(antenna.antenna_tip_height(s))


def clear(s: Sheet) -> Limit:
    return only(antenna.antenna_clear_length(s))


@pytest.mark.parametrize(
    ("boat", "value", "shown"), [("tansy", 0.02042, "30 mm"), ("bulrush", 0.05355, "60 mm")]
)
def test_worked_heights(boat: str, value: float, shown: str) -> None:
    found = height(worked.sheet(boat))
    assert found.low == pytest.approx(value, abs=0.0005)
    assert found.u95 == pytest.approx(0.00595, rel=0.005)
    assert found.shown == shown
    assert found.basis is Basis.ASSUMED
    assert found.verdict is Verdict.NO_READING
    assert found.binds == ("waves",)


def test_tansy_on_2_4_gigahertz() -> None:
    s = worked.sheet("tansy", boat__radio__band="2.4 GHz", boat__radio__signal_lost_at__depth="unknown")
    found = height(s)
    assert found.low == pytest.approx(0.05165, abs=0.0005)
    assert found.shown == "60 mm"
    assert s.of(antenna.tip_height).for_range == 0.0
    assert "Bare end 31 mm, crests of the bigger waves 15 mm, pitch and list 6: 52 mm, 60" in found.why[0]


def test_parts_of_the_worked_height() -> None:
    found = worked.sheet("tansy").of(antenna.tip_height)
    assert found.bare == 0.0
    assert found.crest == pytest.approx(0.01486, abs=1e-4)
    assert found.tilt == pytest.approx(0.00481 + 0.00074, abs=1e-4)


def test_a_boat_that_may_go_under_keeps_her_tip_dry_from_there() -> None:
    assert height(worked.sheet("tansy")).title == "Aerial tip kept dry from"
    assert height(worked.sheet("bulrush")).title == "Aerial tip above still water"


def test_the_planned_distance_may_ask_for_more() -> None:
    s = worked.sheet("bulrush", plan__distance="120 m")
    found = height(s)
    parts = s.of(antenna.tip_height)
    assert parts.for_range > parts.bare + parts.crest + parts.tilt
    assert found.low == parts.for_range
    assert found.binds == ("range",)
    assert "planned distance alone" in found.why[1]


def test_no_mast_carries_that_far() -> None:
    found = height(worked.sheet("bulrush", plan__distance="400 m"))
    assert found.verdict is Verdict.UNKNOWN
    assert "plan nearer" in found.remark


def test_a_seen_height_is_judged() -> None:
    def seen(metres: float) -> Verdict:
        return height(
            worked.sheet("bulrush", readings={("antenna.tip_height", ""): Num(metres, 0.01)})
        ).verdict

    assert [seen(m) for m in (0.10, 0.065, 0.05)] == [Verdict.WITHIN, Verdict.TOO_CLOSE, Verdict.OUTSIDE]


def test_a_tip_too_low_is_told_how_often_it_is_wetted() -> None:
    def why(metres: float, **sets: Any) -> str:
        reading = {("antenna.tip_height", ""): Num(metres, 0.002)}
        return " ".join(height(worked.sheet("tansy", readings=reading, **sets)).why)

    # Own arithmetic: sigma 4.877 mm, 5 mm is 1.025 of them: 15.3 % of the time; over the crossing rate 0.12 s.
    assert "At 5 mm waves wet it 15.3 % of the time, 0.12 s each: glitches." in why(0.005)
    assert "failsafe starts" in why(0.005, boat__radio__failsafe_delay="0.1 s")
    assert "s each." in why(0.005, boat__radio__failsafe_delay="unknown")
    assert "wet it" not in why(0.040)
    assert "wet it" not in why(0.001, site__kind="tank")
    assert "wet it" not in why(0.001, today__air__look="mirror")


@pytest.mark.parametrize("gone", ["boat__radio__band", "boat__radio__tip_above_deck", "today__air__look"])
def test_what_is_missing_makes_the_height_unknown(gone: str) -> None:
    sets: dict[str, Any] = {gone: "unknown"}
    found = height(worked.sheet("bulrush", **sets))
    assert found.verdict is Verdict.UNKNOWN
    assert found.missing == (gone.replace("__", "."),)


def test_in_a_tank_nothing_but_the_bare_end_and_tilt_counts() -> None:
    found = worked.sheet("bulrush", site__kind="tank", today__air__look="unknown").of(antenna.tip_height)
    assert found.crest == 0.0
    assert found.u95 == 0.0


@quick
@given(st.floats(0.0, 9.0), st.floats(0.1, 2.5), st.sampled_from(["tansy", "bulrush"]))
def test_more_wind_never_lowers_the_tip(u: float, more: float, boat: str) -> None:
    calm = height(worked.sheet(boat, today__air__wind=f"{u:.3f} m/s", today__air__wind_height="10 m"))
    windy = height(worked.sheet(boat, today__air__wind=f"{u + more:.3f} m/s", today__air__wind_height="10 m"))
    assert si(windy.shown_low) >= si(calm.shown_low)


@quick
@given(st.floats(10.0, 190.0), st.floats(1.0, 500.0), st.sampled_from(["tansy", "bulrush"]))
def test_more_open_water_never_lowers_the_tip(fetch: float, more: float, boat: str) -> None:
    short = height(worked.sheet(boat, site__fetch=f"{fetch:.1f} m"))
    long = height(worked.sheet(boat, site__fetch=f"{min(fetch + more, 200.0):.1f} m"))
    assert si(long.shown_low) >= si(short.shown_low)


def test_bulrush_stands_clear() -> None:
    found = clear(worked.sheet("bulrush"))
    assert found.low == pytest.approx(0.03123, abs=0.0005)
    assert found.shown == "32 mm"
    assert found.u95 == 0.0
    assert found.reading == Num(0.040, 0.001)
    assert "32 dB for each bore" in found.cautions[1]
    assert found.verdict is Verdict.WITHIN
    assert found.basis is Basis.STATED


def test_tansy_must_write_down_her_wire() -> None:
    found = clear(worked.sheet("tansy"))
    assert found.verdict is Verdict.UNKNOWN
    assert found.missing == ("boat.radio.aerial_length",)
    assert "40 MHz wire" in found.remark
    known = clear(worked.sheet("tansy", boat__radio__aerial_length="920 mm"))
    assert known.shown == "920 mm"
    assert known.verdict is Verdict.NO_READING


def test_the_lowest_channel_of_each_band() -> None:
    shown = {
        band: clear(worked.sheet("bulrush", boat__radio__band=band)).shown
        for band in ("2.4 GHz", "459 MHz", "868 MHz", "915 MHz", "433 MHz")
    }
    # Own arithmetic: 299 792 458/(4 f) at 2.400 GHz, 458.5, 868.0, 902 and 433.05 MHz, rounded up.
    assert shown == {
        "2.4 GHz": "32 mm", "459 MHz": "164 mm", "868 MHz": "87 mm", "915 MHz": "84 mm", "433 MHz": "174 mm",
    }  # fmt: skip


def test_a_short_bare_end_is_outside_and_says_what_it_costs() -> None:
    found = clear(worked.sheet("bulrush", boat__radio__clear_length="24 mm"))
    assert found.verdict is Verdict.OUTSIDE
    assert "24 mm clear at least 3 dB" in found.why[1]
    close = clear(worked.sheet("bulrush", boat__radio__clear_length="32.5 mm"))
    assert close.verdict is Verdict.TOO_CLOSE
    none = clear(worked.sheet("bulrush", boat__radio__clear_length="unknown"))
    assert none.verdict is Verdict.NO_READING


def test_a_mast_that_is_not_metal_takes_nothing_away() -> None:
    for mast in ("plastic", "none"):
        assert clear(worked.sheet("bulrush", boat__radio__mast=mast)).verdict is Verdict.NOT_FITTED
    unsaid = clear(worked.sheet("bulrush", boat__radio__mast="unknown"))
    assert unsaid.basis is Basis.ASSUMED
    assert unsaid.shown == "32 mm"
