"""Exit codes of the command line."""

from enum import IntEnum


class Exit(IntEnum):
    """What the shell is told."""

    DONE = 0
    NOT_WITHIN = 1
    """Done, and ``--strict`` found an outside, too close, unknown, to prove or due."""
    CALL = 2
    FAULT = 3
    """A fault in a file; the faults are listed."""
    NOT_WRITTEN = 4
    DAMAGED = 5
    """A journal is damaged; what could be read was read."""
    BUG = 70
    PIPE = 141


class CallError(Exception):
    """A wrong call: a plain sentence for the person."""
