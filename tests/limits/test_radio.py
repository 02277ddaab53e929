"""Radio limits of the worked boats, the recipe's other examples, and how the chain behaves."""

from dataclasses import replace
from typing import Any

import pytest
import worked
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.limits import radio, radio_link, radio_reach
from divelog.limits.model import Limit, ProofView, Verdict
from divelog.limits.sheet import Sheet, UnknownError
from divelog.profiles.document import Basis, Fact, Num

quick = settings(max_examples=40, deadline=None)
NO_TRIAL: dict[str, Any] = {"boat__radio__signal_lost_at__depth": "unknown"}


def only(results: tuple[Limit, ...]) -> Limit:
    (found,) = results
    return found


def si(number: float | None) -> float:
    assert number is not None
    return number


def depth(s: Sheet) -> Limit:
    return only(radio.radio_control_depth(s))


def far(s: Sheet) -> Limit:
    return only(radio.radio_range(s))


def check(s: Sheet) -> Limit:
    return only(radio.radio_check_distance(s))


# -- how deep -----------------------------------------------------------------------------------------------------


def test_tansy_control_depth() -> None:
    s = worked.sheet("tansy")
    found = depth(s)
    assert si(found.high) == pytest.approx(1.1979, rel=0.005)
    assert found.u95 == pytest.approx(0.5893, rel=0.005)
    assert found.shown == "0.60 m"
    assert si(found.shown_high) == 0.60
    assert not found.starred
    assert found.basis is Basis.STATED


def test_tansy_steps_of_the_recipe() -> None:
    s = worked.sheet("tansy")
    here, tried = s.of(radio_link.link), s.of(radio_link.trial)
    assert tried is not None
    assert here.medium.per_metre == pytest.approx(5.5867, rel=0.005)
    assert tried.medium.per_metre == pytest.approx(4.2861, rel=0.005)
    assert here.medium.surface == pytest.approx(28.957, abs=0.01)
    assert tried.medium.surface == pytest.approx(28.927, abs=0.01)
    assert (tried.loss, here.loss) == pytest.approx((34.182, 35.521), abs=0.01)
    found = s.of(radio_reach.control)
    assert found.in_hand == pytest.approx(6.7752, rel=0.005)
    assert found.lost == pytest.approx(1.2127, rel=0.005)
    assert radio_link.reach_from_trial(s, here, tried).u95 == pytest.approx(0.2428, rel=0.005)


def test_tansy_why_lines() -> None:
    why = " ".join(depth(worked.sheet("tansy")).why)
    for part in (
        "6.8 dB in hand",
        "35 m",
        "1.9 m at 30 m",
        "5.6 dB a metre",
        "1.21 m",
        "0.59 m",
        "1.1 m higher",
    ):
        assert part in why


def test_tansy_without_a_trial() -> None:
    s = worked.sheet("tansy", **NO_TRIAL)
    found = depth(s)
    steps = s.of(radio_reach.control)
    assert steps.in_hand == pytest.approx(15.522, abs=0.02)
    assert si(found.high) == pytest.approx(0.4793, rel=0.005)
    assert found.u95 == pytest.approx(2.5, abs=0.02)
    assert found.shown == "0.45 m*"
    assert found.starred
    assert found.basis is Basis.ASSUMED
    assert found.actions


def test_bulrush_keeps_her_tip_out_of_the_water() -> None:
    s = worked.sheet("bulrush")
    found = depth(s)
    assert found.shown == "keep the tip out of the water"
    assert si(found.shown_high) == si(found.high) == 0.0
    assert found.basis is Basis.ASSUMED
    assert s.of(radio_reach.control).per_metre == pytest.approx(355.4, rel=0.005)
    assert "3.6 dB a centimetre" in found.why[1]


def test_a_2_4_gigahertz_boat_has_a_depth_only_after_a_trial() -> None:
    sets: dict[str, Any] = {
        "boat__radio__signal_lost_at__depth": "80 mm ± 5 mm",
        "boat__radio__signal_lost_at__distance": "10 m",
        "boat__radio__signal_lost_at__conductivity": "420 uS/cm",
        "plan__distance": "10 m", "today__air__look": "mirror",
    }  # fmt: skip
    found = depth(worked.sheet("bulrush", **sets))
    assert 0.0 < si(found.shown_high) <= 0.08


