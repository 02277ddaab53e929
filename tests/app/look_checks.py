"""The checks every page passes, as functions over pages, styles, strips and the bytes sent.

Each returns a list of sentences, empty where all is well, so that a test reads `assert problems(page) == []`.
Tests live in no package here; load this file by its path:

    spec = importlib.util.spec_from_file_location("look_checks", Path(__file__).with_name("look_checks.py"))
    look_checks = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(look_checks)
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import Any

from rich.cells import cell_len
from rich.color import ColorSystem
from rich.style import Style
from textual.app import App
from textual.strip import Strip

from divelog.app.look.answers import CAUTIONS
from divelog.app.look.layout import Layout
from divelog.app.look.page import REVERSE, Kind, Page, Role, graphemes
from divelog.app.look.themes import LEAST_CONTRAST, Theme, style_contrast

SYSTEMS = (ColorSystem.TRUECOLOR, ColorSystem.EIGHT_BIT, ColorSystem.STANDARD)
FORBIDDEN = (
    "dim", "italic", "blink", "blink2", "underline", "underline2", "strike", "overline", "conceal",
    "frame", "encircle",
)  # fmt: skip
PLAIN_SGR = frozenset({"", "0", "1", "7", "1;7"})
_CSI = re.compile(rb"\x1b\[([0-9;:<=>?]*)([ -/]*)([@-~])")
_BLOCKS = (Role.OUTSIDE, Role.PLATE)


def problems(page: Page) -> list[str]:
    """Everything that can be wrong with a page by itself."""
    return [
        *width_problems(page),
        *edge_problems(page),
        *block_problems(page),
        *caution_problems(page),
        *start_problems(page),
        *overlap_problems(page),
        *key_problems(page),
    ]


def width_problems(page: Page) -> list[str]:
    """Every row exactly the layout's width."""
    return [
        f"row {n} is {cell_len(line)} columns wide, not {page.layout.width}"
        for n, line in enumerate(page.lines())
        if cell_len(line) != page.layout.width
    ]


def cells(page: Page, row: int) -> list[tuple[str, Role]]:
    """A row cell by cell; the right half of a wide character is an empty text."""
    found: list[tuple[str, Role]] = []
    for text, role in page.runs(row):
        for piece, size in graphemes(text):
            found += [(piece, role)] + [("", role)] * (size - 1)
    return found


def edge_problems(page: Page) -> list[str]:
    """Nothing in the last column of a page; only `>` or a reverse block in column 0; nothing cut at the edge."""
    found = []
    for row, spans in enumerate(page.rows):
        line = cells(page, row)
        edges = {page.layout.edge, page.layout.width - 1}
        for edge in sorted(edges):
            if edge < len(line) and line[edge][0] not in (" ",) and line[edge][1] not in REVERSE:
                found.append(f"row {row} writes {line[edge][0]!r} in column {edge}")
        if line[0][0] not in (" ", ">") and line[0][1] not in REVERSE:
            found.append(f"row {row} writes {line[0][0]!r} in column 0")
        found += [
            f"row {row}: {span.text!r} runs past the edge"
            for span in spans
            if span.role not in REVERSE and span.end > page.layout.edge_for(span.column)
        ]
    return found


def blocks(page: Page) -> list[tuple[Role, frozenset[tuple[int, int]]]]:
    """The connected blocks of bold reverse; figures are reverse without bold and do not count."""
    inked = {
        (row, column): role
        for row in range(page.layout.height)
        for column, (_, role) in enumerate(cells(page, row))
        if role in _BLOCKS
    }
    found = []
    while inked:
        first, role = next(iter(inked.items()))
        todo, seen = [first], set()
        while todo:
            cell = todo.pop()
            if inked.get(cell) is not role:
                continue
            del inked[cell]
            seen.add(cell)
            y, x = cell
            todo += [(y + 1, x), (y - 1, x), (y, x + 1), (y, x - 1)]
        found.append((role, frozenset(seen)))
    return found


def block_problems(page: Page) -> list[str]:
    """At most one block of bold reverse, without holes at its sides: a rectangle."""
    found = blocks(page)
    said = [f"{len(found)} reverse blocks on one page"] if len(found) > 1 else []
    for role, seen in found:
        rows, columns = {y for y, _ in seen}, {x for _, x in seen}
        if len(seen) != (max(rows) - min(rows) + 1) * (max(columns) - min(columns) + 1):
            said.append(f"the {role.value} block is no rectangle")
    return said


def cautions_on(page: Page) -> tuple[str, ...]:
    """The first line of each caution of a page."""
    found = []
    for spans in page.rows:
        here = sorted(spans, key=lambda s: s.column)
        if here and here[0].text == "Caution" and here[0].column == page.layout.sign:
            found.append(" ".join(s.text for s in here[1:]))
    return tuple(found)


def caution_problems(page: Page) -> list[str]:
    """At most three cautions, with an empty row above the first and no reverse in them."""
    rows = [
        row
        for row, spans in enumerate(page.rows)
        if any(s.text == "Caution" and s.column == page.layout.sign for s in spans)
    ]
    found = [f"{len(rows)} cautions on one page"] if len(rows) > CAUTIONS else []
    own = slice(None, page.layout.second)  # the second page of a wide terminal is beside, not above
    if rows and page.layout.gauge is not None and page.lines()[rows[0] - 1][own].strip():
        found.append("no empty row above the cautions")
    return found


