"""The three themes: each role's style, their contrast, and which one a terminal gets.

*sun* is two inks, black on white; *dark* is for the evening bench; *own* carries no colour at all, so that the
terminal's stand, and is forced by `NO_COLOR`. Colour only decorates: every page reads the same without it.
"""

from __future__ import annotations

from collections.abc import Mapping, MutableMapping
from dataclasses import dataclass

from rich.color import Color, ColorSystem
from rich.style import Style

from divelog.app.look.page import Role

LEAST_CONTRAST = 7.0
"""Least ratio of any pair of colours (W3C WCAG 2.1, success criterion 1.4.6)."""


@dataclass(frozen=True, slots=True)
class Theme:
    """A name and each role's style; `page` is the ground of the whole screen (None: the terminal's)."""

    name: str
    styles: Mapping[Role, Style]
    ink: str | None
    page: str | None


def _coloured(name: str, page: str, *, text: str, bold: str, quiet: str, accent: str, outside: str) -> Theme:
    def on(ink: str, ground: str, weight: bool = False) -> Style:
        return Style(color=ink, bgcolor=ground, bold=weight)

    return Theme(
        name,
        {
            Role.TEXT: on(text, page),
            Role.BOLD: on(bold, page, True),
            Role.QUIET: on(quiet, page),
            Role.ACCENT: on(accent, page, True),
            Role.OUTSIDE: on(page, outside, True),
            Role.PLATE: on(page, accent, True),
            Role.FIGURE: on(page, accent),
        },
        text,
        page,
    )


SUN = _coloured(
    "sun",
    "#FFFFFF",
    text="#000000",
    bold="#000000",
    quiet="#000000",
    accent="#000000",
    outside="#000000",
)
DARK = _coloured(
    "dark",
    "#08141C",
    text="#F2EFE6",
    bold="#FFFFFF",
    quiet="#C4D0D4",
    accent="#F0C674",
    outside="#FFFFFF",
)
OWN = Theme(
    "own",
    {
        Role.TEXT: Style(),
        Role.BOLD: Style(bold=True),
        Role.QUIET: Style(),
        Role.ACCENT: Style(bold=True),
        Role.OUTSIDE: Style(bold=True, reverse=True),
        Role.PLATE: Style(bold=True, reverse=True),
        Role.FIGURE: Style(reverse=True),
    },
    None,
    None,
)
THEMES: Mapping[str, Theme] = {theme.name: theme for theme in (SUN, DARK, OWN)}


def chosen(name: str, environ: Mapping[str, str]) -> Theme:
    """The theme of that name (sun if there is none), or *own* where `NO_COLOR` is set and not empty."""
    if environ.get("NO_COLOR"):
        return OWN
    return THEMES.get(name, SUN)


def settle(environ: MutableMapping[str, str], name: str = "sun") -> Theme:
    """Choose the theme and take `NO_COLOR` out of `environ`, before an application is made.

    The framework reacts to the variable's mere presence with a filter that turns styles without colour into
    black on black; *own* needs no filter, and an empty variable asks for nothing.
    """
    theme = chosen(name, environ)
    environ.pop("NO_COLOR", None)
    return theme


def refusal(environ: Mapping[str, str]) -> str | None:
    """Why no screen can be drawn in this terminal, as a sentence; None if one can."""
    if environ.get("TERM", "") == "dumb":
        return "This terminal (TERM=dumb) cannot show a screen; use --plain, which works line by line."
    return None


def relative_luminance(rgb: tuple[int, int, int]) -> float:
    """Relative luminance, 0 (black) to 1 (white), of 8-bit sRGB.

    Source: W3C WCAG 2.1, definition of relative luminance: each channel linearised (threshold 0.03928), then
    0.2126 R + 0.7152 G + 0.0722 B.
    """

    def linear(channel: int) -> float:
        c = channel / 255
        return c / 12.92 if c <= 0.03928 else float(((c + 0.055) / 1.055) ** 2.4)

    red, green, blue = rgb
    return 0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue)


def contrast(one: tuple[int, int, int], other: tuple[int, int, int]) -> float:
    """Contrast ratio, 1 to 21: (L1 + 0.05)/(L2 + 0.05), the lighter over the darker (W3C WCAG 2.1)."""
    light, dark = sorted((relative_luminance(one), relative_luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def style_contrast(style: Style, system: ColorSystem = ColorSystem.TRUECOLOR) -> float | None:
    """Contrast of a style's two colours as sent under a colour system; None where it has not both."""
    if style.color is None or style.bgcolor is None:
        return None
    return contrast(_sent(style.color, system), _sent(style.bgcolor, system))


def _sent(color: Color, system: ColorSystem) -> tuple[int, int, int]:
    red, green, blue = color.downgrade(system).get_truecolor()
    return red, green, blue
