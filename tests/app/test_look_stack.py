"""Blocks under one another in every size."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.app.look import answers, frame
from divelog.app.look.frame import PLACES, TROUBLE, Key
from divelog.app.look.layout import LAYOUTS, SMALL, STANDARD, TINY, Layout
from divelog.app.look.page import Part, at, page
from divelog.app.look.stack import KEPT, Block, screen, stack


def tall(rows: int, sign: str) -> Part:
    return tuple(placed for n in range(rows) for placed in at(n, 16, f"{sign}{n}"))


def rows_of(layout: Layout, blocks: list[Block]) -> dict[str, int]:
    return {placed.span.text: placed.row for placed in stack(layout, blocks)}


def test_on_the_full_page_blocks_stand_where_they_were_designed() -> None:
    blocks = [Block(tall(2, "a"), row=4), Block(tall(1, "b"), row=14), Block(tall(1, "c"), row=20)]
    assert rows_of(STANDARD, blocks) == {"a0": 4, "a1": 5, "b0": 14, "c0": 20}


def test_a_block_that_grew_pushes_the_next_one_down_and_no_further() -> None:
    blocks = [Block(tall(12, "a"), row=4), Block(tall(1, "b"), row=14), Block(tall(1, "c"), row=20)]
    found = rows_of(STANDARD, blocks)
    assert (found["a11"], found["b0"], found["c0"]) == (15, 17, 20)
    crowded = [Block(tall(12, "a"), row=4), Block(tall(5, "b"), row=14), Block(tall(1, "c"), row=20)]
    found = rows_of(STANDARD, crowded)
    assert (found["a11"], found["b0"], found["c0"]) == (15, 16, 21)


def test_on_small_pages_they_follow_with_one_gap() -> None:
    blocks = [
        Block(tall(2, "a"), row=4),
        Block(tall(1, "b"), row=14, close=True),
        Block((), row=15),
        Block(tall(1, "c"), row=20),
    ]
    assert rows_of(SMALL, blocks) == {"a0": 3, "a1": 4, "b0": 5, "c0": 7}


def test_without_room_small_talk_goes_first_then_gaps_then_the_lowest_rank() -> None:
    six = [Block(tall(2, sign), row=4, rank=rank) for sign, rank in zip("abcd", (KEPT, 3, 5, 3), strict=True)]
    assert set(rows_of(TINY, six)) == {"a0", "a1", "b0", "b1", "c0", "c1", "d0", "d1"}
    assert rows_of(TINY, six)["b0"] == 5
    more = [*six, Block(tall(2, "e"), row=20, rank=KEPT)]
    assert {text[0] for text in rows_of(TINY, more)} == {"a", "b", "c", "e"}
    talk = [
        Block(tall(3, "a"), row=4, rank=KEPT),
        Block(tall(3, "b"), row=9),
        Block(tall(1, "c"), row=20, rank=2),
    ]
    assert rows_of(TINY, talk) == {"a0": 3, "a1": 4, "a2": 5, "b0": 7, "b1": 8, "b2": 9}


def test_height_keeps_rows_free_for_what_comes() -> None:
    blocks = [Block(tall(1, "a"), row=4, height=3), Block(tall(1, "b"), row=14)]
    assert rows_of(SMALL, blocks) == {"a0": 3, "b0": 7}


@settings(max_examples=100, deadline=None)
@given(
    sizes=st.lists(st.tuples(st.integers(0, 12), st.integers(3, 20), st.integers(0, 9)), max_size=8),
    layout=st.sampled_from(LAYOUTS),
)
def test_content_never_covers_the_frame_nor_itself(sizes: list[tuple[int, int, int]], layout: Layout) -> None:
    top = frame.keys(
        layout, (Key("Enter", "keep"), None, None, None, TROUBLE), (None, None, None, None, PLACES)
    )
    blocks = [Block(tall(high, chr(97 + n)), row=row, rank=rank) for n, (high, row, rank) in enumerate(sizes)]
    drawn = screen(layout, top, blocks)
    framed = page(layout, top)
    assert all(drawn.runs(row) == framed.runs(row) for row in layout.keys)
    assert all(not drawn.rows[row] for row in range(3))
    assert all(len(spans) <= 1 for spans in drawn.rows[: layout.keys[0]])


def test_a_sentence_that_wraps_more_on_a_small_page_pushes_what_follows() -> None:
    text = "Wear is worked out from six like readings up; it starts afresh at every change of part."

    def blocks(layout: Layout) -> list[Block]:
        return [
            Block(answers.sentence(layout, 0, text), row=15),
            Block(answers.note(layout, 0, "Next", "weigh the lead"), row=18),
        ]

    assert screen(STANDARD, (), blocks(STANDARD)).lines()[18].startswith(" Next ")
    assert screen(SMALL, (), blocks(SMALL)).lines()[7].startswith(" Next ")
