"""Drop at joints and terminals in the water: the worked boats, refusals, and what holds for any water."""

from __future__ import annotations

import pytest
import worked
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.limits import terminals
from divelog.limits.model import Limit, Observed, Verdict
from divelog.limits.registry import KEYS
from divelog.limits.sheet import Sheet
from divelog.profiles.document import Basis, Num

few = settings(max_examples=60, deadline=None)

DROP, LEAKAGE = "terminals.drop", "terminals.leakage"
GREASED = "boat.power.terminals.greased"


def joint(sheet: Sheet, name: str) -> Limit:
    return next(one for one in KEYS[DROP](sheet) if one.item == name)


def leakage(sheet: Sheet) -> Limit:
    (found,) = KEYS[LEAKAGE](sheet)
    return found


def joints(*ohms: float, name: str = "motor") -> Observed:
    return Observed(joints={name: ohms})


def read(volts: float, u95: float = 0.0004, name: str = "motor") -> dict[tuple[str, str], Num]:
    return {(DROP, name): Num(volts, u95, Basis.MEASURED)}


# Joints ---------------------------------------------------------------------------------------------


def test_tansy_motor_joint() -> None:
    found = joint(worked.sheet("tansy"), "motor")
    assert found.high == pytest.approx(0.018, rel=1e-9)
    assert (found.shown, found.verdict, found.basis) == ("18 mV", Verdict.NO_READING, Basis.MEASURED)
    assert found.binds == ("own baseline",)
    assert found.why[0] == "12 mV is usual at 5 A; half as much again is 18"


@pytest.mark.parametrize(
    ("boat", "names"),
    [("tansy", ["pack plug", "main link", "fuse"]), ("bulrush", ["pack tabs", "switch", "motor"])],
)
def test_joints_without_a_baseline(boat: str, names: list[str]) -> None:
    for name in names:
        found = joint(worked.sheet(boat), name)
        assert (found.shown, found.verdict, found.basis) == ("50 mV", Verdict.NO_READING, Basis.STATED)
        assert "no baseline yet" in found.remark


def test_no_joints_written_gives_one_limit_for_any() -> None:
    sheet = worked.sheet("bulrush", power__joints="unknown")
    assert [one.item for one in KEYS[DROP](sheet)] == [""]


@pytest.mark.parametrize(
    ("drop", "verdict"),
    [
        (0.012, Verdict.WITHIN),
        (0.0178, Verdict.TOO_CLOSE),
        (0.021, Verdict.OUTSIDE),
        (0.080, Verdict.OUTSIDE),
    ],
)
def test_a_drop_is_judged(drop: float, verdict: Verdict) -> None:
    found = joint(worked.sheet("tansy", readings=read(drop)), "motor")
    assert found.verdict is verdict
    assert bool(found.actions) == (verdict is not Verdict.WITHIN)
    assert ("stops launch" in found.remark) == (drop > 0.070)


def test_three_readings_make_a_baseline_and_the_first_three_stay_it() -> None:
    two = joint(worked.sheet("tansy", observed=joints(0.001, 0.001)), "motor")
    assert two.binds == ("heat of the spot",)
    many = joint(worked.sheet("tansy", observed=joints(0.001, 0.0012, 0.0011, 0.005, 0.005)), "motor")
    assert many.high == pytest.approx(1.5 * 0.0011 * 5)


def test_small_limits_go_by_half_millivolts() -> None:
    found = joint(worked.sheet("tansy", observed=joints(0.0011, 0.0011, 0.0011)), "motor")
    assert (found.high, found.shown_high, found.shown) == pytest.approx((0.00825, 0.008, "8.0 mV"))


def test_a_coarse_meter_is_not_asked_for_what_it_cannot_see() -> None:
    sheet = worked.sheet("tansy", observed=joints(0.0002, 0.0002, 0.0002), readings=read(0.001, 0.002))
    assert joint(sheet, "motor").high == pytest.approx(0.001 + 1.5 * 0.002)


