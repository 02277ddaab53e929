"""Figures: the pixels, their places, and what happens without room."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.app.look.figures import FONT, column_for, drawable, figure, half_rows, width
from divelog.app.look.layout import LAYOUTS, SMALL, STANDARD, TINY, WIDE, Layout
from divelog.app.look.page import Role, page


def drawn(layout: Layout, *args: object, **options: object) -> list[str]:
    return page(layout, figure(layout, *args, **options)).text().splitlines()  # type: ignore[arg-type]


def test_every_digit_has_five_rows_of_three_pixels_of_its_own() -> None:
    for digit in "0123456789":
        assert len(FONT[digit]) == 5
        assert all(len(row) == 3 and set(row) <= {"0", "1"} for row in FONT[digit])
    assert len(set(FONT.values())) == len(FONT)


def test_figure_3() -> None:
    assert drawn(STANDARD, 4, 16, "0123456789", unit="m")[4:7] == [
        "                ▄▄▄  ▄  ▄▄▄ ▄▄▄ ▄ ▄ ▄▄▄ ▄▄▄ ▄▄▄ ▄▄▄ ▄▄▄",
        "                █ █ ▀█  ▄▄█ ▄▄█ █▄█ █▄▄ █▄▄   █ █▄█ █▄█",
        "                █▄█ ▄█▄ █▄▄ ▄▄█   █ ▄▄█ █▄█   █ █▄█ ▄▄█  m",
    ]
    assert drawn(STANDARD, 4, 16, "-0.8:")[4:7] == [
        "                    ▄▄▄   ▄▄▄",
        "                ▄▄▄ █ █   █▄█ ▀",
        "                    █▄█ ▄ █▄█ ▀",
    ]


def test_figure_5_is_filled_cells_of_two_by_one() -> None:
    assert drawn(STANDARD, 3, 16, "0:14", step=5)[3:8] == [
        "                ######        ##    ##  ##",
        "                ##  ##  ##  ####    ##  ##",
        "                ##  ##        ##    ######",
        "                ##  ##  ##    ##        ##",
        "                ######      ######      ##",
    ]


def test_figure_10_is_filled_cells_of_four_by_two() -> None:
    lines = drawn(STANDARD, 4, 16, "17", step=10, unit="min")[4:14]
    assert lines[0] == lines[1] == " " * 20 + "####" + " " * 8 + "############"
    assert lines[2] == lines[3] == " " * 16 + "########" + " " * 16 + "####"
    assert lines[8] == " " * 16 + "#" * 12 + " " * 12 + "####"
    assert lines[9] == lines[8] + "  min"


def test_filled_cells_are_reversed_and_half_blocks_are_ink() -> None:
    large = page(STANDARD, figure(STANDARD, 3, 16, "8", step=5))
    assert {role for text, role in large.runs(3)} == {Role.TEXT, Role.FIGURE}
    assert all(not text.strip() for text, role in large.runs(3))
    small = page(STANDARD, figure(STANDARD, 3, 16, "8"))
    assert [role for text, role in small.runs(4) if text.strip()] == [Role.ACCENT]


@pytest.mark.parametrize(
    ("layout", "step", "high"), [(WIDE, 3, 5), (STANDARD, 3, 3), (SMALL, 10, 5), (SMALL, 3, 3), (TINY, 10, 3)]
)
def test_each_layout_draws_its_own_size(layout: Layout, step: int, high: int) -> None:
    assert len({p.row for p in figure(layout, 2, 16, "8", step=step)}) == high


def test_three_digits_of_figure_10_start_at_the_left_edge() -> None:
    assert column_for(STANDARD, "30", 10) == 16
    assert column_for(STANDARD, "120", 10) == 1
    assert width("120", 10) == 44
    assert column_for(SMALL, "30", 10) == 16


def test_without_half_blocks_the_number_stands_on_the_middle_row() -> None:
    lines = drawn(STANDARD.ascii(), 4, 16, "0.8", unit="m")
    assert lines[4:7] == ["", "                0.8  m", ""]
    assert drawn(STANDARD.ascii(), 3, 16, "8", step=5)[3] == " " * 16 + "######"


def test_what_cannot_be_drawn_is_written() -> None:
    assert drawn(STANDARD, 4, 16, "4*", unit="m")[5] == "                4*  m"
    assert not drawable("4*")


def test_a_unit_without_room_is_shortened() -> None:
    units = ("min after launch", "min")
    assert drawn(STANDARD, 4, 16, "47", unit=units, end=46)[6].endswith("  min after launch")
    assert drawn(STANDARD, 4, 16, "47", unit=units, end=38)[6].endswith("█  min")
    assert drawn(WIDE, 4, 16, "47", unit=units, end=46)[8].endswith("##  min")


@settings(max_examples=100, deadline=None)
@given(
    text=st.text(alphabet="0123456789.:-", max_size=12),
    layout=st.sampled_from([*LAYOUTS, STANDARD.ascii()]),
    step=st.sampled_from([3, 5, 10]),
    column=st.integers(1, 60),
)
def test_a_number_is_never_lost_nor_runs_off_the_page(
    text: str, layout: Layout, step: int, column: int
) -> None:
    part = figure(layout, 2, column, text, step=step)
    written = "".join(p.span.text for p in part).replace(" ", "")
    edge = layout.edge_for(column)
    if written == text:
        return
    assert all(p.span.end <= edge for p in part)
    ink = sum(row.count("1") for c in text for row in FONT[c])
    size = layout.figure_step(step)
    cells = sum(len(p.span.text) for p in part)
    if size == 3:
        assert sum({"█": 2, "▀": 1, "▄": 1}[c] for p in part for c in p.span.text) == ink
    else:
        assert cells in (ink * 2, ink * 8) or set(written) <= set("█▀▄")


@given(text=st.text(alphabet="0123456789.:-", min_size=1, max_size=8))
@settings(max_examples=50, deadline=None)
def test_the_three_rows_are_as_wide_as_said(text: str) -> None:
    assert {len(row) for row in half_rows(text)} == {width(text, 3)}
