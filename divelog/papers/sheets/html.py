"""A paper as one HTML file that needs nothing beside it: no script, no picture, nothing fetched. Prints on A4 and Letter."""

from __future__ import annotations

from functools import cache
from importlib import resources
from typing import TYPE_CHECKING

from divelog.papers.sheets.model import Paper

if TYPE_CHECKING:
    from jinja2 import Environment, Template

SIZES = ("A4", "letter")
"""Sizes of paper by the names that the ``size`` property has for them (CSS Paged Media Module Level 3, from memory)."""
LOUD = "<<<"


@cache
def _templates() -> Environment:
    # Here and not above: no other call needs a template, and the start of the program must not pay for it.
    from jinja2 import DictLoader, Environment, StrictUndefined

    folder = resources.files("divelog.papers") / "templates"
    held = {
        one.name: one.read_text("utf-8") for one in folder.iterdir() if one.name.endswith((".html", ".css"))
    }
    return Environment(
        loader=DictLoader(held),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def _template(name: str) -> Template:
    return _templates().get_template(name)


def as_html(paper: Paper, size: str = "A4") -> str:
    """The whole paper; every text in it is escaped. ``size`` is one of ``SIZES``."""
    if size not in SIZES:
        raise ValueError(f"a size of paper is one of {', '.join(SIZES)}; found {size!r}")
    name = "tag.html" if paper.small else "page.html"
    return _template(name).render(paper=paper, size=size, loud=LOUD)
