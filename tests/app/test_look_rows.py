"""Rows of lists: columns, weights, the one reverse block, focus."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.app.look import gauge as g
from divelog.app.look import rows
from divelog.app.look.layout import LAYOUTS, SMALL, STANDARD, TINY, Layout
from divelog.app.look.page import Role, page
from divelog.app.look.rows import Entry, Row
from divelog.app.look.words import Status


def _checks() -> ModuleType:
    spec = importlib.util.spec_from_file_location("look_checks", Path(__file__).with_name("look_checks.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


look_checks = _checks()

ITEMS = [
    Row("shaft grease", Status.OUTSIDE, "1", "4.3 h", "every 4 h", g.at_most(4), g.one(4.3)),
    None,
    Row("ballast fill", Status.TOO_CLOSE, "2", "46.9 s", "at most 47", g.at_most(47, 35), g.one(46.9, 0.3)),
    Row("long leak test", Status.OUTSIDE, "3", "32 d", "every 30 d", g.at_most(30), g.one(32)),
    None,
    Row("aft cap ring", Status.WITHIN, "4", "11 closings", "at most 50", g.at_most(50), g.one(11)),
    Row("pack R1", Status.UNKNOWN, "10", "", "no capacity test"),
]


def test_a_list_in_three_sizes() -> None:
    def drawn(layout: Layout) -> list[str]:
        return page(layout, rows.listed(layout, 3, ITEMS, focus=2)).text().splitlines()[3:10]

    assert drawn(STANDARD) == [
        " X OUTSIDE    1 shaft grease        4.3 h       every 4 h     ------------|▄",
        "",
        ">~ too close  2 ballast fill        46.9 s      at most 47    ----------/▄|/",
        " X OUTSIDE    3 long leak test      32 d        every 30 d    ------------|▄",
        "",
        " + within     4 aft cap ring        11 closings at most 50    --▄---------|",
        " ? unknown   10 pack R1                         no capacity test",
    ]
    assert drawn(SMALL) == [
        " X OUTSIDE    1 shaft grease    4.3 h       every 4 h",
        "",
        ">~ too close  2 ballast fill    46.9 s      at most 47",
        " X OUTSIDE    3 long leak test  32 d        every 30 d",
        "",
        " + within     4 aft cap ring    11 closings at most 50",
        " ? unknown   10 pack R1         no capacity test",
    ]
    assert drawn(TINY) == [
        " X 1 shaft grease          4.3 h",
        "",
        ">~ 2 ballast fill          46.9 s",
        " X 3 long leak test        32 d",
        "",
        " + 4 aft cap ring          11 closings",
        " ?10 pack R1",
    ]


def test_only_the_first_outside_is_reversed_and_the_next_is_bold() -> None:
    drawn = page(STANDARD, rows.listed(STANDARD, 3, ITEMS, focus=2))
    assert drawn.runs(3)[0] == (" X OUTSIDE   ", Role.OUTSIDE)
    assert ("X", Role.BOLD) in drawn.runs(6)
    assert len(look_checks.blocks(drawn)) == 1
    without = page(STANDARD, rows.listed(STANDARD, 3, ITEMS, block=False))
    assert look_checks.blocks(without) == []
    assert without.text() == page(STANDARD, rows.listed(STANDARD, 3, ITEMS)).text()


def test_on_the_reversed_row_the_focus_stands_right_of_the_block() -> None:
    drawn = page(STANDARD, rows.listed(STANDARD, 3, ITEMS, focus=0))
    assert drawn.lines()[3].startswith(" X OUTSIDE   >1 shaft grease ")
    assert drawn.runs(3)[0] == (" X OUTSIDE   ", Role.OUTSIDE)
    tiny = page(TINY, rows.listed(TINY, 3, ITEMS, focus=0))
    assert tiny.runs(3)[0] == (">X", Role.OUTSIDE)
    two = page(STANDARD, rows.listed(STANDARD, 3, [Row("x", Status.OUTSIDE, "12")], focus=0))
    assert two.lines()[3].startswith(" X OUTSIDE   12>x ")


def test_focus_is_a_sign_and_a_bold_title_and_nothing_else() -> None:
    plain = page(STANDARD, rows.listed(STANDARD, 3, ITEMS))
    focused = page(STANDARD, rows.listed(STANDARD, 3, ITEMS, focus=5))
    changed = look_checks.changed_cells(plain, focused)
    assert {row for row, _ in changed} == {8}
    assert {column for _, column in changed} == {0, *range(16, 28)}
    assert ("aft cap ring", Role.BOLD) in [(t.strip(), r) for t, r in focused.runs(8)]


def test_within_is_regular_and_three_words_are_bold() -> None:
    for status in Status:
        drawn = page(STANDARD, rows.status(STANDARD, 4, status))
        words = {role for text, role in drawn.runs(4) if text.strip()}
        assert words == {Role.BOLD if status.bold else Role.TEXT}
        assert drawn.text().splitlines()[4] == f" {status.sign} {status.word}"


def test_a_remark_follows_its_bold_words_by_two() -> None:
    item = Row("Trim", number="3", reading="leave the lead alone", remark="3 g heavier, +/- 3 g", strong=True)
    drawn = page(STANDARD, rows.one(STANDARD, 10, item))
    assert drawn.text().splitlines()[10] == (
        "              3 Trim                leave the lead alone  3 g heavier, +/- 3 g"
    )
    assert look_checks.problems(drawn) == []


def test_the_lines_of_a_check_stand_in_the_margin() -> None:
    part = rows.margin(
        STANDARD, 4, [(Status.DONE, "undone"), (Status.SKIPPED, "signal off"), (None, "volts")], focus=2
    )
    assert page(STANDARD, part).text().splitlines()[4:7] == [" = undone", " - signal off", ">  volts"]
    assert rows.margin(TINY, 4, [(Status.DONE, "undone")]) == ()


def test_entries_in_three_sizes() -> None:
    item = Entry(
        "BRAMBLE",
        "PAUSED closing up, line 4",
        "D5 charged",
        status=Status.TO_PROVE,
        number="2",
        under=("6 to prove, 1 defect",),
        strong=True,
        loud=True,
    )

    def drawn(layout: Layout) -> list[str]:
        return page(layout, rows.entry(layout, 4, item)).text().splitlines()[4:8]

    assert drawn(STANDARD) == [
        " ! to prove   2 BRAMBLE             PAUSED closing up, line 4 D5 charged",
        "                                    6 to prove, 1 defect",
        "",
        "",
    ]
    assert drawn(SMALL) == [
        " ! to prove   2 BRAMBLE         PAUSED closing up, line 4",
        "                                D5 charged",
        "                                6 to prove, 1 defect",
        "",
    ]
    assert drawn(TINY) == [
        " ! 2 BRAMBLE",
        "     PAUSED closing up, line 4",
        "     D5 charged",
        "     6 to prove, 1 defect",
    ]
    log = page(STANDARD, rows.entry(STANDARD, 3, Entry("TANSY", "run 31, 45 min", "0.7 m", lead="Tue 4 May")))
    assert log.text().splitlines()[3] == " Tue 4 May      TANSY               run 31, 45 min            0.7 m"


foreign = st.text(st.one_of(st.characters(), st.sampled_from("\x1b船🚢\u202e[]")), max_size=60)


@settings(max_examples=150, deadline=None)
@given(
    title=foreign,
    reading=foreign,
    limit=foreign,
    status=st.sampled_from([None, *Status]),
    number=st.sampled_from(["", "1", "0", "12"]),
    focused=st.booleans(),
    bounded=st.booleans(),
    layout=st.sampled_from(LAYOUTS),
)
def test_foreign_text_in_a_row_keeps_to_its_columns(
    title: str,
    reading: str,
    limit: str,
    status: Status | None,
    number: str,
    focused: bool,
    bounded: bool,
    layout: Layout,
) -> None:
    bounds = g.at_most(4) if bounded else None
    item = Row(title, status, number, reading, limit, bounds, None)
    drawn = page(layout, rows.listed(layout, 5, [item], focus=0 if focused else None))
    assert look_checks.problems(drawn) == []
    if bounded and layout.gauge is not None:
        signs = [sign for sign, _ in look_checks.cells(drawn, 5)]
        assert signs[layout.gauge : layout.gauge + 17] == list("------------|    ")