def test_heat_binds_at_great_currents() -> None:
    found = joint(
        worked.sheet("tansy", observed=joints(0.003, 0.003, 0.003), power__test_load="20 A"), "motor"
    )
    assert found.binds == ("heat of the joint",)
    assert found.shown == "33 mV"
    assert "heat binds first" in found.why[0]


def test_too_little_current_gives_no_verdict() -> None:
    found = joint(worked.sheet("tansy", power__test_load="1 A"), "motor")
    assert found.verdict is Verdict.UNKNOWN
    assert "too little" in found.remark


# Terminals in the water -----------------------------------------------------------------------------


def test_bulrush_greased_this_outing() -> None:
    found = leakage(worked.sheet("bulrush"))
    assert (found.shown, found.verdict, found.basis) == ("10 mA", Verdict.WITHIN, Basis.ASSUMED)
    assert found.value == pytest.approx(0.656e-3, rel=0.005)
    assert found.reading is not None
    assert found.reading.si == pytest.approx(3.29e-3, rel=0.005)
    assert [part.si for part in found.parts[:2]] == pytest.approx([2.209e-3, 4.92e-3], rel=0.005)
    assert not found.starred
    assert found.why[0] == "420 uS/cm, 302 at 11 degC: 2218 ohm between the tabs"
    assert found.why[1].endswith("2.2 mA bare, up to 4.9; 0.7 greased this outing")


@pytest.mark.parametrize("greased", ["never", "some time ago"])
def test_bulrush_bare(greased: str) -> None:
    found = leakage(worked.sheet("bulrush", **{GREASED: greased}))
    assert (found.shown, found.verdict) == ("2 mA", Verdict.OUTSIDE)
    assert found.reading is not None
    # Grease some time ago is not known well enough to be better than bare metal at the high end.
    assert found.reading.si == pytest.approx(4.92e-3, rel=0.005)
    assert found.actions[0].startswith("clean and grease")


def test_lead_lost_bare() -> None:
    found = leakage(worked.sheet("bulrush", **{GREASED: "never"}))
    assert found.parts[2].si == pytest.approx(8.54e-6, rel=0.005)


def test_tansy_has_a_dry_pack() -> None:
    assert leakage(worked.sheet("tansy")).verdict is Verdict.NOT_FITTED
    unsaid = leakage(worked.sheet("tansy", power__pack_in_wet="unknown"))
    assert (unsaid.verdict, unsaid.missing) == (Verdict.UNKNOWN, ("boat.power.pack_in_wet",))


@pytest.mark.parametrize(
    ("water", "conductivity", "verdict"),
    [
        ("sea", "53.1 mS/cm", Verdict.OUTSIDE),
        ("sea", "60 mS/cm", Verdict.OUTSIDE),
        ("salt_pool", "5.56 mS/cm", Verdict.OUTSIDE),
        ("brackish", "3.1 mS/cm", Verdict.OUTSIDE),
        ("brackish", "0.4 mS/cm", Verdict.WITHIN),
        ("fresh", "50 uS/cm", Verdict.WITHIN),
    ],
)
def test_salt_is_outside_whatever_the_grease(water: str, conductivity: str, verdict: Verdict) -> None:
    sheet = worked.sheet("bulrush", site__water=water, site__conductivity=conductivity)
    found = leakage(sheet)
    assert found.verdict is verdict
    assert ("salt" in found.remark) == (verdict is Verdict.OUTSIDE)
    assert any("Chlorine" in line for line in found.cautions) == (verdict is Verdict.OUTSIDE)
    assert bool(found.actions) == (verdict is Verdict.OUTSIDE)


def test_hard_water_is_outside_even_greased() -> None:
    found = leakage(worked.sheet("bulrush", site__conductivity="2.5 mS/cm"))
    assert found.verdict is Verdict.OUTSIDE
    assert found.actions == ("a sealed connector, or the pack in a dry box",)


