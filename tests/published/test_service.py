"""Service counters against sums done by hand. Intervals are common practice, no source."""

from datetime import date, timedelta

import pytest

from divelog.physics import service
from divelog.physics.service import DAYS, Counter, Standing


def test_hours_bind_before_the_calendar() -> None:
    # By hand: 1.8 of 3 h, 12 of 30 d; 8.4 h in 42 d over 12 outings: 1.2 h left at 0.2 h a day is 6 days,
    # between 1.2/(0.2 (1 + 1/sqrt 12)) = 4.66 and 1.2/(0.2 (1 - 1/sqrt 12)) = 8.44.
    found = service.due([Counter("hours", 1.8, 3.0, 8.4 / 42, 12), Counter(DAYS, 12, 30)])
    assert found.share == pytest.approx(0.6)
    assert found.binds.name == "hours"
    assert found.standing is Standing.WITHIN
    assert found.forecast is not None
    assert found.forecast.days == pytest.approx(6.0)
    assert found.forecast.soonest == pytest.approx(4.66, abs=0.01)
    assert found.forecast.latest == pytest.approx(8.44, abs=0.01)


def test_the_calendar_binds() -> None:
    # By hand: 0.3 of 3 h and 27 of 30 d: 0.9, three days left.
    found = service.due([Counter("hours", 0.3, 3.0, 0.2, 12), Counter(DAYS, 27, 30)])
    assert (found.share, found.binds.name, found.standing) == (pytest.approx(0.9), DAYS, Standing.SOON)
    assert found.forecast is not None
    assert found.forecast.on(date(2032, 5, 4)) == date(2032, 5, 7)


def test_at_the_interval_it_is_due() -> None:
    # By hand: 50 of 50 closings and 100 of 730 d.
    found = service.due([Counter("closings", 50, 50), Counter(DAYS, 100, 730)])
    assert (found.share, found.standing, found.over) == (1.0, Standing.DUE, 0.0)


def test_the_planned_run_makes_it_due() -> None:
    # By hand: 49 of 50, one more closing planned; and 2.9 of 4 h with 0.53 h planned leaves 0.86.
    assert service.due([Counter("closings", 49, 50, planned=1)]).standing is Standing.SOON
    assert service.due([Counter("closings", 39, 50, planned=11)]).standing is Standing.SOON
    assert service.due([Counter("hours", 2.9, 4.0, planned=0.533)]).standing is Standing.WITHIN


def test_a_long_interval_gives_two_weeks_notice() -> None:
    # By hand: 52 of 66 d is a share of 0.788 with 14 days left; 51 leaves 15. Short intervals have no notice.
    assert service.due([Counter(DAYS, 52, 66)]).standing is Standing.SOON
    assert service.due([Counter(DAYS, 51, 66)]).standing is Standing.WITHIN
    assert service.due([Counter(DAYS, 20, 30)]).standing is Standing.WITHIN


def test_salt_counts_double() -> None:
    # By hand: 1 h fresh and 1 h salt are 3 h.
    assert service.harsh_use(2.0, 1.0) == 3.0
    assert service.due([Counter("hours", service.harsh_use(2.0, 1.0), 3.0)]).standing is Standing.DUE


@pytest.mark.parametrize(
    ("rate", "outings"), [(0.0, 12), (None, 12), (0.2, 3)], ids=["no use", "not known", "few outings"]
)
def test_no_date_can_be_named(rate: float | None, outings: int) -> None:
    found = service.due([Counter("hours", 1.8, 3.0, rate, outings)])
    assert found.forecast is None
    assert found.standing is Standing.WITHIN


@pytest.mark.parametrize(
    ("start", "end"), [(date(2026, 5, 3), date(2026, 6, 2)), (date(2028, 2, 10), date(2028, 3, 11))]
)
def test_thirty_days_on(start: date, end: date) -> None:
    # Source: python's own calendar.
    forecast = service.forecast_of(Counter(DAYS, 0, 30))
    assert forecast is not None
    assert forecast.on(start) == end == start + timedelta(days=30)


def test_overdue_by() -> None:
    # By hand: 4.3 of 4 h and 23 of 30 d: 1.075, over by 0.3 h.
    found = service.due([Counter("hours", 4.3, 4.0, 0.2, 12), Counter(DAYS, 23, 30)])
    assert (found.share, found.over) == (pytest.approx(1.075), pytest.approx(0.3))
    assert (found.standing, found.forecast) == (Standing.DUE, None)


def test_nine_outings_spread_by_a_third() -> None:
    # By hand: 1.1 h left at 0.15 h a day: 7.33 d, from 5.5 to 11.0.
    found = service.forecast_of(Counter("hours", 2.9, 4.0, 0.15, 9))
    assert found is not None
    assert (found.days, found.soonest, found.latest) == (
        pytest.approx(7.33, abs=0.01),
        pytest.approx(5.5),
        pytest.approx(11.0),
    )
