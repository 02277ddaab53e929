"""Editing a profile, the kit or a place: its parts, each field as a question, and a draft that is kept when asked."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from divelog import units
from divelog.app.asking import Answer, Ask
from divelog.app.desk import Desk
from divelog.limits import catalogue
from divelog.limits.model import Limit
from divelog.limits.sheet import NotFittedError, Sheet, UnknownError
from divelog.profiles.document import Document, Fact, Num, State
from divelog.profiles.facts import empty_document
from divelog.profiles.fields import Entries, Field, Kind, Mark, Schema
from divelog.profiles.reading import read_value
from divelog.profiles.schema import SCHEMAS
from divelog.profiles.writing import (
    amended,
    changed_paths,
    quantity_text,
    usual_unit,
    with_facts,
    with_format,
)
from divelog.session.filing import keep_document

_OWN_TABLES = ("trimmed_at", "foam")
_TITLES = {"boat": "herself", "my_limits": "her own limits", "upkeep": "upkeep", "site": "the place"}
_TABLES = frozenset(f.path.partition(".")[0] for f in SCHEMAS["boat"].fields if "." in f.path)
SINGULAR = {"cap": "cap or window", "seal": "seal", "failsafe": "failsafe", "lead": "piece of lead", "line": "change of a list",
            "pack": "pack", "bottle": "bottle", "transmitter": "transmitter", "meter": "meter"}  # fmt: skip
_BY_HAND_ONLY = frozenset({"line"})
"""Lists that are edited in the person's own editor only."""


@dataclass(frozen=True, slots=True)
class Part:
    """One group of fields: a table of the file, or one entry of a list."""

    title: str
    fields: tuple[Field, ...]
    prefix: str = ""
    """Path before each field's own, as ``cap[aft cap].``."""
    entries: Entries | None = None
    """The list that a new entry would go into; then there are no fields yet."""

    def path(self, one: Field) -> str:
        """The path of a field in the document."""
        return f"{self.prefix}{one.path}"


def parts(document: Document) -> tuple[Part, ...]:
    """All parts of a document, in the order of the schema; then what may be added."""
    schema = SCHEMAS[document.root]
    groups: dict[str, list[Field]] = {}
    for one in schema.fields:
        if one.path == "format":
            continue
        head = one.path.partition(".")[0]
        table = head if "." in one.path and head not in _OWN_TABLES else ""
        if one.path in ("upkeep",):
            table = one.path
        groups.setdefault(table or schema.root, []).append(one)
    found = [Part(_TITLES.get(name, name), tuple(fields)) for name, fields in groups.items()]
    for entries in schema.entries:
        if entries.path in _BY_HAND_ONLY:
            continue
        rest = tuple(one for one in entries.fields if one.path != entries.key)
        for entry in document.entries.get(entries.path, ()):
            title = f"{SINGULAR[entries.path].split(' or ')[0].split(' of ')[0]} {entry}"
            found.append(Part(title, rest, f"{entries.path}[{entry}]."))
    found += [
        Part(f"a new {SINGULAR[e.path]}", (), "", e) for e in schema.entries if e.path not in _BY_HAND_ONLY
    ]
    return tuple(found)


def title_of(path: str) -> str:
    """A field's path in plain words, without the table it stands in."""
    head, _, rest = path.partition(".")
    short = rest if rest and head not in _OWN_TABLES and head in _TABLES else path
    return short.replace("signal_lost_at", "lost_at").replace("_", " ").replace(".", " ")


# -- values ---------------------------------------------------------------------------------------------------------


def value_words(one: Field, fact: Fact | None) -> str:
    """What stands at a field, in words; empty where nothing is written."""
    if fact is None:
        return ""
    if fact.state is State.UNKNOWN:
        return "unknown"
    value = fact.value
    if isinstance(value, Num):
        return fact.typed or quantity_text(one, value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:g}"
    if isinstance(value, tuple):
        pairs = [v for v in value if isinstance(v, tuple)]
        if pairs:
            return "; ".join(f"{k}: {v}" for k, v in pairs)
        return ", ".join(v for v in value if isinstance(v, str)) or "none"
    if one.kind is Kind.CHOICE:
        return str(value).replace("_", " ")
    return fact.typed if value is None else str(value)