def test_nothing_in_hand_is_said_so() -> None:
    found = depth(worked.sheet("bulrush", plan__distance="80 m"))
    assert "nothing in hand" in found.why[0]
    assert "0 mm" in found.why[1]


def test_a_middle_band_without_a_trial_loses_its_whole_uncertainty() -> None:
    found = depth(worked.sheet("tansy", **NO_TRIAL, boat__radio__band="459 MHz", plan__distance="10 m"))
    assert si(found.shown_high) == pytest.approx(0.05 * int((si(found.high) - found.u95) / 0.05), abs=1e-9)
    assert not found.starred
    assert "unknown set" in found.why[2]


def test_never_deeper_than_the_trial_itself() -> None:
    found = depth(worked.sheet("tansy", plan__distance="5 m", site__conductivity="60 uS/cm"))
    assert si(found.shown_high) == 1.9


def test_no_deeper_than_one_metre_untried() -> None:
    found = depth(worked.sheet("tansy", **NO_TRIAL, site__conductivity="100 uS/cm", plan__distance="10 m"))
    assert si(found.high) == pytest.approx(1.0 - 0.0149, abs=1e-3)
    assert found.shown == "0.95 m*"


def test_a_trial_deeper_than_the_formulas_counts_as_at_least_so_deep() -> None:
    s = worked.sheet("tansy", boat__radio__signal_lost_at__depth="9 m")
    tried = s.of(radio_link.trial)
    assert tried is not None
    assert tried.depth.si == 6.0


def test_a_trial_at_no_depth_is_no_trial() -> None:
    assert worked.sheet("tansy", boat__radio__signal_lost_at__depth="0 m").of(radio_link.trial) is None


def test_the_trial_s_own_temperature_counts() -> None:
    warm = worked.sheet("tansy", boat__radio__signal_lost_at__temperature="21 degC")
    # Warmer water had taken more a metre, so more was in hand.
    assert si(depth(warm).high) > si(depth(worked.sheet("tansy")).high)


def test_one_meter_moves_both_waters_together() -> None:
    same = worked.sheet("tansy", boat__radio__signal_lost_at__conductivity="420 uS/cm")
    other = worked.sheet("tansy", boat__radio__signal_lost_at__conductivity="421 uS/cm")
    assert depth(same).u95 < 0.95 * depth(other).u95


def test_an_unmeasured_water_is_taken_at_its_saltier_end() -> None:
    fresh: dict[str, Any] = {**NO_TRIAL, "site__conductivity": "unknown", "site__salinity": "unknown"}
    guessed = depth(worked.sheet("tansy", **fresh))
    stated = depth(worked.sheet("tansy", **NO_TRIAL, site__conductivity="350 uS/cm"))
    assert si(guessed.shown_high) < si(stated.shown_high)
    tried = depth(worked.sheet("tansy", site__conductivity="unknown", site__salinity="unknown"))
    assert tried.u95 > depth(worked.sheet("tansy", site__conductivity="350 uS/cm")).u95


def test_salt_water_leaves_next_to_nothing() -> None:
    found = depth(worked.sheet("tansy", **NO_TRIAL, site__conductivity="53 mS/cm", site__salinity="35 g/kg"))
    assert si(found.shown_high) == 0.0


@pytest.mark.parametrize(
    ("gone", "named"),
    [
        ("boat__radio__band", "boat.radio.band"),
        ("plan__distance", "today.plan[tansy].distance"),
        ("today__water__temperature", "today.water.temperature"),
        ("today__air__look", "today.air.look"),
        ("boat__radio__signal_lost_at__distance", "boat.radio.signal_lost_at.distance"),
        ("boat__radio__signal_lost_at__conductivity", "boat.radio.signal_lost_at.conductivity"),
    ],
)
def test_what_is_missing_is_named(gone: str, named: str) -> None:
    sets: dict[str, Any] = {gone: "unknown"}
    found = depth(worked.sheet("tansy", **sets))
    assert found.verdict is Verdict.UNKNOWN
    assert found.missing == (named,)


# -- the keel -----------------------------------------------------------------------------------------------------


