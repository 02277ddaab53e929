"""The gauge: its picture never contradicts the verdict."""

from __future__ import annotations

import math
from typing import Literal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.app.look import gauge as g
from divelog.app.look.layout import SMALL, STANDARD, TINY
from divelog.app.look.page import Role, page

Verdict = Literal["within", "too close", "OUTSIDE"]


def verdict(bounds: g.Bounds, reading: g.Reading) -> Verdict:
    """The rule by itself: outside if the reading is beyond, within if it clears by its ±, else too close."""
    low = -math.inf if bounds.low is None else bounds.low
    high = math.inf if bounds.high is None else bounds.high
    if reading.low < low or reading.high > high:
        return "OUTSIDE"
    return (
        "within" if reading.low - reading.u95 >= low and reading.high + reading.u95 <= high else "too close"
    )


def beyond(cells: str, bounds: g.Bounds) -> str:
    """What is drawn outside the banks."""
    banks = [n for n, sign in enumerate(cells) if sign == "|"]
    outside = ""
    if bounds.low is not None:
        outside += cells[: banks[0]]
    if bounds.high is not None:
        outside += cells[banks[-1] + 1 :]
    return outside


def inside(cells: str, bounds: g.Bounds) -> str:
    """What is drawn between the banks."""
    banks = [n for n, sign in enumerate(cells) if sign == "|"]
    first = banks[0] + 1 if bounds.low is not None else 0
    last = banks[-1] if bounds.high is not None else len(cells)
    return cells[first:last]


values = st.floats(min_value=-1e4, max_value=1e4, allow_nan=False)
limits = st.one_of(
    st.builds(g.at_most, values, st.one_of(st.none(), values)),
    st.builds(g.at_least, values, st.one_of(st.none(), values)),
    st.tuples(values, values).map(lambda pair: g.band(min(pair), max(pair))),
)


@st.composite
def cases(draw: st.DrawFn) -> tuple[g.Bounds, g.Reading]:
    bounds = draw(limits)
    edges = [v for v in (bounds.low, bounds.high) if v is not None]
    near = st.sampled_from(edges).flatmap(
        lambda edge: st.floats(min_value=-1, max_value=1).map(lambda share: edge + share * (abs(edge) + 1))
    )
    first = draw(st.one_of(near, st.sampled_from(edges), values))
    spread = draw(st.one_of(st.just(0.0), st.floats(min_value=0, max_value=100)))
    u95 = draw(
        st.one_of(st.just(0.0), st.floats(min_value=0, max_value=1), st.floats(min_value=0, max_value=1e4))
    )
    return bounds, g.Reading(first, first + spread, u95)


@pytest.mark.parametrize(
    ("width", "bank"), [(g.WIDTH, None), (g.CHECK_WIDTH, None), (g.CHECK_WIDTH, g.CHECK_BANK)]
)
@settings(max_examples=200, deadline=None)
@given(case=cases())
def test_the_picture_agrees_with_the_verdict(
    width: int, bank: int | None, case: tuple[g.Bounds, g.Reading]
) -> None:
    bounds, reading = case
    cells = g.picture(bounds, reading, width=width, bank=bank)
    found = verdict(bounds, reading)
    out, between = beyond(cells, bounds), inside(cells, bounds)
    assert len(cells) == width
    assert cells.count("|") == (bounds.low is not None) + (bounds.high is not None)
    assert set(cells) <= set("-|/#<> ")
    if found == "OUTSIDE":
        assert any(sign in out for sign in "#<>")
    elif found == "too close":
        assert "/" in out
        assert not any(sign in out for sign in "#<>")
        assert any(sign in between for sign in "#<>")
    else:
        assert not out.strip()
        assert any(sign in between for sign in "#<>")


@settings(max_examples=200, deadline=None)
@given(case=cases())
def test_banks_keep_their_columns_and_the_block_form_differs_in_one_character(
    case: tuple[g.Bounds, g.Reading],
) -> None:
    bounds, reading = case
    drawn = page(STANDARD, g.gauge(STANDARD, 5, 62, bounds, reading)).lines()[5]
    plain = page(STANDARD.ascii(), g.gauge(STANDARD.ascii(), 5, 62, bounds, reading)).lines()[5]
    assert drawn.replace("▄", "#") == plain
    assert "#" not in drawn
    assert (drawn[66] == "|") == (bounds.low is not None)
    assert (drawn[74] == "|") == (bounds.high is not None)
    assert drawn[:62].strip() == ""
    assert drawn[79] == " "