def assumed_words(one: Field, path: str, sheet: Sheet) -> str:
    """What is taken for a field that nobody wrote down, with its star; empty where nothing is."""
    if one.mark is not Mark.ASSUMED and one.path not in ("hull", "mass", "ballast.volume"):
        return ""
    try:
        if one.kind is Kind.QUANTITY:
            num = sheet.maybe(path)
            if num is None:
                return ""
            unit = usual_unit(one.dimension, num.si)
            return f"{units.to_unit(num.si, unit, one.dimension):.3g} {unit}*"
        word = sheet.word(path)
    except (UnknownError, NotFittedError):
        return ""
    return f"{word}*" if word else ""


def question(one: Field, held: Fact | None) -> Ask:
    """A field as a question: digits for choices, its unit for a number, else words."""
    title = title_of(one.path)
    if one.kind is Kind.CHOICE:
        options = [(c.replace("_", " "), c) for c in one.choices]
        if one.may_be_absent:
            options.append(("not fitted", "not fitted"))
        if len(options) <= 10:
            return Ask(one.path, title, choices=tuple(options), note=one.help)
        return Ask(one.path, title, note=", ".join(one.choices))
    if one.kind is Kind.FLAG:
        return Ask(one.path, title, choices=(("yes", "true"), ("no", "false")), note=one.help)
    if one.kind is Kind.QUANTITY:
        unit = _unit(one, held)
        return Ask(one.path, title, unit, one.dimension, note=one.help)
    if one.kind is Kind.COUNT:
        return Ask(one.path, title, "", "count", note=one.help)
    return Ask(one.path, title, note=_HOW.get(one.kind) or _some(one) or one.help)


_HOW = {
    Kind.DATE: "a date, as 2032-04-18",
    Kind.TEXTS: "with commas between",
    Kind.COUNTS: "numbers with commas between",
    Kind.WORDS: "name: words; name: words",
    Kind.QUANTITIES: "north: 40 m; east: 120 m",
}


def _some(one: Field) -> str:
    return f"some of {', '.join(one.choices)}" if one.kind is Kind.CHOICES else ""


def _unit(one: Field, held: Fact | None) -> str:
    if held is not None and isinstance(held.value, Num):
        typed = held.typed.split("±")[0].strip()
        symbol = typed.partition(" ")[2] if " " in typed else ""
        if symbol in units.allowed(one.dimension):
            return symbol
        return usual_unit(one.dimension, held.value.si)
    low, high = one.low or 0.0, one.high or 0.0
    between = math.sqrt(low * high) if low > 0.0 < high else high / 10.0
    return usual_unit(one.dimension, between or 1.0)


def facts_of(one: Field, path: str, answer: Answer) -> dict[str, Fact]:
    """Facts that an answer puts at a path; raises UnitFaultError in words."""
    text = answer.word or answer.typed
    if text == "unknown" and "unknown" not in one.choices:
        return {path: Fact(None, State.UNKNOWN, typed="unknown", origin="typed")}
    if text == "not fitted" and one.may_be_absent:
        known = one.kind in (Kind.CHOICE, Kind.TEXT)
        return {
            path: Fact(
                text if known else None,
                State.KNOWN if known else State.NOT_FITTED,
                typed=text,
                origin="typed",
            )
        }
    if one.kind is Kind.QUANTITIES:
        single = replace(one, kind=Kind.QUANTITY)
        return {f"{path}.{key}": _fact(single, value) for key, value in _pairs(text).items()}
    if one.kind is Kind.WORDS:
        return {path: _fact(one, _pairs(text))}
    return {path: _fact(one, text)}


def _fact(one: Field, raw: object) -> Fact:
    value, typed, said = read_value(one, raw, typed=True)
    return Fact(value, typed=typed, said=said, origin="typed")


def _pairs(text: str) -> dict[str, str]:
    found = {}
    for piece in text.split(";"):
        key, mark, words = piece.partition(":")
        if not piece.strip():
            continue
        if not mark or not key.strip() or not words.strip():
            raise units.UnitFaultError(repr(piece.strip()[:40]), "name: words; name: words")
        found[key.strip()] = words.strip()
    return found


# -- the draft ------------------------------------------------------------------------------------------------------


