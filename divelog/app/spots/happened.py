"""What happened: one short list on every page, each with a few questions and a time to type where it was earlier."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from divelog.app.form import AMOUNT, CHOICE, MANY, TEXT, Ask, Form, when
from divelog.app.frames import framed
from divelog.app.look import answers
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout
from divelog.app.look.page import Page, Role
from divelog.app.look.stack import KEPT, Block
from divelog.app.sentences import said
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.journal.events import Event
from divelog.session.care import upkeep_facts
from divelog.session.entries import KNOCKS, RADIO
from divelog.upkeep.schedule import schedule

Option = tuple[str, object]
GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("what keeps the water out", ("seal", "port", "cap", "cylinder")),
    ("what drives and steers her", ("shaft", "coupling", "linkage", "servo", "propeller")),
    ("electronics", ("receiver", "controller", "regulator")),
    ("ballast", ("pump", "valve", "piston", "hose")),
    ("pack, meter or anything else", ("pack", "meter", "other")),
)
_INSIDE = frozenset({"pump", "valve", "piston", "hose"})
_CLOSES = frozenset({"seal", "port", "cap"})


class WhatHappened(Spot):
    """The list; a digit opens its questions."""

    def __init__(self, shell: Shell) -> None:
        super().__init__(shell)
        self.place = shell.here

    def draw(self, layout: Layout) -> Page:
        """Ten lines."""
        if self.desk.slug is None:
            words = "Take a boat first: 1 in places."
            return framed(
                self, layout, [Block(answers.sentence(layout, 0, words), row=4)], place="What happened"
            )
        title = answers.sentence(layout, 0, "What happened, that the log does not know?", role=Role.BOLD)
        options = [(str(n % 10), form.title) for n, form in enumerate(FORMS, 1)]
        if layout.margin:
            part = answers.choices(layout, 2, options)
        else:
            part = answers.next_steps(layout, len(title), options, word="", rows=6)
        blocks = [Block(title + part, row=4, rank=KEPT)]
        words = "What nobody writes down is not proved again."
        blocks.append(Block(answers.sentence(layout, 0, words), row=18, rank=2))
        return framed(
            self, layout, blocks, place="What happened", what="a digit opens it",
            first=(Key("1-0", "choose"), None, None, None), second=(Key("?", "keys"), None, None, None),
        )  # fmt: skip

    def press(self, key: str) -> bool:
        """A digit opens the questions of one line."""
        if self.desk.slug is None or not key.isdecimal():
            return False
        index = (int(key) - 1) % 10
        self.shell.pop()
        self.shell.push(FORMS[index](self.shell))
        return True


class _Event(Form):
    """A form that writes one event for the boat in hand."""

    what: ClassVar[str] = ""

    def keep(self, data: dict[str, object], *, what: str = "", everybody: bool = False) -> str:
        """Append it, and say it."""
        event: Event = self.desk.keep(what or self.what, data, happened=self.happened, everybody=everybody)
        found = said(event)
        return f"{found.words}, {found.figure}" if found.figure else found.words

    def sheet_texts(self, path: str) -> tuple[Option, ...]:
        """A list of her file as options."""
        return tuple((text, text) for text in self.desk.sheet().texts(path))

    def ids(self, path: str) -> tuple[Option, ...]:
        """Ids of her file, or the kit's, as options."""
        return tuple((text, text) for text in self.desk.sheet().ids(path))


class Opened(_Event):
    """A closure was opened."""

    title = "opened"
    what = "opened"

    def asks(self) -> Sequence[Ask]:
        """Which closures, and whether a seal came out."""
        closures = self.sheet_texts("cylinder.closures")
        which = Ask("which", "What was opened", MANY if closures else TEXT, closures, short="Opened")
        lifted = (("no, only opened", False), ("yes, taken out or greased", True))
        return (
            which,
            Ask("lifted", "Was its ring lifted out", CHOICE, lifted, short="Ring lifted out"),
            when(),
        )

    def write(self) -> str:
        """``opened``."""
        which = self.value("which")
        return self.keep(
            {"which": list(which) if isinstance(which, tuple) else [which], "lifted": self.value("lifted")}
        )


