"""The lists that come with the program: which there are, and where each of their lines stands.

Light on purpose: the page of boats asks this before any list is read as a whole.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from divelog.files import StorageError, list_folder, read_capped
from divelog.home import data_folder
from divelog.profiles.toml import MOST_BYTES, parse_toml


def folder() -> Path:
    """Where the shipped lists are."""
    return data_folder("checklists")


@cache
def names() -> tuple[str, ...]:
    """Names of the shipped lists."""
    try:
        return tuple(n.removesuffix(".toml") for n in list_folder(folder()) if n.endswith(".toml"))
    except StorageError:
        return ()


@cache
def _table(name: str) -> dict[str, Any]:
    if name not in names():
        return {}
    try:
        return parse_toml(read_capped(folder() / f"{name}.toml", MOST_BYTES), name)[0]
    except StorageError:
        return {}


@cache
def _phases(name: str) -> dict[str, str]:
    return {
        str(line.get("id")): str(phase.get("id"))
        for phase in _table(name).get("phase", [])
        for line in phase.get("line", [])
    }


def phase_of(name: str, line: str) -> str | None:
    """The phase of a shipped list that a line stands in; None where there is no such list or line."""
    return _phases(name).get(line)


def title_of(name: str) -> str:
    """The title of a shipped list, or an empty text."""
    return str(_table(name).get("title", ""))


def closing_phase(name: str, phase: str) -> bool:
    """Whether a phase of a shipped list is the one in which she is closed: some line of it gives ``closed``."""
    for one in _table(name).get("phase", []):
        if one.get("id") == phase:
            return any("closed" in line.get("gives", ()) for line in one.get("line", []))
    return False
