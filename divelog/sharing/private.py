"""What stays at home when a boat is passed on: names, telephones, coordinates, serials, private notes.

Every kind has a name; what was left out is counted under it, and goes out only where its owner gives that name.
Patterns of telephones and the like are common practice, no source: they err towards leaving out.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Collection, Mapping
from types import MappingProxyType
from typing import Any

import msgspec

from divelog.journal.drafting import encode_data
from divelog.journal.events import Event
from divelog.profiles.document import Document, Fact
from divelog.profiles.facts import bare
from divelog.profiles.fields import Kind, Mark
from divelog.profiles.schema import SCHEMAS
from divelog.profiles.writing import WritingError, text_of, with_facts

NAMES: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "boat.notes": ("note in her file", "notes in her file"),
        "comments": ("comment in her file", "comments in her file"),
        "note": ("private note of the log", "private notes of the log"),
        "by": ("name of whoever wrote a line", "names of whoever wrote a line"),
        "helper": ("name of a helper", "names of helpers"),
        "from": ("name of who handed her over", "names of who handed her over"),
        "to": ("name of who she was handed to", "names of who she was handed to"),
        "serials": ("serial number", "serial numbers"),
        "telephones": ("text with a telephone number", "texts with a telephone number"),
        "addresses": ("text with an address of mail or web", "texts with an address of mail or web"),
        "coordinates": ("text with coordinates", "texts with coordinates"),
        "machine": ("line about the machine that kept the log", "lines about the machine that kept the log"),
        "corrections": ("correction (carried out in it)", "corrections (carried out in it)"),
        "incidents": ("depth incident", "depth incidents"),
        "ahead": (
            "line that lies ahead of this machine's clock",
            "lines that lie ahead of this machine's clock",
        ),
    }
)
"""Name -> what it is, in words: one of them, several."""

GONE = "(left out)"
"""Stands where a text was left out and something must stand."""

_KEYS: Mapping[str, Mapping[str, str]] = MappingProxyType(
    {
        "day.opened": {"helper": "helper"},
        "boat.received": {"from": "from"},
        "boat.handed_over": {"to": "to"},
        "fitted": {"old": "serials", "new": "serials"},
    }
)
"""Kind of event -> key of its data -> name it is counted under."""

MACHINE = frozenset({"log.opened", "clock.jumped"})
"""Kinds that speak of the machine and mean nothing elsewhere."""

_TELEPHONE = re.compile(r"(?<![\w.])(?:\+|00)?\(?\d[\d ()/\u2010-\u2013-]{6,}\d(?![\w.])")
_NO_TELEPHONE = re.compile(
    r"\d{4}-\d\d-\d\d|\d{1,2}[./-]\d{1,2}[./-]\d{4}|[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}|sha256:[0-9a-f]+"
)
_ADDRESS = re.compile(r"[^\s@]+@[^\s@]+\.[A-Za-z]{2,}|\b(?:https?://|www\.)\S+", re.IGNORECASE)
_COORDINATES = re.compile(
    r"[+-]?\d{1,3}\.\d{3,}\s*°?\s*[NSEWnsew]?\s*[,; ]\s*[+-]?\d{1,3}\.\d{3,}|\d{1,3}\s*°\s*\d{1,2}\s*['\u2032]"
)
_SERIAL = re.compile(
    r"\b(?:serial|ser\.|s/n|sn)(?:\s*(?:no|number))?[.:#\s]*[A-Za-z]*\d[\w-]{2,}", re.IGNORECASE
)
_ID = re.compile(r"[\w -]{1,24}")


def private_in(text: str) -> str | None:
    """Under which name a free text would be left out; None where nothing in it looks private."""
    text = text[:4000]
    if _ADDRESS.search(text):
        return "addresses"
    if _COORDINATES.search(text):
        return "coordinates"
    if _SERIAL.search(text):
        return "serials"
    bare_text = _NO_TELEPHONE.sub(" - ", text)
    for found in _TELEPHONE.finditer(bare_text):
        if 7 <= sum(c.isdecimal() for c in found[0]) <= 16:
            return "telephones"
    return None


class Scrubber:
    """Takes private things out and counts them. One for a bundle."""

    def __init__(self, let_out: Collection[str] = (), ids: Collection[str] = ()) -> None:
        """`ids` are names of parts and packs in her file: they are no serial numbers."""
        self.let_out = frozenset(let_out)
        self.ids = frozenset(ids)
        self.counts: Counter[str] = Counter()

    def leaves(self, name: str) -> bool:
        """True where a thing of that name stays at home; then it is counted."""
        if name in self.let_out:
            return False
        self.counts[name] += 1
        return True

    # -- profiles -----------------------------------------------------------------------------------------------

    def document(self, boat: Document, count: bool = True) -> Document:
        """The profile without private fields, and without texts that look private."""
        changes: dict[str, Fact | None] = {}
        before = self.counts.copy()
        fields = {f.path: f for f in SCHEMAS["boat"].fields}
        for entries in SCHEMAS["boat"].entries:
            fields |= {f"{entries.path}.{f.path}": f for f in entries.fields}
        for path, fact in boat.facts.items():
            field = fields.get(bare(path))
            if field is None:
                continue
            if field.private:
                pairs = fact.value if isinstance(fact.value, tuple) else (None,)
                if f"boat.{path}" not in self.let_out:
                    self.counts[f"boat.{path}"] += len(pairs)
                    changes[path] = None
                continue
            name = self._in_fact(field.kind, fact)
            if name is not None and self.leaves(name):
                must = field.mark is Mark.REQUIRED and field.kind is Kind.TEXT
                changes[path] = Fact(GONE, typed=GONE) if must else None
        if not count:
            self.counts = before
        return with_facts(boat, changes) if changes else boat

    def _in_fact(self, kind: Kind, fact: Fact) -> str | None:
        if kind is Kind.TEXT and isinstance(fact.value, str):
            return private_in(fact.value)
        if kind is Kind.WORDS and isinstance(fact.value, tuple):
            return next((n for pair in fact.value if (n := private_in(" ".join(map(str, pair))))), None)
        if kind is Kind.TEXTS and isinstance(fact.value, tuple):
            return next((n for one in fact.value if (n := private_in(str(one)))), None)
        return None

    def text(self, text: str) -> str:
        """A free text, or the words that stand for it."""
        name = private_in(text)
        return GONE if name is not None and self.leaves(name) else text

    # -- events -------------------------------------------------------------------------------------------------

    def event(self, event: Event, read: Callable[[bytes], Document]) -> Event | None:
        """An event fit to go out, or None where it stays at home whole. `read` reads a profile's bytes."""
        if event.what in MACHINE:
            return None if self.leaves("machine") else event
        data = event.payload()
        if event.what == "note" and data.get("private") is not False and self.leaves("note"):
            return None
        for key, name in _KEYS.get(event.what, {}).items():
            value = data.get(key)
            if not isinstance(value, str) or not value:
                continue
            if name == "serials" and self._is_id(value):
                continue
            if self.leaves(name):
                del data[key]
        if event.what == "boat.filed":
            self._filed(data, read)
        else:
            data = {key: self._any(value, event.what, key) for key, value in data.items()}
        fields: dict[str, Any] = {"data": encode_data(data), "prev": ""}
        if event.by is not None and self.leaves("by"):
            fields["by"] = None
        return msgspec.structs.replace(event, **fields)

    def _is_id(self, value: str) -> bool:
        """A name people give to parts, not what a maker stamped on one."""
        if value in self.ids:
            return True
        return sum(c.isdecimal() for c in value) < 4 and _ID.fullmatch(value) is not None

    def _filed(self, data: dict[str, Any], read: Callable[[bytes], Document]) -> None:
        """A filed profile goes without its notes; one that cannot be read again goes by its digest alone."""
        held = data.get("text")
        if not isinstance(held, str):
            return
        document = read(held.encode())
        try:
            data["text"] = text_of(self.document(document, count=False)) if not document.faults else ""
        except WritingError:
            data["text"] = ""
        if not data["text"]:
            del data["text"]

    def _any(self, value: Any, what: str, key: str, level: int = 0) -> Any:
        """Every text below, however deep, looked through; numbers as typed are no telephones."""
        if isinstance(value, str):
            return value if key in ("typed", "id", "of", "check", "plan", "digest") else self.text(value)
        if level > 60:
            return value
        if isinstance(value, list):
            return [self._any(one, what, key, level + 1) for one in value]
        if isinstance(value, dict):
            return {k: self._any(one, what, k, level + 1) for k, one in value.items()}
        return value


def comments_in(text: str) -> int:
    """Lines of a TOML text that hold a comment; a sign inside quotes is none."""
    found = 0
    for line in text.split("\n"):
        quote = ""
        for index, char in enumerate(line):
            if quote:
                if char == quote and line[index - 1] != "\\":
                    quote = ""
            elif char in "\"'":
                quote = char
            elif char == "#":
                found += 1
                break
    return found
