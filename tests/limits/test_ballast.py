"""Ballast keys and the pump's terms of depth: the worked boats, other pumps, gas, what is missing, and properties."""

import math
from dataclasses import replace

import pytest
import worked
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.app.display import limit_words
from divelog.commands.limits import words_of
from divelog.limits import ballast, ballast_depth, ballast_model, ballast_times, battery
from divelog.limits.model import Observed, Series, Verdict
from divelog.limits.sheet import NotFittedError, UnknownError
from divelog.papers.sheets.figures import edge
from divelog.profiles.document import Basis, Fact, Num, State

few = settings(max_examples=30, deadline=None)
ML = 1e-6


def facts_with(sheet, **known):
    """The same sheet with measured facts put in, paths with double underscores for dots."""
    measured = {
        path.replace("__", "."): Fact(Num(*value, Basis.MEASURED), State.KNOWN, Basis.MEASURED)
        for path, value in known.items()
    }
    sheet.facts = sheet.facts.with_measured(measured)
    return sheet


# -- the worked boats: values by an independent second implementation ------------------------------------------------


@pytest.mark.parametrize(
    ("boat", "value", "u95", "shown"),
    [("tansy", 376.2, 7.0, "377 of 420 mL"), ("bulrush", 1038.9, 21.7, "1039 of 1100 mL")],
)
def test_enough(boat, value, u95, shown):
    (found,) = ballast.ballast_enough(worked.sheet(boat))
    assert found.value / ML == pytest.approx(value, abs=0.1)
    assert found.u95 / ML == pytest.approx(u95, abs=0.05)
    assert found.shown == shown
    assert found.verdict is Verdict.WITHIN
    assert found.basis is Basis.ASSUMED


def test_a_pond_boat_cannot_dive_in_the_sea_without_lead():
    (found,) = ballast.ballast_enough(worked.sheet("tansy", site__water="sea", site__salinity="35 g/kg"))
    # 530.5 mL and 113.4 g by the second implementation, which took the trim water without any salt.
    assert found.value / ML == pytest.approx(530.5, abs=1.2)
    assert found.verdict is Verdict.OUTSIDE
    inside, wet = found.moves
    assert inside.mass * 1e3 == pytest.approx(113.4, abs=1.2)
    assert wet.mass > inside.mass
    assert found.cautions


@pytest.mark.parametrize(
    ("boat", "value", "shown", "notice", "short"),
    [("tansy", 35.65, "at most 44 s", "41 s", "20 s"), ("bulrush", 46.75, "at most 58 s", "54 s", "33 s")],
)
def test_fill_time(boat, value, shown, notice, short):
    (found,) = ballast.fill_time(worked.sheet(boat))
    assert found.value == pytest.approx(value, abs=0.01)
    assert found.shown == shown
    assert [p.shown for p in found.parts] == [notice, short]
    assert found.basis is Basis.STATED
    assert found.verdict is Verdict.NO_READING


@pytest.mark.parametrize(
    ("boat", "value", "shown"), [("tansy", 36.78, "at most 45 s"), ("bulrush", 54.91, "at most 68 s")]
)
def test_empty_time_afloat(boat, value, shown):
    found = ballast.empty_time(worked.sheet(boat))[0]
    assert found.value == pytest.approx(value, abs=0.02)
    assert found.shown == shown
    assert found.basis is Basis.STATED


def test_empty_time_at_depth():
    found = ballast.empty_time(worked.sheet("tansy"))[1]
    assert found.value == pytest.approx(51.75, abs=0.05)
    assert found.low == pytest.approx(77.6, abs=0.05)
    assert found.shown == "at least 78 s of hold"
    assert found.reading is not None
    assert found.reading.si == 90.0
    assert found.verdict is Verdict.WITHIN
    sheet = worked.sheet("tansy")
    assert sheet.of(ballast_model.carry, "empty", 0.65, 8.1 / 7.6).predicted == pytest.approx(46.50, abs=0.02)


def test_a_shut_mast_keeps_the_water_in():
    found = ballast.empty_time(worked.sheet("bulrush"))[1]
    assert found.shown == "the pump cannot empty her"
    assert found.verdict is Verdict.NONE
    assert found.parts[0].si / ML == pytest.approx(3.2, abs=0.05)
    assert found.why[-1] == "She comes up by what she is light"


