"""Wear: trends since the last change of part, in numbers and in words."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from divelog.physics.statistics import Conditions, Meeting, Voice
from divelog.upkeep import wear, wear_words
from divelog.upkeep.wear import Cut, LimitLine, Point, Quantity, WearVerdict

FILL = Quantity("Fill", "s", "slower", "quicker", "an hour", "pump-hours", resolution=0.1)
HOURS = (0.4, 1.0, 1.6, 2.3, 3.0, 3.6, 4.3, 5.0, 5.7, 6.4)
SECONDS = (40.1, 41.2, 41.0, 42.3, 43.4, 43.1, 44.9, 45.2, 46.6, 46.9)
POINTS = tuple(Point(x, y, 0.3) for x, y in zip(HOURS, SECONDS, strict=True))
LIMIT = LimitLine(wear.time_limit(38.0), 47.0)


def test_a_pump_that_grows_slower() -> None:
    # Source: scipy.stats.theilslopes and kendalltau (exact); medians and the crossing by hand from them.
    found = wear.wear(FILL, POINTS, limit=LIMIT)
    library = stats.theilslopes(SECONDS, HOURS, 0.95)
    exact = stats.kendalltau(HOURS, SECONDS, method="exact")
    assert found.trend is not None
    assert found.trend.line.slope == pytest.approx(library.slope, rel=1e-12)
    assert found.trend.line.slope == pytest.approx(1.1538, abs=1e-4)
    assert (found.trend.pairs.s, found.trend.pairs.p) == (41, pytest.approx(exact.pvalue, rel=1e-9))
    assert (found.trend.line.x_middle, found.trend.line.y_middle) == (
        pytest.approx(3.3),
        pytest.approx(43.25),
    )
    assert found.voice is Voice.SPEAKS
    assert found.crossing is not None
    assert found.crossing.at == pytest.approx(3.3 + (47.5 - 43.25) / library.slope, rel=1e-9)
    assert found.crossing.at == pytest.approx(6.98, abs=5e-3)
    assert found.crossing.soonest == pytest.approx(6.57, abs=0.01)
    assert found.crossing.latest == pytest.approx(7.55, abs=0.02)
    assert found.verdict is WearVerdict.TOO_CLOSE


def test_a_pump_that_grows_slower_in_words() -> None:
    found = wear.wear(FILL, POINTS, limit=LIMIT)
    assert wear_words.line(found) == (
        "Fill 46.9 s, at most 47; 1.2 s slower an hour (1.0 to 1.3, n 10); 47.5 s at about 7 pump-hours."
    )
    assert "It meets its limit between 7 and 8 pump-hours." in wear_words.details(found)


def test_the_limit_of_a_time() -> None:
    assert wear.time_limit(38.0) == 47.5
    assert wear.baseline_of(POINTS[:4]) is None
    assert wear.baseline_of(POINTS) == pytest.approx((42.3 + 43.1) / 2, abs=0.7)


@pytest.mark.parametrize("n", [0, 1, 3, 5])
def test_under_six_like_readings_nothing_is_said(n: int) -> None:
    found = wear.wear(FILL, POINTS[:n], limit=LIMIT)
    assert found.voice is Voice.SILENT
    assert found.crossing is None or found.crossing.meeting is Meeting.SILENT
    text = wear_words.line(found)
    assert "slower" not in text
    assert ("too few to tell" in text) == (n > 0)


def test_no_reading() -> None:
    found = wear.wear(FILL, ())
    assert (found.verdict, found.newest, found.is_unusual) == (WearVerdict.NO_READING, None, False)
    assert wear_words.line(found) == "Fill: no reading."
    assert wear_words.details(found) == ()


def test_six_readings_in_one_place_say_nothing() -> None:
    points = [Point(1.0, y) for y in SECONDS[:7]]
    found = wear.wear(FILL, points, limit=LIMIT)
    assert found.trend is None
    assert "too few to tell" in wear_words.line(found)


def test_nothing_is_compared_across_a_change_of_part() -> None:
    cut = Cut(3.5, "the new pump", date(2032, 3, 12))
    found = wear.wear(FILL, POINTS, (cut,), LIMIT)
    assert [point.at for point in found.since] == [3.6, 4.3, 5.0, 5.7, 6.4]
    assert [point.at for point in found.before] == [0.4, 1.0, 1.6, 2.3, 3.0]
    assert found.voice is Voice.SILENT
    assert wear_words.line(found) == (
        "Fill 46.9 s, at most 47; 5 readings since the new pump: too few to tell."
    )


def test_a_reading_at_the_cut_belongs_to_the_new_part() -> None:
    found = wear.wear(FILL, POINTS, (Cut(3.6, "the new pump"), Cut(1.6, "an older pump")))
    assert found.since[0].at == 3.6
    assert [point.at for point in found.before] == [1.6, 2.3, 3.0]


def test_a_new_pump_that_helped() -> None:
    # Source: scipy's exact rank test: p 0.0095 for these two samples.
    before = [Point(x / 2, y) for x, y in enumerate((47, 48, 46.5, 47.6))]
    after = [Point(10 + x / 2, y) for x, y in enumerate((41, 42, 41.5, 43, 42.2, 41.8))]
    found = wear.wear(FILL, [*after, *before], (Cut(5.0, "the new pump"),))
    assert found.change is not None
    assert found.change.shift == pytest.approx(-5.4, abs=0.3)
    assert any(text.startswith("Since the new pump: 5.") for text in wear_words.details(found))
    few = wear.wear(FILL, [*after[:3], *before[:3]], (Cut(5.0, "the new pump"),))
    assert few.change is None


def test_a_change_that_changed_nothing() -> None:
    points = [Point(i, 40.0 + i % 3) for i in range(12)]
    assert wear.wear(FILL, points, (Cut(6.0, "the new pump"),)).change is None


def test_long_series_have_no_exact_interval_of_the_change() -> None:
    points = [Point(i, 40.0 + i % 3 + (5 if i >= 30 else 0)) for i in range(60)]
    found = wear.wear(FILL, points, (Cut(30.0, "the new pump"),))
    assert "Since the new pump: 5.0 s more." in wear_words.details(found)


def test_only_like_is_set_beside_like() -> None:
    usual = Conditions(7.6, 288.0, "fresh")
    points = [replace(point, conditions=usual) for point in POINTS]
    points[4] = replace(points[4], conditions=Conditions(8.3, 288.0, "fresh"))
    found = wear.wear(FILL, points, limit=LIMIT)
    assert (found.n, len(found.unlike)) == (9, 1)
    assert "1 reading taken under other conditions was left out." in wear_words.details(found)


def test_perhaps() -> None:
    # Source: exact p 0.0556 for S 11 of six readings.
    quantity = Quantity("No load", "A", decimals=2)
    values = (0.42, 0.45, 0.44, 0.47, 0.50, 0.49)
    found = wear.wear(quantity, [Point(i, y) for i, y in enumerate(values)])
    assert found.voice is Voice.PERHAPS
    assert wear_words.line(found) == "No load 0.49 A; perhaps more (n 6)."


def test_silent_series_show_only_their_number() -> None:
    values = (1.8, 1.7, 1.9, 1.75, 1.82, 1.78, 1.86)
    points = [Point(x, y) for x, y in zip((0, 2, 5, 9, 12, 15, 20), values, strict=True)]
    found = wear.wear(Quantity("Drop", "mV", decimals=2), points, limit=LimitLine(3.0, 3.0))
    assert wear_words.line(found) == "Drop 1.86 mV, at most 3; n 7."


def test_a_quantity_that_may_not_fall() -> None:
    quantity = Quantity("Pack", "A h", "less", "more", "a charge", "charges", decimals=2, upper=False)
    points = [Point(i, 4.7 - 0.02 * i, 0.0) for i in range(10)]
    found = wear.wear(quantity, points, limit=LimitLine(4.45, 4.45))
    assert found.verdict is WearVerdict.WITHIN
    assert found.crossing is not None
    assert found.crossing.at == pytest.approx(12.5)
    assert wear_words.line(found) == (
        "Pack 4.52 A h, at least 4.45; 0.020 A h less a charge (0.020 to 0.020, n 10); "
        "4.45 A h at about 12 charges."
    )


def test_a_quantity_that_grows_better() -> None:
    points = [Point(i, 47.0 - i) for i in range(8)]
    found = wear.wear(FILL, points, limit=LIMIT)
    assert found.crossing is not None
    assert found.crossing.meeting is Meeting.AWAY
    assert "1.0 s quicker an hour" in wear_words.line(found)


def test_far_limits_are_not_foretold() -> None:
    found = wear.wear(FILL, POINTS, limit=LimitLine(60.0, 60.0))
    assert found.crossing is not None
    assert found.crossing.meeting is Meeting.FAR
    assert "at about" not in wear_words.line(found)
    assert "It does not meet its limit within the next 6 pump-hours." in wear_words.details(found)


@pytest.mark.parametrize(
    ("value", "verdict"),
    [
        (46.7, WearVerdict.WITHIN),
        (46.71, WearVerdict.TOO_CLOSE),
        (47.0, WearVerdict.TOO_CLOSE),
        (47.01, WearVerdict.OUTSIDE),
    ],
)
def test_the_verdict_is_todays_reading_against_the_shown_limit(value: float, verdict: WearVerdict) -> None:
    assert wear.wear(FILL, [Point(1.0, value, 0.3)], limit=LIMIT).verdict is verdict


def test_an_unusual_reading_is_named() -> None:
    points = [Point(i, y) for i, y in enumerate((0.42, 0.45, 0.43, 0.44, 0.46, 0.43, 0.42, 0.45, 0.58))]
    found = wear.wear(Quantity("No load", "A", decimals=2), points)
    assert found.is_unusual
    assert any(text.startswith("Outside its usual run of 8") for text in wear_words.details(found))
    calm = wear.wear(Quantity("No load", "A", decimals=2), points[:-1])
    assert not calm.is_unusual


def test_a_change_nobody_wrote_down_is_asked_about() -> None:
    values = (41, 42, 41.5, 43, 42, 41.8, 42.4, 47, 48, 46.5, 47.5, 48.2)
    found = wear.wear(FILL, [Point(i, y) for i, y in enumerate(values)])
    assert "Did something change between readings 7 and 8?" in wear_words.details(found)


def test_only_the_newest_readings_count() -> None:
    found = wear.wear(FILL, [Point(i, 40.0 + i % 5) for i in range(300)])
    assert found.n == wear.NEWEST
    assert found.since[-1].at == 299


readings = st.lists(
    st.tuples(st.floats(0, 100), st.floats(1, 100)).map(
        lambda pair: Point(round(pair[0], 2), round(pair[1], 2), 0.1)
    ),
    max_size=14,
)
cuts = st.lists(st.builds(Cut, st.floats(0, 100), st.just("a change")), max_size=3)


@settings(max_examples=150, deadline=None)
@given(points=readings, some=cuts, limit=st.none() | st.floats(5, 90), order=st.randoms())
def test_any_log_gives_words_and_their_order_does_not_matter(
    points: list[Point], some: list[Cut], limit: float | None, order: object
) -> None:
    line = None if limit is None else LimitLine(limit, limit)
    distinct = list({point.at: point for point in points}.values())
    mixed = list(distinct)
    order.shuffle(mixed)  # type: ignore[attr-defined]
    one, two = wear.wear(FILL, distinct, some, line), wear.wear(FILL, mixed, some, line)
    assert one == two
    assert wear_words.line(one).endswith(".")
    assert all(text for text in wear_words.details(one))
    if one.n < 6:
        assert one.voice is Voice.SILENT
        assert "at about" not in wear_words.line(one)


@settings(max_examples=100, deadline=None)
@given(points=readings, some=cuts)
def test_no_reading_is_lost_and_none_crosses_a_cut(points: list[Point], some: list[Cut]) -> None:
    found = wear.wear(FILL, points, some)
    last = max((cut.at for cut in some), default=None)
    expected = [point for point in points if last is None or point.at >= last]
    assert len(found.since) + len(found.unlike) == len(expected)
    assert all(last is not None and point.at < last for point in found.before)
