"""A home whose every free text comes from somebody who means harm: the sample boats with payloads in them."""

from __future__ import annotations

import json
import tomllib
import unicodedata
import zlib
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import tomli_w

from divelog.home import data_folder
from divelog.journal.chain import digest
from divelog.journal.events import FIRST
from divelog.profiles.fields import Field, Kind, Schema
from divelog.profiles.schema import SCHEMAS

PAYLOADS = (
    "\x1b]0;owned\x07",  # the title of the window
    "\x1b]52;c;b3duZWQ=\x07",  # the clipboard
    "\x1b]8;;https://example.invalid\x1b\\link\x1b]8;;\x1b\\",
    "\x1b[2J\x1b[31;5mred",
    "\x9b31m\x9d0;owned\x9c\x85\x90q",  # the same without ESC
    "\u202egnorw\u2066\u200b\u200e\ufeff\u2028",
    "[b]bold[/b][@click=app.quit]go[/] 12 [V] [/] x[/]",
    "<script>alert(1)</script><img src=x onerror=alert(1)>&amp;{{ 7 * 7 }}{% raw %}",
    "=cmd|'/c calc'!A1",
    "\r\n\t+1-1@x",
    "\x00\x08\x7f\x0b\x0c",
    "e" + "\u0301" * 40,
    "\uff37\uff49\uff44\uff45\u3000\U0001f6a2\U0001f468\u200d\U0001f469\u200d\U0001f467",
    "9" * 60,
    "%s %n {0} ${HOME} `id`",
)
"""Terminals, text direction, our own drawing library, pages of a browser, spreadsheets, templates, shells."""

# Texts that name something elsewhere in the program, or are read as a time or a number.
_KEPT = {
    "trimmed_at.site", "site", "season_start", "device", "sheets", "by", "because", "line.list", "line.id", "line.after",
    "line.phase", "failsafe.does",
}  # fmt: skip
_WORDS = {"from drive", "none", "unknown", "not fitted"}


