"""A path being typed: Tab goes on to where names begin to differ. Reads names of folders, nothing else."""

from __future__ import annotations

from pathlib import Path

from divelog.files import Disk, Form, StorageError, list_folder, look

MOST_NAMES = 20_000
"""A folder of more names is not gone through."""


def path_of(text: str) -> Path:
    """The path a text means; ``~`` is the person's own folder."""
    try:
        return Path(text).expanduser()
    except RuntimeError:  # nobody's folder
        return Path(text)


def completed(text: str, disk: Disk) -> tuple[str, tuple[str, ...]]:
    """The text as far as names go on alike, and the names it could be, folders with a stroke at the end.

    Hidden names count only where a dot was typed. What cannot be read offers nothing.
    """
    folder, _, begun = text.rpartition("/")
    shown_folder = f"{folder}/" if "/" in text else ""
    where = path_of(shown_folder or ".")
    try:
        names = list_folder(where, disk)
        if len(names) > MOST_NAMES:
            return text, ()
        found = [name for name in names if name.startswith(begun) and (begun or not name.startswith("."))]
        ended = []
        for name in found[:50]:
            there = look(where / name, disk)
            ended.append(f"{name}/" if there is not None and there.form is Form.FOLDER else name)
    except StorageError:
        return text, ()
    if not found:
        return text, ()
    together = ended[0] if len(found) == 1 else _alike(found)
    return shown_folder + max(together, begun, key=len), tuple(ended)


def _alike(names: list[str]) -> str:
    """What all names begin with."""
    first, last = min(names), max(names)
    return next((first[:n] for n in range(len(first)) if not last.startswith(first[: n + 1])), first)
