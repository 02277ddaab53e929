"""The cylinder's limits: the acceptance table of the two worked boats, and properties over boats and days."""

from dataclasses import replace

import pytest
import worked
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.limits import cylinder, cylinder_damp, cylinder_leak
from divelog.limits.cylinder_air import pressures
from divelog.limits.model import Observed, Verdict
from divelog.limits.sheet import UnknownError
from divelog.profiles.document import Basis, Num


def only(results, item=""):
    return next(r for r in results if r.item == item)


def pressure(s):
    return only(cylinder.cylinder_pressure(s))


def leak(s, item=""):
    return only(cylinder_leak.cylinder_leak_down(s), item)


def found(s):
    return only(cylinder_damp.cylinder_water_found(s))


def heat(s):
    return only(cylinder.cylinder_heat(s))


def part(limit, name):
    return next(p for p in limit.parts if p.name == name)


# -- the acceptance table --
# value and u95 within 0.5 % or one step of the key, shown numbers and verdicts exactly

STATES = {
    # state: (gauge Pa, u95 Pa or None where the table gives none)
    "tansy": {
        "cold": (-2775, 1021),
        "full": (11_952, 1530),
        "bank": (4162, None),
        "bank, full": (20_099, None),
    },
    "bulrush": {"cold": (-1752, 855), "bank": (5256, None)},
}


@pytest.mark.parametrize("boat", STATES)
def test_states_of_the_table(boat):
    limit = pressure(worked.sheet(boat))
    for name, (gauge, u95) in STATES[boat].items():
        state = part(limit, name)
        assert state.si == pytest.approx(gauge, rel=0.005, abs=1.0)
        if u95 is not None:
            assert state.u95 == pytest.approx(u95, abs=100.0)
    assert {p.name for p in limit.parts} == {"closed", *STATES[boat]}


def test_pressure_of_the_table():
    tansy = pressure(worked.sheet("tansy"))
    assert (tansy.shown, tansy.verdict, tansy.basis) == ("-5.0 to +25.0 kPa", Verdict.WITHIN, Basis.ASSUMED)
    assert (tansy.shown_low, tansy.shown_high) == (-5000.0, 25_000.0)
    assert tansy.reading_text == "-2.8 to +20.1"
    assert "0.28 m deeper" in tansy.why[0]
    assert "+12 kPa" in tansy.why[1]
    bulrush = pressure(worked.sheet("bulrush"))
    assert (bulrush.shown, bulrush.verdict, bulrush.basis) == (
        "-5.0 to +1.2 kPa",
        Verdict.OUTSIDE,
        Basis.ASSUMED,
    )
    assert bulrush.high == pytest.approx(4.0 * 100.0 / (3.0 * 0.104))
    assert bulrush.actions[1] == "write down how the caps are held"


def test_cold_pressure_feeds_the_tube():
    assert cylinder.cold_pressure(worked.sheet("tansy")).si == pytest.approx(-2774.6, abs=0.1)
    assert cylinder.cold_pressure(worked.sheet("tansy")).u95 == pytest.approx(1021, abs=1)
    # closed colder than the water: closing itself, at nothing, is the least
    warm = worked.sheet("tansy", today__closed__tansy="4 degC", today__water__temperature="20 degC")
    assert cylinder.cold_pressure(warm).si == 0.0


def test_leak_down_of_the_table():
    tansy = leak(worked.sheet("tansy"))
    assert tansy.high == pytest.approx(848.3, rel=0.005)
    assert tansy.high - tansy.u95 == pytest.approx(798.4, rel=0.005)
    assert tansy.shown == "0.75 kPa in 10 min at 20 kPa"
    assert part(tansy, "shortest hold").si == 9 * 60
    assert tansy.basis is Basis.ASSUMED
    bulrush = leak(worked.sheet("bulrush"))
    assert bulrush.high == pytest.approx(562.4, rel=0.005)
    assert bulrush.high - bulrush.u95 == pytest.approx(441.9, rel=0.005)
    assert bulrush.shown == "0.40 kPa in 10 min at -10 kPa"
    assert part(bulrush, "shortest hold").si == 13 * 60
    assert part(bulrush, "hold offered").shown == "20 min, 0.85 kPa"