def repeated_cautions(pages: Iterable[tuple[Page, str]]) -> list[str]:
    """Cautions that stood on an earlier page with the same cause; `pages` are (page, cause) in order."""
    seen: set[tuple[str, str]] = set()
    found = []
    for page, cause in pages:
        for text in cautions_on(page):
            if (text, cause) in seen:
                found.append(f"caution repeated though nothing changed: {text!r}")
            seen.add((text, cause))
    return found


def starts(layout: Layout) -> frozenset[int]:
    """Columns in which words may start."""
    bases = [0] if layout.second is None else [0, layout.second - 1]
    allowed: set[int] = set()
    for base in bases:
        here = {layout.sign, layout.word, layout.number - 1, layout.number, layout.title, layout.title + 3}
        here |= {layout.reading, 26 if layout.margin else layout.reading}
        if layout.limit is not None:
            here |= {layout.limit - 2, layout.limit, layout.limit + 3}
        if layout.gauge is not None:
            here.add(layout.gauge)
        allowed |= {base + column for column in here}
    return frozenset(allowed | set(layout.key_stops))


def start_problems(page: Page) -> list[str]:
    """Words start at the stops; other kinds of span are excepted by what they are."""
    allowed = starts(page.layout)
    return [
        f"row {row}: {span.text!r} starts in column {span.column}"
        for row, spans in enumerate(page.rows)
        for span in spans
        if span.kind is Kind.WORDS and span.column not in allowed
    ]


def overlap_problems(page: Page) -> list[str]:
    """No span covers another, and words keep a blank between them."""
    found = []
    for row, spans in enumerate(page.rows):
        ordered = sorted((s for s in spans if s.text), key=lambda s: s.column)
        for left, right in pairwise(ordered):
            if left.end > right.column:
                found.append(f"row {row}: {left.text!r} covers {right.text!r}")
            elif left.end == right.column and left.kind is Kind.WORDS and right.kind is Kind.WORDS:
                found.append(f"row {row}: {left.text!r} touches {right.text!r}")
    return found


def key_problems(page: Page) -> list[str]:
    """Labels clear the next stop by two blanks; `t trouble` and `Esc places` stand in the thumb's corner."""
    found = []
    corner = page.layout.key_stops[-1] if page.layout.key_stops else 0
    for row in page.layout.keys:
        spans = sorted(page.rows[row], key=lambda s: s.column)
        for left, right in pairwise(spans):
            blanks = right.column - left.end
            if blanks < (1 if right.kind is Kind.LABEL else 2):
                found.append(f"keys: {left.text!r} ends {blanks} before {right.text!r}")
            pair = (left.text, right.text)
            one_row = len(page.layout.keys) == 1
            if pair == ("t", "trouble") and left.column != corner and not one_row:
                found.append("keys: t trouble is not in its corner")
            if pair == ("Esc", "places") and left.column != corner:
                found.append("keys: Esc places is not in its corner")
    return found


def style_problems(style: Style) -> list[str]:
    """Forbidden attributes, and a contrast under 7 in true colour, 256 or 16 colours."""
    found = [f"{name} in a style" for name in FORBIDDEN if getattr(style, name)]
    if (style.color is None) != (style.bgcolor is None):
        found.append("a style with one colour only")
    for system in SYSTEMS:
        ratio = style_contrast(style, system)
        if ratio is not None and ratio < LEAST_CONTRAST:
            found.append(f"contrast {ratio:.1f} in {system.name}")
    return found


def theme_problems(theme: Theme) -> list[str]:
    """Every role has a style, and every style is sound."""
    found = [f"{theme.name} has no {role.value}" for role in Role if role not in theme.styles]
    for role, style in theme.styles.items():
        found += [f"{theme.name}, {role.value}: {said}" for said in style_problems(style)]
        if theme.page is None and (style.color is not None or style.bgcolor is not None):
            found.append(f"{theme.name}, {role.value}: carries a colour")
    return found


def screen_strips(app: App[Any]) -> list[Strip]:
    """What the compositor holds for the present screen, row by row."""
    return app.screen._compositor.render_strips()


def strip_problems(strips: Sequence[Strip], width: int) -> list[str]:
    """Rows exactly as wide as the terminal, every style sound, and every cell styled."""
    found = []
    for row, strip in enumerate(strips):
        if strip.cell_length != width:
            found.append(f"row {row} is {strip.cell_length} columns wide, not {width}")
        for segment in strip:
            if "\x1b" in segment.text or "\x9b" in segment.text:
                found.append(f"row {row} holds a control character")
            found += [f"row {row}: {said}" for said in style_problems(segment.style or Style())]
    return found


def sgr_sent(sent: bytes) -> set[str]:
    """The parameters of every SGR sequence (CSI … m) in what was sent to a terminal."""
    return {
        found.group(1).decode()
        for found in _CSI.finditer(sent)
        if found.group(3) == b"m" and not found.group(1).startswith((b">", b"?", b"<", b"="))
    }


def plain_sgr_problems(sent: bytes) -> list[str]:
    """Under NO_COLOR only reset, bold, reverse and both are sent."""
    return [f"SGR {sgr!r} sent" for sgr in sorted(sgr_sent(sent) - PLAIN_SGR)]


def steady_problems(before: Page, after: Page, rows: Iterable[int]) -> list[str]:
    """Rows that were to stay as they are from one page to the next, and did not."""
    return [f"row {row} moved" for row in rows if before.runs(row) != after.runs(row)]


def changed_cells(before: Page, after: Page) -> set[tuple[int, int]]:
    """(row, column) of every cell that differs between two pages of one layout."""
    return {
        (row, column)
        for row in before.changed(after)
        for column, (one, other) in enumerate(zip(cells(before, row), cells(after, row), strict=True))
        if one != other
    }
