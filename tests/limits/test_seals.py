"""Rings, moving seals and no-load current: the acceptance table, what is missing, and properties."""

from datetime import date, timedelta

import pytest
import worked
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.limits import by_item, gland, seal_care, seals, shaft_current
from divelog.limits.model import Limit, Observed, Series, Verdict
from divelog.limits.sheet import NotFittedError, Sheet
from divelog.profiles.document import Basis, Num

few = settings(max_examples=25, deadline=None)
RING = "seal[aft cap].ring"
GROOVE = "seal[aft cap].groove"


def rings(s: Sheet) -> Limit:
    return gland.seals_gland(s)[0]


def shaft(s: Sheet) -> Limit:
    return seals.seals_shaft(s)[0]


def ahead(s: Sheet) -> Limit:
    return shaft_current.no_load_current(s)[0]


def sheet(boat: str = "tansy", sets: dict[str, str] | None = None, **more: object) -> Sheet:
    texts = {path.replace(".", "__"): text for path, text in (sets or {}).items()}
    return worked.sheet(boat, **more, **texts)


def without(boat: str, *paths: str) -> Sheet:
    return sheet(boat, dict.fromkeys(paths, "unknown"))


# -- the acceptance table --


@pytest.mark.parametrize(
    ("boat", "squeeze", "least", "most", "stretch"),
    [("tansy", 0.1737, 0.1096, 0.2337, "4.6 %"), ("bulrush", 0.1746, 0.1105, 0.2345, "4.4 %")],
)
def test_gland_of_the_table(boat: str, squeeze: float, least: float, most: float, stretch: str) -> None:
    found = rings(worked.sheet(boat))
    assert (found.item, found.shown, found.verdict, found.basis) == (
        "aft cap",
        "17 %",
        Verdict.WITHIN,
        Basis.STATED,
    )
    assert found.value == pytest.approx(squeeze, rel=5e-3)
    assert found.u95 == pytest.approx(0.064, abs=5e-4)
    assert found.value is not None
    assert found.value - found.u95 == pytest.approx(least, abs=5e-4)
    assert found.value + found.u95 >= most - 5e-4
    assert [part.shown for part in found.parts] == ["17 %", stretch, "69 %"]
    assert found.remark == "stretched more than usual (1 to 3 %)"
    assert not found.starred


def test_gland_in_words() -> None:
    assert rings(worked.sheet("tansy")).why[0] == (
        "Aft cap ring 91 x 3 in a 2.40 mm groove: squeezed 17 % (15 to 25), stretched 4.6 % (at most 5), fills 69 %."
    )


def test_shaft_of_the_table() -> None:
    found = shaft(worked.sheet("tansy"))
    assert (found.item, found.shown, found.verdict, found.basis) == (
        "shaft",
        "1.1 m",
        Verdict.WITHIN,
        Basis.ASSUMED,
    )
    assert found.high == pytest.approx(1.757, rel=5e-3)
    assert found.u95 == pytest.approx(0.621, rel=5e-3)
    assert (
        found.why[0] == "Plain lip: 20 kPa (good to 30 %), less 2.8 kPa of vacuum: 1.8 m, give or take 0.6."
    )
    assert "0.94 m/s" in found.why[1]


def test_packed_gland_of_the_table() -> None:
    found = shaft(worked.sheet("bulrush"))
    assert (found.verdict, found.basis, found.shown) == (Verdict.UNKNOWN, Basis.MISSING, "unknown")
    assert found.remark == "packed gland: the depth she has been proved dry at rules"


def test_terms_of_the_keel() -> None:
    (term,), missing = seals.seal_terms(worked.sheet("tansy"))
    assert (term.name, missing, term.basis) == ("seal:shaft", (), Basis.ASSUMED)
    assert (term.value, term.u95, term.safe) == (
        pytest.approx(1.757, rel=5e-3),
        pytest.approx(0.621, rel=5e-3),
        pytest.approx(1.136, rel=5e-3),
    )
    assert seals.seal_terms(worked.sheet("bulrush")) == ((), ("seal:shaft",))


def test_no_load_of_the_table() -> None:
    found, astern = shaft_current.no_load_current(worked.sheet("tansy"))
    assert (found.item, found.shown, found.verdict, found.basis) == (
        "ahead",
        "0.50 to 0.74 A",
        Verdict.OUTSIDE,
        Basis.MEASURED,
    )
    assert (found.low, found.high, found.value) == (
        pytest.approx(0.496),
        pytest.approx(0.744),
        pytest.approx(0.62),
    )
    assert (found.shown_low, found.shown_high) == (0.50, 0.74)
    assert found.why[1] == "0.79 A against 0.62 usual (0.50 to 0.74, 5 readings): dry, tight or bent."
    assert [entry.path for entry in found.inputs] == ["shaft.no_load.ahead"]
    assert astern.verdict is Verdict.NO_READING