def test_leak_down_without_a_thermometer_takes_longer():
    s = worked.sheet("tansy")
    kit = worked.read_document(worked.KIT.read_bytes(), "kit.toml", worked.SCHEMAS["kit"])
    bare = replace(s.facts, kit=kit)
    limit = leak(type(s)(bare, s.observed, s.readings, worked.AT))
    assert part(limit, "shortest hold").si == 26 * 60
    assert limit.shown == "0.75 kPa in 10 min at 20 kPa"


def test_short_form_says_what_it_can_see():
    short = leak(worked.sheet("tansy"), "60 s")
    assert short.shown == "0.5 kPa in 60 s at 20 kPa"
    assert "5.9 mL an hour" in short.remark


def test_water_found_of_the_table():
    tansy, bulrush = found(worked.sheet("tansy")), found(worked.sheet("bulrush"))
    assert (tansy.low, tansy.shown) == (0.0, "0 to 17 mg")
    assert tansy.high == pytest.approx(17.45e-6, rel=0.005)
    assert tansy.remark == "bone dry within; mist on the wall too close; a drop OUTSIDE"
    assert part(tansy, "most sweat").shown == "0.01 mL"
    assert bulrush.high == pytest.approx(6.83e-6, rel=0.005)
    assert bulrush.shown == "0 to 6 mg"
    assert bulrush.remark == "bone dry within; mist on the wall too close; a drop OUTSIDE"
    assert tansy.basis is bulrush.basis is Basis.ASSUMED


def test_heat_of_the_table():
    tansy = heat(worked.sheet("tansy"))
    assert (tansy.shown, tansy.verdict, tansy.basis) == ("90 degC", Verdict.WITHIN, Basis.STATED)
    assert tansy.reading.si == pytest.approx(273.15 + 29)
    assert tansy.reading.u95 == pytest.approx(9.0)
    assert "about 49 degC" in tansy.cautions[0]
    bulrush = heat(worked.sheet("bulrush"))
    assert bulrush.verdict is Verdict.UNKNOWN
    assert bulrush.missing == ("boat.power.cut_out", "boat.power.heat_rise")


# -- inside pressure --


def test_a_gauge_reading_counts_beside_the_predictions():
    s = worked.sheet("tansy", readings={("cylinder.pressure", ""): Num(26e3, 500.0)})
    limit = pressure(s)
    assert limit.verdict is Verdict.OUTSIDE
    assert limit.reading.si == 26e3
    near = pressure(worked.sheet("tansy", readings={("cylinder.pressure", ""): Num(-4.8e3, 500.0)}))
    assert near.verdict is Verdict.TOO_CLOSE


def test_start_state_full_pulls_a_vacuum():
    s = worked.sheet("tansy", ballast__start_state="full")
    states = {state.name: state.gauge for state in pressures(s)}
    # 3.2 L closed with 0.42 L of water in, emptied: -101.3 x 0.42/3.62 kPa and the cooling
    assert states["cold"] < -101_325 * 0.42 / 3.62
    assert states["full"] == pytest.approx(-2774.6, abs=0.1)
    assert pressure(s).verdict is Verdict.OUTSIDE
    part_full = worked.sheet("tansy", ballast__start_state="part full")
    middle = {state.name: state.gauge for state in pressures(part_full)}
    assert states["cold"] < middle["cold"] < -2774.6


def test_ballast_outside_but_vented_inside_shares_the_air():
    shut = {x.name: x.gauge for x in pressures(worked.sheet("bulrush"))}
    vented = {x.name: x.gauge for x in pressures(worked.sheet("bulrush", ballast__vent="into cylinder"))}
    assert "full" not in shut
    # 2.336 L and the empty tank's own 1.1 L: filling it presses 3.436 L into 2.336 L
    assert vented["full"] == pytest.approx((101_325 - 1752) * 3.4358 / 2.3358 - 101_325, rel=0.01)
    assert vented["cold"] == pytest.approx(shut["cold"], abs=1.0)