@settings(max_examples=100, deadline=None)
@given(limit=st.floats(min_value=1, max_value=1e4), steps=st.lists(st.floats(0, 3), min_size=2, max_size=8))
def test_a_larger_reading_never_stands_further_left(limit: float, steps: list[float]) -> None:
    places = []
    for share in sorted(steps):
        cells = g.picture(g.at_most(limit), g.one(limit * share))
        places.append(max(cells.find("#"), cells.find(">")))
    assert places == sorted(places)


@pytest.mark.parametrize(
    ("bounds", "reading", "width", "bank", "cells"),
    [
        (g.at_most(40), g.one(20, 9), 17, None, "---///#//---|    "),
        (g.at_most(47, 35.25), g.one(46.9, 0.3), 17, None, "----------/#|/   "),
        (g.at_most(4), g.one(4.3), 17, None, "------------|#   "),
        (g.at_most(4), g.one(40), 17, None, "------------|   >"),
        (g.at_most(4), g.one(-1), 17, None, "<-----------|    "),
        (g.at_least(4), None, 17, None, "    |------------"),
        (g.at_least(4), g.one(4.4, 0.3), 17, None, "    |/#/---------"),
        (g.at_least(4), g.one(9), 17, None, "    |----------->"),
        (g.band(-5, 25), g.Reading(-2.8, 20, 1), 17, None, "    |######/|    "),
        (g.at_least(8.25, 8.45), g.one(8.27, 0.04), 30, 14, "            //|/#///----------"),
        (g.at_least(8.25, 8.45), g.one(8.19, 0.04), 30, 14, "      ///#/// |---------------"),
    ],
)
def test_drawn_by_the_rule(
    bounds: g.Bounds, reading: g.Reading | None, width: int, bank: int | None, cells: str
) -> None:
    assert g.picture(bounds, reading, width=width, bank=bank) == cells


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_no_reading(value: float) -> None:
    assert g.picture(g.at_most(4), g.one(value)) == g.picture(g.at_most(4))
    assert g.picture(g.at_most(4), g.one(3, value)) == g.picture(g.at_most(4))


def test_without_limits_there_is_only_fairway() -> None:
    assert g.picture(g.Bounds()) == "-" * 17


def test_on_a_check_line_the_bank_stands_at_62_with_the_limit_under_it() -> None:
    for bounds in (g.at_least(8.25), g.at_most(40)):
        lines = page(STANDARD, g.check_gauge(STANDARD, 11, bounds, None, "8.25 at least")).lines()
        assert lines[11][62] == "|"
        assert lines[12][62:75] == "8.25 at least"
        assert lines[11][78:] in ("- ", "  ")


def test_smaller_pages_say_the_limit_without_a_gauge() -> None:
    assert page(SMALL, g.check_gauge(SMALL, 8, g.at_most(4), None, "4 at most")).text().strip() == "4 at most"
    assert page(TINY, g.check_gauge(TINY, 8, g.at_most(4), None, "4 at most")).text().strip() == ""


def test_banks_and_reading_are_weighed_apart_from_the_fairway() -> None:
    runs = dict(page(STANDARD, g.gauge(STANDARD, 0, 0, g.at_most(40), g.one(20, 9))).runs(0)[:4])
    assert runs["---"] is Role.QUIET
    assert runs["///▄//"] is Role.ACCENT
    assert runs["|"] is Role.BOLD


@pytest.mark.nightly
@settings(max_examples=3_000, deadline=None)
@given(case=cases())
def test_the_picture_agrees_with_the_verdict_at_length(case: tuple[g.Bounds, g.Reading]) -> None:
    bounds, reading = case
    for width, bank in ((g.WIDTH, None), (g.CHECK_WIDTH, None)):
        cells = g.picture(bounds, reading, width=width, bank=bank)
        out = beyond(cells, bounds)
        found = verdict(bounds, reading)
        assert (found == "OUTSIDE") == any(sign in out for sign in "#<>")
        assert (found == "within") == (not out.strip())
