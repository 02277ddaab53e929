"""Sentences, cautions, choices, verdicts, faults and steps."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.app.look import answers
from divelog.app.look.layout import LAYOUTS, SMALL, STANDARD, TINY, WIDE, Layout
from divelog.app.look.page import Part, Role, below, page
from divelog.app.look.words import Status


def _checks() -> ModuleType:
    spec = importlib.util.spec_from_file_location("look_checks", Path(__file__).with_name("look_checks.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


look_checks = _checks()
SAID = "8.19 V, give or take 0.04. At least 8.25 V for 40 minutes."


def lines(layout: Layout, part: Part) -> list[str]:
    return page(layout, part).text().splitlines()


def test_the_band_is_three_rows_over_the_full_width() -> None:
    drawn = page(STANDARD, answers.verdict(STANDARD, 14, Status.OUTSIDE, SAID))
    assert drawn.text().splitlines()[14:17] == ["", f" X OUTSIDE      {SAID}", ""]
    assert [drawn.runs(row) for row in (14, 16)] == [((" " * 80, Role.OUTSIDE),)] * 2
    assert len(drawn.runs(15)) == 1
    assert look_checks.problems(drawn) == []
    wide = page(WIDE, answers.verdict(WIDE, 14, Status.OUTSIDE, SAID))
    assert [len(text) for text, _ in wide.runs(14)] == [80, 40]


def test_a_long_sentence_in_the_band_takes_its_other_rows_and_no_more() -> None:
    drawn = lines(STANDARD, answers.band(STANDARD, 14, "X OUTSIDE", f"{SAID} {SAID}"))
    assert drawn[14] == ""
    assert drawn[15].startswith(" X OUTSIDE      8.19 V")
    assert drawn[16].startswith(" " * 16)
    assert drawn[16].strip() == "8.19 V, give or take 0.04. At least 8.25 V for 40 minutes."
    longer = lines(STANDARD, answers.band(STANDARD, 14, "X OUTSIDE", " ".join([SAID] * 5)))
    assert longer[14].startswith(" X OUTSIDE      8.19 V")
    assert longer[16].endswith(">")
    assert "".join(longer[17:]) == ""


@pytest.mark.parametrize("status", [s for s in Status if s is not Status.OUTSIDE])
def test_other_verdicts_are_the_middle_row_of_the_same_three(status: Status) -> None:
    drawn = page(STANDARD, answers.verdict(STANDARD, 14, status, SAID))
    assert drawn.text().splitlines()[15] == f" {status.sign} {status.word:<12} {SAID}"
    assert drawn.lines()[14].strip() == drawn.lines()[16].strip() == ""
    weights = {role for text, role in drawn.runs(15) if text.strip()}
    assert weights == {Role.BOLD if status.bold else Role.TEXT}
    assert look_checks.blocks(drawn) == []


def test_at_most_three_cautions() -> None:
    drawn = page(STANDARD, answers.cautions(STANDARD, 17, [f"Caution number {n}." for n in range(5)]))
    assert drawn.text().splitlines()[17:21] == [
        " Caution        Caution number 0.",
        " Caution        Caution number 1.",
        " Caution        Caution number 2.",
        "",
    ]
    assert look_checks.cautions_on(drawn) == ("Caution number 0.", "Caution number 1.", "Caution number 2.")
    long = page(STANDARD, answers.cautions(STANDARD, 17, ["word " * 30, "Second."]))
    assert [line[:8].strip() for line in long.text().splitlines()[17:21]] == ["Caution", "", "", "Caution"]


def test_a_caution_that_stood_before_is_found() -> None:
    one = page(STANDARD, answers.cautions(STANDARD, 17, ["Nobody goes in after a boat."]))
    assert look_checks.repeated_cautions([(one, "lost"), (page(STANDARD), ""), (one, "lost again")]) == []
    assert len(look_checks.repeated_cautions([(one, "lost"), (one, "lost")])) == 1


def test_notes_and_next_steps() -> None:
    assert lines(STANDARD, answers.note(STANDARD, 3, "Open 3", "before launch: failsafe"))[3] == (
        " Open 3         before launch: failsafe"
    )
    steps = [("1", "read again"), ("2", "pack D3"), ("3", "plan fewer minutes")]
    assert lines(STANDARD, answers.next_steps(STANDARD, 3, steps))[3] == (
        " Next           1 read again   2 pack D3   3 plan fewer minutes"
    )
    assert lines(SMALL, answers.next_steps(SMALL, 3, steps))[3:5] == [
        " Next           1 read again   2 pack D3",
        "                3 plan fewer minutes",
    ]
    assert lines(TINY, answers.next_steps(TINY, 3, steps))[3:5] == [
        " Next  1 read again   2 pack D3",
        "       3 plan fewer minutes",
    ]
    assert lines(TINY, answers.note(TINY, 3, "Caution", "A lithium pack swollen, wet or hot stays out."))[
        3:6
    ] == [
        " Caution A lithium pack swollen, wet or",
        " hot stays out.",
        "",
    ]


def test_no_choice_is_lit_beforehand() -> None:
    drawn = page(STANDARD, answers.choices(STANDARD, 7, [("1", "bone dry"), ("2", "mist")]))
    assert drawn.text().splitlines()[7:9] == ["                1  bone dry", "                2  mist"]
    assert [role for text, role in drawn.runs(7) if text.strip()] == [Role.BOLD, Role.TEXT]
    assert look_checks.problems(drawn) == []
    beside = page(STANDARD, answers.choices(STANDARD, 7, [("1", "fore")], column=48, loud=False))
    assert beside.lines()[7][48:55] == "1  fore"
    assert look_checks.problems(beside) == []


def test_a_fault_of_a_file_is_a_page() -> None:
    part = answers.fault(
        STANDARD,
        4,
        where="tansy.toml, line 12",
        found="length = 920, a bare number",
        wanted='a number with its unit, such as "920 mm"',
        options=[("1", "open it again"), ("2", "leave this boat")],
    )
    assert lines(STANDARD, part)[4:10] == [
        " Fault          tansy.toml, line 12",
        "",
        " found          length = 920, a bare number",
        ' wanted         a number with its unit, such as "920 mm"',
        "",
        " Next           1 open it again   2 leave this boat",
    ]
    assert look_checks.problems(page(STANDARD, part)) == []


def test_not_kept_has_the_band_and_says_what_is_safe() -> None:
    part = answers.not_kept(
        STANDARD,
        6,
        why="The disk is full.",
        kept="the answer of 08:19, volts 8.31",
        options=[("1", "try again")],
    )
    assert lines(STANDARD, part)[6:13] == [
        "",
        " X NOT KEPT     The disk is full.",
        "",
        "",
        " Kept           the answer of 08:19, volts 8.31",
        "",
        " Next           1 try again",
    ]


STEPS = [
    ("0 s", "People clear of the edge; a helper points at the spot"),
    ("0 s", "Sticks: throttle stop, planes up, ballast out; hold still"),
    ("10 s", "Set high, aerial broadside to her. Walk along the bank."),
    ("30 s", "Transmitter OFF"),
    ("108 s", "Two bearings, a float, hook or rescue boat"),
]


def test_steps_by_the_clock() -> None:
    assert lines(STANDARD, answers.steps(STANDARD, 9, STEPS, present=2))[9:17] == [
        " =    0 s       People clear of the edge; a helper points at the spot",
        " =    0 s       Sticks: throttle stop, planes up, ballast out; hold still",
        "",
        ">    10 s       Set high, aerial broadside to her. Walk along the bank.",
        "",
        "     30 s       Transmitter OFF",
        "    108 s       Two bearings, a float, hook or rescue boat",
        "",
    ]
    assert lines(STANDARD, answers.steps(STANDARD, 9, STEPS, present=0))[9].startswith(">     0 s ")


@pytest.mark.parametrize("present", range(5))
@pytest.mark.parametrize("most", [2, 3, 5, 8])
@pytest.mark.parametrize("layout", [STANDARD, SMALL, TINY], ids=lambda layout: layout.name)
def test_the_present_step_is_always_seen(layout: Layout, most: int, present: int) -> None:
    part = answers.steps(layout, 3, STEPS, present=present, most=most)
    drawn = page(layout, part)
    assert below(part) <= 3 + most
    bold = " ".join(text for row in range(3, 12) for text, role in drawn.runs(row) if role is Role.BOLD)
    assert STEPS[present][1].split()[0] in bold


def test_facts_stand_two_rows_apart_on_their_stops() -> None:
    items = [("Back by", "09:28"), ("Keel", "at most 0.8 m")]
    assert lines(STANDARD, answers.facts(STANDARD, 7, items))[7:10] == [
        " " * 48 + "Back by       09:28",
        "",
        " " * 48 + "Keel          at most 0.8 m",
    ]
    assert lines(SMALL, answers.facts(SMALL, 7, items))[7] == " " * 32 + "Back by     09:28"
    assert lines(TINY, answers.facts(TINY, 7, items))[7:9] == [
        "     Back by               09:28",
        "     Keel                  at most 0.8>",
    ]


@settings(max_examples=150, deadline=None)
@given(text=st.text(max_size=200), word=st.text(max_size=20), layout=st.sampled_from(LAYOUTS))
def test_foreign_words_keep_to_the_page(text: str, word: str, layout: Layout) -> None:
    for part in (
        answers.sentence(layout, 3, text),
        answers.note(layout, 3, word if layout.margin else word[:5], text),
        answers.verdict(layout, 3, Status.OUTSIDE, text),
        answers.verdict(layout, 3, Status.TOO_CLOSE, text),
        answers.next_steps(layout, 3, [("1", text), ("2", word)]),
        answers.choices(layout, 3, [("1", text)]),
        answers.facts(layout, 3, [(word, text)]),
    ):
        drawn = page(layout, part)
        assert look_checks.width_problems(drawn) == []
        assert look_checks.edge_problems(drawn) == []
        assert look_checks.overlap_problems(drawn) == []
