"""What a number rests on: inputs with their share, beside each other or on the second page."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.app.look.layout import LAYOUTS, SMALL, STANDARD, WIDE, Layout
from divelog.app.look.page import Part, page
from divelog.app.look.why import Input, bar_cells, rests_beside, rests_on


def _checks() -> ModuleType:
    spec = importlib.util.spec_from_file_location("look_checks", Path(__file__).with_name("look_checks.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


look_checks = _checks()
INPUTS = [
    Input("fading", "3 dB", "kept, never measured away", 0.83),
    Input("trial water", "320 uS/cm, +/- 10 %", "same trial", 0.06),
    Input("height", "0.4 m", "stated"),
]


def lines(layout: Layout, part: Part) -> list[str]:
    return page(layout, part).text().splitlines()


def test_beside_on_the_second_page() -> None:
    assert WIDE.second == 84
    longer = [Input("bore", "80 mm", "stated", 0.4, "cylinder inside diameter", ""), *INPUTS]
    drawn = page(WIDE, rests_beside(WIDE, longer, focus=0))
    found = [line[83:] for line in drawn.text().splitlines()]
    assert found[:5] == [
        " Rests on           share of the +/-",
        " >cylinder inside diameter      40 %",
        "    80 mm, stated",
        "  fading                        83 %",
        "    3 dB, kept, never measured away",
    ]
    assert look_checks.problems(drawn) == []
    assert rests_beside(STANDARD, INPUTS) == ()


def test_the_heading_says_the_one_in_focus_at_length() -> None:
    item = Input(
        "bore",
        "80 mm",
        "assumed*",
        0.4,
        "cylinder inside diameter",
        "as most tubes of her size are, by the length",
    )
    found = lines(STANDARD, rests_on(STANDARD, 14, [item], focus=0))[14]
    assert found == " Rests on       cylinder inside diameter: as most tubes of .. share of the +/-"
    assert lines(STANDARD, rests_on(STANDARD, 14, [item]))[14].split("  ")[0] == " Rests on"


def test_what_does_not_fit_ends_between_words() -> None:
    item = Input("a name that is far too long", "one two three four five six", "seven eight nine ten eleven")
    found = lines(STANDARD, rests_on(STANDARD, 0, [item]))[1]
    assert found.split() == [
        "a",
        "name",
        "that",
        "..",
        "one",
        "two",
        "three",
        "..",
        "seven",
        "eight",
        "nine",
        "ten",
        "..",
    ]


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
    item = Input(one, two, three, share, title=two + one, said=three)
    for part in (rests_on(layout, 3, [item], focus=0), rests_beside(layout, [item, item], focus=1)):
        drawn = page(layout, part)
        assert look_checks.width_problems(drawn) == []
        assert look_checks.edge_problems(drawn) == []
        assert look_checks.overlap_problems(drawn) == []
