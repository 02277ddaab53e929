"""``divelog type-in``: a filled sheet typed back by its numbers, out of a file or by prompts."""

from __future__ import annotations

import re
from argparse import Namespace
from dataclasses import dataclass
from pathlib import Path

from divelog.checks.entry import RefusedError
from divelog.commands.named import open_journal, tell_reports
from divelog.commands.out import data, fault_data, say, tell, tell_faults
from divelog.commands.plain_talk import EndedError, Talk, plain
from divelog.exits import CallError, Exit
from divelog.files import read_text
from divelog.journal.events import Happened
from divelog.papers.sheets.numbering import MOMENTS
from divelog.profiles.document import Document, Fault
from divelog.session.resolve import NoSuchError, find_boat
from divelog.session.session import Session
from divelog.session.shelf import Shelf, read_shelf
from divelog.session.typed_when import WANTED, WhenError, parse_when
from divelog.session.typing_in import Kept, SheetTyping, trial
from divelog.text import shown

MOST_BYTES = 64 * 1024
_ENTRY = re.compile(r"(\d{1,3})(?:[.):]?(?:\s+(.*))?)?", re.ASCII)
_SHEET = re.compile(r"sheet\s+([0-9A-Za-z]{4})", re.IGNORECASE | re.ASCII)


@dataclass(frozen=True, slots=True)
class Typed:
    """A sheet as it stands in a file: boat and time of its head, its code, and its numbers with the line of each."""

    boat: str
    when: str
    code: str
    entries: tuple[tuple[int, int, str], ...]
    """Line of the file, number, answer."""


def run_type_in(words: Namespace) -> int:
    """Type one sheet in; without a file, ask for each number."""
    shelf = read_shelf(words.where)
    if words.sheet is None:
        if words.json:
            raise CallError("--json wants a SHEET: prompts and data would stand in one stream")
        return _by_prompts(words, shelf)
    path = Path(words.sheet)
    try:
        text = read_text(path, MOST_BYTES)
    except UnicodeDecodeError:
        return _faulty(words, [Fault(path.name, 0, "", "bytes that are no text", "plain text in UTF-8")])
    typed, faults = read_sheet(text, path.name, shelf)
    if typed is None or faults:
        return _faulty(words, faults)
    slug, boat = _boat(words, typed.boat)
    reading = Session.reading(words.where, words.clock, shelf)
    try:
        at = parse_when(typed.when, words.clock.now())
    except WhenError as wrong:
        return _faulty(words, [Fault(path.name, 1, "", shown(typed.when, 60), str(wrong))])
    tried = SheetTyping(trial(reading, slug), slug, boat, at)
    found = _try(tried, typed, path.name)
    if found:
        return _faulty(words, found)
    if tried.day_words():
        tell(shown(tried.day_words()))
    with open_journal(words.where, shelf, words) as journal:
        session = Session(words.where, words.clock, shelf, journal)
        sheet = SheetTyping(session, slug, boat, at)
        kept = [sheet.take(number, answer) for _, number, answer in _in_order(typed)]
        sheet.finish()
    _told(words, slug, at, kept, sheet.open_lines())
    tell_reports(session.log(slug))
    return _code(words, kept, sheet.open_lines())


# -- reading the file -------------------------------------------------------------------------------------------------


def read_sheet(text: str, name: str, shelf: Shelf) -> tuple[Typed | None, list[Fault]]:
    """A typed sheet out of its text. The head names the boat, then the time; ``#`` begins a remark."""
    faults: list[Fault] = []
    head: tuple[int, str, str] | None = None
    code = ""
    entries: list[tuple[int, int, str]] = []
    seen: dict[int, int] = {}
    for row, raw in enumerate(text.splitlines(), 1):
        line = raw.strip()
        if not line or line.startswith("#"):
            continue
        if head is None:
            boat, when = _head(line, shelf)
            if not boat:
                wanted = f"a boat and a time, as: {next(iter(shelf.boats), 'tansy')} 09:30 +/- 10 min"
                return None, [Fault(name, row, "", shown(line, 60), wanted)]
            head = (row, boat, when)
            continue
        sheet = _SHEET.fullmatch(line)
        if sheet is not None:
            code = sheet[1].upper()
            continue
        entry = _ENTRY.fullmatch(line)
        if entry is None:
            faults.append(
                Fault(name, row, "", shown(line, 60), "a number of the sheet, then what stands there")
            )
            continue
        number = int(entry[1])
        if number in seen:
            faults.append(
                Fault(name, row, "", f"{number} again", f"each number once; it is on line {seen[number]}")
            )
        seen[number] = row
        entries.append((row, number, entry[2] or ""))
    if head is None:
        return None, [Fault(name, 0, "", "nothing", "a boat and a time, then numbers with what stands there")]
    return Typed(head[1], head[2], code, tuple(entries)), faults


def _head(line: str, shelf: Shelf) -> tuple[str, str]:
    """The boat a head begins with, by name or slug (the longest that fits), and the rest."""
    names = {slug: slug for slug in shelf.boats}
    names |= {doc.text_at("name"): slug for slug, doc in shelf.boats.items() if doc.text_at("name")}
    folded = line.casefold()
    for known in sorted(names, key=len, reverse=True):
        rest = line[len(known) :]
        if folded.startswith(known.casefold()) and (not rest or rest[0] in " ,:"):
            return names[known], rest.strip(" ,:")
    return "", ""