def test_guesses_are_starred_and_a_small_pack_is_held_tighter() -> None:
    for what in ("area", "gap", "greased"):
        found = leakage(worked.sheet("bulrush", **{f"boat.power.terminals.{what}": "unknown"}))
        assert found.starred
        assert found.shown.endswith("*")
    for capacity, shown in (("3 A h", "6 mA"), ("2.3 A h", "4.6 mA"), ("2.33 A h", "4.6 mA")):
        assert leakage(worked.sheet("bulrush", pack__capacity=capacity)).shown == shown


def test_the_softest_water_counts_as_the_formulas_softest() -> None:
    found = leakage(worked.sheet("bulrush", site__conductivity="3 uS/cm"))
    assert found.verdict is Verdict.WITHIN
    assert found.value > 0.0


def test_without_a_reading_a_full_pack_is_taken() -> None:
    sheet = worked.sheet("bulrush", readings={})
    assert sheet.of(terminals.pack_volts) == pytest.approx(3 * 2.13)


def test_terminals_too_close_are_said() -> None:
    found = leakage(worked.sheet("bulrush", **{"boat.power.terminals.gap": "10 mm"}))
    assert found.verdict is Verdict.UNKNOWN
    assert "too close" in found.remark


BULRUSH = worked.facts("bulrush")
ORDER = [Verdict.WITHIN, Verdict.OUTSIDE]


def any_sheet(**texts: str) -> Sheet:
    facts = BULRUSH.with_sets(
        dict(BULRUSH.typed(path.replace("__", "."), text) for path, text in texts.items())
    )
    return Sheet(facts, at=worked.AT)


@few
@given(
    sigma=st.floats(15.0, 2500.0),
    more=st.floats(1.0, 3.0),
    celsius=st.floats(1.0, 25.0),
    greased=st.sampled_from(["this outing", "some time ago", "never"]),
)
def test_saltier_or_warmer_water_is_never_judged_more_kindly(
    sigma: float, more: float, celsius: float, greased: str
) -> None:
    def found(conductivity: float, degrees: float) -> Limit:
        return leakage(
            any_sheet(
                site__conductivity=f"{conductivity:.4f} uS/cm",
                today__water__temperature=f"{degrees:.3f} degC",
                boat__power__terminals__greased=greased,
            )
        )

    base = found(sigma, celsius)
    for other in (found(sigma * more, celsius), found(sigma, celsius + 5.0)):
        assert other.value is not None
        assert other.value >= base.value
        assert ORDER.index(other.verdict) >= ORDER.index(base.verdict)
    assert base.reading.si >= base.value
    assert base.reading.si <= base.parts[1].si + 1e-12


@few
@given(area=st.floats(20.0, 300.0), sigma=st.floats(15.0, 2500.0))
def test_grease_never_raises_the_current(area: float, sigma: float) -> None:
    values = [
        leakage(
            any_sheet(
                site__conductivity=f"{sigma:.4f} uS/cm",
                boat__power__terminals__area=f"{area:.3f} mm^2",
                boat__power__terminals__greased=word,
            )
        ).value
        for word in ("this outing", "some time ago", "never")
    ]
    assert values == sorted(values)


@few
@given(ohms=st.floats(0.0001, 0.01), worse=st.floats(1.0, 3.0), current=st.floats(2.0, 25.0))
def test_a_poorer_baseline_never_tightens_and_nothing_passes_fifty_millivolts(
    ohms: float, worse: float, current: float
) -> None:
    facts = BULRUSH.with_sets(dict([BULRUSH.typed("power.test_load", f"{current:.3f} A")]))
    limits = [joint(Sheet(facts, joints(*(x,) * 3)), "motor") for x in (ohms, ohms * worse)]
    assert limits[0].shown_high <= limits[1].shown_high <= 0.050
    assert all(one.shown_high <= one.high + 1e-12 for one in limits)
