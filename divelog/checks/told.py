"""What of the profile is told with a line: the gear of the site where it is needed."""

from __future__ import annotations

from divelog.checks.around import Around
from divelog.checks.model import Line


def how_of(line: Line, around: Around) -> str:
    """How a line is done, with the words of the profile it tells; the words may be a stranger's."""
    words = around.words_at(line.tells) if line.tells else None
    return f"{line.how} Here: {', '.join(words)}.".strip() if words else line.how