def _in_order(typed: Typed) -> list[tuple[int, int, str]]:
    return sorted(typed.entries, key=lambda one: one[1])


def _try(sheet: SheetTyping, typed: Typed, name: str) -> list[Fault]:
    """Every fault of a sheet, found without writing anything."""
    if typed.code and typed.code != sheet.code:
        wanted = f"sheet {sheet.code}: her list was changed since this one was printed, so numbers may mean other lines"
        return [Fault(name, 0, "", f"sheet {typed.code}", wanted)]
    faults = []
    for row, number, answer in _in_order(typed):
        try:
            sheet.take(number, answer)
        except RefusedError as refused:
            faults.append(Fault(name, row, str(number), shown(answer, 60) or "nothing", str(refused)))
    return faults


def _faulty(words: Namespace, faults: list[Fault]) -> int:
    tell_faults(faults)
    tell("Nothing was kept: mend these lines and type it in again.")
    if words.json:
        data({"schema": "divelog.faults/1", "faults": [fault_data(f) for f in faults]})
    return Exit.FAULT


def _boat(words: Namespace, name: str) -> tuple[str, Document]:
    try:
        named = find_boat(name, words.where, words.home is not None)
    except NoSuchError as error:
        raise CallError(str(error)) from error
    if named.boat.faults:
        raise CallError(f"her file has a fault: {named.boat.faults[0].sentence()}")
    return named.slug, named.boat


# -- by prompts -------------------------------------------------------------------------------------------------------

_HOW = (
    "What stands at each number; Enter where nothing does, + where it is ticked. - and a reason: skipped; / and a reason:"
    " not fitted; ?: unknown. Several answers: with ; between."
)


def _by_prompts(words: Namespace, shelf: Shelf) -> int:
    talk = Talk()
    try:
        slug, boat = _ask_boat(talk, words)
        at = _ask_time(talk, words)
    except EndedError:
        raise CallError("a boat and a time are wanted; nothing was typed") from None
    kept: list[Kept] = []
    with open_journal(words.where, shelf, words) as journal:
        session = Session(words.where, words.clock, shelf, journal)
        sheet = SheetTyping(session, slug, boat, at)
        talk.say(*([sheet.day_words()] if sheet.day_words() else []), _HOW)
        try:
            for number, row in sheet.rows.items():
                if row.line is None or sheet.asks(row):
                    one = _ask_number(talk, session, sheet, number)
                    kept += [one] if one is not None else []
        except EndedError:
            talk.say("\nThe input ended. What was answered is kept.")
        sheet.finish()
    _told(words, slug, at, [], sheet.open_lines())
    return _code(words, kept, sheet.open_lines())


def _ask_boat(talk: Talk, words: Namespace) -> tuple[str, Document]:
    while True:
        try:
            return _boat(words, talk.ask("Which boat? ").strip())
        except CallError as wrong:
            talk.say(str(wrong))


def _ask_time(talk: Talk, words: Namespace) -> Happened:
    while True:
        try:
            return parse_when(talk.ask(f"When was it filled in? {WANTED}: "), words.clock.now())
        except WhenError as wrong:
            talk.say(str(wrong))


def _ask_number(talk: Talk, session: Session, sheet: SheetTyping, number: int) -> Kept | None:
    row = sheet.rows[number]
    title = row.line.do if row.line is not None else dict(MOMENTS)[row.moment]
    while True:
        text = talk.ask(f"{number} {shown(title, 80)}: ").strip()
        if not text:
            return None
        text = "" if text == "+" else text
        try:
            rehearsed = SheetTyping(trial(session, sheet.slug), sheet.slug, sheet.boat, sheet.at)
            rehearsed.walks, rehearsed.run, rehearsed.back = dict(sheet.walks), sheet.run, sheet.back
            rehearsed.take(number, text)
            found = sheet.take(number, text)
        except RefusedError as refused:
            talk.say(str(refused))
            continue
        talk.say(_row(found))
        return found


# -- telling ----------------------------------------------------------------------------------------------------------


def _row(one: Kept) -> str:
    text = f"{one.sign:<13}{one.number:>3} {shown(one.name, 24):<16} {one.words}".rstrip()
    return f"{text}  <<<" if one.loud else text


def _told(words: Namespace, slug: str, at: Happened, kept: list[Kept], left: tuple[str, ...]) -> None:
    if words.json:
        lines = [{"number": k.number, "line": k.name, "stands": k.sign, "words": k.words} for k in kept]
        data(
            {
                "schema": "divelog.typed/1",
                "boat": slug,
                "at": at.at.isoformat(),
                "lines": lines,
                "open": list(left),
            }
        )
        return
    for one in kept:
        say(plain(_row(one)))
    if left:
        say(plain(f"Still open: {', '.join(shown(one) for one in left)}"))


def _code(words: Namespace, kept: list[Kept], left: tuple[str, ...]) -> int:
    right = all(one.sign[0] in "+=" for one in kept)
    return Exit.NOT_WITHIN if words.strict and (left or not right) else Exit.DONE