@pytest.mark.parametrize(
    ("boat", "spare", "value", "shown"), [("tansy", 0.4782, 7.86, "7*"), ("bulrush", 1.8930, 34.07, "34*")]
)
def test_cycles_by_charge(boat, spare, value, shown, monkeypatch):
    real = battery.spare

    def from_the_table(sheet):
        sheet.of(real)  # keeps its inputs
        return spare * 3600.0

    monkeypatch.setattr(battery, "spare", from_the_table)
    (found,) = ballast.ballast_cycles(worked.sheet(boat))
    assert found.value == pytest.approx(value, abs=0.01)
    assert found.shown == shown
    assert found.verdict is Verdict.WITHIN
    assert found.basis is Basis.ASSUMED


def test_cycles_with_the_packs_own_spare():
    (found,) = ballast.ballast_cycles(worked.sheet("tansy"))
    assert found.value == pytest.approx(7.86, rel=0.01)
    assert found.shown == "7*"


def test_pump_terms():
    head, hold = worked.sheet("tansy").of(ballast.pump_terms)
    assert head.name == "pump head"
    assert head.value == pytest.approx(1.671, abs=0.002)
    assert head.u95 == pytest.approx(0.487, abs=0.002)
    assert head.safe == pytest.approx(1.184, abs=0.002)
    assert hold.name == "pump hold"
    assert hold.safe == pytest.approx(0.966, abs=0.001)
    assert not head.waived
    assert not hold.waived
    with pytest.raises(NotFittedError):
        worked.sheet("bulrush").of(ballast.pump_terms)


def test_a_head_measured_or_assumed():
    measured = facts_with(worked.sheet("tansy"), boat__ballast__pump_head=(2.4, 0.0))
    head = measured.of(ballast.pump_terms)[0]
    assert head.u95 == pytest.approx(0.104, abs=0.001)
    assert head.safe == pytest.approx(1.567, abs=0.002)
    guess = worked.sheet("tansy", boat__ballast__pump_head="unknown").of(ballast.pump_terms)[0]
    # 3.0 m by kind: 0.8 of 2.975 m less air and plus the tank's height, ± 0.3 of it.
    assert guess.basis is Basis.ASSUMED
    assert guess.u95 == pytest.approx(math.hypot(0.3 * 3.0 * 7.537 / 7.6, 0.104), abs=0.002)


def test_a_wet_failsafe_test_waives_the_pump():
    stands = replace(worked._OBSERVED["tansy"], proofs={"failsafe_wet": worked.STANDS})
    for term in worked.sheet("tansy", observed=stands).of(ballast.pump_terms):
        assert term.waived
    heavy = worked.sheet("tansy", observed=stands, boat__dived_balance="8 g ± 1 g")
    for term in heavy.of(ballast.pump_terms):
        assert not term.waived or term.value == 0.0


# -- readings of times ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("seconds", "verdict", "remark"),
    [
        (36.0, Verdict.WITHIN, ""),
        (42.5, Verdict.WITHIN, "slower than it was"),
        (43.9, Verdict.TOO_CLOSE, ""),
        (50.0, Verdict.OUTSIDE, ""),
        (15.0, Verdict.TOO_CLOSE, "not a full stroke"),
    ],
)
def test_a_timed_fill(seconds, verdict, remark):
    reading = {("ballast.fill_time", ""): Num(seconds, 0.3, Basis.MEASURED)}
    (found,) = ballast.fill_time(worked.sheet("tansy", readings=reading))
    assert found.verdict is verdict
    assert found.remark == remark
    assert bool(found.actions) is (verdict is not Verdict.WITHIN)


def test_five_like_times_make_their_own_band():
    times = {"fill": Series((37.0, 38.0, 38.5, 38.2, 37.8), 0.3, {"volts": 7.6})}
    seen = replace(worked._OBSERVED["tansy"], times=times)
    (found,) = ballast.fill_time(worked.sheet("tansy", observed=seen))
    # Median 38.0 s at 7.6 V, 35.65 at 8.1; spread under 10 %, so a tenth either way.
    assert found.value == pytest.approx(35.65, abs=0.01)
    assert (found.shown_low, found.shown_high) == (33.0, 39.0)
    assert found.shown == "33 to 39 s"
    few_times = replace(seen, times={"fill": Series((30.0,), 0.3, {})})
    (found,) = ballast.fill_time(worked.sheet("tansy", observed=few_times))
    assert found.shown_low is None
    assert found.value == pytest.approx(35.65, abs=0.01)  # one stroke of the log moves no baseline


