"""Every list of a home: those that come with the program, with the person's own laid over them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from types import MappingProxyType

from divelog.checks import shipped
from divelog.checks.model import CheckList
from divelog.checks.overlay import for_boat, lay_over
from divelog.checks.reading import read_list
from divelog.files import DISK, Disk, StorageError, list_folder, read_capped
from divelog.profiles.document import Document, Fault
from divelog.profiles.toml import MOST_BYTES

_EMPTY: Mapping[str, CheckList] = MappingProxyType({})
MOST_FILES = 100


@dataclass(frozen=True, slots=True)
class Library:
    """Lists by name."""

    lists: Mapping[str, CheckList] = field(default_factory=lambda: _EMPTY)
    faults: tuple[Fault, ...] = ()

    def get(self, name: str, boat: Document | None = None) -> CheckList | None:
        """A list, with a boat's own changes where a boat is given; None where there is none of that name."""
        found = self.lists.get(name)
        return for_boat(found, boat) if found is not None and boat is not None else found


@cache
def shipped_lists() -> Mapping[str, CheckList]:
    """The lists that come with the program, read once."""
    found = {}
    for name in shipped.names():
        found[name] = read_list(
            read_capped(shipped.folder() / f"{name}.toml", MOST_BYTES), f"checklists/{name}.toml"
        )
    return MappingProxyType(found)


def shipped_list(name: str) -> CheckList:
    """One of them, without the rest: what a page needs first.

    Raises:
        KeyError: there is none of that name.
    """
    if name not in shipped.names():
        raise KeyError(name)
    return shipped_lists()[name]


def read_library(own: Path | None = None, disk: Disk = DISK) -> Library:
    """All lists; ``own``: the folder of the person's. Never raises: what cannot be read is a fault."""
    lists = dict(shipped_lists())
    faults: list[Fault] = []
    for path, label in _files(own, disk, faults):
        try:
            raw = read_capped(path, MOST_BYTES, disk)
        except StorageError as error:
            faults.append(Fault(label, 0, "", str(error), "a checklist file"))
            continue
        found = read_list(raw, label)
        if found.faults or not found.list:
            faults.extend(found.faults)  # a list with a fault is not used: the shipped one stands
            continue
        known = lists.get(found.list)
        laid = lay_over(known, found) if known is not None else found
        faults.extend(laid.faults)
        lists[found.list] = laid
    return Library(MappingProxyType(lists), tuple(faults))


def _files(own: Path | None, disk: Disk, faults: list[Fault]) -> list[tuple[Path, str]]:
    if own is None:
        return []
    try:
        names = [n for n in list_folder(own, disk) if n.endswith(".toml") and not n.startswith(".")]
    except StorageError as error:
        faults.append(Fault(own.name, 0, "", str(error), "a folder of checklists"))
        return []
    if len(names) > MOST_FILES:
        faults.append(Fault(own.name, 0, "", f"{len(names)} files", f"at most {MOST_FILES}"))
    return [(own / name, f"{own.name}/{name}") for name in names[:MOST_FILES]]
