"""The plate: where an answer is typed, and the figure that stays."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.app.look.layout import LAYOUTS, SMALL, STANDARD, TINY, WIDE, Layout
from divelog.app.look.page import Role, page
from divelog.app.look.plate import bounds, choice_plate, kept_number, number_plate, text_plate


def _checks() -> ModuleType:
    spec = importlib.util.spec_from_file_location("look_checks", Path(__file__).with_name("look_checks.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


look_checks = _checks()


def test_an_empty_plate_has_a_low_bar_where_the_first_digit_goes() -> None:
    assert page(STANDARD, number_plate(STANDARD, 9, "", unit="volts")).text().splitlines()[9:14] == [
        "              ::::::::::::::::::::::::::::::::",
        "              ::::::::::::::::::::::::::::::::",
        "              ::::::::::::::::::::::::::::::::",
        "              ::▄▄▄:::::::::::::::::::::::::::  volts",
        "              ::::::::::::::::::::::::::::::::",
    ]


def test_typed_digits_are_holes_and_the_bar_moves_on() -> None:
    assert page(STANDARD, number_plate(STANDARD, 9, "8.1", unit="volts")).text().splitlines()[10:13] == [
        "              ::▄▄▄::::▄::::::::::::::::::::::",
        "              ::█▄█:::▀█::::::::::::::::::::::",
        "              ::█▄█:▄:▄█▄:▄▄▄:::::::::::::::::  volts",
    ]


def test_without_half_blocks_the_number_is_text_with_a_low_line() -> None:
    lines = page(STANDARD.ascii(), number_plate(STANDARD.ascii(), 9, "8.1", unit="volts")).text().splitlines()
    assert lines[11] == "              ::8.1_::::::::::::::::::::::::::  volts"
    kept = page(STANDARD.ascii(), kept_number(STANDARD.ascii(), 9, "8.1", unit="volts")).text().splitlines()
    assert kept[11] == "                8.1  volts"


@settings(max_examples=100, deadline=None)
@given(typed=st.text(alphabet="0123456789.-:", min_size=1, max_size=12), layout=st.sampled_from(LAYOUTS))
def test_the_figure_stays_in_exactly_its_cells_when_the_plate_goes(typed: str, layout: Layout) -> None:
    start, end = bounds(layout)
    before = page(layout, number_plate(layout, 2, typed))
    after = page(layout, kept_number(layout, 2, typed))
    digits = {
        (row, column, sign)
        for row in range(2, 7)
        for column, (sign, _) in enumerate(look_checks.cells(after, row))
        if sign.strip()
    }
    shown = {
        (row, column, sign)
        for row in range(2, 7)
        for column, (sign, role) in enumerate(look_checks.cells(before, row))
        if sign.strip() and role is Role.PLATE
    }
    bar = {cell for cell in shown if cell[2] in "▄_"}
    assert all(column < layout.edge for _, column, _ in digits)
    if all(column < end - 2 for _, column, _ in digits):
        assert digits <= shown
        assert shown - digits <= bar
    assert all(start <= column < end for _, column, _ in shown)


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda layout: layout.name)
def test_a_plate_is_one_block_in_every_size(layout: Layout) -> None:
    for part in (
        number_plate(layout, 4, "8.19", unit="volts"),
        choice_plate(layout, 4, "2", "piston tank"),
        text_plate(layout, 4, "a note", rows=2),
    ):
        drawn = page(layout, part)
        assert look_checks.problems(drawn) == []
        assert [role for role, _ in look_checks.blocks(drawn)] == [Role.PLATE]


def test_a_choice_stays_empty_until_a_digit_is_pressed() -> None:
    empty = page(STANDARD, choice_plate(STANDARD, 16)).text().splitlines()[16]
    assert empty == "              ::_:::::::::::::::::::::::::::::"
    chosen = page(STANDARD, choice_plate(STANDARD, 16, "2", "piston tank")).text().splitlines()[16]
    assert chosen == "              ::2::piston:tank_:::::::::::::::"


def test_long_text_keeps_its_end_in_sight() -> None:
    line = (
        page(STANDARD, text_plate(STANDARD, 9, "the aft ring was dry and had a flat")).text().splitlines()[9]
    )
    assert line.endswith(":had:a:flat_::")
    assert line.startswith("              ::<")
    assert len(line) == 46
    two = (
        page(STANDARD, text_plate(STANDARD, 9, "the aft ring was dry and had a flat", rows=2))
        .text()
        .splitlines()
    )
    assert two[9:11] == [
        "              ::the:aft:ring:was:dry:and:had::",
        "              ::a:flat_:::::::::::::::::::::::",
    ]


@settings(max_examples=100, deadline=None)
@given(text=st.text(max_size=60), layout=st.sampled_from([STANDARD, SMALL, TINY, WIDE]))
def test_foreign_text_never_leaves_the_plate(text: str, layout: Layout) -> None:
    for part in (
        text_plate(layout, 4, text),
        number_plate(layout, 4, text),
        choice_plate(layout, 4, "1", text),
    ):
        drawn = page(layout, part)
        assert look_checks.width_problems(drawn) == []
        (block,) = look_checks.blocks(drawn)
        start, end = bounds(layout)
        assert {column for _, column in block[1]} == set(range(start, end))
