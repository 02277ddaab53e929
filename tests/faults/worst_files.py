"""Small files made to cost much: run alone, with little memory. Prints the name of each and how many faults were told."""

from __future__ import annotations

import resource
import sys
import tempfile
import tracemalloc
from collections.abc import Callable, Iterator
from pathlib import Path

from divelog.checks.reading import read_list
from divelog.commands.screens import _settings
from divelog.home import Home
from divelog.journal.loading import load_files
from divelog.papers.telemetry.mapping import read_mapping
from divelog.profiles.reading import read_document
from divelog.profiles.schema import SCHEMAS
from divelog.profiles.toml import MOST_BYTES, MOST_LINE

ROOM = MOST_BYTES - 100


def tables() -> Iterator[tuple[str, bytes]]:
    """TOML: what costs its parser, our guard and our own reader most."""

    def rows(row: bytes, head: bytes = b"") -> bytes:
        return head + row * (ROOM // len(row))

    yield "one long key", b"a." * 20_000 + b"b = 1"
    yield "a long key in a value", b"x = {" + b"a." * 900 + b"b = 1}"
    yield "a long quoted key in a value", b'x = {"a b"' + b'." "' * 450 + b" = 1}"
    yield (
        "many long quoted keys",
        b"".join(b'x%d = {"a b"' % n + b'." "' * 400 + b" = 1}\n" for n in range(140)),
    )
    yield "dots in texts", rows(b'x = "' + b"a." * 990 + b'"\n')
    yield "dots and blanks in texts", rows(b'x = "' + b"a . " * 490 + b'"\n')
    yield "one name over a line", rows(b'x = "' + b"a" * (MOST_LINE - 10) + b'"\n')
    yield "quotes", rows(b"'" * 1900 + b"\n")
    yield "lists in lists", b"x = " + b"[" * 100_000
    yield "lists over lines", b"x = " + b"[\n" * 4_900
    yield "tables in lists over lines", b"x = " + b"{a=[\n" * 300 + b"1" + b"]}\n" * 300
    yield "tables in tables", b"x = " + b"{a=" * 50_000
    yield "many heads", b"".join(b"[a%d.b.c.d.e.f.g.h.i]\n" % n for n in range(4_900))
    yield "blanks in heads", b"".join(b'["a%d' % n + b" " * 1_900 + b'"]\n' for n in range(130))
    yield "one head over and over", b"[[cap]]\n" * 4_900
    yield "many stray keys", b"".join(b"%s%d = 1\n" % (b"k" * 40, n) for n in range(4_900))
    yield "one stray key in many tables", b"".join(b"[[cap]]\nthicknes = 1\n" for _ in range(2_400))
    yield "a long number", b"format = " + b"9" * 1_900
    yield "a longer number", b"format = " + b"9" * 5_000
    yield "a long fraction", b"format = 0." + b"9" * 1_900
    yield "a long hexadecimal", b"format = 0x" + b"f" * 1_900
    yield "an exponent", b"format = 1e999999999"
    yield "a text over all lines", b'x = """' + b"[[[[ a.b =\n" * 4_900 + b'"""'
    yield "a text without an end", b'x = """' + b"a" * 1000
    yield "escapes", b'x = "' + b"\\u0000" * 330 + b'"\n'
    yield "many units", rows(b'length = "1 ' + b"m*" * 900 + b'm"\n')
    yield (
        "powers",
        b'[boat]\nlength = "9**9**9**9 m"\nmass = "1e400 kg"\nheight = "' + b"9" * 1_900 + b' mm"\n',
    )
    yield "a unit of a power", b'[boat]\nlength = "1 m^999999999"\nmass = "1 ' + b"kg^2*" * 300 + b'kg"\n'
    yield "zeros", b"\x00" * ROOM
    yield "blanks", b" " * ROOM
    yield "line ends", b"\n" * ROOM
    yield "remarks", b"#\n" * (ROOM // 2)
    yield "too many bytes", b"a = 1\n" * 100_000


def journals() -> Iterator[tuple[str, bytes]]:
    """JSON Lines."""
    head = b'{"id":"01ca0a40-cb00-701a-8000-00000000001a","what":"note","when":"2032-05-04T08:04:00+01:00","data":'
    yield "deep lists", head + b"[" * 100_000 + b"]" * 100_000 + b"}\n"
    yield "deep objects", head + b'{"a":' * 30_000 + b"1" + b"}" * 30_000 + b"}\n"
    yield "a long line", head + b'"' + b"x" * 5_000_000 + b'"}\n'
    yield "many bad lines", b"{\n" * 300_000
    yield "many line ends", b"\n" * 5_000_000
    yield "zeros", b"\x00" * 5_000_000
    yield "a long number", head + b"9" * 60_000 + b"}\n"
    yield "one id", (head + b"{}}\n") * 20_000
    yield "escapes", head + b'"' + b"\\ud800" * 10_000 + b'"}\n'


def _told(kind: str, name: str, read: Callable[[bytes], int], raw: bytes) -> None:
    counted = sys.argv[2:] == ["counted"]
    if counted:
        tracemalloc.start()
    count = read(raw)
    most = tracemalloc.get_traced_memory()[1] if counted else 0
    tracemalloc.stop()
    print(f"{kind}\t{name}\t{count}\t{most}", flush=True)


def _theme(raw: bytes) -> int:
    """What is read of the settings before the first page: 1 where the usual theme is taken."""
    with tempfile.TemporaryDirectory() as folder:
        home = Home(Path(folder))
        home.settings.write_bytes(raw)
        return int(_settings(home)[0] == "sun")


def main() -> None:
    """Every file through every reader it might be given to."""
    room = int(sys.argv[1])
    resource.setrlimit(resource.RLIMIT_AS, (room, room))
    for name, raw in tables():
        for root in ("boat", "kit"):
            _told(
                root,
                name,
                lambda raw, root=root: len(read_document(raw, "x.toml", SCHEMAS[root]).faults),
                raw,
            )  # type: ignore[misc]
        _told("list", name, lambda raw: len(read_list(raw, "x.toml").faults), raw)
        _told("mapping", name, lambda raw: len(read_mapping(raw, "x.toml")[1]), raw)
        _told("theme", name, _theme, raw)
    for name, raw in journals():
        _told("log", name, lambda raw: len(load_files({"tansy/x.jsonl": raw}, "tansy").reports), raw)


if __name__ == "__main__":
    main()