@dataclass(slots=True)
class Draft:
    """One file being changed: nothing of it is on disk before ``keep``."""

    desk: Desk
    root: str
    slug: str
    before: Document
    changes: dict[str, Fact | None] = field(default_factory=dict)

    @property
    def after(self) -> Document:
        """The document with the changes in it."""
        return with_facts(self.before, self.changes) if self.changes else self.before

    @property
    def count(self) -> int:
        """How many facts differ."""
        return len(changed_paths(self.before, self.after)) if self.changes else 0

    def held(self, path: str) -> Fact | None:
        """What stands at a path now."""
        return self.after.facts.get(path)

    def put(self, facts: Mapping[str, Fact | None]) -> None:
        """Change some facts."""
        for path, fact in facts.items():
            self.changes[path] = fact
            if self.before.facts.get(path) == fact:
                del self.changes[path]

    def put_back(self, path: str) -> None:
        """A field as the file has it."""
        for known in [p for p in self.changes if p == path or p.startswith(f"{path}.")]:
            del self.changes[known]

    def add(self, entries: Entries, entry: str) -> None:
        """A new entry: its key, and what it must have as unknown."""
        key = next(f for f in entries.fields if f.path == entries.key)
        facts: dict[str, Fact | None] = {f"{entries.path}[{entry}].{entries.key}": _fact(key, entry)}
        for one in entries.fields:
            if one.mark is Mark.REQUIRED and one.path != entries.key:
                facts[f"{entries.path}[{entry}].{one.path}"] = Fact(
                    None, State.UNKNOWN, typed="unknown", origin="typed"
                )
        self.put(facts)

    def take_out(self, prefix: str) -> None:
        """An entry with all its facts."""
        self.put({path: None for path in self.after.facts if path.startswith(prefix)})
        for path in [p for p in self.changes if p.startswith(prefix) and p not in self.before.facts]:
            del self.changes[path]

    def sheet(self) -> Sheet:
        """The working sheet as if the draft were kept; what was measured at a changed path no longer counts."""
        session, asked = self.desk.session, self.desk.asked()
        facts = self.desk.sheet().facts
        after = self.after
        changed = changed_paths(self.before, after) if self.changes else ()
        if self.root == "boat" and self.slug == self.desk.slug:
            kept = {p: f for p, f in facts.measured.items() if p not in changed}
            facts = replace(facts, boat=after, measured=MappingProxyType(kept))
        elif self.root == "kit":
            facts = replace(facts, kit=after)
        elif self.root == "site" and self.desk.day().text_at("site") == self.slug:
            facts = replace(facts, site=after)
        return session.sheet(asked, facts)

    def limits(self) -> tuple[Limit, ...]:
        """All limits as if the draft were kept."""
        return catalogue.work_out(self.sheet())

    def hand_goes(self) -> bool:
        """True where keeping has a file with comments written anew. Raises WritingError."""
        _, kept = amended(self.before, self._whole())
        return not kept and "#" in self.before.text

    def _whole(self) -> Document:
        return with_format(self.after)

    def keep(self) -> bool:
        """Write it; True where the hand of the file was kept. Raises WritingError, StorageError, ReadOnlyError."""
        kept = keep_document(self.desk.session, self.slug, self.before, self._whole())
        self.changes.clear()
        self.before = document_of(self.desk, self.root, self.slug)
        return kept


def document_of(desk: Desk, root: str, slug: str) -> Document:
    """The document as it stands on the shelf."""
    shelf = desk.session.shelf
    if root == "boat":
        return shelf.boats[slug]
    if root == "site":
        return shelf.sites.get(slug, empty_document("site"))
    return shelf.kit if root == "kit" else shelf.settings


def draft_of(desk: Desk, root: str, slug: str = "") -> Draft:
    """A draft with nothing changed."""
    return Draft(desk, root, slug, document_of(desk, root, slug))


def new_place(desk: Desk, slug: str, name: str) -> Draft:
    """A draft of a place that has no file yet: its name, the rest of what must stand as unknown."""
    draft = Draft(desk, "site", slug, empty_document("site"))
    facts: dict[str, Fact | None] = {"name": Fact(name, typed=name)}
    schema: Schema = SCHEMAS["site"]
    for one in schema.fields:
        if one.mark is Mark.REQUIRED and one.path not in ("name", "format"):
            text = "unknown"
            known = "unknown" in one.choices
            facts[one.path] = Fact(
                text if known else None, State.KNOWN if known else State.UNKNOWN, typed=text
            )
    draft.put(facts)
    return draft


def part_at(document: Document, path: str) -> tuple[Part, Field] | None:
    """The part and field of a whole path such as ``boat.ballast.volume``; None where it has none."""
    short = path.removeprefix(f"{document.root}.")
    for part in parts(document):
        for one in part.fields:
            if part.path(one) == short:
                return part, one
    return None
