"""The page model: what stands where, whatever the text is."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from divelog.app.look.layout import LAYOUTS, SMALL, STANDARD, TINY, WIDE, Layout, layout_for
from divelog.app.look.page import Kind, Role, Span, at, below, joined, moved, page

foreign = st.text(
    st.one_of(
        st.characters(),
        st.sampled_from("\x1b\x9b\x00\x07\u202e\u200d\ufe0f\u0301⚓船🚢e[]/ "),
    ),
    max_size=60,
)
roles = st.sampled_from(list(Role))


@settings(max_examples=200, deadline=None)
@given(
    layout=st.sampled_from(LAYOUTS),
    spans=st.lists(st.tuples(st.integers(-2, 45), st.integers(-3, 130), foreign, roles), max_size=6),
)
def test_any_text_anywhere_leaves_every_row_exactly_as_wide_as_the_page(
    layout: Layout, spans: list[tuple[int, int, str, Role]]
) -> None:
    drawn = page(layout, joined(at(*span) for span in spans))
    assert len(drawn.lines()) == layout.height
    for row, line in enumerate(drawn.lines()):
        assert cell_len(line) == layout.width
        assert sum(cell_len(text) for text, _ in drawn.runs(row)) == layout.width
        assert not any(c < " " or "\x7f" <= c <= "\x9f" or c in "\u202e\u200b" for c in line)


def test_a_span_is_harmless_from_the_moment_it_exists() -> None:
    assert "\x1b" not in Span(1, "a\x1b]0;title\x07b").text
    assert "\u202e" not in Span(1, "a\u202eb").text
    assert Span(1, "[b]bold[/b] [@click=app.bell]x[/]").text == "[b]bold[/b] [@click=app.bell]x[/]"


def test_nothing_stands_in_the_last_column_but_a_reverse_block() -> None:
    drawn = page(
        STANDARD, at(1, 70, "x" * 30), at(2, 0, " " * 90, Role.OUTSIDE), at(3, 0, "y" * 90, Role.PLATE)
    )
    assert drawn.lines()[1] == " " * 70 + "x" * 9 + " "
    assert drawn.runs(2) == ((" " * 80, Role.OUTSIDE),)
    assert drawn.lines()[3][79] == " "


def test_the_second_page_of_a_wide_layout_ends_before_its_own_edge() -> None:
    line = page(WIDE, at(4, 84, "x" * 60), at(4, 60, "y" * 60)).lines()[4]
    assert line == " " * 60 + "y" * 19 + " " * 5 + "x" * 35 + " "


def test_a_later_span_covers_an_earlier_one_and_never_leaves_half_a_character() -> None:
    assert page(STANDARD, at(0, 1, "船船船"), at(0, 2, "ab")).lines()[0].rstrip() == "  ab 船"
    assert page(STANDARD, at(0, 1, "abcd"), at(0, 2, "船")).lines()[0].rstrip() == " a船d"
    assert page(STANDARD, at(0, 78, "船")).lines()[0].strip() == ""


def test_marks_stay_with_their_letter() -> None:
    line = page(STANDARD, at(0, 1, "e\u0301x")).lines()[0]
    assert line.startswith(" e\u0301x ")
    assert cell_len(line) == 80


def test_text_shows_filled_cells() -> None:
    drawn = page(
        STANDARD, at(0, 1, "  ", Role.FIGURE), at(0, 5, "  2  ", Role.PLATE), at(2, 0, " X ", Role.OUTSIDE)
    )
    assert drawn.text().splitlines()[:3] == [" ##  ::2::", "", " X"]
    assert drawn.text().count("\n") == 23


def test_only_rows_that_look_different_are_changed() -> None:
    one = page(STANDARD, at(0, 1, "TANSY"), at(4, 16, "47"), at(5, 1, "ab"))
    two = page(STANDARD, at(0, 1, "TANSY"), at(4, 16, "46"), at(5, 1, "a"), at(5, 2, "b"))
    assert two.changed(one) == (4,)
    assert one.changed(one) == ()
    assert one.changed(None) == tuple(range(24))
    assert page(SMALL, at(0, 1, "TANSY")).changed(one) == tuple(range(20))
    heavier = page(STANDARD, at(0, 1, "TANSY", Role.BOLD), at(4, 16, "47"), at(5, 1, "ab"))
    assert heavier.changed(one) == (0,)


def test_parts_know_what_is_below_them_and_move_together() -> None:
    part = at(3, 1, "a") + at(7, 4, "b", Role.BOLD, Kind.AFTER)
    assert below(part) == 8
    assert below((), 5) == 5
    assert moved(part, 2, 1) == at(5, 2, "a") + at(9, 5, "b", Role.BOLD, Kind.AFTER)


def test_the_largest_layout_that_fits_is_taken() -> None:
    sizes = {
        (80, 24): STANDARD,
        (119, 60): STANDARD,
        (120, 40): WIDE,
        (200, 60): WIDE,
        (79, 24): SMALL,
        (60, 20): SMALL,
        (100, 20): SMALL,
        (40, 12): TINY,
        (59, 30): TINY,
        (39, 12): None,
        (40, 11): None,
        (1, 1): None,
    }
    assert {size: layout_for(*size) for size in sizes} == sizes
    plain = layout_for(80, 24, blocks=False)
    assert plain is not None
    assert not plain.blocks


def test_the_grid_of_every_layout() -> None:
    assert STANDARD.stops == (1, 16, 36, 48, 62)
    assert [STANDARD.until(c) for c in STANDARD.stops] == [14, 19, 11, 13, 17]
    assert [layout.measure for layout in (STANDARD, SMALL, TINY)] == [62, 43, 34]
    assert [SMALL.column(c) for c in (1, 16, 36, 48, 62)] == [1, 16, 32, 44, None]
    assert [TINY.column(c) for c in (1, 16, 36, 48, 62)] == [1, 5, 27, None, None]
    assert [layout.figure_step(10) for layout in LAYOUTS] == [10, 10, 5, 3]
    assert [layout.figure_step(3) for layout in LAYOUTS] == [5, 3, 3, 3]
