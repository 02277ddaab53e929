"""The outer skin of a bundle: bytes of a zip archive -> its members' texts, or every fault; and texts -> bytes.

Everything is checked before anything is given out, and nothing is ever unpacked to a path of the archive's choosing:
the names that may stand in it are known beforehand. Format of the archive: PKWARE, .ZIP File Format Specification
(APPNOTE), from memory.
"""

from __future__ import annotations

import io
import re
import stat
import struct
import unicodedata
import zipfile
import zlib
from collections.abc import Callable, Mapping
from itertools import pairwise
from typing import TypeAlias

from divelog.profiles.document import Fault
from divelog.profiles.toml import MOST_BYTES
from divelog.sharing.model import ABOUT, BASELINES, BOAT, LISTS, LOG, MANIFEST
from divelog.text import is_slug

MOST_FILE = 32 << 20
"""Bytes of a bundle."""
MOST_MEMBERS = 80
MOST_TOTAL = 96 << 20
"""Bytes of all members together, unpacked."""
MOST_RATIO = 100
"""Times a member of some size may be larger than it is packed."""
SMALL = 256 << 10
"""Members up to this size may be packed as tightly as they like: a few blank lines shrink a thousandfold."""
MOST: Mapping[str, int] = {
    MANIFEST: 256 << 10, BOAT: MOST_BYTES, BASELINES: 16 << 20, LOG: 64 << 20, ABOUT: 64 << 10,
}  # fmt: skip
"""Member -> bytes it may have."""

_Collect: TypeAlias = Callable[[str, str, str], None]
"""Takes path, found and wanted of a fault."""
_ENTRY = b"PK\x01\x02"
_PACKED = (
    b"PK\x03\x04",
    b"PK\x05\x06",
    b"\x1f\x8b",
    b"BZh",
    b"\xfd7zXZ",
    b"7z\xbc\xaf",
    b"Rar!",
    b"\x28\xb5\x2f\xfd",
)
_UNREADABLE = (
    zipfile.BadZipFile, zlib.error, EOFError, struct.error, NotImplementedError, RuntimeError, OSError, ValueError,
    OverflowError, MemoryError, IndexError, KeyError, TypeError,
)  # fmt: skip
"""What the standard reader raises for archives made to hurt it; OSError can only come from bad offsets here."""


def most_of(name: str) -> int | None:
    """Bytes a member of that name may have; None where no such member may be."""
    if name in MOST:
        return MOST[name]
    if name.startswith(LISTS) and name.endswith(".toml") and is_slug(name[len(LISTS) : -len(".toml")]):
        return MOST_BYTES
    return None


def unpacked(raw: bytes, file: str) -> tuple[dict[str, bytes], tuple[Fault, ...]]:
    """Members by name, or faults (then there are no members). Never raises for what the bytes hold."""
    faults: list[Fault] = []

    def fault(path: str, found: str, wanted: str) -> None:
        faults.append(Fault(file, 0, path[:120], found, wanted))

    if len(raw) > MOST_FILE:
        fault("", f"{len(raw)} bytes", f"at most {MOST_FILE >> 20} MiB")
        return {}, tuple(faults)
    if not raw.startswith(b"PK\x03\x04"):
        fault("", "no zip archive", "a file made by `divelog share`")
        return {}, tuple(faults)
    if raw.count(_ENTRY) > MOST_MEMBERS + 20:  # before the table of members is read at all
        fault("", f"over {MOST_MEMBERS} members", f"at most {MOST_MEMBERS}")
        return {}, tuple(faults)
    try:
        with zipfile.ZipFile(io.BytesIO(raw)) as archive:
            infos = archive.infolist()
            _examine(infos, fault)
            members = {} if faults else _read(archive, infos, fault)
    except _UNREADABLE as error:
        fault("", f"a damaged archive ({type(error).__name__})", "a whole file, as `divelog share` made it")
        return {}, tuple(faults)
    return ({} if faults else members), tuple(faults)


