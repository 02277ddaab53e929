"""Header, waterline, places and key rows in every size."""

from __future__ import annotations

import re
from functools import partial
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import divelog.app
from divelog.app.look.frame import (
    BACK,
    KEYS,
    PLACES,
    TROUBLE,
    Key,
    header,
    key_lines,
    keys,
    places_keys,
    waterline,
)
from divelog.app.look.layout import LAYOUTS, SMALL, STANDARD, TINY, Layout, Place
from divelog.app.look.page import Part, Role, page

FIRST = (
    Key("Enter", "keep"),
    Key("b", "back one line", "back"),
    Key("s", "skip"),
    Key("u", "can't tell"),
    TROUBLE,
)
SECOND = (Key("p", "pause"), Key("x", "not fitted"), Key("w", "why"), Key("n", "note"), PLACES)


def lines(layout: Layout, part: Part) -> list[str]:
    return [line.rstrip() for line in page(layout, part).lines()]


def test_header_in_every_size() -> None:
    said = partial(
        header, boat="TANSY", place="Limits today", what="Withy Pond, 11 degC", date="Tue 4 May", time="08:11"
    )
    assert [lines(layout, said(layout))[0] for layout in (STANDARD, SMALL, TINY)] == [
        " TANSY          Limits today        Withy Pond, 11 degC        Tue 4 May  08:11",
        " TANSY          Limits today    Withy Pond, 11 degC   08:11",
        " TANSY        Limits today        08:11",
    ]


def test_without_room_the_date_goes_first_unless_it_is_to_be_confirmed() -> None:
    said = partial(header, STANDARD, boat="Boats", place="Withy Pond", date="Tue 4 May 2032", time="08:04")
    free = lines(STANDARD, said(what="w" * 40))[0]
    assert free == f" Boats          Withy Pond          {'w' * 35}>  08:04"
    kept = lines(STANDARD, said(what="w" * 40, keep_date=True))[0]
    assert kept == f" Boats          Withy Pond          {'w' * 19}>  Tue 4 May 2032  08:04"
    short = lines(STANDARD, said(what="fresh, 11 degC"))[0]
    assert short == " Boats          Withy Pond          fresh, 11 degC        Tue 4 May 2032  08:04"


@settings(max_examples=100, deadline=None)
@given(
    boat=st.text(max_size=50),
    place=st.text(max_size=50),
    what=st.text(max_size=50),
    layout=st.sampled_from([STANDARD, SMALL, TINY]),
)
def test_a_foreign_name_never_moves_the_clock(boat: str, place: str, what: str, layout: Layout) -> None:
    plain = page(layout, header(layout, boat="A", place="B", what=what, time="08:11")).lines()[0]
    line = page(layout, header(layout, boat=boat, place=place, what=what, time="08:11")).lines()[0]
    assert line.endswith("08:11 ")
    if layout.margin and what:  # without it the place may be longer
        assert line[-24:] == plain[-24:]


@pytest.mark.parametrize("here", list(Place))
def test_the_bar_moves_to_the_right_with_the_day(here: Place) -> None:
    line = lines(STANDARD, waterline(STANDARD, here))[1]
    starts = (1, 16, 26, 36, 48, 62)
    bar = starts[here - 1]
    assert line[bar : bar + 7] == "▀" * 7
    assert {n for n, sign in enumerate(line) if sign == "▀"} == set(starts) | set(range(bar, bar + 7))
    assert lines(STANDARD.ascii(), waterline(STANDARD.ascii(), here))[1] == line.replace("▀", "=")


def test_the_places_open_under_their_marks() -> None:
    assert lines(STANDARD, waterline(STANDARD, Place.LIMITS, names=True))[1:3] == [
        " ▀              ▀▀▀▀▀▀▀   ▀         ▀           ▀             ▀",
        " 1 Boats        2 Limits  3 Checks  4 Run       5 Log         6 Upkeep",
    ]
    assert lines(SMALL, waterline(SMALL, Place.LIMITS, names=True))[2] == (
        " 1 Boats      2 Limits 3 Checks  4 Run    5 Log   6 Upkeep"
    )
    assert lines(TINY, waterline(TINY, Place.RUN, names=True))[1:3] == [
        " 1 Boats      2 Limits     3 Checks",
        " 4 Run        5 Log        6 Upkeep",
    ]


def test_while_they_are_open_only_two_keys_are_said() -> None:
    assert lines(STANDARD, places_keys(STANDARD))[22:] == [
        " 1-6 go there",
        " " * 62 + "Esc stay here",
    ]
    assert lines(TINY, places_keys(TINY))[11] == " 1-6 go there              Esc stay"


def test_key_rows_in_every_size() -> None:
    assert lines(STANDARD, keys(STANDARD, FIRST, SECOND))[22:] == [
        " Enter keep     b back one line     s skip      u can't tell  t trouble",
        " p pause        x not fitted        w why       n note        Esc places",
    ]
    assert lines(SMALL, keys(SMALL, FIRST, SECOND))[18:] == [
        " Enter keep     b back          s skip      t trouble",
        " p pause        x not fitted    w why       Esc places",
    ]
    assert lines(TINY, keys(TINY, FIRST, SECOND))[11] == " Enter keep   t trouble    Esc places"
    assert lines(SMALL, keys(SMALL, (None, None, None, Key("c", "checks"))))[18] == " " * 32 + "c checks"
    assert lines(STANDARD, keys(STANDARD, (), (BACK, KEYS)))[23] == " Esc back       ? keys"


@settings(max_examples=100, deadline=None)
@given(
    labels=st.lists(st.one_of(st.none(), st.text(max_size=30)), min_size=10, max_size=10),
    layout=st.sampled_from(LAYOUTS),
)
def test_a_label_ends_two_columns_before_the_next_used_stop(labels: list[str | None], layout: Layout) -> None:
    slots = [None if label is None else Key("k", label, label[:5]) for label in labels]
    drawn = page(layout, keys(layout, slots[:5], slots[5:]))
    for row in layout.keys:
        bold = [s for s in drawn.rows[row] if s.role is Role.BOLD]
        for key in bold:
            before = [s.end for s in drawn.rows[row] if s.column < key.column]
            assert all(end <= key.column - 2 for end in before)
        assert all(s.end <= layout.edge for s in drawn.rows[row])


def test_big_keys_stand_at_the_left_edge() -> None:
    said = [
        ("Space", "mark this moment"),
        ("Enter", "SIGNAL LOST or out of sight"),
        ("e then 1", "end the run"),
    ]
    drawn = page(STANDARD, key_lines(STANDARD, 20, said, strong=2))
    assert drawn.text().splitlines()[20:23] == [
        " Space          mark this moment",
        " Enter          SIGNAL LOST or out of sight",
        " e then 1       end the run",
    ]
    weights = [[s.role for s in drawn.rows[row]] for row in (20, 21, 22)]
    assert weights == [[Role.BOLD, Role.BOLD], [Role.BOLD, Role.BOLD], [Role.BOLD, Role.QUIET]]


def test_no_key_of_any_page_reads_as_a_digit():
    """Small L, I and O look like digits in the sun: no page offers them, and none listens to them outside of words."""
    offered = re.compile(r"""Key\(\s*["']([liolIO])["']|key == ["']([liolIO])["']""")
    found = [
        f"{path.name}: {match[0]}"
        for path in sorted((Path(divelog.app.__file__).parent).rglob("*.py"))
        for match in offered.finditer(path.read_text(encoding="utf-8"))
    ]
    assert found == []
