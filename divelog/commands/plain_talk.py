"""Talking line by line: what is said is plain ASCII where the words are ours, what is heard is one line at a time."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import TextIO

from divelog.text import shown

_SIGNS = str.maketrans(
    {
        "±": "+/-",
        "–": "-",
        "—": "-",
        "×": "x",
        "…": "...",
        "“": '"',
        "”": '"',
        "’": "'",
        "°": " deg",
        "µ": "u",
        "²": "^2",
        "³": "^3",
    }
)  # fmt: skip
MOST = 2000
"""Characters taken of one line that is typed."""


class EndedError(Exception):
    """The input has ended."""


def plain(text: str) -> str:
    """Text with the signs that a dumb terminal or a screen reader may not know written out."""
    return text.translate(_SIGNS)


class Talk:
    """Where the program speaks and listens. Raises EndedError where nothing more is typed."""

    def __init__(self, source: TextIO | None = None) -> None:
        self._source = source

    def say(self, *lines: str) -> None:
        """Lines, each by itself."""
        for line in lines:
            print(plain(line))

    def ask(self, prompt: str = ": ") -> str:
        """One typed line without its end."""
        print(plain(prompt), end="", flush=True)
        line = (self._source or sys.stdin).readline(MOST)
        if not line:
            print()
            raise EndedError
        return line.rstrip("\r\n")

    def choices(self, words: Sequence[str]) -> None:
        """Numbered choices, a line each."""
        for number, one in enumerate(words, 1):
            self.say(f"{number} {shown(one, 120)}")
