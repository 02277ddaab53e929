"""Charts: every point in its place, scales in round figures, nothing off the page."""

from __future__ import annotations

import importlib.util
import math
from pathlib import Path
from types import ModuleType

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.app.look.charts import (
    Path as DepthPath,
)
from divelog.app.look.charts import (
    Point,
    Response,
    Wear,
    legend,
    path_chart,
    path_rows,
    response_chart,
    wear_chart,
    wear_rows,
)
from divelog.app.look.layout import LAYOUTS, SMALL, STANDARD, TINY, Layout
from divelog.app.look.page import Part, below, page
from divelog.app.look.scales import between, coarser, decimals, figure_of, step_over


def _checks() -> ModuleType:
    spec = importlib.util.spec_from_file_location("look_checks", Path(__file__).with_name("look_checks.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


look_checks = _checks()

FILL = Wear(
    points=(
        Point(-2.0, 43.0, before=True),
        Point(-1.4, 44.0, before=True),
        Point(-0.8, 45.0, before=True),
        Point(-0.3, 46.0, before=True),
        Point(0.5, 39.0),
        Point(1.0, 40.0),
        Point(2.0, 41.0),
        Point(3.0, 42.0),
        Point(4.0, 44.0),
        Point(5.0, 45.0),
        Point(6.0, 46.9),
    ),
    y_unit="s",
    limit=47.0,
    changes=(0.0,),
)
PATH = DepthPath(
    points=((0, 0.7), (3, 0.95), (6, 1.14), (8, 1.12), (20, 0.65), (32, 0.12), (35, 0.0), (44, 0.0)),
    u95=(0, 0.05, 0.14, 0.14, 0.14, 0.14, 0.1, 0.0),
    bed=2.0,
    line=1.5,
    line_words="aerial goes",
    until=44,
)


def lines(layout: Layout, part: Part, first: int = 0, last: int | None = None) -> list[str]:
    return page(layout, part).text().splitlines()[first:last]


def test_wear_puts_every_reading_in_its_cell() -> None:
    plain = STANDARD.ascii()
    drawn = [line.ljust(80) for line in lines(plain, wear_chart(plain, 5, FILL), 5, 17)]
    # 62 columns hold -2 to 6 hours: column 8 + 61 (x + 2)/8, to the nearest; one row a second, 48 s on top.
    before = {(5, 8), (4, 13), (3, 17), (2, 21)}
    since = {(9, 27), (8, 31), (7, 38), (6, 46), (4, 54), (3, 61), (1, 69)}
    signs = {(y, x): sign for y, line in enumerate(drawn[:11]) for x, sign in enumerate(line) if 8 <= x < 70}
    assert {cell for cell, sign in signs.items() if sign == "o"} == before
    assert {cell for cell, sign in signs.items() if sign == "#"} == since
    assert {cell for cell, sign in signs.items() if sign == "|"} == {(y, 23) for y in range(11)}
    assert {cell for cell, sign in signs.items() if sign == "-"} == {(1, x) for x in range(8, 70)} - {
        (1, 23),
        (1, 69),
    }
    assert drawn[1][70:].strip() == "at most"
    assert [line[:8] for line in drawn[:11:2]] == [f"  {n} s  " for n in (48, 46, 44, 42, 40, 38)]
    assert all(not line[:8].strip() for line in drawn[1:11:2])
    assert drawn[11].split() == ["-2", "0", "2", "4", "6", "hours"]
    blocks = [line.ljust(80) for line in lines(STANDARD, wear_chart(STANDARD, 5, FILL), 5, 17)]
    assert [line.replace("█", "#") for line in blocks] == drawn


def test_a_legend_names_the_signs() -> None:
    items = [("|", "piston ring renewed 12 March"), ("o", "before"), ("█", "since")]
    assert lines(STANDARD, legend(STANDARD, 18, items))[18] == (
        " " * 16 + "|  piston ring renewed 12 March   o  before   █  since"
    )
    assert lines(STANDARD.ascii(), legend(STANDARD.ascii(), 18, items))[18].endswith("#  since")


def test_depth_goes_downwards_with_the_hatch_on_the_deep_side() -> None:
    plain = STANDARD.ascii()
    drawn = [line.ljust(80) for line in lines(plain, path_chart(plain, 4, PATH), 4, 17)]
    for column in range(8, 74):
        signs = [line[column] for line in drawn[:10]]
        water = [n for n, sign in enumerate(signs) if sign == "#"]
        hatch = [n for n, sign in enumerate(signs) if sign == "/"]
        assert water, column
        assert all(n > max(water) for n in hatch)
        depth = between(PATH.points, 44 * (column - 8) / 65)
        assert depth is not None
        assert min(abs(n - math.floor(depth / 0.2)) for n in water) <= 0


def test_bed_line_and_scale_stand_where_their_numbers_are() -> None:
    drawn = lines(STANDARD, path_chart(STANDARD, 4, PATH), 4, 17)
    assert drawn[7] == " 1.5 m  ------------------------------------------------------ aerial goes"
    assert drawn[10] == " 2.0 m  " + "█" * 66
    assert drawn[11] == " bed    " + "█" * 66
    assert drawn[12] == "        0 s            10 s           20 s          30 s           40 s"
    assert [drawn[n][:6].strip() for n in (0, 2, 5)] == ["0.0 m", "0.5 m", "1.0 m"]


def test_a_response_shows_where_it_is_now() -> None:
    points = tuple((float(x), 1.4 * 200 / x) for x in range(200, 801, 10))
    drawn = lines(STANDARD, response_chart(STANDARD, 5, Response(points, 420.0, "uS/cm", "m")), 5, 11)
    assert drawn[0].startswith("         1.40 m ▀▀")
    assert drawn[4].startswith("         0.35 m ")
    assert drawn[5] == "                200            420 now              800 uS/cm"
    now = drawn[5].index("420") + 1
    assert [line[now] for line in drawn[:5]].count("|") >= 3
    assert "not enough" in lines(STANDARD, response_chart(STANDARD, 5, Response((), 1.0, "m", "m")))[5]


@pytest.mark.parametrize(
    ("span", "most", "step"), [(8.4, 10, 1), (10, 10, 1), (11, 10, 2), (0.084, 10, 0.01)]
)
def test_steps_are_round_and_enough(span: float, most: int, step: float) -> None:
    assert step_over(span, most) == pytest.approx(step)


@settings(max_examples=100, deadline=None)
@given(span=st.floats(1e-6, 1e9), most=st.integers(1, 40))
def test_a_step_is_one_two_or_five(span: float, most: int) -> None:
    step = step_over(span, most)
    assert span / step <= most * (1 + 1e-6)
    assert round(step / 10 ** math.floor(math.log10(step) + 1e-9), 6) in (1, 2, 5)
    assert coarser(step) / step == pytest.approx(2) or coarser(step) / step == pytest.approx(2.5)
    assert decimals(step) <= 8
    assert figure_of(0.0, step).strip("0.") == ""
    assert not figure_of(-0.0, step).startswith("-")


def test_between_is_a_straight_line_inside_and_nothing_outside() -> None:
    points = [(0.0, 1.0), (2.0, 3.0), (2.0, 5.0), (4.0, 5.0)]
    assert between(points, 1.0) == 2.0
    assert between(points, 4.0) == 5.0
    assert between(points, -0.1) is None
    assert between(points, 4.1) is None
    assert between([(1.0, 7.0)], 1.0) == 7.0
    assert between([], 1.0) is None


readings = st.builds(Point, st.floats(-50, 500), st.floats(-100, 1e5), st.booleans())


@settings(max_examples=150, deadline=None)
@given(
    points=st.lists(readings, max_size=15),
    limit=st.one_of(st.none(), st.floats(-100, 1e5)),
    changes=st.lists(st.floats(-50, 500), max_size=3),
    layout=st.sampled_from([*LAYOUTS, STANDARD.ascii()]),
)
def test_any_readings_make_a_chart_on_the_page(
    points: list[Point], limit: float | None, changes: list[float], layout: Layout
) -> None:
    part = wear_chart(layout, layout.first, Wear(tuple(points), "kPa", limit, "at most", tuple(changes)))
    drawn = page(layout, part)
    assert look_checks.width_problems(drawn) == []
    assert look_checks.edge_problems(drawn) == []
    assert look_checks.overlap_problems(drawn) == []
    assert below(part) <= layout.first + wear_rows(layout) + 1
    plot = [line[8:] for line in drawn.lines()[layout.first : layout.first + wear_rows(layout)]]
    inked = sum(line.count("█") + line.count("#") + line.count("o") for line in plot)
    if points:
        assert inked >= 1


@settings(max_examples=150, deadline=None)
@given(
    depths=st.lists(st.tuples(st.floats(-1, 50), st.floats(0, 5)), max_size=12),
    bed=st.one_of(st.none(), st.floats(0.05, 60)),
    line=st.one_of(st.none(), st.floats(0.05, 60)),
    layout=st.sampled_from([*LAYOUTS, STANDARD.ascii()]),
)
def test_any_path_makes_a_chart_on_the_page(
    depths: list[tuple[float, float]], bed: float | None, line: float | None, layout: Layout
) -> None:
    points = tuple((3.0 * n, depth) for n, (depth, _) in enumerate(depths))
    path = DepthPath(points, tuple(u for _, u in depths), bed, line, "aerial goes" if line else "")
    part = path_chart(layout, layout.first, path)
    drawn = page(layout, part)
    assert look_checks.width_problems(drawn) == []
    assert look_checks.edge_problems(drawn) == []
    assert look_checks.overlap_problems(drawn) == []
    assert below(part) <= layout.first + path_rows(layout) + 1
    if bed is not None:
        assert "bed" in drawn.text()


@settings(max_examples=100, deadline=None)
@given(
    values=st.lists(st.floats(-1e4, 1e4), min_size=2, max_size=30),
    now=st.floats(0, 1),
    layout=st.sampled_from([*LAYOUTS, STANDARD.ascii()]),
)
def test_any_response_makes_a_chart_on_the_page(values: list[float], now: float, layout: Layout) -> None:
    points = tuple((float(n), value) for n, value in enumerate(values))
    drawn = page(layout, response_chart(layout, 3, Response(points, now * (len(values) - 1), "uS/cm", "m")))
    assert look_checks.width_problems(drawn) == []
    assert look_checks.edge_problems(drawn) == []
    assert look_checks.overlap_problems(drawn) == []
    assert "now" in drawn.text()


def test_smaller_pages_have_smaller_charts() -> None:
    assert [wear_rows(layout) for layout in (STANDARD, SMALL, TINY)] == [11, 9, 5]
    assert [path_rows(layout) for layout in (STANDARD, SMALL, TINY)] == [12, 9, 5]
