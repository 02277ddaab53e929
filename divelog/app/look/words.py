"""Words on a page: the nine status words, cutting and wrapping measured in cells."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from enum import Enum

from rich.cells import cell_len, chop_cells

from divelog.app.look.page import graphemes
from divelog.text import clip, clip_name, shown

cut = clip
cut_name = clip_name


class Status(Enum):
    """Sign and word, always both; bold for the three that need somebody."""

    WITHIN = ("+", "within")
    OUTSIDE = ("X", "OUTSIDE")
    TOO_CLOSE = ("~", "too close")
    NO_READING = (".", "no reading")
    UNKNOWN = ("?", "unknown")
    TO_PROVE = ("!", "to prove")
    DONE = ("=", "done")
    SKIPPED = ("-", "skipped")
    NOT_FITTED = ("/", "not fitted")

    @property
    def sign(self) -> str:
        """One ASCII character."""
        return self.value[0]

    @property
    def word(self) -> str:
        """The status in words."""
        return self.value[1]

    @property
    def bold(self) -> bool:
        """Whether it needs somebody."""
        return self in (Status.OUTSIDE, Status.TOO_CLOSE, Status.TO_PROVE)


def size(text: str) -> int:
    """Columns `text` takes once it is made harmless, as it will be."""
    return cell_len(shown(text))


def head(text: str, cells: int) -> str:
    """The first `cells` columns of `text`, never half a character."""
    taken, used = [], 0
    for piece, wide in graphemes(shown(text)):
        if used + wide > cells:
            break
        taken.append(piece)
        used += wide
    return "".join(taken)


def tail(text: str, cells: int) -> str:
    """The last `cells` columns of `text`, never half a character."""
    taken, used = [], 0
    for piece, wide in reversed(list(graphemes(shown(text)))):
        if used + wide > cells:
            break
        taken.append(piece)
        used += wide
    return "".join(reversed(taken))


def cut_names(names: Sequence[str], cells: int = 14) -> tuple[str, ...]:
    """Names cut together: those that come out alike get their number (from 1) in front."""
    plain = [cut_name(name, cells) for name in names]
    count = Counter(plain)
    return tuple(
        name if count[name] == 1 else f"{number} {cut_name(full, cells - len(str(number)) - 1)}"
        for number, (name, full) in enumerate(zip(plain, names, strict=True), 1)
    )


def wrap(text: str, cells: int) -> tuple[str, ...]:
    """Break a sentence at blanks into lines of at most `cells` columns; a longer word is broken inside."""
    cells = max(cells, 2)
    lines: list[str] = []
    line = ""
    for word in shown(text).split():
        joined = f"{line} {word}" if line else word
        if cell_len(joined) <= cells:
            line = joined
            continue
        if line:
            lines.append(line)
        pieces = chop_cells(word, cells)
        lines.extend(pieces[:-1])
        line = pieces[-1]
    if line:
        lines.append(line)
    return tuple(lines)


def whole_words(text: str, cells: int) -> str:
    """A text in so many columns: what does not fit is left out between words, and two points say so.

    A first word that does not fit is cut as `cut` does.
    """
    text = shown(text)
    if cell_len(text) <= cells:
        return text
    first = text.split(" ", 1)[0]
    if cell_len(first) > cells - 3:
        return first if cell_len(first) <= cells else cut(first, cells)
    return f"{wrap(text, cells - 3)[0].rstrip(',;:(')} .."