@pytest.mark.parametrize(
    ("held", "shown", "starred"),
    [("screws", "-5.0 to +20.0 kPa", True), ("friction", "-5.0 to +1.2 kPa", False)],
)
def test_edges_by_how_the_caps_are_held(held, shown, starred):
    s = worked.sheet("bulrush", **{"cap[aft cap]__held_by": held, "cap[fore cap]__held_by": held})
    assert (pressure(s).shown, pressure(s).starred) == (shown, starred)


def test_one_friction_cap_rules():
    s = worked.sheet("bulrush", **{"cap[aft cap]__held_by": "screws"})
    assert pressure(s).shown_high == 1200.0
    unsaid = worked.sheet(
        "bulrush", **{"cap[aft cap]__held_by": "unknown", "cap[fore cap]__held_by": "screws"}
    )
    assert pressure(unsaid).shown_high == 1200.0
    assert pressure(unsaid).starred


def test_no_caps_written_down_is_friction():
    s = worked.sheet("bulrush")
    boat = replace(s.facts.boat, entries={**s.facts.boat.entries, "cap": ()})
    limit = pressure(type(s)(replace(s.facts, boat=boat), s.observed, {}, worked.AT))
    assert (limit.shown_high, limit.starred) == (1200.0, True)


def test_without_a_moving_lip_the_weak_tube_is_the_low_edge():
    s = worked.sheet("bulrush", **{"seal[shaft]__moves": "false"})
    limit = pressure(s)
    # the tube's 43.2 kPa less its ±, less 0.7 m of water
    assert -36e3 < limit.shown_low < -25e3
    assert any("weakest part" in line for line in limit.why)
    bare = worked.sheet("bulrush", **{"seal[shaft]__moves": "false", "cylinder__wall": "unknown"})
    # caps alone still give an edge
    assert pressure(bare).shown_low < -200e3
    nothing = worked.sheet(
        "bulrush",
        **{
            "seal[shaft]__moves": "false",
            "cylinder__material": "unknown",
            "cap[aft cap]__material": "unknown",
            "cap[fore cap]__material": "unknown",
        },
    )
    assert pressure(nothing).shown_low is None
    assert pressure(nothing).shown == "at most +1.2 kPa"


def test_without_a_plan_the_low_edge_takes_no_depth():
    sets = {"seal[shaft]__moves": "false"}
    with_plan = pressure(worked.sheet("bulrush", **sets)).low
    without = pressure(worked.sheet("bulrush", **sets, plan__depth="unknown")).low
    own = pressure(worked.sheet("bulrush", **sets, plan__depth="unknown", my_limits__deepest="1.4 m")).low
    assert without < with_plan < own


def test_strength_counts_as_an_input_only_where_it_is_the_edge():
    lip = {i.path for i in pressure(worked.sheet("bulrush")).inputs}
    free = {i.path for i in pressure(worked.sheet("bulrush", **{"seal[shaft]__moves": "false"})).inputs}
    assert "boat.cylinder.wall" not in lip
    assert "boat.cylinder.wall" in free


@pytest.mark.parametrize(
    ("sets", "named"),
    [
        ({"today__water__temperature": "unknown"}, "today.water.temperature"),
        ({"ballast__start_state": "unknown"}, "boat.ballast.start_state"),
    ],
)
def test_pressure_names_what_is_missing(sets, named):
    limit = pressure(worked.sheet("tansy", **sets))
    assert limit.verdict is Verdict.UNKNOWN
    assert limit.missing == (named,)


def test_ballast_too_large_for_the_air_is_said_in_words():
    limit = pressure(worked.sheet("tansy", ballast__volume="2.6 L"))
    assert limit.verdict is Verdict.UNKNOWN
    assert "caps would go first" in limit.remark


def test_water_of_unknown_salt_is_taken_at_its_heaviest():
    s = worked.sheet("tansy", site__water="unknown", site__salinity="unknown", site__conductivity="unknown")
    assert pressure(s).verdict is Verdict.WITHIN
    assert pressure(s).why[0].endswith("0.28 m deeper for every seal")
    heavy, light = leak(s), leak(worked.sheet("tansy"))
    assert heavy.high < light.high
    assert "density" in {i.path for i in heavy.inputs}


