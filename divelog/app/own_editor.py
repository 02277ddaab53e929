"""A file in the person's own editor: another program, given the terminal for as long as it runs."""

from __future__ import annotations

import os
import shlex
from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager
from pathlib import Path

Suspend = Callable[[], AbstractContextManager[None]]


def editor_words(environ: Mapping[str, str] | None = None) -> list[str]:
    """The editor's words out of VISUAL or EDITOR, split without a shell; empty where neither is set or can be read."""
    environ = os.environ if environ is None else environ
    said = environ.get("VISUAL") or environ.get("EDITOR") or ""
    try:
        return shlex.split(said, posix=os.name == "posix")
    except ValueError:
        return []


def edit(path: Path, suspend: Suspend | None, environ: Mapping[str, str] | None = None) -> str:
    """Open a file in the editor and wait for it; returns why it could not be, or an empty text."""
    words = editor_words(environ)
    if not words:
        return "set VISUAL or EDITOR to the editor you like, then start again"
    if suspend is None:
        return "no other program can be run from this terminal"
    if not path.is_file():
        return f"{path.name} is not there yet: keep something in it first"
    try:
        pause = suspend()
        pause.__enter__()
    except Exception:  # the framework's own refusal: this terminal cannot be handed over
        return "this terminal cannot be handed to another program"
    import subprocess

    try:
        done = subprocess.run([*words, str(path)], check=False)  # no shell: the words are run as they are
    except OSError as error:
        return f"{words[0]} could not be started: {error.strerror or 'it is not there'}"
    finally:
        pause.__exit__(None, None, None)
    return (
        ""
        if done.returncode == 0
        else f"{words[0]} ended with {done.returncode}; the file is read again all the same"
    )