def test_no_baseline_of_the_table() -> None:
    for found in shaft_current.no_load_current(worked.sheet("bulrush")):
        assert (found.verdict, found.basis) == (Verdict.NO_READING, Basis.MISSING)
        assert found.remark == "5 more readings make a baseline"


# -- further examples --


def test_a_cap_nobody_measured_is_too_close() -> None:
    # By hand: 0.10 mm off the middle leaves (2.8076 - 2.55)/2.8076 = 9.2 % at worst.
    found = rings(without("tansy", f"{GROOVE}.cap"))
    assert found.verdict is Verdict.TOO_CLOSE
    assert found.starred
    assert found.shown == "17 %*"
    assert found.basis is Basis.ASSUMED
    assert found.actions == ("measure the cap's diameter",)
    assert "9 to 25 %" in found.why[1]


@pytest.mark.parametrize(
    ("sets", "verdict", "action"),
    [
        ({f"{GROOVE}.bore": "101 mm"}, Verdict.OUTSIDE, "fit a thicker ring or a shallower groove"),
        ({f"{GROOVE}.bore": "99.2 mm"}, Verdict.OUTSIDE, "fit a thinner ring"),
        ({f"{RING}.inside": "88 mm"}, Verdict.OUTSIDE, "fit a ring of larger inside diameter"),
        ({f"{RING}.inside": "95.5 mm"}, Verdict.OUTSIDE, "fit a ring of smaller inside diameter"),
        ({f"{GROOVE}.width": "2.9 mm"}, Verdict.OUTSIDE, "fit a thinner ring or widen the groove"),
        ({f"{GROOVE}.width": "3.2 mm"}, Verdict.TOO_CLOSE, "fit a thinner ring or widen the groove"),
        ({f"{GROOVE}.made": "printed"}, Verdict.TOO_CLOSE, "measure ring and groove again"),
    ],
)
def test_glands_that_are_not_within(sets: dict[str, str], verdict: Verdict, action: str) -> None:
    found = rings(sheet("tansy", sets))
    assert found.verdict is verdict
    assert action in found.actions


def test_a_slack_ring_is_noted() -> None:
    found = rings(sheet("tansy", {f"{GROOVE}.width": "4.6 mm", f"{RING}.inside": "95 mm"}))
    assert found.verdict is Verdict.WITHIN
    assert found.remark == "stretched less than usual (1 to 3 %), slack in its groove"


def test_a_ring_in_a_face() -> None:
    sets = {
        "seal[aft cap].kind": "face",
        f"{RING}.inside": "60 mm",
        f"{RING}.section": "2.5 mm",
        f"{GROOVE}.depth": "1.9 mm",
        f"{GROOVE}.diameter": "60.3 mm",
        f"{GROOVE}.width": "3.4 mm",
    }
    found = rings(sheet("tansy", sets))
    assert (found.shown, found.verdict, found.remark) == ("24 %", Verdict.WITHIN, "")
    assert (found.shown_low, found.shown_high) == (0.20, 0.30)
    lacking = rings(sheet("tansy", {"seal[aft cap].kind": "face"}))
    assert lacking.missing == ("boat.seal[aft cap].groove.depth",)


def test_a_ring_round_a_rod() -> None:
    sets = {
        f"{RING}.inside": "3.9 mm",
        f"{RING}.section": "2 mm",
        f"{GROOVE}.shaft": "4 mm",
        f"{GROOVE}.diameter": "7.4 mm",
        f"{GROOVE}.width": "2.7 mm",
    }
    moving = rings(sheet("tansy", sets))
    assert (moving.shown_low, moving.shown_high) == (0.10, 0.18)
    assert moving.starred
    turning = rings(sheet("tansy", {**sets, "seal[aft cap].shaft.turns": "3000 rpm"}))
    assert turning.verdict is Verdict.OUTSIDE
    assert "never on a shaft that turns" in turning.why[0]


def test_an_impossible_ring_is_unknown_in_words() -> None:
    found = rings(sheet("tansy", {f"{GROOVE}.bore": "95 mm"}))
    assert (found.item, found.verdict) == ("aft cap", Verdict.UNKNOWN)
    assert found.remark == "The bore must be larger than the groove's diameter."


@pytest.mark.parametrize(
    "path",
    [
        f"boat.{RING}.inside",
        f"boat.{RING}.section",
        f"boat.{GROOVE}.diameter",
        f"boat.{GROOVE}.width",
        f"boat.{GROOVE}.bore",
    ],
)
def test_a_missing_dimension_is_named(path: str) -> None:
    found = rings(without("tansy", path))
    assert (found.verdict, found.missing) == (Verdict.UNKNOWN, (path,))