def test_no_volts_read_today_leaves_the_baseline():
    (found,) = ballast.fill_time(worked.sheet("tansy", history=False, today__closed__tansy="11 degC"))
    assert found.shown == "at most 47 s"  # 38 × 1.25 = 47.5
    assert found.why[0] == "38 s"


def test_a_measured_head_trusts_the_model():
    sheet = facts_with(worked.sheet("tansy"), boat__ballast__pump_head=(2.4, 0.0))
    # `with_measured` adds to what the log knows, so today's volts still count.
    (found,) = ballast.fill_time(sheet)
    assert found.value == pytest.approx(28.95, abs=0.05)


def test_a_pump_too_weak_today_is_outside_without_a_time():
    sheet = worked.sheet("tansy", boat__ballast__pump_head="1.7 m", boat__ballast__at_voltage="16 V")
    (found,) = ballast.fill_time(sheet)
    assert found.verdict is Verdict.OUTSIDE
    assert found.shown == "cannot fill her"
    assert found.value is None


def test_a_head_that_never_made_the_baseline_is_left_out():
    sheet = worked.sheet("tansy", boat__ballast__pump_head="0.5 m")
    (found,) = ballast.fill_time(sheet)
    assert found.value == pytest.approx(35.65, abs=0.01)


def test_centrifugal_pumps_lose_head_with_the_square_of_volts():
    sheet = worked.sheet("tansy", boat__ballast__pump="centrifugal")
    gear = worked.sheet("tansy").of(ballast.pump_terms)[0]
    fan = sheet.of(ballast.pump_terms)[0]
    assert fan.value < gear.value


# -- from depth -----------------------------------------------------------------------------------------------------


def test_a_failsafe_that_gives_up_too_soon():
    sheet = worked.sheet("tansy", **{"boat__failsafe[signal lost]__hold": "60 s"})
    found = ballast.empty_time(sheet)[1]
    assert found.verdict is Verdict.OUTSIDE
    assert "let the failsafe try longer" in found.actions
    assert 0.0 < sheet.of(ballast.pump_terms)[1].safe < 0.2
    never = worked.sheet("tansy", **{"boat__failsafe[signal lost]__hold": "40 s"})
    assert never.of(ballast.pump_terms)[1].safe == 0.0


def test_a_failsafe_with_no_time_written():
    sheet = worked.sheet("tansy", **{"boat__failsafe[signal lost]__hold": "unknown"})
    found = ballast.empty_time(sheet)[1]
    assert found.verdict is Verdict.NO_READING
    assert found.actions
    assert [t.name for t in sheet.of(ballast.pump_terms)] == ["pump head"]


def test_only_failsafes_that_empty_the_ballast_count():
    sheet = worked.sheet("bulrush")
    boat = sheet.facts.boat
    path = "failsafe[low volts].does"
    stays = Fact((("throttle", "stops"),), origin="test")
    sheet.facts = replace(sheet.facts, boat=replace(boat, facts={**boat.facts, path: stays}))
    assert sheet.of(ballast_model.shortest_hold).trigger == "signal lost"


def test_no_plan_names_it():
    sets = {"today__plan[tansy]__depth": "unknown", "boat__my_limits__deepest": "unknown"}
    found = ballast.empty_time(worked.sheet("tansy", **sets))[1]
    assert found.missing == ("today.plan[tansy].depth",)


