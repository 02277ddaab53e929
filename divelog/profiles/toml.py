"""TOML from strangers: guarded before it is parsed, so that no text hangs the parser or eats the memory.

The standard parser needs time and memory with the square of the parts of a dotted key, and recurses on nesting, so a
cap on size alone is no guard.
"""

from __future__ import annotations

import re
import tomllib
from typing import Any

from divelog.profiles.document import Fault

MOST_BYTES = 256 * 1024
MOST_LINE = 2000
MOST_LINES = 5000
MOST_DOTS = 8
MOST_DEPTH = 12

_AT = re.compile(r"\s*\(at (?:line (\d+), column \d+|end of document)\)")
_NAMES = re.compile(r"[A-Za-z0-9_\"'-]+(?:\s*\.\s*[A-Za-z0-9_\"'-]+)*+")
"""Names joined by dots. Taken without going back, so that a row costs what it is long, whatever it holds."""


def parse_toml(raw: bytes, file: str) -> tuple[dict[str, Any], str, tuple[Fault, ...]]:
    """The parsed table, the text, and faults (then the table is empty)."""
    fault, text = guard(raw, file)
    if fault is not None:
        return {}, text, (fault,)
    try:
        return tomllib.loads(text), text, ()
    except tomllib.TOMLDecodeError as error:
        return {}, text, (_syntax(error, file, text),)
    except (RecursionError, ValueError):
        return {}, text, (Fault(file, 0, "", "nesting or numbers beyond reason", "a plain TOML file"),)


def guard(raw: bytes, file: str) -> tuple[Fault | None, str]:
    """The first reason not to parse these bytes at all, and their text."""
    if len(raw) > MOST_BYTES:
        return Fault(file, 0, "", f"{len(raw)} bytes", f"at most {MOST_BYTES // 1024} KiB"), ""
    if not raw.strip():
        return Fault(file, 1, "", "an empty file", 'a file that starts with "format = 1"'), ""
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        return Fault(file, line, "", "bytes that are no text", "plain text in UTF-8"), ""
    if "\0" in text:
        return Fault(file, text[: text.index("\0")].count("\n") + 1, "", "a NUL byte", "plain text"), ""
    text = text.replace("\r\n", "\n")
    rows = text.split("\n")
    if len(rows) > MOST_LINES:
        return Fault(file, MOST_LINES, "", f"{len(rows)} lines", f"at most {MOST_LINES} lines"), ""
    for number, row in enumerate(rows, start=1):
        reason = _row_reason(row)
        if reason is not None:
            return Fault(file, number, "", *reason), ""
    return None, text


def _row_reason(row: str) -> tuple[str, str] | None:
    if len(row) > MOST_LINE:
        return f"a line of {len(row)} characters", f"lines of at most {MOST_LINE} characters"
    head = row.split("=", 1)[0]
    if head.count(".") > MOST_DOTS:
        return f"a key of {head.count('.') + 1} parts", f"keys of at most {MOST_DOTS + 1} parts"
    # Inline keys inside a value can be dotted just as long; no honest value has so many dots in a row of names.
    for names in _NAMES.finditer(row):
        if names[0].count(".") > MOST_DOTS and row[names.end() :].lstrip().startswith("="):
            return "a key of too many parts", f"keys of at most {MOST_DOTS + 1} parts"
    depth = deepest = 0
    for char in row:
        if char in "[{":
            depth += 1
            deepest = max(deepest, depth)
        elif char in "]}":
            depth -= 1
    if deepest > MOST_DEPTH:
        return f"brackets {deepest} deep", f"at most {MOST_DEPTH}"
    return None


def _syntax(error: tomllib.TOMLDecodeError, file: str, text: str) -> Fault:
    message = str(error)
    at = _AT.search(message)
    line = int(at[1]) if at is not None and at[1] else text.count("\n") + 1
    row = text.split("\n")[line - 1].strip() if line <= text.count("\n") + 1 else ""
    reason = _AT.sub("", message).strip().rstrip(".")
    found = f"{row[:60]!r} ({reason[:1].lower()}{reason[1:]})" if row else reason
    return Fault(file, line, "", found, 'TOML: key = value, texts in "quotes"')