def test_a_shaft_that_turns_too_fast() -> None:
    found = shaft(sheet("tansy", {"seal[shaft].shaft.turns": "25000 rpm"}))
    assert found.verdict is Verdict.OUTSIDE
    assert found.remark == "the shaft turns too fast for it"
    assert "faster than" in found.why[1]


def test_without_turns_nothing_is_said_of_speed() -> None:
    found = shaft(without("tansy", "boat.seal[shaft].shaft.turns"))
    assert found.shown == "1.1 m"
    assert len(found.why) == 1


def test_a_vacuum_that_uses_up_the_lip() -> None:
    found = shaft(sheet("tansy", {"today.closed.tansy": "45 degC", "cylinder.air": "5 L"}))
    assert found.shown == "0.0 m"
    assert found.verdict is Verdict.OUTSIDE
    assert found.why[-1] == "The vacuum alone may use up what it holds."


def test_inside_pressure_that_lifts_a_lip() -> None:
    # Acceptance: full gauge 11.95 kPa, less 6.86 kPa of water at 0.7 m, is 5 kPa.
    assert "5 kPa over the water" in shaft(worked.sheet("tansy")).cautions[0]
    deep = shaft(sheet("tansy", {"today.plan[tansy].depth": "1.0 m"}))
    assert not any("lifts" in text or "lift it" in text for text in deep.cautions)


def test_inside_pressure_not_known_is_assumed() -> None:
    # By hand: (20 - 10) kPa over 999.61 x 9.80665, u95 of (6, 5) kPa.
    found = shaft(
        without("tansy", "boat.cylinder.inside_diameter", "boat.cylinder.air", "boat.ballast.volume")
    )
    assert found.high == pytest.approx(10e3 / 9802.8, rel=1e-3)
    assert found.u95 == pytest.approx((6e3**2 + 5e3**2) ** 0.5 / 9802.8, rel=1e-3)
    assert found.verdict is Verdict.OUTSIDE
    assert found.actions


def test_other_kinds_hold_more() -> None:
    lip = shaft(worked.sheet("tansy"))
    pressure = shaft(sheet("tansy", {"seal[shaft].kind": "pressure_lip"}))
    bellows = shaft(sheet("tansy", {"seal[shaft].kind": "bellows"}))
    assert lip.shown_high is not None
    assert pressure.shown_high is not None
    assert bellows.shown_high is not None
    assert lip.shown_high < pressure.shown_high < bellows.shown_high
    assert bellows.cautions == ()


def test_a_magnetic_coupling_has_no_hole() -> None:
    found = shaft(sheet("tansy", {"seal[shaft].kind": "magnetic"}))
    assert found.verdict is Verdict.NOT_FITTED
    assert seals.seal_terms(sheet("tansy", {"seal[shaft].kind": "magnetic"})) == ((), ())


def test_boats_without_rings_in_grooves() -> None:
    found = rings(sheet("tansy", {"seal[aft cap].kind": "bellows"}))
    assert found.verdict is Verdict.NOT_FITTED


def _with_series(values: tuple[float, ...], today: float | None = None, **sets: str) -> Limit:
    readings = {} if today is None else {("shaft.no_load_current", "ahead"): Num(today, 0.01, Basis.MEASURED)}
    observed = Observed(no_load={"ahead": Series(values, 0.01)})
    return ahead(worked.sheet("tansy", observed=observed, readings=readings, **sets))


def test_four_readings_make_no_baseline() -> None:
    found = _with_series((0.62, 0.60, 0.63, 0.61), 0.9)
    assert (found.verdict, found.remark) == (Verdict.NO_READING, "1 more reading makes a baseline")


def test_a_baseline_is_frozen_at_eight() -> None:
    first = (0.62, 0.60, 0.63, 0.61, 0.62, 0.62, 0.61, 0.62)
    assert _with_series(first + (0.9,) * 20).shown == _with_series(first).shown


def test_a_coupling_that_slips() -> None:
    found = _with_series((0.62, 0.60, 0.63, 0.61, 0.62), 0.40)
    assert (found.verdict, found.remark) == (Verdict.OUTSIDE, "the coupling slips")
    # By hand: 0.50 + 0.25 x 0.12 = 0.53 A with the motor alone at 0.50 A.
    narrow = _with_series((0.62, 0.60, 0.63, 0.61, 0.62), 0.52, power__motor__alone="0.50 A")
    assert (narrow.shown_low, narrow.verdict) == (0.53, Verdict.OUTSIDE)


def test_more_drag_in_numbers() -> None:
    # By hand: 0.17 A x 9.5493/300 = 5.4 mN m.
    found = _with_series((0.62, 0.60, 0.63, 0.61, 0.62), 0.79, power__motor__kv="300 rpm/V")
    assert "That is 5.4 mN m more drag on the shaft." in found.why