def test_barometer_and_humidity_read_replace_the_assumptions():
    s = worked.sheet("tansy", today__air__humidity="60 %", today__air__pressure="1013.25 hPa")
    limit = pressure(s)
    assert part(limit, "cold").si == pytest.approx(-2774.6, abs=0.1)
    assert part(limit, "cold").u95 < 1021
    paths = {i.path for i in limit.inputs}
    assert "barometer" not in paths
    assert "humidity at closing" not in paths


def test_warm_water_over_a_cold_bank_is_said_as_above_air():
    limit = pressure(
        worked.sheet("tansy", today__closed__tansy="5 degC", today__water__temperature="20 degC")
    )
    assert "above air" in limit.why[0]


# -- leak-down --


def leak_reading(boat, pascals, u95=0.0, item="", **sets):
    return leak(worked.sheet(boat, readings={("cylinder.leak_down", item): Num(pascals, u95)}, **sets), item)


def test_a_fall_is_judged_with_the_gauge_s_own_noise():
    # noise of Tansy's hold is 0.48 kPa: 0.2 kPa clears 0.75, 0.5 does not, 0.8 is beyond
    assert leak_reading("tansy", 200.0).verdict is Verdict.WITHIN
    assert leak_reading("tansy", 500.0).verdict is Verdict.TOO_CLOSE
    assert leak_reading("tansy", 800.0).verdict is Verdict.OUTSIDE
    assert leak_reading("tansy", 800.0).actions
    # a vacuum's rise comes as a fall below nothing
    assert leak_reading("bulrush", -800.0).verdict is Verdict.OUTSIDE


def test_a_hold_shorter_than_the_shortest_is_at_best_too_close():
    limit = leak_reading("bulrush", 0.0, my_limits__leak_water="3.5 mL", cylinder__air="2.3 L ± 0.01 L")
    assert part(limit, "shortest hold").si <= 600.0
    assert limit.verdict is Verdict.WITHIN
    longer = leak_reading("bulrush", 0.0, my_limits__leak_water="2.5 mL", cylinder__air="3.0 L ± 0.01 L")
    assert part(longer, "shortest hold").si > 600.0
    assert longer.verdict is Verdict.TOO_CLOSE
    assert longer.actions == ("hold 20 min",)


def test_a_gauge_too_coarse_says_towel_or_bubbles():
    limit = leak_reading("tansy", 0.0, my_limits__leak_water="0.05 mL")
    assert limit.remark == "this gauge cannot decide: towel or bubbles"
    assert limit.verdict is Verdict.TOO_CLOSE
    assert limit.actions == ("weigh a towel after ten minutes in the water",)


def test_short_form_is_judged_against_one_step():
    assert leak_reading("tansy", 0.0, 300.0, "60 s").verdict is Verdict.WITHIN
    assert leak_reading("tansy", 500.0, 300.0, "60 s").verdict is Verdict.TOO_CLOSE
    assert leak_reading("tansy", 1000.0, 300.0, "60 s").verdict is Verdict.OUTSIDE
    # the long hold's reading is not the short one's
    s = worked.sheet("tansy", readings={("cylinder.leak_down", ""): Num(2000.0)})
    assert leak(s, "60 s").verdict is Verdict.NO_READING


def test_immersion_only_is_not_fitted_and_dip_has_no_short_form():
    s = worked.sheet("tansy", cylinder__test_by="immersion")
    assert leak(s).verdict is Verdict.NOT_FITTED
    dip = worked.sheet("tansy", cylinder__short_test="immersion")
    assert [r.item for r in cylinder_leak.cylinder_leak_down(dip)] == [""]


