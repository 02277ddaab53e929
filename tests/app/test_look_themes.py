"""Themes: contrast, attributes, and which one a terminal gets."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest
from rich.color import ColorSystem
from rich.style import Style

from divelog.app.look.page import Role
from divelog.app.look.themes import (
    DARK,
    OWN,
    SUN,
    THEMES,
    Theme,
    chosen,
    contrast,
    refusal,
    relative_luminance,
    settle,
    style_contrast,
)


def _checks() -> ModuleType:
    spec = importlib.util.spec_from_file_location("look_checks", Path(__file__).with_name("look_checks.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


look_checks = _checks()


@pytest.mark.parametrize("theme", THEMES.values(), ids=lambda theme: theme.name)
def test_every_pair_of_colours_has_contrast_7_in_true_256_and_16_colours(theme: Theme) -> None:
    assert look_checks.theme_problems(theme) == []


@pytest.mark.parametrize("theme", [SUN, DARK], ids=lambda theme: theme.name)
@pytest.mark.parametrize("system", look_checks.SYSTEMS)
def test_every_coloured_style_has_two_colours_to_compare(theme: Theme, system: ColorSystem) -> None:
    ratios = [style_contrast(style, system) for style in theme.styles.values()]
    assert all(ratio is not None and ratio >= 7 for ratio in ratios)


def test_the_check_finds_what_it_is_for() -> None:
    assert look_checks.style_problems(Style(color="#777777", bgcolor="#FFFFFF")) != []
    assert look_checks.style_problems(Style(dim=True)) == ["dim in a style"]
    assert look_checks.style_problems(Style(color="#000000")) == ["a style with one colour only"]
    assert look_checks.plain_sgr_problems(b"\x1b[1mx\x1b[31my\x1b[0m\x1b[>4m") == ["SGR '31' sent"]


def test_luminance_and_contrast_of_the_published_ends() -> None:
    # W3C WCAG 2.1: black is 0, white is 1, their ratio is 21 : 1; equal colours have 1 : 1.
    assert relative_luminance((0, 0, 0)) == 0.0
    assert relative_luminance((255, 255, 255)) == pytest.approx(1.0, abs=1e-12)
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21.0, abs=1e-9)
    assert contrast((255, 255, 255), (0, 0, 0)) == pytest.approx(21.0, abs=1e-9)
    assert contrast((17, 34, 51), (17, 34, 51)) == 1.0
    # W3C, Understanding success criterion 1.4.3, from memory: #767676 is the darkest grey of just 4.5 on white.
    assert contrast((0x76, 0x76, 0x76), (255, 255, 255)) >= 4.5
    assert contrast((0x77, 0x77, 0x77), (255, 255, 255)) < 4.5


def test_weights_are_the_same_in_every_theme() -> None:
    for theme in THEMES.values():
        bold = {role for role, style in theme.styles.items() if style.bold}
        assert bold == {Role.BOLD, Role.ACCENT, Role.OUTSIDE, Role.PLATE}
    assert {role for role, style in OWN.styles.items() if style.reverse} == {
        Role.OUTSIDE,
        Role.PLATE,
        Role.FIGURE,
    }
    assert DARK.styles[Role.PLATE].bgcolor != DARK.styles[Role.OUTSIDE].bgcolor


def test_no_color_forces_the_terminals_own() -> None:
    assert chosen("sun", {}) is SUN
    assert chosen("dark", {"NO_COLOR": ""}) is DARK
    assert chosen("dark", {"NO_COLOR": "1"}) is OWN
    assert chosen("no such theme", {}) is SUN


@pytest.mark.parametrize(("value", "theme"), [("1", OWN), ("", DARK)])
def test_the_variable_is_taken_from_the_framework(value: str, theme: Theme) -> None:
    environ = {"NO_COLOR": value, "TERM": "xterm"}
    assert settle(environ, "dark") is theme
    assert environ == {"TERM": "xterm"}


def test_a_dumb_terminal_is_refused_with_the_way_out() -> None:
    assert refusal({"TERM": "xterm-256color"}) is None
    assert refusal({}) is None
    said = refusal({"TERM": "dumb"})
    assert said is not None
    assert "--plain" in said
