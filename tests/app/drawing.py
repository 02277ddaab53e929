"""A page as an SVG of its own: rectangles and words at their columns, in the fonts of the reader's machine.

The framework's own export names a font on a server, numbers its styles at random and pads rows with blanks that some
viewers swallow; this one draws each word where it stands.
"""

from __future__ import annotations

import re
from xml.sax.saxutils import escape

from rich.style import Style

from divelog.app.look.page import Page
from divelog.app.look.themes import SUN, Theme

WIDE, HIGH, MARGIN = 10, 21, 10
_HALVES = {"▀": (0.0, 0.5), "▄": (0.5, 1.0), "█": (0.0, 1.0)}


def _colours(style: Style, theme: Theme) -> tuple[str, str]:
    ink = style.color.get_truecolor().hex if style.color is not None else theme.ink or "#000000"
    ground = style.bgcolor.get_truecolor().hex if style.bgcolor is not None else theme.page or "#ffffff"
    return (ground, ink) if style.reverse else (ink, ground)


def svg(page: Page, theme: Theme = SUN) -> str:
    """The page in a theme."""
    wide, high = page.layout.width * WIDE + 2 * MARGIN, page.layout.height * HIGH + 2 * MARGIN
    paper = theme.page or "#ffffff"
    rows = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" width="{wide}" height="{high}">',
        f'<rect width="{wide}" height="{high}" fill="{paper}"/>',
        '<g font-family="DejaVu Sans Mono, Menlo, Consolas, monospace" font-size="16" xml:space="preserve">',
    ]
    for number in range(page.layout.height):
        column = 0
        for text, role in page.runs(number):
            style = theme.styles[role]
            ink, ground = _colours(style, theme)
            if ground != paper:
                rows.append(_rect(column, number, len(text), 0.0, 1.0, ground))
            rows.extend(_words(text, column, number, ink, bool(style.bold)))
            column += len(text)
    rows.append("</g>\n</svg>")
    return "\n".join(rows) + "\n"


def _rect(column: int, row: int, cells: int, top: float, bottom: float, fill: str) -> str:
    y = MARGIN + row * HIGH + round(top * HIGH, 1)
    tall = round((bottom - top) * HIGH, 1)
    return f'<rect x="{MARGIN + column * WIDE}" y="{y:g}" width="{cells * WIDE}" height="{tall:g}" fill="{fill}"/>'


def _words(text: str, column: int, row: int, ink: str, bold: bool) -> list[str]:
    found = []
    for match in re.finditer(r"([▀▄█])\1*|[^\s▀▄█]+(?: [^\s▀▄█]+)*", text):
        start, piece = column + match.start(), match.group()
        if piece[0] in _HALVES:
            found.append(_rect(start, row, len(piece), *_HALVES[piece[0]], ink))
            continue
        weight = ' font-weight="bold"' if bold else ""
        x, y = MARGIN + start * WIDE, MARGIN + row * HIGH + 16
        found.append(
            f'<text x="{x}" y="{y}" fill="{ink}"{weight} textLength="{len(piece) * WIDE}">{escape(piece)}</text>'
        )
    return found
