"""The chain: each line names the digest of the line before, and a new file the ends of all others.

It shows accidents (a cut tail, a lost or changed line), not forgery: whoever changes a line can make a new
chain.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from divelog.journal.events import FIRST, Event
from divelog.journal.payload import mapping, text
from divelog.journal.reading import bare, decode_line, split_tail

OPENED = "log.opened"


def digest(line: bytes) -> str:
    """`prev` of the line after this one; `line` is without its end."""
    return "sha256:" + hashlib.sha256(line).hexdigest()


@dataclass(frozen=True, slots=True)
class Head:
    """The end of one journal file: how many whole lines, the identifier of the last one and its digest.

    `last` is none where the last line is no event.
    """

    file: str
    count: int
    last: str | None
    digest: str

    def as_data(self) -> dict[str, object]:
        """As it stands in a `log.opened`."""
        return {"file": self.file, "count": self.count, "last": self.last, "digest": self.digest}


def head_from(value: object) -> Head | None:
    """A head out of a `log.opened`, or none."""
    data: Mapping[str, Any] = mapping(value)
    file, count, found = text(data.get("file")), data.get("count"), text(data.get("digest"))
    if file is None or found is None or isinstance(count, bool) or not isinstance(count, int) or count < 0:
        return None
    return Head(file, count, text(data.get("last")), found)


def heads_of(event: Event) -> list[Head]:
    """The heads that a `log.opened` names."""
    if event.what != OPENED or not event.known:
        return []
    named = event.payload().get("heads")
    found = map(head_from, named) if isinstance(named, list) else ()
    return [head for head in found if head is not None]


def last_line(body: bytes) -> bytes | None:
    """The last whole line of a file's body, without its end; none if there is none."""
    if not body:
        return None
    return bare(body[body.rfind(b"\n", 0, len(body) - 1) + 1 : -1])


@dataclass(frozen=True, slots=True)
class End:
    """Where a file ends: `size` bytes of whole lines, then `tail` that was cut off; its head and last
    event."""

    head: Head
    size: int
    tail: bytes
    event: Event | None


def end_of(file: str, data: bytes) -> End:
    """The end of a journal file, told without decoding more than its last line."""
    body, tail = split_tail(data)
    line = last_line(body)
    event = None
    if line is not None:
        try:
            event = decode_line(line)
        except ValueError:
            event = None
    found = FIRST if line is None else digest(line)
    head = Head(file, body.count(b"\n"), event.id if event is not None else None, found)
    return End(head, len(data) - len(tail), tail, event)


def as_data(heads: Iterable[Head]) -> list[dict[str, object]]:
    """Heads as they stand in a `log.opened`."""
    return [head.as_data() for head in heads]
