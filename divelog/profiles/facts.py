"""All facts about one boat on one day, by whole path, each with its basis.

What wins, first to last: a what-if of this call, a measured value from the log, the files. A missing field falls to
its rule of assumption. Short paths (``ballast.volume``, ``pack.capacity``, ``plan.depth``) are resolved here, once.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from functools import lru_cache
from types import MappingProxyType

from divelog.profiles import schema
from divelog.profiles.assumed import ASSUMED, Assumption
from divelog.profiles.document import Basis, Document, Fact, FactValue, Num, State
from divelog.profiles.fields import Field, Kind
from divelog.profiles.reading import read_value
from divelog.text import slug

_ENTRY = re.compile(r"\[[^\]]*\]")
_ROOTS = ("boat", "kit", "site", "today", "settings")
_LISTS = {"pack": "kit", "bottle": "kit", "transmitter": "kit", "meter": "kit", "plan": "today"}
_EMPTY: Mapping[str, Fact] = MappingProxyType({})


@lru_cache(maxsize=4096)
def bare(path: str) -> str:
    """The path without ids: ``boat.cap[aft cap].held_by`` -> ``boat.cap.held_by``."""
    return _ENTRY.sub("", path)


def _all_fields() -> dict[str, Field]:
    table: dict[str, Field] = {}
    for one in schema.SCHEMAS.values():
        for item in one.fields:
            table[f"{one.root}.{item.path}"] = item
        for entries in one.entries:
            for item in entries.fields:
                table[f"{one.root}.{entries.path}.{item.path}"] = item
    for item in schema.MEASURED_ONLY:
        table[item.path] = item
    return table


FIELDS: dict[str, Field] = _all_fields()
"""Every field by bare whole path."""

_MEASURED_ONLY = frozenset(f.path for f in schema.MEASURED_ONLY)


@lru_cache(maxsize=4096)
def field_at(path: str) -> Field | None:
    """The field of a whole path, ids or not; None where there is none."""
    plain = bare(path)
    found = FIELDS.get(plain)
    if found is None:
        for prefix in ("today.closed.", "site.banks."):
            if plain.startswith(prefix):
                parent = FIELDS[prefix.rstrip(".")]
                return Field(
                    path,
                    Kind.QUANTITY,
                    parent.mark,
                    parent.dimension,
                    (),
                    parent.u95,
                    parent.low,
                    parent.high,
                )
    return found


@dataclass(frozen=True)
class Facts:
    """The facts of one boat on one day."""

    boat: Document
    kit: Document
    site: Document
    today: Document
    settings: Document
    slug: str
    measured: Mapping[str, Fact] = field(default_factory=lambda: _EMPTY)
    sets: Mapping[str, Fact] = field(default_factory=lambda: _EMPTY)
    _whole: dict[str, str] = field(default_factory=dict, init=False, repr=False, compare=False)
    """Whole paths by short ones, as they were asked for."""

    # -- paths --------------------------------------------------------------------------------------------------

    def canonical(self, path: str) -> str:
        """The whole path a short one means here; ``pack.x`` becomes ``kit.pack[D2].x``."""
        whole = self._whole.get(path)
        if whole is None:
            whole = self._whole[path] = self._canonical(path)
        return whole

    def _canonical(self, path: str) -> str:
        head = path.split(".", 1)[0].split("[", 1)[0]
        if path in _MEASURED_ONLY or bare(path) in _MEASURED_ONLY:
            if head in ("pack", "bottle") and "[" not in path:
                return path.replace(head, f"{head}[{self._in_use(head) or '?'}]", 1)
            return path
        if head in _LISTS:
            root = _LISTS[head]
            if "[" not in path.split(".", 1)[0]:
                path = path.replace(head, f"{head}[{self._in_use(head) or '?'}]", 1)
            return f"{root}.{path}"
        if path == "closed":
            return f"today.closed.{self.slug}"
        if head in _ROOTS:
            return path
        return f"boat.{path}"

    def _in_use(self, kind: str) -> str | None:
        if kind == "plan":
            return self.plan_id()
        if kind == "pack":
            found = self.get(f"today.plan[{self.plan_id()}].pack")
            if found is not None and isinstance(found.value, str):
                return found.value
            packs = self.get("boat.power.drive_packs")
            return str(packs.value[0]) if packs and isinstance(packs.value, tuple) and packs.value else None
        path = {"bottle": "boat.ballast.gas.bottle", "transmitter": "boat.radio.transmitter"}.get(kind)
        found = self.get(path) if path else None
        return found.value if found is not None and isinstance(found.value, str) else None

    @property
    def meant(self) -> tuple[str, ...]:
        """What short paths depend on: this boat, her plan, and the pack, bottle and transmitter in use."""
        used = (self._in_use(kind) or "" for kind in ("pack", "bottle", "transmitter"))
        return (self.slug, self.plan_id(), *used)

    def plan_id(self) -> str:
        """The id of this boat's entry in the day, or her slug where she has none."""
        for entry in self.today.entries.get("plan", ()):
            if entry == self.slug or slug_or_empty(entry) == self.slug:
                return entry
        return self.slug

    # -- facts --------------------------------------------------------------------------------------------------

    def get(self, path: str) -> Fact | None:
        """The fact at a whole path, or None where nobody has said anything."""
        found = self.sets.get(path)
        if found is None:
            found = self.measured.get(path)
        if found is None:
            root, _, rest = path.partition(".")
            if root in _ROOTS:
                document: Document = getattr(self, root)
                found = document.facts.get(rest)
        return found

    def ids(self, path: str) -> tuple[str, ...]:
        """Ids of a list of tables: ``boat.cap``, ``kit.pack`` …"""
        root, _, rest = path.partition(".")
        document = {"boat": self.boat, "kit": self.kit, "today": self.today}.get(root)
        return document.entries.get(rest, ()) if document is not None else ()

    def changes(self, before: Facts) -> tuple[frozenset[str], frozenset[str]]:
        """Whole paths at which another fact stands than before, and lists of tables with other ids."""
        paths: set[str] = set()
        lists: set[str] = set()
        for root in _ROOTS:
            was, now = getattr(before, root), getattr(self, root)
            if was is not now:
                paths.update(f"{root}.{path}" for path in _differing(was.facts, now.facts))
                lists.update(f"{root}.{name}" for name in _differing(was.entries, now.entries))
        for was, now in ((before.measured, self.measured), (before.sets, self.sets)):
            paths.update(_differing(was, now))
        return frozenset(path for path in paths if before.get(path) != self.get(path)), frozenset(lists)

    def taking_paths(self, other: Facts) -> None:
        """Take over what short paths mean from facts that mean the same by them (see ``meant``)."""
        self._whole.update(other._whole)

    def with_sets(self, sets: Mapping[str, Fact]) -> Facts:
        """The same facts with some replaced for this call."""
        return replace(self, sets=MappingProxyType({**self.sets, **sets}))

    def with_measured(self, measured: Mapping[str, Fact]) -> Facts:
        """The same facts with what the log has measured."""
        return replace(self, measured=MappingProxyType({**self.measured, **measured}))

    def typed(
        self, path: str, text: str, *, basis: Basis = Basis.STATED, origin: str = "typed"
    ) -> tuple[str, Fact]:
        """A path and text as a person typed them -> canonical path and fact; raises UnitFaultError or KeyError."""
        whole = self.canonical(path)
        item = field_at(whole)
        if item is None:
            raise KeyError(path)
        text = text.strip()
        if text == "unknown" and "unknown" not in item.choices:
            return whole, Fact(None, State.UNKNOWN, basis, typed=text, origin=origin)
        if text == "not fitted" and item.may_be_absent:
            return whole, Fact(text, State.KNOWN, basis, typed=text, origin=origin)
        value, shown, said = read_value(item, text, typed=True)
        if isinstance(value, Num):
            value = replace(value, basis=basis)
        return whole, Fact(value, State.KNOWN, basis, typed=shown or text, origin=origin, said=said)


