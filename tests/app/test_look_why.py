"""Derivations that add up by eye, and inputs with their share."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.app.look.layout import LAYOUTS, SMALL, STANDARD, TINY, WIDE, Layout
from divelog.app.look.page import Part, page
from divelog.app.look.why import Input, bar_cells, derivation, rests_on


def _checks() -> ModuleType:
    spec = importlib.util.spec_from_file_location("look_checks", Path(__file__).with_name("look_checks.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


look_checks = _checks()
LINES = [
    ("in hand", "6.77 dB", "tip awash, 35 m: 8.14 + 34.18 - 35.52 + 28.93 - 28.96"),
    ("lost", "5.59 dB/m", "in this water, 0.0308 S/m at 11 degC"),
    ("held back", "-0.59 m", "the +/- below"),
]
INPUTS = [
    Input("fading", "3 dB", "kept, never measured away", 0.83),
    Input("trial water", "320 uS/cm, +/- 10 %", "same trial", 0.06),
    Input("height", "0.4 m", "stated"),
]


def lines(layout: Layout, part: Part) -> list[str]:
    return page(layout, part).text().splitlines()


def test_numbers_of_a_derivation_end_together() -> None:
    assert lines(STANDARD, derivation(STANDARD, 8, LINES))[8:11] == [
        " in hand         6.77 dB  tip awash, 35 m: 8.14 + 34.18 - 35.52 + 28.93 - 28.96",
        " lost          5.59 dB/m  in this water, 0.0308 S/m at 11 degC",
        " held back       -0.59 m  the +/- below",
    ]
    assert look_checks.problems(page(STANDARD, derivation(STANDARD, 8, LINES))) == []
    assert lines(TINY, derivation(TINY, 3, LINES))[3] == " in hand                        6.77 dB"


def test_a_derivation_on_the_second_page() -> None:
    assert WIDE.second == 84
    second = lines(WIDE, derivation(WIDE, 8, LINES, column=83))
    assert second[8].startswith(" " * 84 + "in hand")
    assert second[8][100:107] == "6.77 dB"
    assert look_checks.problems(page(WIDE, derivation(WIDE, 8, LINES, column=83))) == []


def test_shares_of_the_uncertainty() -> None:
    assert lines(STANDARD, rests_on(STANDARD, 14, INPUTS))[14:18] == [
        " Rests on                                                     share of the +/-",
        " fading         3 dB                kept, never measured away 83 % ▄▄▄▄▄▄▄▄▄▄",
        " trial water    320 uS/cm, +/- 10 % same trial                 6 % ▄",
        " height         0.4 m               stated",
    ]
    assert lines(SMALL, rests_on(SMALL, 3, INPUTS))[4] == " fading         3 dB" + " " * 35 + "83 %"
    assert lines(STANDARD.ascii(), rests_on(STANDARD.ascii(), 14, INPUTS))[15].endswith("83 % ##########")
    assert lines(STANDARD, rests_on(STANDARD, 14, INPUTS, focus=1))[16].startswith(">trial water ")


def test_a_bar_of_twelve_shows_anything_above_nothing() -> None:
    assert [bar_cells(s) for s in (0, -1, 0.001, 0.06, 0.5, 0.83, 1, 1.2)] == [0, 0, 1, 1, 6, 10, 12, 12]


@settings(max_examples=150, deadline=None)
@given(
    words=st.lists(st.text(max_size=40), min_size=3, max_size=3),
    share=st.one_of(st.none(), st.floats(0, 1)),
    layout=st.sampled_from(LAYOUTS),
)
def test_foreign_words_keep_to_their_columns(words: list[str], share: float | None, layout: Layout) -> None:
    one, two, three = words
    for part in (
        rests_on(layout, 3, [Input(one, two, three, share)], focus=0),
        derivation(layout, 3, [(one, two[:9], three)]),
    ):
        drawn = page(layout, part)
        assert look_checks.width_problems(drawn) == []
        assert look_checks.edge_problems(drawn) == []
        assert look_checks.overlap_problems(drawn) == []
