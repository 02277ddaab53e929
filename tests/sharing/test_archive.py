"""Archives made to hurt: each is a fault in words, nothing is unpacked, nothing raises."""

from __future__ import annotations

import io
import stat
import struct
import warnings
import zipfile
import zlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from divelog.sharing import archive
from divelog.sharing.archive import MOST_MEMBERS, packed, unpacked

GOOD = {"manifest.json": b"{}\n", "boat.toml": b"format = 1\n"}


def zipped(*members: tuple[str | zipfile.ZipInfo, bytes], method: int = zipfile.ZIP_DEFLATED) -> bytes:
    out = io.BytesIO()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        with zipfile.ZipFile(out, "w", method) as made:
            for name, data in members:
                made.writestr(name, data)
    return out.getvalue()


def link(name: str) -> zipfile.ZipInfo:
    info = zipfile.ZipInfo(name)
    info.external_attr = (stat.S_IFLNK | 0o777) << 16
    return info


def device(name: str) -> zipfile.ZipInfo:
    info = zipfile.ZipInfo(name)
    info.external_attr = (stat.S_IFCHR | 0o666) << 16
    return info


NAMES = {
    "../boat.toml": "..", "lists/../../x.toml": "..", "..\\boat.toml": "..", "/etc/passwd": "absolute",
    "\\boat.toml": "absolute", "C:boat.toml": "drive letter", "c:\\x": "drive letter", "lists\\x.toml": "backslash",
    "boat.toml\n": "control character", "CON": "keep", "nul.toml": "keep", "lists/aux.toml": "keep", "com1.txt": "keep",
    "lists/UPPER.toml": "no place", "extra.toml": "no place", "boat.toml/": "no place", "run.sh": "no place",
    "inner.zip": "archive inside", "log.jsonl.gz": "archive inside", "lists/a/b.toml": "no place",
}  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_names_that_may_not_be(name):
    members, faults = unpacked(zipped(("boat.toml", b"x"), (name, b"y")), "f.zip")
    assert members == {}
    assert any(NAMES[name] in fault.found for fault in faults), [f.found for f in faults]


@pytest.mark.parametrize(
    ("one", "other"), [("boat.toml", "boat.toml"), ("boat.toml", "BOAT.toml"), ("log.jsonl", "Log.jsonl")]
)
def test_a_name_twice(one, other):
    assert any("twice" in f.found for f in unpacked(zipped((one, b"x"), (other, b"y")), "f.zip")[1])


def test_links_and_devices():
    assert any("link" in f.found for f in unpacked(zipped((link("boat.toml"), b"/etc/passwd")), "f.zip")[1])
    assert any("no plain file" in f.found for f in unpacked(zipped((device("boat.toml"), b"")), "f.zip")[1])


def test_a_bomb_by_ratio():
    raw = zipped(("log.jsonl", b"\n" * (2 << 20)))
    assert len(raw) < 10_000
    assert any("packed into" in f.found for f in unpacked(raw, "f.zip")[1])


def test_a_bomb_by_total(monkeypatch):
    monkeypatch.setattr(archive, "MOST_TOTAL", 1000)
    raw = zipped(("boat.toml", bytes(range(32, 127)) * 8), ("about.txt", bytes(range(32, 127)) * 8))
    assert any("unpacked" in f.found for f in unpacked(raw, "f.zip")[1])


def test_a_member_over_its_size():
    raw = zipped(("boat.toml", b"# " + b"x" * (257 << 10)), method=zipfile.ZIP_STORED)
    assert any("at most 256 KiB" in f.wanted for f in unpacked(raw, "f.zip")[1])


@pytest.mark.parametrize("count", [MOST_MEMBERS + 1, MOST_MEMBERS + 500])
def test_a_bomb_by_count(count):
    raw = zipped(*((f"lists/a{n}.toml", b"x") for n in range(count)))
    assert any("members" in f.found for f in unpacked(raw, "f.zip")[1])


