"""The lists that come with the program."""

from __future__ import annotations

import tomllib
from functools import cache

from divelog.home import data_folder


@cache
def _phases(name: str) -> tuple[str, dict[str, str]]:
    path = data_folder("checklists") / f"{name}.toml"
    try:
        table = tomllib.loads(path.read_text("utf-8"))
    except (OSError, ValueError):
        return "", {}
    return str(table.get("title", "")), {
        str(line.get("id")): str(phase.get("id")) for phase in table.get("phase", []) for line in phase.get("line", [])
    }


def phase_of(name: str, line: str) -> str | None:
    """The phase of a shipped list that a line stands in."""
    return _phases(name)[1].get(line) if name else None


def title_of(name: str) -> str:
    """The title of a shipped list, or an empty text."""
    return _phases(name)[0] if name else ""
