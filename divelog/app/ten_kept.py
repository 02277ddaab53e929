"""The draft of a new boat, on disk answer by answer, and the boat it becomes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

import tomli_w

from divelog import units
from divelog.app import ten
from divelog.app.asking import NOT_KNOWN, Answer, read_number
from divelog.files import Disk, StorageError, read_capped, remove_quietly, write_atomic
from divelog.home import Home
from divelog.limits import catalogue
from divelog.limits.guides import GUIDES
from divelog.limits.model import Limit
from divelog.limits.report import counts
from divelog.limits.sensitivity import Gain, measure_next
from divelog.limits.sheet import Sheet
from divelog.profiles.document import Basis, Fact, Num
from divelog.profiles.toml import parse_toml
from divelog.profiles.writing import text_of, with_facts
from divelog.session.day import today_document
from divelog.session.day import with_facts as day_with_facts
from divelog.session.filing import file_boat, keep_document
from divelog.session.session import Asked, Session
from divelog.session.shelf import Shelf
from divelog.text import BadNameError, shown, slug

DRAFT = ".draft.toml"
"""Beside the boats' files; no boat has a name that starts with a dot."""

_MOST = 16 * 1024
LIST = "new-boat"


class NameTakenError(ValueError):
    """A name that another boat has, or that makes no file name; the message is a plain sentence."""


def check_name(name: str, shelf: Shelf) -> str:
    """The slug of a new boat's name; raises NameTakenError in words."""
    try:
        made = slug(name)
    except BadNameError as error:
        raise NameTakenError(str(error)) from error
    for other, document in shelf.boats.items():
        held = document.text_at("name") or other
        if held.casefold() == name.strip().casefold():
            raise NameTakenError(f"there is a {shown(held, 30)} already: add a number, or take another name")
        if other == made:
            raise NameTakenError(f"too like {shown(held, 30)}: their files would have one name")
    return made


# -- the draft ------------------------------------------------------------------------------------------------------


def write_draft(home: Home, told: Mapping[str, Answer], disk: Disk) -> None:
    """Put the answers so far on disk in one step. Raises StorageError."""
    answers = {name: {"typed": a.typed, "word": a.word, "kind": a.dimension} for name, a in told.items()}
    write_atomic(home.boats / DRAFT, tomli_w.dumps({"format": 1, "answers": answers}).encode(), disk)


def read_draft(home: Home, shelf: Shelf, disk: Disk) -> dict[str, Answer]:
    """The answers of a draft, as far as they still fit the questions; empty where there is none.

    A draft is read like any file of a stranger: what does not fit is left, and asked again.
    """
    try:
        raw = read_capped(home.boats / DRAFT, _MOST, disk)
    except StorageError:
        return {}
    table, _, faults = parse_toml(raw, DRAFT)
    held = table.get("answers")
    told: dict[str, Answer] = {}
    if faults or not isinstance(held, dict):
        return told
    while True:
        step = next((s for s in ten.steps(told, shelf) if s.ask.name not in told), None)
        if step is None or step.ask.name not in held:
            return told
        answer = _answer(step, held[step.ask.name])
        if answer is None:
            return told
        told[step.ask.name] = answer


def _answer(step: ten.Step, held: Any) -> Answer | None:
    if not isinstance(held, dict) or not all(isinstance(held.get(k), str) for k in ("typed", "word")):
        return None
    typed, word, ask = held["typed"], held["word"], step.ask
    if typed == "unknown" and not word:
        return NOT_KNOWN
    if ask.choices:
        return next((Answer(word=value, typed=words) for words, value in ask.choices if value == word), None)
    if not ask.dimension:
        return Answer(word=word, typed=typed) if word.strip() else None
    try:
        return read_number(ask, typed)
    except units.UnitFaultError:
        return None


def drop_draft(session: Session) -> None:
    """Take the draft away."""
    remove_quietly(session.home.boats / DRAFT, session.disk)


# -- the boat -------------------------------------------------------------------------------------------------------


