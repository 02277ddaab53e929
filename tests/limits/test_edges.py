"""Lines of the limits that only some boats and days come to: rests after a run, weed, packs that are out, words of a sign."""

from dataclasses import replace

import pytest
import worked

from divelog.calibration.model import RanIn
from divelog.limits import cylinder_air, sensitivity, tube, weed
from divelog.limits.model import Limit, Observed, Verdict
from divelog.limits.registry import KEYS
from divelog.limits.sheet import Sheet, UnknownError
from divelog.profiles.document import Basis, Num

REST, AFTER = "battery.rest_voltage", "after the run"


def rested(volts: float, u95: float = 0.02) -> tuple[Limit, ...]:
    sheet = worked.sheet("tansy", readings={(REST, AFTER): Num(volts, u95, Basis.MEASURED)})
    return KEYS[REST](sheet)


@pytest.mark.parametrize(
    ("volts", "verdict"),
    [(7.20, Verdict.OUTSIDE), (7.62, Verdict.OUTSIDE), (7.64, Verdict.TOO_CLOSE), (7.90, Verdict.WITHIN)],
)
def test_ten_minutes_after_a_run_only_what_is_kept_back_must_be_there(volts: float, verdict: Verdict) -> None:
    # At least 7.63 V: beyond it the reading itself is outside; it is within only where it clears it by its ± of 0.02.
    before, after = rested(volts)
    assert after.item == AFTER
    assert after.verdict is verdict
    assert before.verdict is Verdict.NO_READING, "a rest after the run says nothing of the next one"
    assert after.low is not None
    assert before.low is not None
    assert after.low < before.low


def test_nobody_who_has_not_read_it_is_asked_for_the_rest_after_a_run() -> None:
    assert [one.item for one in KEYS[REST](worked.sheet("tansy"))] == ["D2"]


@pytest.mark.parametrize(("month", "blows"), [("5", 2.0), ("6", 1.0)])
def test_two_blows_are_kept_in_a_weed_month(month: str, blows: float) -> None:
    sheet = worked.sheet("tansy", site__weed_months=month)  # the worked day is in May
    assert sheet.of(weed.blows_kept).si == blows


def test_who_says_how_many_blows_is_taken_at_the_word() -> None:
    sheet = worked.sheet("tansy", site__weed_months="5", plan__blows="3")
    assert sheet.of(weed.blows_kept).si == 3.0


@pytest.mark.parametrize(
    ("on", "words"),
    [(True, "pack D2 is out in bulrush since 08:11"), (False, "pack D2 ran in bulrush 4 May")],
)
def test_a_pack_that_another_boat_has_is_not_taken_for_full(on: bool, words: str) -> None:
    observed = replace(
        worked._OBSERVED["tansy"], charged_full={}, ran={"D2": (RanIn("bulrush", worked.AT, "r1", on),)}
    )
    limit = KEYS["battery.endurance"](worked.sheet("tansy", observed=observed, readings={}))[0]
    assert limit.verdict is Verdict.UNKNOWN
    assert words in " ".join((limit.remark, *limit.why))


@pytest.mark.parametrize(
    ("water", "words"),
    [("5 degC", ("14 K warmer", "too light")), ("25 degC", ("6 K colder", "too heavy"))],
)
def test_a_warm_boat_in_cold_water_is_light_at_first(water: str, words: tuple[str, str]) -> None:
    # By hand: she comes from 19 degC; a warmer hull takes more room, so it floats higher until it has cooled.
    why = KEYS["trim.soak_time"](worked.sheet("tansy", today__water__temperature=water))[0].why[0]
    assert all(word in why for word in words)


def test_vacuum_is_told_without_its_sign() -> None:
    assert "Each is less 2.8 kPa of vacuum inside" in KEYS["tube.depth"](worked.sheet("tansy"))[0].why


@pytest.mark.parametrize("low", [True, False])
def test_an_air_volume_not_known_moves_each_end_the_costly_way(low: bool) -> None:
    # Gauge pressure taken as 100 times the change of volume alone: +-2 of it is 200 Pa towards either end.
    def gauge(dv: float = 0.0, dt: float = 0.0, dh: float = 0.0) -> float:
        return 100.0 * dv if dv > 0.0 else 10.0 * dv

    found = cylinder_air._effects(gauge, 0.0, 0.0, 0.0, 2.0, low=low)
    side = (
        20.0 if low else 200.0
    )  # the fall of 20 Pa counts at the low end, the rise of 200 Pa at the high one
    assert found == pytest.approx((side**2 + cylinder_air.BAROMETER_DRIFT**2) ** 0.5)


def test_what_would_lengthen_the_endurance_is_named() -> None:
    sheet: Sheet = worked.sheet("tansy")
    limit = KEYS["battery.endurance"](sheet)[0]
    gain = sensitivity.buys(sheet, limit)
    assert gain is not None
    assert (gain.key, gain.item, gain.now) == (limit.key, "D2", "47 min")
    assert gain.relative > 0.0


def test_a_boat_nobody_wrote_anything_of_has_nothing_to_gain_from() -> None:
    limit = KEYS["receiver.supply"](worked.sheet("bulrush", observed=Observed(), history=False))[0]
    assert sensitivity.buys(worked.sheet("bulrush", history=False), replace(limit, inputs=())) is None


def test_volts_that_cannot_tell_what_is_left_judge_no_rest_after_a_run() -> None:
    # Between a few percent and nearly full an iron-phosphate cell rests on its plateau (from memory).
    sheet = worked.sheet(
        "tansy", readings={(REST, AFTER): Num(6.6, 0.02, Basis.MEASURED)},
        **{"pack[D2]__chemistry": "lithium iron phosphate"},
    )  # fmt: skip
    assert AFTER not in [one.item for one in KEYS[REST](sheet)]


def test_a_cold_cylinder_that_is_refused_is_no_guess(monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(sheet: Sheet) -> Num:
        raise UnknownError(because="colder than the tables")

    def missing(sheet: Sheet) -> Num:
        raise UnknownError("boat.cylinder.air_volume")

    monkeypatch.setattr(tube, "cold_pressure", refused)
    with pytest.raises(UnknownError, match="colder"):
        tube.inside_least(worked.sheet("tansy"))
    monkeypatch.setattr(tube, "cold_pressure", missing)
    assert tube.inside_least(worked.sheet("tansy")).si == -10_000.0


def test_where_a_moved_input_leaves_no_number_the_response_has_a_gap() -> None:
    sheet = worked.sheet("tansy")
    (limit,) = KEYS["radio.range"](sheet) if len(KEYS["radio.range"](sheet)) == 1 else (None,)
    assert limit is not None
    entry = next(one for one in limit.inputs if one.si is not None and one.u95 > 0)
    whole = sensitivity.response(sheet, limit, entry)
    real = sensitivity.one

    def only_above(varied: Sheet, key: str, item: str) -> Limit | None:
        found = real(varied, key, item)
        return found if varied.nudges.get(entry.path, 0.0) >= 0.0 else None

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sensitivity, "one", only_above)
        half = sensitivity.response(sheet, limit, entry)
    assert half
    assert half == tuple(point for point in whole if point[0] >= entry.si)