class Fitted(_Event):
    """A part was renewed, repaired or added."""

    title = "fitted"
    what = "fitted"

    def asks(self) -> Sequence[Ask]:
        """Which part, which one of them, and what it weighs more or less."""
        groups = tuple((words, parts) for words, parts in GROUPS)
        found = [Ask("group", "What was fitted or mended", CHOICE, groups, short="Fitted")]
        parts = self.value("group") or ()
        found.append(Ask("part", "Which part", CHOICE, tuple((part, part) for part in parts), short="Part"))
        part = self.value("part")
        ids = self._which(part)
        if ids:
            found.append(Ask("item", "Which one", CHOICE, ids, need=False, how="Enter where none of them"))
        weigh = "grams more, with a minus for less; Enter where it weighs the same"
        found.append(
            Ask(
                "mass",
                "How much more does she weigh",
                AMOUNT,
                how=weigh,
                dimension="mass",
                unit="g",
                need=False,
                short="Weighs more",
            )
        )
        if part == "shaft":
            found.append(
                Ask(
                    "seals",
                    "Which seals were touched",
                    MANY,
                    self.ids("seal"),
                    need=False,
                    how="Enter for none",
                )
            )
        return (*found, when())

    def _which(self, part: object) -> tuple[Option, ...]:
        if part == "seal":
            return self.ids("seal")
        if part == "cap":
            return self.ids("cap")
        if part == "port":
            return self.sheet_texts("cylinder.closures")
        return self.ids("kit.pack") if part == "pack" else ()

    def write(self) -> str:
        """``fitted``, with what the proofs must know."""
        part = self.value("part")
        data: dict[str, object] = {"part": part}
        if self.value("item"):
            data["item"] = self.value("item")
        if self.value("mass"):
            data["mass_change"] = self.value("mass")
        if self.value("seals"):
            data["seals"] = list(self.value("seals"))
        elif part in _CLOSES and self.value("item"):
            data["seals"] = [self.value("item")]
        if part in _INSIDE:
            data["inside_cylinder"] = self.desk.sheet().flag("ballast.inside_cylinder") is not False
        return self.keep(data)


class LeadMoved(_Event):
    """Lead or foam was put in, taken out or moved."""

    title = "lead moved"
    what = "mass.moved"

    def asks(self) -> Sequence[Ask]:
        """How much, and which way."""
        ways = (("into her", "in"), ("out of her", "out"), ("from one place in her to another", "within"))
        return (
            Ask("way", "Which way did lead or foam go", CHOICE, ways, short="Went"),
            Ask("mass", "How much", AMOUNT, how="grams", dimension="mass", unit="g"),
            Ask(
                "where",
                "Where to, or where from",
                TEXT,
                how="a few words, or Enter",
                need=False,
                short="Where",
            ),
            when(),
        )

    def write(self) -> str:
        """``mass.moved``: what goes out goes ashore."""
        way, where = self.value("way"), self.value("where")
        ends = {"in": ("ashore", where or "inside"), "out": (where or "inside", "ashore")}
        start, end = ends.get(str(way), ("one place", where or "another"))
        return self.keep({"piece": "lead", "mass": self.value("mass"), "from": start, "to": end})


class RadioChanged(_Event):
    """Bound again, or anything of the radio changed."""

    title = "radio changed"
    what = "radio.changed"

    def asks(self) -> Sequence[Ask]:
        """What of it."""
        words = {
            "bound": "bound again",
            "memory": "its memory",
            "mixing": "mixing",
            "receiver": "another receiver",
        }
        options = tuple((words.get(each, each), each) for each in RADIO)
        return (Ask("changed", "What of the radio changed", MANY, options, short="Changed"), when())

    def write(self) -> str:
        """``radio.changed``."""
        return self.keep({"changed": list(self.value("changed"))})


class Knocked(_Event):
    """Dropped, hit, jolted, or left in the heat."""

    title = "knocked"
    what = "knocked"

    def asks(self) -> Sequence[Ask]:
        """How."""
        words = {"heat": "over an hour above 40 degC"}
        return (
            Ask("kind", "What happened to her", CHOICE, tuple((words.get(k, k), k) for k in KNOCKS)),
            when(),
        )

    def write(self) -> str:
        """``knocked``."""
        return self.keep({"kind": self.value("kind")})


