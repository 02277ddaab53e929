"""Foreign text: whatever is in it, what comes out can be drawn, named, exported."""

from __future__ import annotations

import csv
import io
import json
import sys
import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from divelog.text import (
    BadNameError,
    check_slug,
    clip,
    clip_name,
    csv_cell,
    from_csv_cell,
    is_slug,
    json_escaped,
    shown,
    slug,
)

ANY_TEXT = st.text(st.characters(), max_size=300)  # lone surrogates too


@pytest.mark.parametrize(
    ("foreign", "harmless"),
    [
        ("\x1b]0;title\x07", "␛]0;title␇"),
        ("\x9b31m red", "\\x9b31m red"),
        ("a\x00b\tc\x7fd", "a␀b␉c␡d"),
        ("one\ntwo\r\nthree\rfour", "one⏎two⏎three␍four"),
        ("cap\u202etxt.exe", "cap\\u202etxt.exe"),
        ("zero\u200bwidth\ufeff", "zero\\u200bwidth\\ufeff"),
        ("lone \ud800 half", "lone \\ud800 half"),
        ("line\u2028sep", "line\\u2028sep"),
        ("tag \U000e0041", "tag \\U000e0041"),
        ("[b]bold[/b] 12 [V]", "[b]bold[/b] 12 [V]"),
        ("Älgö, 潜水艦 ± 3 µS/cm", "Älgö, 潜水艦 ± 3 µS/cm"),
    ],
)
def test_shown_makes_what_acts_on_a_terminal_visible(foreign: str, harmless: str) -> None:
    assert shown(foreign) == harmless


def test_shown_keeps_line_breaks_where_there_is_room_for_lines() -> None:
    assert shown("one\r\ntwo\n\x1bthree", one_line=False) == "one\ntwo\n␛three"


@given(ANY_TEXT, st.integers(1, 400), st.booleans())
@settings(max_examples=200, deadline=None)
def test_shown_lets_nothing_through_that_moves_or_hides(text: str, limit: int, one_line: bool) -> None:
    out = shown(text, limit, one_line)
    assert len(out) <= limit
    for char in out if one_line else out.replace("\n", ""):
        assert unicodedata.category(char) not in {"Cc", "Cf", "Cs", "Zl", "Zp"}, hex(ord(char))
    out.encode("utf-8")
    assert shown(out, limit, one_line) == out


def test_shown_leaves_no_control_format_or_surrogate_of_the_whole_character_set() -> None:
    acting = [
        chr(code)
        for code in range(sys.maxunicode + 1)
        if unicodedata.category(chr(code)) in {"Cc", "Cf", "Cs", "Zl", "Zp"}
    ]
    assert len(acting) > 2048  # the surrogates alone
    assert [hex(ord(char)) for char in acting if char in shown(char)] == []


def test_shown_caps_marks_piled_on_one_letter() -> None:
    assert shown("e" + "\u0301" * 6) == "e" + "\u0301" * 4 + "\\u0301\\u0301"


def test_shown_says_where_it_cut() -> None:
    assert shown("a" * 50, 10) == "aaaaaaaaa>"
    assert shown("a" * 10, 10) == "a" * 10
    assert shown("\x9b" * 5, 6) == "\\x9b\\>"


@given(ANY_TEXT, st.integers(0, 60))
@settings(max_examples=200, deadline=None)
def test_clip_never_takes_more_cells_than_given(text: str, cells: int) -> None:
    assert cell_len(clip(text, cells)) <= cells


@given(ANY_TEXT, st.integers(8, 40))
@settings(max_examples=200, deadline=None)
def test_clip_name_never_takes_more_cells_than_given(text: str, cells: int) -> None:
    assert cell_len(clip_name(text, cells)) <= cells


def test_clip_cuts_a_title_with_a_mark_and_counts_wide_signs_twice() -> None:
    assert clip("Steepest bow-down angle", 20) == "Steepest bow-down a>"
    assert clip("潜水艦潜水艦", 6) == "潜水>"
    assert clip("fits", 4) == "fits"


