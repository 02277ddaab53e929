"""The files of a home, read: boats, sites, kit and settings as frozen documents with their faults."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType

from divelog.files import DISK, Disk, StorageError, StorageKind, list_folder, read_capped
from divelog.home import Home
from divelog.profiles.document import Document, Fault
from divelog.profiles.facts import empty_document
from divelog.profiles.reading import read_document
from divelog.profiles.schema import SCHEMAS
from divelog.profiles.toml import MOST_BYTES
from divelog.text import is_slug

MOST_FILES = 500


@dataclass(frozen=True, slots=True)
class Shelf:
    """Everything a home says, as read at one moment. Keys are slugs (file names without ``.toml``)."""

    boats: Mapping[str, Document] = field(default_factory=lambda: MappingProxyType({}))
    sites: Mapping[str, Document] = field(default_factory=lambda: MappingProxyType({}))
    kit: Document = field(default_factory=lambda: empty_document("kit"))
    settings: Document = field(default_factory=lambda: empty_document("settings"))
    faults: tuple[Fault, ...] = ()
    """Faults of the home itself: names that are no slugs, two boats of one name, files that cannot be read."""

    def all_faults(self) -> tuple[Fault, ...]:
        """Every fault of every file."""
        documents = (*self.boats.values(), *self.sites.values(), self.kit, self.settings)
        return (*self.faults, *(fault for document in documents for fault in document.faults))


def read_file(path: Path, root: str, name: str | None = None, disk: Disk = DISK) -> Document:
    """One file as a document; what cannot be read is a fault, never an exception."""
    shown = name or path.name
    try:
        raw = read_capped(path, MOST_BYTES, disk)
    except StorageError as error:
        return Document(
            root, shown, faults=(Fault(shown, 0, "", str(error), f"a {SCHEMAS[root].title} file"),)
        )
    return read_document(raw, shown, SCHEMAS[root])


def _folder(folder: Path, root: str, disk: Disk) -> tuple[dict[str, Document], list[Fault]]:
    documents: dict[str, Document] = {}
    faults: list[Fault] = []
    try:
        names = [n for n in list_folder(folder, disk) if n.endswith(".toml") and not n.startswith(".")]
    except StorageError as error:
        return {}, [Fault(folder.name, 0, "", str(error), f"a folder of {SCHEMAS[root].title}s")]
    if len(names) > MOST_FILES:
        faults.append(Fault(folder.name, 0, "", f"{len(names)} files", f"at most {MOST_FILES}"))
    for name in names[:MOST_FILES]:
        slug = name.removesuffix(".toml")
        if not is_slug(slug):
            wanted = "a file name of small letters, digits and -, as grey-heron.toml"
            faults.append(Fault(f"{folder.name}/{name}", 0, "", f'the file name "{name[:60]}"', wanted))
            continue
        documents[slug] = read_file(folder / name, root, f"{folder.name}/{name}", disk)
    return documents, faults


def _same_names(boats: Mapping[str, Document]) -> list[Fault]:
    seen: dict[str, str] = {}
    faults = []
    for slug, document in boats.items():
        name = document.text_at("name").casefold()
        if name and name in seen:
            found = f'the name "{document.text_at("name")[:40]}", which boats/{seen[name]}.toml has too'
            line = document.lines.get("name", 0)
            faults.append(Fault(document.file, line, "boat.name", found, "a name of her own"))
        seen.setdefault(name, slug)
    return faults


def _one(path: Path, root: str, disk: Disk) -> Document:
    try:
        raw = read_capped(path, MOST_BYTES, disk)
    except StorageError as error:
        if error.kind is StorageKind.MISSING:
            return empty_document(root)
        fault = Fault(path.name, 0, "", str(error), f"a {SCHEMAS[root].title} file")
        return Document(root, path.name, faults=(fault,))
    return read_document(raw, path.name, SCHEMAS[root])


def read_shelf(home: Home, disk: Disk = DISK) -> Shelf:
    """Read every profile of a home. Nothing raises; faults are collected."""
    boats, boat_faults = _folder(home.boats, "boat", disk)
    sites, site_faults = _folder(home.sites, "site", disk)
    return Shelf(
        MappingProxyType(boats),
        MappingProxyType(sites),
        _one(home.kit, "kit", disk),
        _one(home.settings, "settings", disk),
        (*boat_faults, *site_faults, *_same_names(boats)),
    )
