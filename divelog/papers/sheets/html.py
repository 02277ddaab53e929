"""A paper as one HTML file that needs nothing beside it: no script, no picture, nothing fetched. Prints on A4 and Letter."""

from __future__ import annotations

import re
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING

from divelog.papers.sheets.model import Paper

if TYPE_CHECKING:
    from jinja2 import Environment, Template
    from markupsafe import Markup

SIZES = ("A4", "letter")
"""Sizes of paper by the names that the ``size`` property has for them (CSS Paged Media Module Level 3, from memory)."""
LOUD = "<<<"
_TIED = re.compile(r"(?<=\d) (?=(?:[A-Za-zµ°%]{1,4}|±)(?![A-Za-z]))|(?<=±) (?=\d)|(?<=^[+X~?!=/.-]) ")


@cache
def _templates() -> Environment:
    # Here and not above: no other call needs a template, and the start of the program must not pay for it.
    from jinja2 import DictLoader, Environment, StrictUndefined

    folder = resources.files("divelog.papers") / "templates"
    held = {
        one.name: one.read_text("utf-8") for one in folder.iterdir() if one.name.endswith((".html", ".css"))
    }
    made = Environment(
        loader=DictLoader(held),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["tied"] = tied
    made.filters["css"] = css_text
    return made


def tied(text: str) -> str:
    """A text whose numbers keep their unit on the line, and whose signs keep their word."""
    return _TIED.sub("\N{NO-BREAK SPACE}", text)


def css_text(text: str) -> Markup:
    """A text as a string of a style sheet. All but letters, digits and blanks is escaped by its code, so nothing in it
    ends the string, the sheet or the page (CSS Syntax Module Level 3, 4.3.7, from memory)."""
    from markupsafe import Markup

    inside = "".join(c if c.isascii() and (c.isalnum() or c == " ") else f"\\{ord(c):x} " for c in text)
    return Markup(f'"{inside}"')


def _template(name: str) -> Template:
    return _templates().get_template(name)


def as_html(paper: Paper, size: str = "A4") -> str:
    """The whole paper; every text in it is escaped. ``size`` is one of ``SIZES``."""
    if size not in SIZES:
        raise ValueError(f"a size of paper is one of {', '.join(SIZES)}; found {size!r}")
    name = "tag.html" if paper.small else "page.html"
    return _template(name).render(paper=paper, size=size, loud=LOUD)