def test_test_gauges():
    def gauge(boat, method, **sets):
        return cylinder_leak.test_gauge(worked.sheet(boat, **sets), method)

    assert gauge("tansy", "pressure") == 20e3
    # no builder's figure: 5 kPa, 10 kPa of vacuum
    assert gauge("tansy", "pressure", cylinder__most_gauge="unknown") == 5e3
    assert gauge("bulrush", "vacuum") == -10e3
    assert gauge("tansy", "vacuum", cylinder__most_gauge="8 kPa") == -6e3
    # in between, the greatest service pressure and never below the builder's share
    assert gauge("tansy", "pressure", cylinder__most_gauge="9 kPa") == 7e3
    assert gauge("tansy", "pressure", ballast__volume="100 mL", cylinder__most_gauge="60 kPa") == 7.5e3
    # a weak tube binds the vacuum
    weak = gauge("bulrush", "vacuum", cylinder__wall="1.4 mm", cylinder__roundness="0.5 mm")
    assert -10e3 < weak < 0.0


def test_friction_caps_are_strapped_first_and_a_gauge_in_the_kit_is_used():
    s = worked.sheet("bulrush", cylinder__test_by="pressure")
    assert leak(s).cautions[0].startswith("Strap the caps first")
    assert leak(worked.sheet("tansy")).cautions[0].startswith("Caps can fly")
    meter = b'\n[[meter]]\nid = "gauge"\nreads = "pressure"\nstep = "%s"\n'

    def with_step(words):
        found = worked.read_document(
            worked.KIT.read_bytes() + meter % words, "kit.toml", worked.SCHEMAS["kit"]
        )
        plain = worked.sheet("tansy")
        return leak(
            type(plain)(replace(plain.facts, kit=found), plain.observed, {}, worked.AT), "60 s"
        ).shown_high

    assert with_step(b"0.1 kPa") == pytest.approx(100.0)
    assert with_step(b"ten") == 500.0
    assert with_step(b"0 kPa") == 500.0


@pytest.mark.parametrize(
    ("sets", "named"),
    [
        ({"plan__depth": "unknown", "my_limits__deepest": "unknown"}, "today.plan[tansy].depth"),
        ({"plan__minutes": "unknown"}, "today.plan[tansy].minutes"),
        ({"plan__minutes": "0 min"}, "today.plan[tansy].minutes"),
        ({"cylinder__test_by": "unknown"}, "boat.cylinder.test_by"),
    ],
)
def test_leak_down_names_what_is_missing(sets, named):
    limit = leak(worked.sheet("tansy", **sets))
    assert limit.verdict is Verdict.UNKNOWN
    assert limit.missing == (named,)


@settings(deadline=None, max_examples=40)
@given(st.floats(0.3, 3.0), st.floats(10.0, 120.0), st.floats(0.0, 1.0), st.floats(1.0, 2.0))
def test_a_wider_air_volume_never_loosens_and_more_water_never_tightens(depth, minutes, spread, more):
    def shown(spread=spread, water=2.0):
        return leak(
            worked.sheet(
                "tansy",
                plan__depth=f"{depth:.3f} m",
                plan__minutes=f"{minutes:.2f} min",
                cylinder__air=f"3.2 L ± {spread:.3f} L",
                my_limits__leak_water=f"{water:.3f} mL",
            )
        ).shown_high

    assert shown(spread=spread + 0.3) <= shown()
    assert shown(water=2.0 * more) >= shown()


# -- water found --


def answer(word, **sets):
    s = worked.sheet("tansy", **sets)
    return found(type(s)(s.facts, s.observed, {}, worked.AT, {("cylinder.water_found", ""): word}))


@pytest.mark.parametrize(
    ("word", "verdict"),
    [
        ("bone dry", Verdict.WITHIN),
        ("mist on the wall", Verdict.TOO_CLOSE),
        ("a drop", Verdict.OUTSIDE),
        ("a teaspoon", Verdict.OUTSIDE),
        ("a cup", Verdict.OUTSIDE),
    ],
)
def test_words_for_water(word, verdict):
    limit = answer(word)
    assert limit.verdict is verdict
    assert limit.reading_text == word
    assert bool(limit.actions) is (verdict is not Verdict.WITHIN)


def test_damp_parts_let_two_drops_be_too_close():
    limit = answer("a drop", cylinder__damp_parts="20 g")
    assert limit.high == pytest.approx(97.4e-6, rel=0.005)
    assert limit.verdict is Verdict.TOO_CLOSE
    two = Num(0.1e-6, 0.05e-6)
    s = worked.sheet("tansy", cylinder__damp_parts="20 g", readings={("cylinder.water_found", ""): two})
    assert found(s).verdict is Verdict.TOO_CLOSE
    assert found(s).reading.si == pytest.approx(100e-6)