def test_a_shut_mast_without_a_figure_of_air_or_a_balance():
    found = ballast.empty_time(worked.sheet("bulrush", boat__ballast__air_left="unknown"))[1]
    assert not found.parts
    found = ballast.empty_time(
        worked.sheet("bulrush", boat__ballast__air_left="1 L", boat__ballast__pump_head="12 m")
    )[1]
    assert not found.parts  # no vacuum stops so strong a pump
    found = ballast.empty_time(worked.sheet("bulrush", boat__dived_balance="unknown"))[1]
    assert "not known" in found.why[-1]
    found = ballast.empty_time(worked.sheet("bulrush", boat__dived_balance="2 g ± 1 g"))[1]
    assert "not light enough" in found.why[-1]
    sets = {"today__plan[bulrush]__depth": "unknown"}
    afloat, deep = ballast.empty_time(worked.sheet("bulrush", **sets))
    assert afloat.value == pytest.approx(54.91, abs=0.02)
    assert deep.missing == ("today.plan[bulrush].depth",)


def test_a_strong_pump_is_held_by_nothing_and_waits_for_no_balance():
    sheet = worked.sheet("tansy", boat__ballast__pump_head="150 m", boat__ballast__pump="centrifugal")
    assert [t.name for t in sheet.of(ballast.pump_terms)] == ["pump head"]
    stands = replace(worked._OBSERVED["tansy"], proofs={"failsafe_wet": worked.STANDS})
    unknown = worked.sheet("tansy", observed=stands, boat__dived_balance="unknown")
    assert not any(t.waived for t in unknown.of(ballast.pump_terms))


def test_too_deep_for_the_pump():
    found = ballast.empty_time(worked.sheet("tansy", **{"today__plan[tansy]__depth": "3 m"}))[1]
    assert found.verdict is Verdict.OUTSIDE
    assert found.shown == "cannot empty her"


def test_an_unknown_vent_is_named_and_an_open_hose_counts():
    unknown = ballast.empty_time(worked.sheet("bulrush", boat__ballast__vent="unknown"))
    assert unknown[1].missing == ("boat.ballast.vent",)
    assert unknown[0].value == pytest.approx(54.0 * 6.2 / 6.1, abs=0.01)  # by volts alone
    sheet = worked.sheet("bulrush", boat__ballast__vent="open hose")
    assert ballast.empty_time(sheet)[1].value > 54.9
    head, hold = sheet.of(ballast.pump_terms)
    # Head 2.6 m at 6.2 V, at the pack's reserve; no air in the way, 40 mm of keel under the tank.
    reserve = sheet.of(ballast_depth.reserve_volts)
    assert head.value == pytest.approx(0.8 * 2.6 * reserve / 6.2 + 0.040, abs=1e-6)
    assert hold.value > 0.0


def test_a_sealed_tank_by_itself():
    sheet = worked.sheet("bulrush", boat__ballast__vent="none")
    # 15 mL of air for 1100 mL of water: no pump squeezes that.
    assert sheet.of(ballast_model.pump).air == pytest.approx(1115 * ML)
    assert ballast.fill_time(sheet)[0].value == pytest.approx(46.75, abs=0.01)


def test_air_joined_to_the_tank():
    def air(**sets: str) -> float:
        return worked.sheet("tansy", **sets).of(ballast_model.pump).air * 1e3

    assert air() == pytest.approx(3.2)
    assert air(boat__ballast__start_state="full") == pytest.approx(3.62)
    sheet = worked.sheet("bulrush", boat__ballast__vent="into cylinder", boat__cylinder__air="2.3 L")
    assert sheet.of(ballast_model.pump).air * 1e3 == pytest.approx(3.4)


def test_a_heavy_boat_with_a_shut_mast_has_no_depth():
    (term,) = worked.sheet("bulrush", boat__dived_balance="2 g ± 1 g").of(ballast.pump_terms)
    assert term.safe == 0.0
    assert "not surely light" in term.why
    (term,) = worked.sheet("bulrush", boat__dived_balance="2 g ± 1 g", boat__ballast__vent="unknown").of(
        ballast.pump_terms
    )
    assert "write down" in term.why
    with pytest.raises(UnknownError):
        worked.sheet("bulrush", boat__dived_balance="unknown").of(ballast.pump_terms)
    with pytest.raises(NotFittedError):
        worked.sheet("bulrush", boat__ballast__kind="snort_blower").of(ballast.pump_terms)


# -- gas ------------------------------------------------------------------------------------------------------------


