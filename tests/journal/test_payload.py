"""Data of events: quantities, and what by itself stops a launch."""

from __future__ import annotations

import json
import math
from datetime import UTC, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import Raw

from divelog.journal.events import Event
from divelog.journal.payload import (
    Quantity,
    channels_wrong,
    number,
    over_allowance,
    quantity,
    stops_launch,
    texts,
)


@pytest.mark.parametrize(
    ("value", "found"),
    [
        ({"si": 8.31, "u95": 0.04, "typed": "8.31 V", "how": "meter"}, Quantity(8.31, 0.04, "8.31 V", "meter")),
        ({"si": None, "state": "unknown"}, Quantity(None, state="unknown")),
        ({"state": "not fitted"}, Quantity(None, state="not fitted")),
        ({"si": 0}, Quantity(0.0)),
        (5, Quantity(5.0)),
        ({"si": math.inf}, Quantity(None)),
        ({"si": 1.0, "u95": -1.0}, Quantity(1.0)),
        ({"si": 1.0, "u95": math.nan}, Quantity(1.0)),
        ({"si": 10**400}, Quantity(None)),
        ({"si": True}, Quantity(None)),
        ({"si": "8.31"}, Quantity(None)),
        ({}, None),
        (None, None),
        ("8.31 V", None),
        ([8.31], None),
        (True, None),
        (math.nan, None),
        (10**400, None),
    ],
)  # fmt: skip
def test_a_quantity_is_a_finite_number_or_says_why_there_is_none(
    value: object, found: Quantity | None
) -> None:
    assert quantity(value) == found


@given(
    st.recursive(
        st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=4),
        lambda inner: (
            st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(["si", "u95", "state"]), inner)
        ),
    )
)
@settings(max_examples=100, deadline=None)  # fmt: skip
def test_no_value_makes_a_quantity_that_is_not_finite(value: object) -> None:
    found = quantity(value)
    if found is not None:
        assert found.si is None or math.isfinite(found.si)
        assert found.u95 is None or found.u95 >= 0.0
    assert number(value) is None or isinstance(value, int | float)
    assert all(isinstance(each, str) for each in texts(value))


@pytest.mark.parametrize(
    ("data", "over"),
    [
        ({"si": 0, "allowance": 1e-8}, False),
        ({"si": 1e-8, "allowance": 1e-8}, False),  # within is within
        ({"si": 5e-6, "u95": 1.5e-6, "allowance": 1e-8}, True),
        ({"si": 1e-9}, True),  # an allowance nobody wrote is nought
        ({"si": 0}, False),
        ({"si": None, "state": "unknown"}, False),
        ({"si": None, "flooded": True}, True),
        ({"si": 0, "flooded": False}, False),
        ({"si": 5e-6, "allowance": "much"}, True),
    ],
)
def test_water_over_the_allowance(data: dict[str, object], over: bool) -> None:
    assert over_allowance(data) is over


@pytest.mark.parametrize(
    ("what", "data", "stops"),
    [
        ("defect.opened", {"defect": "crack", "stops_launch": True}, True),
        ("defect.opened", {"defect": "scratch", "stops_launch": False}, False),
        ("defect.opened", {"defect": "scratch"}, False),
        ("water.found", {"si": 5e-6, "allowance": 1e-8}, True),
        ("water.found", {"si": 0, "allowance": 1e-8}, False),
        ("incident", {"step": "went down uncontrolled"}, True),
        ("incident", {"step": "lost"}, True),
        ("incident", {"step": "lost and found"}, False),
        ("incident", {"step": "touched bottom"}, False),
        ("failsafe.tripped", {"channels": {"throttle": True, "ballast": False}}, True),
        ("failsafe.tripped", {"channels": {"throttle": True}}, False),
        ("failsafe.tripped", {"channels": ["throttle"]}, False),
        ("note", {"text": "lost"}, False),
    ],
)
def test_what_stops_a_launch_by_itself(what: str, data: dict[str, object], stops: bool) -> None:
    event = Event(
        id="a", what=what, when=datetime(2032, 5, 4, tzinfo=UTC), data=Raw(json.dumps(data).encode())
    )
    assert stops_launch(event) is stops
    newer = Event(id="a", what=what, when=event.when, v=2, data=event.data)
    assert stops_launch(newer) is False


def test_channels_that_did_wrong_are_named() -> None:
    assert channels_wrong({"channels": {"throttle": False, "ballast": True, "rudder": None}}) == ("throttle",)
