"""``divelog share`` and ``receive``: a boat passed on as one file, and one taken in."""

from __future__ import annotations

import sys
from argparse import Namespace
from pathlib import Path
from typing import Any

import msgspec

from divelog.commands.named import boat_named, open_journal, tell_reports
from divelog.commands.out import data, fault_data, say, tell, tell_faults
from divelog.exits import CallError, Exit
from divelog.files import StorageError, StorageKind
from divelog.session.handing import (
    HandingError,
    Taken,
    Taking,
    bundle,
    handed_over,
    plan,
    read_bundle,
    take,
    write_bundle,
)
from divelog.session.session import Session
from divelog.session.shelf import read_shelf
from divelog.sharing.making import Made
from divelog.sharing.model import Wishes
from divelog.sharing.private import NAMES
from divelog.sharing.words import looked, standing
from divelog.text import shown

_ASIDE = 12


def run_share(words: Namespace) -> int:
    """Write one boat as one file; what is private stays here and is counted."""
    unknown = [name for name in words.let_out if name not in NAMES]
    if unknown:
        raise CallError(f"nothing private is called {unknown[0][:40]!r}; names are: {', '.join(NAMES)}")
    named = boat_named(words, words.boat)
    session = Session.reading(named.home, words.clock, named.shelf)
    wishes = Wishes(
        words.log,
        not words.without_incidents,
        not words.without_lists,
        words.condition or "",
        frozenset(words.let_out),
    )
    path = Path(words.output)
    try:
        made = bundle(session, named.slug, named.boat, wishes)
        if words.to is None:
            write_bundle(session, made, path, words.over)
        else:
            with open_journal(named.home, named.shelf, words) as journal:
                writing = Session(named.home, words.clock, named.shelf, journal)
                write_bundle(writing, made, path, words.over)
                handed_over(writing, named.slug, made, words.to)
                for notice in writing.notices:
                    tell(shown(notice))
    except HandingError as error:
        tell(f"divelog: {shown(str(error))}")
        return Exit.FAULT if named.boat.faults else Exit.CALL
    tell_reports(session.log(named.slug))
    _say_made(words, made, path)
    return Exit.DAMAGED if session.log(named.slug).damaged else Exit.DONE


def _say_made(words: Namespace, made: Made, path: Path) -> None:
    if words.json:
        data(
            {"schema": "divelog.shared/1", "file": str(path), "manifest": msgspec.to_builtins(made.manifest)}
        )
    else:
        say(f"{shown(made.manifest.boat.name, 80)} is in {shown(str(path), 300)}")
        for word, text in standing(made.manifest):
            say(f"  {word:<{_ASIDE}}{text}")
    for one in made.odd:
        tell(shown(one))


def run_receive(words: Namespace) -> int:
    """Show what is in a bundle; unless only a look was asked for, take her in."""
    shelf = read_shelf(words.where)
    session = Session.reading(words.where, words.clock, shelf)
    try:
        found = read_bundle(session, Path(words.file))
    except StorageError as error:
        if error.kind is StorageKind.MISSING:
            raise CallError(str(error)) from error
        tell(f"divelog: {shown(str(error))}")
        return Exit.FAULT
    try:
        taking = plan(session, found, words.under or "", words.over)
    except HandingError as error:
        raise CallError(str(error)) from error
    if taking.faults:
        tell_faults(taking.faults)
        if words.json:
            data({"schema": "divelog.faults/1", "faults": [fault_data(f) for f in taking.faults]})
        return Exit.FAULT
    if words.look or not words.json:
        _say_taking(words, taking)
    if words.look:
        return Exit.DONE
    _ask(words, taking)
    with open_journal(words.where, shelf, words) as journal:
        writing = Session(words.where, words.clock, shelf, journal)
        try:
            taken = take(writing, taking, over=words.over, lists=words.lists, giver=words.giver or "")
        except HandingError as error:
            raise CallError(str(error)) from error
        for notice in writing.notices:
            tell(shown(notice))
    _say_taken(words, taking, taken)
    return Exit.DONE


def _say_taking(words: Namespace, taking: Taking) -> None:
    found = taking.found
    assert found.manifest is not None
    if words.json:
        data(
            {
                "schema": "divelog.bundle/1", "slug": taking.slug, "name": taking.name, "digest": found.digest,
                "manifest": msgspec.to_builtins(found.manifest), "same_name": taking.same_name or None,
                "looser": [{"path": o.path, "says": o.says, "usual": o.usual} for o in found.looser],
                "taken_out": [{"list": a, "line": b, "why": c} for a, b, c in found.taken_out],
                "lists": [name for name, _ in found.list_texts], "lacking": list(taking.lacking),
                "events": len(found.events), "events_here": taking.here,
            }
        )  # fmt: skip
        return
    for word, text in looked(found, taking.lacking):
        say(f"{word:<{_ASIDE}}{text}")
    if taking.here:
        say(f"{'log':<{_ASIDE}}{taking.here} of these lines are in this logbook already and stay as they are")
    if taking.same_name:
        say(f"{'here':<{_ASIDE}}a boat called {taking.same_name} is here already")
    elif taking.own_log:
        say(f"{'here':<{_ASIDE}}the logbook has a log of {taking.slug} already, of a boat whose file is gone")


def _ask(words: Namespace, taking: Taking) -> None:
    """Nothing looser than usual comes in unasked, and no name is taken twice; without a terminal nobody is asked."""
    if taking.collides and not words.over:
        raise CallError(
            f"{taking.same_name or taking.slug} is here already: --as NAME takes her in under another name,"
            " --over puts her in the place of that one"
        )
    if words.yes:
        return
    asking = sys.stdin.isatty() and sys.stderr.isatty() and not words.json
    if asking:
        print("Take her in? y, or anything else for no: ", end="", file=sys.stderr, flush=True)
        if sys.stdin.readline(100).strip().casefold() not in ("y", "yes"):
            raise CallError("nothing was taken")
    elif taking.found.looser or taking.found.taken_out:
        raise CallError(
            "she comes with looser limits or with lines taken out, as shown by --look; --yes takes them too"
        )


def _say_taken(words: Namespace, taking: Taking, taken: Taken) -> None:
    if words.json:
        found: dict[str, Any] = {
            "schema": "divelog.received/1", "boat": taken.slug, "name": taking.name, "event": taken.received.id,
            "lines": taken.lines, "lists": list(taken.lists), "lists_kept": list(taken.lists_kept),
            "claimed": list(taken.received.payload().get("claimed", ())),
        }  # fmt: skip
        data(found)
        return
    say(f"{shown(taking.name, 80)} is here as {taken.slug}; {taken.lines} lines went into her log")
    say("Every proof of hers is claimed until it is proved here.")
    for name in taken.lists_kept:
        tell(f"the list {name} was left: there is one of that name here")
    if taking.found.list_texts and not words.lists:
        tell("lists of her last owner were left; --lists takes those whose name is free")