def gas(weighed: float = 0.155, **sets: str):
    """Tansy blowing 600 mL by isobutane, the tank's outlet 1.0 m down in 10 degC water; 60 g in the bottle."""
    usual = {
        "boat__ballast__kind": "gas",
        "boat__ballast__volume": "600 mL",
        "boat__ballast__gas__bottle": "G1",
        "kit__bottle[G1]__fluid": "isobutane",
        "kit__bottle[G1]__volume": "100 mL",
        "kit__bottle[G1]__empty_mass": "95 g",
        "today__water__temperature": "10 degC",
        "boat__ballast__tank__bottom": "0 mm",
        "today__plan[tansy]__depth": "1 m",
    }
    sheet = worked.sheet("tansy", **{**usual, **sets})
    return facts_with(sheet, **{"bottle[G1]__weighed": (weighed, 0.0001)}) if weighed else sheet


def test_blows_by_weight():
    (found,) = ballast.ballast_cycles(gas())
    # 60 g in a 100 mL bottle, 0.587 g of it vapour; 2.0463 g a blow: 29.03, at + 12 % 25.92, less two: 23.
    assert found.value == pytest.approx(29.03, abs=0.03)
    assert found.shown == "23*"
    assert found.verdict is Verdict.WITHIN
    assert any("burns" in c for c in found.cautions)


def test_weighed_grams_a_blow_beat_the_formula():
    (found,) = ballast.ballast_cycles(gas(boat__ballast__gas__per_blow="2.1 g"))
    assert found.shown == "24"  # 59.41/2.205 = 26.9, less two
    assert not found.starred


def test_gas_that_is_not_weighed_or_cannot_be_counted():
    (found,) = ballast.ballast_cycles(gas(weighed=0.0))
    assert found.missing == ("bottle[G1].weighed",)
    (found,) = ballast.ballast_cycles(gas(**{"kit__bottle[G1]__fluid": "air"}))
    assert found.missing == ("boat.ballast.gas.per_blow",)
    (found,) = ballast.ballast_cycles(gas(**{"kit__bottle[G1]__fluid": "dimethyl ether"}))
    assert found.verdict is Verdict.UNKNOWN
    assert "dissolves" in found.remark
    (found,) = ballast.ballast_cycles(gas(**{"kit__bottle[G1]__fluid": "R-134a"}))
    assert any("2024/573" in c for c in found.cautions)
    (found,) = ballast.ballast_cycles(gas(weighed=0.099))
    assert found.verdict is Verdict.OUTSIDE


def test_gas_term():
    (term,) = gas(today__water__temperature="4 degC").of(ballast.pump_terms)
    assert term.name == "gas"
    # (180.45 − 50 − 101.325) kPa of water; half a kelvin colder 177.38 kPa (CoolProp, isobutane).
    assert term.value == pytest.approx(2.97, rel=0.01)
    assert term.u95 == pytest.approx((180.45 - 177.38) / 9.806, rel=0.03)
    with pytest.raises(NotFittedError):
        gas().of(ballast_model.pump)
    with pytest.raises(NotFittedError):
        gas(**{"kit__bottle[G1]__fluid": "air"}).of(ballast.pump_terms)
    with pytest.raises(UnknownError):
        gas(**{"kit__bottle[G1]__fluid": "CO2"}, today__water__temperature="35 degC").of(ballast.pump_terms)


def test_gas_boats_time_their_strokes_without_a_pump():
    (found,) = ballast.empty_time(gas())
    assert found.value == pytest.approx(35.0)
    assert len(ballast.empty_time(gas())) == 1


# -- what is missing ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "path", "named"),
    [
        ("fill_time", "boat__ballast__fill_time", "boat.ballast.fill_time"),
        ("empty_time", "boat__ballast__empty_time", "boat.ballast.empty_time"),
        ("ballast_enough", "boat__dived_balance", "boat.dived_balance"),
        ("ballast_cycles", "boat__ballast__fill_time", "boat.ballast.fill_time"),
    ],
)
def test_missing_inputs_are_named(key, path, named):
    (found,) = getattr(ballast, key)(worked.sheet("tansy", **{path: "unknown"}))
    assert found.verdict is Verdict.UNKNOWN
    assert named in found.missing


