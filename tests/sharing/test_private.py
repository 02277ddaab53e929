"""What looks private in a free text, and what only looks like it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from divelog.sharing.private import comments_in, private_in

PRIVATE = {
    "ring 01234 567890": "telephones",
    "+44 (0)20 7946 0000 after six": "telephones",
    "0171-496-0123": "telephones",
    "write to someone@example.org": "addresses",
    "see https://example.org/pond": "addresses",
    "www.example.org has the map": "addresses",
    "51.50722, -0.12750": "coordinates",
    "by 51° 30' N": "coordinates",
    "serial no. A4471-22": "serials",
    "S/N 99812": "serials",
}
PLAIN = (
    "weed by the jetty", "dived past the shelf at 1.2 m", "2032-05-04", "4.5.2032 and 5/5/2032", "8.25 V at 11 degC",
    "pack D2, 2 cells, 5 A h", "ballast 38 s, then 39 s", "10 turns of 0.5 mm", "40 MHz, peg 17",
    "as 01ca0a62-aae0-7024-8000-000000000024 says", "at 2032-05-04T08:41:00+01:00 by the clock", "",
)  # fmt: skip


@pytest.mark.parametrize("text", PRIVATE)
def test_looks_private(text):
    assert private_in(text) == PRIVATE[text]
    assert private_in(f"before it {text} after it") == PRIVATE[text]


@pytest.mark.parametrize("text", PLAIN)
def test_does_not(text):
    assert private_in(text) is None


@given(st.text(max_size=6000))
def test_any_text_is_judged(text):
    assert private_in(text) in (None, "telephones", "addresses", "coordinates", "serials")


def test_comments_are_counted_outside_of_quotes():
    assert comments_in('a = "x # y"  # one\n# two\nb = 1\n') == 2