class Charged(_Event):
    """A pack was charged; it stands in the kit's journal, since packs travel between boats."""

    title = "charged"
    what = "charged"

    def asks(self) -> Sequence[Ask]:
        """Which pack, to what, and what the charger put back."""
        own = dict.fromkeys(self.desk.sheet().texts("power.drive_packs"))
        names = [*own, *(pack for pack in self.desk.sheet().ids("kit.pack") if pack not in own)]
        to = (("full", "full"), ("storage state", "storage"))
        packs = tuple((name, name) for name in names)
        how = "A h; Enter where you do not know"
        return (
            Ask("pack", "Which pack", CHOICE, packs) if packs else Ask("pack", "Which pack", TEXT),
            Ask("to", "Charged to", CHOICE, to),
            Ask(
                "charge",
                "What the charger put back",
                AMOUNT,
                how=how,
                dimension="charge",
                unit="A h",
                need=False,
                short="Put back",
            ),
            when(),
        )

    def write(self) -> str:
        """``charged``."""
        data: dict[str, object] = {"pack": self.value("pack"), "to": self.value("to")}
        if self.value("charge"):
            data["charge"] = self.value("charge")
        return self.keep(data, everybody=True)


class Serviced(_Event):
    """Something was greased, cleaned or seen to."""

    title = "serviced"
    what = "serviced"

    def asks(self) -> Sequence[Ask]:
        """What, with what, and whether a seal came out."""
        services, _ = schedule(upkeep_facts(self.desk.sheet()))
        items = tuple((each.title, each.item) for each in services if not each.proof)[:8]
        options: tuple[Option, ...] = (*items, ("the whole boat", "overhaul"))
        lifted = Ask(
            "seals",
            "Which seals were lifted",
            MANY,
            self.ids("seal"),
            need=False,
            how="Enter for none",
            short="Lifted",
        )
        return (
            Ask("item", "What was seen to", CHOICE, options),
            Ask("consumable", "With what", TEXT, how="silicone, 1.2 mL; or Enter", need=False),
            *((lifted,) if lifted.options else ()),
            when(),
        )

    def write(self) -> str:
        """``serviced``."""
        data: dict[str, object] = {"item": self.value("item")}
        if self.value("consumable"):
            data["consumable"] = self.value("consumable")
        if self.value("seals"):
            data["seals"] = list(self.value("seals"))
        return self.keep(data)


class DefectFound(_Event):
    """Something is wrong with her."""

    title = "defect"
    what = "defect.opened"

    def asks(self) -> Sequence[Ask]:
        """What, and whether it stops a launch."""
        stops = (("yes: she is not to launch", True), ("no: it is to be mended some day", False))
        return (
            Ask("defect", "What is wrong", TEXT, how="in a few words"),
            Ask("stops", "Does it stop a launch", CHOICE, stops),
            when("When was it found"),
        )

    def write(self) -> str:
        """``defect.opened``."""
        return self.keep({"defect": self.value("defect"), "stops_launch": self.value("stops")})


class LaidUp(_Event):
    """She was laid up."""

    title = "stored"
    what = "stored"

    def asks(self) -> Sequence[Ask]:
        """Packs, rings, vents."""
        packs = (
            ("out, at storage state", "out, at storage state"),
            ("out, not seen to", "out"),
            ("still in her", "still in her"),
        )
        rings = (("off, or caps loose", "off or loose"), ("left in", "left in"))
        vents = (("open", "open"), ("shut", "shut"))
        return (
            Ask("packs", "Her packs", CHOICE, packs),
            Ask("rings", "Her rings", CHOICE, rings),
            Ask("vents", "Her vents", CHOICE, vents),
            when("When was she laid up"),
        )

    def write(self) -> str:
        """``stored``."""
        return self.keep({name: self.value(name) for name in ("packs", "rings", "vents")})


class Noted(_Event):
    """A few words of one's own."""

    title = "note"
    what = "note"

    def asks(self) -> Sequence[Ask]:
        """The words, and whether they may leave the house."""
        private = (("private: never shared", True), ("may go with her papers", False))
        return (
            Ask("text", "What is to be noted", TEXT, how="in a few words"),
            Ask("private", "For whom", CHOICE, private),
            when(),
        )

    def write(self) -> str:
        """``note``."""
        return self.keep({"text": self.value("text"), "private": self.value("private")})


FORMS: tuple[type[_Event], ...] = (
    Opened, Fitted, LeadMoved, RadioChanged, Knocked, Charged, Serviced, DefectFound, LaidUp, Noted,
)  # fmt: skip
"""In the order of the list: 1 to 9, then 0."""