def test_boats_without_ballast():
    for one in (ballast.fill_time, ballast.empty_time, ballast.ballast_enough, ballast.ballast_cycles):
        (found,) = one(worked.sheet("tansy", boat__ballast__kind="none"))
        assert found.verdict is Verdict.NOT_FITTED
    (found,) = ballast.ballast_cycles(worked.sheet("bulrush", boat__ballast__kind="snort_blower"))
    assert found.verdict is Verdict.NOT_FITTED


def test_heavy_with_an_empty_tank():
    (found,) = ballast.ballast_enough(worked.sheet("tansy", boat__dived_balance="-400 g"))
    assert found.verdict is Verdict.OUTSIDE
    assert found.shown == "heavy without ballast"
    (close,) = ballast.ballast_enough(
        worked.sheet("tansy", boat__ballast__volume="380 mL ± 5 mL", boat__dived_balance="60 g")
    )
    assert close.verdict is Verdict.TOO_CLOSE


# -- properties -----------------------------------------------------------------------------------------------------


@few
@given(st.floats(6.5, 8.4), st.floats(0.05, 1.5))
def test_more_volts_never_lengthen(volts, more):
    def at(v: float) -> float:
        sheet = facts_with(worked.sheet("tansy"), **{"pack[D2]__volts_blow": (v, 0.0)})
        return ballast.empty_time(sheet)[0].value

    assert at(volts + more) < at(volts)


@few
@given(st.floats(0.1, 1.2), st.floats(0.01, 0.4))
def test_deeper_never_empties_sooner(depth, more):
    def at(metres: float) -> float:
        sheet = worked.sheet("tansy", **{"today__plan[tansy]__depth": f"{metres:.4f} m"})
        return ballast.empty_time(sheet)[1].value

    assert at(depth + more) >= at(depth) - 1e-6


@few
@given(st.floats(0.0, 20.0), st.floats(0.0, 10.0))
def test_closed_warmer_never_deepens_the_pump(warm, more):
    def safe(celsius: float) -> float:
        sheet = worked.sheet("tansy", today__closed__tansy=f"{11 + celsius:.3f} degC")
        return sheet.of(ballast.pump_terms)[0].safe

    assert safe(warm + more) <= safe(warm) + 1e-9


@few
@given(st.floats(10.0, 300.0), st.floats(0.0, 200.0))
def test_a_longer_hold_never_lessens_the_depth(hold, more):
    def depth(seconds: float) -> float:
        sheet = worked.sheet("tansy", **{"boat__failsafe[signal lost]__hold": f"{seconds:.2f} s"})
        return next(t.safe for t in sheet.of(ballast.pump_terms) if t.name == "pump hold")

    assert depth(hold + more) >= depth(hold)


@few
@given(st.floats(2.0, 30.0), st.floats(0.1, 2.0))
def test_deeper_gas_never_gives_more_blows(celsius, depth):
    def blows(metres: float) -> int:
        sets = {
            "today__water__temperature": f"{celsius:.2f} degC",
            "today__plan[tansy]__depth": f"{metres:.3f} m",
        }
        (found,) = ballast.ballast_cycles(gas(**sets))
        return -1 if found.verdict is Verdict.UNKNOWN else int(found.reading.si)

    assert blows(depth + 0.5) <= blows(depth)


def test_every_key_of_the_subject_says_what_it_needs():
    for one in (ballast.ballast_enough, ballast.fill_time, ballast.empty_time, ballast.ballast_cycles):
        assert one.info.needs
        assert one.info.formula
        assert one.info.sources
    assert ballast_times.AT_DEPTH in ballast.empty_time.info.items
    assert Observed().times == {}


@pytest.mark.parametrize("boat", ["tansy", "bulrush"])
def test_cycles_left_are_what_she_has_beside_the_two_that_are_kept(boat):
    """Two kept: common practice, no source."""
    (found,) = ballast.ballast_cycles(worked.sheet(boat))
    assert found.shows_reading
    assert (found.shown_low, found.reading.si) == (2.0, float(found.shown.rstrip("*")))
    assert words_of(found) == f"{found.shown}  (on top of the plan)"
    assert limit_words(found, ballast.ballast_cycles.info) == "at least 2"
    assert edge(found) == found.shown
    (enough,) = ballast.ballast_enough(worked.sheet(boat))
    assert not enough.shows_reading