def _examine(infos: list[zipfile.ZipInfo], fault: _Collect) -> None:
    """Names, kinds, sizes and places of all members, before a byte of them is read."""
    if len(infos) > MOST_MEMBERS:
        fault("", f"{len(infos)} members", f"at most {MOST_MEMBERS}")
        return
    seen: set[str] = set()
    total = 0
    for info in infos:
        name = info.filename
        if name == LISTS and info.file_size == 0:
            continue
        reason = name_reason(name)
        if reason is not None:
            fault(name, *reason)
        folded = unicodedata.normalize("NFC", name).casefold()
        if folded in seen:
            fault(name, "the same name twice", "names that differ")
        seen.add(folded)
        kind = stat.S_IFMT(info.external_attr >> 16)
        if kind not in (0, stat.S_IFREG):
            found = "a link" if kind == stat.S_IFLNK else "no plain file"
            fault(name, found, "plain files only")
        if info.flag_bits & 0x1:
            fault(name, "a member under a password", "plain members")
        if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            fault(name, "a packing nobody here reads", "members stored or deflated")
        most = most_of(name)
        if most is not None and info.file_size > most:
            fault(name, f"{info.file_size} bytes", f"at most {most >> 10} KiB")
        if info.file_size > SMALL and info.file_size > MOST_RATIO * max(1, info.compress_size):
            fault(
                name, f"{info.file_size} bytes packed into {info.compress_size}", f"at most {MOST_RATIO} to 1"
            )
        total += info.file_size
    if total > MOST_TOTAL:
        fault("", f"{total} bytes unpacked", f"at most {MOST_TOTAL >> 20} MiB")
    placed = sorted(infos, key=lambda info: info.header_offset)
    for one, following in pairwise(placed):
        if one.header_offset + 30 + one.compress_size > following.header_offset:
            fault(following.filename, "members that lie over each other", "members one after another")


def name_reason(name: str) -> tuple[str, str] | None:
    """Why no member may have that name: found and wanted; None where it may."""
    if name.startswith(("/", "\\")):
        return "an absolute path", "names inside the bundle"
    if re.match(r"[A-Za-z]:", name):
        return "a path with a drive letter", "names inside the bundle"
    if ".." in re.split(r"[/\\]", name):
        return 'a path with ".."', "names inside the bundle"
    if "\\" in name or "\0" in name or not name.isprintable():
        return "a name with a backslash or a control character", "names inside the bundle"
    if most_of(name) is not None:
        return None
    last = name.rsplit("/", 1)[-1]
    if last and last.split(".")[0].lower() and not is_slug(last.split(".")[0].lower()):
        return "a name that no system should have to keep", "the names of a bundle"
    if re.search(r"\.(?:zip|gz|bz2|xz|7z|rar|zst|tar|tgz)$", name, re.IGNORECASE):
        return "an archive inside the archive", "plain text"
    return (
        "a member that has no place in a bundle",
        f"{BOAT}, {MANIFEST}, {BASELINES}, {LOG}, {LISTS}NAME.toml",
    )


def _read(archive: zipfile.ZipFile, infos: list[zipfile.ZipInfo], fault: _Collect) -> dict[str, bytes]:
    """Every member, each read only as far as it may be long; its checksum is compared at its end."""
    members: dict[str, bytes] = {}
    for info in infos:
        if info.filename == LISTS:
            continue
        most = most_of(info.filename) or 0
        with archive.open(info) as member:
            data = member.read(most + 1)
            if len(data) > most or member.read(1):
                fault(info.filename, f"over {most >> 10} KiB", f"at most {most >> 10} KiB")
                continue
        if len(data) != info.file_size:
            fault(info.filename, f"{len(data)} bytes, said to be {info.file_size}", "its own size")
        elif data.startswith(_PACKED):
            fault(info.filename, "an archive inside the archive", "plain text")
        elif b"\0" in data:
            fault(info.filename, "a NUL byte", "plain text")
        else:
            try:
                data.decode()
            except UnicodeDecodeError:
                fault(info.filename, "bytes that are no text", "plain text in UTF-8")
            else:
                members[info.filename] = data
    return members


def packed(members: Mapping[str, bytes]) -> bytes:
    """A zip archive of the members in order of name, the manifest first; the same members give the same bytes."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for name in sorted(members, key=lambda n: (n != MANIFEST, n)):
            info = zipfile.ZipInfo(
                name, (1980, 1, 1, 0, 0, 0)
            )  # the earliest the format knows: no clock in it
            info.compress_type = zipfile.ZIP_DEFLATED
            info.external_attr = (stat.S_IFREG | 0o644) << 16
            archive.writestr(info, members[name])
    return out.getvalue()