def make(session: Session, told: dict[str, Answer]) -> str:
    """Write kit, profile and log for the boat of these answers; returns her slug.

    After a failure it may be called again: what was written stays, and ``told`` names it. Raises NameTakenError,
    WritingError, StorageError, ReadOnlyError.
    """
    name = told["name"].word.strip()
    made = slug(name)
    text = text_of(ten.profile(told, session.shelf))
    held = session.shelf.boats.get(made)
    if held is None or held.text != text:
        check_name(name, session.shelf)
    entries = ten.kit_entries(told, session.shelf)
    if entries and told.get("kit", NOT_KNOWN).word == "yes":
        ids = {
            "transmitter": ten.transmitter_id(told, session.shelf),
            "pack": ten.pack_id(told, session.shelf),
        }
        kit = session.shelf.kit
        keep_document(session, "", kit, with_facts(kit, entries))
        for kind, one in ids.items():
            if f"{kind}[{one}].id" in entries:
                told[kind] = Answer(word=one, typed=one)
        write_draft(session.home, told, session.disk)
    file_boat(session, made, text)
    _log(session, made, told)
    drop_draft(session)
    return made


def _log(session: Session, made: str, told: Mapping[str, Answer]) -> None:
    """What was seen before she had a log: a failsafe seen is a claim, a dry depth seen is her first proof."""
    events = session.log(made).events
    if told.get("up", NOT_KNOWN).word == "bound" and not any(e.what == "boat.received" for e in events):
        data: dict[str, Any] = {"condition": "entered by ten questions", "claimed": ["failsafe_wet"]}
        session.append("boat.received", data, boat=made)
    dry = told.get("dry", NOT_KNOWN).num
    known = any(e.what == "check.answered" and e.payload().get("list") == LIST for e in events)
    if dry is not None and dry.si > ten.SEEN_U95 and not known:
        data = {
            "list": LIST, "line": "dry-depth", "answer": "bone dry", "dry_depth": dry.si - ten.SEEN_U95,
            "value": {"si": dry.si, "u95": ten.SEEN_U95, "typed": told["dry"].typed},
        }  # fmt: skip
        session.append("check.answered", data, boat=made)


# -- what is known of her ---------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class FirstLook:
    """What ten answers come to: three limits, how much of it is assumed, and what would help."""

    endurance: Limit | None
    keel: Limit | None
    trim: Limit | None
    assumed: int
    inputs: int
    gains: tuple[Gain, ...]
    water: str
    """The water it was worked out for, where no day is open."""


def preview(session: Session, told: Mapping[str, Answer]) -> Sheet:
    """A sheet of the boat as answered so far: nothing is written."""
    document = ten.profile(told, session.shelf)
    asked = Asked("a-new-boat", document, today_document({}, ()), None, session.clock.now(), history=False)
    return session.sheet(asked)


def first_look(session: Session, made: str) -> FirstLook:
    """Her first numbers: in today's water, or in a pond of 10 degC where no day is open; pack charged full."""
    now = session.clock.now()
    day = session.today(made, now)
    opened = any(e.what == "day.opened" and e.local.date() == now.date() for e in session.log(made).events)
    water = ""
    if not opened:
        guess = Fact(
            Num(283.15, 5.0, Basis.ASSUMED), basis=Basis.ASSUMED, typed="10 degC", origin="a pond in spring"
        )
        day = day_with_facts(today_document({}, ()), {"water.temperature": guess})
        water = "in fresh water of 10 degC"
    asked = Asked(made, session.shelf.boats[made], day, None, now)
    sheet = session.sheet(asked)
    packs = sheet.texts("power.drive_packs")
    observed = replace(sheet.observed, charged_full=MappingProxyType(dict.fromkeys(packs, 0.0)))
    full = Sheet(sheet.facts, observed, sheet.readings, now)
    limits = catalogue.work_out(full)
    tally = counts(limits)

    def of(key: str, item: str = "") -> Limit | None:
        return next((x for x in limits if x.key == key and (not item or x.item == item)), None)

    gains = measure_next(full, limits, len(GUIDES))[:3]
    return FirstLook(
        of("battery.endurance"), of("depth.keel", "under control"), of("buoyancy.trim_change"),
        tally["assumed_inputs"], tally["inputs"], gains, water,
    )  # fmt: skip