def test_radio_term_of_the_worked_boats() -> None:
    tansy = worked.sheet("tansy").of(radio.radio_term)
    assert (tansy.value, tansy.u95) == pytest.approx((1.4679, 0.5893), rel=0.005)
    assert tansy.safe == pytest.approx(0.8785, abs=0.005)
    assert tansy.basis is Basis.STATED
    bulrush = worked.sheet("bulrush").of(radio.radio_term)
    assert (bulrush.name, bulrush.u95) == ("radio", 0.0)
    assert bulrush.value == pytest.approx(0.290)


def test_radio_term_of_the_same_boat_on_2_4_gigahertz() -> None:
    term = worked.sheet("tansy", **NO_TRIAL, boat__radio__band="2.4 GHz").of(radio.radio_term)
    assert term.value == pytest.approx(0.210)
    assert term.u95 == 0.0


def test_radio_term_without_a_trial() -> None:
    term = worked.sheet("tansy", **NO_TRIAL).of(radio.radio_term)
    assert term.value == pytest.approx(0.4793 + 0.270, rel=0.005)
    assert term.u95 == 0.0
    assert term.basis is Basis.ASSUMED
    middle = worked.sheet("tansy", **NO_TRIAL, boat__radio__band="433 MHz", plan__distance="5 m",
                          today__water__conductivity="20 uS/cm").of(radio.radio_term)  # fmt: skip
    assert middle.u95 >= 0.0


def test_radio_term_never_goes_deeper_than_the_trial() -> None:
    term = worked.sheet("tansy", plan__distance="5 m", site__conductivity="60 uS/cm").of(radio.radio_term)
    assert term.safe == pytest.approx(1.9 + 0.270)


# -- how far ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("boat", "full", "safe"), [("tansy", 436.4, 375.3), ("bulrush", 123.4, 106.8)])
def test_worked_ranges(boat: str, full: float, safe: float) -> None:
    found = far(worked.sheet(boat))
    assert si(found.high) == pytest.approx(full, rel=0.005)
    assert si(found.high) - found.u95 == pytest.approx(safe, rel=0.005)
    assert found.shown == "80 m"
    assert found.binds == ("sight",)
    assert found.verdict is Verdict.WITHIN
    assert found.basis is Basis.ASSUMED
    assert f"{safe:.0f} m" in found.why[0]
    assert "1 place in 100" in found.why[1]


def test_radio_binds_a_large_boat_with_a_wet_tip() -> None:
    found = far(worked.sheet("bulrush", boat__length="1500 mm", boat__radio__tip_above_deck="-38 mm"))
    assert found.binds == ("radio",)
    assert si(found.shown_high) % 5.0 == 0.0
    assert si(found.shown_high) < 150.0


def test_a_plan_beyond_sight_is_outside() -> None:
    assert far(worked.sheet("tansy", plan__distance="90 m")).verdict is Verdict.OUTSIDE
    assert far(worked.sheet("tansy", plan__distance="unknown")).verdict is Verdict.NO_READING
    walked = worked.sheet("tansy", readings={("radio.range", ""): Num(85.0, 2.0)})
    assert far(walked).verdict is Verdict.OUTSIDE


# -- the walk -----------------------------------------------------------------------------------------------------


def test_tansy_walks_nine_tenths_of_her_baseline() -> None:
    s = worked.sheet("tansy")
    lapsed = replace(s.observed, proofs={**s.observed.proofs, "range": ProofView(False, "outing ended")})
    found = check(worked.sheet("tansy", observed=lapsed))
    assert si(found.low) == pytest.approx(43.2)
    assert found.shown == "44 paces"
    assert found.verdict is Verdict.TO_PROVE
    assert found.remark == "outing ended"
    assert found.basis is Basis.STATED
    assert "48 paces" in found.why[0]


def test_bulrush_walks_no_less_than_thirty_paces() -> None:
    found = check(worked.sheet("bulrush"))
    assert si(found.low) == pytest.approx(7.57, rel=0.005)
    assert "5.7 m" in found.why[0]
    assert found.shown == "30 paces"
    assert found.binds == ("floor",)
    assert found.verdict is Verdict.NO_READING
    assert found.basis is Basis.ASSUMED


def test_tansy_with_a_2_4_gigahertz_set() -> None:
    sets: dict[str, Any] = {
        "boat__radio__band": "2.4 GHz",
        "boat__radio__transmitter": "tx-b",
        "boat__radio__check_paces": "unknown",
    }
    found = check(worked.sheet("tansy", **sets))
    assert si(found.low) == pytest.approx(8.29, rel=0.005)
    assert found.shown == "30 paces"
    far_off = check(worked.sheet("tansy", **sets, plan__distance="150 m"))
    assert si(far_off.shown_low) > 30.0
    assert far_off.binds == ("path loss",)


