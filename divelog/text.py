"""Foreign text made harmless before it is drawn, printed or exported.

A profile, a list or a log line may come from a stranger. Control characters in it could move the cursor,
set the window title or fill the clipboard; bidirectional and zero-width characters could make it read as
something else. Markup is not touched here: the drawing layer wraps the result as plain content.
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

LIMIT = 500
"""Characters kept of one foreign text unless the caller says otherwise."""

CUT = ">"
"""Stands where a text was cut."""

NEWLINE_MARK = "\u23ce"
"""Stands for a line break where only one line may be drawn."""

MAX_MARKS = 4
"""Combining marks kept on one letter; more are written out, so that none can be piled over the rows above."""

# Everything that moves the cursor, turns the reading direction or takes no room. C0, DEL and C1; surrogates;
# line and paragraph separators; format characters and the other default-ignorable code points of the Unicode
# character database (DerivedCoreProperties.txt, from memory); noncharacters at the end of the first plane.
_UNSAFE = re.compile(
    "[\x00-\x1f\x7f-\x9f\xad\u034f\u0600-\u0605\u061c\u06dd\u070f\u0890\u0891\u08e2\u115f\u1160\u17b4\u17b5"
    "\u180b-\u180f\u200b-\u200f\u2028-\u202e\u2060-\u206f\u3164\ud800-\udfff\ufeff\uffa0\ufff0-\ufffb\ufffe\uffff"
    "\U000110bd\U000110cd\U00013430-\U0001345f\U0001bca0-\U0001bca3\U0001d173-\U0001d17a\U000e0000-\U000e0fff]"
)

_SLUG = re.compile(r"[a-z0-9](?:[a-z0-9-]{0,38}[a-z0-9])?")

# Names that Windows keeps for devices, with or without a suffix (Microsoft, Naming Files, Paths, and
# Namespaces).
_RESERVED = frozenset(
    {"con", "prn", "aux", "nul", "clock", *(f"{port}{n}" for port in ("com", "lpt") for n in range(10))}
)

_NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d{1,3})?")
_FORMULA_START = "=+-@\t\r\n\uff1d\uff0b\uff0d\uff20"


class BadNameError(ValueError):
    """A name that cannot be a file name here. The message is a plain sentence, shown as it is."""


def _visible(match: re.Match[str]) -> str:
    """One unsafe character as text."""
    char = match.group()
    code = ord(char)
    if code < 0x20:
        return chr(0x2400 + code)
    if code == 0x7F:
        return "\u2421"
    if code < 0x100:
        return f"\\x{code:02x}"
    if code < 0x10000:
        return f"\\u{code:04x}"
    return f"\\U{code:08x}"


def _unpiled(text: str) -> str:
    """Writes out combining marks beyond `MAX_MARKS` in a row."""
    out: list[str] = []
    run = 0
    for char in text:
        if unicodedata.category(char) in ("Mn", "Me"):
            run += 1
            if run > MAX_MARKS:
                out.append(f"\\u{ord(char):04x}" if ord(char) < 0x10000 else f"\\U{ord(char):08x}")
                continue
        else:
            run = 0
        out.append(char)
    return "".join(out)


def shown(text: str, limit: int = LIMIT, one_line: bool = True) -> str:
    """Makes foreign text harmless and keeps it readable.

    C0 and DEL become their pictures, C1 becomes `\\x9b`, bidirectional, zero-width and other invisible
    characters and lone surrogates become `\\u202e` written out. In one line a line break becomes a visible
    mark; otherwise it stays and everything else is still made visible. The result is at most `limit`
    characters, the last one `>` where something was cut. Passing the result through again changes nothing.
    """
    cut = len(text) > limit
    if cut:
        text = text[:limit]
    if not (text.isascii() and text.isprintable()):
        text = text.replace("\r\n", "\n")
        if one_line:
            text = _UNSAFE.sub(_visible, text.replace("\n", NEWLINE_MARK))
        else:
            text = "\n".join(_UNSAFE.sub(_visible, line) for line in text.split("\n"))
        if not text.isascii():
            text = _unpiled(text)
    if cut or len(text) > limit:
        text = text[: max(limit - 1, 0)] + CUT
    return text


def json_escaped(text: str) -> str:
    """JSON text with its unsafe characters written as escapes: the same JSON (RFC 8259 section 7), harmless on a terminal.

    `text` must be JSON on one line: outside of strings it holds none of these characters.
    """
    if text.isascii() and text.isprintable():
        return text
    return _UNSAFE.sub(_escaped, text)


def _escaped(match: re.Match[str]) -> str:
    """One character as JSON escapes it: in UTF-16, so that one beyond the first plane takes two."""
    units = match.group().encode("utf-16-be", "surrogatepass").hex()
    return "".join(f"\\u{units[place : place + 4]}" for place in range(0, len(units), 4))


@lru_cache(maxsize=4096)
def _cells(char: str) -> int:
    from rich.cells import cell_len  # deferred: a command that draws no table need not load rich

    return cell_len(char)


def cell_width(text: str) -> int:
    """Terminal cells the text takes."""
    if text.isascii():
        return len(text)
    return sum(_cells(char) for char in text)


def _head(text: str, cells: int) -> str:
    """The longest beginning that fits in `cells`."""
    used = 0
    for index, char in enumerate(text):
        used += _cells(char)
        if used > cells:
            return text[:index]
    return text


def clip(text: str, cells: int) -> str:
    """One line of at most `cells` terminal cells, made harmless; what was cut ends in `>`."""
    text = shown(text)
    if cell_width(text) <= cells:
        return text
    return _head(text, cells - 1) + CUT if cells > 0 else ""


def clip_name(text: str, cells: int = 14) -> str:
    """A boat's name in at most `cells` cells, keeping its beginning and last four around `..`.

    Sister boats differ at the end of their names, so the end is kept: `PRINCESS MARY II` -> `PRINCESS..Y II`.
    """
    text = shown(text)
    if cell_width(text) <= cells:
        return text
    if cells < 8:
        return clip(text, cells)
    tail = _head(text[::-1], 4)[::-1]
    return _head(text, cells - 6) + ".." + tail


def check_slug(text: str) -> str:
    """Returns `text` if it may name a file here: `[a-z0-9-]{1,40}`, no device name, no hyphen at either end.

    Raises:
        BadNameError: it may not; the message says why.
    """
    quoted = shown(text, 60)
    if text.split(".")[0] in _RESERVED:
        raise BadNameError(f'the name "{quoted}" is kept by some systems for a device; choose another')
    if _SLUG.fullmatch(text) is None:
        raise BadNameError(
            f'the name "{quoted}" must be 1 to 40 of a-z, 0-9 and -, with a letter or a digit at both ends'
        )
    return text


def is_slug(text: str) -> bool:
    """Whether `text` may name a file here (see `check_slug`)."""
    try:
        check_slug(text)
    except BadNameError:
        return False
    return True


def slug(name: str) -> str:
    """Makes a file name out of a name: `Withy Pond` -> `withy-pond`.

    Accents are dropped, other signs become one hyphen, at most 40 characters are kept.

    Raises:
        BadNameError: nothing is left, or what is left is the name of a device.
    """
    plain = unicodedata.normalize("NFKD", name[:LIMIT]).encode("ascii", "ignore").decode().lower()
    made = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:40].strip("-")
    if not made:
        raise BadNameError(f'no file name can be made of "{shown(name, 60)}"; use letters a-z or digits')
    return check_slug(made)


def _runs_as_formula(text: str) -> bool:
    """Whether a spreadsheet might take the text for a formula, also after quotes and blanks."""
    bare = text.lstrip(" \u00a0\u3000\"'`")
    return bare != "" and bare[0] in _FORMULA_START


def csv_cell(text: str, limit: int = 2000) -> str:
    """One cell of a table export that no spreadsheet runs as a formula.

    Control characters are made visible first. A text that could start a formula (`= + - @`, tab, return or
    line feed, also after quotes and blanks) gets one `'` in front, which `from_csv_cell` takes away again;
    a plain number such as `-5.2` stays a number.
    """
    text = shown(text, limit)
    if _runs_as_formula(text) and _NUMBER.fullmatch(text) is None:
        return "'" + text
    return text


def from_csv_cell(cell: str) -> str:
    """The text that `csv_cell` wrote (its control characters stay visible)."""
    if cell.startswith("'") and _runs_as_formula(cell[1:]) and _NUMBER.fullmatch(cell[1:]) is None:
        return cell[1:]
    return cell