def _differing(was: Mapping[str, object], now: Mapping[str, object]) -> list[str]:
    """Keys whose values are not the same; most are the very same object, and then nothing need be compared."""
    if was is now:
        return []
    found = [key for key, value in now.items() if (old := was.get(key)) is not value and old != value]
    return found + [key for key in was if key not in now]


def slug_or_empty(name: str) -> str:
    """The slug of a name, or an empty text where it has none."""
    try:
        return slug(name)
    except ValueError:
        return ""


def assumption(path: str) -> Assumption | None:
    """The rule for a missing field of a whole path, ids or not."""
    plain = bare(path)
    if plain.startswith("today.closed."):
        plain = "today.closed"
    return ASSUMED.get(plain)


def plain_value(value: FactValue) -> str:
    """A fact's value as a word, for literal matching."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        return f"{value:g}"
    if isinstance(value, date | datetime):
        return value.isoformat()
    return value if isinstance(value, str) else ""


def empty_document(root: str) -> Document:
    """A document with nothing in it."""
    return Document(root, "")


def merge_sets(facts: Facts, pairs: Iterable[tuple[str, str]]) -> Facts:
    """Facts with texts put at paths; raises UnitFaultError or KeyError at the first that does not fit."""
    for path, text in pairs:  # one after another: a bottle put in use is the one that the next path means
        facts = facts.with_sets(dict([facts.typed(path, text, origin="typed for this call")]))
    return facts