def test_a_walk_is_judged_with_a_tenth() -> None:
    def walked(paces: float, u95: float = 0.0) -> Limit:
        return check(worked.sheet("tansy", readings={("radio.check_distance", ""): Num(paces, u95)}))

    assert walked(60.0).verdict is Verdict.WITHIN
    assert walked(46.0).verdict is Verdict.TOO_CLOSE
    assert walked(46.0, 1.0).verdict is Verdict.WITHIN
    assert walked(40.0).verdict is Verdict.OUTSIDE


def test_a_standing_proof_needs_no_second_walk() -> None:
    s = worked.sheet("tansy")
    stands = replace(s.observed, proofs={**s.observed.proofs, "range": worked.STANDS})
    assert check(worked.sheet("tansy", observed=stands)).verdict is Verdict.WITHIN


def test_without_baseline_or_drop_the_walk_is_unknown() -> None:
    found = check(worked.sheet("tansy", boat__radio__check_paces="unknown"))
    assert found.verdict is Verdict.UNKNOWN
    assert found.missing == ("kit.transmitter[tx-a].range_mode_drop", "boat.radio.check_paces")


@pytest.mark.parametrize("kind", ["pool", "tank"])
def test_no_walk_in_a_pool(kind: str) -> None:
    assert check(worked.sheet("tansy", site__kind=kind)).verdict is Verdict.NOT_FITTED


# -- the chain ----------------------------------------------------------------------------------------------------


@quick
@given(st.floats(5.0, 100.0), st.floats(1.0, 50.0), st.sampled_from(["tansy", "bulrush"]), st.booleans())
def test_farther_is_never_deeper(distance: float, more: float, boat: str, tried: bool) -> None:
    sets: dict[str, Any] = {} if tried else NO_TRIAL
    near = depth(worked.sheet(boat, plan__distance=f"{distance:.2f} m", **sets))
    off = depth(worked.sheet(boat, plan__distance=f"{distance + more:.2f} m", **sets))
    assert si(off.shown_high) <= si(near.shown_high)


@quick
@given(st.floats(50.0, 1500.0), st.floats(10.0, 500.0), st.booleans())
def test_saltier_water_is_never_deeper(microsiemens: float, more: float, tried: bool) -> None:
    sets: dict[str, Any] = {} if tried else NO_TRIAL
    soft = depth(worked.sheet("tansy", site__conductivity=f"{microsiemens:.1f} uS/cm ± 5 %", **sets))
    hard = depth(worked.sheet("tansy", site__conductivity=f"{microsiemens + more:.1f} uS/cm ± 5 %", **sets))
    assert si(hard.shown_high) <= si(soft.shown_high)


@quick
@given(st.floats(0.0, 0.5), st.floats(0.01, 0.5), st.floats(0.0, 60.0), st.floats(1.0, 200.0))
def test_a_wider_trial_or_meter_never_loosens(spread: float, more: float, meter: float, worse: float) -> None:
    def shown(trial: float, sigma: float) -> float:
        found = depth(
            worked.sheet(
                "tansy",
                boat__radio__signal_lost_at__depth=f"1.9 m ± {trial:.3f} m",
                site__conductivity=f"420 uS/cm ± {sigma:.1f} uS/cm",
            )
        )
        return si(found.shown_high)

    assert shown(spread + more, meter) <= shown(spread, meter)
    assert shown(spread, meter + worse) <= shown(spread, meter)


@quick
@given(st.sampled_from(["mirror", "scaly ripples", "small glassy wavelets", "crests begin to break"]))
def test_higher_waves_are_never_deeper(look: str) -> None:
    still = depth(worked.sheet("tansy", today__air__look="mirror"))
    assert si(depth(worked.sheet("tansy", today__air__look=look)).shown_high) <= si(still.shown_high)


def test_a_band_without_figures_is_named() -> None:
    s = worked.sheet("tansy")
    strange = s.facts.with_sets({"boat.radio.band": Fact("50 MHz")})
    with pytest.raises(UnknownError) as missing:
        Sheet(strange).of(radio_link.her_band)
    assert missing.value.missing == ("boat.radio.band",)