def test_each_opening_lets_in_as_much_again():
    once = found(worked.sheet("tansy")).high
    s = worked.sheet("tansy", observed=Observed(opened_since_wiped=2))
    assert found(s).high == pytest.approx(3.0 * once)
    assert any("2 opening(s)" in line for line in found(s).why)


def test_measured_humidity_closes_the_band():
    limit = found(worked.sheet("tansy", today__air__humidity="90 %"))
    assert 0.0 < limit.low < limit.high < found(worked.sheet("tansy")).high * 1.01
    wide = found(worked.sheet("tansy", today__air__humidity="90 % ± 20 %"))
    assert wide.low < limit.low
    assert wide.high > limit.high


def test_water_found_names_the_water_temperature():
    limit = found(worked.sheet("tansy", today__water__temperature="unknown"))
    assert limit.missing == ("today.water.temperature",)


@settings(deadline=None, max_examples=40)
@given(st.floats(2.0, 30.0), st.floats(2.0, 30.0), st.floats(0.1, 5.0))
def test_colder_water_never_means_less_sweat(closed, water, colder):
    def high(t):
        return found(
            worked.sheet(
                "tansy", today__closed__tansy=f"{closed:.2f} degC", today__water__temperature=f"{t:.2f} degC"
            )
        ).high

    assert high(max(0.5, water - colder)) >= high(water)


# -- heat --


def test_a_great_rise_is_outside_by_itself():
    limit = heat(worked.sheet("bulrush", power__heat_rise="26 K"))
    assert limit.verdict is Verdict.OUTSIDE
    assert limit.shown == "a rise of at most 25 K"
    assert heat(worked.sheet("tansy", power__heat_rise="26 K")).verdict is Verdict.OUTSIDE


def test_heat_without_a_rise_shows_the_limit_and_asks():
    limit = heat(worked.sheet("tansy", power__heat_rise="unknown"))
    assert limit.shown == "90 degC"
    assert limit.missing == ("boat.power.heat_rise",)
    assert limit.verdict is Verdict.NO_READING


def test_heat_too_close():
    limit = heat(worked.sheet("tansy", power__cut_out="55 degC"))
    assert limit.shown == "35 degC"
    assert limit.verdict is Verdict.TOO_CLOSE


def test_bank_caution_does_not_change_the_basis():
    limit = heat(worked.sheet("tansy", today__air__temperature="unknown"))
    assert limit.basis is Basis.STATED
    assert "about 49 degC" in limit.cautions[0]


# -- properties over days --


@settings(deadline=None, max_examples=40)
@given(st.floats(1.0, 30.0), st.floats(1.0, 40.0), st.floats(0.1, 10.0), st.floats(0.0, 0.9))
def test_closing_hotter_never_raises_the_cold_end(water, closed, hotter, humidity):
    def least(t):
        s = worked.sheet(
            "tansy",
            today__water__temperature=f"{water:.2f} degC",
            today__closed__tansy=f"{t:.2f} degC",
            today__air__humidity=f"{humidity * 100:.1f} %",
        )
        return min(state.gauge for state in pressures(s))

    assert least(closed + hotter) <= least(closed) + 1e-6


@settings(deadline=None, max_examples=40)
@given(st.floats(0.0, 500.0))
def test_more_ballast_never_lowers_the_full_end(millilitres):
    def most(v):
        return max(x.most for x in pressures(worked.sheet("tansy", ballast__volume=f"{v:.1f} mL")))

    assert most(millilitres + 10.0) >= most(millilitres + 1.0)


def test_pressure_falls_to_unknown_not_to_a_traceback():
    s = worked.sheet("tansy", today__closed__tansy="68 degC")
    assert pressure(s).verdict is Verdict.UNKNOWN
    with pytest.raises(UnknownError):
        cylinder.cold_pressure(worked.sheet("tansy", today__water__temperature="unknown"))
