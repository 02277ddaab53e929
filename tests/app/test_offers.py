"""What a verdict offers: digits only for what a key can do, and every action told."""

from __future__ import annotations

import pytest

from divelog.app.offers import offers


def test_reading_again_is_always_first_and_never_twice():
    assert offers(("read again", "pack D3", "plan 35 minutes", "a better meter")).steps == (
        ("1", "read again"), ("2", "pack D3"), ("3", "plan 35 minutes"),
    )  # fmt: skip
    assert offers(()).steps == (("1", "read again"),)


def test_what_only_hands_can_do_has_no_digit_but_is_told():
    found = offers(("charge it and read again", "look at the joints", "take another pack"))
    assert found.steps == (("1", "read again"), ("2", "take another pack"))
    assert found.advice == "charge it and read again; look at the joints"


@pytest.mark.parametrize(("digit", "opens"), [("1", False), ("2", True), ("3", False), ("9", False)])
def test_only_digits_that_stand_there_open_the_plan(digit, opens):
    assert offers(("pack D3",)).changes_plan(digit) is opens


def test_on_the_page_a_digit_that_is_not_offered_begins_another_reading(shell, press, page):
    desk = shell.desk
    water = {"site": "withy-pond", "water": "fresh", "temperature": {"si": 284.15, "u95": 0.5}}
    desk.keep("day.opened", water, everybody=True)
    plan = {
        "pack": "D2", "depth": {"si": 0.7, "u95": 0.05}, "distance": {"si": 35, "u95": 0}, "minutes": {"si": 2400, "u95": 0},
    }  # fmt: skip
    desk.keep("plan.set", plan)
    press("escape", "3")
    checks = shell.front
    while checks.now()[0].id != "pack-volts":
        press(*(("so", "enter") if checks.typing else ("u",)))
    press("8.0", "enter")
    assert "X OUTSIDE" in page().text()
    assert "2 pack D" in page().text()
    press("8", ".", "4", "5")
    assert checks.outcome is None
    assert checks.typed.text == "8.45"
    press("backspace", "backspace", "backspace", "backspace", "8.0", "enter", "2")
    assert "her plan" in page().text()
