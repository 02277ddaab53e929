"""Service counters: what must hold whatever the counts."""

from datetime import date
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.physics import service
from divelog.physics.errors import OutOfRangeError
from divelog.physics.service import DAYS, Counter, Standing

few = settings(max_examples=150, deadline=None)
counters = st.builds(
    Counter,
    name=st.sampled_from(["hours", "runs", DAYS, "closings"]),
    used=st.floats(0, 500),
    allowed=st.floats(0.5, 800),
    rate=st.none() | st.floats(0, 3),
    outings=st.integers(0, 30),
    planned=st.floats(0, 3),
)


@few
@given(some=st.lists(counters, min_size=1, max_size=4), more=counters)
def test_another_counter_never_makes_it_later(some: list[Counter], more: Counter) -> None:
    before, after = service.due(some), service.due([*some, more])
    assert after.share >= before.share
    if before.forecast is not None and after.forecast is not None:
        assert after.forecast.days <= before.forecast.days


@few
@given(some=st.lists(counters, min_size=1, max_size=4), mixed=st.randoms())
def test_the_order_of_counters_does_not_matter(some: list[Counter], mixed: object) -> None:
    other = list(some)
    mixed.shuffle(other)  # type: ignore[attr-defined]
    one, two = service.due(some), service.due(other)
    assert (one.share, one.standing) == (two.share, two.standing)


@few
@given(counter=counters, more=st.floats(0, 50))
def test_more_use_is_never_better(counter: Counter, more: float) -> None:
    order = [Standing.WITHIN, Standing.SOON, Standing.DUE]
    worn = Counter(
        counter.name, counter.used + more, counter.allowed, counter.rate, counter.outings, counter.planned
    )
    assert order.index(service.due([worn]).standing) >= order.index(service.due([counter]).standing)
    assert service.due([worn]).over >= service.due([counter]).over


@few
@given(counter=counters)
def test_a_due_item_has_no_date_and_one_not_due_is_not_over(counter: Counter) -> None:
    found = service.due([counter])
    if found.standing is Standing.DUE:
        assert found.forecast is None
    else:
        assert found.over == 0.0
        if found.forecast is not None and found.forecast.soonest is not None:
            assert found.forecast.latest is not None
            assert found.forecast.soonest <= found.forecast.days <= found.forecast.latest


def test_serviced_today_starts_at_nothing() -> None:
    assert service.due([Counter("hours", 0.0, 4.0), Counter(DAYS, 0.0, 30.0)]).share == 0.0


@few
@given(total=st.floats(0, 100), part=st.floats(0, 1))
def test_hours_in_salt_count_double(total: float, part: float) -> None:
    assert service.harsh_use(total, part * total) == pytest.approx(total * (1 + part))


def test_the_window_of_the_recent_rate() -> None:
    assert service.window_days([]) == 60.0
    assert service.window_days([3.0 * i for i in range(1, 40)]) == 60.0
    assert service.window_days([10.0 * i for i in range(1, 12)]) == 100.0
    assert service.window_days([30.0 * i for i in range(1, 12)]) == 180.0
    assert service.window_days([50.0 * i for i in range(1, 9)]) == 60.0


@few
@given(ages=st.lists(st.floats(0, 400), max_size=30))
def test_the_window_keeps_its_ends(ages: list[float]) -> None:
    assert 60.0 <= service.window_days(ages) <= 180.0


def test_days_go_on_over_a_leap_day() -> None:
    forecast = service.forecast_of(Counter(DAYS, 0.0, 30.0))
    assert forecast is not None
    days = [forecast.on(date(2028, 2, 10)), forecast.on(date(2027, 2, 10))]
    assert days == [date(2028, 3, 11), date(2027, 3, 12)]


def test_parts_of_a_day_are_left_out() -> None:
    forecast = service.Forecast("hours", 6.9)
    assert forecast.on(date(2032, 5, 4)) == date(2032, 5, 10)


@pytest.mark.parametrize("used", [0.0, 23.9, 24.0, 29.9, 30.0, 31.0])
def test_standing_has_no_gap(used: float) -> None:
    found = service.due([Counter(DAYS, used, 30.0)]).standing
    expected = Standing.DUE if used >= 30 else Standing.SOON if used >= 24 else Standing.WITHIN
    assert found is expected


def test_standings_follow_each_other() -> None:
    order = [Standing.WITHIN, Standing.SOON, Standing.DUE]
    found = [order.index(service.due([Counter("runs", float(n), 10.0)]).standing) for n in range(13)]
    assert all(earlier <= later for earlier, later in pairwise(found))


@pytest.mark.parametrize(
    "call",
    [
        lambda: service.due([]),
        lambda: service.due([Counter("hours", 1.0, 0.0)]),
        lambda: service.due([Counter("hours", 1.0, float("inf"))]),
        lambda: service.due([Counter("hours", -1.0, 4.0)]),
        lambda: service.harsh_use(1.0, 2.0),
    ],
)
def test_refusals(call: object) -> None:
    assert callable(call)
    with pytest.raises(OutOfRangeError):
        call()