def test_too_close_asks_for_the_same_meter() -> None:
    found = _with_series((0.62, 0.60, 0.63, 0.61, 0.62), 0.735)
    assert found.verdict is Verdict.TOO_CLOSE
    assert found.actions
    quiet = _with_series((0.62, 0.60, 0.63, 0.61, 0.62), 0.62)
    assert (quiet.verdict, quiet.remark, quiet.actions) == (Verdict.WITHIN, "", ())


def test_an_item_that_is_not_fitted_does_not_hide_the_others() -> None:
    def work(s: Sheet, item: str) -> Limit:
        if item == "none":
            raise NotFittedError("there is none")
        return gland.seals_gland.new(item)

    none, some = by_item.each_item(worked.sheet("tansy"), gland.seals_gland, ("none", "some"), work)
    assert (none.item, none.verdict, none.remark, none.actions) == (
        "none",
        Verdict.NOT_FITTED,
        "there is none",
        (),
    )
    assert some.item == "some"


# -- rubber, grease, age --


@pytest.mark.parametrize(
    ("rubber", "grease", "words"),
    [
        ("epdm", "petroleum jelly", "EPDM with petroleum jelly grease swells"),
        ("silicone", "silicone", "use PTFE grease on PFPE oil"),
        ("neoprene", "lithium", "do not go well together"),
        ("unknown", "marine", "Nobody knows whether marine grease suits"),
        ("unknown", "silicone", "Silicone grease suits most rubbers"),
        ("hnbr", "marine", "Nobody knows"),
        ("nitrile", "silicone", ""),
        ("nitrile", "unknown", ""),
    ],
)
def test_grease_and_rubber(rubber: str, grease: str, words: str) -> None:
    s = sheet("tansy", {"seal[aft cap].rubber": rubber, "seal[aft cap].grease": grease})
    found = rings(s).cautions
    assert any(words in text for text in found) if words else found == ()


def test_a_ring_with_no_grease_written_has_no_caution() -> None:
    assert seal_care.grease_caution(worked.sheet("tansy"), "aft cap") == ()


@pytest.mark.parametrize(
    ("seal", "days", "said"),
    [("aft cap", 729, False), ("aft cap", 730, True), ("shaft", 364, False), ("shaft", 365, True)],
)
def test_old_seals(seal: str, days: int, said: bool) -> None:
    fitted = date(2032, 5, 4) - timedelta(days=days)
    found = seal_care.age_caution(sheet("tansy", {f"seal[{seal}].fitted": fitted.isoformat()}), seal)
    assert bool(found) is said
    assert not said or f"{days // 30} months" in found[0]


def test_age_needs_a_date() -> None:
    assert seal_care.age_caution(without("tansy", "boat.seal[shaft].fitted"), "shaft") == ()


# -- properties through the whole chain --


@few
@given(bore=st.floats(98.5, 101.5), more=st.floats(0.01, 0.5))
def test_a_wider_bore_never_squeezes_more(bore: float, more: float) -> None:
    def squeeze(mm: float) -> float:
        sets = {f"{GROOVE}.bore": f"{mm:.6f} mm", f"{GROOVE}.cap": f"{mm - 0.1:.6f} mm"}
        value = rings(sheet("tansy", sets)).value
        assert value is not None
        return value

    assert squeeze(bore + more) < squeeze(bore)


@few
@given(closed=st.floats(12, 40), warmer=st.floats(0.5, 8))
def test_closing_her_warmer_never_lets_her_deeper(closed: float, warmer: float) -> None:
    def depth(celsius: float) -> float:
        found = shaft(sheet("tansy", {"today.closed.tansy": f"{celsius:.3f} degC"})).shown_high
        assert found is not None
        return found

    assert depth(closed + warmer) <= depth(closed)


@few
@given(cap=st.floats(0.0, 0.4), more=st.floats(0.01, 0.3))
def test_a_looser_cap_is_never_surer(cap: float, more: float) -> None:
    order = [Verdict.WITHIN, Verdict.TOO_CLOSE]

    def verdict(gap: float) -> Verdict:
        return rings(sheet("tansy", {f"{GROOVE}.cap": f"{100 - gap:.6f} mm"})).verdict

    assert order.index(verdict(cap + more)) >= order.index(verdict(cap))


@few
@given(
    values=st.lists(st.floats(0.1, 3.0), min_size=5, max_size=12),
    today=st.floats(0.05, 4.0),
)
def test_the_shown_band_lies_inside_the_computed_one(values: list[float], today: float) -> None:
    found = _with_series(tuple(values), today)
    assert found.low is not None
    assert found.high is not None
    assert found.shown_low is not None
    assert found.shown_high is not None
    assert found.low <= found.shown_low + 1e-9
    assert found.shown_high <= found.high + 1e-9
    assert found.verdict in (Verdict.WITHIN, Verdict.TOO_CLOSE, Verdict.OUTSIDE)
