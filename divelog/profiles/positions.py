"""Which line of a TOML text each key stands on.

The standard parser keeps no positions before Python 3.14, so this scanner walks text that the parser has already
accepted: headers, arrays of tables, keys at the start of a line; it steps over multi-line texts and lists. What hangs
on a key (an inline table, a list) has the line of that key.
"""

from __future__ import annotations

import re

_HEADER = re.compile(r"\s*(\[\[?)(.+?)(\]\]?)\s*(?:#.*)?")
_KEY = re.compile(
    r"""\s*((?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')(?:\s*\.\s*(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*'))*)\s*="""
)
_PART = re.compile(r"""[A-Za-z0-9_-]+|"[^"]*"|'[^']*'""")


def _parts(dotted: str) -> list[str]:
    return [part.strip("\"'") for part in _PART.findall(dotted)]


class _Value:
    """State of a value that may run over several lines: an open multi-line text, or open brackets."""

    def __init__(self) -> None:
        self.quote = ""
        self.depth = 0

    def feed(self, text: str) -> bool:
        """Take the rest of a line; True while the value goes on."""
        i = 0
        while i < len(text):
            if self.quote:
                if text[i] == "\\" and self.quote[0] == '"':
                    i += 2
                    continue
                if text.startswith(self.quote, i):
                    i += len(self.quote)
                    self.quote = ""
                    continue
                i += 1
                continue
            three = text[i : i + 3]
            if three in ('"""', "'''"):
                self.quote = three
                i += 3
                continue
            char = text[i]
            if char in "\"'":
                self.quote = char
            elif char in "[{":
                self.depth += 1
            elif char in "]}":
                self.depth -= 1
            elif char == "#":
                break
            i += 1
        if len(self.quote) == 1:
            self.quote = ""
        return bool(self.quote) or self.depth > 0


def key_lines(text: str) -> dict[str, int]:
    """Lines (from 1) by dotted path; entries of arrays of tables are ``name[0]``, ``name[1]`` …"""
    lines: dict[str, int] = {}
    counts: dict[str, int] = {}
    prefix = ""
    value: _Value | None = None
    for number, line in enumerate(text.split("\n"), start=1):
        if value is not None:
            if not value.feed(line):
                value = None
            continue
        header = _HEADER.fullmatch(line.rstrip("\r"))
        if header is not None and header[1] in ("[", "[[") and len(header[1]) == len(header[3]):
            prefix = _enter(_parts(header[2]), header[1] == "[[", counts)
            lines.setdefault(prefix, number)
            continue
        key = _KEY.match(line)
        if key is None:
            continue
        path = ".".join([prefix, *_parts(key[1])] if prefix else _parts(key[1]))
        lines.setdefault(path, number)
        value = _Value()
        if not value.feed(line[key.end() :]):
            value = None
    return lines


def _enter(parts: list[str], array: bool, counts: dict[str, int]) -> str:
    prefix = ""
    for index, part in enumerate(parts):
        prefix = f"{prefix}.{part}" if prefix else part
        last = index == len(parts) - 1
        if array and last:
            counts[prefix] = counts.get(prefix, -1) + 1
        if prefix in counts:
            prefix = f"{prefix}[{counts[prefix]}]"
    return prefix


def line_of(lines: dict[str, int], path: str) -> int:
    """The line of a path, or of the nearest key it hangs on; 0 where nothing is known."""
    while path:
        if path in lines:
            return lines[path]
        cut = max(path.rfind("."), path.rfind("["))
        if cut <= 0:
            return 0
        path = path[:cut]
    return 0