def test_a_file_over_the_cap_is_not_looked_into(monkeypatch):
    monkeypatch.setattr(archive, "MOST_FILE", 100)
    assert "at most" in unpacked(zipped(*GOOD.items()), "f.zip")[1][0].wanted


def test_members_over_each_other():
    """One stored member named twice in the table, its neighbour's bytes inside its own: the way of the densest bombs."""
    raw = bytearray(zipped(("boat.toml", b"a" * 100), ("about.txt", b"b" * 10), method=zipfile.ZIP_STORED))
    entry = raw.rindex(b"PK\x01\x02")
    raw[entry + 42 : entry + 46] = struct.pack("<I", 5)  # the second member begins inside the first
    members, faults = unpacked(bytes(raw), "f.zip")
    assert members == {}
    assert faults


def test_a_size_that_lies():
    raw = bytearray(zipped(("boat.toml", b"a" * 1000)))
    entry = raw.rindex(b"PK\x01\x02")
    raw[entry + 24 : entry + 28] = struct.pack("<I", 10)
    members, faults = unpacked(bytes(raw), "f.zip")
    assert members == {}
    assert faults


def test_a_wrong_checksum():
    raw = bytearray(zipped(("boat.toml", b"a" * 50), method=zipfile.ZIP_STORED))
    raw[raw.index(b"aaaa")] = ord("b")
    assert "damaged" in unpacked(bytes(raw), "f.zip")[1][0].found


def test_a_password_and_a_strange_packing():
    raw = bytearray(zipped(("boat.toml", b"abc")))
    entry = raw.rindex(b"PK\x01\x02")
    raw[entry + 8] |= 1
    assert any("password" in f.found for f in unpacked(bytes(raw), "f.zip")[1])
    assert any(
        "packing" in f.found
        for f in unpacked(zipped(("boat.toml", b"abc"), method=zipfile.ZIP_LZMA), "f.zip")[1]
    )


@pytest.mark.parametrize(
    "content",
    [zipped(("boat.toml", b"x")), zlib.compress(b"x"), b"\x1f\x8b\x08\0", b"\xff\xfe", b"a\0b", b"\x80"],
)
def test_members_that_are_no_text(content):
    members, faults = unpacked(zipped(("boat.toml", content)), "f.zip")
    assert members == {}
    assert len(faults) == 1


@pytest.mark.parametrize(
    "raw", [b"", b"PK", b"PK\x03\x04", b"format = 1\n", b"\0" * 4000, b"PK\x03\x04" + b"\0" * 4000]
)
def test_no_archive_at_all(raw):
    assert unpacked(raw, "f.zip")[1]


def test_every_fault_is_told_at_once():
    faults = unpacked(zipped(("../a", b""), ("/b", b""), ("c.exe", b"")), "f.zip")[1]
    assert [f.path for f in faults] == ["../a", "/b", "c.exe"]


RAW = packed({**GOOD, "log.jsonl": b'{"id":"a"}\n' * 50, "lists/bench.toml": b"format = 1\n"})


@given(st.data())
def test_a_flipped_byte_never_raises_and_never_lies(data):
    place = data.draw(st.integers(0, len(RAW) - 1))
    changed = bytearray(RAW)
    changed[place] ^= data.draw(st.integers(1, 255))
    members, faults = unpacked(bytes(changed), "f.zip")
    assert bool(members) != bool(faults)
    for name, content in members.items():  # what the checksums let pass is what was packed
        assert (
            content
            in {**GOOD, "log.jsonl": b'{"id":"a"}\n' * 50, "lists/bench.toml": b"format = 1\n"}.values()
        ), name


@given(st.integers(0, len(RAW)), st.binary(max_size=60))
def test_a_cut_or_lengthened_archive_never_raises(place, more):
    unpacked(RAW[:place] + more, "f.zip")


@given(st.binary(max_size=400))
def test_bytes_with_the_right_beginning_never_raise(raw):
    unpacked(b"PK\x03\x04" + raw, "f.zip")
