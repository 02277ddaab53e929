"""Whatever the bytes of a file, a reader gives a model or faults in words: no exception, nothing harmful in a fault.

Two ways: any bytes at all, and a file of the samples in which pieces were cut, doubled or written over.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Iterable
from pathlib import Path

import pytest
from foreign import harm_in
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.checks.reading import read_list
from divelog.commands.type_in import read_sheet
from divelog.home import Home, data_folder
from divelog.journal.loading import load_files
from divelog.papers.telemetry.mapping import read_mapping
from divelog.papers.telemetry.model import TelemetryError
from divelog.papers.telemetry.reading import read
from divelog.profiles.reading import read_document
from divelog.profiles.schema import SCHEMAS
from divelog.session.shelf import read_shelf
from divelog.sharing.reading import look

SAMPLES = data_folder("sample_boats")
SHELF = read_shelf(Home(SAMPLES))
MAPPING = b'format = 1\n[time]\ncolumn = "t"\ncounts = "seconds"\n[[column]]\ngives = "depth"\ncolumn = "depth"\nunit = "m"\n'
SHEET = b"tansy 2032-05-04T08:30:00+01:00\n1 1\n2 TANSY\n3 8.41 # volts\n7 s no time\n"
CSV = b"t,depth\n0,0.1\n1,0.2\n2,0.4\n3,\n4,0.3\n"
LOG = (SAMPLES / "logbook" / "tansy" / "laptop.jsonl").read_bytes()[:12_000]
NOW = next(iter(load_files({"tansy/a.jsonl": LOG}).events)).when


def _document(root: str) -> Callable[[bytes], Iterable[str]]:
    return lambda raw: [fault.sentence() for fault in read_document(raw, "x.toml", SCHEMAS[root]).faults]


def _csv(raw: bytes) -> Iterable[str]:
    mapping, _ = read_mapping(MAPPING, "m.toml")
    assert mapping is not None
    try:
        read([raw], mapping)
    except TelemetryError as told:
        return [str(told)]
    return []


def _sheet(raw: bytes) -> Iterable[str]:
    try:
        text = raw.decode()
    except UnicodeDecodeError:
        return []  # told by the command before the sheet is read: tests of the command line
    return [fault.sentence() for fault in read_sheet(text, "x.txt", SHELF)[1]]


def _first(folder: str) -> bytes:
    return next(path for path in sorted((SAMPLES / folder).iterdir()) if path.is_file()).read_bytes()


READERS: dict[str, tuple[Callable[[bytes], Iterable[str]], bytes]] = {
    "boat": (_document("boat"), _first("boats")),
    "kit": (_document("kit"), (SAMPLES / "kit.toml").read_bytes()),
    "site": (_document("site"), _first("sites")),
    "today": (_document("today"), _first("days")),
    "settings": (_document("settings"), b'format = 1\ntheme = "sun"\nown_pace = "0.7 m"\n'),
    "list": (
        lambda raw: [f.sentence() for f in read_list(raw, "x.toml").faults],
        (data_folder("checklists") / "after-run.toml").read_bytes(),
    ),
    "mapping": (lambda raw: [f.sentence() for f in read_mapping(raw, "x.toml")[1]], MAPPING),
    "log": (lambda raw: [str(r) for r in load_files({"tansy/a.jsonl": raw}).reports], LOG),
    "sheet": (_sheet, SHEET),
    "readings": (_csv, CSV),
    "bundle": (lambda raw: [f.sentence() for f in look(raw, "x.zip", NOW).faults], b"PK\x05\x06" + bytes(18)),
}


@st.composite
def spoiled(draw: st.DrawFn, whole: bytes) -> bytes:
    """A whole file with some pieces cut, doubled, swapped for any bytes, or signs that mean something put in."""
    raw = bytearray(whole)
    for _ in range(draw(st.integers(1, 6))):
        at = draw(st.integers(0, len(raw)))
        length = draw(st.integers(0, 40))
        piece = draw(
            st.one_of(
                st.just(b""),
                st.just(bytes(raw[at : at + length]) * 2),
                st.binary(max_size=12),
                st.sampled_from(
                    [b"\x1b[2J", b'"', b"'''", b"\n", b"[[", b"]", b"=", b"\x00", b"1e400", b"9" * 400, b"\xff", b"\xe2\x80\xae",
                     b"[a.b.c.d.e]\n", b"{", b"nan", b"-inf", b"0001-01-01", b"9999-12-31T23:59:60Z"]
                ),
            )
        )  # fmt: skip
        raw[at : at + length] = piece
    return bytes(raw)


def check(name: str, raw: bytes) -> None:
    for sentence in READERS[name][0](raw):
        assert sentence
        # Letters of nobody (unassigned, of private use) do nothing.
        known = "".join(c for c in sentence if unicodedata.category(c) not in ("Cn", "Co"))
        assert harm_in(known) == [], (name, sentence)
        assert len(sentence) < 2000, name


@pytest.mark.parametrize("name", READERS)
def test_any_bytes(name: str) -> None:
    @settings(max_examples=60)
    @given(
        st.one_of(st.binary(max_size=300), st.text(max_size=200).map(lambda t: t.encode("utf-8", "ignore")))
    )
    def run(raw: bytes) -> None:
        check(name, raw)

    run()


@pytest.mark.parametrize("name", READERS)
def test_a_spoiled_file(name: str) -> None:
    @settings(max_examples=25)
    @given(spoiled(READERS[name][1]))
    def run(raw: bytes) -> None:
        check(name, raw)

    run()


@pytest.mark.nightly
@pytest.mark.parametrize("name", READERS)
def test_a_spoiled_file_long(name: str) -> None:
    @settings(max_examples=2000)
    @given(spoiled(READERS[name][1]))
    def run(raw: bytes) -> None:
        check(name, raw)

    run()


def test_every_shipped_file_is_read_without_a_fault() -> None:
    """Otherwise what is spoiled above was spoiled before."""
    for name in ("boat", "kit", "site", "today", "settings", "list", "mapping", "log"):
        assert list(READERS[name][0](READERS[name][1])) == [] or name == "log", name
    assert _csv(CSV) == []
    assert _sheet(SHEET) == []
    assert Path(SAMPLES).is_dir()
