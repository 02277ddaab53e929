"""A boat, site or day named on the command line -> documents: a name of the home, or a file."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from divelog.files import DISK, Disk
from divelog.home import Home
from divelog.profiles.document import Document, Fault
from divelog.profiles.facts import empty_document, slug_or_empty
from divelog.session.shelf import Shelf, read_file, read_shelf


class NoSuchError(Exception):
    """A name that is neither in the home nor a file; the message is a plain sentence."""


@dataclass(frozen=True, slots=True)
class Named:
    """A boat that was asked for, with the shelf she belongs to."""

    slug: str
    boat: Document
    shelf: Shelf
    home: Home


def looks_like_file(text: str) -> bool:
    """True where a name means a file: it ends in .toml, has a separator, or exists."""
    return text.endswith(".toml") or "/" in text or "\\" in text


def find_boat(text: str, home: Home, home_given: bool, disk: Disk = DISK) -> Named:
    """The boat of that name, slug or file. A file beside ``sites/`` and ``kit.toml`` brings them with it."""
    if looks_like_file(text):
        path = Path(text)
        around = path.resolve().parent.parent
        own = not home_given and path.parent.name == "boats" and (around / "kit.toml").is_file()
        place = Home(around) if own else home
        document = read_file(path, "boat", text, disk)
        slug = (
            slug_or_empty(path.name.removesuffix(".toml"))
            or slug_or_empty(document.text_at("name"))
            or "boat"
        )
        return Named(slug, document, read_shelf(place, disk), place)
    shelf = read_shelf(home, disk)
    if text in shelf.boats:
        return Named(text, shelf.boats[text], shelf, home)
    folded = slug_or_empty(text)
    for slug, document in shelf.boats.items():
        if slug == folded or document.text_at("name").casefold() == text.casefold():
            return Named(slug, document, shelf, home)
    known = ", ".join(shelf.boats) or "none yet"
    raise NoSuchError(f"no boat called {text[:40]!r} in {home.boats}; boats there: {known}")


def find_site(slug: str, shelf: Shelf) -> Document:
    """The site of that slug or name; an empty document where the day names none."""
    if not slug:
        return empty_document("site")
    if slug in shelf.sites:
        return shelf.sites[slug]
    folded = slug_or_empty(slug)
    for name, document in shelf.sites.items():
        if name == folded or document.text_at("name").casefold() == slug.casefold():
            return document
    known = ", ".join(shelf.sites) or "none yet"
    fault = Fault("the day", 0, "today.site", f'the site "{slug[:40]}"', f"a site of the home: {known}")
    return Document("site", "", faults=(fault,))
