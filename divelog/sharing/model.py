"""What a bundle says of itself, and what is found in one. Frozen; nothing here reads or writes."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated

import msgspec
from msgspec import Meta

from divelog.checks.model import CheckList
from divelog.journal.events import Event
from divelog.profiles.document import Document, Fault

FORMAT = "divelog bundle"
VERSION = 1

MANIFEST = "manifest.json"
BOAT = "boat.toml"
BASELINES = "baselines.jsonl"
LOG = "log.jsonl"
ABOUT = "about.txt"
LISTS = "lists/"

_Short = Annotated[str, Meta(max_length=200)]
_Words = Annotated[str, Meta(max_length=2000)]
_Count = Annotated[int, Meta(ge=0, le=10_000_000)]


class Member(msgspec.Struct, frozen=True):
    """One member: its name, its size in bytes, and the digest of its bytes."""

    name: _Short
    bytes: _Count
    sha256: Annotated[str, Meta(pattern="^[0-9a-f]{64}$")]


class Left(msgspec.Struct, frozen=True):
    """Something left out: its name, and how many there were."""

    name: _Short
    count: _Count


class Claim(msgspec.Struct, frozen=True):
    """A proof that stood with the last owner, and since when (RFC 3339)."""

    proof: _Short
    since: _Short = ""


class Open(msgspec.Struct, frozen=True):
    """A defect that is still open."""

    words: _Words
    since: _Short = ""
    stops_launch: bool = False


class Incidents(msgspec.Struct, frozen=True):
    """Depth incidents in her log: all there are, and how many of them are in this file."""

    all: _Count = 0
    here: _Count = 0

    @property
    def withheld(self) -> int:
        """How many are not in this file."""
        return max(0, self.all - self.here)


class Named(msgspec.Struct, frozen=True):
    """Her file name and her name."""

    slug: _Short
    name: _Short


class Manifest(msgspec.Struct, frozen=True):
    """The manifest of a bundle. Members that are not known here are let pass."""

    format: _Short
    version: Annotated[int, Meta(ge=1)]
    boat: Named
    files: Annotated[tuple[Member, ...], Meta(max_length=100)]
    program: _Short = ""
    made: _Short = ""
    condition: _Words = ""
    runs: _Count = 0
    claimed: Annotated[tuple[Claim, ...], Meta(max_length=200)] = ()
    dry_depth: float | None = None
    defects: Annotated[tuple[Open, ...], Meta(max_length=500)] = ()
    incidents: Incidents = Incidents()
    left_out: Annotated[tuple[Left, ...], Meta(max_length=200)] = ()


@dataclass(frozen=True, slots=True)
class Looser:
    """Something of hers that is looser than usual: the path, what it says, and what is usual."""

    path: str
    says: str
    usual: str

    def sentence(self) -> str:
        """One line for a person."""
        return f"{self.path} is {self.says}; usual is {self.usual}"


@dataclass(frozen=True, slots=True)
class Looked:
    """A bundle, read and checked. With faults nothing of it may be taken."""

    faults: tuple[Fault, ...] = ()
    manifest: Manifest | None = None
    boat: Document | None = None
    lists: tuple[CheckList, ...] = ()
    list_texts: tuple[tuple[str, str], ...] = ()
    """File name (without ``.toml``) and text of each list."""
    events: tuple[Event, ...] = ()
    """Baselines and log together, in order of time."""
    has_log: bool = False
    looser: tuple[Looser, ...] = ()
    taken_out: tuple[tuple[str, str, str], ...] = ()
    """Lines of lists that her file says are not fitted: list, line, why."""
    digest: str = ""

    @property
    def whole(self) -> bool:
        """True where nothing is wrong with it."""
        return not self.faults and self.manifest is not None and self.boat is not None


@dataclass(frozen=True, slots=True)
class Wishes:
    """What its owner wants in a bundle."""

    log: bool = False
    incidents: bool = True
    lists: bool = True
    condition: str = ""
    let_out: frozenset[str] = field(default_factory=frozenset)
    """Names of private things that may go out, as the manifest counts them."""
