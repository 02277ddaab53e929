"""Whole pages out of the building blocks: golden text, and every check in every size and theme."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.app.look import answers, charts, figures, frame, plate, rows, why
from divelog.app.look import gauge as g
from divelog.app.look.frame import BACK, KEYS, PLACES, TROUBLE, Key
from divelog.app.look.layout import LAYOUTS, SMALL, STANDARD, TINY, Layout, Place
from divelog.app.look.page import Kind, Page, Part, Role, at, below, joined, page
from divelog.app.look.rows import Row
from divelog.app.look.stack import KEPT, Block, screen
from divelog.app.look.words import Status


def _checks() -> ModuleType:
    spec = importlib.util.spec_from_file_location("look_checks", Path(__file__).with_name("look_checks.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


look_checks = _checks()


def two_figures(layout: Layout, boat_pack: str) -> Part:
    """Two numbers side by side with title and remark: one block."""
    beside = layout.limit
    if beside is None:
        return at(0, layout.title, "Deepest keel", Role.BOLD) + at(0, layout.reading, "0.8 m", Role.BOLD)
    part: Part = ()
    for column, number, title, value, units, remark in (
        (layout.title, "1", "Back at the bank", "47", ("min after launch", "min"), boat_pack),
        (beside, "2", "Deepest keel", "0.8", ("m",), "sight, radio; next: pump 0.9"),
    ):
        end = beside - 3 if column < beside else None
        large = figures.figure(layout, 1, column, value, unit=units, end=end)
        part += at(0, column - 2, number, Role.BOLD, Kind.MARK) + at(0, column, title, Role.BOLD) + large
        if layout.gauge is not None:
            part += at(below(large) + 1, column, remark)
    return part


def list_page(layout: Layout, *, boat: str = "TANSY", title: str = "rest volts", focus: int = 2) -> Page:
    top = frame.header(
        layout, boat=boat, place="Limits today", what="Withy Pond, 11 degC", date="Tue 4 May", time="08:11"
    )
    top += frame.waterline(layout, Place.LIMITS)
    top += frame.keys(
        layout,
        (
            Key("1-0", "why"),
            Key("m", "measure it now", "measure"),
            Key("d", "water"),
            Key("c", "checks"),
            TROUBLE,
        ),
        (KEYS, Key("a", "another boat"), Key("n", "note"), None, PLACES),
    )
    items: list[Row | None] = [
        Row("Trim", number="3", reading="leave the lead alone", remark="3 g heavier, +/- 3 g", strong=True),
        None,
        Row(title, Status.NO_READING, "4", "", "at least 8.25", g.at_least(8.25, 8.45)),
        Row("waves", Status.WITHIN, "5", "20 mm", "at most 40", g.at_most(40), g.one(20, 9)),
        Row("planned depth", Status.WITHIN, "6", "0.7 m", "at most 0.8", g.at_most(0.8), g.one(0.7, 0.05)),
        Row("range", Status.TO_PROVE, "7", "", "at least 44 paces"),
        Row("failsafe", Status.TO_PROVE, "8", "", "bound 30 Apr, not seen since"),
        Row(
            "cylinder kPa",
            Status.WITHIN,
            "9",
            "-2.8 to +20",
            "-5 to +25",
            g.band(-5, 25),
            g.Reading(-2.8, 20, 1),
        ),
        Row("up by herself", Status.WITHIN, "0", "39 s", "at most 60", g.at_most(60), g.one(39, 5)),
    ]
    if not layout.margin:
        items = [item for item in items[1:] if item is not None]
        focus -= 2
    next_up = answers.note(layout, 0, "Measure next", "time up, speed, air inside")
    if layout.gauge is not None:
        next_up += at(0, 48, "5 of 31 inputs are assumed (*)")
    return screen(
        layout,
        top,
        [
            Block(two_figures(layout, "pack D2, 30 % kept back"), row=3, rank=8),
            Block(rows.listed(layout, 0, items, focus=focus), row=10, rank=KEPT),
            Block(next_up, row=20, rank=1),
        ],
    )


def check_page(layout: Layout, typed: str, judged: bool) -> Page:
    top = frame.header(
        layout, boat="TANSY", place="Checks", what="Open boat, 4 of 4", date="Tue 4 May", time="08:19"
    )
    top += frame.waterline(layout, Place.CHECKS)
    top += frame.keys(
        layout,
        (
            Key("Enter", "keep"),
            Key("b", "back one line", "back"),
            Key("s", "skip"),
            Key("u", "can't tell"),
            TROUBLE,
        ),
        (Key("p", "pause"), Key("x", "not fitted"), Key("w", "why"), Key("n", "note"), PLACES),
    )
    done: list[tuple[Status | None, str]] = [
        (Status.DONE, "undone"),
        (Status.DONE, "name"),
        (Status.DONE, "signal off"),
        (None, "volts"),
    ]
    question = (
        at(0, layout.title, "Loses the boat if wrong")
        + answers.sentence(layout, 1, "Read the volts at the boat's own plug", role=Role.BOLD)
        + answers.sentence(layout, 2, "Pack D2, nothing running, meter on the pins")
    )
    if not layout.margin:
        question = answers.sentence(layout, 0, "Read the volts at the boat's plug", role=Role.BOLD)
    asked = Block(question + rows.margin(layout, 0, done, focus=3), row=4, rank=KEPT)
    if not judged:
        return screen(
            layout,
            top,
            [
                asked,
                Block(plate.number_plate(layout, 0, typed, unit="volts"), row=9, rank=KEPT),
                Block(
                    answers.note(layout, 0, "Open 3", "failsafe, range and volts", loud=True), row=19, rank=1
                ),
            ],
        )
    number = plate.kept_number(layout, 0, typed, unit="volts")
    number += g.check_gauge(layout, 2, g.at_least(8.25, 8.45), g.one(8.19, 0.04), "8.25 at least")
    said = "8.19 V, give or take 0.04. At least 8.25 V for 40 minutes."
    return screen(
        layout,
        top,
        [
            asked,
            Block(number, row=9, rank=KEPT, height=plate.rows(layout)),
            Block(answers.verdict(layout, 0, Status.OUTSIDE, said), row=14, rank=KEPT, close=True),
            Block(answers.next_steps(layout, 0, [("1", "read again"), ("2", "pack D3")]), row=18, rank=6),
            Block(
                answers.cautions(layout, 0, ["A swollen, wet or hot pack stays out of the boat."]),
                row=20,
                rank=5,
            ),
        ],
    )


def why_page(layout: Layout) -> Page:
    top = frame.header(layout, boat="TANSY", place="Limits: why", what="Withy Pond", time="08:11")
    top += frame.waterline(layout, Place.LIMITS)
    top += frame.keys(
        layout, (), (BACK, Key("m", "measure it", "measure"), Key("up", "inputs"), None, TROUBLE)
    )
    lines = ("6.8 dB in hand at 35 m.", "The signal goes at 1.21 m.")
    inputs = [
        why.Input("fading", "3 dB", "kept, never measured away", 0.83),
        why.Input("depth", "1.9 m, +/- 0.2", "signal lost at 30 m", 0.17),
    ]
    title = answers.note(layout, 0, "At most", "How deep the aerial's tip may go", loud=True, role=Role.BOLD)
    return screen(
        layout,
        top,
        [
            Block(title, row=3, rank=KEPT),
            Block(figures.figure(layout, 0, layout.title, "0.60", unit="m"), row=4, rank=KEPT, close=True),
            Block(joined(at(n, layout.title, line) for n, line in enumerate(lines)), row=8, rank=7),
            Block(why.rests_on(layout, 0, inputs, focus=0), row=14, rank=4),
            Block(answers.note(layout, 0, "Source", "trial of 18 April"), row=20, rank=3),
        ],
    )


def path_page(layout: Layout) -> Page:
    top = frame.header(layout, boat="TANSY", place="Limits: rehearsal", time="08:11")
    top += frame.waterline(layout, Place.LIMITS) + frame.keys(
        layout, (), (BACK, Key("1", "steady"), None, None, TROUBLE)
    )
    path = charts.Path(
        ((0, 0.7), (6, 1.14), (35, 0.0), (44, 0.0)), (0, 0.14, 0.1, 0), 2.0, 1.5, "aerial goes", 44
    )
    deepest = answers.sentence(layout, 0, "Deepest 1.14 m, give or take 0.14", role=Role.BOLD)
    if layout.margin:
        deepest += rows.status(layout, 0, Status.WITHIN)
    return screen(
        layout,
        top,
        [
            Block(charts.path_chart(layout, 0, path), row=4, rank=KEPT),
            Block(deepest, row=18, rank=5),
        ],
    )


PAGES = {
    "list": list_page,
    "before": lambda layout: check_page(layout, "", False),
    "typing": lambda layout: check_page(layout, "8.1", False),
    "verdict": lambda layout: check_page(layout, "8.19", True),
    "why": why_page,
    "path": path_page,
}


@pytest.mark.parametrize("name", PAGES)
@pytest.mark.parametrize(
    "layout", [*LAYOUTS, STANDARD.ascii()], ids=lambda layout: f"{layout.name}-{layout.blocks}"
)
def test_every_page_passes_every_check(name: str, layout: Layout) -> None:
    drawn = PAGES[name](layout)
    assert look_checks.problems(drawn) == []
    if not layout.blocks:
        assert drawn.text().isascii()


def test_a_list_page_as_text() -> None:
    assert list_page(STANDARD).text() == "\n".join(
        [
            " TANSY          Limits today        Withy Pond, 11 degC        Tue 4 May  08:11",
            " ▀              ▀▀▀▀▀▀▀   ▀         ▀           ▀             ▀",
            "",
            "              1 Back at the bank              2 Deepest keel",
            "                ▄ ▄ ▄▄▄                         ▄▄▄   ▄▄▄",
            "                █▄█   █                         █ █   █▄█",
            "                  █   █  min after launch       █▄█ ▄ █▄█  m",
            "",
            "                pack D2, 30 % kept back         sight, radio; next: pump 0.9",
            "",
            "              3 Trim                leave the lead alone  3 g heavier, +/- 3 g",
            "",
            ">. no reading 4 rest volts                      at least 8.25     |------------",
            " + within     5 waves               20 mm       at most 40    ---///▄//---|",
            " + within     6 planned depth       0.7 m       at most 0.8   ---------/▄/|",
            " ! to prove   7 range                           at least 44 paces",
            " ! to prove   8 failsafe                        bound 30 Apr, not seen since",
            " + within     9 cylinder kPa        -2.8 to +20 -5 to +25         |▄▄▄▄▄▄/|",
            " + within     0 up by herself       39 s        at most 60    ------/▄/---|",
            "",
            " Measure next   time up, speed, air inside      5 of 31 inputs are assumed (*)",
            "",
            " 1-0 why        m measure it now    d water     c checks      t trouble",
            " ? keys         a another boat      n note                    Esc places",
        ]
    )


def test_a_verdict_page_in_three_sizes() -> None:
    assert check_page(STANDARD, "8.19", True).text() == "\n".join(
        [
            " TANSY          Checks              Open boat, 4 of 4          Tue 4 May  08:19",
            " ▀              ▀         ▀▀▀▀▀▀▀   ▀           ▀             ▀",
            "",
            "",
            " = undone       Loses the boat if wrong",
            " = name         Read the volts at the boat's own plug",
            " = signal off   Pack D2, nothing running, meter on the pins",
            ">  volts",
            "",
            "",
            "                ▄▄▄    ▄  ▄▄▄",
            "                █▄█   ▀█  █▄█                         ///▄/// |---------------",
            "                █▄█ ▄ ▄█▄ ▄▄█  volts                          8.25 at least",
            "",
            "",
            " X OUTSIDE      8.19 V, give or take 0.04. At least 8.25 V for 40 minutes.",
            "",
            "",
            " Next           1 read again   2 pack D3",
            "",
            " Caution        A swollen, wet or hot pack stays out of the boat.",
            "",
            " Enter keep     b back one line     s skip      u can't tell  t trouble",
            " p pause        x not fitted        w why       n note        Esc places",
        ]
    )
    assert check_page(SMALL, "8.19", True).text().splitlines()[3:] == [
        " = undone       Loses the boat if wrong",
        " = name         Read the volts at the boat's own plug",
        " = signal off   Pack D2, nothing running, meter on the pins",
        ">  volts",
        "",
        "                ▄▄▄    ▄  ▄▄▄",
        "                █▄█   ▀█  █▄█",
        "                █▄█ ▄ ▄█▄ ▄▄█  volts        8.25 at least",
        "",
        "",
        " X OUTSIDE      8.19 V, give or take 0.04. At least 8.25 V",
        "                for 40 minutes.",
        " Next           1 read again   2 pack D3",
        " Caution        A swollen, wet or hot pack stays out of the",
        "                boat.",
        " Enter keep     b back          s skip      t trouble",
        " p pause        x not fitted    w why       Esc places",
    ]
    assert check_page(TINY, "8.19", True).text().splitlines()[3:] == [
        "     Read the volts at the boat's plug",
        "     ▄▄▄    ▄  ▄▄▄",
        "     █▄█   ▀█  █▄█",
        "     █▄█ ▄ ▄█▄ ▄▄█  volts",
        " X OUTSIDE  8.19 V, give or take 0.04.",
        "            At least 8.25 V for 40",
        "            minutes.",
        " Next  1 read again   2 pack D3",
        " Enter keep   t trouble    Esc places",
    ]


def test_nothing_that_was_read_moves_when_the_verdict_comes() -> None:
    before, after = check_page(STANDARD, "8.19", False), check_page(STANDARD, "8.19", True)
    assert look_checks.steady_problems(before, after, [*range(9), 22, 23]) == []
    figure = {
        (row, column, sign)
        for row in range(10, 13)
        for column, (sign, _) in enumerate(look_checks.cells(after, row)[:29])
        if sign in "▀▄█"
    }
    typed = {
        (row, column, sign)
        for row in range(10, 13)
        for column, (sign, _) in enumerate(look_checks.cells(before, row)[:29])
        if sign in "▀▄█"
    }
    assert figure == typed
    assert len(figure) > 10


@settings(max_examples=100, deadline=None)
@given(
    name=st.one_of(
        st.text(max_size=60),
        st.sampled_from(
            ["船" * 40, "A", "\u202eABC\u202c", "[b]x[/b] [@click=app.bell]y[/]", "e\u0301" * 30, ""]
        ),
    ),
    layout=st.sampled_from([STANDARD, SMALL, TINY]),
)
def test_a_foreign_name_leaves_the_rest_of_the_page_as_it_was(name: str, layout: Layout) -> None:
    usual, other = list_page(layout), list_page(layout, boat=name)
    assert look_checks.problems(other) == []
    cells = look_checks.changed_cells(usual, other)
    assert all(row == 0 and column < 16 for row, column in cells)
    titled = list_page(layout, title=name)
    assert look_checks.problems(titled) == []
    stops = (layout.title, layout.reading)
    assert all(stops[0] <= column < stops[1] for _, column in look_checks.changed_cells(usual, titled))


def test_the_checks_find_what_they_are_for() -> None:
    def said(*parts: Part) -> str:
        return " | ".join(look_checks.problems(page(STANDARD, *parts)))

    assert said() == ""
    assert "starts in column 17" in said(at(4, 17, "x"))
    assert "past the edge" in said(at(4, 62, "x" * 18))
    assert "in column 0" in said(at(4, 0, "x", kind=Kind.MARK))
    assert "2 reverse blocks" in said(at(4, 0, " ", Role.OUTSIDE), at(9, 0, " ", Role.PLATE))
    assert "no rectangle" in said(at(4, 0, "  ", Role.OUTSIDE), at(5, 0, " ", Role.OUTSIDE))
    assert "4 cautions" in said(*(at(row, 1, "Caution") for row in range(10, 14)))
    assert "no empty row above" in said(at(9, 16, "words"), at(10, 1, "Caution"))
    assert "covers" in said(at(4, 16, "long words"), at(4, 19, "x"))
    assert "touches" in said(at(4, 16, "x" * 20), at(4, 36, "y"))
    assert "keys" in said(at(22, 1, "Enter keep this one"), at(22, 16, "b"))
    assert "corner" in said(at(22, 16, "t"), at(22, 18, "trouble", kind=Kind.LABEL))
    assert look_checks.steady_problems(page(STANDARD), page(STANDARD, at(3, 1, "x")), range(9)) == [
        "row 3 moved"
    ]
