"""Long logbooks for benches: the sample logbook told again and again, each telling earlier than the one after it.

Every event keeps its words and its place among the others; it gets a fresh identifier, a time of its own and its
place in the chain. Only identifiers of the telling itself are named by it, so runs, corrections and defects stand as
they do in the sample. The last telling is the sample itself: today is the same day whatever the length.
"""

from __future__ import annotations

import hashlib
import json
import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

from divelog.clock import parse_stamp, stamp
from divelog.home import Home, data_folder

AT = datetime.fromisoformat("2032-05-04T08:04:00+01:00")
"""The moment the sample logbook ends in."""

OLDEST = datetime(1960, 1, 1, tzinfo=UTC)
"""Nothing was written down before."""

SEGMENT = 48 << 20
"""Bytes of one journal file, after which the next is begun; the reader takes up to 128 MiB."""

_UUID = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")
_PREV = re.compile(r',"prev":"[^"]*"\}$')
_HAPPENED = re.compile(r'"happened":"([^"± ]+)')
_WHEN = re.compile(r'"when":"([^"]+)"')


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the sample: its folder, its text without the chain cut at identifiers, and its time."""

    folder: str
    parts: tuple[str, ...]
    at: datetime


def sample(slug: str) -> list[Line]:
    """The lines of one boat and of no boat, in the order they were written."""
    root = data_folder("sample_boats") / "logbook"
    found = []
    for folder in ("_kit", slug):
        for text in (root / folder / "laptop.jsonl").read_text(encoding="utf-8").splitlines():
            whole = json.loads(text)
            if whole["what"] == "log.opened":
                whole["data"]["heads"] = []  # the ends of files that are other files here
                text = json.dumps(whole, ensure_ascii=False, separators=(",", ":"))
            bare = _PREV.sub("", text)
            found.append(Line(folder, _cut(bare), parse_stamp(whole["when"])))
    return sorted(found, key=lambda line: line.at)


def _cut(text: str) -> tuple[str, ...]:
    """Text and identifiers in turn."""
    parts, end = [], 0
    for match in _UUID.finditer(text):
        parts += [text[end : match.start()], match.group()]
        end = match.end()
    return (*parts, text[end:])


def tellings(lines: list[Line], count: int) -> Iterator[tuple[Line, str]]:
    """``count`` lines, oldest first: the sample at the end, before it the sample in ever the same shorter span."""
    whole, rest = divmod(count, len(lines))
    first, last = lines[0].at, lines[-1].at
    room = (first - OLDEST) / max(1, whole + 1)
    scale = min(1.0, 0.98 * (room / (last - first)))
    for back in range(whole if not rest else whole + 1, 0, -1):
        taken = lines[-rest:] if rest and back == whole + 1 else lines
        if back == 1:
            yield from ((line, "".join(line.parts)) for line in taken)
            continue
        start = first - room * (back - 1)
        names: dict[str, str] = {}
        for line in lines:
            moment = start + (line.at - first) * scale
            own = line.parts[1]
            names[own] = f"{int(moment.timestamp() * 1000) & 0xFFFFFFFFFFFF:012x}"[:8] + own[8:]
            names[own] = _at(own, moment)
        for line in taken:
            text = "".join(names.get(p, p) if n % 2 else p for n, p in enumerate(line.parts))
            moment = start + (line.at - first) * scale
            text = _WHEN.sub(lambda m, to=moment: f'"when":"{_like(m[1], to)}"', text, count=1)
            if '"happened":"' in text:
                text = _HAPPENED.sub(
                    lambda m, from_=start: (
                        f'"happened":"{_like(m[1], from_ + (parse_stamp(m[1]) - first) * scale)}'
                    ),
                    text,
                    count=1,
                )
            yield line, text


def _at(own: str, moment: datetime) -> str:
    """The identifier with another time in front (RFC 9562, version 7: 48 bits of milliseconds; before 1970 they
    wrap, which only moves ties)."""
    front = f"{int(moment.timestamp() * 1000) & 0xFFFFFFFFFFFF:012x}"
    return f"{front[:8]}-{front[8:]}{own[13:]}"


def _like(written: str, moment: datetime) -> str:
    """A moment written with the offset of another."""
    offset = parse_stamp(written).utcoffset() or timedelta()
    return stamp(moment.astimezone(timezone(offset)))


def write_home(root: Path, count: int, slug: str = "tansy") -> Home:
    """A home with the sample boats, and a logbook of ``count`` lines of one boat and of no boat."""
    shutil.copytree(data_folder("sample_boats"), root, ignore=shutil.ignore_patterns("logbook"))
    home = Home(root)
    writers: dict[str, _Writer] = {}
    for line, text in tellings(sample(slug), count):
        if line.folder not in writers:
            folder = home.journal_folder(None if line.folder == "_kit" else line.folder)
            folder.mkdir(parents=True)
            writers[line.folder] = _Writer(folder)
        writers[line.folder].add(text)
    for writer in writers.values():
        writer.close()
    return home


class _Writer:
    """Files of one folder, each with its own chain."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._number = 0
        self._begin()

    def _begin(self) -> None:
        self._number += 1
        name = "laptop.jsonl" if self._number == 1 else f"laptop-{self._number}.jsonl"
        self._file = (self._folder / name).open("wb", buffering=1 << 20)
        self._prev, self._size = "none", 0

    def add(self, text: str) -> None:
        """One line, chained to the one before."""
        line = f'{text},"prev":"{self._prev}"}}'.encode()
        self._file.write(line + b"\n")
        self._prev = "sha256:" + hashlib.sha256(line).hexdigest()
        self._size += len(line) + 1
        if self._size > SEGMENT:
            self._file.close()
            self._begin()

    def close(self) -> None:
        """The last file."""
        self._file.close()
