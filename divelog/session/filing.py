"""Profiles written down, and filed in the log: what a file said when a limit was worked out can be read years later."""

from __future__ import annotations

import hashlib

from divelog.files import write_atomic
from divelog.journal.events import Event
from divelog.journal.payload import text as text_at
from divelog.profiles.document import Document
from divelog.profiles.reading import read_document
from divelog.profiles.schema import SCHEMAS
from divelog.profiles.writing import amended, changed_paths
from divelog.session.session import ReadOnlyError, Session
from divelog.session.shelf import read_shelf
from divelog.text import check_slug


def _need_writable(session: Session) -> None:
    if session.journal is None:
        raise ReadOnlyError("the home cannot be written; nothing is kept")


def digest_of(raw: bytes) -> str:
    """The digest of a profile as events hold it."""
    return "sha256:" + hashlib.sha256(raw).hexdigest()


def last_filed(session: Session, slug: str) -> Event | None:
    """The newest ``boat.filed`` of a boat."""
    for event in reversed(session.log(slug).events):
        if event.what == "boat.filed" and event.known and event.boat == slug:
            return event
    return None


def _filed_document(event: Event | None) -> Document | None:
    held = text_at(event.payload().get("text")) if event is not None else None
    if not held:
        return None
    return read_document(held.encode(), "the log", SCHEMAS["boat"])


def _file(session: Session, slug: str, document: Document, before: Document | None) -> Event:
    changed = changed_paths(before, document) if before is not None and before.facts else ()
    data = {"digest": document.digest, "changed": list(changed), "text": document.text}
    return session.append("boat.filed", data, boat=slug)


def file_boat(session: Session, slug: str, text: str) -> Event | None:
    """Write a boat's profile in one step and file it; None where the log holds this very text already.

    Raises BadNameError, StorageError and ReadOnlyError: then nothing was filed. A file that is written but not filed
    (the disk was full in between) is filed by ``note_filed`` at the next start.
    """
    check_slug(slug)
    _need_writable(session)
    raw = text.encode()
    before = _filed_document(last_filed(session, slug)) or session.shelf.boats.get(slug)
    write_atomic(session.home.boat_file(slug), raw, session.disk)
    read_again(session)
    last = last_filed(session, slug)
    if last is not None and last.payload().get("digest") == digest_of(raw):
        return None
    return _file(session, slug, session.shelf.boats[slug], before)


def note_filed(session: Session) -> tuple[Event, ...]:
    """File every boat whose text is not the one last filed: new to the log, or edited by hand since.

    A file with faults is left until it is mended: nothing was worked out on it. The first filing of a boat names no
    changed path: nothing was known before.
    """
    found = []
    for slug, document in session.shelf.boats.items():
        if document.faults or not document.text:
            continue
        last = last_filed(session, slug)
        if last is None or last.payload().get("digest") != document.digest:
            found.append(_file(session, slug, document, _filed_document(last)))
    return tuple(found)


def keep_document(session: Session, slug: str, before: Document, after: Document) -> bool:
    """Write a changed boat, site, the kit or the settings; True where the hand of the file was kept.

    A boat is filed. Raises WritingError, StorageError, ReadOnlyError, BadNameError.
    """
    _need_writable(session)
    text, kept = amended(before, after)
    if after.root == "boat":
        file_boat(session, slug, text)
        return kept
    home = session.home
    path = {"kit": home.kit, "settings": home.settings}.get(after.root) or home.site_file(check_slug(slug))
    write_atomic(path, text.encode(), session.disk)
    read_again(session)
    return kept


def read_again(session: Session) -> None:
    """Read the profiles anew; the log stays as it is known."""
    session.shelf = read_shelf(session.home, session.disk)