def test_clip_name_keeps_sisters_apart() -> None:
    assert clip_name("Periwinkle III") == "Periwinkle III"
    assert clip_name("Periwinkle the second") == "Periwink..cond"
    assert clip_name("Periwinkle number I") != clip_name("Periwinkle number II")
    assert clip_name("PRINCESSE II OF II") == "PRINCESS..F II"


@pytest.mark.parametrize(
    ("name", "made"),
    [
        ("Withy Pond", "withy-pond"),
        ("TANSY", "tansy"),
        ("  Sjöhäst / No. 2  ", "sjohast-no-2"),
        ("_kit", "kit"),
        ("../../etc/passwd", "etc-passwd"),
        ("x" * 60, "x" * 40),
        ("a" * 39 + " b", "a" * 39),
    ],
)
def test_slug_makes_a_file_name(name: str, made: str) -> None:
    assert slug(name) == made
    assert is_slug(made)


@pytest.mark.parametrize("name", ["", "潜水艦", "---", "CON", "nul", "com1", "LPT9", "\x1b\x1b"])
def test_slug_refuses_what_leaves_nothing_or_a_device(name: str) -> None:
    with pytest.raises(BadNameError):
        slug(name)


@pytest.mark.parametrize(
    "name",
    ["_kit", "Tansy", "tan sy", "../x", "tansy.", "tansy/", "-tansy", "tansy-", "a" * 41, "", "con", "aux",
     "com0", "tansy\n", "tänsy", "nul.txt"],
)  # fmt: skip
def test_check_slug_refuses_with_one_printable_sentence(name: str) -> None:
    with pytest.raises(BadNameError) as refused:
        check_slug(name)
    assert str(refused.value).isprintable()
    assert not is_slug(name)


@given(st.text(max_size=100))
@settings(max_examples=200, deadline=None)
def test_whatever_slug_makes_passes_its_check(name: str) -> None:
    try:
        made = slug(name)
    except BadNameError:
        return
    assert check_slug(made) == made


@pytest.mark.parametrize(
    ("text", "cell"),
    [
        ("=1+1", "'=1+1"),
        ("+SUM(A1)", "'+SUM(A1)"),
        ("-2+3", "'-2+3"),
        ("@import", "'@import"),
        (' "=cmd', "' \"=cmd"),
        ("'=x", "''=x"),
        ("-5.2", "-5.2"),
        ("+1e-3", "+1e-3"),
        ("12 V", "12 V"),
        ("'quoted'", "'quoted'"),
        ("\t=x", "␉=x"),
        ("\uff1dx", "'\uff1dx"),
    ],
)
def test_csv_cell_defuses_formulas_and_leaves_numbers(text: str, cell: str) -> None:
    assert csv_cell(text) == cell


@given(st.one_of(st.text(max_size=60), st.text("=+-@'\" \t\r19.e", max_size=12)))
@settings(max_examples=200, deadline=None)
def test_csv_cell_comes_back_through_a_csv_file(text: str) -> None:
    out = io.StringIO()
    csv.writer(out).writerow([csv_cell(text), "end"])
    (row,) = csv.reader(io.StringIO(out.getvalue()))
    assert from_csv_cell(row[0]) == shown(text, 2000)
    bare = row[0].lstrip(' \u00a0\u3000"`')
    if bare[:1] and bare[0] in "=@":
        raise AssertionError(f"runs as a formula: {row[0]!r}")


@given(
    st.recursive(st.text(max_size=40), lambda inner: st.dictionaries(st.text(max_size=9), inner, max_size=3))
)
@settings(max_examples=200, deadline=None)
def test_escaped_json_is_the_same_json_and_commands_no_terminal(value: object) -> None:
    # RFC 8259 section 7: any character may be escaped; one beyond the first plane by two halves
    text = json_escaped(json.dumps(value, ensure_ascii=False))
    assert json.loads(text) == value
    assert shown(text, len(text) + 1) == text or any(unicodedata.category(c) in ("Mn", "Me") for c in text)