def spoiled(text: str, most: int = 380) -> str:
    """The text with a payload before and one after it; equal texts stay equal, so that what names a thing still does."""
    number = zlib.crc32(text.encode())
    first, last = PAYLOADS[number % len(PAYLOADS)], PAYLOADS[number // 97 % len(PAYLOADS)]
    return f"{first}{text}{last}"[:most] if text not in _WORDS else text


def _value(field: Field, value: Any) -> Any:
    if field.kind is Kind.TEXT and isinstance(value, str):
        return spoiled(value)
    if field.kind is Kind.TEXTS and isinstance(value, list):
        return [spoiled(one) if isinstance(one, str) else one for one in value]
    if field.kind is Kind.WORDS and isinstance(value, dict) and field.path != "upkeep":
        return {spoiled(key, 60): spoiled(one) if isinstance(one, str) else one for key, one in value.items()}
    return value


def _each(table: dict[str, Any], fields: dict[str, Field], prefix: str, under: str) -> Iterator[None]:
    for key, value in table.items():
        path = f"{prefix}{key}"
        field = fields.get(path)
        if field is None and isinstance(value, dict):
            yield from _each(value, fields, f"{path}.", under)
        elif field is not None and path not in _KEPT and f"{under}{path}" not in _KEPT:
            table[key] = _value(field, value)
    yield


def spoil_table(table: dict[str, Any], schema: Schema) -> dict[str, Any]:
    """Every free text of a file, by the schema; it stays a file without fault."""
    fields = {field.path: field for field in schema.fields}
    own = table.get(schema.root)
    list(_each(own if isinstance(own, dict) else table, fields, "", ""))
    if isinstance(own, dict):
        list(_each(table, fields, "", ""))
    for entries in schema.entries:
        inner = {field.path: field for field in entries.fields}
        for place in (table, own if isinstance(own, dict) else {}):
            for one in place.get(entries.path, []):
                list(_each(one, inner, "", f"{entries.path}."))
    return table


_FREE = {
    "text", "why", "words", "note", "name", "where", "typed", "reason", "to", "from", "label", "pack", "item", "part", "new",
    "old", "said", "title", "seen", "cause", "who", "found", "done", "how", "site", "transmitter", "receiver", "bottle",
}  # fmt: skip


def _spoil(value: Any, every: bool, key: str = "") -> Any:
    if isinstance(value, dict):
        return {name: _spoil(one, every, name) for name, one in value.items()}
    if isinstance(value, list):
        return [_spoil(one, every, key) for one in value]
    if isinstance(value, str) and key != "site" and (every or key in _FREE):
        return spoiled(value)
    return value


def spoil_line(line: bytes, every: bool) -> bytes:
    """One line of a journal: the words of its data alone, or every text there is but times and the kind."""
    event = json.loads(line)
    event["data"] = _spoil(event.get("data", {}), every)
    event.pop("prev", None)
    if every:
        event["id"] = event["id"][:-6] + "bad" + event["id"][-3:]
        event["by"] = spoiled("by")
        if event.get("run"):
            event["run"] = spoiled(event["run"], 60)
    return json.dumps(event, ensure_ascii=False).encode("utf-8", "surrogatepass") + b"\n"


def chained(lines: list[bytes]) -> Iterator[bytes]:
    """The lines, each saying which line it follows, as the program would have written them."""
    prev = FIRST
    for line in lines:
        whole = line.rstrip(b"\n")[:-1] + f',"prev":"{prev}"}}'.encode()
        prev = digest(whole)
        yield whole + b"\n"


LIST = {
    "format": 1,
    "list": "harm",
    "title": spoiled("A list from elsewhere"),
    "version": 1,
    "dated": date(2032, 3, 1),
    "phase": [
        {
            "id": "one",
            "moment": spoiled("Any moment"),
            "line": [
                {"id": f"line-{n}", "do": spoiled(f"Do {n}"), "answer": answer}
                for n, answer in enumerate(
                    (
                        {"kind": "done"},
                        {"kind": "choice", "of": [spoiled("one"), spoiled("two")], "want": spoiled("one")},
                        {"kind": "text"},
                    )
                )
            ],
        }
    ],
}


def hostile_home(root: Path) -> Path:
    """The sample boats, kit, sites, days and logbook under `root`, every free text spoiled; every file is whole."""
    samples = data_folder("sample_boats")
    kinds = {"boats": "boat", "sites": "site", "days": "today", "": None}
    for path in sorted(samples.rglob("*")):
        target = root / path.relative_to(samples)
        if path.is_dir():
            continue
        target.parent.mkdir(parents=True, exist_ok=True)
        if path.suffix == ".toml":
            kind = kinds.get(path.parent.name) or path.stem
            table = spoil_table(tomllib.loads(path.read_text(encoding="utf-8")), SCHEMAS[kind])
            target.write_text(tomli_w.dumps(table), encoding="utf-8")
        else:
            lines = path.read_bytes().splitlines()
            spoiled_lines = [spoil_line(line, every=False) for line in lines]
            seen: set[str] = set()
            for line in reversed(lines):
                what = json.loads(line)["what"]
                if what not in seen:
                    seen.add(what)
                    spoiled_lines.append(spoil_line(line, every=True))
            target.write_bytes(b"".join(chained(spoiled_lines)))
    (root / "checklists").mkdir()
    (root / "checklists" / "harm.toml").write_text(tomli_w.dumps(LIST), encoding="utf-8")
    return root


_FORMAT = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}


def harm_in(text: str, allowed: str = "\n") -> list[str]:
    """Characters that could command a terminal, turn the text round or hide in it; and letters under a pile of marks."""
    found = [hex(ord(c)) for c in set(text) - set(allowed) if unicodedata.category(c) in _FORMAT]
    run = 0
    for char in text:
        run = run + 1 if unicodedata.category(char) in ("Mn", "Me") else 0
        if run > 4:
            return [*found, "a pile of marks"]
    return sorted(found)
